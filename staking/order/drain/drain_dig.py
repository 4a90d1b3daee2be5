"""What is dug for the drain beside the footing's own trench."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.volume import HalfPlane, Plane, level_facets, rings_of, volume_above
from staking.lines import clip_ring
from staking.order.drain.beside_footings import DrainLine, DrainPiece
from staking.order.drain.falling_arms import DrainArm, DrainRoom
from staking.order.drain.pipe_and_stone import PAST_FOOTING
from staking.order.footing_in_ground import FootingInGround
from staking.order.trench import DEEPEST, MEETING_GRID, Bank, FacetsOf
from staking.plan import Point
from staking.tolerances import ON_LINE

_SPIKE = 0.1
"""Neighbours that turn back on each other by less than this, by the sine of half the angle between
them, end square: their mitre would have no end."""


@frozen
class DrainBottom:
    """The bottom of a straight piece of the drain's trench.

    Parameters
    ----------
    strand
        The wall beside it.
    start, end
        The ends of its middle line, m, anticlockwise round the building.
    from_level, to_level
        Elevation of the trench's bottom there, m.
    """

    strand: Strand
    start: Point
    end: Point
    from_level: float
    to_level: float


@frozen
class DrainDig:
    """What the drain's trench takes beyond the footing's own.

    Parameters
    ----------
    length
        Of the trench along its middle, m.
    volume
        What is dug for it beside and under the footing's trench, m3 in place.
    kept
        Stone and pipe in it, and the closed pipes, m3, where no earth goes back.
    pipe_length
        Of the closed pipes' trenches to the outlet, m.
    pipe_volume
        What is dug for them besides, m3 in place.
    pipe_unknown
        How much of their bottom has no known ground over it, m2.
    """

    length: float = 0.0
    volume: float = 0.0
    kept: float = 0.0
    pipe_length: float = 0.0
    pipe_volume: float = 0.0
    pipe_unknown: float = 0.0

    @property
    def whole(self) -> float:
        """All that is dug for the drain, m3."""
        return self.volume + self.pipe_volume


NO_DRAIN = DrainDig()
"""Without a drain."""


def falling_bottoms(arms: Sequence[DrainArm], room: DrainRoom) -> tuple[DrainBottom, ...]:
    """Give the bottom of a trench with a pipe, piece by piece.

    Parameters
    ----------
    arms
        How it falls.
    room
        The stone under the pipe.

    Returns
    -------
    tuple of DrainBottom
        It falls with the pipe.
    """
    found = []
    for arm in arms:
        for each in arm.pieces:
            ends = [
                (each.start, each.from_invert - room.under),
                (each.end, each.to_invert - room.under),
            ]
            if not _runs_with(each.piece, each.start, each.end):
                ends.reverse()
            (start, low), (end, high) = ends
            found.append(
                DrainBottom(
                    strand=each.piece.strand, start=start, end=end, from_level=low, to_level=high
                )
            )
    return tuple(each for each in found if math.dist(each.start, each.end) > ON_LINE)


def level_bottoms(lines: Sequence[DrainLine]) -> tuple[DrainBottom, ...]:
    """Give the bottom of a drain of stone alone: level with the footing's.

    Returns
    -------
    tuple of DrainBottom
        Piece by piece of its lines.
    """
    return tuple(
        DrainBottom(
            strand=each.strand,
            start=each.start,
            end=each.end,
            from_level=each.bottom,
            to_level=each.bottom,
        )
        for line in lines
        for each in line.pieces
        if each.length > ON_LINE
    )


def drain_volume(
    bottoms: Sequence[DrainBottom], footing: FootingInGround, facets_of: FacetsOf
) -> float:
    """Give what is dug for the drain beside and under the footing's trench.

    Parameters
    ----------
    bottoms
        The bottom of its trench, `PAST_FOOTING` wide.
    footing
        The footing and its trench.
    facets_of
        The ground along each wall.

    Returns
    -------
    float
        m3, in place. Where the footing's trench is sloped, the drain's is sloped alike away from
        the building. What the footing's trench and its sloping sides take is not counted again.
    """
    taken = _Taken(footing, facets_of)
    return sum(
        taken.beyond(ring, strand, plane)
        for strand, ring, plane in drain_trench(bottoms, footing.dig.bank)
    )


def drain_trench(
    bottoms: Sequence[DrainBottom], bank: float
) -> tuple[tuple[Strand, list[Point], Plane], ...]:
    """Give the trench of the drain as what is dug within convex rings down to planes.

    Parameters
    ----------
    bottoms
        The bottom of its trench, `PAST_FOOTING` wide.
    bank
        How far a sloping side runs out for 1 down; 0 for upright ones.

    Returns
    -------
    tuple of tuple
        The wall beside it, the ring, m, and the plane's elevations: its bottoms, and their sides
        away from the building where they slope.
    """
    half = PAST_FOOTING / 2
    found = []
    for own in bottoms:
        within = _between_neighbours(own, bottoms)
        across, level = _planes(own)
        a, b, c = across
        strip = _clipped(own, half * 2, (*within, (a, b, c + half), (-a, -b, half - c)))
        found.append((own.strand, strip, level))
        if bank > 0:
            # From its outer edge a side rises by 1 for every `bank` out.
            side = _clipped(own, bank * DEEPEST, (*within, (a, b, c - half)))
            p, q, r = level
            rising = (p + a / bank, q + b / bank, r + (c - half) / bank)
            found.append((own.strand, side, rising))
    return tuple((strand, ring, plane) for strand, ring, plane in found if len(ring) > 2)


def _runs_with(piece: DrainPiece, start: Point, end: Point) -> bool:
    (ax, ay), (bx, by) = piece.start, piece.end
    return (end[0] - start[0]) * (bx - ax) + (end[1] - start[1]) * (by - ay) > 0


def _along(own: DrainBottom) -> Point:
    length = math.dist(own.start, own.end)
    return ((own.end[0] - own.start[0]) / length, (own.end[1] - own.start[1]) / length)


def _planes(own: DrainBottom) -> tuple[HalfPlane, Plane]:
    """Give the distance out from the middle line, and the trench's bottom, as planes."""
    x, y = own.start
    ux, uy = _along(own)
    out = (uy, -ux, -(uy * x - ux * y))
    fall = (own.to_level - own.from_level) / math.dist(own.start, own.end)
    level = (fall * ux, fall * uy, own.from_level - fall * (ux * x + uy * y))
    return out, level


