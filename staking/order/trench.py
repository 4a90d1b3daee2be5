"""The trench: what is dug over its bottom, and what its sloping sides add."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

from staking.footing.bands_and_outlines import Band, Ring
from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.volume import (
    Facet,
    HalfPlane,
    Plane,
    covered_area,
    left_of,
    rings_of,
    volume_above,
)
from staking.order.shape_areas import stretch_ring
from staking.order.wall_levels import Levels
from staking.plan import Point
from staking.tolerances import AREA, ON_LINE

FacetsOf = Callable[[Strand | None], Sequence[Facet]]
"""Gives the ground along a wall, or under a pad."""

Edge = tuple[Point, Point]
"""Start and end, m."""

_INSIDE = 1e-4
"""How far inside an edge its piece is looked for, m."""

MEETING_GRID = 1e-11
"""Pieces meet on a grid this fine, m, so that no slivers open between them: it moves the volume of
a building that lies turned by less than a billionth of a cubic metre."""

DEEPEST = 30.0
"""No trench is this deep, m: so far out a sloping side is looked for, times its run."""


@frozen(eq=False)
class DigPiece:
    """Ground dug to one level, less what deeper pieces take.

    Parameters
    ----------
    name
        The wall, line or pad.
    strand
        None for a pad.
    level
        Elevation of the dig, m.
    shape
        A Shapely polygon or several.
    """

    name: str
    strand: Strand | None
    level: float
    shape: Any

    @property
    def area(self) -> float:
        """Of the bottom, m2."""
        return float(self.shape.area)


def dig_pieces(levels: Levels, bands: Sequence[Band]) -> tuple[DigPiece, ...]:
    """Divide the trench's bottom by level.

    Parameters
    ----------
    levels
        Where the dig changes.
    bands
        The trench's bottom along every wall and under every pad, m.

    Returns
    -------
    tuple of DigPiece
        The deepest first; ground that two share is dug to the deeper.
    """
    hulls = {band.name: band.hull for band in bands}
    rough: list[tuple[float, str, Strand | None, Ring]] = []
    for stretch in levels.stretches:
        strand = stretch.strand
        ring = stretch_ring(strand, hulls[strand.name], stretch.dig_start, stretch.dig_end)
        if ring:
            rough.append((stretch.dig, strand.name, strand, ring))
    rough += [(at.dig, at.pad.name, None, hulls[at.pad.name]) for at in levels.pads]
    return level_pieces(rough)


def level_pieces(
    rough: Sequence[tuple[float, str, Strand | None, Ring]],
) -> tuple[DigPiece, ...]:
    """Share ground out between pieces that overlap.

    Parameters
    ----------
    rough
        Level, name, wall and ring of each, m.

    Returns
    -------
    tuple of DigPiece
        The lowest first; ground that two share is the lower one's.
    """
    import shapely
    from shapely.geometry import Polygon

    taken: Any = Polygon()
    found = []
    ordered = sorted(rough, key=lambda piece: (round(piece[0], 9), sorted(piece[1].split("-"))))
    for level, name, strand, ring in ordered:
        shape = shapely.set_precision(Polygon(ring), MEETING_GRID)
        own = shapely.difference(shape, taken, grid_size=MEETING_GRID)
        taken = shapely.union(taken, shape, grid_size=MEETING_GRID)
        if own.area > AREA:
            found.append(DigPiece(name=name, strand=strand, level=level, shape=own))
    return tuple(found)


def edge_length(pieces: Sequence[DigPiece]) -> float:
    """Give how long the edge of the trench's bottom is, inside and outside.

    Returns
    -------
    float
        m.
    """
    return float(_joined(pieces).length)


def _joined(pieces: Sequence[DigPiece]) -> Any:
    # All of them as one shape. Pieces of a turned building meet a hair off one another: growing and
    # shrinking closes gaps a billionth of a metre wide and takes away spikes as thin, which would
    # have edges and banks of their own.
    import shapely

    whole = shapely.union_all([piece.shape for piece in pieces], grid_size=MEETING_GRID)
    for grown in (ON_LINE, -ON_LINE):
        whole = shapely.buffer(whole, grown, join_style="mitre")
    return whole


def bottom_volume(pieces: Sequence[DigPiece], facets_of: FacetsOf) -> float:
    """Give what stands over the trench's bottom.

    Parameters
    ----------
    pieces
        The bottom.
    facets_of
        The ground.

    Returns
    -------
    float
        m3, in place, before it swells.
    """
    return math.fsum(
        volume_above(rings_of(piece.shape), facets_of(piece.strand), (0.0, 0.0, piece.level))
        for piece in pieces
    )


def missing_ground(pieces: Sequence[DigPiece], facets_of: FacetsOf) -> float:
    """Give how much of the trench's bottom has no ground known over it.

    Returns
    -------
    float
        m2.
    """
    return math.fsum(
        piece.area - covered_area(rings_of(piece.shape), facets_of(piece.strand))
        for piece in pieces
    )


@frozen(eq=False)
class Bank:
    """One sloping side of the trench.

    Parameters
    ----------
    piece
        The piece of the bottom that it rises from.
    edge
        Where it begins, m.
    plane
        Its own elevations.
    within
        It lies between these lines: off its edge, and between its neighbours.
    """

    piece: DigPiece
    edge: Edge
    plane: Plane
    within: tuple[HalfPlane, ...]


def banks_of(
    pieces: Sequence[DigPiece], bank: float, upright: Sequence[Edge] = ()
) -> tuple[Bank, ...]:
    """Give the sloping sides.

    Parameters
    ----------
    pieces
        The bottom.
    bank
        Horizontal run per unit of depth.
    upright
        Lines of standing buildings, m: what is dug up to them is not sloped toward them.

    Returns
    -------
    tuple of Bank
        Every side is a plane rising from its edge; neighbours meet on the line that halves their
        corner.
    """
    if bank <= 0:
        return ()
    found = []
    for sides in sides_of(pieces):
        edges = [edge for edge, _ in sides]
        stands = [stands_on(edge, upright) for edge in edges]
        for i, (start, end) in enumerate(edges):
            if stands[i]:
                continue
            a, b, c = left_of(start, end)
            before, after = edges[i - 1], edges[(i + 1) % len(edges)]
            within: tuple[HalfPlane, ...] = (
                (-a, -b, -c),
                _up_to(before, (start, end), start, 1.0)
                if stands[i - 1]
                else _past(before, (start, end), start, 1.0),
                _up_to((start, end), after, end, -1.0)
                if stands[(i + 1) % len(edges)]
                else _past((start, end), after, end, -1.0),
            )
            # The side rises by 1 / bank for every metre away from the edge.
            owner = sides[i][1]
            plane = (-a / bank, -b / bank, owner.level - c / bank)
            found.append(Bank(piece=owner, edge=(start, end), plane=plane, within=within))
    return tuple(found)


def volume_of_banks(banks: Sequence[Bank], bank: float, facets_of: FacetsOf) -> float:
    """Give what the sloping sides take beyond the bottom.

    Parameters
    ----------
    banks, bank
        The sides, and their run per unit of depth, as in `banks_of`.
    facets_of
        The ground.

    Returns
    -------
    float
        m3. Banks that meet across the building are counted twice.
    """
    return math.fsum(
        volume_above(
            [_square(*side.edge, bank * DEEPEST)],
            facets_of(side.piece.strand),
            side.plane,
            side.within,
        )
        for side in banks
    )


def sides_of(pieces: Sequence[DigPiece]) -> list[list[tuple[Edge, DigPiece]]]:
    """Give the edges round all pieces, each with the piece that it bounds.

    Parameters
    ----------
    pieces
        Pieces of the bottom, or of the footing.

    Returns
    -------
    list of list
        Ring by ring, the pieces to the left; an edge is cut where pieces of unlike level meet.
    """
    whole = _joined(pieces)
    vertices = [point for piece in pieces for ring in rings_of(piece.shape) for point in ring]
    return [_sides(pieces, _edges(ring, vertices)) for ring in rings_of(whole)]


def stands_on(edge: Edge, lines: Sequence[Edge]) -> bool:
    """Say whether an edge lies along one of some lines, such as those of standing buildings."""
    return any(_on_line(edge, line) for line in lines)


def _edges(ring: list[Point], vertices: Sequence[Point]) -> list[Edge]:
    # The ring's edges, cut where pieces of unlike level meet on them.
    found = []
    # An edge of a billionth of a metre has any direction, and its corners' halving lines with it.
    ring = [at for i, at in enumerate(ring) if math.dist(ring[i - 1], at) > ON_LINE]
    for i, start in enumerate(ring):
        end = ring[(i + 1) % len(ring)]
        length = math.dist(start, end)
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        along = {0.0: start, length: end}
        for x, y in vertices:
            s = (x - start[0]) * ux + (y - start[1]) * uy
            off = abs((x - start[0]) * uy - (y - start[1]) * ux)
            new = all(abs(s - other) > ON_LINE for other in along)
            if new and off <= ON_LINE and ON_LINE < s < length - ON_LINE:
                along[s] = (start[0] + s * ux, start[1] + s * uy)
        stops = [along[s] for s in sorted(along)]
        found += list(pairwise(stops))
    return found


def _sides(pieces: Sequence[DigPiece], edges: Sequence[Edge]) -> list[tuple[Edge, DigPiece]]:
    # Each edge with the piece it bounds. Edges in one line that bound one level are one side: a
    # corner's halving line cuts all of it, however near a vertex stands that parts it.
    sides: list[tuple[Edge, DigPiece]] = []
    for edge in edges:
        owner = _owner(pieces, *edge)
        if sides and _goes_on(sides[-1], edge, owner):
            edge = (sides.pop()[0][0], edge[1])
        sides.append((edge, owner))
    if len(sides) > 1 and _goes_on(sides[-1], *sides[0]):
        start, owner = sides.pop()[0][0], sides[0][1]
        sides[0] = ((start, sides[0][0][1]), owner)
    return sides


def _goes_on(side: tuple[Edge, DigPiece], edge: Edge, owner: DigPiece) -> bool:
    (start, middle), piece = side
    if piece.level != owner.level or piece.strand is not owner.strand:
        return False
    a, b, c = left_of(start, edge[1])
    return abs(a * middle[0] + b * middle[1] + c) <= ON_LINE


def _owner(pieces: Sequence[DigPiece], start: Point, end: Point) -> DigPiece:
    from shapely.geometry import Point as Spot

    a, b, _ = left_of(start, end)
    spot = Spot((start[0] + end[0]) / 2 + a * _INSIDE, (start[1] + end[1]) / 2 + b * _INSIDE)
    return min(pieces, key=lambda piece: (round(piece.shape.distance(spot), 9), piece.level))


def _on_line(edge: Edge, line: Edge) -> bool:
    a, b, c = left_of(*line)
    return all(abs(a * x + b * y + c) <= _INSIDE for x, y in edge)


def _up_to(first: Edge, second: Edge, at: Point, sense: float) -> HalfPlane:
    # How far a side runs that meets a standing building at the corner: the second edge's (sense 1)
    # or the first's (sense -1). Up to the building's line where it lies ahead; where the corner
    # turns away from it, square to the side's own edge.
    (ux, uy), (vx, vy) = _unit(first), _unit(second)
    if ux * vy - uy * vx > 0:
        return left_of(*(first if sense > 0 else second))
    tx, ty = (vx, vy) if sense > 0 else (ux, uy)
    return (sense * tx, sense * ty, -sense * (tx * at[0] + ty * at[1]))


def _past(first: Edge, second: Edge, at: Point, sense: float) -> HalfPlane:
    # The side of the corner's halving line that belongs to the second edge (sense 1), or to the
    # first (sense -1).
    ux, uy = _unit(first)
    vx, vy = _unit(second)
    # The edges' directions add up to the normal of the line that halves the corner.
    tx, ty = ux + vx, uy + vy
    if math.hypot(tx, ty) < ON_LINE:
        tx, ty = vx, vy
    length = sense * math.hypot(tx, ty)
    a, b = tx / length, ty / length
    return (a, b, -(a * at[0] + b * at[1]))


def _unit(edge: Edge) -> Point:
    (x0, y0), (x1, y1) = edge
    length = math.hypot(x1 - x0, y1 - y0)
    return ((x1 - x0) / length, (y1 - y0) / length)


def _square(start: Point, end: Point, reach: float) -> list[Point]:
    # Ground enough round an edge for any side.
    x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    r = reach + math.dist(start, end)
    return [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
