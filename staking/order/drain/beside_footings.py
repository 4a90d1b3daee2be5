"""Where the drain runs: round the building beside its footings, cut where a footing steps."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from staking.footing.bands import dig_bands
from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind
from staking.order.wall_levels import Levels, LevelStretch
from staking.plan import Building, Dig, Plan, Point
from staking.tolerances import ON_LINE

_GRID = 1e-9
"""Strips are joined on a grid this fine, m, so that no slivers open between them."""

_BESIDE = 1e-5
"""A side of the joined strips this close to a wall's drain line lies on it, m."""


@frozen
class DrainPiece:
    """A straight piece of the drain's line beside one level stretch of footing.

    Parameters
    ----------
    strand
        The wall.
    start, end
        Its ends, m, in the order in which the line runs round, anticlockwise.
    from_station, to_station
        Stations of the ends along the wall, m; they fall where the line runs against the wall,
        and lie past the wall's ends at its corners.
    top, bottom
        Of the footing, elevations, m.
    """

    strand: Strand
    start: Point
    end: Point
    from_station: float
    to_station: float
    top: float
    bottom: float

    @property
    def length(self) -> float:
        """How long it is on the plan, m."""
        return math.dist(self.start, self.end)


@frozen
class DrainLine:
    """One line of drain: round a whole building, or between sides against standing ones.

    Parameters
    ----------
    pieces
        In order, anticlockwise round the building.
    closed
        Whether the last ends where the first starts.
    """

    pieces: tuple[DrainPiece, ...]
    closed: bool

    @property
    def length(self) -> float:
        """How long it is on the plan, m."""
        return math.fsum(piece.length for piece in self.pieces)


def drain_lines(plan: Plan, levels: Levels, out: float) -> tuple[DrainLine, ...]:
    """Lay the drain's line out on the plan.

    Parameters
    ----------
    plan
        The building.
    levels
        Its footings as level stretches.
    out
        How far the line runs outside the footing's outer edge, m.

    Returns
    -------
    tuple of DrainLine
        One round each building; several where sides against standing buildings cut it. Such a
        side has none, and a jog too short for the line to follow is cut across.
    """
    strands = {each.name: each for each in levels.network.strands}
    stretches: dict[str, list[LevelStretch]] = {}
    for each in levels.stretches:
        stretches.setdefault(each.strand.name, []).append(each)
    found = []
    for building in plan.buildings:
        alone = replace(plan, buildings=(building,), interior=(), pads=())
        around = _outside(building, alone, out)
        sides = [
            piece
            for start, end in around
            for piece in _pieces(start, end, building, strands, stretches, out)
        ]
        found += _joined(sides, building)
    return tuple(found)


def sorted_name(wall: str) -> str:
    """Give a wall's name from its corner that comes first by name, whichever way it runs.

    Returns
    -------
    str
        ``A-B`` for both ``A-B`` and ``B-A``.
    """
    return "-".join(sorted(wall.split("-")))


def grown_area(plan: Plan, out: float) -> float:
    """Give the area of the buildings with their footings, these grown.

    Parameters
    ----------
    plan
        The buildings.
    out
        By how much the footings are grown, m.

    Returns
    -------
    float
        m2, inside and outside.
    """
    return math.fsum(
        float(_grown(building, replace(plan, buildings=(building,)), out)[0].area)
        for building in plan.buildings
    )


def _outside(building: Building, alone: Plan, out: float) -> list[tuple[Point, Point]]:
    """Give the sides of the building with its strips grown by `out`, anticlockwise."""
    from shapely.geometry.polygon import orient

    grown, (x0, y0) = _grown(building, alone, out)
    ring = list(orient(grown).exterior.coords)[:-1]
    points = [(float(x) + x0, float(y) + y0) for x, y in ring]
    return list(zip(points, points[1:] + points[:1], strict=True))


def _grown(building: Building, alone: Plan, out: float) -> tuple[Any, Point]:
    """Give a building with its strips grown by `out` as one shape, about its first corner."""
    import shapely
    from shapely.geometry import Polygon

    bands, _ = dig_bands(alone, Dig(overdig=out))
    x0, y0 = building.ring[0]

    def near(ring: Sequence[Point]) -> Any:
        # About the first corner, so that the grid is as fine wherever the building lies.
        return Polygon([(x - x0, y - y0) for x, y in ring])

    parts = [near(building.ring)]
    parts += [near(band.hull) for band in bands if band.kind is FootingKind.WALL]
    merged = shapely.union_all(parts, grid_size=_GRID)
    largest = max(getattr(merged, "geoms", [merged]), key=lambda part: float(part.area))
    return largest, (x0, y0)


@frozen
class _Loose:
    """A side that lies beside no wall's footing: across a jog, or along a standing building."""

    start: Point
    end: Point


