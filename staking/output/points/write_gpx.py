"""Surveyed points as GPX 1.1, to find the lot with a phone; not to lay anything out by."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

import numpy as np

from staking import crs as reference
from staking.errors import WriteError
from staking.output.points.xml_text import content

if TYPE_CHECKING:
    from staking.points import Array, SurveyPoints

_DEGREE_DECIMALS = 9
"""A billionth of a degree is a tenth of a millimetre."""


def write_gpx(points: SurveyPoints, stream: TextIO, mark: str | None = None) -> None:
    """Write points as waypoints and lines as tracks.

    Parameters
    ----------
    points
        The survey, with a coordinate system.
    stream
        Where to, in UTF-8.
    mark
        The layout's mark and its day, in the file's metadata under the job's name; None for points
        that are not a layout's.

    Raises
    ------
    WriteError
        Where the survey has no coordinate system, so that nothing says where on the earth it is.

    References
    ----------
    GPX 1.1 schema documentation, topografix.com/GPX/1/1: WGS 84 degrees, elevation in metres.
    """
    if points.crs is None:
        raise WriteError(
            f"{points.name}: GPX needs latitude and longitude, and the survey has no coordinate "
            "system; give it with --crs"
        )
    rows = np.column_stack((points.northing, points.easting, points.elevation))
    places = _places(rows, points.crs)
    write = stream.write
    write('<?xml version="1.0" encoding="UTF-8"?>\n')
    write('<gpx version="1.1" creator="staking" xmlns="http://www.topografix.com/GPX/1/1">\n')
    if mark is not None:
        named = f"<name>{content(points.name)}</name>"
        write(f"  <metadata>{named}<desc>layout {content(mark)}</desc></metadata>\n")
    for place, name, described in zip(places, points.names, points.descriptions, strict=True):
        desc = f"<desc>{content(described)}</desc>" if described else ""
        write(f"  <wpt {place}<name>{content(name)}</name>{desc}</wpt>\n")
    for line in points.lines:
        write(f"  <trk><name>{content(line.name)}</name><trkseg>\n")
        for place in _places(line.vertices, points.crs):
            write(f"    <trkpt {place}</trkpt>\n")
        write("  </trkseg></trk>\n")
    write("</gpx>\n")


def _places(rows: Array, crs: str) -> list[str]:
    """Return the rest of a point's tag, and its elevation where it is known."""
    if not len(rows):
        return []
    lats, lons = reference.to_geographic(rows[:, 0], rows[:, 1], crs)
    places = []
    for lat, lon, level in zip(lats.tolist(), lons.tolist(), rows[:, 2].tolist(), strict=True):
        ele = "" if np.isnan(level) else f"<ele>{level + 0.0:.4f}</ele>"
        places.append(f'lat="{lat:.{_DEGREE_DECIMALS}f}" lon="{lon:.{_DEGREE_DECIMALS}f}">{ele}')
    return places
