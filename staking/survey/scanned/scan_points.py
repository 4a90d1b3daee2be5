"""From what was read of a cloud or a height grid to `SurveyPoints`, in metres."""

from __future__ import annotations

import numpy as np

from staking.errors import InputError, Problem
from staking.ground_scan import GroundScan, Window
from staking.notices import Notice
from staking.points import Array, SurveyPoints
from staking.survey.scanned.scan_system import ScanSystem

MARGIN = 60.0
"""The ground is kept this far round the building, m: boards, hubs and the fall of the ground for
10 feet lie well within it (common practice, no source)."""

LEAST_MARGIN = 15.0
"""Where points are too many for that, at least this far, m (common practice, no source)."""

FARTHEST = 1e8
"""No coordinate on the earth reaches this, m."""


def in_file_unit(window: Window, system: ScanSystem) -> tuple[Window, tuple[float, float]]:
    """Give a window and its margins in the unit that a file's coordinates are in.

    Parameters
    ----------
    window
        Northing and easting, m.
    system
        In what the file is read.

    Returns
    -------
    tuple
        The window, and how far round it ground is kept: at most and at least.
    """
    metres = system.unit.metres
    return Window(
        south=window.south / metres,
        north=window.north / metres,
        west=window.west / metres,
        east=window.east / metres,
    ), (MARGIN / metres, LEAST_MARGIN / metres)


def in_metres(ends: Array, system: ScanSystem) -> tuple[tuple[float, float], ...]:
    """Give the extent of a file.

    Parameters
    ----------
    ends
        Least and greatest x, y and z, ``(2, 3)``, in the file's units.
    system
        In what it is read.

    Returns
    -------
    tuple
        Least and greatest northing, easting and elevation, m.
    """
    flat, high = system.unit.metres, system.heights_unit.metres
    (west, south, low), (east, north, top) = ends.tolist()
    return (
        (south * flat, north * flat),
        (west * flat, east * flat),
        (low * high, top * high),
    )


def scan_points(
    path: str,
    format: str,  # noqa: A002 - the field's own name
    places: Array,
    scan: GroundScan,
    system: ScanSystem,
    notices: tuple[Notice, ...],
) -> SurveyPoints:
    """Make the result of a reader of scanned ground.

    Parameters
    ----------
    path, format
        The file as the user named it; its format in words.
    places
        x, y and z of the points kept, ``(n, 3)``, in the file's units.
    scan
        What the file holds as a whole.
    system
        In what it is read.
    notices
        What is to be said of it beside that.

    Returns
    -------
    SurveyPoints
        Points without names, m.

    Raises
    ------
    InputError
        Where coordinates lie farther off than any place on the earth.
    """
    count = len(places)
    east, north = (places[:, axis] * system.unit.metres for axis in (0, 1))
    level = places[:, 2] * system.heights_unit.metres
    ends = [abs(each) for pair in scan.extent or () for each in pair]
    if not all(each < FARTHEST for each in ends):
        raise InputError(
            Problem(
                path=path,
                message="points lie farther off than any place on the earth",
                remedy="look for a wrong unit, or get the file anew",
            )
        )
    nameless = np.full(count, "", dtype=object)
    lines = np.zeros(count, dtype=np.int64)
    for array in (north, east, level, nameless, lines):
        array.setflags(write=False)
    return SurveyPoints(
        name=path,
        format=format,
        names=nameless,
        northing=north,
        easting=east,
        elevation=level,
        descriptions=nameless,
        source_line=lines,
        unit=system.unit.value,
        crs=system.crs,
        notices=(*system.notices, *notices),
        scan=scan,
    )
