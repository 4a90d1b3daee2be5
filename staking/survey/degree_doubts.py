"""Whether latitudes and longitudes can be the places meant: signs, area, decimals."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Length, Notice, Severity, notice
from staking.points import Array
from staking.survey.name_list import listed
from staking.units import FOOT

METRES_PER_DEGREE = 111_320.0
"""One degree of the equator, m."""

NO_LAYOUT = 0.5
"""In steps of this, m, or coarser, positions lay nothing out (common practice, no source)."""

COARSE = 0.05
"""Positions in steps of this, m, or coarser, are warned of (common practice, no source)."""

SHOWN = 0.005
"""Positions in steps of this, m, or coarser, are remarked on (common practice, no source)."""

WIDEST_SITE = 0.5
"""A site in degrees is not wider than this, degrees (common practice, no source)."""

_EXCHANGE = "exchange the two, or name the columns as they stand with --columns"
_MOST_DECIMALS = 8
_SAMPLED = 5000
_SAME = 5e-10


@frozen
class Degrees:
    """Positions as a file gives them.

    Parameters
    ----------
    path
        The file as the user named it.
    latitude, longitude
        ``(n,)``, degrees.
    lines
        ``(n,)`` lines of the file; 0 where the format has none.
    step
        The last written place, degrees; None where only the numbers are known.
    says_side
        Whether the file itself says on which side of Greenwich the points lie.
    west_remedy
        What to do where longitudes count west as positive.
    """

    path: str
    latitude: Array
    longitude: Array
    lines: npt.NDArray[np.int64]
    step: float | None = None
    says_side: bool = False
    west_remedy: str = "write longitudes west of Greenwich with a minus sign"


def degree_doubts(given: Degrees, crs: str | None, *, is_listing: bool) -> list[Notice]:
    """Look for signs left out, longitudes counted west, and too few decimals.

    Parameters
    ----------
    given
        The positions.
    crs
        The grid that the user names, or None.
    is_listing
        Whether the survey is only looked at: too few decimals are then said and not refused.

    Returns
    -------
    list of Notice
        What is said.

    Raises
    ------
    InputError
        Where a sign is left out, the points lie in the grid's area only with another sign, or they
        are too coarse to lay anything out.
    """
    _refuse_mixed_signs(given, given.longitude, "longitude", ("west", "east"))
    _refuse_mixed_signs(given, given.latitude, "latitude", ("south", "north"))
    if crs is not None:
        _refuse_other_side(given, crs)
        said = []
    else:
        said = _side_notices(given)
    return said + _step_notices(given, is_listing=is_listing)


def _refuse_mixed_signs(given: Degrees, values: Array, what: str, sides: tuple[str, str]) -> None:
    """Refuse numbers that are alike but for their sign."""
    negative = values < 0.0
    if negative.all() or not negative.any() or float(np.abs(values).min()) < WIDEST_SITE:
        return
    size = np.abs(values)
    # Across the 180th meridian the signs differ and nothing is wrong.
    if float(np.ptp(size)) > WIDEST_SITE or float(size.max()) > 180.0 - WIDEST_SITE:
        return
    are_few = negative if negative.sum() <= len(values) / 2 else ~negative
    at = np.flatnonzero(are_few)
    side, other = sides if values[at[0]] < 0 else sides[::-1]
    where = listed([str(line) for line in given.lines[at] if line])
    raise InputError(
        Problem(
            path=given.path,
            line=int(given.lines[at[0]]) or None,
            message=f"{len(at)} of {len(values)} {what}s "
            f"{'lies' if len(at) == 1 else 'lie'} {side} and the others {other}, "
            "at nearly the same number: a sign is wrong"
            + (f" on lines {where}" if len(at) > 1 and where else ""),
            remedy="correct it",
        )
    )


def _refuse_other_side(given: Degrees, crs: str) -> None:
    """Refuse points that lie in the grid's area only when a sign is changed."""
    info = reference.resolve(crs)
    if info.area_of_use is None or info.is_geographic:
        return
    lat, lon = _middle(given)
    if _inside(info.area_of_use, lat, lon):
        return
    south = "the file counts south as positive"
    west = f"the file counts {'west' if lon > 0 else 'east'} as positive"
    write_south = "write latitudes south of the equator with a minus sign"
    ways = (
        (lat, -lon, west, given.west_remedy if lon > 0 else "give longitudes the other sign"),
        (-lat, lon, south, write_south),
        (-lat, -lon, f"{south} and {west}", f"{write_south}; {given.west_remedy}"),
        (lon, lat, "latitude and longitude are exchanged", _EXCHANGE),
    )
    other = [way for way in ways if abs(way[0]) <= 90 and _inside(info.area_of_use, *way[:2])]
    if len(other) != 1:
        return
    north, east, why, remedy = other[0]
    raise InputError(
        Problem(
            path=given.path,
            line=int(given.lines[0]) or None,
            message=f"the points lie at {place_words(lat, lon)}, outside the area of {info.code} "
            f"({info.name}), and at {place_words(north, east)} they would lie in it: {why}",
            remedy=remedy,
        )
    )


