"""What a code asks of fill under a slab, and what is not known of it."""

from __future__ import annotations

from staking.notices import Area, Length, Notice, Severity, notice
from staking.order.order_request import FillAsked
from staking.order.under_slab.bought_fill import BoughtFill
from staking.order.under_slab.slab_fill import EARTH, GRANULAR, SlabFill
from staking.tolerances import ON_LINE

_KNOWN = 1e-3
"""Floor without known ground below this, m2, is rounding at the survey's edge."""


def fill_notices(fill: BoughtFill) -> tuple[Notice, ...]:
    """Say how deep the fill is, and what a code asks of it.

    Parameters
    ----------
    fill
        The fill.

    Returns
    -------
    tuple of Notice
        ``fill-under-slab``; ``fill-unknown`` where the ground is not known all over;
        ``ground-over-stone`` where it stands too high for the slab; ``spoil-unused`` where no
        level of the slab is known.
    """
    slab = fill.slab
    if slab is None:
        return _spoil_unused(fill)
    told = []
    if slab.deepest > ON_LINE:
        told.append(_depth(fill, slab))
    if slab.floor - slab.known > _KNOWN:
        told.append(
            notice(
                "fill-unknown",
                "no ground is known over {area} of the floor: fill there is not counted",
                area=Area(slab.floor - slab.known),
            )
        )
    if slab.highest > ON_LINE:
        told.append(
            notice(
                "ground-over-stone",
                "inside the walls the ground stands over the underside of the slab's stone once "
                "the topsoil is off, over {area} and by up to {high}: it is cut away there, which "
                "the dig counts",
                area=Area(slab.standing),
                high=Length(slab.highest),
            )
        )
    return tuple(told)


def _spoil_unused(fill: BoughtFill) -> tuple[Notice, ...]:
    if fill.asked.spoil <= 0:
        return ()
    return (
        notice(
            "spoil-unused",
            "spoil: under fill: is not used, since nothing says how high the slab lies over the "
            "ground: give slab: top and a grade section",
        ),
    )


def unused_notices(asked: FillAsked, *, slab: bool) -> tuple[Notice, ...]:
    """Say that fill is asked for where there is nothing to fill.

    Parameters
    ----------
    asked
        What the job asks for.
    slab
        Whether it has a slab.

    Returns
    -------
    tuple of Notice
        ``fill-unused``.
    """
    if slab or asked == FillAsked():
        return ()
    return (
        notice(
            "fill-unused",
            "fill: under order: is not used, since the building has no slab; write slab: under "
            "building, or take it out",
        ),
    )


def _depth(fill: BoughtFill, slab: SlabFill) -> Notice:
    granular = slab.deepest > GRANULAR + ON_LINE
    text = (
        "under the slab's stone the ground is filled once the topsoil is off, up to {deepest} deep "
        "and {mean} on average over {floor}, with {kind}"
    )
    if slab.earth > 0:
        text += " over {spoil} of earth that was dug"
    text += ", in thin layers, each compacted"
    if granular:
        text += (
            "; over {deep} of it is deeper than 24 in (610 mm): more than that of clean sand or "
            "gravel, or than 8 in (203 mm) of earth, is only laid where the building department "
            "approves it (IRC R506.2.1, edition and exception from memory): ask it, and whether "
            "it wants a design professional"
        )
    elif slab.deepest > EARTH + ON_LINE:
        text += (
            "; earth that was dug may fill no more than 8 in (203 mm) of it, and only where the "
            "building department accepts it (IRC R506.2.1, edition and exception from memory)"
        )
    highest = max(fill.held, key=lambda each: each.height, default=None)
    if highest is not None:
        text += "; {wall} holds the most of it outward, {held} above the grade outside"
    return notice(
        "fill-under-slab",
        text,
        Severity.WARNING if granular else Severity.NOTE,
        deepest=Length(slab.deepest),
        mean=Length(slab.mean),
        floor=Area(slab.floor),
        deep=Area(slab.over_granular),
        kind=fill.asked.kind.value,
        spoil=Length(fill.asked.spoil),
        wall="" if highest is None else highest.wall,
        held=Length(0.0 if highest is None else highest.height),
    )
