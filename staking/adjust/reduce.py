"""A tape's reading to the level distance it stands for: slope, temperature, tension."""

from __future__ import annotations

import math

from staking.errors import ComputationError
from staking.plan import Tape
from staking.units import INCH

STEEL_EXPANSION = 1.16e-5
"""A steel tape's expansion per degree Celsius (6.45e-6 per degree Fahrenheit).

C. D. Ghilani and P. R. Wolf, Elementary Surveying, example 6.1 (from memory).
"""

STEEL_STIFFNESS = 2.0e11
"""Young's modulus of a steel tape, Pa: 29,000,000 lb per square inch, to two digits."""

TAPE_SECTION = 0.015 * INCH**2
"""A steel tape's cross-section, m2: 0.015 square inch, as in "Taping Corrections"
(lecture slides, slideplayer.com/slide/13085605)."""


def corrected(tape: Tape, reading: float) -> float:
    """Correct a reading for the temperature and the pull of the tape.

    Parameters
    ----------
    tape
        The tape; what it does not give is not corrected for.
    reading
        What was read, m.

    Returns
    -------
    float
        The true length, m: longer than read where the tape is warmer or pulled harder than its
        standard.

    Notes
    -----
    ``alpha (T - T0) L`` and ``(P - P0) L / (A E)`` for steel: C. D. Ghilani and P. R. Wolf,
    Elementary Surveying, chapter 6 (from memory). Sag is not corrected: the tape is held up.
    """
    length = reading
    if tape.temperature is not None and tape.standard_temperature is not None:
        length += STEEL_EXPANSION * (tape.temperature - tape.standard_temperature) * reading
    if tape.tension is not None and tape.standard_tension is not None:
        stretch = (tape.tension - tape.standard_tension) / (TAPE_SECTION * STEEL_STIFFNESS)
        length += stretch * reading
    return length


def level(slope: float, rise: float) -> float:
    """Reduce a slope distance to the level.

    Parameters
    ----------
    slope
        What was measured between two stake tops, m.
    rise
        How much higher one stands than the other, m, either sign.

    Returns
    -------
    float
        ``sqrt(slope^2 - rise^2)``, m.

    Raises
    ------
    ComputationError
        When the tops stand further apart in height than the tape says in all.

    Examples
    --------
    >>> level(5.0, 3.0)
    4.0
    """
    if abs(rise) >= slope:
        raise ComputationError(
            "the heights of two stake tops differ by more than the tape between them reads"
        )
    return math.sqrt(slope * slope - rise * rise)
