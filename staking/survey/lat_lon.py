"""From latitude and longitude to a grid, for the formats that know no other position."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.points import Array, SurveyLine, SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.degree_doubts import Degrees, degree_doubts
from staking.survey.xml_faults import PointFaults, numbered, numbered_notices, shown

ONE_SITE = 20_000.0
"""Points spread over more than this, m, are no one site (common practice, no source)."""

_VERTICES_COUNTED = notice(
    "vertices-counted",
    "the file holds lines and no points; the lines' vertices are taken as points",
    severity=Severity.NOTE,
)


@frozen(kw_only=False)
class NamedPlace:
    """A named place: degrees, and m above the sea or not-a-number."""

    name: str
    latitude: float
    longitude: float
    elevation: float
    description: str
    line: int


@frozen(kw_only=False)
class Track:
    """A chain of places."""

    name: str
    places: tuple[NamedPlace, ...]


def checked(faults: PointFaults, what: str, line: int, latitude: float, longitude: float) -> bool:
    """Take down a latitude or longitude that is none.

    Parameters
    ----------
    faults
        Where to.
    what
        The point in words.
    line
        Of the file.
    latitude, longitude
        Degrees.

    Returns
    -------
    bool
        Whether both are sound.
    """
    if abs(latitude) > 90:
        turned = abs(longitude) <= 90 and abs(latitude) <= 180
        faults.add(
            line,
            f"{what}: the latitude {latitude:.12g} is beyond 90 degrees",
            "latitude and longitude look swapped" if turned else "give degrees",
        )
        return False
    if abs(longitude) > 180:
        faults.add(
            line,
            f"{what}: the longitude {longitude:.12g} is beyond 180 degrees",
            "give degrees from -180 to 180",
        )
        return False
    return True


def geographic_survey(
    *,
    name: str,
    what: str,
    settings: SurveySettings,
    places: Sequence[NamedPlace],
    tracks: Sequence[Track],
    notices: Sequence[Notice] = (),
) -> SurveyPoints:
    """Project places and tracks and make the survey of them.

    Parameters
    ----------
    name
        The file as the user named it.
    what
        The format in words.
    settings
        Of which `crs` is the grid to project to; without it the UTM zone of the middle is taken.
    places, tracks
        What the file holds. Where there are tracks and no places, their vertices are the points.
    notices
        What the reader has to say.

    Returns
    -------
    SurveyPoints
        In m.

    Raises
    ------
    InputError
        Where there is nothing, or one grid cannot hold it.
    """
    said = list(notices)
    if not places and tracks:
        places = [place for track in tracks for place in track.places]
        said.append(_VERTICES_COUNTED)
    if not places:
        raise InputError(Problem(path=name, message=f"there are no points in this {what}"))
    every = [*places, *(place for track in tracks for place in track.places)]
    doubts = degree_doubts(
        Degrees(
            path=name,
            latitude=np.array([place.latitude for place in every]),
            longitude=np.array([place.longitude for place in every]),
            lines=np.array([place.line for place in every], dtype=np.int64),
        ),
        settings.crs,
        is_listing=settings.is_listing,
    )
    north, east, code, unit, more = _projected(name, settings, every)
    levels = np.array([place.elevation for place in every])
    count = len(places)
    names, given = numbered([place.name for place in places])
    said += numbered_notices(given)
    said += more
    said += doubts
    said += _level_notices(levels[:count])
    said += _spread_notices(north[:count], east[:count])
    return survey_points(
        name=name,
        format=what,
        names=names,
        northing=north[:count].copy(),
        easting=east[:count].copy(),
        elevation=levels[:count].copy(),
        descriptions=[place.description for place in places],
        unit=unit,
        source_line=[place.line for place in places],
        crs=code,
        lines=_lines(tracks, np.column_stack((north, east, levels))[count:]),
        notices=said,
        settings=settings,
        elevation_unit="m",
    )


def _projected(
    name: str, settings: SurveySettings, every: Sequence[NamedPlace]
) -> tuple[Array, Array, str, str, list[Notice]]:
    """Return northing and easting, m, the grid and its unit, and how the grid was chosen."""
    latitudes = np.array([place.latitude for place in every])
    longitudes = np.array([place.longitude for place in every])
    asked = None if settings.crs is None else reference.resolve(settings.crs)
    if asked is not None and asked.is_geographic:
        asked = None
    unit = "m"
    if asked is not None:
        code, unit = asked.code, asked.unit
        word = notice(
            NoticeKind.PROJECTED,
            "latitude and longitude are projected to {crs}",
            severity=Severity.NOTE,
            crs=code,
        )
    else:
        code = _utm_zone(name, *_middle(latitudes, longitudes))
        word = notice(
            NoticeKind.PROJECTED,
            "latitude and longitude are projected to {crs}, the UTM zone they lie in, for want of "
            "a coordinate system of the job",
            severity=Severity.NOTE,
            crs=code,
        )
    try:
        north, east = reference.project_geographic(latitudes, longitudes, code)
    except InputError as fault:
        raise InputError(
            Problem(
                path=name,
                message=f"the points cannot be projected to {code}: "
                + shown(fault.problems[0].message, 200),
                remedy="give the coordinate system of the site with --crs",
            )
        ) from fault
    said = [word, *reference.datum_notices(code)]
    if asked is not None and not reference.in_area(north, east, code):
        said.append(
            notice(
                "outside-area",
                "points lie outside the area that {crs} ({name}) is for",
                crs=code,
                name=asked.name,
            )
        )
    return north, east, code, settings.unit or unit, said


def _utm_zone(name: str, latitude: float, longitude: float) -> str:
    """Return the UTM zone of a place, degrees."""
    try:
        return reference.utm_for(latitude, longitude)
    except InputError as fault:
        raise InputError(
            Problem(
                path=name,
                message=fault.problems[0].message,
                remedy="give the coordinate system of the site with --crs",
            )
        ) from fault


def _middle(latitudes: Array, longitudes: Array) -> tuple[float, float]:
    """Return the middle in degrees, which must hold across the 180th meridian too."""
    turn = np.radians(longitudes)
    middle = float(np.degrees(np.arctan2(np.sin(turn).sum(), np.cos(turn).sum())))
    return float(np.median(latitudes)), middle


def _level_notices(levels: Array) -> list[Notice]:
    """Say so where every elevation is the same number, which no ground is."""
    known = levels[~np.isnan(levels)]
    if len(known) < 3 or np.ptp(known) > 0:
        return []
    return [
        notice(
            "constant-elevation",
            "every elevation is {elevation}: it was filled in and not measured",
            elevation=Length(float(known[0])),
        )
    ]


def _spread_notices(north: Array, east: Array) -> list[Notice]:
    """Say so where the points are spread over more than a site."""
    spread = float(np.hypot(np.ptp(north), np.ptp(east)))
    if spread <= ONE_SITE:
        return []
    return [
        notice(
            "not-one-site",
            "the points are spread over {spread}, which is no one site: far from the grid's middle "
            "its distances are not those on the ground",
            spread=Length(spread),
        )
    ]


def _lines(tracks: Sequence[Track], rows: Array) -> tuple[SurveyLine, ...]:
    """Return the tracks as lines; `rows` holds their vertices one after another."""
    made, start = [], 0
    for track in tracks:
        stop = start + len(track.places)
        made.append(SurveyLine(name=track.name, vertices=rows[start:stop].copy()))
        start = stop
    return tuple(made)
