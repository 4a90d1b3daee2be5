"""Bars: sizes, weights and published laps.

A size up to 8 is the number of an inch bar; one from 10 on is the diameter of a millimetre bar.
"""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.units import FOOT, INCH

POUND = 0.45359237
"""The avoirdupois pound, kg, exactly."""

POUNDS_PER_FOOT = {3: 0.376, 4: 0.668, 5: 1.043, 6: 1.502, 7: 2.044, 8: 2.670}
"""Nominal weights of bars by their number, lb/ft (ASTM A615, table 1)."""

METRIC_NUMBERS = {10: 3, 13: 4, 16: 5, 19: 6, 22: 7, 25: 8}
"""The same bars by their number in millimetres (ASTM A615)."""

MILLIMETRE_BARS = (10, 12, 16, 20, 25, 32)
"""Diameters of bars that are made by the millimetre (EN 10080, preferred sizes, from memory)."""

STEEL_DENSITY = 7850.0
"""Density that millimetre bars' weights are worked out with, kg/m3 (EN 10080, from memory)."""


def bar_name(size: int) -> str:
    """Write a bar's size as it is asked for.

    Parameters
    ----------
    size
        Its number, or its diameter in millimetres.

    Returns
    -------
    str
        ``No. 4`` or ``12 mm``.
    """
    return f"{size} mm" if size in MILLIMETRE_BARS else f"No. {size}"


def bar_price(size: int) -> str:
    """Name a bar's price in a price list.

    Returns
    -------
    str
        ``bar 4`` or ``bar 12 mm``.
    """
    return f"bar {bar_name(size).removeprefix('No. ')}"


def diameter(size: int) -> float:
    """Give a bar's nominal diameter.

    Parameters
    ----------
    size
        Its number in eighths of an inch, or its diameter in millimetres.

    Returns
    -------
    float
        m.
    """
    if size in MILLIMETRE_BARS:
        return size / 1000
    return size * INCH / 8


def mass_per_length(size: int) -> float:
    """Give what a bar weighs.

    Parameters
    ----------
    size
        Its number, or its diameter in millimetres.

    Returns
    -------
    float
        kg/m.

    References
    ----------
    ASTM A615, table 1, nominal weights; EN 10080 (from memory), the nominal section by 7850 kg/m3,
    to the third figure as tables of bars print it.
    """
    if size in MILLIMETRE_BARS:
        mass = STEEL_DENSITY * math.pi / 4 * diameter(size) ** 2
        return float(f"{mass:.3g}")
    return POUNDS_PER_FOOT[size] * POUND / FOOT


@frozen
class LapRule:
    """A published lap: fixed lengths by size, m, or so many diameters."""

    name: str
    source: str
    lengths: tuple[tuple[int, float], ...] = ()
    diameters: float = 0.0

    def lap(self, size: int) -> float | None:
        """Give the lap of a bar.

        Returns
        -------
        float or None
            m; None where the rule has none for that size.
        """
        if self.diameters:
            return self.diameters * diameter(size)
        return dict(self.lengths).get(size)


IRC_40 = LapRule(
    name="IRC grade 40",
    source="IRC table R608.5.4(1), Grade 40",
    lengths=((4, 20 * INCH), (5, 25 * INCH), (6, 30 * INCH)),
)
IRC_60 = LapRule(
    name="IRC grade 60",
    source="IRC table R608.5.4(1), Grade 60",
    lengths=((4, 30 * INCH), (5, 38 * INCH), (6, 45 * INCH)),
)
LAP_RULES = (
    IRC_60,
    IRC_40,
    LapRule(
        name="48 diameters",
        source="masonry, Grade 60 (IBC 2006 masonry laps, as quoted by others)",
        diameters=48.0,
    ),
    LapRule(name="40 diameters", source="Grade 40 practice, no source", diameters=40.0),
)
"""The laps a job may ask for by name."""


def lap_rule(name: str) -> LapRule | None:
    """Find a lap by its name, capitals or not.

    Returns
    -------
    LapRule or None
        None where there is none of that name.
    """
    wanted = " ".join(name.split()).casefold()
    return next((rule for rule in LAP_RULES if rule.name.casefold() == wanted), None)
