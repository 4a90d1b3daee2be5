"""GeoJSON: longitude and latitude, or the grid coordinates that stand beside them.

A feature may carry a `place` beside its `geometry`: the same shape in the grid that the file's
`coordRefSys` names. Where every shape has one, it is read, since nothing need be projected.
"""

from __future__ import annotations

import json
from typing import Any, BinaryIO, NoReturn

from staking.errors import InputError, Problem
from staking.points import SurveyPoints, SurveySettings
from staking.survey.geojson.features import FeatureFaults, Shapes, read_features
from staking.survey.geojson.grid_features import grid_survey
from staking.survey.lat_lon import NamedPlace, Track, checked, geographic_survey
from staking.survey.xml_faults import PointFaults

MOST_BYTES = 256 * 2**20
"""The largest file read: its text is held whole."""

_IN_DEGREES = ("CRS84", "CRS84H", "CRS:84", ":4326", "/4326")
"""How names of longitude and latitude end, which are not a grid."""


def parse_geojson(stream: BinaryIO, name: str, settings: SurveySettings) -> SurveyPoints:
    """Read a GeoJSON file.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        `crs` is the grid of the `place` members where there are any, else the grid to project
        to; `unit` is that of the `place` members, or the one to show.

    Returns
    -------
    SurveyPoints
        Points and multi-points as points; lines and the rings of polygons as lines.

    Raises
    ------
    InputError
        Where the file is not a sound GeoJSON, latitude stands before longitude, or a position is
        none.

    References
    ----------
    RFC 7946: section 3.1.1, longitude before latitude, elevation third; section 4, WGS 84. OGC
    21-045r1, Features and Geometries JSON - Part 1: Core, 1.0: `place` and `coordRefSys`.
    """
    document = _document(stream, name)
    faults = FeatureFaults(name, settings.skip_bad_lines)
    shapes = read_features(document, name, faults)
    _refuse_swapped(name, shapes)
    grid = _grid_named(document)
    if shapes.has_places or _in_grid(shapes, settings, grid):
        return grid_survey(name, shapes, settings, grid, faults)
    _refuse_grid(name, shapes)
    places, tracks = _geographic(shapes, faults)
    return geographic_survey(
        name=name,
        what="GeoJSON",
        settings=settings,
        places=places,
        tracks=tracks,
        notices=[*faults.settle(), *shapes.notices],
    )


def _document(stream: BinaryIO, name: str) -> dict[str, Any]:
    data = stream.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        _refuse(name, "the file is larger than 256 MB", "export fewer points")
    try:
        text = data.decode("utf-16" if data[:2] in {b"\xff\xfe", b"\xfe\xff"} else "utf-8-sig")
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        raise InputError(Problem(path=name, line=line, message="the text is not UTF-8")) from fault
    try:
        document = json.loads(text, parse_constant=_no_number)
    except json.JSONDecodeError as fault:
        ends = fault.pos >= len(text.rstrip())
        message = "the file breaks off" if ends else f"this is not JSON ({fault.msg.lower()})"
        raise InputError(Problem(path=name, line=fault.lineno, message=message)) from fault
    except RecursionError as fault:
        raise InputError(Problem(path=name, message="the JSON is nested too deep")) from fault
    except ValueError as fault:
        raise InputError(
            Problem(path=name, message="a number in the JSON is none, or has too many digits")
        ) from fault
    if not isinstance(document, dict) or not isinstance(document.get("type"), str):
        _refuse(name, "this is JSON and not GeoJSON", "the outermost value needs a type")
    return document


def _no_number(word: str) -> NoReturn:
    raise ValueError(word)


def _grid_named(document: dict[str, Any]) -> str | None:
    """Return the coordinate system the file names, as it names it, or None."""
    named = _reference(document.get("coordRefSys"))
    if named is None:
        named = _one_of_all(document.get("features"))
    if named is None and isinstance(document.get("crs"), dict):
        # As GeoJSON had it before RFC 7946.
        properties = document["crs"].get("properties")
        named = properties.get("name") if isinstance(properties, dict) else None
    if not isinstance(named, str) or named.upper().strip("]").endswith(_IN_DEGREES):
        return None
    return named


def _reference(named: Any) -> str | None:
    """Return the name in a `coordRefSys`: a text, an object with one, or the first of several."""
    if isinstance(named, list) and named:
        # Of a plane grid together with a system of heights the grid stands first.
        named = named[0]
    if isinstance(named, dict):
        named = named.get("href")
    return named if isinstance(named, str) else None


def _one_of_all(features: Any) -> str | None:
    """Return the system that every feature names for itself, where it is one and the same."""
    if not isinstance(features, list):
        return None
    named = {
        _reference(each.get("coordRefSys")) if isinstance(each, dict) else None for each in features
    }
    return named.pop() if len(named) == 1 else None


def _in_grid(shapes: Shapes, settings: SurveySettings, grid: str | None) -> bool:
    """Tell whether the geometry itself is in a grid: over 180, and a grid is named."""
    named = settings.crs or grid
    first = [position for each in shapes.features for part in each.parts for position in part]
    return bool(named and first) and all(max(abs(at[0]), abs(at[1])) > 180 for at in first)


def _refuse_swapped(name: str, shapes: Shapes) -> None:
    """Refuse a file with latitude first, which shows where a longitude is beyond 90."""
    over = [
        (each, at)
        for each in shapes.features
        for part in each.parts
        for at in part
        if 90 < abs(at[1]) <= 180 and abs(at[0]) <= 90
    ]
    if over:
        each, at = over[0]
        _refuse(
            name,
            f"{each.what} has {at[1]:.12g} where the latitude belongs, which is beyond 90 degrees: "
            f"latitude and longitude are swapped",
            "GeoJSON puts the longitude first",
        )


def _refuse_grid(name: str, shapes: Shapes) -> None:
    """Refuse a file whose positions are plainly on a grid that nothing names."""
    for each in shapes.features:
        for part in each.parts:
            for at in part:
                if abs(at[0]) > 180 and abs(at[1]) > 180:
                    _refuse(
                        name,
                        f"{each.what} is at {at[0]:.12g}, {at[1]:.12g}, which is not a longitude "
                        "and latitude but looks like easting and northing",
                        "name their grid with --crs",
                    )


def _geographic(shapes: Shapes, faults: PointFaults) -> tuple[list[NamedPlace], list[Track]]:
    places, tracks = [], []
    for each in shapes.features:
        for part in each.parts:
            chain = [
                NamedPlace(each.name, at[1], at[0], at[2], each.description, 0)
                for at in part
                if checked(faults, each.what, 0, at[1], at[0])
            ]
            if each.is_point:
                places += chain
            elif len(chain) > 1:
                tracks.append(Track(each.name, tuple(chain)))
    return places, tracks


def _refuse(name: str, message: str, remedy: str = "") -> NoReturn:
    raise InputError(Problem(path=name, message=message, remedy=remedy))
