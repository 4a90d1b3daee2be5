"""How far out stakes come that are set one from the next, each wall squared off the one before."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from staking.frozen import frozen
from staking.network.geometry import RADIUS_95, Floats
from staking.network.measured import inner_constraints
from staking.network.tape_error import standard_error
from staking.plan import Tape


@frozen
class CornerTriangle:
    """A triangle taped at a corner: its two legs along the walls and the tape across, m."""

    legs: tuple[float, float]
    across: float


def angle_error(triangle: CornerTriangle, tape: Tape) -> float:
    """Give the standard error of an angle set by a taped triangle.

    Parameters
    ----------
    triangle
        The legs and the tape across.
    tape
        The tape that all three are taken with.

    Returns
    -------
    float
        The standard error, rad.

    Notes
    -----
    From ``c^2 = a^2 + b^2 - 2 a b cos C`` by differentiation:
    ``a b sin C dC = c dc - (a - b cos C) da - (b - a cos C) db``. At a right angle the variance is
    ``2 c^2 s^2 / (a b)^2``, so that a 3-4-5 of unit k is out by 0.59 s / k (derived).

    Examples
    --------
    >>> round(angle_error(CornerTriangle(legs=(3.0, 4.0), across=5.0), Tape(error=0.01)) * 100, 4)
    0.5893
    """
    (a, b), c = triangle.legs, triangle.across
    cosine = (a * a + b * b - c * c) / (2 * a * b)
    sine = math.sqrt(max(1 - cosine * cosine, 1e-12))
    parts = (
        c * standard_error(tape, c),
        (a - b * cosine) * standard_error(tape, a),
        (b - a * cosine) * standard_error(tape, b),
    )
    return math.hypot(*parts) / (a * b * sine)


def walked_radii95(
    points: Floats, base: int, triangles: Sequence[CornerTriangle | None], tape: Tape
) -> tuple[float, ...] | None:
    """Give the 95 % radius of each corner when walls are squared one off the other.

    Parameters
    ----------
    points
        The corners round one outline, m, shape ``(n, 2)``.
    base
        The corner from which the base line runs to the next: it is taped first, and the others
        are reached round the outline from its nearer end.
    triangles
        The triangle taped at each corner; None where there is none.
    tape
        The tape.

    Returns
    -------
    tuple of float or None
        The radius of each corner, m, in the order given, after the outline as a whole is laid on
        the plan (inner constraints); None where a corner on the way has no triangle.

    Notes
    -----
    A wall's length moves all corners beyond it along the wall; an angle at a corner turns them
    about that corner (derived). Nothing is adjusted where the two ways meet.
    """
    count = len(points)
    order = [(base + step) % count for step in range(count)]
    forward = order[1 : count // 2 + 1]
    backward = [order[0], *reversed(order[count // 2 + 1 :])]
    motions = [_lengthened(points, order[0], order[1], forward, tape)]
    for way in (forward, backward):
        for place, (here, beyond) in enumerate(pairwise(way)):
            triangle = triangles[here]
            if triangle is None:
                return None
            rest = way[place + 1 :]
            turn = np.zeros((count, 2))
            away = points[rest] - points[here]
            turn[rest] = np.column_stack((-away[:, 1], away[:, 0])) * angle_error(triangle, tape)
            motions += [turn, _lengthened(points, here, beyond, rest, tape)]
    spread = np.array(motions).reshape(len(motions), -1)
    free = inner_constraints(points)
    spread = spread - (spread @ free) @ free.T
    blocks = np.einsum("mni,mnj->nij", *[spread.reshape(-1, count, 2)] * 2)
    greatest = np.linalg.eigvalsh(blocks)[:, -1]
    return tuple((RADIUS_95 * np.sqrt(np.maximum(greatest, 0.0))).tolist())


def _lengthened(points: Floats, here: int, there: int, rest: Sequence[int], tape: Tape) -> Floats:
    # what one standard error in a wall's length does to the corners beyond it
    moved = np.zeros((len(points), 2))
    run = points[there] - points[here]
    length = float(np.hypot(run[0], run[1]))
    moved[list(rest)] = run / length * standard_error(tape, length)
    return moved
