"""Board numbers as one walks: round the footing anticlockwise from the first corner."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from staking.footing.bands_and_outlines import Outline
from staking.frozen import frozen
from staking.kinds import StringKind
from staking.lines import (
    Array,
    cross,
    dot,
    intersect_lines,
    left_of,
    nearest_shares,
    signed_area,
    unit,
)
from staking.plan import Building, Plan, Point
from staking.tolerances import SAME_POINT, STRAIGHT_RAD


@frozen
class BoardSpot:
    """A board that has no number yet.

    Parameters
    ----------
    kind
        What its string is for.
    end
        The corner, interior line or pad that it stands beyond.
    middle
        Halfway between the board's two ends, m.
    """

    kind: StringKind
    end: str
    middle: Point


def walking_order(plan: Plan, footing: Outline, spots: Sequence[BoardSpot]) -> list[int]:
    """Put boards in the order in which one comes to them walking round the footing.

    Parameters
    ----------
    plan
        The building on paper.
    footing
        The footing outline, whose outer rings are walked.
    spots
        The boards in the order of their strings, start before end.

    Returns
    -------
    list of int
        Indices into `spots`: the boards of the outlines first, one building after the other, then
        those of interior lines and pads.

    Notes
    -----
    A board comes at the distance along the outer ring, anticlockwise from the building's first
    corner, of the ring's point nearest the board's middle. Boards at one distance come by the
    nearer, then in the order of their strings. Where sides against a standing building part a
    building's footing, its rings are walked in turn, each from its first wall's first corner. The
    building of an interior line or a pad is the one whose footing is nearest.
    """
    walks = [_walk(building, footing) for building in plan.buildings]
    home = {c.name: i for i, each in enumerate(plan.buildings) for c in each.corners}
    placed: list[tuple[int, int, int, float, float, int]] = []
    for index, spot in enumerate(spots):
        if spot.kind is StringKind.WALL and walks[home[spot.end]].rings:
            building = home[spot.end]
            ring, along, far = walks[building].nearest(spot.middle)
            placed.append((0, building, ring, along, far, index))
            continue
        found = [
            (far, i, ring, along)
            for i, walk in enumerate(walks)
            if walk.rings
            for ring, along, far in [walk.nearest(spot.middle)]
        ]
        # with no footing of walls to walk round, the order of the strings is left
        far, building, ring, along = min(found, key=_by_distance, default=(0.0, 0, 0, 0.0))
        placed.append((1, building, ring, along, far, index))
    placed.sort()
    return [index for group in _at_one_place(placed) for index in group]


def _by_distance(found: tuple[float, int, int, float]) -> tuple[int, int]:
    # a ring shared by two buildings is the first one's
    return round(found[0] / SAME_POINT), found[1]


def _at_one_place(placed: list[tuple[int, int, int, float, float, int]]) -> list[list[int]]:
    # what differs by rounding alone stands at one place
    groups: list[list[tuple[int, int, int, float, float, int]]] = []
    for each in placed:
        first = groups[-1][0] if groups else None
        if first is not None and each[:3] == first[:3] and each[3] - first[3] <= SAME_POINT:
            groups[-1].append(each)
        else:
            groups.append([each])
    for group in groups:
        group.sort(key=lambda each: (round(each[4] / SAME_POINT), each[5]))
    return [[each[5] for each in group] for group in groups]


@frozen(eq=False)
class _Ring:
    """A ring of the footing, anticlockwise from where it is entered: corners in m, ``(n, 2)``.

    `along` is each corner's distance from the entry, m, shape ``(n + 1,)``: the last is the whole
    way round.
    """

    corners: Array
    along: Array

    def nearest(self, point: Point) -> tuple[float, float]:
        """Give how far along the ring its point nearest a place is, and how far off that is, m."""
        ends = np.roll(self.corners, -1, axis=0)
        way = ends - self.corners
        share, off = nearest_shares(np.asarray(point), self.corners, ends)
        far = np.hypot(off[:, 0], off[:, 1])
        least = float(far.min())
        reach = self.along[:-1] + share * np.sqrt(dot(way, way))
        # the way round ends where it began
        reach = np.where(reach >= self.along[-1] - SAME_POINT, 0.0, reach)
        return float(reach[far <= least + SAME_POINT].min()), least


@frozen(eq=False)
class _Walk:
    """The rings round one building in the order in which they are walked."""

    rings: tuple[_Ring, ...]

    def nearest(self, point: Point) -> tuple[int, float, float]:
        """Give the number of the nearest ring, how far along it, and how far from it, m."""
        found = [ring.nearest(point) for ring in self.rings]
        ring = min(range(len(found)), key=lambda i: (round(found[i][1] / SAME_POINT), i))
        return ring, *found[ring]


def _walk(building: Building, footing: Outline) -> _Walk:
    points = np.array(building.ring, dtype=float)
    standing = np.array([wall.existing is not None for wall in building.walls])
    outside = np.array([0.0 if w.existing else w.footing.outside for w in building.walls])
    if signed_area(points) < 0:
        # the same corners from the same first one, the other way round; its walls with them
        points = np.roll(points[::-1], 1, axis=0)
        standing, outside = standing[::-1], outside[::-1]
    along = unit(np.roll(points, -1, axis=0) - points)
    out = -left_of(along)
    middles = (points + np.roll(points, -1, axis=0)) / 2 + outside[:, None] * out
    rings = [_ring(np.array(ring, dtype=float)) for ring in footing.outlines]
    entered: dict[int, _Ring] = {}
    for wall in np.flatnonzero(~standing).tolist() if rings else []:
        x, y = middles[wall].tolist()
        away = [ring.nearest((x, y))[1] for ring in rings]
        own = min(range(len(rings)), key=lambda i: away[i])
        if own not in entered:
            entered[own] = _entered(rings[own], _outer_corner(points, along, out, outside, wall))
    return _Walk(rings=tuple(entered.values()))


def _outer_corner(points: Array, along: Array, out: Array, outside: Array, wall: int) -> Point:
    # where the outer edges of the walls that meet at a wall's first corner cross
    edge = points[wall] + outside[wall] * out[wall]
    other = points[wall] + outside[wall - 1] * out[wall - 1]
    turn = float(cross(along[wall - 1], along[wall]))
    if abs(turn) < math.sin(STRAIGHT_RAD):
        return (float(edge[0]), float(edge[1]))
    x, y = intersect_lines(other, along[wall - 1], edge, along[wall]).tolist()
    return (x, y)


def _ring(corners: Array) -> _Ring:
    lengths = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    return _Ring(corners=corners, along=np.concatenate(([0.0], np.cumsum(lengths))))


def _entered(ring: _Ring, near: Point) -> _Ring:
    # the same ring from its point nearest to a place
    along, _ = ring.nearest(near)
    first = int(np.searchsorted(ring.along, along + SAME_POINT, side="right")) - 1
    start, end = ring.corners[first], np.roll(ring.corners, -1, axis=0)[first]
    length = ring.along[first + 1] - ring.along[first]
    share = min(max((along - ring.along[first]) / length, 0.0), 1.0)
    turned = np.roll(ring.corners, -first, axis=0)
    if share * length <= SAME_POINT:
        return _ring(turned)
    return _ring(np.concatenate(((start + share * (end - start))[None], turned[1:], turned[:1])))