def _between_neighbours(
    own: DrainBottom, bottoms: Sequence[DrainBottom]
) -> tuple[HalfPlane, HalfPlane]:
    """Give the lines that a piece ends at: those that halve its corners, else square ones."""
    ux, uy = _along(own)
    before = next((each for each in bottoms if math.dist(each.end, own.start) <= ON_LINE), own)
    after = next((each for each in bottoms if math.dist(each.start, own.end) <= ON_LINE), own)

    def halving(other: DrainBottom) -> Point:
        vx, vy = _along(other)
        tx, ty = ux + vx, uy + vy
        length = math.hypot(tx, ty)
        return (ux, uy) if length < 2 * _SPIKE else (tx / length, ty / length)

    (px, py), (qx, qy) = halving(before), halving(after)
    (sx, sy), (ex, ey) = own.start, own.end
    return (px, py, -(px * sx + py * sy)), (-qx, -qy, qx * ex + qy * ey)


def _clipped(own: DrainBottom, reach: float, within: Sequence[HalfPlane]) -> list[Point]:
    (ax, ay), (bx, by) = own.start, own.end
    x, y, r = (ax + bx) / 2, (ay + by) / 2, reach + math.dist(own.start, own.end)
    ring = [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
    for side in within:
        ring = clip_ring(ring, *side)
    return ring


def shape_of_cut(ring: Sequence[Point]) -> Any:
    """Make a shape of a convex ring that lines have cut.

    Parameters
    ----------
    ring
        Its corners, m. Where several lines cut it at one place, a corner can be there twice, a
        rounding apart and in the wrong order, of which shapely makes no sound shape.

    Returns
    -------
    shapely MultiPolygon
        On the grid on which pieces meet; empty where fewer than three corners are apart.
    """
    import shapely

    apart = [at for i, at in enumerate(ring) if math.dist(ring[i - 1], at) > ON_LINE]
    return with_area(shapely.Polygon(apart if len(apart) > 2 else ()))


def with_area(shape: Any) -> Any:
    """Leave of a shape what has an area: two that touch share lines and points besides.

    Parameters
    ----------
    shape
        Any shapely geometry.

    Returns
    -------
    shapely MultiPolygon
        On the grid on which pieces meet.
    """
    import shapely

    on_grid = shapely.set_precision(shape, MEETING_GRID)
    parts = shapely.get_parts(shapely.get_parts(on_grid))
    return shapely.MultiPolygon([part for part in parts if part.geom_type == "Polygon"])


class _Taken:
    """What the footing's trench and its sloping sides have taken."""

    def __init__(self, footing: FootingInGround, facets_of: FacetsOf) -> None:
        import shapely

        self.footing = footing
        self.facets_of = facets_of
        self.bottom = shapely.union_all(
            [piece.shape for piece in footing.pieces], grid_size=MEETING_GRID
        )

    def beyond(self, ring: Sequence[Point], strand: Strand, plane: Plane) -> float:
        """Give what is dug within a convex ring down to a plane and not taken already, m3."""
        import shapely

        shape = shape_of_cut(ring)
        beside = rings_of(shapely.difference(shape, self.bottom, grid_size=MEETING_GRID))
        found = volume_above(beside, self.facets_of(strand), plane)
        found -= math.fsum(self._of_bank(beside, side, plane) for side in self.footing.banks)
        return max(0.0, found) + math.fsum(
            volume_above(
                rings_of(
                    with_area(shapely.intersection(shape, piece.shape, grid_size=MEETING_GRID))
                ),
                level_facets(piece.level),
                plane,
            )
            for piece in self.footing.pieces
        )

    def _of_bank(self, rings: list[list[Point]], side: Bank, plane: Plane) -> float:
        """Give what a sloping side takes there over the higher of it and the plane, m3."""
        facets = self.facets_of(side.piece.strand)
        p, q, r = (top - low for top, low in zip(side.plane, plane, strict=True))
        higher = volume_above(rings, facets, side.plane, (*side.within, (p, q, r)))
        return higher + volume_above(rings, facets, plane, (*side.within, (-p, -q, -r)))
