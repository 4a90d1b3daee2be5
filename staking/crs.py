"""Coordinate systems by their EPSG code: projecting, converting, grid against ground.

Northing comes before easting and both are in metres whatever the system's own unit is; latitude
and longitude are in degrees, north and east positive. Nothing in the
package but this module and the register beside it uses pyproj.
"""

from __future__ import annotations

import functools
import math
import warnings
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

from staking.crs_register import UNITS, WGS84, CrsInfo, look_up, normal_code, resolve
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Length, Notice, notice
from staking.site.plane.grid_factor import GridFigures, sea_level_factor

if TYPE_CHECKING:
    from pyproj import CRS, Transformer

Array = npt.NDArray[np.float64]

__all__ = [
    "WGS84",
    "CrsInfo",
    "DatumShift",
    "GridFigures",
    "datum_notices",
    "datum_shift",
    "grid_figures",
    "in_area",
    "project_geographic",
    "resolve",
    "to_crs",
    "to_geographic",
    "utm_for",
]

AREA_MARGIN_DEG = 0.1
"""How far outside its area of use a system still counts as meant: lots lie on county borders
(common practice, no source)."""

DATUM_SHIFT = 1.0
"""A change of datum known no better than this, m, is told (common practice, no source)."""


def _problem(message: str, remedy: str = "") -> Problem:
    return Problem(message=message, remedy=remedy)


def _grid(code: str) -> tuple[str, CRS, float]:
    # Code, system and metres per unit of a grid; latitude and longitude are refused.
    code = normal_code(code)
    plane, info = look_up(code)
    if info.is_geographic:
        raise InputError(
            _problem(
                f"{code} ({info.name}) is latitude and longitude, not a plane grid",
                "give the code of a grid, such as the state plane or UTM zone of the lot",
            )
        )
    return code, plane, UNITS[info.unit]


def _geographic(code: str, datum: str | None) -> str:
    # The code of the latitudes and longitudes that go with a grid.
    if datum is not None:
        datum = normal_code(datum)
        _, info = look_up(datum)
        if not info.is_geographic:
            raise InputError(_problem(f"{datum} ({info.name}) is not latitude and longitude"))
        return datum
    return f"own:{code}"


@functools.lru_cache(maxsize=64)
def _transformer(source: str, target: str) -> Transformer:
    from pyproj import Transformer

    return Transformer.from_crs(_plane(source), _plane(target), always_xy=True)


def _plane(code: str) -> CRS:
    if not code.startswith("own:"):
        return look_up(code)[0]
    geodetic = look_up(code.removeprefix("own:"))[0].geodetic_crs
    if geodetic is None:
        raise InputError(
            _problem(f"{code.removeprefix('own:')} rests on no latitude and longitude")
        )
    return geodetic


def _transform(source: str, target: str, first: Array, second: Array) -> tuple[Array, Array]:
    from pyproj.exceptions import ProjError

    try:
        x, y = _transformer(source, target).transform(first, second, errcheck=True)
    except ProjError as fault:
        raise InputError(
            _problem(
                f"a point cannot be converted from {source.removeprefix('own:')} to "
                f"{target.removeprefix('own:')}: it lies outside what the projection reaches",
                "check the coordinate system, the unit and the order of the columns",
            )
        ) from fault
    return np.asarray(x, dtype=float), np.asarray(y, dtype=float)


def project_geographic(
    lat: Array, lon: Array, crs: str, *, datum: str | None = WGS84
) -> tuple[Array, Array]:
    """Project latitudes and longitudes onto a grid.

    Parameters
    ----------
    lat, lon
        Degrees, shape ``(n,)``; south and west negative.
    crs
        The grid's code.
    datum
        The code of the latitudes' own system; None for the one the grid rests on.

    Returns
    -------
    northing, easting
        Shape ``(n,)``, m.

    Raises
    ------
    InputError
        When a code cannot be used or a point lies outside what the projection reaches.
    """
    code, _, metres = _grid(crs)
    degrees = np.asarray(lat, dtype=float)
    if np.any(np.abs(degrees) > 90):
        raise InputError(
            _problem("a latitude is over 90 degrees", "check the order of the columns")
        )
    easting, northing = _transform(
        _geographic(code, datum), code, np.asarray(lon, dtype=float), degrees
    )
    return northing * metres, easting * metres


