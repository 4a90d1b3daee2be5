"""The key plan: the whole building small, with its match lines and the part that is shown."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Text, extent
from staking.output.drawing.plan_labels import around
from staking.output.sheet_drawings.paper_drawing import SAID, NumberedNames, PaperDrawing

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.laid_out.layout_value import Layout
    from staking.output.pictures.picture import Picture
    from staking.output.sheet_drawings.match_lines import Cut, PlanPart
    from staking.plan import Point

_AIR = 7.0
"""Round the building, for letters and numbers, mm."""
_PAST = 2.2
"""How far a match line runs past the building, mm."""


def key_plan(
    layout: Layout,
    cut: Cut,
    room: tuple[float, float],
    shown: PlanPart | None = None,
    named: Sequence[str] = (),
) -> Picture:
    """Draw the key plan, to no scale.

    Parameters
    ----------
    layout
        The layout, as the parts show it.
    cut
        Where it is cut.
    room
        Width and height of the paper for it, mm.
    shown
        The part that the sheet shows, framed; None frames none.
    named
        The corners that are named.

    Returns
    -------
    Picture
        No larger than the room.
    """
    rings = [building.ring for building in layout.plan.buildings]
    low, high = extent([point for ring in rings for point in ring])
    mm = max((high[i] - low[i]) / (room[i] - 2 * _AIR) for i in (0, 1))
    paper = PaperDrawing(mm * 1000)
    for ring in rings:
        paper.pen.ring(ring, layers.TITLE)
    past = _PAST * mm
    for line in cut.lines:
        other = 1 - line.axis
        ends = [low[other] - past, high[other] + past]
        first, last = ((line.at, end) if line.axis == 0 else (end, line.at) for end in ends)
        paper.pen.line(first, last, layers.TITLE, "STK_PROPERTY")
        x, y = first
        off = -(0.5 * SAID + 0.6) * mm
        place = (x, y + off) if line.axis == 0 else (x + off, y)
        paper.pen.text(_word(line.name, place, mm))
    for part in cut.parts if cut.lines else ():
        left, right = (_within(each, low[0], high[0]) for each in (part.low[0], part.high[0]))
        foot, head = (_within(each, low[1], high[1]) for each in (part.low[1], part.high[1]))
        # The number stands over the building, or in the middle of its part.
        up = head + (0.5 * SAID + 1.4) * mm if not cut.level else (foot + head) / 2
        paper.pen.text(_word(str(part.number), ((left + right) / 2, up), mm))
        if part is shown or (shown is not None and part.number == shown.number):
            inset = 0.7 * mm
            paper.pen.ring(
                [(left - inset, foot - inset), (right + inset, foot - inset),
                 (right + inset, head + inset), (left - inset, head + inset)],
                layers.STEPS,
            )  # fmt: skip
    corners, names = layout.plan.corner_points, NumberedNames(layout.plan)
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    for name in named:
        x, y = corners[name]
        away = math.atan2(y - middle[1], x - middle[0])
        for text in next(around(names(name), (x, y), mm, SAID * mm, away)).texts:
            paper.pen.text(text)
    air = _AIR * mm
    return paper.picture((low[0] - air, low[1] - air), (high[0] + air, high[1] + air))


def _word(word: str, place: Point, mm: float) -> Text:
    return Text(text=word, x=place[0], y=place[1], height=SAID * mm)


def _within(at: float, low: float, high: float) -> float:
    return min(max(at, low), high)
