"""A long plan turned so that its length runs along the sheet. Metres, radians."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from staking.footing.bands_and_outlines import Outline
from staking.frozen import frozen
from staking.laid_out.layout_value import Layout
from staking.layout.dimension_strings import DimensionPart, DimensionString
from staking.layout.layout_parts import Board, Hub, String
from staking.plan import Building, InteriorLine, Pad, Plan, Point, StayClear

_ALONG = 1e-9
"""A side that runs off the grid's x by less than this lies along it, rad."""
LONG = 3.0
"""A plan so many times as long as it is wide lies along the sheet; common practice, no source."""


@frozen
class LyingPlan:
    """A long plan as it lies along the sheet; its words and lengths are the layout's own.

    Only what is drawn is turned: what a length is said to be is never worked out from it.

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

    It is long by its extents along its longest side and square to it.

    Parameters
    ----------
    layout
        The layout.
    dimensions
        Its strings of dimensions.

    Returns
    -------
    LyingPlan or None
        Turned by less than a quarter turn either way, and clockwise where it is long straight up,
        as a sheet is read from below and from the right; None for a plan that is not long.
    """
    points = list(layout.plan.corner_points.values()) + [pad.point for pad in layout.plan.pads]
    sides = [side for building in layout.plan.buildings for side in building.sides]
    if not sides:
        return None
    longest = max(sides, key=lambda side: side.length)
    turn = _Turn.onto(longest.along)
    wide, high = _extents(points, turn)
    if high > wide:
        wide, high, turn = high, wide, _Turn.onto((0.0 - longest.along[1], longest.along[0]))
    if wide < LONG * high:
        return None
    if turn.is_none:
        return LyingPlan(layout=layout, dimensions=dimensions, is_turned=False)
    turned = replace(
        layout,
        plan=_plan(layout.plan, turn),
        footing=_outline(layout.footing, turn),
        dig=_outline(layout.dig, turn),
        strings=tuple(_string(each, turn) for each in layout.strings),
        boards=tuple(_board(each, turn) for each in layout.boards),
        hubs=tuple(_hub(each, turn) for each in layout.hubs),
    )
    if layout.dig is layout.footing:
        turned = replace(turned, dig=turned.footing)
    return LyingPlan(
        layout=turned,
        dimensions=tuple(_dimensions(each, turn) for each in dimensions),
        is_turned=True,
    )


@frozen
class _Turn:
    """A turn about the grid's origin, by the cosine and the sine of its angle."""

    cos: float
    sin: float

    @classmethod
    def onto(cls, along: Point) -> _Turn:
        """Make the turn that lays a direction along the grid's x, to the right or to the left."""
        x, y = along
        right = x > 0.0 or (x == 0.0 and y > 0.0)
        return cls(cos=x if right else 0.0 - x, sin=0.0 - y if right else y)

    @property
    def is_none(self) -> bool:
        """Whether nothing turns."""
        return abs(self.sin) < _ALONG

    @property
    def angle(self) -> float:
        """How far it turns, rad anticlockwise."""
        return math.atan2(self.sin, self.cos)

    def __call__(self, point: Point) -> Point:
        """Turn a point; a quarter turn changes no figure but its sign."""
        x, y = point
        return (x * self.cos - y * self.sin, x * self.sin + y * self.cos)


def _extents(points: Sequence[Point], turn: _Turn) -> tuple[float, float]:
    turned = [turn(point) for point in points]
    wide, high = (max(p[i] for p in turned) - min(p[i] for p in turned) for i in (0, 1))
    return wide, high


def _plan(plan: Plan, turn: _Turn) -> Plan:
    return replace(
        plan,
        buildings=tuple(_building(each, turn) for each in plan.buildings),
        interior=tuple(_interior(each, turn) for each in plan.interior),
        pads=tuple(_pad(each, turn) for each in plan.pads),
        stay_clear=tuple(_stay_clear(each, turn) for each in plan.stay_clear),
    )


def _building(building: Building, turn: _Turn) -> Building:
    corners = []
    for corner in building.corners:
        x, y = turn(corner.point)
        corners.append(replace(corner, x=x, y=y))
    return replace(building, corners=tuple(corners))


def _interior(line: InteriorLine, turn: _Turn) -> InteriorLine:
    return replace(line, start=turn(line.start), end=turn(line.end))


def _pad(pad: Pad, turn: _Turn) -> Pad:
    x, y = turn(pad.point)
    return replace(pad, x=x, y=y, turn=pad.turn + turn.angle)


def _stay_clear(shape: StayClear, turn: _Turn) -> StayClear:
    return replace(shape, corners=tuple(turn(each) for each in shape.corners))


def _outline(outline: Outline, turn: _Turn) -> Outline:
    outlines, holes = (
        tuple(tuple(map(turn, ring)) for ring in rings)
        for rings in (outline.outlines, outline.holes)
    )
    return replace(outline, outlines=outlines, holes=holes)


def _string(string: String, turn: _Turn) -> String:
    return replace(string, start=turn(string.start), end=turn(string.end))


def _board(board: Board, turn: _Turn) -> Board:
    x, y = turn((board.x, board.y))
    marks = []
    for mark in board.marks:
        across, up = turn((mark.x, mark.y))
        marks.append(replace(mark, x=across, y=up))
    ends = (turn(board.ends[0]), turn(board.ends[1]))
    return replace(board, x=x, y=y, ends=ends, marks=tuple(marks))


def _hub(hub: Hub, turn: _Turn) -> Hub:
    x, y = turn((hub.x, hub.y))
    return replace(hub, x=x, y=y)


def _dimensions(string: DimensionString, turn: _Turn) -> DimensionString:
    return replace(
        string,
        parts=tuple(_part(each, turn) for each in string.parts),
        whole=_part(string.whole, turn),
        out=turn(string.out),
    )


def _part(part: DimensionPart, turn: _Turn) -> DimensionPart:
    return replace(part, start=turn(part.start), end=turn(part.end))
