"""Points, lines and rings in two coordinates: each question about them is answered here, once.

Directions, areas, which way round a ring runs, inside or out, where lines meet, what is nearest,
what a line cuts off. Points are pairs, or arrays of shape ``(..., 2)``, with x (or easting) first,
m. Angles of turn are anticlockwise; azimuths are clockwise from the second axis (north), both rad.
Whoever asks about far-off coordinates brings them near the origin first, so that no digit is lost.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.tolerances import ON_LINE

Point = tuple[float, float]
"""x and y on one grid, m."""

Array = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

PARALLEL_RAD = 1e-12
"""Lines that differ by no more than this meet, if at all, farther off than any job reaches."""


def cross(first: Array, second: Array) -> Array:
    """Return the cross product of plane vectors.

    Parameters
    ----------
    first, second
        Vectors, shape ``(..., 2)``, m.

    Returns
    -------
    ndarray
        ``x1 y2 - y1 x2``, shape ``(...)``; positive where `second` lies to the left of `first`.

    Examples
    --------
    >>> float(cross(np.array([1.0, 0.0]), np.array([0.0, 2.0])))
    2.0
    """
    return first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]


def dot(first: Array, second: Array) -> Array:
    """Return the dot product of plane vectors.

    Parameters
    ----------
    first, second
        Vectors, shape ``(..., 2)``, m.

    Returns
    -------
    ndarray
        ``x1 x2 + y1 y2``, shape ``(...)``.
    """
    return first[..., 0] * second[..., 0] + first[..., 1] * second[..., 1]


def left_of(vectors: Array) -> Array:
    """Return vectors turned a quarter turn anticlockwise.

    Parameters
    ----------
    vectors
        Shape ``(..., 2)``.

    Returns
    -------
    ndarray
        ``(-y, x)``, same shape.
    """
    return np.stack((-vectors[..., 1], vectors[..., 0]), axis=-1)


def unit(vectors: Array) -> Array:
    """Return vectors of length one.

    Parameters
    ----------
    vectors
        Shape ``(..., 2)``, none of them zero.

    Returns
    -------
    ndarray
        Same directions, same shape.
    """
    return vectors / np.hypot(vectors[..., 0], vectors[..., 1])[..., None]


def cross_of(first: Point, second: Point) -> float:
    """Return the cross product of two plain vectors, as `cross` does of arrays.

    Parameters
    ----------
    first, second
        x and y of each.

    Returns
    -------
    float
        ``x1 y2 - y1 x2``; positive where `second` lies to the left of `first`.

    Examples
    --------
    >>> cross_of((1.0, 0.0), (0.0, 2.0))
    2.0
    """
    return first[0] * second[1] - first[1] * second[0]


def direction(start: Point, end: Point) -> Point:
    """Return the unit direction from one point to another.

    Parameters
    ----------
    start, end
        Two points that differ, m.

    Returns
    -------
    Point
        Its x and y.

    Examples
    --------
    >>> direction((1, 1), (1, 5))
    (0.0, 1.0)
    """
    length = math.dist(start, end)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)


def is_anticlockwise(ring: Sequence[Point]) -> bool:
    """Tell which way round a simple ring runs.

    Parameters
    ----------
    ring
        Its corners without the repeated last one, m.

    Returns
    -------
    bool
        True for anticlockwise, by the sign of the area taken from the first corner.

    Examples
    --------
    >>> is_anticlockwise([(0, 0), (3, 0), (3, 2), (0, 2)])
    True
    """
    x0, y0 = ring[0]
    doubled = 0.0
    for (xa, ya), (xb, yb) in zip(ring, (*ring[1:], ring[0]), strict=True):
        doubled += (xa - x0) * (yb - y0) - (xb - x0) * (ya - y0)
    return doubled > 0


def signed_area(ring: Array | Sequence[Point]) -> float:
    """Return the area within a closed ring by its coordinates.

    Parameters
    ----------
    ring
        Corners without the repeated last one, shape ``(n, 2)``, m.

    Returns
    -------
    float
        m2; positive where the ring runs anticlockwise.

    Notes
    -----
    Half the sum of the cross products of neighbouring corners. The ring is first shifted to its
    own first corner: on survey coordinates the products would swallow square decimetres.

    Examples
    --------
    >>> signed_area([(0, 0), (3, 0), (3, 2), (0, 2)])
    6.0
    """
    points = np.asarray(ring, dtype=float)
    if len(points) < 3:
        return 0.0
    local = points - points[0]
    return float(cross(local[:-1], local[1:]).sum() / 2)


def intersect_lines(points: Array, directions: Array, others: Array, along: Array) -> Array:
    """Return where lines meet.

    Parameters
    ----------
    points, directions
        A point and a direction (of any length but zero) on each first line, shape ``(..., 2)``.
    others, along
        The same for each second line.

    Returns
    -------
    ndarray
        The points in common, shape ``(..., 2)``, m; not-a-number where the lines differ in
        direction by `PARALLEL_RAD` or less.

    Examples
    --------
    >>> a = np.array
    >>> intersect_lines(a([0.0, 1.0]), a([1.0, 0.0]), a([2.0, 0.0]), a([0.0, 1.0])).tolist()
    [2.0, 1.0]
    """
    sine = cross(directions, along)
    scale = np.sqrt(dot(directions, directions) * dot(along, along))
    sine = np.where(np.abs(sine) > PARALLEL_RAD * scale, sine, np.nan)
    reach = cross(others - points, along) / sine
    result: Array = points + reach[..., None] * directions
    return result


def distances(points: Array, starts: Array, ends: Array) -> tuple[Array, Array]:
    """Return how far each point is from each stretch of line.

    Parameters
    ----------
    points
        ``(m, 2)``, m.
    starts, ends
        ``(k, 2)`` ends of the stretches, m; a stretch may have no length.

    Returns
    -------
    tuple of Array
        ``(m, k)`` distances, m, and ``(m, k)`` where the nearest place is, as a part of the
        stretch from its start, 0 to 1.
    """
    along = ends - starts
    square = dot(along, along)
    square = np.where(square > 0, square, 1.0)
    # One coordinate at a time: a third axis of two would cost three times as much.
    east = points[:, None, 0] - starts[None, :, 0]
    north = points[:, None, 1] - starts[None, :, 1]
    part = np.clip((east * along[:, 0] + north * along[:, 1]) / square, 0.0, 1.0)
    east -= part * along[:, 0]
    north -= part * along[:, 1]
    return np.sqrt(east * east + north * north), part


def nearest_shares(points: Array, starts: Array, ends: Array) -> tuple[Array, Array]:
    """Return the nearest place to each point on a straight line between two ends.

    Parameters
    ----------
    points, starts, ends
        ``(..., 2)``, m, of shapes that go together; a line may have no length.

    Returns
    -------
    tuple of Array
        ``(...)`` where the nearest place is, as a part of the line from its start, 0 to 1; and
        ``(..., 2)`` the way from the nearest place to the point, m.
    """
    along, away = ends - starts, points - starts
    square = dot(along, along)
    share = dot(away, along) / np.where(square > 0, square, 1.0)
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    return share, away - share[..., None] * along


def inside(points: Array, ring: Array) -> Flags:
    """Return which points lie inside a closed ring.

    Parameters
    ----------
    points
        ``(m, 2)``, m.
    ring
        ``(k, 2)`` corners in order, the first not repeated.

    Returns
    -------
    ndarray of bool
        ``(m,)``; a point on the ring itself may fall either way.
    """
    starts, ends = ring, np.roll(ring, -1, axis=0)
    above = starts[:, 1] > points[:, None, 1]
    spans = above != (ends[:, 1] > points[:, None, 1])
    rise = ends[:, 1] - starts[:, 1]
    slope = (ends[:, 0] - starts[:, 0]) / np.where(rise != 0, rise, 1.0)
    reach = starts[:, 0] + (points[:, None, 1] - starts[:, 1]) * slope
    hits: Flags = np.count_nonzero(spans & (points[:, None, 0] < reach), axis=1) % 2 == 1
    return hits


def place_in(point: Point, ring: Sequence[Point], within: float) -> int:
    """Say where a point lies to a closed ring whose line has a width.

    Parameters
    ----------
    point
        x and y, m.
    ring
        Corners in order, the first not repeated, m.
    within
        A point no farther than this from the line counts as on it, m.

    Returns
    -------
    int
        1 inside, 0 on the line, -1 outside.

    Examples
    --------
    >>> [place_in((x, 1.0), [(0, 0), (3, 0), (3, 2), (0, 2)], 0.001) for x in (1.0, 3.0, 4.0)]
    [1, 0, -1]
    """
    corners, at = np.asarray(ring, dtype=float), np.asarray(point, dtype=float)
    _, away = nearest_shares(at, corners, np.roll(corners, -1, axis=0))
    if float(np.hypot(away[:, 0], away[:, 1]).min()) <= within:
        return 0
    return 1 if inside(at[None], corners)[0] else -1


def meeting_shares(starts: Array, ways: Array, others: Array, along: Array) -> tuple[Array, Array]:
    """Return where straight lines meet, as parts of their lengths.

    Parameters
    ----------
    starts, ways
        Where each first line starts, and the way to its end, ``(..., 2)``, m.
    others, along
        The same for each second line, of a shape that goes with the first.

    Returns
    -------
    tuple of Array
        ``(...)`` parts of the first and of the second lines from their starts: between 0 and 1 on
        both the lines cross within their ends. Parallel lines have no such number: not-a-number
        or infinite, which lies between no two.
    """
    gap = others - starts
    with np.errstate(divide="ignore", invalid="ignore"):
        sine = cross(ways, along)
        return cross(gap, along) / sine, cross(gap, ways) / sine


def cross_within(share: Array, other: Array) -> Flags:
    """Tell which of the parts that `meeting_shares` gives lie within both lines, ends included."""
    return np.asarray((share >= 0) & (share <= 1) & (other >= 0) & (other <= 1))


def crossings(starts: Array, ends: Array, others: Array, other_ends: Array) -> Array:
    """Return where stretches of one kind cross stretches of another.

    Parameters
    ----------
    starts, ends
        ``(n, 2)`` ends of the first stretches, m.
    others, other_ends
        ``(k, 2)`` ends of the second, m.

    Returns
    -------
    Array
        ``(n, k)`` part of the first stretch from its start, 0 to 1; not-a-number where the two
        do not meet in one place.
    """
    share, other = meeting_shares(
        starts[:, None], (ends - starts)[:, None], others, other_ends - others
    )
    result: Array = np.where(cross_within(share, other), share, np.nan)
    return result


def crossed_pair(ring: Array) -> tuple[int, int] | None:
    """Return the first two sides of a ring, not neighbours, that meet.

    Parameters
    ----------
    ring
        ``(k, 2)`` corners in order, m.

    Returns
    -------
    tuple of int or None
        The indices of the two sides; None where the ring crosses itself nowhere.
    """
    ends = np.roll(ring, -1, axis=0)
    count = len(ring)
    meets = ~np.isnan(crossings(ring, ends, ring, ends))
    apart = (np.arange(count)[:, None] - np.arange(count)) % count
    meets &= (apart > 1) & (apart < count - 1)
    found = np.argwhere(np.triu(meets))
    return None if not len(found) else (int(found[0, 0]), int(found[0, 1]))


def inverse(start: Point, end: Point) -> tuple[float, float]:
    """Return the distance and azimuth between two points.

    Parameters
    ----------
    start, end
        x (easting) and y (northing), m.

    Returns
    -------
    tuple of float
        Distance, m, and azimuth, rad clockwise from y (north), from 0 to a full turn.

    Examples
    --------
    >>> inverse((0, 0), (3, 4))[0]
    5.0
    """
    dx, dy = end[0] - start[0], end[1] - start[1]
    return math.hypot(dx, dy), math.atan2(dx, dy) % (2 * math.pi)


def convex_hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the convex hull of a few points.

    Parameters
    ----------
    points
        x and y, m; in any order, repeated or not.

    Returns
    -------
    tuple of Point
        The corners anticlockwise from the leftmost, then lowest, without points in line.

    Notes
    -----
    The monotone chain: lower and upper chains over the points sorted by x, then y.

    Examples
    --------
    >>> convex_hull([(0, 0), (2, 2), (2, 0), (0, 2), (1, 1)])
    ((0, 0), (2, 0), (2, 2), (0, 2))
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def chain(sequence: Sequence[Point]) -> list[Point]:
        kept: list[Point] = []
        for point in sequence:
            while len(kept) > 1 and _turns_right(kept[-2], kept[-1], point):
                kept.pop()
            kept.append(point)
        return kept[:-1]

    return tuple(chain(ordered) + chain(ordered[::-1]))


def _turns_right(first: Point, second: Point, third: Point) -> bool:
    # Whether the path turns right or runs on straight at `second`.
    before = (second[0] - first[0], second[1] - first[1])
    after = (third[0] - second[0], third[1] - second[1])
    return cross_of(before, after) <= 0.0


def clip_ring(ring: Sequence[Point], a: float, b: float, c: float) -> list[Point]:
    """Keep the part of a convex ring on one side of a line.

    Parameters
    ----------
    ring
        Its corners, m, either way round.
    a, b, c
        What is kept is where ``a x + b y + c >= 0``; with a and b a unit vector, c is in m.

    Returns
    -------
    list of tuple
        The corners of what is left, in the same sense; none where nothing is.
    """
    kept: list[Point] = []
    for i, point in enumerate(ring):
        before = ring[i - 1]
        here = a * point[0] + b * point[1] + c
        there = a * before[0] + b * before[1] + c
        if (here < 0) != (there < 0):
            share = there / (there - here)
            kept.append((
                before[0] + share * (point[0] - before[0]),
                before[1] + share * (point[1] - before[1]),
            ))
        if here >= 0:
            kept.append(point)
    return kept


def drop_points_in_line(
    points: Array, starts: npt.NDArray[np.intp]
) -> tuple[Array, npt.NDArray[np.intp]]:
    """Drop from closed rings the points that add nothing to their shape.

    Parameters
    ----------
    points
        The corners of all rings one after another, without repeated last corners,
        shape ``(n, 2)``, m.
    starts
        Where each ring starts in `points` and, last, ``n``; shape ``(rings + 1,)``.

    Returns
    -------
    tuple of ndarray
        The points and starts of the rings that have three points left.

    Notes
    -----
    A point goes when it lies within `tolerances.ON_LINE` of the line between its neighbours or
    of a neighbour. Of several such in a row every second one goes at a time, so that a long row
    takes a few rounds and no ring is lost at once.
    """
    first = 0
    idle = 0
    while len(points) and idle < 2:
        before, after = _neighbours(starts)
        chord = points[after] - points[before]
        length = np.hypot(chord[:, 0], chord[:, 1])
        near = points - points[before]
        off = np.where(
            length > ON_LINE,
            np.abs(cross(chord, near)) / np.maximum(length, ON_LINE),
            np.hypot(near[:, 0], near[:, 1]),
        )
        short = np.hypot(near[:, 0], near[:, 1]) <= ON_LINE
        # A spike folds back on itself: its tip is off no line, yet adds nothing.
        candidate = (off <= ON_LINE) | short | (length <= ON_LINE)
        held = starts[:-1] + first
        candidate[held[held < starts[1:]]] = False
        drop = candidate & _odd_in_row(candidate)
        idle = 0 if drop.any() else idle + 1
        first = 1 - first
        points, starts = _keep(points, starts, ~drop)
    return points, starts


def _neighbours(
    starts: npt.NDArray[np.intp],
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.intp]]:
    # Index of the point before and after each, round each ring.
    index = np.arange(starts[-1])
    before, after = index - 1, index + 1
    before[starts[:-1]] = starts[1:] - 1
    after[starts[1:] - 1] = starts[:-1]
    return before, after


def _odd_in_row(flags: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    # Whether a true entry is the first, third, ... of its row of true entries.
    index = np.arange(len(flags))
    last_false = np.maximum.accumulate(np.where(flags, -1, index))
    odd: npt.NDArray[np.bool_] = (index - last_false) % 2 == 1
    return odd


def _keep(
    points: Array, starts: npt.NDArray[np.intp], kept: npt.NDArray[np.bool_]
) -> tuple[Array, npt.NDArray[np.intp]]:
    # The rings without the dropped points, and without those of under three points.
    counts = np.add.reduceat(kept.astype(np.intp), starts[:-1])
    whole = counts >= 3
    mask = kept & np.repeat(whole, np.diff(starts))
    return points[mask], np.concatenate(([0], np.cumsum(counts[whole]))).astype(np.intp)
