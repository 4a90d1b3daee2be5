"""Merge bands into the closed rings that are painted and dug."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain

import numpy as np
import numpy.typing as npt

from staking.footing.bands_and_outlines import Band, Outline, Ring
from staking.lines import Array, cross, drop_points_in_line
from staking.tolerances import AREA, ON_LINE

Starts = npt.NDArray[np.intp]


def merge(bands: Iterable[Band]) -> Outline:
    """Return the outline of the ground that bands cover together.

    Parameters
    ----------
    bands
        Convex strips and pads, m.

    Returns
    -------
    Outline
        Outer rings anticlockwise, holes clockwise; each from its lowest, then leftmost, point,
        without points in line, and the rings in the order of those points. Area in m2, that of
        the ground before points in line are left out.

    Notes
    -----
    The union is made about the first band's place, so that survey coordinates lose nothing.
    Bands, holes and rings of less than `tolerances.AREA`, which rounding can leave between bands
    that touch, are none. A jog can be just so long that its footing shrinks to a line.
    """
    hulls = [band.hull for band in bands]
    if not hulls:
        return Outline(outlines=(), holes=(), area=0.0)
    import shapely

    counts = np.fromiter((len(hull) for hull in hulls), dtype=np.intp, count=len(hulls))
    flat = chain.from_iterable(chain.from_iterable(hulls))
    points = np.fromiter(flat, dtype=float, count=2 * int(counts.sum())).reshape(-1, 2)
    centre = points[0].copy()
    points -= centre
    wide = np.abs(_ring_areas(points, np.concatenate(([0], np.cumsum(counts))))) > AREA
    if not wide.any():
        return Outline(outlines=(), holes=(), area=0.0)
    held = np.repeat(wide, counts)
    points = _closed_over(points[held], points[~held])
    index = np.repeat(np.arange(np.count_nonzero(wide)), counts[wide])
    rings = shapely.linearrings(points, indices=index)
    merged = shapely.union_all(shapely.polygons(rings))
    corners, starts = _ring_arrays(merged)
    # A point within a hair of a line is left out of the ring, but not out of what is ordered:
    # along a long wall the hair is a spoonful of concrete.
    areas = _ring_areas(corners, starts)
    area = float(areas[np.abs(areas) > AREA].sum())
    corners, starts = drop_points_in_line(corners, starts)
    return _outline(corners, starts, centre, area)


def _closed_over(points: Array, left_out: Array) -> Array:
    # The bands on both sides of one that was left out have its corners but for rounding: they
    # are given the very same ones, or a slit would stay open between them.
    for corner in left_out:
        apart = np.hypot(*(points - corner).T)
        points = np.where((apart <= ON_LINE)[:, None], corner, points)
    return points


def _ring_arrays(merged: object) -> tuple[Array, Starts]:
    # The corners of all rings, without repeated last ones, and where each ring starts.
    #
    # Outer rings are turned anticlockwise and holes clockwise, so that the sign of a ring's area
    # tells which it is.
    import shapely

    rings, part = shapely.get_rings(shapely.get_parts(np.asarray(merged)), return_index=True)
    coordinates, ring = shapely.get_coordinates(rings, return_index=True)
    last = np.append(ring[1:] != ring[:-1], True)
    counts = np.bincount(ring) - 1
    starts = np.concatenate(([0], np.cumsum(counts))).astype(np.intp)
    corners = coordinates[~last]
    outer = np.append(True, part[1:] != part[:-1])  # a polygon's outer ring comes first
    wrong = np.repeat((_ring_areas(corners, starts) > 0) != outer, counts)
    index = np.arange(len(corners))
    turned = np.repeat(starts[:-1] + starts[1:] - 1, counts) - index
    return corners[np.where(wrong, turned, index)], starts


def _ring_areas(corners: Array, starts: Starts) -> Array:
    # Signed area of each ring, m2.
    first = np.repeat(corners[starts[:-1]], np.diff(starts), axis=0)
    local = corners - first
    products = np.append(cross(local[:-1], local[1:]), 0.0)
    products[starts[1:] - 1] = 0.0  # each ring closes on its own first corner, the origin
    areas: Array = np.add.reduceat(products, starts[:-1]) / 2
    return areas


def _outline(corners: Array, starts: Starts, centre: Array, total: float) -> Outline:
    # Sort the rings into outer ones and holes, each from its own first point.
    areas = _ring_areas(corners, starts)
    made: list[tuple[float, Ring]] = []
    for area, low, high in zip(areas.tolist(), starts[:-1], starts[1:], strict=True):
        if abs(area) <= AREA:
            continue
        ring = corners[low:high]
        # Points level but for rounding count as level, or the first point would be chance.
        level = ring[:, 1] <= ring[:, 1].min() + ON_LINE
        first = int(np.argmin(np.where(level, ring[:, 0], np.inf)))
        placed = np.roll(ring, -first, axis=0) + centre
        made.append((area, tuple((x, y) for x, y in placed.tolist())))
    made.sort(key=lambda item: (round(item[1][0][1] / ON_LINE), item[1][0][0]))
    return Outline(
        outlines=tuple(ring for area, ring in made if area > 0),
        holes=tuple(ring for area, ring in made if area < 0),
        area=total,
    )
