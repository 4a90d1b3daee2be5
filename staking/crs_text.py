"""Coordinate systems that are written out in words (well-known text), as laser clouds have them.

References
----------
ISO 19162:2019, Geographic information - Well-known text representation of coordinate reference
systems, and its forerunner OGC 01-009, in which most clouds are written.
"""

from __future__ import annotations

import functools
import json
import re
import warnings
from typing import TYPE_CHECKING

from staking.crs_register import UNITS, look_up
from staking.errors import InputError
from staking.frozen import frozen

if TYPE_CHECKING:
    from pyproj import CRS

MOST_TEXT = 100_000
"""A text of a system has a few thousand letters; a longer one is none."""

SAME_SYSTEM = 0.01
"""A text is the system whose code it bears if both put a place within this, m."""

_HEIGHTS = re.compile(
    r'VERT(?:_?CS|CRS)\s*\[.*?(?:LENGTH)?UNIT\s*\[\s*"([^"]{1,60})"\s*,\s*([0-9.eE+-]{1,40})',
    re.IGNORECASE | re.DOTALL,
)
"""The unit of the heights: its name and how many metres it has."""

_NAMES = (
    (
        re.compile(r"(?:us|u\.s\.)[ _]*survey[ _]*(?:foot|feet)|ftus|foot[ _]us|us-ft", re.I),
        "us-ft",
    ),
    (re.compile(r"foot|feet|\bft\b", re.I), "ft"),
    (re.compile(r"met(?:re|er)", re.I), "m"),
)


@frozen
class WrittenSystem:
    """A coordinate system as a text tells it.

    Parameters
    ----------
    name
        What it calls itself.
    code
        ``EPSG:2154`` where the text bears a code and is what the register has under it, else None.
    is_geographic
        Whether it is latitude and longitude.
    unit
        Of northing and easting by its name in the job file, or None where it is none of these.
    heights_unit
        Of the heights, or None where the text says nothing of heights.
    heights_doubt
        Where the name of the heights' unit and its length contradict each other: both in words.
    """

    name: str
    code: str | None
    is_geographic: bool
    unit: str | None
    heights_unit: str | None
    heights_doubt: str | None = None


def unit_named(text: str) -> str | None:
    """Give a unit by its name in the job file from its name in a record.

    Parameters
    ----------
    text
        What a record calls it.

    Returns
    -------
    str or None
        None where it is none of the three that coordinates are in.

    Examples
    --------
    >>> unit_named("US survey foot"), unit_named("metre"), unit_named("fathom")
    ('us-ft', 'm', None)
    """
    return next((unit for word, unit in _NAMES if word.search(text)), None)


def unit_of_length(metres: float) -> str | None:
    """Give the unit that has so many metres, by its name in the job file, or None."""
    # The two feet differ by 2 in a million, what records round away by 1 in a thousand million.
    return next((name for name, each in UNITS.items() if abs(metres - each) < 1e-8), None)


@functools.lru_cache(maxsize=16)
def read_system(text: str) -> WrittenSystem | None:
    """Read a coordinate system from its text.

    Parameters
    ----------
    text
        Well-known text of either version.

    Returns
    -------
    WrittenSystem or None
        None where it is not text of a system in the plane or of latitude and longitude.
    """
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    if len(text) > MOST_TEXT or not text.strip():
        return None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            whole = CRS.from_wkt(text)
            parts = whole.sub_crs_list if whole.is_compound else [whole]
            plane, *others = [
                each.source_crs if each.is_bound and each.source_crs is not None else each
                for each in parts
            ]
            if not (plane.is_projected or plane.is_geographic):
                return None
            code = _code(plane)
            axis = plane.axis_info[0] if plane.axis_info else None
    except (CRSError, ValueError, KeyError):
        return None
    heights, doubt = _heights(others, text)
    return WrittenSystem(
        name=str(plane.name)[:100],
        code=code,
        is_geographic=bool(plane.is_geographic),
        unit=None
        if plane.is_geographic or axis is None
        else unit_of_length(float(axis.unit_conversion_factor)),
        heights_unit=heights,
        heights_doubt=doubt,
    )


def heights_unit_of(code: int) -> str | None:
    """Give the unit of an elevation datum by its code in the register, or None."""
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    try:
        found = CRS.from_epsg(code)
    except CRSError:
        return None
    if not found.is_vertical or not found.axis_info:
        return None
    return unit_of_length(float(found.axis_info[0].unit_conversion_factor))


def _code(plane: CRS) -> str | None:
    """Give the code that a system bears, if the register's system of that code is the same."""
    found = plane.to_epsg()
    if found is None:
        stated = json.loads(plane.to_json()).get("id") or {}
        if stated.get("authority") != "EPSG":
            return None
        found = stated.get("code")
    code = f"EPSG:{found}"
    try:
        registered, info = look_up(code)
    except InputError:
        return None
    if info.is_geographic or plane.is_geographic or plane == registered:
        return code
    return code if _agree(plane, registered, info.area_of_use) else None


def _agree(plane: CRS, registered: CRS, area: tuple[float, float, float, float] | None) -> bool:
    """Tell whether two systems put the corners of an area in the same places."""
    import math

    from pyproj import Proj
    from pyproj.exceptions import ProjError

    west, south, east, north = area or (0.0, 0.0, 0.0, 0.0)
    try:
        one, other = Proj(plane), Proj(registered)
        unit = float(plane.axis_info[0].unit_conversion_factor)
        same = float(registered.axis_info[0].unit_conversion_factor)
        if abs(unit - same) > 1e-8:
            return False
        return all(
            math.dist(one(*place, errcheck=True), other(*place, errcheck=True)) * unit
            <= SAME_SYSTEM
            for place in ((west, south), (east, north), ((west + east) / 2, (south + north) / 2))
        )
    except ProjError:
        return False


def _heights(others: list[CRS], text: str) -> tuple[str | None, str | None]:
    """Give the unit of the heights, and where its name and its length contradict each other."""
    for each in others:
        if each.axis_info:
            return unit_of_length(float(each.axis_info[0].unit_conversion_factor)), None
    found = _HEIGHTS.search(text)
    if found is None:
        return None, None
    named = unit_named(found[1])
    try:
        by_length = unit_of_length(float(found[2]))
    except ValueError:
        by_length = None
    if named is None or named == by_length:
        return by_length, None
    return named, f"{found[1]} of {found[2]} m"
