"""GeoJSON whose shapes have grid coordinates: taken as they stand, in the grid the file names."""

from __future__ import annotations

import math

import numpy as np

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.notices import Length, Notice, Severity, notice
from staking.points import Array, SurveyLine, SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.geojson.features import Feature, Position, Shapes
from staking.survey.stated_system import overruled_system
from staking.survey.xml_faults import PointFaults, numbered, shown
from staking.units import Unit

DISAGREE = 5.0
"""Longitude and latitude farther than this from the grid coordinates are told, m: a datum
changes them by less, a wrong grid by more (common practice, no source)."""


def grid_survey(
    name: str, shapes: Shapes, settings: SurveySettings, grid: str | None, faults: PointFaults
) -> SurveyPoints:
    """Make the survey of shapes in a grid.

    Parameters
    ----------
    name
        The file as the user named it.
    shapes
        Each with its `place`, or with a geometry that is in a grid itself.
    settings
        `crs` and `unit` stand over what the file says.
    grid
        What the file calls its grid, or None.
    faults
        What was found malformed.

    Returns
    -------
    SurveyPoints
        In m. Where the file names its grid by URI or ``[EPSG:n]``, as the OGC's standard wants it,
        a position has its numbers in the order in which the register lists the grid's axes; else
        the easting is first, unless only the other order agrees with longitude and latitude.

    Raises
    ------
    InputError
        Where there are no shapes.
    """
    code, unit, said = _grid(settings, grid)
    metres = Unit(unit).metres
    points = [each for each in shapes.features if each.is_point]
    rows = [(each, at) for each in points for part in _chains(each) for at in part]
    if not rows:
        raise InputError(Problem(path=name, message="there are no points in this GeoJSON"))
    names, given = numbered([each.name for each, _ in rows])
    if given:
        said.append(
            notice(
                "points-numbered",
                "{count} points have no name and are numbered",
                severity=Severity.NOTE,
                count=given,
            )
        )
    projected = _projected(points, code)
    north_first, turned = _north_first([at for _, at in rows], grid, projected, metres)
    said += turned
    placed = _rows([at for _, at in rows], metres, north_first)
    # The elevation of the geometry counts, in m, where the grid coordinates have none.
    above = [at[2] for each in points for part in each.parts for at in part]
    levels = np.where(np.isnan(placed[:, 2]), above, placed[:, 2])
    said += _disagreement(placed, projected)
    return survey_points(
        name=name,
        format="GeoJSON",
        names=names,
        northing=placed[:, 0].copy(),
        easting=placed[:, 1].copy(),
        elevation=levels,
        descriptions=[each.description for each, _ in rows],
        unit=unit,
        crs=code,
        lines=tuple(
            SurveyLine(name=each.name, vertices=_rows(list(part), metres, north_first))
            for each in shapes.features
            if not each.is_point
            for part in _chains(each)
            if len(part) > 1
        ),
        notices=[*faults.settle(), *shapes.notices, *said],
        settings=settings,
    )


def _chains(each: Feature) -> tuple[tuple[Position, ...], ...]:
    return each.parts if each.places is None else each.places


def _rows(positions: list[Position], metres: float, north_first: bool) -> Array:
    """Return northing, easting, elevation, m."""
    first = np.array(positions, dtype=float).reshape(-1, 3)
    return first[:, [0, 1, 2] if north_first else [1, 0, 2]] * metres


def _grid(settings: SurveySettings, grid: str | None) -> tuple[str | None, str, list[Notice]]:
    """Return the grid's code, the unit, and how both were found."""
    named = settings.crs or grid
    if named is None:
        word = notice(
            "unit-assumed",
            "the grid coordinates have no coordinate system, and are taken to be in {unit}",
            unit=settings.unit or "m",
        )
        return None, settings.unit or "m", [word]
    try:
        info = reference.resolve(named)
    except InputError as fault:
        if settings.crs:
            raise
        word = notice(
            "crs-not-known",
            "the file names {crs} as its grid, which is of no use here ({why}); the coordinates "
            "are taken as they stand, in {unit}",
            crs=shown(named),
            why=shown(fault.problems[0].message, 200),
            unit=settings.unit or "m",
        )
        return None, settings.unit or "m", [word]
    source = "as given" if settings.crs else "as the file says"
    word = notice(
        "grid-coordinates",
        "grid coordinates are read, in {crs}, " + source,
        severity=Severity.NOTE,
        crs=info.code,
    )
    overruled = overruled_system(grid, settings.crs)
    return info.code, settings.unit or info.unit, [word, *overruled]


def _projected(points: list[Feature], code: str | None) -> Array | str | None:
    """Return northing and easting, m, of the longitudes and latitudes; or why there are none.

    Returns
    -------
    Array or str or None
        ``(n, 2)``; None where not every point has both, or no grid is known.
    """
    if code is None or any(each.places is None for each in points):
        return None
    degrees = np.array([at[:2] for each in points for part in each.parts for at in part])
    try:
        north, east = reference.project_geographic(degrees[:, 1], degrees[:, 0], code)
    except InputError as fault:
        return shown(fault.problems[0].message, 200)
    return np.column_stack((north, east))


def _apart(placed: Array, projected: Array) -> float:
    return float(np.hypot(*(placed[:, :2] - projected).T).max())


def _north_first(
    positions: list[Position], grid: str | None, projected: Array | str | None, metres: float
) -> tuple[bool, list[Notice]]:
    """Tell whether the northing stands first, and say so where that is not the file's own rule."""
    named = grid or ""
    rule = ("/" in named or named.startswith("[")) and _lists_north_first(named)
    if projected is None or isinstance(projected, str):
        return rule, []
    as_ruled, turned = (
        _apart(_rows(positions, metres, each), projected) for each in (rule, not rule)
    )
    if not (turned <= DISAGREE < as_ruled):
        return rule, []
    word = notice(
        "place-order",
        "the grid coordinates agree with longitude and latitude only as {order}, and are read so",
        order="easting before northing" if rule else "northing before easting",
    )
    return not rule, [word]


def _lists_north_first(named: str) -> bool:
    try:
        return reference.resolve(named).north_first
    except InputError:
        return False


def _disagreement(placed: Array, projected: Array | str | None) -> list[Notice]:
    """Compare longitude and latitude, projected, with the grid coordinates beside them."""
    if projected is None:
        return []
    text = "longitude and latitude do not agree with the grid coordinates beside them: {why}"
    if isinstance(projected, str):
        return [notice("place-disagrees", text, why=projected)]
    apart = _apart(placed, projected)
    if not math.isfinite(apart):
        return [notice("place-disagrees", text, why="they lie outside its reach")]
    if apart <= DISAGREE:
        return []
    return [
        notice(
            "place-disagrees",
            "longitude and latitude lie up to {apart} from the grid coordinates beside them; the "
            "grid coordinates are read",
            apart=Length(apart),
        )
    ]
