"""Where along a line a board cannot stand, found exactly.

A board is a segment square to its line. Seen in the line's own frame (s along, t to the left) it
is the segment from ``lo`` to ``hi`` at one s. A point (s', t') of an obstacle lies ``d`` outside
``lo`` … ``hi`` sideways, and is nearer than ``r`` exactly while ``|s - s'| < sqrt(r^2 - d^2)``.
Over a convex obstacle the least and the greatest s are reached on its edges, at an end of an
edge, where an edge passes ``lo``, ``hi`` or the reach past them, or where the edge touches the
circle of radius r about a board's end; all of these are tried, so no step length is involved.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.lines import nearest_shares
from staking.plan import Point
from staking.tolerances import ON_LINE, SAME_POINT

Array = NDArray[np.float64]
Indices = NDArray[np.intp]
Stretch = tuple[float, float]
"""From where to where along a line, m."""

_ROUNDING = 1e-9
"""Slack, m, for a point that was put on the edge of the reach by computation."""


def in_frame(points: Array, origin: Point, direction: Point) -> tuple[Array, Array]:
    """Give points by their place along and to the left of a line.

    Parameters
    ----------
    points
        Shape ``(n, 2)``, m.
    origin, direction
        A point of the line and its unit direction.

    Returns
    -------
    tuple of Array
        Along and to the left, each of shape ``(n,)``, m.
    """
    x, y = points[:, 0] - origin[0], points[:, 1] - origin[1]
    ux, uy = direction
    return x * ux + y * uy, y * ux - x * uy


def to_the_left(points: Array, origin: Point, direction: Point) -> Array:
    """Give points by their place to the left of a line alone, m, as `in_frame` does.

    Returns
    -------
    Array
        Shape ``(n,)``, m.
    """
    # No matrix product: its threads cost more than they save at a few thousand points.
    ux, uy = direction
    return (points[:, 1] - origin[1]) * ux - (points[:, 0] - origin[0]) * uy


@frozen(kw_only=False, eq=False)
class Hulls:
    """Convex shapes in flat arrays: shape ``i`` has vertices ``first[i]`` to ``first[i + 1]``.

    `after` gives each vertex's next one round its shape; `middle` and `radius` a circle round
    each shape, by which the far ones are passed over cheaply.
    """

    vertices: Array
    first: Indices
    after: Indices
    middle: Array
    radius: Array

    @classmethod
    def of(cls, rings: Sequence[Sequence[Point]]) -> Hulls:
        """Gather convex rings, or segments as rings of two points, m.

        Returns
        -------
        Hulls
            The rings in flat arrays.
        """
        sizes = np.array([len(ring) for ring in rings], dtype=np.intp)
        first = np.concatenate(([0], np.cumsum(sizes))).astype(np.intp)
        flat = np.array([point for ring in rings for point in ring], dtype=np.float64)
        flat = flat.reshape(-1, 2)
        after = np.arange(1, len(flat) + 1, dtype=np.intp)
        if not len(sizes):
            return cls(flat, first, after, flat, np.zeros(0))
        after[first[1:] - 1] = first[:-1]
        low = np.minimum.reduceat(flat, first[:-1])
        high = np.maximum.reduceat(flat, first[:-1])
        return cls(flat, first, after, (low + high) / 2, np.hypot(*(high - low).T) / 2)

    def near_line(self, origin: Point, direction: Point, span: Stretch) -> Indices:
        """Choose the shapes that may reach into a strip along a whole line.

        Parameters
        ----------
        origin, direction
            A point of the line, m, and its unit direction.
        span
            The strip's edges, m to the left of the line, the lesser first.

        Returns
        -------
        Indices
            Indices of shapes; some may lie just outside.
        """
        left = to_the_left(self.middle, origin, direction)
        off = np.abs(left - (span[0] + span[1]) / 2)
        return np.flatnonzero(off <= self.radius + ((span[1] - span[0]) / 2 + ON_LINE))

    def blocked(
        self, origin: Point, direction: Point, span: Stretch, reach: float, among: Indices
    ) -> list[Stretch]:
        """Find where along a ray a board would be nearer to a shape than `reach`.

        Parameters
        ----------
        origin, direction
            Where the ray starts, m, and its unit direction.
        span
            The board's two ends across the ray, m to the left, the lesser first.
        reach
            The distance to be kept, m; at 0 only an overlap counts.
        among
            The shapes to look at, such as `near_line` chose.

        Returns
        -------
        list of Stretch
            One for each shape that is in the way, in no order.
        """
        along, left = in_frame(self.middle[among], origin, direction)
        radius = self.radius[among]
        near = among[
            (left - radius < span[1] + reach)
            & (left + radius > span[0] - reach)
            & (along + radius > -reach)
        ]
        if not near.size:
            return []
        starts, index = self._vertices_of(near)
        a = in_frame(self.vertices[index], origin, direction)
        b = in_frame(self.vertices[self.after[index]], origin, direction)
        return blocked_by_edges(a, b, starts, span, reach)

    def distance(self, ends: tuple[Point, Point], among: Indices) -> float:
        """Measure from a segment that meets no shape to the nearest one.

        Parameters
        ----------
        ends
            The segment's ends, m.
        among
            The shapes to look at.

        Returns
        -------
        float
            The least distance, m; infinite where there is no shape.
        """
        if not among.size:
            return float("inf")
        segment = np.array(ends)
        half = float(np.hypot(*(segment[1] - segment[0]))) / 2
        off = self.middle[among] - segment.mean(axis=0)
        least = np.hypot(off[:, 0], off[:, 1]) - self.radius[among] - half
        best = self._distance_to(among[[int(np.argmin(least))]], segment)
        return min(best, self._distance_to(among[least < best], segment))

    def _vertices_of(self, shapes: Indices) -> tuple[Indices, Indices]:
        sizes = self.first[shapes + 1] - self.first[shapes]
        starts = np.cumsum(sizes) - sizes
        return starts, np.repeat(self.first[shapes] - starts, sizes) + np.arange(sizes.sum())

    def _distance_to(self, shapes: Indices, segment: Array) -> float:
        if not shapes.size:
            return float("inf")
        _, index = self._vertices_of(shapes)
        a, b = self.vertices[index], self.vertices[self.after[index]]
        # Two segments that do not cross are nearest at an end of one of them.
        return min(_gap(segment[0], a, b), _gap(segment[1], a, b), _gap(a, segment[0], segment[1]))


def _gap(points: Array, starts: Array, ends: Array) -> float:
    _, away = nearest_shares(points, starts, ends)
    return float(np.hypot(away[..., 0], away[..., 1]).min())


def blocked_by_edges(
    a: tuple[Array, Array],
    b: tuple[Array, Array],
    starts: Indices,
    span: Stretch,
    reach: float,
) -> list[Stretch]:
    """Find the stretches blocked by shapes given by their edges in the ray's frame.

    Parameters
    ----------
    a, b
        Where each edge starts and ends: along the ray and to its left, each ``(e,)``, m.
    starts
        The index of each shape's first edge.
    span, reach
        As in `Hulls.blocked`.

    Returns
    -------
    list of Stretch
        One for each shape that is in the way; the module's text says how.
    """
    lo, hi = span
    ds, dt = b[0] - a[0], b[1] - a[1]
    length = np.maximum(np.hypot(ds, dt), 1e-15)
    touch = reach * ds / length * np.where(dt < 0, -1.0, 1.0)
    # Both ends of an edge, and where it passes each of eight places sideways.
    sideways = np.empty((8, len(touch)))
    sideways[:4] = ((lo - reach,), (lo,), (hi,), (hi + reach,))
    sideways[4:6] = touch
    sideways[6:] = -touch
    sideways[4::2] += lo
    sideways[5::2] += hi
    share = np.zeros((10, len(touch)))
    share[1] = 1.0
    passed = (sideways - a[1]) / np.where(np.abs(dt) < 1e-12, 1e-12, dt)
    np.minimum(np.maximum(passed, 0.0), 1.0, out=share[2:])
    s, t = a[0] + share * ds, a[1] + share * dt
    outside = np.maximum(np.maximum(lo - t, t - hi), 0.0)
    within = outside <= reach + _ROUNDING
    half = np.sqrt(np.maximum(reach * reach - outside * outside, 0.0))
    least = np.minimum.reduceat(np.where(within, s - half, np.inf).min(axis=0), starts)
    most = np.maximum.reduceat(np.where(within, s + half, -np.inf).max(axis=0), starts)
    # A shape that only touches the reach sideways is not in the way.
    overlaps = (np.maximum.reduceat(np.maximum(a[1], b[1]), starts) > lo - reach + ON_LINE) & (
        np.minimum.reduceat(np.minimum(a[1], b[1]), starts) < hi + reach - ON_LINE
    )
    kept = np.flatnonzero(overlaps & (most > least))
    return list(zip(least[kept].tolist(), most[kept].tolist(), strict=True))


def inside_stretches(a: Array, b: Array, origin: Point, direction: Point) -> list[Stretch]:
    """Find where a whole line runs inside a simple ring.

    A corner within half a millimetre of the line counts as on it, and a stretch along an edge is
    not inside: it is judged on both sides of the line, and both must be inside.

    Parameters
    ----------
    a, b
        Both ends of the ring's edges, ``(k, 2)``, m; edges far from the line may be left out.
    origin, direction
        A point of the line and its unit direction.

    Returns
    -------
    list of Stretch
        In order along the line, m from `origin`.
    """
    start, end = in_frame(a, origin, direction), in_frame(b, origin, direction)
    left = _crossed(start, end, SAME_POINT)
    right = _crossed(start, end, -SAME_POINT)
    both: list[Stretch] = []
    i = j = 0
    while i < len(left) and j < len(right):
        low, high = max(left[i][0], right[j][0]), min(left[i][1], right[j][1])
        if high - low > SAME_POINT:
            both.append((low, high))
        if left[i][1] < right[j][1]:
            i += 1
        else:
            j += 1
    return both


def _crossed(a: tuple[Array, Array], b: tuple[Array, Array], above: float) -> list[Stretch]:
    # Where the line is inside when corners count as above it from `above` to its left on.
    cuts = np.flatnonzero((a[1] > above) != (b[1] > above))
    (s0, t0), (s1, t1) = (a[0][cuts], a[1][cuts]), (b[0][cuts], b[1][cuts])
    cut = s0 - t0 * (s1 - s0) / (t1 - t0)
    cut = np.where(np.abs(t0) <= SAME_POINT, s0, np.where(np.abs(t1) <= SAME_POINT, s1, cut))
    ordered = np.sort(cut).tolist()
    return list(zip(ordered[::2], ordered[1::2], strict=True))


def first_clear(start: float, blocked: Sequence[Stretch]) -> float:
    """Walk outward from `start` to the first place in no stretch; an exact fit is clear.

    Parameters
    ----------
    start
        Where to begin, m.
    blocked
        The stretches to keep out of, in any order.

    Returns
    -------
    float
        The place, m, never less than `start`; infinite where the stretches do not end.

    Examples
    --------
    >>> first_clear(1.0, [(0.5, 2.0), (2.0, 3.0), (0.0, 1.5)])
    2.0
    """
    place = start
    for low, high in sorted(blocked):
        if low + ON_LINE < place < high - ON_LINE:
            place = high
    return place


def last_clear(start: float, blocked: Sequence[Stretch]) -> float:
    """Walk inward from `start` to the first place in no stretch, as `first_clear` does outward.

    Parameters
    ----------
    start
        Where to begin, m.
    blocked
        The stretches to keep out of, in any order.

    Returns
    -------
    float
        The place, m, never more than `start`.
    """
    return -first_clear(-start, [(-high, -low) for low, high in blocked])
