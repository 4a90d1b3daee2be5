"""Which of some upright things stands before which, seen from one side."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.footing.bands_and_outlines import Ring
from staking.plan import Point

_TOUCHING = 1e-6
"""What lies side by side shares no more than this across the view, m."""


def back_to_front(rings: Sequence[Ring], toward: Point) -> tuple[int, ...]:
    """Put upright things into the order in which each hides what came before it.

    Parameters
    ----------
    rings
        The ground each covers: convex, no two sharing ground, m.
    toward
        The level direction in which one looks, a unit vector.

    Returns
    -------
    tuple of int
        Numbers of the rings, the farthest first; of what stands side by side, the lower number
        first.

    Notes
    -----
    A line of sight over the ground that meets two rings meets the nearer one first. Such an order
    always exists: convex shapes that share no ground can be taken away one after the other in any
    one direction (L. J. Guibas, F. F. Yao, "On translating a set of rectangles", 1980; from
    memory). It is the order of a sort over all pairs that have a line of sight in common.
    """
    count = len(rings)
    across = (toward[1], -toward[0])
    seen = [np.array(ring) @ np.array([across, toward]).T for ring in rings]
    lows = np.array([each[:, 0].min() for each in seen])
    highs = np.array([each[:, 0].max() for each in seen])
    before: list[set[int]] = [set() for _ in range(count)]
    waiting = [0] * count
    for i in range(count):
        shared = np.minimum(highs[i], highs[i + 1 :]) - np.maximum(lows[i], lows[i + 1 :])
        for k in (np.flatnonzero(shared > _TOUCHING) + i + 1).tolist():
            place = (max(lows[i], lows[k]) + min(highs[i], highs[k])) / 2
            far, near = (i, k) if _depth(seen[i], place) > _depth(seen[k], place) else (k, i)
            before[far].add(near)
            waiting[near] += 1
    ready = [i for i in range(count) if waiting[i] == 0]
    heapq.heapify(ready)
    order: list[int] = []
    while ready:
        far = heapq.heappop(ready)
        order.append(far)
        for near in before[far]:
            waiting[near] -= 1
            if waiting[near] == 0:
                heapq.heappush(ready, near)
    return tuple(order)


def _depth(ring: NDArray[np.float64], place: float) -> float:
    # How far off the middle of a convex ring is along the line of sight at `place`, m.
    start, end = ring, np.roll(ring, -1, axis=0)
    meets = (start[:, 0] <= place) != (end[:, 0] <= place)
    run = end[meets, 0] - start[meets, 0]
    share = (place - start[meets, 0]) / run
    found = start[meets, 1] + share * (end[meets, 1] - start[meets, 1])
    return float(found.min() + found.max()) / 2