def to_geographic(
    northing: Array, easting: Array, crs: str, *, datum: str | None = WGS84
) -> tuple[Array, Array]:
    """Give latitude and longitude of grid points, the inverse of `project_geographic`.

    Parameters
    ----------
    northing, easting
        Shape ``(n,)``, m.
    crs
        The grid's code.
    datum
        The code of the system wanted; None for the one the grid rests on.

    Returns
    -------
    lat, lon
        Degrees, shape ``(n,)``.

    Raises
    ------
    InputError
        When a code cannot be used or a point lies outside what the projection reaches.
    """
    code, _, metres = _grid(crs)
    lon, lat = _transform(
        code,
        _geographic(code, datum),
        np.asarray(easting, dtype=float) / metres,
        np.asarray(northing, dtype=float) / metres,
    )
    return lat, lon


def to_crs(northing: Array, easting: Array, source: str, target: str) -> tuple[Array, Array]:
    """Convert points from one grid to another.

    Parameters
    ----------
    northing, easting
        Shape ``(n,)``, m.
    source, target
        The grids' codes.

    Returns
    -------
    northing, easting
        Shape ``(n,)``, m.

    Raises
    ------
    InputError
        When a code cannot be used or a point lies outside what a projection reaches.

    Notes
    -----
    Elevations are not touched: a change of the elevation datum is not a matter of two coordinates.
    """
    start, _, metres = _grid(source)
    end, _, metres_after = _grid(target)
    x, y = _transform(
        start,
        end,
        np.asarray(easting, dtype=float) / metres,
        np.asarray(northing, dtype=float) / metres,
    )
    return y * metres_after, x * metres_after


@frozen
class DatumShift:
    """How points get from one datum to another.

    Parameters
    ----------
    operation
        Its name in the register, several with a plus between them.
    accuracy
        How well it is known, m; None where the register does not say.
    """

    operation: str
    accuracy: float | None


def datum_shift(
    northing: float, easting: float, source: str, target: str | None = None
) -> DatumShift | None:
    """Name the shift of datum by which a point is converted.

    Parameters
    ----------
    northing, easting
        m, on `source`.
    source, target
        The grids' codes; None for WGS 84 latitude and longitude.

    Returns
    -------
    DatumShift or None
        None where both rest on one datum.

    Raises
    ------
    InputError
        When a code cannot be used or the point lies outside what a projection reaches.
    """
    start, _, metres = _grid(source)
    end = WGS84 if target is None else _grid(target)[0]
    _transform(start, end, np.array([easting / metres]), np.array([northing / metres]))
    used = _transformer(start, end).get_last_used_operation()
    # A projection is not a shift; a shift goes from one datum to another.
    steps = [step for step in str(used.description).split(" + ") if " to " in step]
    if not steps:
        return None
    accuracy = float(used.accuracy)
    return DatumShift(operation=" + ".join(steps), accuracy=accuracy if accuracy >= 0 else None)


def datum_notices(crs: str, datum: str = WGS84) -> tuple[Notice, ...]:
    """Say how well a grid's datum is tied to another.

    Parameters
    ----------
    crs, datum
        Codes of the grid and of what it is converted from or to.

    Returns
    -------
    tuple of Notice
        Empty where the tie is known to `DATUM_SHIFT` or better.

    Raises
    ------
    InputError
        When a code cannot be used.
    """
    from pyproj.transformer import TransformerGroup

    start, end = normal_code(crs), normal_code(datum)
    with warnings.catch_warnings():
        # A finer shift that is not installed; the accuracy given below is that of the one used.
        warnings.simplefilter("ignore", UserWarning)
        pairs = TransformerGroup(look_up(start)[0], look_up(end)[0], always_xy=True).transformers
    accuracy = pairs[0].accuracy if pairs else -1.0
    if 0 <= accuracy <= DATUM_SHIFT:
        return ()
    said = "the shift between {crs} and {datum} is known to no better than {accuracy}"
    if accuracy < 0:
        said = "how well {crs} and {datum} are tied to each other is not known"
        return (notice("datum-shift", said, crs=start, datum=end),)
    return (notice("datum-shift", said, crs=start, datum=end, accuracy=Length(accuracy)),)


