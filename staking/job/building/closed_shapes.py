"""Is a closed line a shape: repeats, folds, crossings, area, and what lies inside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from staking.lines import cross, meeting_shares, nearest_shares, place_in, signed_area
from staking.plan import Point
from staking.tolerances import ON_LINE, SAME_POINT

Points = npt.NDArray[np.float64]


def repeated(points: Sequence[Point]) -> tuple[int, int] | None:
    """Find two corners within 0.5 mm of each other.

    Parameters
    ----------
    points
        The corners, m.

    Returns
    -------
    tuple of int or None
        The first pair of positions, or None.
    """
    array = np.asarray(points, dtype=float).reshape(-1, 2)
    order = np.argsort(array[:, 0], kind="stable")
    found: list[tuple[int, int]] = []
    for position, first in enumerate(order):
        for second in order[position + 1 :]:
            if array[second, 0] - array[first, 0] > SAME_POINT:
                break
            if math.dist(array[first], array[second]) <= SAME_POINT:
                found.append((int(min(first, second)), int(max(first, second))))
    return min(found, key=lambda pair: (pair[1], pair[0]), default=None)


def has_no_area(points: Sequence[Point]) -> bool:
    """Say whether all the corners stand in one line, within 0.5 mm."""
    array = np.asarray(points, dtype=float)
    array = array - array.mean(axis=0)
    spread = np.linalg.svd(array, compute_uv=False)
    return bool(spread[1] <= SAME_POINT)


def first_clash(points: Sequence[Point]) -> tuple[int, int] | None:
    """Find two sides of a closed line that cross, touch or fold back on each other.

    Parameters
    ----------
    points
        The corners, m; none repeats.

    Returns
    -------
    tuple of int or None
        The first pair of sides, side ``i`` running from corner ``i``; neighbours are given where
        one folds back along the other. None for a simple shape.
    """
    start = np.asarray(points, dtype=float)
    end = np.roll(start, -1, axis=0)
    count = len(start)
    for first in range(count):
        neighbour = (first + 1) % count
        if _folds(start[first], end[first], end[neighbour]):
            return (first, neighbour)
        others = np.arange(first + 2, count - (first == 0))
        if not others.size:
            continue
        hit = _meet(start[first], end[first], start[others], end[others])
        if hit.any():
            return (first, int(others[np.argmax(hit)]))
    return None


def _folds(a: Points, b: Points, c: Points) -> bool:
    """Say whether b to c runs back along a to b, within 0.5 mm."""
    back, on = a - b, c - b
    if float(back @ on) <= 0.0:
        return False
    shorter, longer = sorted((back, on), key=lambda side: float(np.hypot(*side)))
    return bool(abs(cross(shorter, longer)) / np.hypot(*longer) <= SAME_POINT)


def _meet(a: Points, b: Points, starts: Points, ends: Points) -> npt.NDArray[np.bool_]:
    """Say for each other side whether it comes within 0.5 mm of the side a to b."""

    def side(p: Points, q: Points, of: Points) -> Points:
        return cross(q - p, of - p)

    def distance(of: Points, p: Points, q: Points) -> Points:
        _, away = nearest_shares(of, p, q)
        return np.asarray(np.hypot(away[..., 0], away[..., 1]))

    crossing = (side(a, b, starts) * side(a, b, ends) < 0.0) & (
        side(starts, ends, a) * side(starts, ends, b) < 0.0
    )
    nearest = np.minimum.reduce([
        distance(starts, a, b),
        distance(ends, a, b),
        distance(a, starts, ends),
        distance(b, starts, ends),
    ])
    return np.asarray(crossing | (nearest <= SAME_POINT))


def sides_meet(first: Sequence[Point], second: Sequence[Point]) -> bool:
    """Say whether one shape's sides truly cross another's, or one lies inside the other.

    Returns
    -------
    bool
        False where sides only touch, or run along each other.
    """
    for corners, others in ((first, second), (second, first)):
        middle = [
            ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
            for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
        ]
        if any(place_in(point, others, SAME_POINT) > 0 for point in [*corners, *middle]):
            return True
    alike = abs(abs(signed_area(first)) - abs(signed_area(second))) <= SAME_POINT
    if alike and all(place_in(point, second, SAME_POINT) == 0 for point in first):
        return True
    start = np.asarray(second, dtype=float)
    end = np.roll(start, -1, axis=0)
    around = np.asarray([*first, first[0]], dtype=float)
    return any(_cross(a, b, start, end) for a, b in pairwise(around))


def _cross(a: Points, b: Points, starts: Points, ends: Points) -> bool:
    """Say whether the side a to b passes right through another, over 0.5 mm to either hand."""

    def offsets(p: Points, q: Points, of: Points) -> Points:
        along = q - p
        return np.asarray(cross(along, of - p) / np.hypot(along[..., 0], along[..., 1]))

    def parted(one: Points, other: Points) -> npt.NDArray[np.bool_]:
        return np.asarray((np.minimum(one, other) < -SAME_POINT) & (
            np.maximum(one, other) > SAME_POINT
        ))  # fmt: skip

    ours = parted(offsets(a, b, starts), offsets(a, b, ends))
    return bool((ours & parted(offsets(starts, ends, a), offsets(starts, ends, b))).any())


def stretch_outside(start: Point, end: Point, shape: Sequence[Point]) -> int:
    """Say how a straight line that starts and ends in a shape leaves it.

    Parameters
    ----------
    start, end
        The line's ends, m.
    shape
        The shape's corners, m.

    Returns
    -------
    int
        1 where the whole line is inside, 0 where a part of it runs along a side, -1 where a part
        of it is outside.
    """
    sides = np.asarray(shape, dtype=float)
    along = np.roll(sides, -1, axis=0) - sides
    a = np.asarray(start, dtype=float)
    run = np.asarray(end, dtype=float) - a
    length = float(np.hypot(*run))
    shares, _ = meeting_shares(a, run, sides, along)
    corners = (sides - a) @ run / length**2
    cuts = {0.0, 1.0}
    cuts.update(float(cut) for cut in (*shares[np.isfinite(shares)], *corners) if 0.0 < cut < 1.0)
    ordered = sorted(cuts)
    worst = 1
    for low, high in pairwise(ordered):
        if (high - low) * length > 2 * SAME_POINT:
            share = (low + high) / 2
            middle = (float(a[0] + share * run[0]), float(a[1] + share * run[1]))
            worst = min(worst, place_in(middle, shape, SAME_POINT))
    return worst


def strip(start: Point, end: Point, left: float, right: float) -> tuple[Point, ...]:
    """Give the four corners of a strip along a line, reaching `left` and `right` of it, m."""
    length = math.dist(start, end)
    nx, ny = -(end[1] - start[1]) / length, (end[0] - start[0]) / length
    return (
        (start[0] - nx * right, start[1] - ny * right),
        (end[0] - nx * right, end[1] - ny * right),
        (end[0] + nx * left, end[1] + ny * left),
        (start[0] + nx * left, start[1] + ny * left),
    )


def overlap(first: Sequence[Point], second: Sequence[Point]) -> bool:
    """Say whether two convex shapes overlap by more than a touch (separating axes)."""
    a, b = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    for shape in (a, b):
        edges = np.roll(shape, -1, axis=0) - shape
        axes = np.column_stack([-edges[:, 1], edges[:, 0]])
        axes /= np.linalg.norm(axes, axis=1)[:, None]
        on_a, on_b = a @ axes.T, b @ axes.T
        gap = np.maximum(on_a.min(axis=0) - on_b.max(axis=0), on_b.min(axis=0) - on_a.max(axis=0))
        if bool((gap >= -ON_LINE).any()):
            return False
    return True
