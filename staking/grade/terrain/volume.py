"""Exact volumes between the ground and a plane over pieces of ground.

The ground is made of plane facets, so what stands over a plane within a polygon is a sum of prisms
with plane tops: clipped, each has its area times the mean height of its corners.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import numpy as np

from staking.frozen import frozen
from staking.grade.stepping.cells import Ground
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.ground_readings import GroundReadings
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.surveyed_ground import SurveyedGround
from staking.lines import clip_ring, convex_hull
from staking.plan import Point

HalfPlane = tuple[float, float, float]
"""Where ``a x + b y + c >= 0``; with a and b a unit vector, c is in m."""

Plane = tuple[float, float, float]
"""An elevation ``p x + q y + r``, m."""


@frozen
class Facet:
    """A convex part of the ground and the plane it lies in.

    Parameters
    ----------
    sides
        It lies within all of these; none for ground without an end.
    low, high
        The least and greatest x and y it reaches, m.
    """

    sides: tuple[HalfPlane, ...]
    plane: Plane
    low: Point = (-math.inf, -math.inf)
    high: Point = (math.inf, math.inf)


def level_facets(elevation: float) -> tuple[Facet, ...]:
    """Give level ground without an end.

    Returns
    -------
    tuple of Facet
        One.
    """
    return (Facet(sides=(), plane=(0.0, 0.0, elevation)),)


def surface_facets(surface: GroundSurface, region: Sequence[Point] = ()) -> tuple[Facet, ...]:
    """Give a surface's triangles.

    Parameters
    ----------
    surface
        The ground.
    region
        Only triangles near the box round these points, m; all where there are none.

    Returns
    -------
    tuple of Facet
        One a triangle; those without an area are left out.
    """
    found = []
    points = surface.points.tolist()
    heights = surface.elevations.tolist()
    triangles = surface.triangles
    if region:
        corners, box = surface.points[triangles], np.array(region)
        near = (corners.min(axis=1) <= box.max(axis=0)).all(axis=1)
        triangles = triangles[near & (corners.max(axis=1) >= box.min(axis=0)).all(axis=1)]
    for triangle in triangles.tolist():
        ring = [points[i] for i in triangle]
        z = [heights[i] for i in triangle]
        (x0, y0), (x1, y1), (x2, y2) = ring
        double = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
        if double == 0.0:
            continue
        if double < 0:
            # A given surface may have its triangles clockwise.
            ring, z, double = [ring[0], ring[2], ring[1]], [z[0], z[2], z[1]], -double
            (x1, y1), (x2, y2) = (x2, y2), (x1, y1)
        p = ((z[1] - z[0]) * (y2 - y0) - (z[2] - z[0]) * (y1 - y0)) / double
        q = ((z[2] - z[0]) * (x1 - x0) - (z[1] - z[0]) * (x2 - x0)) / double
        found.append(
            Facet(
                sides=tuple(
                    left_of(tuple(a), tuple(b))
                    for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
                ),
                plane=(p, q, z[0] - p * x0 - q * y0),
                low=(min(x0, x1, x2), min(y0, y1, y2)),
                high=(max(x0, x1, x2), max(y0, y1, y2)),
            )
        )
    return tuple(found)


def readings_facets(readings: GroundReadings, strand: Strand) -> tuple[Facet, ...]:
    """Give the ground along one wall: straight between readings, level across the width.

    Parameters
    ----------
    readings
        The ground.
    strand
        The wall.

    Returns
    -------
    tuple of Facet
        Strips across the wall without an end sideways; before the first and after the last
        reading the ground goes on level.
    """
    stations, elevations = (each.tolist() for each in readings.along[strand.name])
    ax = (strand.end[0] - strand.start[0]) / strand.length
    ay = (strand.end[1] - strand.start[1]) / strand.length
    origin = strand.start[0] * ax + strand.start[1] * ay
    cuts = [-math.inf, *stations, math.inf]
    heights = [elevations[0], *elevations, elevations[-1]]
    found = []
    for i in range(len(cuts) - 1):
        low, high = cuts[i], cuts[i + 1]
        slope = 0.0
        if math.isfinite(low) and math.isfinite(high):
            slope = (heights[i + 1] - heights[i]) / (high - low)
        anchor = low if math.isfinite(low) else high
        level = heights[i] if math.isfinite(low) else heights[i + 1]
        sides: list[HalfPlane] = []
        if math.isfinite(low):
            sides.append((ax, ay, -origin - low))
        if math.isfinite(high):
            sides.append((-ax, -ay, origin + high))
        plane = (slope * ax, slope * ay, level - slope * (origin + anchor))
        found.append(Facet(sides=tuple(sides), plane=plane))
    return tuple(found)


def beyond_facets(readings: GroundReadings) -> tuple[Facet, ...]:
    """Give the ground beyond readings that is as high as the nearest between them.

    Parameters
    ----------
    readings
        The ground.

    Returns
    -------
    tuple of Facet
        Off each side of their hull a half strip, level away from it; off each corner a level
        wedge.
    """
    hull = convex_hull([(x, y) for x, y in readings.places.tolist()])
    heights = readings.at(np.array(hull)).tolist()
    found = []
    for i, (start, end) in enumerate(zip(hull, hull[1:] + hull[:1], strict=True)):
        length = math.dist(start, end)
        ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
        # The hull runs anticlockwise: beyond a side lies to its right.
        a, b, c = left_of(start, end)
        first = (ux, uy, -(ux * start[0] + uy * start[1]))
        last = (-ux, -uy, ux * end[0] + uy * end[1])
        slope = (heights[(i + 1) % len(hull)] - heights[i]) / length
        plane = (slope * ux, slope * uy, heights[i] + slope * first[2])
        found.append(Facet(sides=((-a, -b, -c), first, last), plane=plane))
        before = hull[i - 1]
        way = math.dist(before, start)
        bx, by = (start[0] - before[0]) / way, (start[1] - before[1]) / way
        past = (bx, by, -(bx * start[0] + by * start[1]))
        back = (-ux, -uy, -first[2])
        found.append(Facet(sides=(past, back), plane=(0.0, 0.0, heights[i])))
    return tuple(found)


def ground_facets(
    ground: Ground, strand: Strand | None, region: Sequence[Point]
) -> tuple[Facet, ...]:
    """Give the facets of any ground.

    Parameters
    ----------
    ground
        A survey's ground, a surface, or readings.
    strand
        The wall it is wanted along; None for a pad, which lies between the readings.
    region
        Points round all that is asked for, m.

    Returns
    -------
    tuple of Facet
        The ground.

    Raises
    ------
    TypeError
        For another kind of ground.
    """
    if isinstance(ground, SurveyedGround):
        return surface_facets(_over(ground, region), _round(region))
    if isinstance(ground, GroundSurface):
        return surface_facets(ground, _round(region))
    if isinstance(ground, GroundReadings):
        if strand is not None and strand.name in ground.along:
            return readings_facets(ground, strand)
        between = ground.between
        if between is None:
            return ()
        return surface_facets(between) + (beyond_facets(ground) if ground.nearest else ())
    raise TypeError(f"{type(ground).__name__} has no facets")


def lies_alike(ground: Ground) -> bool:
    """Tell whether a ground has the same facets along every wall and under every pad.

    Returns
    -------
    bool
        False for readings, which are level across each wall.
    """
    return not isinstance(ground, GroundReadings)


def _round(region: Sequence[Point]) -> list[Point]:
    # The region's box with a metre more each way, for banks that run past the dig outline.
    xs, ys = [x for x, _ in region], [y for _, y in region]
    return [(min(xs) - 1.0, min(ys) - 1.0), (max(xs) + 1.0, max(ys) + 1.0)] if region else []


def _over(ground: SurveyedGround, region: Sequence[Point]) -> GroundSurface:
    # The survey's surface over a region that may reach past the footing.
    places = np.array(_round(region))
    if ((places >= ground.low) & (places <= ground.high)).all():
        return ground.surface
    if isinstance(ground.wider, GroundSurface):
        return ground.wider
    return ground.wider.over(places)


def rings_of(shape: Any) -> list[list[Point]]:
    """Give a shape's rings, outer ones anticlockwise and holes clockwise.

    Returns
    -------
    list of list
        Without repeated last points.
    """
    from shapely.geometry.polygon import orient

    found = []
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        turned = orient(part)
        for ring in (turned.exterior, *turned.interiors):
            found.append([(x, y) for x, y in list(ring.coords)[:-1]])
    return found


def covered_area(rings: Iterable[Sequence[Point]], facets: Iterable[Facet]) -> float:
    """Give how much of an area the ground reaches over.

    Parameters
    ----------
    rings
        Outer rings anticlockwise and holes clockwise, m.
    facets
        The ground.

    Returns
    -------
    float
        m2.
    """
    kept = [list(ring) for ring in rings]
    boxes = [_box(ring) for ring in kept]
    total = 0.0
    for facet in facets:
        for ring, box in zip(kept, boxes, strict=True):
            if _is_off(facet, *box):
                continue
            part = ring
            for side in facet.sides:
                part = clip_ring(part, *side)
            total += prism(part, (0.0, 0.0, 1.0))
    return total


def left_of(start: Point | tuple[float, ...], end: Point | tuple[float, ...]) -> HalfPlane:
    """Give the half-plane to the left of a line.

    Parameters
    ----------
    start, end
        The line, m, not of one point.

    Returns
    -------
    tuple of float
        Its coefficients; the distance to the left is their value, m.
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    a, b = -dy / length, dx / length
    return (a, b, -(a * start[0] + b * start[1]))


