"""Rectangles among the corners of an outline: what is squared before the rest is added."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from staking.lines import cross
from staking.network.geometry import Floats, Indices, PairDistances
from staking.tolerances import SAME_POINT

ENOUGH = 0.5
"""A rectangle counts from this share of the outline's area on (common practice, no source)."""

TIE = 1e-9
"""Areas nearer than this share are the same: the first pair of diagonals by name is taken."""

# a direction in (midpoint x, midpoint y, half length) along which few diagonals coincide by
# chance, even on a regular plan: no small whole numbers relate its parts
_SWEEP = np.array([math.sqrt(2) - 1, math.sqrt(3) - 1, math.sqrt(5) - 2])


def largest_rectangle(
    points: Floats, distances: PairDistances, rows: Indices, area: float
) -> tuple[int, int] | None:
    """Find the two diagonals of the largest rectangle that four corners form.

    Parameters
    ----------
    points
        x and y of all corners, m, shape ``(n, 2)``.
    distances, rows
        The table of distances, and the rows of it that may be diagonals: those within one outline
        that can be taped.
    area
        The outline's area, m2.

    Returns
    -------
    tuple of int or None
        The two rows, or None where no rectangle has at least half the outline's area.

    Notes
    -----
    Four points form a rectangle when two of their distances share a midpoint and are equal; both
    are held to half a millimetre.
    """
    # a rectangle's area is at most half its diagonal squared
    rows = rows[distances.length[rows] ** 2 >= 2 * ENOUGH * area * (1 - TIE)]
    if len(rows) < 2:
        return None
    middle = (points[distances.first[rows]] + points[distances.second[rows]]) / 2
    half = distances.length[rows] / 2
    found = [
        (float(size), int(one), int(other))
        for near, far in _coinciding(np.column_stack([middle, half]))
        for size, one, other in zip(
            2 * half[near] * half[far] * _sine(distances, rows[near], rows[far]),
            np.minimum(rows[near], rows[far]),
            np.maximum(rows[near], rows[far]),
            strict=True,
        )
    ]
    largest = max((size for size, _, _ in found), default=0.0)
    if largest < ENOUGH * area * (1 - TIE) or largest <= 0:
        return None
    return min((one, other) for size, one, other in found if size >= largest * (1 - TIE))


def _coinciding(places: Floats) -> Iterator[tuple[Indices, Indices]]:
    # places within half a millimetre of each other lie close along any direction
    key = places @ _SWEEP
    order = np.argsort(key, kind="stable")
    key, places = key[order], places[order]
    reach = SAME_POINT * float(np.linalg.norm(_SWEEP))
    for step in range(1, len(key)):
        close = key[step:] - key[:-step] <= reach
        if not close.any():
            return
        near = np.flatnonzero(close)
        same = np.linalg.norm(places[near + step] - places[near], axis=1) <= SAME_POINT
        yield order[near[same]], order[near[same] + step]


def _sine(distances: PairDistances, one: Indices, other: Indices) -> Floats:
    a, b = distances.direction[one], distances.direction[other]
    return np.asarray(np.abs(cross(a, b)))
