"""Tapes as they were read, and the level distances that they stand for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from staking.adjust.reduce import corrected, level
from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.network.fitted import Measurement
from staking.network.tape_error import standard_error
from staking.notices import Notice
from staking.plan import Options, Point
from staking.units import FOOT

UNIT_SLIP = 0.02
"""Readings all within this share of a ratio of two units are in the other one (common practice, no
source)."""

WRONG_UNITS = {"feet and metres": FOOT, "metres and feet": 1 / FOOT, "inches and feet": 12.0}
"""What a reading is to the plan when it was typed in another unit: plain ones of a tape."""


@frozen
class Reading:
    """One distance as it was read, m, and its line where it has one.

    It runs between two corners, or from a corner to a pad or an end of an interior line.
    """

    from_name: str
    to_name: str
    distance: float
    line: int | None = None


@frozen
class Readings:
    """What was taped: distances in order, heights of stake tops, m, and what was assumed."""

    readings: tuple[Reading, ...]
    heights: Mapping[str, float]
    notices: tuple[Notice, ...] = ()


def measurements_of(options: Options, readings: Readings) -> tuple[Measurement, ...]:
    """Turn readings into level distances with their standard errors.

    Parameters
    ----------
    options
        The tape, and the temperature and pull of the work.
    readings
        What was taped, and the heights of stake tops.

    Returns
    -------
    tuple of Measurement
        In the order given; where both ends have a height the slope is taken out.

    Raises
    ------
    InputError
        For every tape shorter than its ends differ in height.
    """
    found, problems = [], []
    for each in readings.readings:
        length = corrected(options.tape, each.distance)
        ends = (each.from_name, each.to_name)
        if all(name in readings.heights for name in ends):
            try:
                length = level(length, readings.heights[ends[1]] - readings.heights[ends[0]])
            except ComputationError as fault:
                problems.append(Problem(message=f"{'-'.join(ends)}: {fault}"))
                continue
        found.append(
            Measurement(
                from_name=ends[0],
                to_name=ends[1],
                distance=length,
                standard_error=standard_error(options.tape, length),
            )
        )
    if problems:
        raise InputError(*problems)
    return tuple(found)


def refuse_wrong_unit(measurements: Sequence[Measurement], points: Mapping[str, Point]) -> None:
    """Refuse readings that all differ from the plan by the ratio of two units.

    Parameters
    ----------
    measurements
        Two readings or more, since a single one may be a slip.
    points
        Corners, pads and ends of interior lines on the plan, m.

    Raises
    ------
    InputError
        When every reading differs by such a ratio.
    """
    ratios = [m.distance / math.dist(points[m.from_name], points[m.to_name]) for m in measurements]
    for units, ratio in WRONG_UNITS.items():
        if len(ratios) > 1 and all(abs(each / ratio - 1) < UNIT_SLIP for each in ratios):
            raise InputError(
                Problem(
                    message=f"every reading is {ratio:.4f} times what the plan says, which is the "
                    f"ratio of {units}",
                    remedy="write the unit with each, as in A-C=13.19m",
                )
            )
