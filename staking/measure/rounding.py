"""Rounding: one rule for everything that is printed, halves away from nothing, ties as meant.

A length is kept in metres, where a half of a sixteenth or of a hundredth of a foot has no end: what
is meant as a tie comes a hair under or over it. So a tie is decided on the grid that is printed,
with a tolerance that swallows what the metres lost. The page's script rounds in the same way.
"""

from __future__ import annotations

import math

TIE = 1e-7
"""What a computed value may be off its tie, in metres or in the unit that is printed."""

AREA_TIE = 1e-5
"""The same of an area, in the unit that is printed: what a hair of `TIE` on each side comes to over
a hundred feet of sides."""

_PART = 1e-3
"""The same as a part of the step that is rounded to, where that is less."""


def whole_steps(value: float, step: float, tie: float = TIE) -> int:
    """Give how many steps come nearest to a value.

    Parameters
    ----------
    value
        m, or any other unit.
    step
        In the same unit, over zero.
    tie
        What the value may be off its tie, in the same unit.

    Returns
    -------
    int
        Halves away from nothing: 2.5 steps are 3, -2.5 steps are -3. A value within `tie` under a
        half, or a thousandth of a step where that is less, is the half.

    Examples
    --------
    >>> whole_steps(3.875 * 0.3048, 0.3048 / 100)
    388
    >>> whole_steps(-2.5, 1.0)
    -3
    """
    slack = min(tie / step, _PART)
    count = math.floor(abs(value) / step + 0.5 + slack)
    return -count if value < 0 else count


def decimal_text(value: float, places: int, tie: float = TIE) -> str:
    """Write a number with a fixed number of decimals.

    Parameters
    ----------
    value
        Finite.
    places
        How many decimals.
    tie
        What the value may be off its tie.

    Returns
    -------
    str
        Rounded as `whole_steps` rounds; no minus sign before nothing.

    Examples
    --------
    >>> decimal_text(0.125, 2), decimal_text(-2.675, 2), decimal_text(-0.001, 2)
    ('0.13', '-2.68', '0.00')
    """
    count = whole_steps(value, 10.0**-places, tie)
    return f"{count / 10**places:.{places}f}"


def up_to_steps(value: float, step: float) -> int:
    """Give the fewest steps that are no less than a value.

    Parameters
    ----------
    value, step
        In one unit, neither negative.

    Returns
    -------
    int
        What is over a whole number of steps by no more than `TIE` is that number.

    Examples
    --------
    >>> up_to_steps(3.5037, 0.25), up_to_steps(3.5, 0.25), up_to_steps(0.1 * 3, 0.1)
    (15, 14, 3)
    """
    return math.ceil(value / step - min(TIE / step, _PART))
