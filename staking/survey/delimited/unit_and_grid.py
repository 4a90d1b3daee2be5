"""The unit and the grid of a delimited file, and whether its labels fit the grid."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from statistics import median
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from staking.errors import InputError, MeasureError, Problem
from staking.frozen import frozen
from staking.notices import Notice, NoticeKind, Severity, notice
from staking.points import Array, SurveySettings
from staking.survey.degree_doubts import Degrees, degree_doubts
from staking.survey.delimited.column_evidence import lies_in_area
from staking.survey.delimited.column_meaning import Meaning, unit_problem
from staking.survey.delimited.degrees import last_place, read_angle, unpacked
from staking.survey.delimited.first_lines import Sample
from staking.survey.delimited.heading import PASSED
from staking.survey.unit_words import IN_WORDS, unit_of_the_job
from staking.units import Unit

if TYPE_CHECKING:
    from collections.abc import Sequence


@frozen
class CoordinateFrame:
    """In what the coordinates are.

    Parameters
    ----------
    unit, level_unit
        The unit of northing and easting, and of the elevations.
    crs
        The grid's code, or None.
    notices
        What was assumed.
    is_named
        Whether the user or the file names the grid; else it is the zone the points lie in.
    """

    unit: str
    level_unit: str
    crs: str | None
    is_named: bool = True
    notices: tuple[Notice, ...] = ()


def known_frame(
    sample: Sample, settings: SurveySettings, name: str
) -> tuple[str | None, str | None]:
    """Find the grid's code and the unit as far as the user, the file or the grid tells them.

    Returns
    -------
    tuple
        The code of a grid, not of degrees, and the unit's name; each None where not known.

    Raises
    ------
    InputError
        Where the user's unit or code is none, or the heading gives two units.
    """
    if settings.unit is not None and settings.unit not in IN_WORDS:
        raise InputError(
            Problem(
                path=name, field="unit", message=f"“{settings.unit}” is not a unit",
                remedy=f"write {', '.join(IN_WORDS)}",
            )
        )  # fmt: skip
    crs, unit = settings.crs or sample.crs, settings.unit or _file_unit(sample, name)
    if crs is None:
        return None, unit
    from staking.crs import resolve

    info = resolve(crs)
    if unit is None and not info.is_geographic:
        unit = None if sample.heading and "latitude" in sample.heading.roles else info.unit
    return None if info.is_geographic else info.code, unit


def _heading_units(sample: Sample, *roles: str) -> set[str]:
    if sample.heading is None:
        return set()
    return {
        unit
        for role, unit in zip(sample.heading.roles, sample.heading.units, strict=True)
        if role in roles and unit is not None
    }


def _file_unit(sample: Sample, name: str) -> str | None:
    """Find the unit that the heading or a comment names."""
    units = _heading_units(sample, "northing", "easting")
    if len(units) > 1:
        raise InputError(
            Problem(
                path=name, line=sample.heading_line,
                message=f"the heading gives northing and easting in {' and '.join(sorted(units))}",
                remedy="correct the heading, or give --unit",
            )
        )  # fmt: skip
    return units.pop() if units else sample.unit


def find_frame(
    sample: Sample, meaning: Meaning, settings: SurveySettings, name: str
) -> CoordinateFrame:
    """Settle unit and grid, and hold the labels against the grid's area.

    Returns
    -------
    CoordinateFrame
        What was settled.

    Raises
    ------
    InputError
        Where nothing tells the unit, or the points lie in the grid's area only with northing and
        easting exchanged.
    """
    crs, unit = known_frame(sample, settings, name)
    notices = list(_crs_notices(sample, settings))
    told = unit
    unit = unit or settings.job_unit
    if meaning.is_degrees:
        _refuse_exchanged(sample, meaning, name)
        return _degrees_frame(sample, meaning, crs, settings, notices)
    if unit is None:
        raise InputError(unit_problem(name))
    if settings.unit is not None:
        notices += _against_file(sample, settings.unit)
    elif told is None:
        notices.append(unit_of_the_job(unit))
    else:
        notices.append(_unit_notice(unit, _file_unit(sample, name), crs))
    if crs is not None and unit in {"ft", "us-ft"}:
        notices += _feet_notices(unit, crs)
    if crs is not None:
        notices += _area_notices(sample, meaning, crs, unit, name)
    return CoordinateFrame(
        unit=unit,
        level_unit=_level_unit(sample, settings, unit, notices),
        crs=crs,
        notices=tuple(notices),
    )


def _against_file(sample: Sample, told: str) -> list[Notice]:
    """Say where the unit that the user tells is not the file's own, or not that of elevations."""
    places = _heading_units(sample, "northing", "easting") or {sample.unit} - {None}
    levels = _heading_units(sample, "elevation")
    found = []
    for units, of in ((places, ""), (levels - places, " of its elevations")):
        others = sorted(IN_WORDS[unit] for unit in units if unit not in {None, told})
        if others:
            found.append(
                notice(
                    "unit-against-file",
                    "the file says {file}" + of + " and you gave {told}; {told} are used",
                    file=" and ".join(others),
                    told=IN_WORDS[told],
                )
            )
    return found


