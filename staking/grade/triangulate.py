"""The Delaunay surface of a survey, triangulated only in a window round the building."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.grade.surface import Surface
from staking.tolerances import AREA, ON_LINE, SAME_POINT
from staking.units import FOOT

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

FIRST_POINTS = 200
"""How many points the first window holds, about; it doubles until it is large enough."""

SPIKE = FOOT
"""A point this far off the plane of its neighbours, m, is named (common practice, no source)."""


def window_surface(points: Floats, elevations: Floats, region: Floats) -> tuple[Surface, Ints]:
    """Triangulate the points round a region.

    Parameters
    ----------
    points, elevations
        The survey, ``(n, 2)`` and ``(n,)``, m.
    region
        Points whose bounding box is to be covered, ``(k, 2)``, m.

    Returns
    -------
    tuple
        The surface, and for each of its points its number in `points`.

    Raises
    ------
    ComputationError
        For fewer than three points, all in one line, or two elevations at one place.

    Notes
    -----
    The window grows until the circumcircle of every triangle that touches the region's bounding
    box lies in it. Such a circle is then empty of all points, not only of the window's, so over
    the region the surface is that of the whole survey. Four points on one circle take the
    diagonal that is lower where both cross.
    """
    low, high = region.min(axis=0), region.max(axis=0)
    away = np.maximum(np.maximum(low - points, points - high), 0.0).max(axis=1)
    order = np.sort(away)
    count = min(FIRST_POINTS, len(points))
    while True:
        reach = float(order[count - 1]) if len(order) else 0.0
        numbers = np.flatnonzero(away <= reach)
        whole = len(numbers) == len(points)
        surface = _triangulate(points[numbers], elevations[numbers], whole, (low, high))
        if surface is not None and (whole or _settled(surface, low, high, reach)):
            return surface, numbers
        count = min(2 * max(count, len(numbers)), len(points))


def _triangulate(
    points: Floats, elevations: Floats, whole: bool, box: tuple[Floats, Floats]
) -> Surface | None:
    from scipy.spatial import Delaunay, QhullError

    _check_distinct(points, elevations)
    origin = (box[0] + box[1]) / 2
    try:
        found = Delaunay(points - origin) if len(points) > 2 else None
    except QhullError:
        found = None
    if found is None:
        if whole:
            raise ComputationError(
                "the surveyed points are too few or all in one line and make no surface; "
                "survey points on both sides"
            )
        return None
    triangles = found.simplices.astype(np.intp)
    a, b, c = (points[triangles[:, i]] for i in range(3))
    double = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    triangles[double < 0] = triangles[double < 0][:, ::-1]
    triangles = triangles[np.abs(double) > AREA]
    if not len(triangles):
        return None
    return Surface(points, elevations, _lower_diagonals(points, elevations, triangles))


def _check_distinct(points: Floats, elevations: Floats) -> None:
    # Two elevations at one place are a fault; a point repeated exactly is simply in no triangle.
    order = np.lexsort((points[:, 1], points[:, 0]))
    step = np.abs(np.diff(points[order], axis=0)).max(axis=1, initial=0.0)
    same = step <= ON_LINE
    differ = np.abs(np.diff(elevations[order])) > SAME_POINT
    if (same & differ).any():
        x, y = points[order][1:][same & differ][0]
        raise ComputationError(
            f"two elevations at one place (x {x:.3f} m, y {y:.3f} m on the building grid); "
            "keep one of them"
        )


def _settled(surface: Surface, low: Floats, high: Floats, reach: float) -> bool:
    # Whether all circumcircles over the box lie in the window and the box is covered.
    corners = surface.points[surface.triangles]
    over = _touches(corners, low, high)
    if not over.any():
        return False
    centre, radius = circumcircles(corners[over])
    inside = (centre - radius[:, None] >= low - reach) & (centre + radius[:, None] <= high + reach)
    box = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    return bool(inside.all()) and not bool(np.isnan(surface.at(box)).any())


def _touches(corners: Floats, low: Floats, high: Floats) -> npt.NDArray[np.bool_]:
    # Which triangles meet the box: no axis and no side separates them.
    touch: npt.NDArray[np.bool_] = (corners.min(axis=1) <= high).all(axis=1) & (
        corners.max(axis=1) >= low
    ).all(axis=1)
    box = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    for i in range(3):
        start, side = corners[:, i], corners[:, (i + 1) % 3] - corners[:, i]
        away = box[None] - start[:, None]
        left = side[:, None, 0] * away[..., 1] - side[:, None, 1] * away[..., 0]
        touch &= left.max(axis=1) >= 0
    return touch


def circumcircles(corners: Floats) -> tuple[Floats, Floats]:
    """Give the circles through triangles' corners.

    Parameters
    ----------
    corners
        ``(m, 3, 2)``, m.

    Returns
    -------
    tuple of ndarray
        Centres ``(m, 2)`` and radii ``(m,)``, m.
    """
    a = corners[:, 0]
    b, c = corners[:, 1] - a, corners[:, 2] - a
    double = 2 * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    bb, cc = (b * b).sum(axis=1), (c * c).sum(axis=1)
    ux = (c[:, 1] * bb - b[:, 1] * cc) / double
    uy = (b[:, 0] * cc - c[:, 0] * bb) / double
    return a + np.stack((ux, uy), axis=1), np.hypot(ux, uy)


def _lower_diagonals(points: Floats, elevations: Floats, triangles: Ints) -> Ints:
    # Turn the diagonals of co-circular fours that are the higher ones where both cross.
    triangles = triangles.copy()
    for _ in range(20):
        turns = _higher(points, elevations, triangles)
        used: set[int] = set()
        for first, second, quad in turns:
            if first in used or second in used:
                continue
            used |= {first, second}
            a, p, b, q = quad
            # The old diagonal was a-b; the new one is p-q.
            triangles[first], triangles[second] = (p, q, a), (q, p, b)
        if not used:
            break
    return triangles


def _higher(
    points: Floats, elevations: Floats, triangles: Ints
) -> list[tuple[int, int, tuple[int, int, int, int]]]:
    # Pairs of triangles whose shared side a-b should turn: with both, (a, p, b, q), p to the
    # right of a-b and q to its left.
    count = len(triangles)
    ends = np.vstack((triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]))
    apex = np.concatenate((triangles[:, 2], triangles[:, 0], triangles[:, 1]))
    owner = np.tile(np.arange(count), 3)
    key = np.sort(ends, axis=1)
    order = np.lexsort((key[:, 1], key[:, 0]))
    pair = (key[order][1:] == key[order][:-1]).all(axis=1)
    one, two = order[:-1][pair], order[1:][pair]
    a, b, q, p = ends[one, 0], ends[one, 1], apex[one], apex[two]
    centre, radius = circumcircles(points[np.stack((a, b, q), axis=1)])
    on_circle = np.abs(np.hypot(*(points[p] - centre).T) - radius) < ON_LINE
    one, two = one[on_circle], two[on_circle]
    a, b, p, q = a[on_circle], b[on_circle], p[on_circle], q[on_circle]
    d, e = points[b] - points[a], points[q] - points[p]
    turn = d[:, 0] * e[:, 1] - d[:, 1] * e[:, 0]
    gap = points[p] - points[a]
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (gap[:, 0] * e[:, 1] - gap[:, 1] * e[:, 0]) / turn
        other = (gap[:, 0] * d[:, 1] - gap[:, 1] * d[:, 0]) / turn
    now = elevations[a] + along * (elevations[b] - elevations[a])
    then = elevations[p] + other * (elevations[q] - elevations[p])
    higher = (along > ON_LINE) & (along < 1 - ON_LINE) & (now > then + AREA)
    return [
        (int(owner[one[i]]), int(owner[two[i]]), (int(a[i]), int(p[i]), int(b[i]), int(q[i])))
        for i in np.flatnonzero(higher)
    ]


def spikes(surface: Surface) -> list[tuple[int, float]]:
    """Find points that stand off the ground round them.

    Parameters
    ----------
    surface
        The ground.

    Returns
    -------
    list of tuple
        Number of the point and its height over the plane through its neighbours, m; only where
        that is over `SPIKE` and more than at any neighbour.
    """
    round_it: dict[int, set[int]] = {}
    for triangle in surface.triangles.tolist():
        for point in triangle:
            round_it.setdefault(point, set()).update(set(triangle) - {point})
    off: dict[int, float] = {}
    for point, others in round_it.items():
        near = sorted(others)
        if len(near) < 3:
            continue
        away = surface.points[near] - surface.points[point]
        design = np.column_stack((np.ones(len(near)), away))
        fit, _, rank, _ = np.linalg.lstsq(design, surface.elevations[near], rcond=1e-9)
        if rank == 3:
            off[point] = float(surface.elevations[point] - fit[0])
    return [
        (point, height)
        for point, height in sorted(off.items())
        if abs(height) > SPIKE
        and all(abs(height) >= abs(off.get(other, 0.0)) for other in round_it[point])
    ]
