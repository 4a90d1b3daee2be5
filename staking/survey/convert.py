"""A survey in another unit or on another grid."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.notices import Length, Notice, Severity, notice
from staking.points import Array, SurveyPoints
from staking.survey.assemble import duplicate_names
from staking.units import Unit


def in_unit(points: SurveyPoints, unit: str) -> SurveyPoints:
    """Return a survey that is shown and written in another unit.

    Parameters
    ----------
    points
        The survey.
    unit
        By its name in the job file.

    Returns
    -------
    SurveyPoints
        The same points: they are in metres all along.
    """
    return replace(points, unit=Unit(unit).value)


def on_grid(points: SurveyPoints, code: str) -> SurveyPoints:
    """Return a survey converted to another grid, in that grid's unit.

    Parameters
    ----------
    points
        The survey, with a coordinate system.
    code
        The grid's code.

    Returns
    -------
    SurveyPoints
        Elevations are not touched.

    Raises
    ------
    InputError
        Where the survey has no coordinate system, or a code cannot be used.
    """
    if points.crs is None:
        raise InputError(
            Problem(
                path=points.name,
                message="nothing says which coordinate system the survey is in",
                remedy="give it with --crs",
            )
        )
    source, info = points.crs, reference.resolve(code)

    def moved(rows: Array) -> Array:
        if len(rows) == 0:
            return rows
        north, east = reference.to_crs(rows[:, 0], rows[:, 1], source, info.code)
        return np.column_stack((north, east, rows[:, 2]))

    rows = moved(np.column_stack((points.northing, points.easting, points.elevation)))
    return replace(
        points,
        northing=rows[:, 0].copy(),
        easting=rows[:, 1].copy(),
        unit=info.unit,
        crs=info.code,
        lines=tuple(replace(line, vertices=moved(line.vertices)) for line in points.lines),
        surfaces=tuple(
            replace(surface, vertices=moved(surface.vertices)) for surface in points.surfaces
        ),
        notices=(
            *points.notices,
            notice(
                "converted",
                "northings and eastings are converted from {source} to {target}; elevations are "
                "left as they are",
                severity=Severity.NOTE,
                source=source,
                target=info.code,
            ),
            *_shift_notices(points, source, info.code),
        ),
    )


def in_degrees(points: SurveyPoints) -> SurveyPoints:
    """Return a survey that says how it gets to WGS 84, in which latitudes and longitudes are.

    Parameters
    ----------
    points
        The survey.

    Returns
    -------
    SurveyPoints
        The same points; a notice more where its grid rests on another datum.
    """
    if points.crs is None:
        return points
    return replace(points, notices=(*points.notices, *_shift_notices(points, points.crs, None)))


def _shift_notices(points: SurveyPoints, source: str, target: str | None) -> list[Notice]:
    """Name the shift between two datums and its accuracy."""
    rows = counted(points)
    if len(rows) == 0:
        return []
    north, east = np.median(rows[:, :2], axis=0).tolist()
    shift = reference.datum_shift(north, east, source, target)
    if shift is None:
        return []
    text = "{source} and {target} rest on different datums: the points are shifted by {operation}, "
    after = target or "the latitudes and longitudes written (WGS 84)"
    operation = f"“{shift.operation}”"
    if shift.accuracy is None:
        text += "and how well that is known is not said"
        return [notice("datum-shifted", text, source=source, target=after, operation=operation)]
    return [
        notice(
            "datum-shifted",
            text
            + "which is known to {accuracy}; against other surveys all may be off by that much",
            source=source,
            target=after,
            operation=operation,
            accuracy=Length(shift.accuracy),
        )
    ]


def counted(points: SurveyPoints) -> Array:
    """Return the ``(n, 3)`` northing, easting, elevation, m, that a survey's count counts.

    Returns
    -------
    Array
        The points; the vertices of the surfaces, or of the lines, where there are none.
    """
    if points.count == 0:
        rest = [each.vertices for each in points.surfaces] or [
            each.vertices for each in points.lines
        ]
        return np.concatenate(rest) if rest else np.empty((0, 3))
    return np.column_stack((points.northing, points.easting, points.elevation))


def extent_rows(points: SurveyPoints) -> Array:
    """Return rows whose least and greatest are a survey's extent.

    Parameters
    ----------
    points
        The survey.

    Returns
    -------
    Array
        ``(n, 3)`` northing, easting, elevation, m: of scanned ground, whose points are not held,
        the ends of the extent alone.
    """
    if points.scan is None:
        return counted(points)
    return np.array(points.scan.extent, dtype=float).T if points.scan.extent else np.empty((0, 3))


def repeated(points: SurveyPoints) -> tuple[str, ...]:
    """Return the names that occur more than once."""
    return duplicate_names(points.names)