def _feet_notices(unit: str, crs: str) -> list[Notice]:
    """Say where the file's foot is not the grid's."""
    from staking.crs import resolve

    own = resolve(crs).unit
    if own == unit or own not in {"ft", "us-ft"}:
        return []
    return [
        notice(
            "unit-against-crs",
            "the coordinates are read as {unit} and {crs} is in {own}; over a state the two feet"
            " come apart by metres",
            unit=IN_WORDS[unit],
            crs=crs,
            own=IN_WORDS[own],
        )
    ]


def _unit_notice(unit: str, told: str | None, crs: str | None) -> Notice:
    if told is None:
        return notice(
            "unit-from-crs",
            "the unit is taken from {crs}: {unit}",
            crs=crs or "",
            unit=IN_WORDS[unit],
        )
    text = "the file says that its unit is {unit}"
    if unit == "ft":
        text += "; were they U.S. survey feet, they would differ by 2 in a million"
    return notice("unit-from-file", text, severity=Severity.NOTE, unit=IN_WORDS[unit])


def _level_unit(sample: Sample, settings: SurveySettings, unit: str, notices: list[Notice]) -> str:
    """Return the elevations' unit: the heading's own for them, else that of the coordinates."""
    own = _heading_units(sample, "elevation")
    if settings.unit is None and own and own != {unit}:
        level = own.pop()
        notices.append(
            notice(
                "elevation-unit",
                "the elevations are in {level} and the coordinates in {unit}, as the heading says",
                level=IN_WORDS[level],
                unit=IN_WORDS[unit],
            )
        )
        return level
    return unit


def _crs_notices(sample: Sample, settings: SurveySettings) -> list[Notice]:
    if settings.crs is None and sample.crs is not None:
        return [
            notice(
                "crs-from-file",
                "a comment in the file names {crs}",
                severity=Severity.NOTE,
                crs=sample.crs,
            )
        ]
    return []


def _area_notices(sample: Sample, meaning: Meaning, crs: str, unit: str, name: str) -> list[Notice]:
    """Hold northing and easting as read against the grid's area, and the other way round."""
    north, east = meaning.roles.index("northing"), meaning.roles.index("easting")
    as_read = lies_in_area(sample, (north, east), crs, unit)
    exchanged = lies_in_area(sample, (east, north), crs, unit)
    row = sample.first_row
    if not as_read and exchanged:
        roles = [role for role in meaning.roles if role != PASSED]
        other = ["easting" if r == "northing" else "northing" if r == "easting" else r
                 for r in meaning.roles]  # fmt: skip
        while other and other[-1] == PASSED:
            other.pop()
        what = "labels" if meaning.source == "headed" else "columns"
        raise InputError(
            Problem(
                path=name, line=sample.first_line,
                message=f"northing {row[north]}, easting {row[east]} lies outside the area of {crs}"
                f" and the other way round inside, so the {what} are exchanged",
                remedy=f"give --columns {','.join(other)}" if roles else "",
            )
        )  # fmt: skip
    if not as_read:
        return [
            notice(
                "outside-area",
                "the points lie outside the area where {crs} is used",
                crs=crs,
            )
        ]
    if exchanged and meaning.source == "headed":
        return [_both_inside(sample, (north, east), crs, unit)]
    return []


def _both_inside(sample: Sample, pair: tuple[int, int], crs: str, unit: str) -> Notice:
    """Say where the points are as labelled and exchanged, since the area allows both."""
    from staking.crs import to_geographic

    metres = Unit(unit).metres
    middle = [median(sample.numbers(at) or [0.0]) * metres for at in pair]
    lat, lon = to_geographic(np.array(middle), np.array(middle[::-1]), crs)
    return notice(
        "labels-unproved",
        "the area of {crs} allows the coordinates both ways: as labelled the site is at {here},"
        " the other way round at {there}; see that the first is the site",
        crs=crs,
        here=_place(lat[0], lon[0]),
        there=_place(lat[1], lon[1]),
    )


def _place(lat: float, lon: float) -> str:
    return f"{abs(lat):.4f} {'N' if lat >= 0 else 'S'} {abs(lon):.4f} {'E' if lon >= 0 else 'W'}"


