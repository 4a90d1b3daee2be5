"""Fill under a slab: between the ground, its topsoil gone, and the slab's stone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from staking.frozen import frozen
from staking.grade.terrain.volume import Facet, Plane, prism, rings_of
from staking.lines import clip_ring
from staking.order.footing_in_ground import FootingInGround
from staking.order.order_request import FillAsked
from staking.plan import Point
from staking.tolerances import ON_LINE
from staking.units import INCH

GRANULAR = 24 * INCH
"""Sand or gravel under a slab deeper than this, m, takes an approval (IRC R506.2.1;
the figures as in a county's summary of the California Residential Code, the exception and the
edition from memory)."""

EARTH = 8 * INCH
"""The same of earth, m (the same clause)."""

EARTH_IN_PLACE = 0.90
"""Compacted earth of 1 in place (common earth, US Army FM 5-434, from memory)."""


@frozen
class SlabFill:
    """What is filled under a slab; volumes as compacted.

    Parameters
    ----------
    asked
        What it is filled with.
    floor
        Area between the walls, m2.
    known
        The part of it over which the ground is known, m2.
    volume
        All of it, m3.
    deepest
        m.
    over_granular
        Area where it is deeper than `GRANULAR`, m2.
    earth
        How much of it is earth that was dug, m3: the lowest `FillAsked.spoil` of it.
    standing
        Area where the ground stands over the underside of the slab's stone, m2.
    highest
        By how much at most, m.
    """

    asked: FillAsked
    floor: float
    known: float
    volume: float
    deepest: float
    over_granular: float
    earth: float
    standing: float
    highest: float

    @property
    def mean(self) -> float:
        """Volume over the whole floor, m."""
        return self.volume / self.floor

    @property
    def granular(self) -> float:
        """What is bought of it, compacted, m3."""
        return self.volume - self.earth

    @property
    def earth_in_place(self) -> float:
        """What its earth measured before it was dug, m3."""
        return self.earth / EARTH_IN_PLACE


def slab_fill(
    footing: FootingInGround, facets: Sequence[Facet], strip: float, asked: FillAsked
) -> SlabFill | None:
    """Work out the fill that a slab needs under its stone.

    Parameters
    ----------
    footing
        The footing with the floor between its walls.
    facets
        The existing ground inside.
    strip
        Topsoil that is taken off, m.
    asked
        What it is filled with.

    Returns
    -------
    SlabFill or None
        None without a slab whose top is known.

    Notes
    -----
    The ground is plane facet by facet: each, clipped to the floor, gives a prism between two
    planes, so that the volume is exact.
    """
    slab = footing.plan.slab
    if slab is None or slab.top is None:
        return None
    shape = footing.floor
    rings = rings_of(shape)
    # The ground is filled from where the topsoil was up to the underside of the slab's stone.
    pieces = _pieces(rings, facets, slab.top - slab.thickness - slab.base + strip)
    volume = _between(pieces, 0.0)
    # Each from the ground up: what lies over the earth is what is deeper than it.
    earth = volume - _between(pieces, asked.spoil) if asked.spoil > 0 else 0.0
    heights = _heights(shape, pieces)
    return SlabFill(
        asked=asked,
        floor=float(shape.area),
        known=math.fsum(prism(ring, _ONE) for ring, _ in pieces),
        volume=volume,
        deepest=max([0.0, *heights]),
        over_granular=_area(pieces, GRANULAR),
        earth=earth,
        standing=_area([(ring, _turned(depth)) for ring, depth in pieces], 0.0),
        highest=max([0.0, *(-each for each in heights)]),
    )


_ONE = (0.0, 0.0, 1.0)

_Piece = tuple[list[Point], Plane]
"""A piece of the floor, and how far below the fill's top the ground lies over it, m."""


def _pieces(rings: Sequence[list[Point]], facets: Sequence[Facet], level: float) -> list[_Piece]:
    points = [point for ring in rings for point in ring]
    low = (min(x for x, _ in points), min(y for _, y in points))
    high = (max(x for x, _ in points), max(y for _, y in points))
    found = []
    for facet in facets:
        if (
            facet.low[0] >= high[0]
            or facet.low[1] >= high[1]
            or facet.high[0] <= low[0]
            or facet.high[1] <= low[1]
        ):
            continue
        a, b, c = facet.plane
        for ring in rings:
            part = list(ring)
            for side in facet.sides:
                part = clip_ring(part, *side)
            if len(part) > 2:
                found.append((part, (-a, -b, level - c)))
    return found


def _between(pieces: Sequence[_Piece], over: float) -> float:
    # What is filled deeper than `over`, m3.
    parts = []
    for ring, (a, b, c) in pieces:
        depth = (a, b, c - over)
        parts.append(prism(clip_ring(ring, *depth), depth))
    return math.fsum(parts)


def _area(pieces: Sequence[_Piece], over: float) -> float:
    # Where it is deeper than `over`, m2.
    return math.fsum(prism(clip_ring(ring, a, b, c - over), _ONE) for ring, (a, b, c) in pieces)


def _turned(plane: Plane) -> Plane:
    a, b, c = plane
    return (-a, -b, -c)


def _heights(shape: Any, pieces: Sequence[_Piece]) -> list[float]:
    # How deep the fill is at every corner of every piece, m. Where a ring that is not convex falls
    # apart, its clipped pieces stay joined by edges that may leave the floor: those are left out.
    import shapely

    points = [point for ring, _ in pieces for point in ring]
    if not points:
        return []
    shapely.prepare(shape)
    on_floor = shapely.dwithin(shape, shapely.points(points), ON_LINE)
    depths = [a * x + b * y + c for ring, (a, b, c) in pieces for x, y in ring]
    return [depth for depth, kept in zip(depths, on_floor.tolist(), strict=True) if kept]
