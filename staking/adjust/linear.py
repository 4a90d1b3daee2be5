"""Readings to stakes by a matrix worked out beforehand, for where no adjustment can be run."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from staking.network.fitted import Measurement
from staking.network.geometry import Floats, Indices
from staking.network.measured import Rows, inner_constraints
from staking.network.tape_error import standard_error
from staking.network.unfixed import LOOSE
from staking.plan import Plan, Tape
from staking.tolerances import SAME_POINT
from staking.units import INCH

HOLDS_TO = INCH / 16
"""What the matrix's answer may be off the full adjustment's, m."""

RIGHT = 1e-6
"""An outline whose opposite sides agree and whose diagonals differ by less, m, is a rectangle."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TapeMap:
    """How the stakes stand for given readings, to the first order.

    Parameters
    ----------
    names
        The corners.
    points
        Where they stand on the plan, m, shape ``(n, 2)``.
    pairs
        The corners of each tape.
    planned
        What each tape reads on the plan, m, shape ``(m,)``.
    errors
        Their standard errors, m, shape ``(m,)``.
    moves
        ``(2n, m)``: times readings less plan it gives how far the stakes stand off the plan, x and
        y of each corner in turn, the whole neither shifted nor turned.
    reach
        With every tape read within this of the plan, m, the answer is good to `HOLDS_TO`
        whichever corner and wall are held. Beyond it a second pass tells.
    """

    names: tuple[str, ...]
    points: Floats
    pairs: tuple[tuple[str, str], ...]
    planned: Floats
    errors: Floats
    moves: Floats
    reach: float


def tape_map(
    names: Sequence[str],
    points: Floats,
    pairs: Sequence[tuple[str, str]],
    tape: Tape,
    walls: Sequence[tuple[str, str]],
) -> TapeMap | None:
    """Work out the matrix from readings to stakes.

    Parameters
    ----------
    names, points
        The corners and where they stand on the plan, m, shape ``(n, 2)``.
    pairs
        What is taped.
    tape
        The tape, for the weights.
    walls
        The walls that may be held.

    Returns
    -------
    TapeMap or None
        None where the tapes do not fix the shape.

    Notes
    -----
    ``M = (A' W A + G G')^-1 A' W`` at the plan, A being the rows of the tapes and G the motions
    of the whole: the first step of the full adjustment (derived). With displacements d a distance
    L differs from its row by at most ``g^2 / (2 (L - g))``, g being the relative displacement of
    its ends (derived: the part square to the line). Where what this does to the stakes is half of
    `HOLDS_TO` at most, all further steps together add no more than that again (the theorem of
    L. V. Kantorovich on Newton's method, from memory).
    """
    at = {name: place for place, name in enumerate(names)}
    ends = np.array([(at[one], at[other]) for one, other in pairs], dtype=np.intp).reshape(-1, 2)
    centred = points - points.mean(axis=0)
    step = centred[ends[:, 1]] - centred[ends[:, 0]]
    planned = np.hypot(step[:, 0], step[:, 1])
    if not len(planned) or planned.min() <= SAME_POINT:
        return None
    errors = np.asarray(standard_error(tape, planned))
    rows = Rows(
        names,
        [
            Measurement(from_name=one, to_name=other, distance=float(length), standard_error=error)
            for (one, other), length, error in zip(pairs, planned, errors.tolist(), strict=True)
        ],
    )
    direction = rows.at(centred)[1]
    design = rows.design(direction, len(names))
    free = inner_constraints(centred)
    if not _is_fixed(design, free):
        return None
    weighted = rows.design(direction * (errors.min() / errors)[:, None], len(names))
    normal = weighted.T @ weighted + free @ free.T
    moves = np.linalg.solve(normal, weighted.T * (errors.min() / errors))
    return TapeMap(
        names=tuple(names),
        points=np.asarray(points, dtype=float),
        pairs=tuple((one, other) for one, other in pairs),
        planned=planned,
        errors=errors,
        moves=moves,
        reach=_reach(centred, ends, planned, moves, [(at[a], at[b]) for a, b in walls]),
    )


def rectangles(plan: Plan) -> tuple[tuple[str, str, str, str], ...]:
    """Find the outlines that are rectangles.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    tuple
        The four corners of each in order.
    """
    return tuple(_rectangles(plan))


def _rectangles(plan: Plan) -> Iterator[tuple[str, str, str, str]]:
    for building in plan.buildings:
        if len(building.corners) != 4:
            continue
        a, b, c, d = (corner.point for corner in building.corners)
        one, two, three, four = (corner.name for corner in building.corners)
        gap = math.hypot(a[0] + c[0] - b[0] - d[0], a[1] + c[1] - b[1] - d[1])
        if gap <= RIGHT and abs(math.dist(a, c) - math.dist(b, d)) <= RIGHT:
            yield one, two, three, four


def _is_fixed(design: Floats, free: Floats) -> bool:
    # the same line as the full adjustment draws
    normal = design.T @ design + free @ free.T
    values = np.linalg.eigvalsh(normal)
    return bool(values[0] >= LOOSE**2)


def _reach(
    points: Floats,
    ends: Indices,
    planned: Floats,
    moves: Floats,
    walls: Sequence[tuple[int, int]],
) -> float:
    each = moves.reshape(len(points), 2, -1)
    apart = np.hypot(*np.moveaxis(each[ends[:, 1]] - each[ends[:, 0]], 1, 0)).sum(axis=1)
    gain = max((_gain(points, each, wall) for wall in walls), key=np.max, default=None)
    weigh = np.hypot(each[:, 0], each[:, 1]) if gain is None else gain

    def off(rho: float) -> float:
        shift = rho * apart
        if (shift >= planned).any():
            return math.inf
        return float((weigh @ (shift**2 / (2 * (planned - shift)))).max())

    low, high = 0.0, float(planned.min())
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if off(middle) <= HOLDS_TO / 2 else (low, middle)
    return low


def _gain(points: Floats, each: Floats, wall: tuple[int, int]) -> Floats:
    # how far a corner moves per unit of a reading with the wall's first corner and way held
    first, last = wall
    along = points[last] - points[first]
    size = float(np.hypot(*along))
    square = np.array([-along[1], along[0]]) / size
    turn = np.einsum("i,ip->p", square, each[last] - each[first]) / size
    away = points - points[first]
    swung = np.stack([-away[:, 1], away[:, 0]], axis=1)[:, :, None] * turn[None, None, :]
    held = each - each[first][None] - swung
    return np.asarray(np.hypot(held[:, 0], held[:, 1]))
