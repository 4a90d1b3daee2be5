"""The register of coordinate systems: what an EPSG code stands for, and whether points fit it."""

from __future__ import annotations

import functools
import re
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.units import FOOT, US_SURVEY_FOOT

if TYPE_CHECKING:
    from pyproj import CRS

WGS84 = "EPSG:4326"
"""What GPX, KML and GeoJSON are in."""

UNITS = {"m": 1.0, "ft": FOOT, "us-ft": US_SURVEY_FOOT}
"""Metres per unit of a grid, by the unit's name in the job file."""

MAP_TILES = frozenset({
    "EPSG:3857",
    "EPSG:3785",
    "EPSG:6871",
    "EPSG:900913",
    "EPSG:102100",
    "EPSG:102113",
})
"""Codes of the grid that web maps are cut into.

3857, 3785 (withdrawn) and 6871 (with elevations) stand in the EPSG register; the others are
numbers in use for the same grid (from memory).
"""

_REGISTER = r"(?:urn:ogc:def:crs:|https?://www\.opengis\.net/def/crs/)?"
"""What stands before a code in the two forms of name that the OGC gives a system, URN and URI."""
_CODE = re.compile(
    rf"^(?:{_REGISTER}EPSG[:/](?:[\d.]*[:/])?)?(\d{{4,6}})$|^\[EPSG:(\d{{4,6}})\]$", re.IGNORECASE
)
_CRS84 = re.compile(rf"^{_REGISTER}OGC[:/](?:[\d.]*[:/])?CRS84h?$|^\[OGC:CRS84h?\]$", re.IGNORECASE)


@frozen
class CrsInfo:
    """A coordinate system in words.

    Parameters
    ----------
    code
        ``EPSG:5646``.
    name
        The register's name for it.
    unit
        ``m``, ``ft`` or ``us-ft``: the system's own unit. For latitude and longitude ``m``.
    is_geographic
        Whether it is latitude and longitude, which nothing can be laid out in.
    area_of_use
        West, south, east and north, degrees, or None; west is greater than east where it
        crosses the 180th meridian.
    area_name
        The area in the register's words, or an empty text.
    vertical
        The elevation datum where the code has one, else None.
    north_first
        Whether the register lists its northing (or latitude) before its easting.
    """

    code: str
    name: str
    unit: str
    is_geographic: bool
    area_of_use: tuple[float, float, float, float] | None
    area_name: str = ""
    vertical: str | None = None
    north_first: bool = False

    @property
    def uri(self) -> str:
        """The system's name on the web, as the OGC's standards want it."""
        return f"http://www.opengis.net/def/crs/EPSG/0/{self.code.rpartition(':')[2]}"

    @property
    def lines(self) -> tuple[str, ...]:
        """What to show of it, a line each."""
        unit = {"m": "metres", "ft": "feet", "us-ft": "US survey feet"}[self.unit]
        said = [f"{self.code}: {self.name}"]
        said.append("latitude and longitude, degrees" if self.is_geographic else f"in {unit}")
        if self.area_name:
            said.append(f"for {self.area_name}")
        if self.vertical:
            said.append(f"elevations: {self.vertical}")
        return tuple(said)


def _problem(message: str, remedy: str = "") -> Problem:
    return Problem(message=message, remedy=remedy)


def normal_code(code: str) -> str:
    """Write a code as ``EPSG:5646``; raises InputError where it is none."""
    text = code.strip()
    if _CRS84.match(text):
        return WGS84
    found = _CODE.match(text)
    if not found:
        raise InputError(
            _problem(
                f"{text[:60]!r} names no coordinate system",
                "give its EPSG code, such as EPSG:26985",
            )
        )
    return f"EPSG:{found[1] or found[2]}"


def is_map_tiles(code: str) -> bool:
    """Say whether a code is that of the grid of web map tiles, on which no length is a length.

    Parameters
    ----------
    code
        ``EPSG:3857`` or the like, in any spelling that `normal_code` takes.

    Returns
    -------
    bool
        True for the codes of `MAP_TILES`.
    """
    return normal_code(code) in MAP_TILES


@functools.lru_cache(maxsize=64)
def look_up(code: str) -> tuple[CRS, CrsInfo]:
    """Find the system in the plane and what is known of it; InputError where it is no use."""
    from pyproj import CRS
    from pyproj.exceptions import CRSError

    try:
        whole = CRS.from_user_input(code)
    except CRSError:
        raise InputError(
            _problem(
                f"{code} is not in the register of coordinate systems", "look the code up again"
            )
        ) from None
    plane, vertical = whole, None
    if whole.is_compound:
        plane, vertical = whole.sub_crs_list[0], whole.sub_crs_list[1].name
    if plane.is_bound and plane.source_crs is not None:
        plane = plane.source_crs
    if not (plane.is_projected or plane.is_geographic):
        raise InputError(
            _problem(
                f"{code} ({whole.name}) is neither a plane grid nor latitude and longitude",
                "give the code of the plane grid",
            )
        )
    if plane.is_geographic and plane.axis_info[0].unit_name != "degree":
        raise InputError(
            _problem(
                f"{code} ({whole.name}) is in {plane.axis_info[0].unit_name}s, not degrees",
                "give the code of latitude and longitude in degrees",
            )
        )
    area = whole.area_of_use
    info = CrsInfo(
        code=code,
        name=whole.name,
        unit="m" if plane.is_geographic else _grid_unit(plane, code),
        is_geographic=bool(plane.is_geographic),
        area_of_use=(area.west, area.south, area.east, area.north) if area else None,
        area_name=(area.name or "").rstrip(".") if area else "",
        vertical=vertical,
        north_first=plane.axis_info[0].direction == "north",
    )
    return plane, info


def _grid_unit(plane: CRS, code: str) -> str:
    if {axis.direction for axis in plane.axis_info[:2]} != {"north", "east"}:
        raise InputError(
            _problem(
                f"the axes of {code} ({plane.name}) do not run north and east",
                "give the code of a grid whose axes do",
            )
        )
    factor = plane.axis_info[0].unit_conversion_factor
    for name, metres in UNITS.items():
        # The two feet differ by 2 in a million, the register's rounding by 1 in 10^14.
        if abs(factor - metres) < 1e-9:
            return name
    raise InputError(
        _problem(
            f"{code} ({plane.name}) is in {plane.axis_info[0].unit_name}, which no file here is in",
            "give the code of the grid in metres or feet",
        )
    )


def resolve(code: str) -> CrsInfo:
    """Look a coordinate system up.

    Parameters
    ----------
    code
        ``EPSG:5646``, ``5646``, ``[EPSG:5646]``, ``urn:ogc:def:crs:EPSG::5646`` or
        ``http://www.opengis.net/def/crs/EPSG/0/5646``, in any case.

    Returns
    -------
    CrsInfo
        Its name, unit and area.

    Raises
    ------
    InputError
        When the code is unknown, or stands for something no points can be in: not a plane grid
        nor latitude and longitude, axes other than north and east, a unit that is neither metres
        nor one of the two feet.

    Examples
    --------
    >>> resolve("epsg:2248").unit
    'us-ft'
    """
    return look_up(normal_code(code))[1]