def volume_above(
    rings: Iterable[Sequence[Point]],
    facets: Iterable[Facet],
    plane: Plane,
    within: Sequence[HalfPlane] = (),
) -> float:
    """Give the volume of the ground that stands above a plane.

    Parameters
    ----------
    rings
        Outer rings anticlockwise and holes clockwise, m.
    facets
        The ground.
    plane
        What it is measured from.
    within
        Only this side of these lines.

    Returns
    -------
    float
        m3; where the ground is under the plane it counts nothing.

    Notes
    -----
    Rings are clipped one half-plane after another (Sutherland and Hodgman); where a ring that is
    not convex falls apart, its pieces stay joined by edges run along twice, which add nothing to
    the signed sum.

    References
    ----------
    Volume of a prism with a plane top: base times the mean of three corner heights (derived).
    """
    total = 0.0
    for part, height in _standing_above(rings, facets, plane, within):
        total += prism(part, height)
    return total


def area_above(rings: Iterable[Sequence[Point]], facets: Iterable[Facet], plane: Plane) -> float:
    """Give over how much of an area the ground stands above a plane.

    Parameters
    ----------
    rings, facets, plane
        As in `volume_above`.

    Returns
    -------
    float
        m2.
    """
    total = 0.0
    for part, _ in _standing_above(rings, facets, plane, ()):
        total += prism(part, (0.0, 0.0, 1.0))
    return total


