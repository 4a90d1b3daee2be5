"""The conductor's part for the lot: surveys in, the building placed."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.project.job_files import content_mark
from staking.project.lot_ground import grid_notices, lot_ground
from staking.site.names import names_asked, refuse_nameless
from staking.site.plane.survey_systems import one_system, scaled_alike
from staking.site.surveyed_lot import (
    LotSurveys,
    marks_named,
    surveyed_lot,
    surveys_of_paper,
    surveys_on_lot,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.plan import Options, Plan
    from staking.points import KnownPoint, SurveyPoints, SurveySettings
    from staking.site.building_on_lot import BuildingOnLot
    from staking.site.site_request import SiteAsked

_MOST_CONTROL = 60
"""Known points taken by their description alone, at most: a survey may be all nails."""


def read_files(asked: SiteAsked | None) -> tuple[SurveyPoints, ...]:
    """Read the survey files of a job, scans apart, in their own coordinates.

    Parameters
    ----------
    asked
        The site section; None without one.

    Returns
    -------
    tuple of SurveyPoints
        File by file; none without a survey.

    Notes
    -----
    `staking.errors.InputError`, with the faults of all files, comes from the readers.
    """
    if asked is None or asked.from_paper:
        return ()
    from staking.project.scans import split_scans

    return _read(asked, split_scans(asked.survey)[0])


def load_site(
    asked: SiteAsked,
    plan: Plan,
    options: Options,
    known: Sequence[str] = (),
    files: Sequence[SurveyPoints] | None = None,
) -> tuple[BuildingOnLot, Plan]:
    """Read the surveys of a job, or its deed alone, and place the building on them.

    Parameters
    ----------
    asked
        The site section.
    plan, options
        The rest of the job.
    known
        Names of survey points that are wanted beside those the job names.
    files
        What `read_files` read for this section before; None to read it now.

    Returns
    -------
    tuple
        The site, without what depends on boards; the plan with the shapes to keep off that run
        through surveyed points.

    Notes
    -----
    `staking.errors.InputError` comes from the readers, for names that are not in the survey or
    mean two places, and from the placement.
    """
    if asked.from_paper:
        return surveyed_lot(asked, plan, options, surveys_of_paper(asked, known), ())
    from staking.project.scans import scans_of_lot, split_scans
    from staking.survey.merge import find_points

    named, scanned = split_scans(asked.survey)
    read = scaled_alike(_read(asked, named) if files is None else files, asked)
    crs = one_system(read) or asked.crs
    wanted = dict.fromkeys(known, "known point") | dict(names_asked(asked))
    refuse_nameless(wanted, [str(each) for each in named], [str(each) for each in scanned])
    given = find_points(read, wanted)
    scans = scaled_alike(scans_of_lot(asked, scanned, plan, options, given, crs), asked)
    crs = crs or one_system(scans)
    ground = lot_ground(asked, (*read, *scans), given, crs)
    surveys = surveys_on_lot(read, given, crs, ground, scans)
    site, plan = surveyed_lot(asked, plan, options, surveys, _control(asked, surveys, known))
    return replace(site, notices=(*site.notices, *grid_notices(site, plan, ground))), plan


def _read(asked: SiteAsked, paths: Sequence[Path]) -> tuple[SurveyPoints, ...]:
    from staking.points import SurveySettings

    settings = SurveySettings(
        unit=asked.unit,
        job_unit=asked.job_unit,
        columns=asked.columns,
        crs=asked.crs,
        no_elevation=asked.no_elevation,
    )
    problems: list[Problem] = []
    found = []
    for path in paths:
        try:
            found.append(_read_once(path, settings))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(*problems)
    return tuple(found)


def _read_once(path: Path, settings: SurveySettings) -> SurveyPoints:
    # An answer to a question changes the job and not its survey, which is known by its content.
    from staking.survey.read import read_survey

    mark = content_mark(path)
    found = _read_kept(path, mark, settings) if mark else None
    return read_survey(path, settings) if found is None or content_mark(path) != mark else found


@lru_cache(maxsize=4)
def _read_kept(path: Path, mark: bytes, settings: SurveySettings) -> SurveyPoints | None:
    from staking.survey.read import read_survey

    found = read_survey(path, settings)
    # A file that changes while it is read is not kept under what it held before.
    return found if content_mark(path) == mark else None


def _control(asked: SiteAsked, surveys: LotSurveys, known: Sequence[str]) -> tuple[KnownPoint, ...]:
    """Find the points to tape from: marks that can be found again, no shots on bare ground."""
    from staking.survey.merge import described_as_control, find_points

    points, files = surveys.points, surveys.files
    described = described_as_control(files)[:_MOST_CONTROL]
    more = dict.fromkeys((name for name in described if name not in points), "known point")
    named = marks_named(asked, tuple(points), known)
    return (*(points[name] for name in named), *find_points(files, more).values())
