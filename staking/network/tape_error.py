"""How far out a tape may be: its standard error at a distance."""

from __future__ import annotations

import math
from typing import overload

import numpy as np
from numpy.typing import NDArray

from staking.errors import ComputationError
from staking.plan import Tape
from staking.tolerances import ON_LINE

CLASSES: dict[str, tuple[float, float]] = {
    "I": (0.1, 0.1),
    "II": (0.3, 0.2),
    "III": (0.6, 0.4),
}
"""Accuracy classes of tapes: a and b of the greatest permissible error a + b L, in mm with L in m.

Directive 2014/32/EU, Annex X (MI-008), chapter I, table 1; the same in the United Kingdom's
S.I. 2016/1153, schedule 1I.
"""


@overload
def permissible_error(grade: str, distance: float) -> float: ...
@overload
def permissible_error(grade: str, distance: NDArray[np.float64]) -> NDArray[np.float64]: ...
def permissible_error(
    grade: str, distance: float | NDArray[np.float64]
) -> float | NDArray[np.float64]:
    """Give the greatest error that a tape of a class may have.

    Parameters
    ----------
    grade
        ``I``, ``II`` or ``III``.
    distance
        What is taped, m; a number or an array of them.

    Returns
    -------
    float or array
        The greatest permissible error, m, zero or more, in the shape of `distance`.

    Raises
    ------
    ComputationError
        When the class is none of the three.

    Notes
    -----
    ``a + b L`` with L rounded up to the next whole metre. A length within a micrometre of a whole
    metre counts as that metre, so that rounding in the last digit does not add one. What the
    directive adds for a scale that starts at the tape's end surface (c, 0.1 to 0.3 mm) is left
    out.

    References
    ----------
    Directive 2014/32/EU of 26 February 2014, Annex X (MI-008), chapter I, table 1.

    Examples
    --------
    >>> round(permissible_error("II", 9.2) * 1000, 3)
    2.3
    """
    try:
        fixed, per_metre = CLASSES[grade]
    except KeyError:
        raise ComputationError(
            f"{grade} is not a tape class; the classes are {', '.join(CLASSES)}"
        ) from None
    errors = (fixed + per_metre * np.ceil(np.asarray(distance) - ON_LINE)) / 1000
    return errors if isinstance(distance, np.ndarray) else float(errors)


@overload
def standard_error(tape: Tape, distance: float) -> float: ...
@overload
def standard_error(tape: Tape, distance: NDArray[np.float64]) -> NDArray[np.float64]: ...
def standard_error(
    tape: Tape, distance: float | NDArray[np.float64]
) -> float | NDArray[np.float64]:
    """Give the standard error of a distance read on a tape.

    Parameters
    ----------
    tape
        The tape. Its class counts where it has one, else its one standard error.
    distance
        What is taped, m; a number or an array of them.

    Returns
    -------
    float or array
        The standard error, m, in the shape of `distance`.

    Raises
    ------
    ComputationError
        When the tape has neither a class nor an error above zero, or an unknown class.

    Notes
    -----
    A class only bounds the error. Any error within the bounds is taken as equally likely, whose
    standard deviation is the bound over the root of three.

    References
    ----------
    JCGM 100:2008, Evaluation of measurement data: guide to the expression of uncertainty in
    measurement, clause 4.3.7 (from memory).

    Examples
    --------
    >>> standard_error(Tape(error=0.003), 12.0)
    0.003
    """
    if tape.grade is not None:
        return permissible_error(tape.grade, distance) / math.sqrt(3)
    if tape.error is None or tape.error <= 0:
        raise ComputationError("the tape has neither a class nor an error above 0")
    if isinstance(distance, np.ndarray):
        return np.full(distance.shape, tape.error)
    return tape.error
