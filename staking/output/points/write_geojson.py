"""Points as GeoJSON, with the grid coordinates beside longitude and latitude.

What is written is GeoJSON for every reader, and an OGC Features and Geometries document for those
that know it, which take the points where they are: on their own grid, with its system.
"""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING, Any, TextIO

import numpy as np

from staking import crs as reference
from staking.errors import WriteError
from staking.units import Unit

if TYPE_CHECKING:
    from staking.crs_register import CrsInfo
    from staking.points import Array, SurveyPoints

_DEGREE_DECIMALS = 9
"""A billionth of a degree is a tenth of a millimetre."""
_DECIMALS = 5
"""Decimals of grid coordinates in metres or feet, and of elevations."""
_CONFORMS = "http://www.opengis.net/spec/json-fg-1/1.0/conf/core"


def write_geojson(points: SurveyPoints, stream: TextIO, mark: str | None = None) -> None:
    """Write points and lines as features.

    Each has its `geometry` in WGS 84 longitude and latitude and, as `place`, the same in the grid
    that `coordRefSys` names, in the grid's own unit and its numbers in the order in which the
    register lists the grid's axes.

    Parameters
    ----------
    points
        The survey, with a coordinate system. Surfaces are left out.
    stream
        Where to, in UTF-8.
    mark
        The layout's mark and its day, a property ``layout`` of every point; None for points that
        are not a layout's.

    Raises
    ------
    WriteError
        Where the survey has no coordinate system, so that nothing says where on the earth it is.

    Notes
    -----
    An elevation is the third number of `place`, and of points the property ``elevation``, in the
    grid's unit. The third number of a `geometry` would be a height over the WGS 84 ellipsoid
    (RFC 7946, section 3.1.1), tens of metres off any survey's zero, and is not written.

    References
    ----------
    RFC 7946, The GeoJSON Format, 2016. OGC 21-045r1, Features and Geometries JSON - Part 1: Core,
    1.0, 2025: requirements ``metadata``, ``geometry-wgs84``, ``place``, ``axis-order``; a reference
    system is named by its URI or as ``[EPSG:n]``, and not as ``EPSG:n``.
    """
    if points.crs is None:
        raise WriteError(
            f"{points.name}: GeoJSON needs latitude and longitude, and the survey has no "
            "coordinate system; give it with --crs"
        )
    info = reference.resolve(points.crs)
    stream.write('{"type": "FeatureCollection",\n')
    stream.write(f' "conformsTo": [{json.dumps(_CONFORMS)}],\n')
    stream.write(f' "coordRefSys": {json.dumps(info.uri)},\n "features": [')
    rows = np.column_stack((points.northing, points.easting, points.elevation))
    before = "\n  "
    for name, description, (on_earth, on_grid) in zip(
        points.names, points.descriptions, _positions(rows, info), strict=True
    ):
        properties = {"name": name, "description": description}
        properties["elevation"] = on_grid[2] if len(on_grid) > 2 else None
        if mark is not None:
            properties["layout"] = mark
        stream.write(before + _feature("Point", on_earth, on_grid, properties))
        before = ",\n  "
    for line in points.lines:
        places = _positions(line.vertices, info)
        properties = {"name": line.name, "description": ""}
        on_earth_all, on_grid_all = ([each[at] for each in places] for at in (0, 1))
        stream.write(before + _feature("LineString", on_earth_all, on_grid_all, properties))
        before = ",\n  "
    stream.write("\n ]}\n")


def _feature(kind: str, geometry: Any, place: Any, properties: dict[str, Any]) -> str:
    document: dict[str, Any] = {
        "type": "Feature",
        "geometry": {"type": kind, "coordinates": geometry},
        "place": {"type": kind, "coordinates": place},
        "time": None,
        "properties": properties,
    }
    return json.dumps(document, ensure_ascii=False)


def _positions(rows: Array, info: CrsInfo) -> list[tuple[list[float], list[float]]]:
    """Return the positions in degrees and on the grid of northing, easting and elevation, m."""
    if len(rows) == 0:
        return []
    metres = Unit(info.unit).metres
    latitude, longitude = reference.to_geographic(rows[:, 0], rows[:, 1], info.code)
    found = []
    for (north, east, up), lat, lon in zip(
        rows.tolist(), latitude.tolist(), longitude.tolist(), strict=True
    ):
        on_earth = [round(lon, _DEGREE_DECIMALS), round(lat, _DEGREE_DECIMALS)]
        place = (north, east) if info.north_first else (east, north)
        on_grid = [round(each / metres, _DECIMALS) for each in place]
        if not math.isnan(up):
            on_grid.append(round(up / metres, _DECIMALS))
        found.append((on_earth, on_grid))
    return found
