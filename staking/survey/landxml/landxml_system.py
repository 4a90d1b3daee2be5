"""Whether a LandXML file's numbers fit the coordinate system it names."""

from __future__ import annotations

import numpy as np

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.notices import Length, Notice, notice
from staking.points import Array

_FEET = {"ft", "us-ft"}


def system_notices(name: str, code: str, unit: str, rows: Array) -> list[Notice]:
    """Compare points and unit with the coordinate system.

    Parameters
    ----------
    name
        The file as the user named it.
    code
        ``EPSG:…``.
    unit
        The file's unit by its name in the job file.
    rows
        ``(n, 3)`` northing, easting, elevation, m.

    Returns
    -------
    list of Notice
        A warning for each thing that does not fit.

    Raises
    ------
    InputError
        Where the system is latitude and longitude, which are not northing and easting.
    """
    system = reference.resolve(code)
    if system.is_geographic:
        raise InputError(
            Problem(
                path=name,
                message=f"the file's coordinate system {code} is latitude and longitude, and "
                "LandXML coordinates are read as northing and easting",
                remedy="export it in a grid, or give the grid with --crs",
            )
        )
    said = []
    if {unit, system.unit} == _FEET:
        north = float(np.abs(rows[:, :2]).max()) if len(rows) else 0.0
        said.append(
            notice(
                "foot-mismatch",
                "the points are read in {unit} and {crs} is in {other}: at these coordinates the "
                "two feet differ by {apart}",
                unit=unit,
                crs=code,
                other=system.unit,
                # The survey foot is longer by two parts in a million (85 FR 62698).
                apart=Length(north * 2e-6),
            )
        )
    if len(rows) and not reference.in_area(rows[:, 0], rows[:, 1], code):
        said.append(
            notice(
                "outside-area",
                "points lie outside the area that {crs} ({name}) is for: the unit, the order of "
                "northing and easting or the coordinate system is wrong",
                crs=code,
                name=system.name,
            )
        )
    return said
