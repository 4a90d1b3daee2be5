"""The conductor's part for clouds and height grids: which window of which file, in which system."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem

if TYPE_CHECKING:
    from staking.ground_scan import Window
    from staking.plan import Options, Plan
    from staking.points import KnownPoint, SurveyPoints, SurveySettings
    from staking.site.building_on_lot import BuildingOnLot
    from staking.site.site_request import SiteAsked


def split_scans(paths: Sequence[str]) -> tuple[list[Path], list[Path]]:
    """Part survey files into those of surveyed points and those of scanned ground.

    Parameters
    ----------
    paths
        The files of a job.

    Returns
    -------
    tuple
        The files of points, and the clouds and height grids.
    """
    from staking.survey.scanned.read_scan import is_scan

    every = [Path(each) for each in paths]
    scans = [each for each in every if is_scan(each)]
    return [each for each in every if each not in scans], scans


def scans_of_lot(
    asked: SiteAsked,
    paths: Sequence[Path],
    plan: Plan,
    options: Options,
    points: Mapping[str, KnownPoint],
    crs: str | None,
) -> tuple[SurveyPoints, ...]:
    """Read the scanned ground that a job lists among its surveys, round the building.

    Parameters
    ----------
    asked
        The site section.
    paths
        The clouds and height grids.
    plan, options
        The rest of the job.
    points
        The survey points that the job names, in the survey's coordinates.
    crs
        The lot's coordinate system, or None.

    Returns
    -------
    tuple of SurveyPoints
        In the lot's system.

    Notes
    -----
    `staking.errors.InputError` comes from the readers, from the placement, and where neither
    placement nor boundary says which part of the files is meant.
    """
    if not paths:
        return ()
    from staking.points import SurveySettings
    from staking.site.scan_window import window_of_lot

    settings = SurveySettings(job_unit=asked.unit or asked.job_unit)
    window = window_of_lot(asked, plan, options, points)
    return read_scans(paths, settings, window, crs)


def scans_of_ground(
    paths: Sequence[Path], settings: SurveySettings, plan: Plan, lot: BuildingOnLot
) -> tuple[SurveyPoints, ...]:
    """Read the scanned ground that a job's grade section names, onto the lot's plane.

    Parameters
    ----------
    paths
        The clouds and height grids.
    settings
        What the job says of them.
    plan
        The building.
    lot
        The lot, with the building placed on it.

    Returns
    -------
    tuple of SurveyPoints
        On the plane.

    Raises
    ------
    ValueError
        When the building is not placed.

    Notes
    -----
    `staking.errors.InputError` comes from the readers.
    """
    from staking.site.plane.ground_plane import survey_onto
    from staking.site.plane.survey_systems import scaled_alike
    from staking.site.scan_window import window_round

    if lot.placement is None:
        raise ValueError("only a placed building has ground under it")
    window = window_round(plan, lot.placement, lot.plane)
    own = replace(settings, job_unit=lot.unit)
    read = scaled_alike(read_scans(paths, own, window, lot.crs), lot.asked)
    return tuple(survey_onto(each, lot.plane) for each in read)


def read_scans(
    paths: Sequence[Path], settings: SurveySettings, window: Window, crs: str | None
) -> tuple[SurveyPoints, ...]:
    """Read clouds and height grids round the building, and bring them to the lot's system.

    Parameters
    ----------
    paths
        The files.
    settings
        What the job says of them.
    window
        Northing and easting in the lot's system, m.
    crs
        The lot's system, or None.

    Returns
    -------
    tuple of SurveyPoints
        In the lot's system, or in their own where the lot has none.

    Raises
    ------
    InputError
        Every fault of every file. A file that does not reach the building is none where another
        does: tiles border on one another.
    """
    from staking.site.scan_window import refuse_elsewhere

    found: list[SurveyPoints] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            found.append(_read_scan(path, settings, window, crs))
        except InputError as error:
            problems += (
                each if each.path is not None else replace(each, path=str(path))
                for each in error.problems
            )
    if problems:
        raise InputError(*problems)
    refuse_elsewhere(found, window)
    return tuple(each for each in found if each.count)


def _read_scan(
    path: Path, settings: SurveySettings, window: Window, crs: str | None
) -> SurveyPoints:
    from staking.survey.convert import on_grid
    from staking.survey.scanned.read_scan import read_scan, system_of_scan
    from staking.survey.scanned.window_on_grid import window_on_grid

    system = system_of_scan(path, settings)
    if system.crs is None and crs is not None:
        # A grid of heights never says where it lies: it is taken to lie where the lot does.
        settings = replace(settings, crs=crs)
        system = system_of_scan(path, settings)
    if crs is None or system.crs is None or system.crs == crs:
        return read_scan(path, settings, window)
    return on_grid(read_scan(path, settings, window_on_grid(window, crs, system.crs)), crs)
