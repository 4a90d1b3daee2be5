"""Reading scanned ground for a job: the system of a file first, then a window of it."""

from __future__ import annotations

from pathlib import Path

from staking.errors import InputError, Problem
from staking.ground_scan import Window
from staking.points import SurveyPoints, SurveySettings
from staking.survey.detect import detect
from staking.survey.formats import SCANS
from staking.survey.read import opened
from staking.survey.scanned.scan_system import ScanSystem


def is_scan(path: Path) -> bool:
    """Tell whether a survey file is a cloud or a height grid.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    bool
        False as well for what cannot be read, which its own reader says better.
    """
    try:
        with opened(path) as (_, head):
            return detect(head, str(path)) in SCANS
    except InputError:
        return False


def system_of_scan(path: Path, settings: SurveySettings) -> ScanSystem:
    """Say in what a cloud or a height grid is, from its head alone.

    Parameters
    ----------
    path
        The file.
    settings
        What the user says of it.

    Returns
    -------
    ScanSystem
        Its system and units.

    Raises
    ------
    InputError
        Where the file is not a scanned ground, damaged, or its system cannot be told.
    """
    with opened(path) as (stream, head):
        match detect(head, str(path)):
            case "cloud":
                from staking.survey.cloud.points_from_cloud import system_of_cloud

                return system_of_cloud(stream, str(path), settings)
            case "height_grid":
                from staking.survey.scanned.points_from_grid import system_of_height_grid

                return system_of_height_grid(stream, str(path), settings)
    raise InputError(_no_scan(path))


def read_scan(path: Path, settings: SurveySettings, window: Window) -> SurveyPoints:
    """Read the ground of a cloud or a height grid round the building.

    Parameters
    ----------
    path
        The file.
    settings
        What the user says of it.
    window
        Where the building or the lot is, northing and easting in the file's system, m.

    Returns
    -------
    SurveyPoints
        The ground there, in the file's system, m.

    Raises
    ------
    InputError
        Where the file is not a scanned ground, damaged, without ground, or lies elsewhere.
    """
    with opened(path) as (stream, head):
        match detect(head, str(path)):
            case "cloud":
                from staking.survey.cloud.points_from_cloud import read_cloud_window

                return read_cloud_window(stream, str(path), settings, window)
            case "height_grid":
                from staking.survey.scanned.points_from_grid import read_height_grid_window

                return read_height_grid_window(stream, str(path), settings, window)
    raise InputError(_no_scan(path))


def _no_scan(path: Path) -> Problem:
    return Problem(
        path=str(path),
        message="this is not a point cloud (LAS, LAZ) and no height grid",
        remedy="name a survey of points under site: survey:",
    )
