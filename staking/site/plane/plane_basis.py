"""Where the lot's plane of ground distances touches the survey's grid, and at which height."""

from __future__ import annotations

import math
from enum import StrEnum

import numpy as np

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.lines import Array
from staking.notices import Length, Notice, Severity, notice
from staking.points import SurveyPoints
from staking.site.plane.grid_factor import MEAN_RADIUS
from staking.units import FOOT, Unit

NEAR = 1_000 * FOOT
"""Points within this of the building stand for the lot, m (common practice, no source)."""

GRID_SIZE = 50_000.0
"""Coordinates over this, m, are hardly counted from a stake on the lot (common practice, no
source); nothing is inferred from them, but a system is asked for."""

UTM_SCALE = 4e-4
"""One less the scale of UTM on its central meridian (0.9996, EPSG method 9807's usual values)."""

ASSUMED = (0.0, 100.0, 1_000.0)
"""Round heights that a surveyor starts from where none above the sea is at hand, in feet or m
(common practice, no source)."""


class HeightSource(StrEnum):
    """Where the height of the lot is from."""

    JOB = "site: height"
    BOUNDARY = "the mean of the boundary's elevations"
    POINTS = "the mean of the survey's elevations near the building"
    SCAN = "the mean of the scanned heights near the building"
    UNKNOWN = "unknown"


@frozen
class PlaneBasis:
    """What the plane of a lot is made from.

    Parameters
    ----------
    northing, easting
        Where it touches the survey's grid, in the survey's coordinates, m.
    height
        Of the lot above the sea, m, or None where nothing says.
    source
        Where the height is from.
    """

    northing: float
    easting: float
    height: float | None
    source: HeightSource


def plane_basis(
    survey: SurveyPoints,
    boundary: Array,
    building: tuple[float, float] | None = None,
    height: float | None = None,
) -> PlaneBasis:
    """Choose where the plane touches the grid, and its height.

    Parameters
    ----------
    survey
        The first of the surveys, in its own coordinates.
    boundary
        ``(n, 3)`` northing, easting and elevation of the boundary's points, m; no rows where the
        job has none. A missing elevation is not-a-number.
    building
        Northing and easting of where the building stands, m; None where nothing says.
    height
        The height that the job gives, m, or None.

    Returns
    -------
    PlaneBasis
        The mean of the boundary; without one, of the survey's points within `NEAR` of the
        building; without any there, where the building stands. The height is the job's, else the
        mean of the elevations of the same points.

    Raises
    ------
    InputError
        When the survey has no point at all and nothing else says where the lot is.
    """
    rows = _rows(survey)
    if len(boundary):
        middle = boundary[:, :2].mean(axis=0)
    elif building is not None:
        middle = np.array(building, dtype=float)
    elif len(rows):
        middle = np.median(rows[:, :2], axis=0)
    else:
        raise InputError(Problem(path=survey.name, message="there are no points in this survey"))
    near = rows[np.hypot(rows[:, 0] - middle[0], rows[:, 1] - middle[1]) <= NEAR]
    if not len(boundary) and len(near):
        middle = near[:, :2].mean(axis=0)
    source = HeightSource.JOB
    if height is None:
        height, source = _mean_level(boundary), HeightSource.BOUNDARY
    if height is None:
        scanned = survey.scan is not None
        source = HeightSource.SCAN if scanned else HeightSource.POINTS
        height = _mean_level(near)
    if height is None:
        source = HeightSource.UNKNOWN
    return PlaneBasis(
        northing=float(middle[0]), easting=float(middle[1]), height=height, source=source
    )


def _rows(survey: SurveyPoints) -> Array:
    # Northing, easting and elevation of the points, or of the vertices where there are no points.
    if survey.count:
        return np.column_stack((survey.northing, survey.easting, survey.elevation))
    vertices = [each.vertices for each in survey.surfaces]
    vertices += [each.vertices for each in survey.lines]
    return np.concatenate(vertices) if vertices else np.empty((0, 3))


def _mean_level(rows: Array) -> float | None:
    levels = rows[:, 2][~np.isnan(rows[:, 2])] if len(rows) else rows
    return float(levels.mean()) if len(levels) else None


def height_notices(basis: PlaneBasis, unit: Unit) -> tuple[Notice, ...]:
    """Say so where the height looks like one that was only assumed.

    Parameters
    ----------
    basis
        Where the lot is, and its height.
    unit
        The survey's own unit.

    Returns
    -------
    tuple of Notice
        One ``height-assumed``, or none.
    """
    # Nobody scans a district from an assumed zero.
    if basis.height is None or basis.source in {HeightSource.JOB, HeightSource.SCAN}:
        return ()
    metric = unit in {Unit.M, Unit.MM}
    count = basis.height / (1.0 if metric else FOOT)
    if not any(abs(count - each) <= max(0.05 * each, 10.0) for each in ASSUMED):
        return ()
    rise, length = (1_000.0, 30.0) if metric else (5_280 * FOOT, 100 * FOOT)
    return (
        notice(
            "height-assumed",
            "the survey's elevations, {height} on average, look as if they were counted from an "
            "assumed zero: if so, give the lot's height above the sea by height: under site; "
            "{rise} of height is {part} in {length}",
            Severity.NOTE,
            height=written_height(basis.height, unit),
            rise="a kilometre" if metric else "a mile",
            part=Length(length * rise / (MEAN_RADIUS + rise)),
            length=Length(length),
        ),
    )


def unnamed_grid_notices(basis: PlaneBasis, unit: Unit) -> tuple[Notice, ...]:
    """Say that lengths are taken as they stand where coordinates are as large as a grid's.

    Parameters
    ----------
    basis
        Where the lot is: a survey without a coordinate system.
    unit
        The survey's own unit.

    Returns
    -------
    tuple of Notice
        One ``no-crs``, or none for coordinates that count from somewhere on the lot.
    """
    if max(abs(basis.northing), abs(basis.easting)) < GRID_SIZE:
        return ()
    length = 30.0 if unit in {Unit.M, Unit.MM} else 100 * FOOT
    return (
        notice(
            "no-crs",
            "no coordinate system is given, so lengths are those between the survey's coordinates: "
            "if these are on a state plane or UTM grid, give crs: under site, for on the ground "
            "they are longer or shorter, on UTM by up to {part} in {length}; if they were scaled "
            "to the ground, give distances: ground",
            Severity.NOTE,
            part=Length(UTM_SCALE * length),
            length=Length(length),
        ),
    )


def written_height(metres: float, unit: Unit) -> str:
    """Write a height in the survey's unit, in feet or metres, to the whole one.

    Parameters
    ----------
    metres
        The height, m.
    unit
        The survey's own unit.

    Returns
    -------
    str
        Such as ``919 ft``.
    """
    shown = {Unit.IN: Unit.FT, Unit.MM: Unit.M}.get(unit, unit)
    name = "ft" if shown is Unit.US_FT else shown.value
    return f"{math.floor(metres / shown.metres + 0.5)} {name}"


def height_in_words(basis: PlaneBasis, unit: Unit) -> str:
    """Say which height is used and where it is from.

    Parameters
    ----------
    basis
        Where the lot is, and its height.
    unit
        The survey's own unit.

    Returns
    -------
    str
        Such as ``a height of 919 ft, the mean of the boundary's elevations``; empty for none.
    """
    if basis.height is None:
        return ""
    return f"a height of {written_height(basis.height, unit)}, {basis.source.value}"
