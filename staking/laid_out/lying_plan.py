"""A long plan laid on its side, so that its length runs along the sheet. Metres."""

from __future__ import annotations

import math
from dataclasses import replace

from staking.footing.bands_and_outlines import Outline
from staking.frozen import frozen
from staking.laid_out.layout_value import Layout
from staking.layout.dimension_strings import DimensionPart, DimensionString
from staking.layout.layout_parts import Board, Hub, String
from staking.plan import Building, InteriorLine, Pad, Plan, Point, StayClear

LONG = 3.0
"""A plan so many times as long as it is wide lies along the sheet; common practice, no source."""


@frozen
class LyingPlan:
    """A long plan as it lies along the sheet; its words and lengths are the layout's own.

    Parameters
    ----------
    layout
        The layout with its plan, outlines, strings, boards and hubs turned. Its lot and its levels
        are not: it is made to be drawn by itself.
    dimensions
        The strings of dimensions, turned alike.
    is_turned
        Whether it is turned at all: a plan that is long from left to right is not.
    """

    layout: Layout
    dimensions: tuple[DimensionString, ...]
    is_turned: bool


def lying_plan(layout: Layout, dimensions: tuple[DimensionString, ...]) -> LyingPlan | None:
    """Lay a long plan along the sheet.

    A quarter turn exchanges coordinates and changes a sign, so that no length changes by a bit.

    Parameters
    ----------
    layout
        The layout.
    dimensions
        Its strings of dimensions.

    Returns
    -------
    LyingPlan or None
        Turned clockwise where it is long upward, as a sheet is read from below and from the right;
        None for a plan that is not long.
    """
    points = list(layout.plan.corner_points.values()) + [pad.point for pad in layout.plan.pads]
    if not points:
        return None
    wide, high = (max(p[i] for p in points) - min(p[i] for p in points) for i in (0, 1))
    if max(wide, high) < LONG * min(wide, high):
        return None
    if wide > high:
        return LyingPlan(layout=layout, dimensions=dimensions, is_turned=False)
    turned = replace(
        layout,
        plan=_plan(layout.plan),
        footing=_outline(layout.footing),
        dig=_outline(layout.dig),
        strings=tuple(map(_string, layout.strings)),
        boards=tuple(map(_board, layout.boards)),
        hubs=tuple(map(_hub, layout.hubs)),
    )
    if layout.dig is layout.footing:
        turned = replace(turned, dig=turned.footing)
    return LyingPlan(layout=turned, dimensions=tuple(map(_dimensions, dimensions)), is_turned=True)


def _turned(point: Point) -> Point:
    # A quarter turn clockwise; subtracted from zero, so that none comes out as minus zero.
    return (point[1], 0.0 - point[0])


def _plan(plan: Plan) -> Plan:
    return replace(
        plan,
        buildings=tuple(map(_building, plan.buildings)),
        interior=tuple(map(_interior, plan.interior)),
        pads=tuple(map(_pad, plan.pads)),
        stay_clear=tuple(map(_stay_clear, plan.stay_clear)),
    )


def _building(building: Building) -> Building:
    corners = []
    for corner in building.corners:
        x, y = _turned(corner.point)
        corners.append(replace(corner, x=x, y=y))
    return replace(building, corners=tuple(corners))


def _interior(line: InteriorLine) -> InteriorLine:
    return replace(line, start=_turned(line.start), end=_turned(line.end))


def _pad(pad: Pad) -> Pad:
    x, y = _turned(pad.point)
    return replace(pad, x=x, y=y, turn=pad.turn - math.pi / 2)


def _stay_clear(shape: StayClear) -> StayClear:
    return replace(shape, corners=tuple(map(_turned, shape.corners)))


def _outline(outline: Outline) -> Outline:
    outlines, holes = (
        tuple(tuple(map(_turned, ring)) for ring in rings)
        for rings in (outline.outlines, outline.holes)
    )
    return replace(outline, outlines=outlines, holes=holes)


def _string(string: String) -> String:
    return replace(string, start=_turned(string.start), end=_turned(string.end))


def _board(board: Board) -> Board:
    x, y = _turned((board.x, board.y))
    marks = []
    for mark in board.marks:
        across, up = _turned((mark.x, mark.y))
        marks.append(replace(mark, x=across, y=up))
    ends = (_turned(board.ends[0]), _turned(board.ends[1]))
    return replace(board, x=x, y=y, ends=ends, marks=tuple(marks))


def _hub(hub: Hub) -> Hub:
    x, y = _turned((hub.x, hub.y))
    return replace(hub, x=x, y=y)


def _dimensions(string: DimensionString) -> DimensionString:
    return replace(
        string,
        parts=tuple(map(_part, string.parts)),
        whole=_part(string.whole),
        out=_turned(string.out),
    )


def _part(part: DimensionPart) -> DimensionPart:
    return replace(part, start=_turned(part.start), end=_turned(part.end))
