"""Surveyed points as GeoJSON, with the grid coordinates beside longitude and latitude."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any, TextIO

import numpy as np

from staking import crs as reference
from staking.errors import WriteError
from staking.units import Unit

if TYPE_CHECKING:
    from staking.points import Array, SurveyPoints

_DEGREE_DECIMALS = 9
"""A billionth of a degree is a tenth of a millimetre."""
_DECIMALS = 5
"""Decimals of grid coordinates in metres or feet, and of elevations."""


def write_geojson(points: SurveyPoints, stream: TextIO) -> None:
    """Write points and lines as features.

    Each has its `geometry` in WGS 84 longitude and latitude (RFC 7946) and, as `place`, the same
    in the grid that `coordRefSys` names, in the grid's own unit.

    Parameters
    ----------
    points
        The survey, with a coordinate system. Surfaces are left out.
    stream
        Where to, in UTF-8.

    Raises
    ------
    WriteError
        Where the survey has no coordinate system, so that nothing says where on the earth it is.
    """
    if points.crs is None:
        raise WriteError(
            f"{points.name}: GeoJSON needs latitude and longitude, and the survey has no "
            "coordinate system; give it with --crs"
        )
    info = reference.resolve(points.crs)
    metres = Unit(info.unit).metres
    stream.write('{"type": "FeatureCollection",\n')
    stream.write(f' "coordRefSys": {json.dumps(info.code)},\n "features": [')
    rows = np.column_stack((points.northing, points.easting, points.elevation))
    first = True
    for name, description, geometry, place in zip(
        points.names, points.descriptions, *_both(rows, info.code, metres), strict=True
    ):
        feature = _feature("Point", geometry, place, name, description)
        stream.write(("\n  " if first else ",\n  ") + feature)
        first = False
    for line in points.lines:
        geometries, places = _both(line.vertices, info.code, metres)
        feature = _feature("LineString", geometries, places, line.name, "")
        stream.write(("\n  " if first else ",\n  ") + feature)
        first = False
    stream.write("\n ]}\n")


def _feature(kind: str, geometry: Any, place: Any, name: str, description: str) -> str:
    document: dict[str, Any] = {
        "type": "Feature",
        "geometry": {"type": kind, "coordinates": geometry},
        "place": {"type": kind, "coordinates": place},
        "properties": {"name": name, "description": description},
    }
    return json.dumps(document, ensure_ascii=False)


def _both(rows: Array, code: str, metres: float) -> tuple[list[list[float]], list[list[float]]]:
    # Positions in degrees and on the grid; the elevation is third where there is one: in metres
    # by RFC 7946, in `place` in the grid's unit.
    if len(rows) == 0:
        return [], []
    latitude, longitude = reference.to_geographic(rows[:, 0], rows[:, 1], code)
    geometry, place = [], []
    for (north, east, up), lat, lon in zip(
        rows.tolist(), latitude.tolist(), longitude.tolist(), strict=True
    ):
        on_earth = [round(lon, _DEGREE_DECIMALS), round(lat, _DEGREE_DECIMALS)]
        on_grid = [round(east / metres, _DECIMALS), round(north / metres, _DECIMALS)]
        if not math.isnan(up):
            on_earth.append(round(up, _DECIMALS))
            on_grid.append(round(up / metres, _DECIMALS))
        geometry.append(on_earth)
        place.append(on_grid)
    return geometry, place
