"""Where the trench comes so near a buried line that it is dug by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from staking.footing.bands_and_outlines import Band
from staking.lines import Array, crossings, direction, distances, inside
from staking.plan import Plan, Point
from staking.site.site_results import HandDig
from staking.tolerances import ON_LINE

Axis = tuple[Point, tuple[float, float]]
"""Where stations are counted from, m, and the unit direction in which they grow."""


def hand_dig_strips(points: Sequence[Point], width: float | None) -> tuple[tuple[Point, ...], ...]:
    """Return the ground within a distance of a buried line, round at its bends and ends.

    Parameters
    ----------
    points
        The line's points in order, m.
    width
        How far each side of the line is dug by hand, m; None where nothing is.

    Returns
    -------
    tuple of tuple of tuple of float
        Closed rings, m, the first point not repeated: the outside, then holes. None for a line of
        one point.
    """
    if not width or len(points) < 2:
        return ()
    from shapely import LineString

    strip = LineString(points).buffer(width, quad_segs=8)
    return tuple(
        tuple((float(x), float(y)) for x, y in ring.coords[:-1])
        for ring in (strip.exterior, *strip.interiors)
    )


def hand_dig(
    plan: Plan, dig_bands: Sequence[Band], name: str, line: Array, width: float
) -> tuple[HandDig, ...]:
    """Return every stretch of the dig within a distance of a buried line.

    Parameters
    ----------
    plan
        The building, for the stations of its walls.
    dig_bands
        What is dug: convex strips.
    name
        What the line is called.
    line
        ``(n, 2)`` points of the line in order on the building grid, m; at least two.
    width
        How far each side of the line is dug by hand, m.

    Returns
    -------
    tuple of HandDig
        By band in order, then by station. Stations count along the wall from its first corner,
        so that the dig past that corner is below nothing; along a pad, from its first edge.

    Notes
    -----
    What is within `width` of one stretch of the line is convex, and so is its common part with
    the band: its least and greatest stations lie at a corner of the band, at the farthest place
    of the strip beside the line, or where the edges of the two cross. All are looked at, so the
    stretch is exact.
    """
    axes = _axes(plan)
    found: list[HandDig] = []
    for band in dig_bands:
        if band.name not in axes:
            continue
        origin, along = axes[band.name]
        hull = np.array(band.hull, dtype=float)
        spans = sorted(
            span
            for start, end in pairwise(line)
            if (span := _span(hull, start, end, width, np.array(origin), np.array(along)))
        )
        for low, high in _joined(spans):
            found.append(HandDig(name=name, wall=band.name, start=low, end=high))
    return tuple(found)


def _axes(plan: Plan) -> dict[str, Axis]:
    axes: dict[str, Axis] = {}
    for building in plan.buildings:
        for side in building.sides:
            axes[side.wall.name] = (side.start, side.along)
    for line in plan.interior:
        axes[line.name] = (line.start, direction(line.start, line.end))
    for pad in plan.pads:
        half = (pad.diameter if pad.size is None else pad.size[0]) or 0.0
        c, s = math.cos(pad.turn), math.sin(pad.turn)
        axes[pad.name] = ((pad.x - c * half / 2, pad.y - s * half / 2), (c, s))
    return axes


def _span(
    hull: Array, start: Array, end: Array, width: float, origin: Array, along: Array
) -> tuple[float, float] | None:
    # The least and greatest station of the band within `width` of one stretch of the line.
    ends = np.roll(hull, -1, axis=0)
    if _gap(hull, ends, start, end) >= width - ON_LINE:
        # A strip that only touches the trench asks for nothing.
        return None
    sides = [(start, end)]
    length = float(np.hypot(*(end - start)))
    if length > 0:
        beside = np.array([-(end - start)[1], (end - start)[0]]) / length * width
        sides = [(start + beside, end + beside), (start - beside, end - beside)]
    places = [hull, np.array([p + s * width * along for p in (start, end) for s in (1, -1)])]
    for centre in (start, end):
        places.append(_on_circle(hull, ends, centre, width))
    for one, other in sides:
        places.append(_on_side(hull, ends, one, other))
    # Rounding must not lose a place that is on both edges.
    candidates = np.concatenate(places)
    near, _ = distances(candidates, start[None], end[None])
    within = near[:, 0] <= width + ON_LINE
    edge, _ = distances(candidates, hull, ends)
    within &= inside(candidates, hull) | (edge.min(axis=1) <= ON_LINE)
    if not within.any():
        return None
    stations = (candidates[within] - origin) @ along
    return float(stations.min()), float(stations.max())


def _gap(hull: Array, ends: Array, start: Array, end: Array) -> float:
    # How far a stretch of the line stays from the band, m; nothing where it enters.
    line = np.stack((start, end))
    entered = inside(line, hull).any()
    if entered or not np.isnan(crossings(hull, ends, start[None], end[None])).all():
        return 0.0
    to_line, _ = distances(hull, start[None], end[None])
    to_band, _ = distances(line, hull, ends)
    return float(min(to_line.min(), to_band.min()))


def _on_circle(starts: Array, ends: Array, centre: Array, radius: float) -> Array:
    along = ends - starts
    local = starts - centre
    a = (along**2).sum(axis=1)
    b = (along * local).sum(axis=1)
    inner = b * b - a * ((local**2).sum(axis=1) - radius * radius)
    real = (inner >= 0) & (a > 0)
    root = np.sqrt(inner[real])
    parts = np.stack(((-b[real] - root) / a[real], (-b[real] + root) / a[real]))
    places = starts[real] + parts[..., None] * along[real]
    result: Array = places[(parts >= 0) & (parts <= 1)]
    return result


def _on_side(starts: Array, ends: Array, one: Array, other: Array) -> Array:
    parts = crossings(starts, ends, one[None], other[None])[:, 0]
    real = ~np.isnan(parts)
    result: Array = starts[real] + parts[real, None] * (ends - starts)[real]
    return result


def _joined(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for low, high in spans:
        if joined and low <= joined[-1][1] + ON_LINE:
            joined[-1] = (joined[-1][0], max(joined[-1][1], high))
        else:
            joined.append((low, high))
    return joined


def stakes_near(
    line: Array, width: float, stakes: Sequence[tuple[str, Point]]
) -> tuple[tuple[str, float], ...]:
    """Return the stakes that would be driven within a distance of a buried line.

    Parameters
    ----------
    line
        ``(n, 2)`` points of the line on the building grid, m.
    width
        The distance, m.
    stakes
        Name and place of each, m.

    Returns
    -------
    tuple
        Each name once, with how near it comes, m.
    """
    if not stakes:
        return ()
    places = np.array([point for _, point in stakes], dtype=float)
    near = distances(places, line[:-1], line[1:])[0].min(axis=1)
    least: dict[str, float] = {}
    for (name, _), distance in zip(stakes, near, strict=True):
        if distance < width - ON_LINE:
            least[name] = min(float(distance), least.get(name, math.inf))
    return tuple(least.items())
