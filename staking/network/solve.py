"""Least squares of taped distances: the shape that fits them best, and how well it is known."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking.errors import ComputationError
from staking.lines import cross
from staking.network.fitted import Adjusted, FittedNetwork, Measurement
from staking.network.geometry import Floats
from staking.network.measured import MeasuredRows, inner_constraints
from staking.network.unfixed import refuse_loose
from staking.tolerances import SAME_POINT

UNCHECKED = 1e-6
"""A redundancy number below this is nil: nothing would show an error of that reading."""

CONVERGED = 1e-12
"""Steps shorter than this, m, end the iteration."""

MOST_STEPS = 100


def solve(
    names: Sequence[str],
    plan: Floats,
    measurements: Sequence[Measurement],
    *,
    start: Floats | None = None,
    usable: Sequence[tuple[str, str]] | None = None,
    anywhere: bool = False,
) -> FittedNetwork:
    """Adjust taped distances by least squares.

    Parameters
    ----------
    names
        The corners; each is to be an end of some measurement.
    plan
        Where they stand on the plan, m, shape ``(n, 2)``.
    measurements
        The distances; a pair may be measured more than once.
    start
        Where to start from, m, shape ``(n, 2)``; the plan by default.
    usable
        The pairs that may be taped next where the shape is not fixed; all by default.
    anywhere
        Whether a shape with corners nearer to others' places than to their own is taken too.

    Returns
    -------
    FittedNetwork
        In the plan's frame: turned and shifted to fit it best.

    Raises
    ------
    NotFixedError
        When the distances leave a corner free to move.
    ComputationError
        When no shape near the plan fits the distances, or only its mirror image.

    Notes
    -----
    Gauss-Newton on the distances, each over its standard error, with the inner constraints G of
    two shifts and a turn (``N + G G'`` is positive definite). A step that makes the fit worse is
    halved. Redundancy numbers are ``1 - a Q a' / sigma^2`` and a standardised residual is
    ``v / (sigma sqrt(r))``: W. Baarda's data snooping (from memory).

    References
    ----------
    C. D. Ghilani, Adjustment Computations, chapters 14, 16 and 21 (from memory).
    """
    rows = MeasuredRows(names, measurements)
    goal = plan - plan.mean(axis=0)
    refuse_loose(names, goal, rows, usable)
    points = goal.copy() if start is None else start - start.mean(axis=0)
    points = _iterate(points, rows)
    fitted = best_fit(points, goal)
    _refuse_mirrored(names, fitted, goal)
    found = _result(names, fitted, plan.mean(axis=0), rows, tuple(measurements))
    if not anywhere:
        refuse_folded(found, plan)
    return found


def best_fit(points: Floats, goal: Floats) -> Floats:
    """Turn and shift points so that they lie as near as can be to others.

    Parameters
    ----------
    points, goal
        x and y, m, shape ``(n, 2)``, in the same order.

    Returns
    -------
    array
        The points moved, shape ``(n, 2)``; the sum of squared distances is least.

    Notes
    -----
    The turn is the argument of the sum of products of one point, conjugated, and the other, both
    from their centroids (derived: the plane case of the rigid fit).
    """
    here, there = points - points.mean(axis=0), goal - goal.mean(axis=0)
    c = float((here * there).sum())
    s = float(cross(here, there).sum())
    size = np.hypot(c, s)
    c, s = (c / size, s / size) if size > 0 else (1.0, 0.0)
    return np.asarray(here @ np.array([[c, s], [-s, c]]) + goal.mean(axis=0))


def _iterate(points: Floats, rows: MeasuredRows) -> Floats:
    count, before = len(points), np.inf
    cost = _cost(points, rows)
    for _ in range(MOST_STEPS):
        length, direction = rows.at(points)
        free = inner_constraints(points)
        # in units of the smallest error, so that the constraints weigh like a reading
        unit = rows.error.min()
        weighted = direction * (unit / rows.error)[:, None]
        misfit = (rows.distance - length) * (unit / rows.error)
        normal = rows.normal(weighted, count) + free @ free.T
        try:
            step = np.linalg.solve(normal, rows.gather(weighted, misfit, count)).reshape(-1, 2)
        except np.linalg.LinAlgError:
            break
        size = float(np.abs(step).max())
        # half of one step after another: at rounding level a step need not lower the cost
        for _half in range(40):
            trial = points + step
            found = _cost(trial, rows)
            if found <= cost * (1 + 1e-9) + 1e-18:
                break
            step = step / 2
        else:
            break
        points, cost = trial, found
        if size < CONVERGED or (size < 1e-6 and size > before / 2):
            return points
        before = size
    raise ComputationError(
        "no shape near the plan fits the readings: look for swapped names or a wrong unit; "
        f"furthest from the plan is {_furthest(points, rows)}"
    )


def _cost(points: Floats, rows: MeasuredRows) -> float:
    misfit = (rows.distance - rows.at(points)[0]) / rows.error
    return float(misfit @ misfit)


def _furthest(points: Floats, rows: MeasuredRows) -> str:
    worst = int(np.argmax(np.abs(rows.distance - rows.at(points)[0]) / rows.error))
    return f"reading {worst + 1}"


def _refuse_mirrored(names: Sequence[str], fitted: Floats, goal: Floats) -> None:
    off = np.linalg.norm(fitted - goal, axis=1)
    turned = goal * np.array([-1.0, 1.0])
    mirrored = np.linalg.norm(best_fit(fitted, turned) - turned, axis=1)
    if len(names) > 2 and off.max() > SAME_POINT and mirrored.max() < off.max() / 2:
        raise ComputationError(
            "the corners come out in the mirror image of the plan: they are named the other way "
            "round on the ground, or the plan is seen from below"
        )


def refuse_folded(solution: FittedNetwork, plan: Floats) -> None:
    """Refuse a shape with a corner nearer to another corner's place than to its own.

    Parameters
    ----------
    solution
        The adjusted corners.
    plan
        Where they stand on the plan, m, shape ``(n, 2)``.

    Raises
    ------
    ComputationError
        When there is one: names are swapped, or a reading is in another unit.
    """
    names, goal = solution.names, plan - plan.mean(axis=0)
    if len(names) < 3:
        return
    fitted = best_fit(solution.coordinates, plan) - plan.mean(axis=0)
    off = np.linalg.norm(fitted - goal, axis=1)
    gaps = np.linalg.norm(goal[:, None, :] - goal[None, :, :], axis=2)
    np.fill_diagonal(gaps, np.inf)
    folded = np.flatnonzero(off > np.maximum(gaps.min(axis=1) / 2, 0.5))
    if len(folded):
        rows = MeasuredRows(names, [each.measurement for each in solution.adjusted])
        misfit = np.abs(rows.distance - rows.at(goal)[0])
        worst = int(np.argmax(misfit))
        pair = f"{names[rows.first[worst]]}-{names[rows.second[worst]]}"
        corner = names[int(folded[np.argmax(off[folded])])]
        raise ComputationError(
            f"the readings put {corner} nearer to another corner's place than to its own: look "
            f"for swapped names or a wrong unit, first at {pair}, which is furthest from the plan"
        )


def _result(
    names: Sequence[str],
    fitted: Floats,
    middle: Floats,
    rows: MeasuredRows,
    measurements: tuple[Measurement, ...],
) -> FittedNetwork:
    count, many = len(names), len(measurements)
    length, direction = rows.at(fitted)
    unit = float(rows.error.min())
    weighted = direction * (unit / rows.error)[:, None]
    free = inner_constraints(fitted)
    outer = free @ free.T
    cofactor = np.linalg.inv(rows.normal(weighted, count) + outer) - outer
    design = rows.design(weighted, count)
    # cofactors of the residuals, each residual over its standard error
    kept = (design @ cofactor) @ design.T
    np.negative(kept, out=kept)
    kept.flat[:: many + 1] += 1.0
    number = np.clip(np.diag(kept), 0.0, 1.0)
    checked = number > UNCHECKED
    root = np.where(checked, np.sqrt(np.where(checked, number, 1.0)), np.inf)
    residual = length - rows.distance
    standardised = residual / rows.error / root
    kept /= root[:, None]
    kept /= root[None, :]
    np.fill_diagonal(kept, 1.0)
    redundancy = many - 2 * count + free.shape[1]
    total = float(((residual / rows.error) ** 2).sum())
    return FittedNetwork(
        names=tuple(names),
        coordinates=fitted + middle,
        covariance=cofactor * unit**2,
        adjusted=tuple(
            Adjusted(
                measurement=each,
                adjusted=float(length[i]),
                residual=float(residual[i]),
                standardised=float(standardised[i]),
                redundancy=float(number[i]) if checked[i] else 0.0,
            )
            for i, each in enumerate(measurements)
        ),
        redundancy=redundancy,
        variance_factor=total / redundancy if redundancy > 0 else None,
        correlation=kept,
    )
