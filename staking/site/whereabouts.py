"""Whether the building stands where its survey is: a slip in its coordinates puts it miles off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath

import numpy as np

from staking.errors import InputError, Problem
from staking.lines import Array
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Plan
from staking.points import SurveyPoints
from staking.site.plane.ground_plane import GroundPlane
from staking.site.site_results import Placement

MILE = 1609.344
"""Nobody surveys a lot from farther off than this, m (common practice, no source)."""


def whereabouts(
    plan: Plan, placement: Placement, surveys: Sequence[SurveyPoints], plane: GroundPlane
) -> tuple[Notice, ...]:
    """Tell a building that stands miles off every surveyed point.

    Parameters
    ----------
    plan, placement
        The building and where it is placed.
    surveys
        The surveys it is placed on, in their own coordinates.
    plane
        How these come onto the lot's plane.

    Returns
    -------
    tuple of Notice
        One ``far-from-survey``, which is broken, or none; a ``survey-far`` for each file that
        holds nothing near a building that stands among the points of another.

    Raises
    ------
    InputError
        When it would stand among the points with northing and easting exchanged.
    """
    corners = np.array([corner.point for each in plan.buildings for corner in each.corners])
    middle = plane.back(placement.to_site(corners.mean(axis=0)[None]))[0]
    places = {survey.name: _places(survey) for survey in surveys}
    far = {name: _nearest(each, middle) for name, each in places.items() if len(each)}
    if not far:
        return ()
    away = min(far.values())
    if away <= MILE:
        return tuple(
            notice(
                "survey-far",
                "the nearest point of {file} lies {away} from the building: look for another unit "
                "or another coordinate system in that file",
                file=PurePath(name).name,
                away=Length(apart),
            )
            for name, apart in far.items()
            if apart > MILE
        )
    if min(_nearest(each, middle[::-1]) for each in places.values() if len(each)) <= MILE:
        raise InputError(
            Problem(
                field="site place",
                message="the building comes to stand miles from every surveyed point, and among "
                "them with north and east exchanged",
                remedy="give the northing as north: and the easting as east:",
            )
        )
    return (
        notice(
            "far-from-survey",
            "the building stands {away} from the nearest surveyed point: look for a wrong digit or "
            "a wrong unit in its coordinates",
            Severity.BROKEN,
            away=Length(away),
        ),
    )


def told_of(surveys: Sequence[SurveyPoints]) -> tuple[Notice, ...]:
    """Gather what was said of the surveys, with the file where there are several.

    Parameters
    ----------
    surveys
        The surveys.

    Returns
    -------
    tuple of Notice
        In the order of the files.
    """
    if len(surveys) == 1:
        return surveys[0].notices
    return tuple(
        replace(
            told, text="{survey_file}: " + told.text, values=(*told.values, ("survey_file", name))
        )
        for name, survey in ((PurePath(each.name).name, each) for each in surveys)
        for told in survey.notices
    )


def _places(survey: SurveyPoints) -> Array:
    own = np.column_stack((survey.northing, survey.easting))
    lines = [line.vertices[:, :2] for line in survey.lines]
    return np.vstack([own, *lines, *(each.vertices[:, :2] for each in survey.surfaces)])


def _nearest(places: Array, spot: Array) -> float:
    return float(np.hypot(places[:, 0] - spot[0], places[:, 1] - spot[1]).min())
