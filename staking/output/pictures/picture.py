"""A drawing as it lies on paper: lines, fills and words in millimetres.

The plan is drawn once, as parts; its drawing file is written from them, and what is printed, shown
beside the questions of the desk or saved as a picture is made from the same parts here. Text stays
text.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing.drawing_sheet import MARGIN, sheet_mm, view_size
from staking.output.drawing.drawn_words import PAPERS
from staking.output.drawing.layers import LAYERS
from staking.output.pictures.inked_parts import OnPaper, inked
from staking.output.pictures.picture_parts import BLACK, FINEST, Fill, Lettering, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from staking.output.drawing.layers import LayerLook
    from staking.output.drawing.plan_drawing import DrawnPlan
    from staking.output.drawn.drawn_parts import DrawnPart
    from staking.plan import Point

PALE = "#d4d4d4"
"""Colour of filled shapes where nothing else has a colour."""


@frozen
class Picture:
    """What lies on a paper `width` by `height` mm, fills under lines under words."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    fills: tuple[Fill, ...]
    words: tuple[Lettering, ...]

    def without(self, layers: Iterable[str]) -> Picture:
        """Leave layers out.

        Returns
        -------
        Picture
            The rest.
        """
        out = frozenset(layers)
        return replace(
            self,
            strokes=tuple(each for each in self.strokes if each.layer not in out),
            fills=tuple(each for each in self.fills if each.layer not in out),
            words=tuple(each for each in self.words if each.layer not in out),
        )

    @property
    def black(self) -> Picture:
        """The same in black, what is filled pale, so that lines show on it."""
        return replace(
            self,
            strokes=tuple(replace(each, colour=BLACK) for each in self.strokes),
            fills=tuple(replace(each, colour=PALE) for each in self.fills),
            words=tuple(replace(each, colour=BLACK) for each in self.words),
        )

    @property
    def layers(self) -> tuple[str, ...]:
        """The layers with something on them, in drawing order."""
        every: tuple[Stroke | Fill | Lettering, ...]
        every = (*self.strokes, *self.fills, *self.words)
        return tuple(dict.fromkeys(each.layer for each in every))


def paper_picture(plan: DrawnPlan, *, colour: bool = True) -> Picture:
    """Take the sheet of a plan as it is plotted at full size.

    Parameters
    ----------
    plan
        The plan as it is drawn.
    colour
        Whether layers keep their colours; else all is black.

    Returns
    -------
    Picture
        The whole paper.
    """
    sheet = plan.sheet
    mm, (width, height) = sheet_mm(sheet.paper), PAPERS[sheet.paper]
    strokes, words = inked(plan.paper, LAYERS, OnPaper(scale=1 / mm), sheet.per_mm)
    view = view_size(sheet.paper)
    window = OnPaper(
        scale=1 / sheet.per_mm,
        origin=sheet.centre,
        to=(MARGIN + view[0] / 2, height / 2),
        turn=-(sheet.turn or 0.0),
        room=((MARGIN, MARGIN), (MARGIN + view[0], MARGIN + view[1])),
    )
    seen, named = inked(plan.model, LAYERS, window, sheet.per_mm)
    picture = Picture(
        width=width,
        height=height,
        strokes=(*strokes, *seen),
        fills=(),
        words=(*words, *named),
    )
    return picture if colour else picture.black


def model_picture(
    parts: Iterable[DrawnPart],
    looks: Mapping[str, LayerLook],
    per_mm: float,
    window: tuple[Point, Point],
    *,
    pattern: float | None = None,
) -> Picture:
    """Take a stretch of a drawing's model space to scale, in colours.

    Parameters
    ----------
    parts
        What lies in model space.
    looks
        Its layers by their names.
    per_mm
        Drawing units that 1 mm on paper stands for.
    window
        The stretch's lower left and upper right corner, drawing units.
    pattern
        Drawing units for 1 mm of a linetype's pattern; `per_mm` where None.

    Returns
    -------
    Picture
        With the window's lower left corner at the paper's; what reaches outside is left out
        whole.
    """
    scale = 1 / per_mm
    strokes, words = inked(parts, looks, OnPaper(scale=scale), pattern or per_mm)
    whole = Picture(width=0.0, height=0.0, strokes=tuple(strokes), fills=(), words=tuple(words))
    return _cut(whole, per_mm, *window)


def _cut(whole: Picture, per_mm: float, low: Point, high: Point) -> Picture:
    left, under = low[0] / per_mm, low[1] / per_mm
    width, height = (high[0] - low[0]) / per_mm, (high[1] - low[1]) / per_mm

    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x - left, y - under) for x, y in points)

    def inside(points: Iterable[Point]) -> bool:
        return all(
            -FINEST <= x - left <= width + FINEST and -FINEST <= y - under <= height + FINEST
            for x, y in points
        )

    return Picture(
        width=width,
        height=height,
        strokes=tuple(
            replace(each, points=moved(each.points))
            for each in whole.strokes
            if inside(each.points)
        ),
        fills=tuple(
            replace(each, points=moved(each.points)) for each in whole.fills if inside(each.points)
        ),
        words=tuple(
            replace(each, x=each.x - left, y=each.y - under)
            for each in whole.words
            if inside([(each.x, each.y)])
        ),
    )
