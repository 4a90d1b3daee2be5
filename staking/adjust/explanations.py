"""What one thing explains: one stake, one reading, one wall's length; and another building."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.adjust.misfit_notices import chi_squared_limit
from staking.errors import ComputationError
from staking.frozen import frozen
from staking.network.fitted import FittedNetwork, Measurement
from staking.network.geometry import Floats
from staking.network.measured import MeasuredRows
from staking.network.solve import best_fit, solve
from staking.units import FOOT

FOREIGN = FOOT
"""A corner this far off its place, m, is another building's (common practice, no source)."""

EXPLAINED = FOREIGN / 2
"""Where one thing explains the rest, every corner is nearer than this, m, without it.

Common practice, no source.
"""

APART = 2 * math.log(1000)
"""Stakes whose misfits differ by less are told apart in fewer than 999 cases of 1,000.

Chi-squared with the two degrees of freedom of a stake's place (derived).
"""


@frozen
class StakeOff:
    """A single stake that explains all that is out, or several of which one does.

    Parameters
    ----------
    names
        The likeliest first.
    x, y
        How far the likeliest stands off the place that the others give it, m, on the plan's grid.
    """

    names: tuple[str, ...]
    x: float
    y: float


def one_stake(solution: FittedNetwork, plan: Floats) -> StakeOff | None:
    """Find the single stake that explains why the shape is not the plan's.

    Parameters
    ----------
    solution
        The adjusted corners.
    plan
        Where they stand on the plan, m, shape ``(n, 2)``.

    Returns
    -------
    StakeOff or None
        None where no single stake explains it, or there are fewer than three corners.

    Notes
    -----
    With ``N`` the normal matrix and ``v`` the corners' distances from the plan, freeing stake k
    takes ``b' N_kk^-1 b`` off ``v' N v``, b being the two of ``N v`` at k (derived; the
    outlier test of two coordinates at once: P. J. G. Teunissen, Testing Theory, chapter 4, from
    memory). What is left is chi-squared with ``2n - 5`` degrees of freedom where k alone is off.
    """
    count = len(solution.names)
    if count < 3:
        return None
    normal = np.linalg.pinv(solution.covariance, rcond=1e-9, hermitian=True)
    off = (best_fit(solution.coordinates, plan) - plan).ravel()
    pull = normal @ off
    total = float(off @ pull)
    left = np.full(count, np.inf)
    moves = np.zeros((count, 2))
    for k in range(count):
        at = slice(2 * k, 2 * k + 2)
        moves[k] = np.linalg.lstsq(normal[at, at], pull[at], rcond=None)[0]
        left[k] = total - float(moves[k] @ pull[at])
    best = int(np.argmin(left))
    if left[best] > _most(2 * count - 5):
        return None
    alike = [k for k in np.argsort(left, kind="stable").tolist() if left[k] <= left[best] + APART]
    return StakeOff(
        names=tuple(solution.names[k] for k in alike),
        x=float(moves[best, 0]),
        y=float(moves[best, 1]),
    )


def left_by_one_stake(solution: FittedNetwork, plan: Floats) -> float:
    """Give the least sum of squares that freeing a single stake leaves, in units of variance."""
    normal = np.linalg.pinv(solution.covariance, rcond=1e-9, hermitian=True)
    off = (best_fit(solution.coordinates, plan) - plan).ravel()
    pull = normal @ off
    taken = [
        float(pull[at] @ np.linalg.lstsq(normal[at, at], pull[at], rcond=None)[0])
        for at in (slice(2 * k, 2 * k + 2) for k in range(len(solution.names)))
    ]
    return float(off @ pull) - max(taken)


def is_another_building(
    solution: FittedNetwork,
    plan: Floats,
    measurements: Sequence[Measurement],
    walls: Sequence[tuple[str, str]],
) -> bool:
    """Say whether the readings are of another building.

    Parameters
    ----------
    solution
        The adjusted corners.
    plan
        Where they stand on the plan, m, shape ``(n, 2)``.
    measurements
        The taped distances; none where stakes were surveyed.
    walls
        The walls by their corners.

    Returns
    -------
    bool
        Whether after the best turn and shift more than half the corners are a foot or more off,
        and neither one reading, one stake nor one wall's length explains it: without that one
        thing every corner would be within half a foot.
    """
    places = best_fit(solution.coordinates, plan)
    if not _foreign(places, plan):
        return False
    count = len(plan)
    for k in range(count):
        rest = np.arange(count) != k
        if count > 3 and _fits(best_fit(places[rest], plan[rest]), plan[rest]):
            return False
    if any(_wall_explains(places, plan, solution.names, wall) for wall in walls):
        return False
    return not any(
        _reading_explains(solution.names, plan, measurements, k) for k in range(len(measurements))
    )


def _foreign(places: Floats, plan: Floats) -> bool:
    return 2 * int((np.hypot(*(places - plan).T) >= FOREIGN).sum()) > len(plan)


def _fits(places: Floats, plan: Floats) -> bool:
    return bool((np.hypot(*(places - plan).T) < EXPLAINED).all())


def _wall_explains(
    places: Floats, plan: Floats, names: Sequence[str], wall: tuple[str, str]
) -> bool:
    at: Mapping[str, int] = {name: place for place, name in enumerate(names)}
    if not set(wall) <= at.keys():
        return False
    first, last = plan[at[wall[0]]], plan[at[wall[1]]]
    along = (last - first) / np.hypot(*(last - first))
    station = (plan - first) @ along
    length = float(np.hypot(*(last - first)))
    for beyond in (station > 0.5 * length, station >= length - 1e-6, station > 1e-6):
        stretched = plan.copy()
        for _ in range(10):
            fitted = best_fit(places, stretched)
            gap = (fitted - stretched) @ along
            inside = ~beyond
            if not inside.any():
                break
            more = float(gap[beyond].mean() - gap[inside].mean())
            stretched = stretched + np.outer(beyond, along * more)
        if _fits(best_fit(places, stretched), stretched):
            return True
    return False


def _reading_explains(
    names: Sequence[str], plan: Floats, measurements: Sequence[Measurement], wrong: int
) -> bool:
    each = measurements[wrong]
    at = {name: place for place, name in enumerate(names)}
    planned = float(np.hypot(*(plan[at[each.to_name]] - plan[at[each.from_name]])))
    mended = [
        Measurement(
            from_name=m.from_name,
            to_name=m.to_name,
            distance=planned if place == wrong else m.distance,
            standard_error=m.standard_error,
        )
        for place, m in enumerate(measurements)
    ]
    try:
        found = solve(names, plan, mended, anywhere=True)
    except ComputationError:
        return False
    return _fits(best_fit(found.coordinates, plan), plan)


def misfit_of(solution: FittedNetwork) -> float:
    """Give the sum of squares of the residuals, each over its standard error."""
    return float(
        sum((each.residual / each.measurement.standard_error) ** 2 for each in solution.adjusted)
    )


def planned_lengths(names: Sequence[str], plan: Floats, tapes: Sequence[Measurement]) -> Floats:
    """Give what each tape reads on the plan, m, shape ``(m,)``."""
    return MeasuredRows(names, tapes).at(plan)[0]


def _most(freedom: int) -> float:
    return chi_squared_limit(max(freedom, 1)) if freedom > 0 else 1e-6
