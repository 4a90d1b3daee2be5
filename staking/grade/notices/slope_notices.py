"""What is said of water on the uphill side and of slopes near the building."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.beyond_walls import SlopeSetback, WaterAtWall
from staking.kinds import LotPart
from staking.notices import AtLeast, Length, Notice, NoticeKind, Severity, notice
from staking.tolerances import ON_LINE

OVER_45 = 1.0
"""Steeper slopes are measured from a plane of 45 degrees (IRC 2024, R403.1.7.1)."""


_UNLESS = (
    "; nearer only by a geotechnical engineer's report that the building department accepts (IRC "
    "2018, R403.1.7.4)"
)
_TOO_NEAR = (
    (
        LotPart.WALL,
        NoticeKind.SLOPE_ABOVE,
        "a slope steeper than one in three is too near above {walls}: {wall} stands {distance} "
        "from its toe, it is {height} high, and {needed} is to be kept, half its height and 15 ft "
        "(4.57 m) at most (IRC 2018, R403.1.7.1)" + _UNLESS,
    ),
    (
        LotPart.FOOTING,
        NoticeKind.SLOPE_BELOW,
        "a slope steeper than one in three is too near below the footing of {walls}: from the "
        "lower outer edge under {wall} it is {distance} level to its face, it is {height} high, "
        "and {needed} is to be kept, a third of its height and 40 ft (12.19 m) at most (IRC 2018, "
        "R403.1.7.2): a deeper footing stands farther off" + _UNLESS,
    ),
)


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
    return (
        notice(
            NoticeKind.WATER_UPHILL,
            "water stands against {walls} (IRC 2015, R401.3): dig a swale that leads it off, at "
            "{worst} down to {swale}, or set the top of wall at {top} or higher",
            walls=", ".join(each.wall for each in wet),
            worst=worst.wall,
            swale=Length(worst.swale),
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
    for part, kind, text in _TOO_NEAR:
        near = [each for each in slopes if each.part is part and not each.is_kept]
        if not near:
            continue
        worst = max(near, key=lambda each: each.needed - each.distance)
        told.append(
            notice(
                kind,
                text,
                Severity.BROKEN,
                walls=", ".join(each.wall for each in near),
                wall=worst.wall,
                distance=Length(worst.distance),
                height=Length(worst.height),
                needed=AtLeast(worst.needed),
            )
        )
    over = [each.wall for each in slopes if each.steepness > OVER_45 + ON_LINE]
    if over:
        told.append(
            notice(
                NoticeKind.SLOPE_OVER_45,
                "near {walls} a slope is steeper than one in one: from there on it is measured "
                "from a plane of 45 degrees (IRC 2024, R403.1.7.1), which is not worked out here; "
                "ask a geotechnical engineer",
                walls=", ".join(dict.fromkeys(over)),
            )
        )
    return tuple(told)