def _side_notices(given: Degrees) -> list[Notice]:
    """Ask about longitudes east of Greenwich that would lie in America if they were west."""
    lat, lon = _middle(given)
    if given.says_side or not (15.0 <= lat <= 75.0 and 50.0 <= lon <= 170.0):
        return []
    return [
        notice(
            "longitude-east",
            "the points lie at {here}; were their longitudes counted west as positive, they would "
            "lie at {there}: then {remedy}",
            here=place_words(lat, lon),
            there=place_words(lat, -lon),
            remedy=given.west_remedy,
        )
    ]


def _step_notices(given: Degrees, *, is_listing: bool) -> list[Notice]:
    """Say how coarse positions are by their decimals, or refuse them."""
    degrees = given.step if given.step is not None else value_step(given)
    if degrees is None:
        return []
    step = degrees * METRES_PER_DEGREE
    if step < SHOWN:
        return []
    if step >= NO_LAYOUT and not is_listing:
        raise InputError(
            Problem(
                path=given.path,
                message="latitude and longitude are written in steps of "
                f"{_rounded(step)} m ({_rounded(step / FOOT)} ft): no building can be laid out by "
                "them",
                remedy="export them with 8 decimals of a degree, or as northing and easting",
            )
        )
    text = "latitude and longitude are written in steps of {step}: no point is known better"
    if step >= NO_LAYOUT:
        text = "latitude and longitude are written in steps of {step}: useless to lay out by"
    return [
        notice(
            "coarse-degrees",
            text,
            severity=Severity.WARNING if step >= COARSE else Severity.NOTE,
            step=Length(step),
        )
    ]


def value_step(given: Degrees) -> float | None:
    """Find the decimals of positions of which only the numbers are known.

    Parameters
    ----------
    given
        The positions.

    Returns
    -------
    float or None
        The step, degrees; None where there are too few points to tell, or decimals enough.
    """
    every = max(1, len(given.latitude) // _SAMPLED)
    values = np.concatenate((given.latitude[::every], given.longitude[::every]))
    if len(values) < 6:
        return None
    for decimals in range(_MOST_DECIMALS):
        if float(np.abs(values - np.round(values, decimals)).max()) < _SAME:
            return 10.0**-decimals
    return None


def place_words(lat: float, lon: float) -> str:
    """Write a place, degrees, with its sides: ``42.0001 N 93.9123 W``.

    Returns
    -------
    str
        To four decimals.
    """
    return f"{abs(lat):.4f} {'N' if lat >= 0 else 'S'} {abs(lon):.4f} {'E' if lon >= 0 else 'W'}"


def _rounded(value: float) -> str:
    return f"{float(f'{value:.2g}'):,.10g}"


def _middle(given: Degrees) -> tuple[float, float]:
    every = max(1, len(given.latitude) // _SAMPLED)
    lon = np.asarray(given.longitude[::every])
    return float(np.median(given.latitude[::every])), float(
        np.median((lon + 180.0) % 360.0 - 180.0)
    )


def _inside(area: Sequence[float], lat: float, lon: float) -> bool:
    west, south, east, north = area
    margin = reference.AREA_MARGIN_DEG
    span = (east - west) % 360.0 or 360.0
    across = (lon - west + margin) % 360.0
    return south - margin <= lat <= north + margin and across <= span + 2.0 * margin
