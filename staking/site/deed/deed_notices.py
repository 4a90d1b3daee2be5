"""The notices about a lot by its deed: how it closes, slips, pins, what is on paper only."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.deed import Deed
from staking.measure.angles import format_angle
from staking.notices import Angle, Area, Azimuth, Length, Notice, Severity, notice
from staking.site.deed.closing_words import figure, one_in, slip_words
from staking.site.deed.deed_lot import CLOSES_BADLY, ON_PAPER, DeedLot
from staking.site.deed.pinned import PIN_OFF, PinFit
from staking.site.deed.slips import Slip
from staking.site.deed.traverse import CLOSED, Traverse

AREA_APART = 0.01
"""A stated area this share off the courses' own is told (common practice, no source)."""

TURNED = math.radians(0.5 / 60)
"""Bearings turned by less than this, rad, are on the survey's own north (common practice, no
source)."""


def deed_notices(lot: DeedLot) -> tuple[Notice, ...]:
    """Gather the notices about a lot by its deed.

    Parameters
    ----------
    lot
        The boundary as made.

    Returns
    -------
    tuple of Notice
        How it closes first.
    """
    return (
        *paper_notices(lot.deed, lot.walked, lot.slips),
        *(_paper(lot) if lot.fit is None else _pins(lot, lot.fit)),
    )


def paper_notices(deed: Deed, walked: Traverse, slips: Sequence[Slip]) -> tuple[Notice, ...]:
    """Gather what a deed tells by itself, wherever its lot lies.

    Parameters
    ----------
    deed, walked, slips
        The deed, its courses walked round, and what would explain that it does not close.

    Returns
    -------
    tuple of Notice
        How it closes first.
    """
    return (
        _closing(deed, walked),
        *_slips(deed, slips),
        *_curves(deed, walked),
        *_area(deed, walked),
        _basis(deed),
    )


def _closing(deed: Deed, walked: Traverse) -> Notice:
    if walked.misclosure <= CLOSED:
        return notice(
            "deed-closes", "the deed's courses close: they come back to their beginning",
            Severity.NOTE,
        )  # fmt: skip
    return notice(
        "deed-closes",
        "the deed's courses miss their beginning by {misclosure}, {azimuth} from the last one's "
        "end, one in {ratio}; nothing is balanced",
        Severity.WARNING if walked.one_in < CLOSES_BADLY else Severity.NOTE,
        misclosure=figure(walked.misclosure, deed),
        azimuth=Azimuth(walked.azimuth),
        ratio=one_in(walked),
    )


def _slips(deed: Deed, slips: Sequence[Slip]) -> list[Notice]:
    return [
        notice(
            "deed-slip",
            "course {line} of the deed: {words}; look it up, nothing is changed here",
            line=f"{slip.start}-{slip.end}",
            words=slip_words(slip, deed),
        )
        for slip in slips
    ]


def _curves(deed: Deed, walked: Traverse) -> list[Notice]:
    told = []
    for (start, end), leg in zip(deed.lines, walked.legs, strict=True):
        line = f"{start}-{end}"
        for each in leg.apart:
            angle = each.part == "angle"
            told.append(
                notice(
                    "deed-curve",
                    "course {line} of the deed: its {part} is written {given}, and the other parts "
                    "of the curve make it {computed}",
                    line=line,
                    part=each.part,
                    given=format_angle(each.given) if angle else figure(each.given, deed),
                    computed=format_angle(each.computed) if angle else figure(each.computed, deed),
                )
            )
        if leg.on_tangent:
            told.append(
                notice(
                    "deed-tangent",
                    "course {line} of the deed has no bearing: its curve is taken to leave the "
                    "course before it on its tangent",
                    line=line,
                )
            )
    return told


def _area(deed: Deed, walked: Traverse) -> list[Notice]:
    stated, own = deed.stated_area, walked.area
    if stated is None or abs(stated - own) <= max(AREA_APART * own, deed.stated_within):
        return []
    return [
        notice(
            "deed-area",
            "the deed says that it contains {stated}, and its courses enclose {own}",
            stated=Area(stated),
            own=Area(own),
        )
    ]


def _basis(deed: Deed) -> Notice:
    if deed.basis is None:
        return notice("deed-basis", "the deed's basis of bearings is not stated", Severity.NOTE)
    return notice(
        "deed-basis", 'the deed\'s basis of bearings: "{basis}"', Severity.NOTE, basis=deed.basis
    )


def _paper(lot: DeedLot) -> tuple[Notice, ...]:
    return (
        notice(
            "deed-paper",
            "the lot is a sketch from paper: its lines are the deed's figures and no pin was "
            "found, so no setback counts as kept by less than {doubt}: find the pins, or have a "
            "surveyor set them",
            doubt=Length(max(lot.walked.misclosure, ON_PAPER)),
        ),
    )


def _pins(lot: DeedLot, fit: PinFit) -> tuple[Notice, ...]:
    # Where the deed itself has a slip, no pin is blamed for it.
    blamed = None if lot.slips else fit.blamed
    told = [_fit_check(fit, is_told=blamed is not None)]
    if blamed is not None:
        pin, rest = blamed
        told.append(
            notice(
                "pin-off",
                "pin {point} at corner {corner} is {distance} from where the deed and the other "
                "pins put it; these fit to {rest}",
                point=pin.point,
                corner=pin.corner,
                distance=Length(pin.distance),
                rest=Length(rest),
            )
        )
    if fit.mirrored:
        told.append(
            notice(
                "pins-mirrored",
                "the pins fit the deed's mirror image better, which is not used: two pins are "
                "exchanged, or they run the other way round than the courses",
            )
        )
    if fit.turn is None:
        told.append(
            notice(
                "one-pin",
                "one pin alone holds the lot, which is then turned as the deed's own bearings are, "
                "on whatever north: find a second one",
            )
        )
    elif abs(math.remainder(fit.turn, 2 * math.pi)) > TURNED:
        turn = math.remainder(fit.turn, 2 * math.pi)
        told.append(
            notice(
                "north",
                "the deed's bearings count from another north than the survey's: they are turned "
                "{turn} {side} onto it; the building's own is on the survey's",
                Severity.NOTE,
                turn=Angle(abs(turn)),
                side="clockwise" if turn > 0 else "anticlockwise",
            )
        )
    told += _drawn(lot)
    return tuple(told)


def _fit_check(fit: PinFit, *, is_told: bool) -> Notice:
    worst = max(fit.pins, key=lambda each: each.distance)
    return notice(
        "pins-check",
        "no pin is farther from where the deed puts its corner than {point} at corner {corner}: "
        "{distance}; the lines run from pin to pin",
        Severity.WARNING if worst.distance > PIN_OFF and not is_told else Severity.NOTE,
        point=worst.point,
        corner=worst.corner,
        distance=Length(worst.distance),
    )


def _drawn(lot: DeedLot) -> Sequence[Notice]:
    missing = [name for name in lot.deed.corners if name not in lot.found]
    if not missing:
        return ()
    return (
        notice(
            "corners-drawn",
            "no pin was found at {corners}: drawn where the deed puts {them}, and the lines there "
            "may be {doubt} off",
            corners=f"corner {missing[0]}"
            if len(missing) == 1
            else f"corners {', '.join(missing)}",
            them="it" if len(missing) == 1 else "them",
            doubt=Length(max(line.doubt for line in lot.lines)),
        ),
    )
