"""Strings of dimensions: what is read off along every wall, part by part and whole. Metres."""

from __future__ import annotations

import math
from collections.abc import Iterator

from staking.frozen import frozen
from staking.lines import direction
from staking.plan import Building, InteriorLine, Pad, Plan, Point, Side
from staking.tolerances import ON_LINE

_NO_TAPE_TELLS = 0.003
"""Two lengths no farther apart than this are one dimension, m."""


@frozen
class DimensionPart:
    """One dimension: from one point to another, and how long it is, m."""

    start: Point
    end: Point
    length: float


@frozen
class DimensionString:
    """What is read off along one line.

    Parameters
    ----------
    of
        The wall or interior line; empty for a whole side of a building.
    parts
        From the line's start: between the edges of openings, the middles of sleeves and the
        centre lines of what ends on it. Empty where nothing parts it.
    whole
        From end to end.
    out
        The unit direction in which the dimensions stand: out of the building.
    reach
        How far in that direction its footing goes, m.
    """

    of: str
    parts: tuple[DimensionPart, ...]
    whole: DimensionPart
    out: Point
    reach: float


@frozen
class PadPlace:
    """Where a pad's centre is: from a corner along its wall, then square off it, m.

    `square` is positive into the building's side of the wall.
    """

    pad: str
    corner: str
    wall: str
    along: float
    square: float


def dimension_strings(plan: Plan) -> tuple[DimensionString, ...]:
    """Find the dimensions of a plan.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    tuple of DimensionString
        The walls in the plan's order, the whole sides that no wall has the length of, the
        interior lines that something ends on.
    """
    found: list[DimensionString] = []
    for building in plan.buildings:
        own = [_of_wall(plan, side) for side in building.sides]
        found += own
        found += _whole_sides(building, own)
    found += [each for line in plan.interior if (each := _of_line(plan, line)) is not None]
    return tuple(found)


def pad_places(plan: Plan) -> tuple[PadPlace, ...]:
    """Say where every pad's centre is from the nearest corner.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    tuple of PadPlace
        In the plan's order; empty for a plan without a building.
    """
    return tuple(_pad_place(plan, pad) for pad in plan.pads) if plan.buildings else ()


def _pad_place(plan: Plan, pad: Pad) -> PadPlace:
    _, building, at = min(
        (math.dist(corner.point, pad.point), number, at)
        for number, building in enumerate(plan.buildings)
        for at, corner in enumerate(building.corners)
    )
    side = plan.buildings[building].sides[at]
    dx, dy = pad.x - side.start[0], pad.y - side.start[1]
    return PadPlace(
        pad=pad.name,
        corner=side.wall.start,
        wall=side.wall.name,
        along=dx * side.along[0] + dy * side.along[1],
        square=dx * side.inward[0] + dy * side.inward[1],
    )


def _of_wall(plan: Plan, side: Side) -> DimensionString:
    wall = side.wall
    # A standing building's side has no footing of ours.
    reach = 0.0 if wall.existing is not None else max(wall.footing.outside, 0.0)
    stops = _stops(plan, wall.names, side.start, side.end)
    return _string(wall.name, side.start, side.end, stops, side.outward, reach)


def _of_line(plan: Plan, line: InteriorLine) -> DimensionString | None:
    stops = _stops(plan, (line.name,), line.start, line.end)
    along = direction(line.start, line.end)
    out = (-along[1], along[0])
    reach = line.footing.width / 2
    return _string(line.name, line.start, line.end, stops, out, reach) if stops else None


def _stops(plan: Plan, names: tuple[str, ...], start: Point, end: Point) -> tuple[float, ...]:
    # Stations between the ends, m.
    stops = [each.start for each in plan.openings if each.wall in names[:1]]
    stops += [each.start + each.width for each in plan.openings if each.wall in names[:1]]
    stops += [each.station for each in plan.sleeves if each.wall in names[:1]]
    along = direction(start, end)
    for line in plan.interior:
        for on, point in ((line.start_on, line.start), (line.end_on, line.end)):
            if on in names:
                dx, dy = point[0] - start[0], point[1] - start[1]
                stops.append(dx * along[0] + dy * along[1])
    length = math.dist(start, end)
    kept: list[float] = []
    for stop in sorted(stops):
        if ON_LINE < stop < length - ON_LINE and (not kept or stop - kept[-1] > ON_LINE):
            kept.append(stop)
    return tuple(kept)


def _string(
    name: str, start: Point, end: Point, stops: tuple[float, ...], out: Point, reach: float
) -> DimensionString:
    along, length = direction(start, end), math.dist(start, end)
    places = (0.0, *stops, length) if stops else ()
    points = [(start[0] + along[0] * each, start[1] + along[1] * each) for each in places]
    return DimensionString(
        of=name,
        parts=tuple(
            DimensionPart(start=points[i], end=points[i + 1], length=places[i + 1] - places[i])
            for i in range(len(places) - 1)
        ),
        whole=DimensionPart(start=start, end=end, length=length),
        out=out,
        reach=reach,
    )


def _whole_sides(building: Building, walls: list[DimensionString]) -> Iterator[DimensionString]:
    # Along the first wall and square to it, where no wall is as long as the building.
    first = building.sides[0]
    reach = max((each.reach for each in walls), default=0.0)
    points = building.ring
    back = (-first.along[0], -first.along[1])
    for along, aside in ((first.along, first.outward), (first.outward, back)):
        low, high = (
            pick(points, key=lambda p: p[0] * along[0] + p[1] * along[1]) for pick in (min, max)
        )
        whole = (high[0] - low[0]) * along[0] + (high[1] - low[1]) * along[1]
        if any(abs(each.whole.length - whole) <= _NO_TAPE_TELLS for each in walls):
            continue
        far = max(p[0] * aside[0] + p[1] * aside[1] for p in points)
        ends = [
            tuple(p[i] + aside[i] * (far - p[0] * aside[0] - p[1] * aside[1]) for i in (0, 1))
            for p in (low, high)
        ]
        start, end = ((float(x), float(y)) for x, y in ends)
        yield _string("", start, end, (), aside, reach)
