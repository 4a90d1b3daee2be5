"""The Delaunay surface of a survey, triangulated only in a window round the building."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.grade.terrain.break_lines import BreakLine, lay_lines
from staking.grade.terrain.constrain import constrain
from staking.grade.terrain.surface import GroundSurface
from staking.lines import cross, meeting_shares
from staking.tolerances import AREA, ON_LINE, SAME_POINT
from staking.units import FOOT

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Side = tuple[int, int]

FIRST_POINTS = 200
"""How many points the first window holds, about; it doubles until it is large enough."""

_FEW = 32
"""So many circles that leave the window are looked into; for more of them it grows."""

_KEPT = 5_000
"""The triangles of a window of no more points are kept for another time."""

SPIKE = FOOT
"""A point this far off the plane of its neighbours, m, is named (common practice, no source)."""


def window_surface(
    points: Floats,
    elevations: Floats,
    region: Floats,
    lines: Sequence[BreakLine] = (),
    *,
    partly: bool = False,
) -> tuple[GroundSurface, Ints]:
    """Triangulate the points round a region.

    Parameters
    ----------
    points, elevations
        The survey, ``(n, 2)`` and ``(n,)``, m.
    region
        Points whose bounding box is to be covered, ``(k, 2)``, m.
    lines
        Break lines, which become sides of triangles.
    partly
        Whether points of the region may lie outside the survey and only the others count.
        Otherwise a surface that leaves some of them out is given as soon as that is known.

    Returns
    -------
    tuple
        The surface, and for each of its points its number in `points`; for a point of a break
        line -1 less the number of the line.

    Raises
    ------
    ComputationError
        For fewer than three points, all in one line, or two elevations at one place.

    Notes
    -----
    The window grows until the circumcircle of every triangle that touches the region's bounding
    box lies in it, but for what a break line along a side cuts off, or holds no point of the
    whole survey. Such a circle is empty of all points, not only of the window's, so over the
    region the surface is that of the whole survey. Four points on one circle take the diagonal
    that is lower where both cross.
    """
    low, high = region.min(axis=0), region.max(axis=0)
    away = np.maximum(np.maximum(low - points, points - high), 0.0).max(axis=1)
    order = np.sort(away)
    count = min(FIRST_POINTS, len(points))
    corners = np.vstack((points, *(line.vertices[:, :2] for line in lines)))
    reached: npt.NDArray[np.bool_] | None = None
    while True:
        reach = float(order[count - 1]) if len(order) else 0.0
        numbers = np.flatnonzero(away <= reach)
        whole = len(numbers) == len(points)
        box = (low - np.inf, high + np.inf) if whole else (low - reach, high + reach)
        found = _triangulate(points, elevations, numbers, lines, box)
        if found is None and whole:
            raise ComputationError(
                "the surveyed points are too few or all in one line and make no surface; "
                "survey points on both sides"
            )
        if found is not None:
            surface, sources, edges = found
            short = np.isnan(surface.at(region))
            if short.any() and not whole and reached is None:
                reached = within_hull(corners, region)
            if reached is not None:
                if not (reached.any() if partly else reached.all()):
                    return surface, sources
                short &= reached
            if whole or (not short.any() and _settled(surface, edges, (low, high), box, corners)):
                return surface, sources
        count = min(2 * max(count, len(numbers)), len(points))


def _triangulate(
    points: Floats,
    elevations: Floats,
    numbers: Ints,
    lines: Sequence[BreakLine],
    box: tuple[Floats, Floats],
) -> tuple[GroundSurface, Ints, frozenset[Side]] | None:
    numbers = numbers[_distinct(points[numbers], elevations[numbers])]
    points, elevations = points[numbers], elevations[numbers]
    edges: frozenset[Side] = frozenset()
    if lines:
        lined = lay_lines(points, elevations, lines, box)
        own = lined.sources[len(points) :]
        points, elevations, edges = lined.points, lined.elevations, frozenset(lined.edges)
        numbers = np.concatenate((numbers, -1 - own))
    if len(points) < 3:
        return None
    central = points - points.mean(axis=0)
    simplices = _kept_simplices(central.tobytes()) if len(points) <= _KEPT else _simplices(central)
    if simplices is None:
        return None
    triangles = simplices.astype(np.intp)
    double = _double(points, triangles)
    triangles[double < 0] = triangles[double < 0][:, ::-1]
    if edges:
        triangles = constrain(points, triangles, edges)
    triangles = triangles[np.abs(_double(points, triangles)) > AREA]
    if not len(triangles):
        return None
    triangles = _lower_diagonals(points, elevations, triangles, edges)
    return GroundSurface(points, elevations, triangles), numbers, edges


@lru_cache(maxsize=8)
def _kept_simplices(points: bytes) -> Ints | None:
    # The same window is asked for by several parts of one job, and again after every answer.
    return _simplices(np.frombuffer(points).reshape(-1, 2))


def _simplices(points: Floats) -> Ints | None:
    from scipy.spatial import Delaunay, QhullError

    try:
        return np.asarray(Delaunay(points).simplices, dtype=np.intp)
    except QhullError:
        return None


def _double(points: Floats, triangles: Ints) -> Floats:
    # Twice the areas, positive anticlockwise.
    a, b, c = (points[triangles[:, i]] for i in range(3))
    double: Floats = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (
        c[:, 0] - a[:, 0]
    )
    return double


def _distinct(points: Floats, elevations: Floats) -> Ints:
    # Numbers of the points without repeated ones; two elevations at one place are a fault.
    order = np.lexsort((points[:, 1], points[:, 0]))
    step = np.abs(np.diff(points[order], axis=0)).max(axis=1, initial=0.0)
    same = step <= ON_LINE
    differ = np.abs(np.diff(elevations[order])) > SAME_POINT
    if (same & differ).any():
        place = int(np.flatnonzero(same & differ)[0])
        x, y = points[order][place + 1]
        one, other = elevations[order][place : place + 2].tolist()
        raise ComputationError(
            f"two elevations at one place (x {x:.3f} m, y {y:.3f} m on the building grid): "
            f"{one / FOOT:.2f} ft ({one:.3f} m) and {other / FOOT:.2f} ft ({other:.3f} m); "
            "keep one of them"
        )
    kept = np.concatenate(([True], ~same))[: len(order)]
    return np.sort(order[kept])


def within_hull(points: Floats, places: Floats) -> npt.NDArray[np.bool_]:
    """Tell which places lie within the convex hull of points.

    Parameters
    ----------
    points, places
        ``(n, 2)`` and ``(k, 2)``, m.

    Returns
    -------
    ndarray
        ``(k,)``; on the hull counts as within.
    """
    hull = hull_of(points)
    side = np.roll(hull, -1, axis=0) - hull
    away = places[:, None] - hull
    return np.asarray((cross(side, away) >= -AREA).all(axis=1), dtype=np.bool_)


def hull_of(points: Floats) -> Floats:
    """Give the convex hull of points, anticlockwise.

    Returns
    -------
    ndarray
        ``(h, 2)``, m; all points where they have no hull.
    """
    from scipy.spatial import ConvexHull, QhullError

    try:
        hull: Floats = points[ConvexHull(points - points.mean(axis=0)).vertices]
    except (QhullError, ValueError):
        return points
    return hull


def _settled(
    surface: GroundSurface,
    firm: frozenset[Side],
    region: tuple[Floats, Floats],
    window: tuple[Floats, Floats],
    points: Floats,
) -> bool:
    # Whether the circumcircles of all triangles over the region's box lie in the window, or are
    # empty. What lies beyond a break line along a side is hidden from the triangle and does not
    # count.
    over = surface.triangles[touching(surface, *region)]
    if not len(over):
        return False
    corners = surface.points[over]
    centre, radius = circumcircles(corners)
    away = np.array([(1, 0), (-1, 0), (0, 1), (0, -1)])
    farthest = centre[:, None] + radius[:, None, None] * away
    counts = np.ones(farthest.shape[:2], dtype=bool)
    if firm:
        size = len(surface.points)
        keys = np.array([a * size + b for a, b in firm])
        for i in range(3):
            start, end = over[:, i], over[:, (i + 1) % 3]
            held = np.isin(np.minimum(start, end) * size + np.maximum(start, end), keys)
            way = (surface.points[end] - surface.points[start])[:, None]
            gap = farthest - surface.points[start][:, None]
            hidden = cross(way, gap) < 0
            counts &= ~(hidden & held[:, None])
    low, high = window
    within = (((farthest >= low) & (farthest <= high)).all(axis=2) | ~counts).all(axis=1)
    within &= (corners >= low).all(axis=(1, 2)) & (corners <= high).all(axis=(1, 2))
    left = np.flatnonzero(~within)
    if len(left) > _FEW:
        return False
    outer = points[((points < low) | (points > high)).any(axis=1)] if len(left) else points
    return not any(
        (
            (np.hypot(*(outer - centre[i]).T) <= radius[i] + ON_LINE) & ~_among(outer, corners[i])
        ).any()
        for i in left.tolist()
    )


def _among(points: Floats, corners: Floats) -> npt.NDArray[np.bool_]:
    # Which points are a triangle's own corners.
    own: npt.NDArray[np.bool_] = (points[:, None] == corners).all(axis=2).any(axis=1)
    return own


def touching(surface: GroundSurface, low: Floats, high: Floats) -> Ints:
    """Find the triangles that meet a box.

    Parameters
    ----------
    surface
        The triangles.
    low, high
        Lowest and highest x and y of the box, ``(2,)``, m.

    Returns
    -------
    ndarray
        Their numbers: no axis and no side separates them from the box.
    """
    corners = surface.points[surface.triangles]
    touch: npt.NDArray[np.bool_] = (corners.min(axis=1) <= high).all(axis=1) & (
        corners.max(axis=1) >= low
    ).all(axis=1)
    box = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
    for i in range(3):
        start, side = corners[:, i], corners[:, (i + 1) % 3] - corners[:, i]
        away = box[None] - start[:, None]
        left = side[:, None, 0] * away[..., 1] - side[:, None, 1] * away[..., 0]
        touch &= left.max(axis=1) >= 0
    return np.flatnonzero(touch)


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
    double = 2 * cross(b, c)
    bb, cc = (b * b).sum(axis=1), (c * c).sum(axis=1)
    ux = (c[:, 1] * bb - b[:, 1] * cc) / double
    uy = (b[:, 0] * cc - c[:, 0] * bb) / double
    return a + np.stack((ux, uy), axis=1), np.hypot(ux, uy)


def _lower_diagonals(
    points: Floats, elevations: Floats, triangles: Ints, firm: frozenset[Side]
) -> Ints:
    # Turn the diagonals of co-circular fours that are the higher ones where both cross.
    triangles = triangles.copy()
    for _ in range(20):
        turns = _higher(points, elevations, triangles)
        used: set[int] = set()
        for first, second, quad in turns:
            a, p, b, q = quad
            if first in used or second in used or (min(a, b), max(a, b)) in firm:
                continue
            used |= {first, second}
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
    along, other = meeting_shares(points[a], d, points[p], e)
    now = elevations[a] + along * (elevations[b] - elevations[a])
    then = elevations[p] + other * (elevations[q] - elevations[p])
    higher = (along > ON_LINE) & (along < 1 - ON_LINE) & (now > then + AREA)
    return [
        (int(owner[one[i]]), int(owner[two[i]]), (int(a[i]), int(p[i]), int(b[i]), int(q[i])))
        for i in np.flatnonzero(higher)
    ]


def spikes(surface: GroundSurface, low: Floats, high: Floats) -> list[tuple[int, float]]:
    """Find points that stand off the ground round them.

    Parameters
    ----------
    surface
        The ground.
    low, high
        Lowest and highest x and y of a box, ``(2,)``, m; only points that shape the ground in
        it are looked at.

    Returns
    -------
    list of tuple
        Number of the point and its height over the plane through its neighbours, m; only where
        that is over `SPIKE` and more than at any neighbour.
    """
    shaping = np.unique(surface.triangles[touching(surface, low, high)])
    # A point is held against its neighbours, and these against theirs: no others are looked at.
    near = np.unique(surface.triangles[np.isin(surface.triangles, shaping).any(axis=1)])
    round_it: dict[int, set[int]] = {}
    for triangle in surface.triangles[np.isin(surface.triangles, near).any(axis=1)].tolist():
        for point in triangle:
            round_it.setdefault(point, set()).update(triangle)
    off = _off_neighbours(surface, {point: round_it[point] - {point} for point in near.tolist()})
    own = set(shaping.tolist())
    return [
        (point, height)
        for point, height in sorted(off.items())
        if point in own
        and abs(height) > SPIKE
        and all(abs(height) >= abs(off.get(other, 0.0)) for other in round_it[point])
    ]


def _off_neighbours(surface: GroundSurface, neighbours: dict[int, set[int]]) -> dict[int, float]:
    # Height of each point over the plane nearest to its neighbours, where these have one. Points
    # with equally many neighbours are worked out together: a laser cloud has tens of thousands.
    by_count: dict[int, list[int]] = {}
    for point, near in neighbours.items():
        by_count.setdefault(len(near), []).append(point)
    off: dict[int, float] = {}
    for count, points in by_count.items():
        if count < 3:
            continue
        others = np.array([sorted(neighbours[point]) for point in points])
        away = surface.points[others] - surface.points[points][:, None]
        design = np.concatenate((np.ones((*others.shape, 1)), away), axis=2)
        u, spread, turn = np.linalg.svd(design, full_matrices=False)
        firm = spread[:, 2] > 1e-9 * spread[:, 0]
        # The height of the plane at the point itself is its first coefficient.
        weights = np.einsum("nk,nk,njk->nj", turn[firm, :, 0], 1.0 / spread[firm], u[firm])
        planes = (weights * surface.elevations[others[firm]]).sum(axis=1)
        heights = surface.elevations[points][firm] - planes
        off.update(zip(np.array(points)[firm].tolist(), heights.tolist(), strict=True))
    return off
