"""The ground from a cloud or a height grid, with what it is worth for the footings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import ComputationError
from staking.grade.terrain.scanned_ground import GAP
from staking.kinds import ScanKind
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.units import FOOT, INCH

if TYPE_CHECKING:
    from staking.footing.bands_and_outlines import Ring
    from staking.grade.grade_request import GradeAsked
    from staking.grade.stepping.cells import Ground
    from staking.grade.terrain.scanned_ground import ScanWorth
    from staking.points import Array, SurveyPoints
    from staking.site.site_results import Placement

_ANOTHER_ZERO = FOOT
"""Levels that all stand so far off the scanned ground, m, count from another zero, or are in
another unit (common practice, no source)."""

_WORTH_A_LOOK = 2 * INCH
"""Levels this far off the scanned ground in the middle, m, are warned of (common practice, no
source)."""


def from_scans(
    scans: Sequence[SurveyPoints],
    surveyed: Sequence[SurveyPoints],
    placement: Placement,
    rings: Sequence[Ring],
    asked: GradeAsked,
) -> tuple[Ground, tuple[Notice, ...]]:
    """Make a ground from clouds or height grids, which border on one another.

    Parameters
    ----------
    scans
        Their ground round the building, on the lot's ground plane.
    surveyed
        The lot's other surveys there, whose levels are held against it.
    placement
        Where the building stands on it.
    rings
        The footings, whose ground must be known, m.
    asked
        The grade section.

    Returns
    -------
    tuple
        The ground, what it is worth, and how the surveyed levels lie against it.

    Raises
    ------
    ComputationError
        Where the points make no surface under the footings.
    """
    from staking.grade.terrain.scanned_ground import one_height_a_place, scan_worth
    from staking.grade.terrain.surveyed_ground import surveyed_ground

    places = np.concatenate([np.stack((each.northing, each.easting), axis=1) for each in scans])
    levels = np.concatenate([each.elevation for each in scans])
    points, elevations = one_height_a_place(placement.to_building(places), levels)
    try:
        made = surveyed_ground(points, elevations, rings, nearest=asked.nearest_beyond)
    except ComputationError as error:
        text = f"{_called(scans)}: {error}"
        raise ComputationError(asked.written.problem("ground", text, "")) from error
    worth = scan_worth(points, elevations, rings)
    spikes = [each for each in made.notices if each.kind == NoticeKind.SPIKE]
    told = [
        *_worth_notices(scans, worth),
        *_spike_notices(spikes),
        *_against_surveys(surveyed, placement, made),
        *(each for each in made.notices if each.kind != NoticeKind.SPIKE),
    ]
    return replace(made, is_scanned=True), tuple(told)


def _called(scans: Sequence[SurveyPoints]) -> str:
    return " and ".join(PurePath(each.name).name for each in scans)


def _worth_notices(scans: Sequence[SurveyPoints], worth: ScanWorth) -> list[Notice]:
    """Say how many points stand under the footing and how good their heights are."""
    kinds = {each.scan.kind for each in scans if each.scan is not None}
    what = "laser points" if kinds == {ScanKind.CLOUD} else "heights"
    text = (
        "the ground is scanned, not surveyed: {file} has {count} {what} under the footing, about "
        "{spacing} apart; "
    )
    if worth.good_to is not None:
        text += "by their scatter a height between them is good to about {good}, and "
    text += (
        "all of them together may be off by more: good for a first idea of the steps, not for the "
        "rod. Read the ground at the corners before the dig"
    )
    told = [
        notice(
            "ground-scanned",
            text,
            file=_called(scans),
            count=worth.under,
            what=what,
            spacing=Length(worth.spacing),
            good=Length(max(worth.good_to or 0.0, INCH / 4)),
        )
    ]
    if worth.farthest > max(GAP, 3 * worth.spacing):
        told.append(
            notice(
                "scan-gap",
                "a corner of the footing lies {away} from the nearest ground point of the cloud: "
                "under trees, roofs and water the ground is drawn straight across; read it there",
                away=Length(worth.farthest),
            )
        )
    return told


def _spike_notices(spikes: Sequence[Notice]) -> list[Notice]:
    """Say in one sentence how many points stand off the ground round them."""
    heights = [
        value.metres for each in spikes for _, value in each.values if isinstance(value, Length)
    ]
    if not heights:
        return []
    return [
        notice(
            "scan-spikes",
            "{count} ground points of the cloud stand up to {most} off the ground round them: a "
            "stump, a pile or a wall that was taken for ground; look there",
            count=len(heights),
            most=Length(max(heights)),
        )
    ]


def _against_surveys(
    surveyed: Sequence[SurveyPoints], placement: Placement, ground: Ground
) -> list[Notice]:
    """Hold the levels of surveyed points against the scanned ground."""
    if not surveyed:
        return []
    places = np.concatenate([np.stack((s.northing, s.easting), axis=1) for s in surveyed])
    levels = np.concatenate([each.elevation for each in surveyed])
    known = ~np.isnan(levels)
    if not known.any():
        return []
    off: Array = levels[known] - ground.at(placement.to_building(places[known]))
    off = off[~np.isnan(off)]
    if not len(off):
        return []
    middle, low, high = float(np.median(off)), float(off.min()), float(off.max())
    text = (
        "the survey's {count} levels stand {middle} {way} the scanned ground in the middle, "
        "from {low} {low_way} to {high} {high_way}"
    )
    if abs(middle) > _ANOTHER_ZERO:
        text += ": the two count from different zeros, or one is in another unit; no level of one "
        text += "may be used with the other until that is known"
    elif abs(middle) > _WORTH_A_LOOK:
        text += ": the scanned ground is probably off by that"
    return [
        notice(
            "scan-against-survey",
            text,
            Severity.WARNING if abs(middle) > _WORTH_A_LOOK else Severity.NOTE,
            count=len(off),
            middle=Length(abs(middle)),
            way=_way(middle),
            low=Length(abs(low)),
            low_way=_way(low),
            high=Length(abs(high)),
            high_way=_way(high),
        )
    ]


def _way(off: float) -> str:
    return "over" if off >= 0 else "under"
