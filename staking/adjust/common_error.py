"""One offset or factor in every reading: the tape, or the building."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum

import numpy as np

from staking.adjust.blunders import LIMIT, misfit_limit
from staking.adjust.explanations import left_by_one_stake, misfit_of, planned_lengths
from staking.adjust.misfit_notices import chi_squared_limit
from staking.frozen import frozen
from staking.network.fitted import FittedNetwork, Measurement
from staking.network.geometry import Floats
from staking.network.measured import MeasuredRows
from staking.network.solve import solve

FEWEST = 3
"""So many readings at least, to say that all are off by one amount."""


class CommonKind(StrEnum):
    """What all readings have in common: an amount added, or a factor."""

    OFFSET = "offset"
    FACTOR = "factor"


@frozen
class CommonError:
    """What is common to all readings.

    Parameters
    ----------
    kind
        An offset or a factor.
    amount
        By how much every reading is long (negative: short), m; or what it is multiplied by.
    error
        The standard error of the amount.
    longest
        The longest side that was taped: its two corners.
    by_tape
        Whether that side was read again and reads otherwise: then the tape is off, and the
        building is not.
    """

    kind: CommonKind
    amount: float
    error: float
    longest: tuple[str, str]
    by_tape: bool = False


def common_error(
    solution: FittedNetwork,
    plan: Floats,
    tapes: Sequence[Measurement],
    sides: Sequence[tuple[str, str]],
    *,
    square: bool,
) -> CommonError | None:
    """Find what all readings have in common.

    Parameters
    ----------
    solution
        The corners adjusted by all of the readings.
    plan
        Where the corners stand on the plan, m, shape ``(n, 2)``.
    tapes
        The readings.
    sides
        The walls by their corners.
    square
        Whether the shape would be square without this.

    Returns
    -------
    CommonError or None
        None where there is no such thing, or the longest side was read again already: given twice,
        it settles that the building and not the tape is off.

    Notes
    -----
    Two ways. With two redundant readings or more an offset is one more unknown of the adjustment:
    ``-(1' P v) / (1' P Qvv P 1)`` with its test statistic, the data snooping of one more column
    (W. Baarda; from memory). And where every reading is off the plan by one amount, or by one
    factor, the fit of that one number to the differences. Either is named only where it explains
    the readings better than one wrong reading and one stake that is off.
    """
    longest = _longest_side(solution.names, plan, tapes, sides)
    if len(tapes) < FEWEST or longest is None or len(_readings_of(longest, tapes)) > 1:
        return None
    within = _in_the_network(solution)
    found = within or (None if square else _off_the_plan(solution, plan, tapes))
    if found is None:
        return None
    kind, amount, error = found
    return CommonError(kind=kind, amount=amount, error=error, longest=longest)


def tape_was_off(
    names: Sequence[str],
    plan: Floats,
    tapes: Sequence[Measurement],
    sides: Sequence[tuple[str, str]],
) -> CommonError | None:
    """Find whether the longest side, read again, shows that the tape was off in all the others.

    Parameters
    ----------
    names
        The corners that were taped.
    plan, tapes, sides
        As for `common_error`.

    Returns
    -------
    CommonError or None
        None where the longest side was read once, or its readings agree.
    """
    longest = _longest_side(names, plan, tapes, sides)
    again = [] if longest is None else _readings_of(longest, tapes)
    for kept in again if len(again) > 1 else ():
        others = [tapes[place] for place in again if place != kept]
        one = tapes[kept]
        if not any(
            abs(each.distance - one.distance)
            > LIMIT * math.hypot(each.standard_error, one.standard_error)
            for each in others
        ):
            continue
        first = [each for place, each in enumerate(tapes) if place == kept or place not in again]
        solution = solve(names, plan, first, anywhere=True)
        found = common_error(solution, plan, first, sides, square=False)
        if found is not None:
            return replace(found, by_tape=True)
    return None


def _longest_side(
    names: Sequence[str],
    plan: Floats,
    tapes: Sequence[Measurement],
    sides: Sequence[tuple[str, str]],
) -> tuple[str, str] | None:
    pairs = {frozenset((each.from_name, each.to_name)) for each in tapes}
    at = {name: place for place, name in enumerate(names)}
    taped = sorted((min(side), max(side)) for side in sides if frozenset(side) in pairs)
    return max(
        taped,
        key=lambda side: round(math.dist(plan[at[side[0]]], plan[at[side[1]]]), 6),
        default=None,
    )


def _readings_of(side: tuple[str, str], tapes: Sequence[Measurement]) -> list[int]:
    return [
        place for place, each in enumerate(tapes) if {each.from_name, each.to_name} == set(side)
    ]


def _in_the_network(solution: FittedNetwork) -> tuple[CommonKind, float, float] | None:
    if solution.redundancy < 2:
        return None
    rows = MeasuredRows(solution.names, [each.measurement for each in solution.adjusted])
    residual = np.array([each.residual for each in solution.adjusted])
    design = rows.design(rows.at(solution.coordinates)[1], len(solution.names))
    weights = rows.error**-2
    spread = np.diag(rows.error**2) - design @ solution.covariance @ design.T
    pull, size = float(weights @ residual), float(weights @ spread @ weights)
    if size <= 1e-6 * float(weights.sum()):
        return None
    test = abs(pull) / math.sqrt(size)
    worst = max(abs(each.standardised) for each in solution.adjusted)
    if test <= misfit_limit(len(residual)) or test < worst:
        return None
    if misfit_of(solution) - test**2 > chi_squared_limit(solution.redundancy - 1):
        return None
    return CommonKind.OFFSET, -pull / size, 1 / math.sqrt(size)


def _off_the_plan(
    solution: FittedNetwork, plan: Floats, tapes: Sequence[Measurement]
) -> tuple[CommonKind, float, float] | None:
    planned = planned_lengths(solution.names, plan, tapes)
    read = np.array([each.distance for each in tapes])
    weights = np.array([each.standard_error for each in tapes]) ** -2
    off = read - planned
    fits: list[tuple[float, CommonKind, float, float]] = []
    for kind, column in ((CommonKind.OFFSET, np.ones(len(off))), (CommonKind.FACTOR, planned)):
        size = float(weights @ column**2)
        amount = float(weights @ (column * off)) / size
        left = (off - amount * column) ** 2 * weights
        if left.max() <= LIMIT**2 and abs(amount) * math.sqrt(size) > LIMIT:
            fits.append((float(left.sum()), kind, amount, 1 / math.sqrt(size)))
    if not fits:
        return None
    left_over, kind, amount, error = min(fits, key=lambda each: each[0])
    by_one_reading = float((off**2 * weights).sum() - (off**2 * weights).max())
    by_one_stake = left_by_one_stake(solution, plan) + misfit_of(solution)
    if left_over > chi_squared_limit(len(off) - 1) or left_over >= min(
        by_one_reading, by_one_stake
    ):
        return None
    return kind, amount if kind is CommonKind.OFFSET else 1 + amount, error