def grid_figures(northing: float, easting: float, elevation: float | None, crs: str) -> GridFigures:
    """Give scale, sea-level and combined factor and convergence at a point.

    Parameters
    ----------
    northing, easting
        m.
    elevation
        m, or None where it is not known, for sea level.
    crs
        The grid's code.

    Returns
    -------
    GridFigures
        The four figures.

    Raises
    ------
    InputError
        When the code cannot be used or the point lies outside what the projection reaches.

    Notes
    -----
    On a grid that keeps angles the scale is the same in every direction. On one that does not,
    the root of the areas' scale is given.
    """
    code, plane, metres = _grid(crs)
    from pyproj import Proj
    from pyproj.exceptions import ProjError

    projection = Proj(plane)
    try:
        lon, lat = projection(easting / metres, northing / metres, inverse=True, errcheck=True)
        factors = projection.get_factors(lon, lat, errcheck=True)
    except ProjError as fault:
        raise InputError(
            _problem(f"a point lies outside what the projection of {code} reaches")
        ) from fault
    scale = math.sqrt(float(factors.areal_scale))
    factor = 1.0 if elevation is None else sea_level_factor(elevation)
    return GridFigures(
        scale=scale,
        sea_level_factor=factor,
        combined=scale * factor,
        convergence=math.radians(float(factors.meridian_convergence)),
        elevation=elevation,
    )


def utm_for(lat: float, lon: float) -> str:
    """Name the UTM zone (on WGS 84) of a place.

    Parameters
    ----------
    lat, lon
        Degrees; south and west negative.

    Returns
    -------
    str
        ``EPSG:32601`` to ``EPSG:32760``.

    Raises
    ------
    InputError
        When the place lies beyond 84 north or 80 south, where UTM ends, or is not a place.

    Notes
    -----
    The regular zones of six degrees; the wider ones off Norway and Svalbard are not made.

    Examples
    --------
    >>> utm_for(40.0, -80.0)
    'EPSG:32617'
    """
    if not (-80 <= lat <= 84 and -360 <= lon <= 360):
        raise InputError(_problem(f"there is no UTM zone at latitude {lat:g}, longitude {lon:g}"))
    zone = int((lon + 180) % 360 // 6) + 1
    return f"EPSG:{32600 + zone if lat >= 0 else 32700 + zone}"


def in_area(northing: float | Array, easting: float | Array, crs: str) -> bool:
    """Tell whether points lie where their grid is meant to be used.

    Parameters
    ----------
    northing, easting
        m; one point or shape ``(n,)``.
    crs
        The grid's code.

    Returns
    -------
    bool
        Whether all lie within `AREA_MARGIN_DEG` of the area of use. True where the register
        gives no area, for nothing then speaks against it.

    Raises
    ------
    InputError
        When the code cannot be used.
    """
    code, _, _ = _grid(crs)
    area = look_up(code)[1].area_of_use
    if area is None:
        return True
    try:
        lat, lon = to_geographic(np.atleast_1d(northing), np.atleast_1d(easting), code)
    except InputError:
        return False
    if not (np.isfinite(lat).all() and np.isfinite(lon).all()):
        return False
    west, south, east, north = area
    span = (east - west) % 360 or 360.0
    past_west = (lon - west + AREA_MARGIN_DEG) % 360
    inside = (
        (lat >= south - AREA_MARGIN_DEG)
        & (lat <= north + AREA_MARGIN_DEG)
        & (past_west <= span + 2 * AREA_MARGIN_DEG)
    )
    return bool(np.all(inside))
