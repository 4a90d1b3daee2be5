"""Old footings held against the ground beside them: a wrong level switches the warning off."""

from __future__ import annotations

from collections.abc import Callable

from staking.errors import Problem
from staking.frozen import frozen
from staking.grade.notices.probable_level import probable_level
from staking.notices import Length, Notice, notice
from staking.plan import Existing
from staking.tolerances import ON_LINE
from staking.units import FOOT, Unit

DEEPEST = 15 * FOOT
"""No old footing lies deeper under the ground beside it, m (common practice, no source)."""

DEEP = 10 * FOOT
"""One that lies deeper, m, has a high basement over it; said (common practice, no source)."""

HIGHEST_WALL = 12 * FOOT
"""An old foundation wall's top farther over the ground, m, is said (common practice, no source)."""


@frozen
class OldSide:
    """A side against a standing building, with the lowest and highest ground along it, m."""

    wall: str
    known: Existing
    lowest: float
    highest: float


def old_footing_fault(side: OldSide, unit: Unit, length: Callable[[float], str]) -> Problem | None:
    """Refuse an old footing that stands over the ground, or far under it.

    Parameters
    ----------
    side
        The side.
    unit
        The job's.
    length
        How a length, m, is written.

    Returns
    -------
    Problem or None
        None where it may be so.
    """
    bottom = side.known.footing_bottom
    if bottom is None:
        return None
    over, under = bottom - side.highest, side.lowest - bottom
    if over <= ON_LINE and under <= DEEPEST + ON_LINE:
        return None
    if over > ON_LINE:
        what = (
            f"stands {length(over)} over the ground beside it, which is at {length(side.highest)}"
        )
    else:
        what = f"lies {length(under)} under the ground beside it, which is at {length(side.lowest)}"
    meant = probable_level(bottom, side.lowest - DEEP, side.lowest - ON_LINE, unit)
    return Problem(
        message=f"the old footing's bottom at {length(bottom)} {what}",
        remedy="give both from one zero, and check its figure and unit"
        + ("" if meant is None else f"; {length(meant)} may be meant"),
        field=f"walls {side.wall} existing footing_bottom",
    )


def old_footing_notices(side: OldSide) -> tuple[Notice, ...]:
    """Say what is unlikely of an old footing and its wall.

    Parameters
    ----------
    side
        The side.

    Returns
    -------
    tuple of Notice
        ``old-footing-bare`` where its bottom stands out of the lower ground beside it,
        ``old-footing-deep`` where it lies over 10 feet under it, ``old-top`` where its wall's top
        is under the ground or far over it.
    """
    bottom, top = side.known.footing_bottom, side.known.top
    said = []
    if bottom is not None and side.lowest + ON_LINE < bottom:
        said.append(
            notice(
                "old-footing-bare",
                "the old footing along {wall} has its bottom at {bottom}, {over} over the lowest "
                "ground beside it: it would stand bare there; check its level",
                wall=side.wall,
                bottom=Length(bottom),
                over=Length(bottom - side.lowest),
            )
        )
    if bottom is not None and side.lowest - bottom > DEEP + ON_LINE:
        said.append(
            notice(
                "old-footing-deep",
                "the old footing along {wall} has its bottom at {bottom}, {under} under the ground "
                "beside it: that is a deep basement; measure it again where there is none",
                wall=side.wall,
                bottom=Length(bottom),
                under=Length(side.lowest - bottom),
            )
        )
    if top is not None and not (
        side.lowest - ON_LINE <= top <= side.highest + HIGHEST_WALL + ON_LINE
    ):
        below = top < side.lowest
        said.append(
            notice(
                "old-top",
                "the top of the standing wall along {wall} at {top} is {far} {way} the ground "
                "beside it: check its level",
                wall=side.wall,
                top=Length(top),
                far=Length(side.lowest - top if below else top - side.highest),
                way="under" if below else "over",
            )
        )
    return tuple(said)
