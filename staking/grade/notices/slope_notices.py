"""What is said of water on the uphill side and of slopes near the building."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.beyond_walls import SlopeSetback, WaterAtWall
from staking.kinds import LotPart
from staking.notices import AtLeast, Length, Notice, Severity, notice
from staking.tolerances import ON_LINE

OVER_45 = 1.0
"""Steeper slopes are measured from a plane of 45 degrees (IRC 2024, R403.1.7.1)."""


def water_notices(water: Sequence[WaterAtWall]) -> tuple[Notice, ...]:
    """Say before which walls the ground does not fall far enough, and what would do.

    Parameters
    ----------
    water
        What the ground does before each wall.

    Returns
    -------
    tuple of Notice
        One ``water-uphill``, or none.
    """
    wet = [each for each in water if not each.runs_off]
    if not wet:
        return ()
    worst = min(wet, key=lambda each: each.fall)
    rises = worst.fall < -ON_LINE
    return (
        notice(
            "water-uphill",
            "water stands at {walls}: 10 ft (3.05 m) out from {worst} the ground is {off} "
            + ("higher" if rises else "lower")
            + " than finished grade at the wall, and it has to be 6 in (152 mm) lower (IRC 2015, "
            "R401.3): a swale between, its bottom at {swale} or lower and leading off, or grade "
            "at the wall up to {grade}, for which the top of wall has to be at {top} at least",
            walls=", ".join(each.wall for each in wet),
            worst=worst.wall,
            off=Length(abs(worst.fall)),
            swale=Length(min(each.swale for each in wet)),
            grade=AtLeast(max(each.grade for each in wet)),
            top=AtLeast(max(each.top for each in wet)),
        ),
    )


def slope_notices(slopes: Sequence[SlopeSetback]) -> tuple[Notice, ...]:
    """Say which walls stand too near to a steep slope.

    Parameters
    ----------
    slopes
        The slopes near each wall.

    Returns
    -------
    tuple of Notice
        ``slope-above`` and ``slope-below``, both broken; ``slope-over-45`` where a slope near is
        steeper than its distances are measured for.
    """
    told = []
    for each in slopes:
        if each.is_kept:
            continue
        above = each.part is LotPart.WALL
        told.append(
            notice(
                "slope-above" if above else "slope-below",
                "{wall} stands {distance} from the toe of a slope above it, {height} high and "
                "steeper than one in three: {needed} is to be kept, half its height and 15 ft "
                "(4.57 m) at most (IRC 2018, R403.1.7.1), unless a geotechnical engineer's report "
                "and the building department allow less (R403.1.7.4)"
                if above
                else "the footing of {wall} is {distance}, level from its lower outer edge, from "
                "the face of a slope below it, {height} high and steeper than one in three: "
                "{needed} is to be kept, a third of its height and 40 ft (12.19 m) at most (IRC "
                "2018, R403.1.7.2): set it deeper or farther away, unless a geotechnical "
                "engineer's report and the building department allow less (R403.1.7.4)",
                Severity.BROKEN,
                wall=each.wall,
                distance=Length(each.distance),
                height=Length(each.height),
                needed=AtLeast(each.needed),
            )
        )
    over = [each.wall for each in slopes if each.steepness > OVER_45 + ON_LINE]
    if over:
        told.append(
            notice(
                "slope-over-45",
                "near {walls} a slope is steeper than one in one: from there on it is measured "
                "from a plane of 45 degrees (IRC 2024, R403.1.7.1), which is not worked out here; "
                "ask a geotechnical engineer",
                walls=", ".join(dict.fromkeys(over)),
            )
        )
    return tuple(told)
