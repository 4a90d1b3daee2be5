"""What to tape on plans of very many corners, where choosing among all pairs takes too long."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from staking.plan import Plan

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

MANY = 300
"""Plans of more corners than this are braced by rule (our own choice: about a second's work)."""

REACH = 3
"""How many corners on along the outline a brace reaches at most."""

TIES = 4
"""How many tapes tie an outline to those before it: three fix it, one checks."""


def brace_pairs(plan: Plan, names: tuple[str, ...], points: Floats) -> tuple[Indices, Indices]:
    """Pair every corner with the three corners on along its outline, and tie the outlines.

    Parameters
    ----------
    plan
        The plan.
    names, points
        All corners sorted by name, and their x and y, m, shape ``(n, 2)``.

    Returns
    -------
    tuple of array
        Indices of the pairs' two corners, the lesser first, shape ``(p,)`` each, in the order of
        the names; every side is among them. The number of pairs grows with n, not with its square.

    Notes
    -----
    Sides and the tapes to the second corner on make a strip of triangles, those to the third check
    it (derived: each further corner brings two unknowns and three tapes). Outlines are tied, in the
    plan's order, by their `TIES` shortest distances to all corners before.
    """
    index = {name: place for place, name in enumerate(names)}
    found: set[tuple[int, int]] = set()
    outlines = [
        np.array([index[corner.name] for corner in building.corners], dtype=np.intp)
        for building in plan.buildings
    ]
    for ring in outlines:
        for step in range(1, REACH + 1):
            found |= _sorted_pairs(ring, np.roll(ring, -step))
    before = outlines[:1]
    for _, ring in pairwise(outlines):
        found |= _nearest(points, np.sort(np.concatenate(before)), np.sort(ring))
        before.append(ring)
    pairs = np.array(sorted(found), dtype=np.intp).reshape(-1, 2)
    return pairs[:, 0], pairs[:, 1]


def _sorted_pairs(one: Indices, other: Indices) -> set[tuple[int, int]]:
    return {
        (min(pair), max(pair))
        for pair in zip(one.tolist(), other.tolist(), strict=True)
        if pair[0] != pair[1]
    }


def _nearest(points: Floats, earlier: Indices, ring: Indices) -> set[tuple[int, int]]:
    # row by row, so that the memory stays small; to a micrometre, so that turning changes nothing
    best: list[tuple[float, int, int]] = []
    for corner in ring.tolist():
        lengths = np.round(np.hypot(*(points[earlier] - points[corner]).T), 6)
        for place in np.argsort(lengths, kind="stable")[:TIES].tolist():
            first, second = sorted((corner, int(earlier[place])))
            best.append((float(lengths[place]), first, second))
    return {(first, second) for _, first, second in sorted(best)[:TIES]}