def _standing_above(
    rings: Iterable[Sequence[Point]],
    facets: Iterable[Facet],
    plane: Plane,
    within: Sequence[HalfPlane],
) -> Iterator[tuple[Sequence[Point], Plane]]:
    # The parts of the rings over which the ground stands above the plane, and how high.
    kept = [list(ring) for ring in rings]
    for side in within:
        kept = [clip_ring(ring, *side) for ring in kept]
    kept = [ring for ring in kept if len(ring) > 2]
    if not kept:
        return
    low, high = _box([point for ring in kept for point in ring])
    for facet in facets:
        if _is_off(facet, low, high):
            continue
        p, q, r = (top - bottom for top, bottom in zip(facet.plane, plane, strict=True))
        for ring in kept:
            part = ring
            for side in (*facet.sides, (p, q, r)):
                part = clip_ring(part, *side)
            yield part, (p, q, r)


def _box(points: Sequence[Point]) -> tuple[Point, Point]:
    # The least and the greatest x and y.
    return (
        (min(x for x, _ in points), min(y for _, y in points)),
        (max(x for x, _ in points), max(y for _, y in points)),
    )


def _is_off(facet: Facet, low: Point, high: Point) -> bool:
    # Whether a facet lies wholly beside a box, so that the two share no area.
    return (
        facet.low[0] >= high[0]
        or facet.low[1] >= high[1]
        or facet.high[0] <= low[0]
        or facet.high[1] <= low[1]
    )


def prism(ring: Sequence[Point], height: Plane) -> float:
    """Give the signed volume between a ring and a plane of heights over it.

    Returns
    -------
    float
        m3, positive for an anticlockwise ring.
    """
    if len(ring) < 3:
        return 0.0
    p, q, r = height
    x0, y0 = ring[0]
    heights = [p * x + q * y + r for x, y in ring]
    total = 0.0
    for i in range(1, len(ring) - 1):
        (x1, y1), (x2, y2) = ring[i], ring[i + 1]
        double = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
        total += double / 6 * (heights[0] + heights[i] + heights[i + 1])
    return total