def _refuse_exchanged(sample: Sample, meaning: Meaning, name: str) -> None:
    """Refuse latitudes that can only be longitudes."""
    at, other = meaning.roles.index("latitude"), meaning.roles.index("longitude")
    lat, lon = (
        shown_degrees(sample, meaning, "latitude"),
        shown_degrees(sample, meaning, "longitude"),
    )
    if lat and lon and abs(median(lat)) > 90.0 and max(map(abs, lon)) <= 90.0:
        row = sample.first_row
        raise InputError(
            Problem(
                path=name, line=sample.first_line,
                message=f"latitude {row[at]}, longitude {row[other]} is not a place on the earth"
                " and the other way round is one, so the labels are exchanged",
                remedy="name the columns, as in --columns point,longitude,latitude",
            )
        )  # fmt: skip


def _degrees_frame(
    sample: Sample,
    meaning: Meaning,
    crs: str | None,
    settings: SurveySettings,
    notices: list[Notice],
) -> CoordinateFrame:
    """Settle the grid that degrees are projected to."""
    is_named = crs is not None
    if crs is None:
        from staking.crs import utm_for

        lat = shown_degrees(sample, meaning, "latitude") or [0.0]
        lon = shown_degrees(sample, meaning, "longitude") or [0.0]
        crs = utm_for(median(lat), _wrapped(median(lon)))
        text = "latitude and longitude are projected to {crs}, the UTM zone the points lie in"
    else:
        text = "latitude and longitude are projected to {crs}"
    notices.append(notice(NoticeKind.PROJECTED, text, crs=crs))
    own = _heading_units(sample, "elevation")
    level = settings.unit or (own.pop() if own else None)
    if level is None:
        level = "m"
        if "elevation" in meaning.roles:
            notices.append(
                notice(
                    "elevation-unit-assumed",
                    "nothing says the unit of the elevations beside degrees; metres are taken",
                )
            )
    return CoordinateFrame(
        unit="m", level_unit=level, crs=crs, is_named=is_named, notices=tuple(notices)
    )


def shown_degrees(sample: Sample, meaning: Meaning, role: str) -> list[float]:
    """Return the first lines' degrees, south and west negative; what is not an angle is left out.

    Parameters
    ----------
    sample, meaning
        The first lines and what their columns mean.
    role
        ``latitude`` or ``longitude``.

    Returns
    -------
    list of float
        Degrees; packed ones are unpacked.
    """
    found = []
    for text in sample.texts(meaning.roles.index(role)):
        value = sample.dialect.number(text)
        if value is None:
            with contextlib.suppress(MeasureError):
                value = read_angle(text, role)
        elif role in meaning.packed:
            value = float(unpacked(np.array([value]))[0])
        if value is not None and np.isfinite(value):
            found.append(-abs(value) if role in meaning.counted_back else value)
    return found


def written_step(sample: Sample, meaning: Meaning) -> float | None:
    """Find how fine the first lines' degrees are written.

    Returns
    -------
    float or None
        Degrees of the last place of the finest field; None where there is no field.
    """
    steps = [
        last_place(text, is_packed=role in meaning.packed)
        for role in ("latitude", "longitude")
        for text in sample.texts(meaning.roles.index(role))
    ]
    return min((step for step in steps if step is not None), default=None)


def _wrapped(lon: float) -> float:
    return (lon + 180.0) % 360.0 - 180.0


def project(
    given: Degrees, frame: CoordinateFrame, settings: SurveySettings
) -> tuple[Array, Array, list[Notice]]:
    """Turn degrees into northing and easting.

    Parameters
    ----------
    given
        The file's degrees.
    frame
        With the grid.
    settings
        Of which `is_listing` counts.

    Returns
    -------
    tuple
        Northing and easting, m, and what is said of the degrees.

    Raises
    ------
    InputError
        Where a number is not a latitude or longitude, with its line, or as `degree_doubts` says.
    """
    from staking.crs import project_geographic

    lat, lon, lines, name = given.latitude, given.longitude, given.lines, given.path
    off = np.flatnonzero((np.abs(lat) > 90.0) | (lon < -180.0) | (lon > 360.0))
    if len(off):
        raise InputError(*_no_places(lat, lon, lines, off[:20].tolist(), name))
    given = replace(given, longitude=(lon + 180.0) % 360.0 - 180.0)
    said = degree_doubts(
        given, frame.crs if frame.is_named else None, is_listing=settings.is_listing
    )
    northing, easting = project_geographic(lat, given.longitude, frame.crs or "")
    return np.asarray(northing), np.asarray(easting), said


def _no_places(
    lat: Array, lon: Array, lines: npt.NDArray[np.int64], off: Sequence[int], name: str
) -> list[Problem]:
    return [
        Problem(
            path=name,
            line=int(lines[at]),
            message=f"latitude {lat[at]:g}, longitude {lon[at]:g} is not a place on the earth",
        )
        for at in off
    ]
