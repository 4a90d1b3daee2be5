"""The tape on a slope: what it reads between stake tops of different heights."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from staking.frozen import frozen
from staking.layout.layout_parts import Check
from staking.units import INCH


def slope_distance(distance: float, difference: float) -> float:
    """Give what a tape reads along the slope.

    Parameters
    ----------
    distance
        Level distance, m.
    difference
        Height of one end over the other, m, of either sign.

    Returns
    -------
    float
        The slope distance ``sqrt(d^2 + h^2)``, m.
    """
    return math.hypot(distance, difference)


def level_within(distance: float, error: float) -> float:
    """Give the difference of heights that makes a tape read so much too long.

    Parameters
    ----------
    distance
        Level distance, m.
    error
        What the reading may be too long, m.

    Returns
    -------
    float
        Height of one end over the other, m.
    """
    return math.sqrt(error * (2 * distance + error))


@frozen
class SlopeTape:
    """What to read on the tape for one check, m.

    Parameters
    ----------
    difference
        Top of the stake at `check.to_name` over that at `check.from_name`; None where not known.
    slope
        What the tape reads from stake top to stake top; None where the heights are not known.
    within
        How far out of level the tape may be before it reads a sixteenth of an inch too long.
    """

    check: Check
    difference: float | None
    slope: float | None
    within: float


def slope_tapes(
    checks: Sequence[Check], heights: Mapping[str, float] | None = None
) -> tuple[SlopeTape, ...]:
    """Give the slope readings of checks from the heights of the stakes' tops.

    Parameters
    ----------
    checks
        What is taped.
    heights
        Elevation of the top of each stake by corner or pad, m.

    Returns
    -------
    tuple of SlopeTape
        In the order given. A check across the legs of an angle runs between marks on the
        strings and not between stakes; it has no slope reading.
    """
    tops = heights or {}
    found = []
    for check in checks:
        difference = None
        if check.at is None and check.from_name in tops and check.to_name in tops:
            difference = tops[check.to_name] - tops[check.from_name]
        found.append(
            SlopeTape(
                check=check,
                difference=difference,
                slope=None if difference is None else slope_distance(check.distance, difference),
                within=level_within(check.distance, INCH / 16),
            )
        )
    return tuple(found)