def _pieces(
    start: Point,
    end: Point,
    building: Building,
    strands: dict[str, Strand],
    stretches: dict[str, list[LevelStretch]],
    out: float,
) -> Iterator[DrainPiece | _Loose]:
    length = math.dist(start, end)
    if length <= ON_LINE:
        return
    on: list[tuple[float, float, Strand]] = []
    for wall in building.walls:
        strand = strands.get(wall.name)
        if strand is None:
            continue
        (a, off_a), (b, off_b) = strand.local((start, end))
        beside = strand.footing.outside + out
        if max(abs(off_a - beside), abs(off_b - beside)) > _BESIDE:
            continue
        low, high = max(min(a, b), 0.0), min(max(a, b), strand.length)
        if high - low > ON_LINE:
            first, last = (low, high) if b > a else (high, low)
            on.append((abs(first - a), abs(last - a), strand))
    if not on:
        yield _Loose(start=start, end=end)
        return
    on.sort(key=lambda each: each[0])
    for i, (_, last, strand) in enumerate(on):
        # Past its corners a wall's line runs on to where it meets the next one's.
        begin = 0.0 if i == 0 else on[i - 1][1]
        stop = length if i == len(on) - 1 else last
        yield from _by_level(_along(start, end, begin), _along(start, end, stop), strand, stretches)


def _along(start: Point, end: Point, distance: float) -> Point:
    share = distance / math.dist(start, end)
    if share >= 1.0:
        return end
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _by_level(
    start: Point, end: Point, strand: Strand, stretches: dict[str, list[LevelStretch]]
) -> Iterator[DrainPiece]:
    """Cut a piece beside one wall where its footing steps."""
    (a, _), (b, _) = strand.local((start, end))
    own = stretches[strand.name]
    inner = [each.start for each in own[1:]]
    cuts = sorted({a, b, *(each for each in inner if min(a, b) < each < max(a, b))})
    if b < a:
        cuts.reverse()
    for i, (first, last) in enumerate(itertools.pairwise(cuts)):
        if abs(last - first) <= ON_LINE:
            continue
        middle = (first + last) / 2
        level = own[int(np.searchsorted(inner, middle))]
        yield DrainPiece(
            strand=strand,
            start=start if i == 0 else _along(start, end, abs(first - a)),
            end=end if i == len(cuts) - 2 else _along(start, end, abs(last - a)),
            from_station=first,
            to_station=last,
            top=level.top,
            bottom=level.bottom,
        )


def _joined(sides: Sequence[DrainPiece | _Loose], building: Building) -> list[DrainLine]:
    """Join pieces to lines; a side across a jog goes with its neighbour, others part the line."""
    standing = [(side.start, side.end) for side in building.sides if side.wall.existing is not None]
    kept: list[DrainPiece | None] = []
    for i, side in enumerate(sides):
        if isinstance(side, DrainPiece):
            kept.append(side)
        elif _lies_along(side, standing):
            kept.append(None)
        else:
            kept.append(_across(side, sides, i))
    if None not in kept:
        return [DrainLine(pieces=tuple(each for each in kept if each is not None), closed=True)]
    first = kept.index(None)
    lines: list[list[DrainPiece]] = [[]]
    for each in (*kept[first:], *kept[:first]):
        if each is None:
            lines.append([])
        else:
            lines[-1].append(each)
    return [DrainLine(pieces=tuple(line), closed=False) for line in lines if line]


def _lies_along(side: _Loose, standing: Sequence[tuple[Point, Point]]) -> bool:
    """Say whether both ends of a side lie on the line of a side against a standing building."""
    for (x0, y0), (x1, y1) in standing:
        length = math.hypot(x1 - x0, y1 - y0)
        off = [
            abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / length
            for x, y in (side.start, side.end)
        ]
        if max(off) <= _BESIDE:
            return True
    return False


def _across(side: _Loose, sides: Sequence[DrainPiece | _Loose], i: int) -> DrainPiece | None:
    """Give a side across a jog the tighter level of the pieces on both sides of it."""
    around = [*sides[i + 1 :], *sides[:i]]
    after = next((each for each in around if isinstance(each, DrainPiece)), None)
    before = next((each for each in reversed(around) if isinstance(each, DrainPiece)), None)
    if before is None or after is None:
        return None
    # It counts to the wall that comes first by name, whichever way the outline runs.
    strand = min((before.strand, after.strand), key=lambda each: sorted_name(each.name))
    (a, _), (b, _) = strand.local((side.start, side.end))
    return DrainPiece(
        strand=strand,
        start=side.start,
        end=side.end,
        from_station=a,
        to_station=b,
        top=min(before.top, after.top),
        bottom=max(before.bottom, after.bottom),
    )
