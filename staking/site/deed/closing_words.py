"""Figures of a deed in words, in the deed's own unit: how it closes, and what would close it."""

from __future__ import annotations

import math

from staking.deed import Deed
from staking.measure.angles import format_bearing
from staking.site.deed.slips import Slip, SlipKind
from staking.site.deed.traverse import Traverse
from staking.units import FOOT, Unit


def figure(metres: float, deed: Deed) -> str:
    """Write a length in the deed's own unit, to the hundredth of a foot or the millimetre."""
    unit = deed.courses[0].words.unit
    if unit in {Unit.M, Unit.MM}:
        return f"{metres:.3f} m"
    foot = unit.metres if unit is Unit.US_FT else FOOT
    return f"{metres / foot:.2f} ft"


def closing_words(walked: Traverse, deed: Deed) -> str:
    """Say how far, which way and one in how many the courses miss their beginning."""
    return (
        f"from the last one's end it is {figure(walked.misclosure, deed)} "
        f"{format_bearing(walked.azimuth)} back to the first corner, one in "
        f"{one_in(walked)}"
    )


def one_in(walked: Traverse) -> str:
    """Write the length walked for one unit of misclosure."""
    return f"{math.floor(walked.one_in):,}" if math.isfinite(walked.one_in) else "more than counts"


def slip_words(slip: Slip, deed: Deed) -> str:
    """Say what one course would have to be for the deed to close."""
    match slip.kind:
        case SlipKind.DISTANCE | SlipKind.DISTANCE_DIGITS:
            would = figure(slip.length, deed)
        case SlipKind.HAND:
            would = "the other hand"
        case _:
            would = format_bearing(slip.azimuth)
    return f"with {would} here ({slip.kind}) the courses would close to {figure(slip.left, deed)}"
