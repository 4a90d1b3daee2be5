"""Deeds from the words of their courses, in feet."""

from __future__ import annotations

from staking.deed import Deed
from staking.measure.deed.course import read_course
from staking.site.deed.traverse import Traverse, walk_round
from staking.units import FOOT, Unit


def deed_of(*courses: str, unit: Unit = Unit.FT) -> Deed:
    """A lot whose corners are 1, 2, 3 and so on."""
    return Deed(
        courses=tuple(read_course(words, unit) for words in courses),
        corners=tuple(str(number) for number in range(1, len(courses) + 1)),
    )


def walk(*courses: str, unit: Unit = Unit.FT) -> Traverse:
    return walk_round(deed_of(*courses, unit=unit))


def feet(metres: float) -> float:
    return metres / FOOT


def square_feet(square_metres: float) -> float:
    return square_metres / FOOT**2


T19 = ("N 88 30 15 E 120.00'", "S 1 20 00 E 95.50'", "S 88 45 00 W 121.10'", "N 0 41 00 W 95.00'")
"""An invented lot of 120 by 95 feet, whose closing was worked out by hand in exact arithmetic."""
