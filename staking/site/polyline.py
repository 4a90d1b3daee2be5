"""Points, chains and rings against one another: distances, crossings, inside or out.

All of it in two coordinates on one grid, m, whichever way its axes lie. Whoever calls it brings
far-off coordinates near the origin first, so that no digit is lost.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from staking.lines import Array, cross, dot

Flags = npt.NDArray[np.bool_]


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
    along = (ends - starts)[:, None, :]
    across = (other_ends - others)[None, :, :]
    between = others[None, :, :] - starts[:, None, :]
    sine = cross(along, across)
    sine = np.where(sine != 0, sine, np.nan)
    part = cross(between, across) / sine
    other = cross(between, along) / sine
    meets = (part >= 0) & (part <= 1) & (other >= 0) & (other <= 1)
    result: Array = np.where(meets, part, np.nan)
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
