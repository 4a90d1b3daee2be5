"""How far off a quantity may be before it is called out: its tolerance, the step, the tape."""

from __future__ import annotations

import math
from enum import StrEnum
from statistics import NormalDist

import numpy as np

from staking.frozen import frozen
from staking.network.fitted import FittedNetwork
from staking.network.geometry import Floats
from staking.network.measured import MeasuredRows

WHOLE = 0.95
"""The share of perfect buildings that pass with all their quantities (common practice, no
source)."""

STEPS = 1.5
"""No limit is tighter than this many of the steps that lengths are read in (common practice, no
source)."""


class LimitBy(StrEnum):
    """What sets a limit: the tolerance, the step that is read, or what the readings can show."""

    TOLERANCE = "tolerance"
    STEP = "step"
    TAPE = "tape"


@frozen
class Limit:
    """What a quantity may be off by, m.

    Parameters
    ----------
    what
        The quantity, as ``A-C``, ``corner B`` or the name of a stake or line.
    allowed
        What the tolerances allow.
    limit
        What it is judged by; never less than `allowed`.
    by
        Which of the three is the greatest.
    """

    what: str
    allowed: float
    limit: float
    by: LimitBy


def z_of(count: int) -> float:
    """Give the standard errors within which a perfect building passes whole 19 times in 20.

    Parameters
    ----------
    count
        How many quantities are judged, one or more.

    Returns
    -------
    float
        The normal quantile of ``(1 + 0.95^(1/m)) / 2``.

    Notes
    -----
    Each of m quantities passes with the chance ``0.95^(1/m)``. Where they depend on one another all
    pass at least as often: Z. Sidak, Rectangular confidence regions for the means of multivariate
    normal distributions, 1967 (from memory).

    Examples
    --------
    >>> round(z_of(10), 4)
    2.7996
    """
    return NormalDist().inv_cdf((1 + _share(count)) / 2)


def plane_z_of(count: int) -> float:
    """Give the standard errors for a place in the plane that is judged by its distance.

    As `z_of` does for a quantity on one line.

    Parameters
    ----------
    count
        How many quantities are judged, one or more.

    Returns
    -------
    float
        ``sqrt(-2 ln(1 - 0.95^(1/m)))``, by the distribution of J. W. Strutt (Rayleigh).
    """
    return math.sqrt(-2 * math.log(1 - _share(count)))


def limit_of(what: str, allowed: float, error: float, step: float, z: float) -> Limit:
    """Give the limit of one quantity.

    Parameters
    ----------
    what
        The quantity's name.
    allowed
        What the tolerances allow, m.
    error
        Its standard error with these readings, m.
    step
        The step that lengths are read in, m.
    z
        From `z_of`, or from `plane_z_of` for a place.

    Returns
    -------
    Limit
        The greatest of the tolerance, one and a half steps, and z standard errors.
    """
    found = {LimitBy.TOLERANCE: allowed, LimitBy.STEP: STEPS * step, LimitBy.TAPE: z * error}
    by = max(found, key=lambda each: found[each])
    return Limit(what=what, allowed=allowed, limit=found[by], by=by)


def reading_covariance(solution: FittedNetwork, step: float) -> Floats:
    """Give the covariance of the corners where every tape is read to a step.

    Parameters
    ----------
    solution
        The adjusted corners.
    step
        The step that lengths are read in, m.

    Returns
    -------
    array
        ``(2n, 2n)``, m2, each reading's variance being its error squared plus the step squared
        over twelve.

    Notes
    -----
    A reading shifts the corners by ``C A' P``; the variance of a value rounded to a step is
    ``step^2 / 12`` (uniform distribution).
    """
    measured = [each.measurement for each in solution.adjusted]
    if not measured:
        return solution.covariance
    rows = MeasuredRows(solution.names, measured)
    design = rows.design(rows.at(solution.coordinates)[1], len(solution.names))
    gains = solution.covariance @ (design / (rows.error**2)[:, None]).T
    return np.asarray(solution.covariance + step**2 / 12 * gains @ gains.T)


def _share(count: int) -> float:
    return float(WHOLE ** (1 / max(count, 1)))
