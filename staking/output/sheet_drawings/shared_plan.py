"""One plan with dimensions, boards and diagonals, where all of its words find clear room."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from staking.output.drawing.drawn_words import Segment, Variant, extent, scales
from staking.output.drawing.places.label_places import place
from staking.output.sheet_drawings.board_plan import MOST_DRAWN, BoardPlan, diagonals
from staking.output.sheet_drawings.dimension_plan import (
    BAR_ROOM,
    DimensionPlan,
    ScaledPicture,
    finished,
    ground_of,
)
from staking.output.sheet_drawings.paper_drawing import PaperDrawing, overlaps

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.dimension_strings import DimensionString

_TRIED = 2
"""How many scales are tried, from the largest that fits: a smaller one serves neither sheet."""
_MOST_CORNERS = 8
"""A building of more corners has each on a sheet of its own."""


def shared_picture(
    layout: Layout, strings: tuple[DimensionString, ...], room: tuple[float, float]
) -> ScaledPicture | None:
    """Draw dimensions and boards as one plan.

    Parameters
    ----------
    layout
        The layout.
    strings
        Its dimensions.
    room
        Width and height of the paper for it, mm.

    Returns
    -------
    ScaledPicture or None
        None where a word would lie on another one or across a heavy line, and for a building with
        interior lines or many corners, whose words are too many for one plan.
    """
    corners = sum(len(building.corners) for building in layout.plan.buildings)
    if layout.plan.interior or corners > _MOST_CORNERS or len(diagonals(layout)) > MOST_DRAWN:
        return None
    dimensions, boards = DimensionPlan(layout, strings), BoardPlan(layout)
    tried = 0
    for ratio, scale in scales(layout.options.show):
        mm = ratio / 1000
        high, wide = (room[1] - BAR_ROOM) * mm, room[0] * mm
        low, top = extent(boards.points)
        if top[0] - low[0] > wide or top[1] - low[1] > high or tried == _TRIED:
            continue
        tried += 1
        heavy = [*dimensions.heavy, *(board.ends for board in layout.boards)]
        words = place(
            [*dimensions.labels(mm), *boards.labels(mm)], dimensions.lines, boards.boxes(mm),
            [*heavy, *heavy, *boards.strings],
        )  # fmt: skip
        reach = extent([*boards.points, *ground_of(words)])
        if reach[1][0] - reach[0][0] > wide or reach[1][1] - reach[0][1] > high:
            continue
        if overlaps(words) or _crossed(words, heavy):
            continue
        paper = PaperDrawing(ratio)
        dimensions.draw(paper)
        boards.draw(paper)
        picture = finished(paper, words, reach, layout.options.show)
        return ScaledPicture(picture=picture, scale=scale, ratio=ratio)
    return None


def _crossed(words: Sequence[Variant], lines: Sequence[Segment]) -> bool:
    # Whether a word lies across a heavy line or a line of another word.
    own = [(i, line) for i, each in enumerate(words) for line in each.lines]
    return any(
        box.meets(line)
        for i, each in enumerate(words)
        for box in each.boxes
        for line in (*lines, *(drawn for j, drawn in own if j != i))
    )
