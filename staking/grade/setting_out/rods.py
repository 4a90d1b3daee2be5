"""The level and the rod: what to read for each elevation."""

from __future__ import annotations

from staking.frozen import frozen
from staking.tolerances import ON_LINE
from staking.units import INCH

SAME_SIGHT = INCH / 8
"""Two readings of one point from one set-up that are farther apart show that the instrument moved,
m: each is read to 1/16" (common practice, no source)."""


def instrument_height(benchmark: float, backsight: float) -> float:
    """Give the elevation of the line of sight: the benchmark plus the reading on it.

    Returns
    -------
    float
        In the unit given.
    """
    return benchmark + backsight


def add_to_benchmark(benchmark: float | None, elevation: float) -> float | None:
    """Tell what to add to the rod reading on the benchmark to set an elevation.

    Parameters
    ----------
    benchmark, elevation
        Of the benchmark and of what is to be set, m.

    Returns
    -------
    float or None
        Positive below the benchmark; true for any set-up. None without a benchmark.
    """
    return None if benchmark is None else benchmark - elevation


@frozen
class RodReading:
    """A rod reading, m; `turning_point` tells why it cannot be taken, or is empty."""

    value: float
    turning_point: str = ""


def rod_reading(instrument: float, elevation: float, rod_length: float) -> RodReading:
    """Give the rod reading that sets an elevation.

    Parameters
    ----------
    instrument
        Elevation of the line of sight, m.
    elevation
        What is to be set, m.
    rod_length
        The rod's length, m.

    Returns
    -------
    RodReading
        The reading; a negative one, or one longer than the rod, asks for a turning point.
    """
    value = instrument - elevation
    if value < -ON_LINE:
        why = "it stands above the line of sight: take a turning point and set up higher"
        return RodReading(value=value, turning_point=why)
    if value > rod_length + ON_LINE:
        why = "it is longer than the rod: take a turning point and set up lower"
        return RodReading(value=value, turning_point=why)
    return RodReading(value=value)


def down_from_string(string: float, elevation: float) -> float:
    """Give how far below the string an elevation is, m.

    Returns
    -------
    float
        Positive below the string.
    """
    return string - elevation
