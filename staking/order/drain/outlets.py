"""Whether a drain reaches its outlet by itself, low point by low point."""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum

from staking.frozen import frozen
from staking.order.drain.drain_stations import DrainStation
from staking.order.drain.falling_arms import DrainArm
from staking.plan import Point
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH

OUTLET_FALL = INCH / 4 / FOOT
"""The least fall of the closed pipe to the outlet: 1/4 in a foot (Green Building Advisor, as read
in a summary; the code gives none)."""


class Reach(StrEnum):
    """How the water gets from a low point to the outlet.

    By itself with enough fall; with less than is usual; not by itself, so that a sump takes it; or
    nobody says where it goes.
    """

    GRAVITY = "gravity"
    FLAT = "flat"
    SUMP = "sump"
    UNKNOWN = "unknown"


@frozen
class DrainOutlet:
    """A low point of the drain and the closed pipe from there.

    Parameters
    ----------
    low
        The low point, at the lower of the arms that meet there.
    arms
        How many arms meet there.
    length
        Of the closed pipe on the plan, straight to the outlet, m; 0 without one.
    level
        The outlet's elevation, m; None where it is not known.
    fall
        What is left of fall by the length; None without an outlet's level.
    reach
        Whether that suffices.
    """

    low: DrainStation
    arms: int
    length: float
    level: float | None
    fall: float | None
    reach: Reach

    @property
    def lacking(self) -> float:
        """How much higher the low point would have to lie for `OUTLET_FALL`, m."""
        if self.level is None:
            return 0.0
        return max(self.level + OUTLET_FALL * self.length - self.low.invert, 0.0)


def outlets_of(
    arms: Sequence[DrainArm],
    stations: Sequence[DrainStation],
    outlet: Point | None,
    level: float | None,
) -> tuple[DrainOutlet, ...]:
    """Lead every low point to the outlet.

    Parameters
    ----------
    arms, stations
        How the drain falls.
    outlet, level
        Where the outlet is, m, and its elevation; None where nobody says.

    Returns
    -------
    tuple of DrainOutlet
        In the order of their arms.
    """
    ends = [_last(stations, number) for number in range(1, len(arms) + 1)]
    found: list[DrainOutlet] = []
    for i, end in enumerate(ends):
        meeting = [other for other in ends if math.dist(other.place, end.place) <= ON_LINE]
        if any(math.dist(other.place, end.place) <= ON_LINE for other in ends[:i]):
            continue
        low = min(meeting, key=lambda each: each.invert)
        length = 0.0 if outlet is None else math.dist(low.place, outlet)
        found.append(_outlet(low, len(meeting), length, level))
    return tuple(found)


def _outlet(low: DrainStation, arms: int, length: float, level: float | None) -> DrainOutlet:
    fall, reach = None, Reach.UNKNOWN
    if level is not None:
        spare = low.invert - level
        fall = spare / length if length > ON_LINE else 0.0
        reach = Reach.SUMP
        if spare - OUTLET_FALL * length >= -ON_LINE:
            reach = Reach.GRAVITY
        elif spare > ON_LINE:
            reach = Reach.FLAT
    return DrainOutlet(low=low, arms=arms, length=length, level=level, fall=fall, reach=reach)


def _last(stations: Sequence[DrainStation], arm: int) -> DrainStation:
    return next(each for each in reversed(stations) if each.arm == arm)
