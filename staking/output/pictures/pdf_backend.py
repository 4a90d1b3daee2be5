"""Puts a picture on a page of a PDF to exact scale: lines with their dashes, text as text."""

from __future__ import annotations

import math
from functools import cache
from typing import TYPE_CHECKING

from staking.output.pictures.lettering import CAP_HEIGHT, FACE, printable

if TYPE_CHECKING:
    from reportlab.lib.colors import Color
    from reportlab.pdfgen.canvas import Canvas

    from staking.output.pictures.picture import Picture
    from staking.output.pictures.picture_parts import Lettering
    from staking.plan import Point

POINTS_PER_MM = 72 / 25.4
"""PDF units for one millimetre."""
BLACK, _WHITE = "#000000", "#ffffff"


@cache
def ink(colour: str) -> Color:
    """Give a colour to the library.

    Parameters
    ----------
    colour
        A number sign and two hexadecimal digits each for red, green and blue.

    Returns
    -------
    Color
        The library's own value: a text it would look up among its names each time.
    """
    from reportlab.lib.colors import HexColor

    return HexColor(colour)


def draw_picture(canvas: Canvas, picture: Picture, x: float = 0.0, y: float = 0.0) -> None:
    """Draw a picture at full size.

    Parameters
    ----------
    canvas
        The page.
    picture
        What is drawn.
    x, y
        Where its lower left corner goes, mm from the page's.
    """
    canvas.saveState()
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    for fill in picture.fills:
        canvas.setFillColor(ink(fill.colour))
        _draw(canvas, fill.points, x, y, "h f")
    look: object = None
    for stroke in picture.strokes:
        asked = (stroke.colour, stroke.width, stroke.dashes)
        if asked != look:
            canvas.setStrokeColor(ink(stroke.colour))
            canvas.setLineWidth(stroke.width * POINTS_PER_MM)
            canvas.setDash([_inked(each) * POINTS_PER_MM for each in stroke.dashes])
            look = asked
        _draw(canvas, stroke.points, x, y, "s" if stroke.closed else "S")
    canvas.setFillColor(ink(_WHITE))
    for words in picture.words:
        _draw(canvas, words.ground, x, y, "h f")
    for words in picture.words:
        canvas.setFillColor(ink(words.colour))
        _write(canvas, words, x, y)
    canvas.restoreState()


def _inked(dash: float) -> float:
    # A dot has no length of its own and would not show with flat ends.
    return max(dash, 0.3)


def _draw(canvas: Canvas, points: tuple[Point, ...], x: float, y: float, ending: str) -> None:
    # Straight into the page's stream: the library's own paths take six times as long.
    places = [f"{(x + px) * POINTS_PER_MM:.3f} {(y + py) * POINTS_PER_MM:.3f}" for px, py in points]
    canvas._code.append(f"n {places[0]} m {' l '.join(places[1:])} l {ending}")


def _write(canvas: Canvas, words: Lettering, x: float, y: float) -> None:
    text = canvas.beginText()
    cos, sin = math.cos(words.turn), math.sin(words.turn)
    text.setTextTransform(
        cos, sin, -sin, cos, (x + words.x) * POINTS_PER_MM, (y + words.y) * POINTS_PER_MM
    )
    text.setFont(FACE, words.height / CAP_HEIGHT * POINTS_PER_MM)
    text.textOut(printable(words.text))
    canvas.drawText(text)
