"""Pictures of a drawing: SVG whose text stays text, and PNG for pages and letters.

Both show the sheet of the drawing, layers in their colours.
"""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, BinaryIO

from staking.output.pictures.lettering import CAP_HEIGHT
from staking.output.points.xml_text import attribute, content

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont

    from staking.output.pictures.picture import Picture
    from staking.output.pictures.picture_parts import Lettering
    from staking.plan import Point

DOTS_PER_MM = 150 / 25.4
"""Fineness of a PNG picture: 150 dots an inch."""
_FINER = 2
"""A picture is drawn so many times finer and shrunk, which smooths its edges."""


def svg_text(picture: Picture, label: str = "Foundation layout") -> str:
    """Turn a picture into SVG: a group for each layer, named by it, text as text.

    Parameters
    ----------
    picture
        The picture.
    label
        What it is called to those who cannot see it.

    Returns
    -------
    str
        The whole file; one user unit is 1 mm.
    """
    size = f"{_number(picture.width)} {_number(picture.height)}"
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" '
        f'width="{_number(picture.width)}mm" height="{_number(picture.height)}mm" role="img" '
        f"aria-label={attribute(label)}>"
    )
    style = (
        '<g fill="none" stroke-linejoin="round" font-family="Helvetica, Arial, sans-serif" '
        f'transform="translate(0 {_number(picture.height)}) scale(1 -1)">'
    )
    groups = [_group(picture, layer) for layer in picture.layers]
    paper = '<rect width="100%" height="100%" fill="#ffffff"/>'
    return "\n".join([head, paper, style, *groups, "</g>", "</svg>", ""])


def _group(picture: Picture, layer: str) -> str:
    parts = [f"<g data-layer={attribute(layer)}>"]
    for fill in picture.fills:
        if fill.layer == layer:
            parts.append(f'<path d="{_steps(fill.points)}Z" fill="{fill.colour}"/>')
    for stroke in picture.strokes:
        if stroke.layer != layer:
            continue
        dashes = " ".join(map(_number, stroke.dashes))
        dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
        close = "Z" if stroke.closed else ""
        parts.append(
            f'<path d="{_steps(stroke.points)}{close}" stroke="{stroke.colour}" '
            f'stroke-width="{_number(stroke.width)}"{dashed}/>'
        )
    parts += [_words(words) for words in picture.words if words.layer == layer]
    return "\n".join([*parts, "</g>"])


def _steps(points: tuple[Point, ...]) -> str:
    return "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in points)


def _words(words: Lettering) -> str:
    turn = f" rotate({_number(math.degrees(words.turn))})" if words.turn else ""
    size = _number(words.height / CAP_HEIGHT)
    # The width holds whatever face the viewer has, so that words never run into one another.
    return (
        f'<text paint-order="stroke" stroke="#fff" stroke-width="{_number(words.height / 4)}" '
        f'transform="translate({_number(words.x)} {_number(words.y)}){turn} scale(1 -1)" '
        f'font-size="{size}" fill="{words.colour}" textLength="{_number(words.width)}" '
        f'lengthAdjust="spacingAndGlyphs">{content(words.text)}</text>'
    )


def _number(value: float) -> str:
    text = f"{value:.3f}"
    return text.rstrip("0").rstrip(".") or "0" if text[-1] == "0" else text


def write_png(picture: Picture, stream: BinaryIO) -> None:
    """Write a picture as PNG.

    Parameters
    ----------
    picture
        The picture.
    stream
        Where to write.
    """
    image = png_image(picture)
    image.save(stream, format="PNG", optimize=False, dpi=(DOTS_PER_MM * 25.4,) * 2)


def png_image(picture: Picture, dots_per_mm: float = DOTS_PER_MM) -> Image:
    """Paint a picture.

    Parameters
    ----------
    picture
        The picture.
    dots_per_mm
        How fine.

    Returns
    -------
    Image
        White paper with the picture on it.
    """
    from PIL import Image, ImageDraw

    fine = dots_per_mm * _FINER
    size = (round(picture.width * fine), round(picture.height * fine))
    image = Image.new("RGB", size, "#ffffff")
    pen = ImageDraw.Draw(image)

    def at(point: Point) -> Point:
        return (point[0] * fine, size[1] - point[1] * fine)

    for fill in picture.fills:
        pen.polygon([at(point) for point in fill.points], fill=fill.colour)
    for stroke in picture.strokes:
        points = [*stroke.points, stroke.points[0]] if stroke.closed else list(stroke.points)
        width = max(round(stroke.width * fine), 2)
        for piece in _dashed(points, stroke.dashes):
            pen.line([at(point) for point in piece], stroke.colour, width, joint="curve")
    for words in picture.words:
        pen.polygon([at(point) for point in words.ground], fill="#ffffff")
    for words in picture.words:
        _paint_words(image, words, fine)
    small = (round(picture.width * dots_per_mm), round(picture.height * dots_per_mm))
    return image.resize(small, Image.Resampling.BOX)


def _dashed(points: list[Point], dashes: tuple[float, ...]) -> Iterator[list[Point]]:
    # Cuts a line into what is drawn of it; the pattern runs on round corners.
    if not dashes or sum(dashes) <= 0:
        yield points
        return
    at, left, inked = 0, max(dashes[0], 0.3), True
    piece = [points[0]]
    for start, end in pairwise(points):
        run = math.dist(start, end)
        done = 0.0
        while run - done > left:
            done += left
            spot = (
                start[0] + (end[0] - start[0]) * done / run,
                start[1] + (end[1] - start[1]) * done / run,
            )
            if inked:
                yield [*piece, spot]
            piece, inked = [spot], not inked
            at = (at + 1) % len(dashes)
            left = max(dashes[at], 0.3)
        left -= run - done
        piece.append(end)
    if inked and len(piece) > 1:
        yield piece


def _paint_words(image: Image, words: Lettering, fine: float) -> None:
    # The face that comes with the PDF library, squeezed to the width the words were placed with.
    from PIL import Image as Images
    from PIL import ImageDraw

    font = _font(round(words.height * fine * _VERA_SIZE))
    left, top, right, bottom = font.getbbox(words.text, anchor="ls")
    if right <= left or bottom <= top:
        return
    stamp = Images.new("L", (math.ceil(right - left), math.ceil(bottom - top)), 0)
    ImageDraw.Draw(stamp).text((-left, -top), words.text, fill=255, font=font, anchor="ls")
    squeeze = words.width * fine / max(font.getlength(words.text), 1.0)
    size = (max(round(stamp.width * squeeze), 1), stamp.height)
    stamp = stamp.resize(size, Images.Resampling.BILINEAR)
    middle = (left * squeeze + size[0] / 2, -(top + size[1] / 2))
    if words.turn:
        degrees = math.degrees(words.turn)
        stamp = stamp.rotate(degrees, Images.Resampling.BICUBIC, expand=True)
    cos, sin = math.cos(words.turn), math.sin(words.turn)
    x = words.x * fine + middle[0] * cos - middle[1] * sin
    y = image.height - (words.y * fine + middle[0] * sin + middle[1] * cos)
    place = (round(x - stamp.width / 2), round(y - stamp.height / 2))
    image.paste(words.colour, (*place, place[0] + stamp.width, place[1] + stamp.height), stamp)


_VERA_SIZE = 1 / 0.729
"""Size of the face for a capital of height 1."""


@cache
def _font(size: int) -> FreeTypeFont:
    from pathlib import Path

    import reportlab
    from PIL import ImageFont

    return ImageFont.truetype(Path(reportlab.__file__).parent / "fonts" / "Vera.ttf", size)
