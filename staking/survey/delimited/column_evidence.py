"""Evidence in the numbers themselves: which column is a name, a northing, an angle."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.survey.delimited.first_lines import Sample

NO_ORDER = ""
"""The reason given where nothing tells northing from easting."""

FEWEST_DECIMALS = 4
"""Degrees with fewer decimals than this would not tell one corner of a house from another (common
practice, no source)."""

WIDEST_SITE = 0.5
"""A site in degrees is not wider than this, degrees (common practice, no source)."""


@frozen(kw_only=False)
class Decided:
    """Which two columns are northing and easting (or latitude and longitude), and why."""

    pair: tuple[int, int]
    reason: str
    is_degrees: bool = False


def number_columns(sample: Sample) -> list[int]:
    """Return the indices of the columns of numbers."""
    return [at for at in range(sample.width) if sample.numbers(at) is not None]


def name_column(sample: Sample, numeric: Sequence[int]) -> int | None:
    """Return the column of names: the first, if it is text or whole numbers that do not repeat."""
    if 0 not in numeric:
        return 0
    texts = sample.texts(0)
    if len(numeric) < 3 or any(not text.isdigit() for text in texts):
        return None
    others = [text for at in numeric[1:3] for text in sample.texts(at)]
    has_decimals = any("." in text or "," in text for text in others)
    return 0 if has_decimals or len(numeric) >= 4 or len(numeric) < sample.width else None


def decimals(text: str) -> int:
    """Return how many digits stand after the decimal point or comma."""
    return len(text.replace(",", ".").partition(".")[2])


def has_degrees(sample: Sample, north: int, east: int) -> bool:
    """Tell whether two columns can only sensibly be degrees.

    Both stay within what angles reach, have the decimals that angles need, and span no more
    than a site does. A grid of small numbers in metres spans more, or has fewer decimals.

    Parameters
    ----------
    sample
        What the first lines show.
    north, east
        The two columns, in either order.

    Returns
    -------
    bool
        True for degrees.
    """
    first, second = sample.numbers(north), sample.numbers(east)
    if first is None or second is None:
        return False
    if not _are_angles(first, second) and not _are_angles(second, first):
        return False
    if max(max(first) - min(first), max(second) - min(second)) > WIDEST_SITE:
        return False
    if max(map(abs, (*first, *second))) < 1.0:
        return False
    for at in (north, east):
        places = sorted(decimals(text) for text in sample.texts(at))
        if places[len(places) // 4] < FEWEST_DECIMALS:
            return False
    return True


def _are_angles(latitudes: Sequence[float], longitudes: Sequence[float]) -> bool:
    return max(map(abs, latitudes)) <= 90.0 and -180.0 <= min(longitudes) <= max(longitudes) <= 360


def grid_pair(sample: Sample, places: Sequence[int], crs: str | None, unit: str | None) -> Decided:
    """Decide which columns are the coordinates and in which order they stand.

    Parameters
    ----------
    sample
        What the first lines show.
    places
        The columns of numbers but the names.
    crs, unit
        Where known.

    Returns
    -------
    Decided
        The pair as (northing, easting); its reason is `NO_ORDER` where nothing tells.
    """
    first, second = places[0], places[1]
    if len(places) > 2 and are_zones(sample, first):
        first, second = places[1], places[2]
    if unit is None and has_degrees(sample, first, second):
        return _degrees_pair(sample, first, second, crs)
    pairs = [(one, two) for one, two in pairwise(places) if two == one + 1]
    if crs is not None:
        for one, two in pairs:
            inside = [
                pair for pair in ((one, two), (two, one)) if lies_in_area(sample, pair, crs, unit)
            ]
            if len(inside) == 1:
                return Decided(inside[0], f"only so do the points lie in the area of {crs}")
            if inside:
                break
    return Decided((first, second), NO_ORDER)


def level_and_code(
    sample: Sample, pair: tuple[int, int], numeric: Sequence[int], name: str
) -> tuple[int | None, int | None]:
    """Return the columns of elevations and of codes in numbers, behind the coordinates.

    Parameters
    ----------
    sample
        What the first lines show.
    pair
        The columns of northing and easting.
    numeric
        The columns of numbers.
    name
        The file, for messages.

    Returns
    -------
    tuple
        Either may be None.

    Raises
    ------
    InputError
        Where several columns could be the elevation.
    """
    behind = [at for at in numeric if at > max(pair)]
    if not behind:
        return None, None
    if len(behind) == 1 and not are_zones(sample, behind[0]):
        return behind[0], None
    if len(behind) == 2 and _has_decimals(sample, behind[0]) and not _has_decimals(
        sample, behind[1]
    ):  # fmt: skip
        return behind[0], behind[1]
    # The first line may break off short of them, and then another one shows them.
    row = next((row for row in sample.rows if len(row) > max(behind)), ("?",) * sample.width)
    shown = " or ".join(f"column {at + 1} ({row[at]})" for at in behind[:4])
    raise InputError(
        Problem(
            path=name,
            line=sample.first_line,
            message=f"nothing says which column is the elevation: {shown}"
            + (" or another" if len(behind) > 4 else "" if len(behind) > 1 else ", or none"),
            remedy="name the columns in order with --columns, and - for one to pass over",
        )
    )


def _has_decimals(sample: Sample, at: int) -> bool:
    return any(decimals(text) for text in sample.texts(at))


def are_zones(sample: Sample, at: int) -> bool:
    """Tell whether a column looks like numbers of UTM zones: whole, from 1 to 60."""
    values = sample.numbers(at) or []
    return all(1 <= value <= 60 for value in values) and not _has_decimals(sample, at) and any(
        _has_decimals(sample, other) for other in number_columns(sample)
    )  # fmt: skip


def _degrees_pair(sample: Sample, first: int, second: int, crs: str | None) -> Decided:
    for lat, lon in ((first, second), (second, first)):
        if max(map(abs, sample.numbers(lon) or [0.0])) > 90.0:
            return Decided(
                (lat, lon),
                "as lengths all points would lie within half a unit of one another, so they are "
                "degrees, and only a longitude is above 90",
                True,
            )
    if crs is not None:
        inside = [
            pair
            for pair in ((first, second), (second, first))
            if _degrees_in_area(sample, pair, crs)
        ]
        if len(inside) == 1:
            return Decided(
                inside[0],
                "as lengths all points would lie within half a unit of one another, so they are "
                f"degrees, and only so do they lie in the area of {crs}",
                True,
            )
    return Decided((first, second), NO_ORDER, True)


def lies_in_area(sample: Sample, pair: tuple[int, int], crs: str, unit: str | None) -> bool:
    """Tell whether the middle point, read as northing and easting, lies in the grid's area."""
    from staking.crs import in_area, resolve
    from staking.units import Unit

    metres = Unit(unit or resolve(crs).unit).metres
    north, east = sample.numbers(pair[0]), sample.numbers(pair[1])
    if north is None or east is None:
        return False
    try:
        return bool(in_area(median(north) * metres, median(east) * metres, crs))
    except InputError:
        return False


def _degrees_in_area(sample: Sample, pair: tuple[int, int], crs: str) -> bool:
    from staking.crs import resolve

    area = resolve(crs).area_of_use
    lat, lon = median(sample.numbers(pair[0]) or [0.0]), median(sample.numbers(pair[1]) or [0.0])
    if area is None or abs(lat) > 90:
        return False
    west, south, east, north = area
    across = (lon - west) % 360.0 <= (east - west) % 360.0
    return south <= lat <= north and across


def both_ways(sample: Sample, first: int | None, pair: tuple[int, int], name: str) -> Problem:
    """Return the fault of a file whose order nothing tells, with one point read both ways."""
    # The first line may break off short of the coordinates, and then another one shows them.
    needed = max(*pair, first or 0)
    index = next((i for i, row in enumerate(sample.rows) if len(row) > needed), None)
    row = sample.rows[index] if index is not None else ("?",) * (needed + 1)
    one, two = row[pair[0]], row[pair[1]]
    called = f"point {row[first]}" if first is not None else "the first point"
    is_degrees = has_degrees(sample, *pair)
    north, east = ("latitude", "longitude") if is_degrees else ("northing", "easting")
    behind = next((at for at in number_columns(sample) if at > max(pair)), None)
    typed = []
    for role, other in ((north, east), (east, north)):
        meant = {pair[0]: role, pair[1]: other, behind: "elevation", first: "point"}
        last = max(needed, behind or 0)
        typed.append(",".join(meant.get(at, "-") for at in range(last + 1)))
    return Problem(
        path=name,
        line=sample.first_line if index == 0 else None,
        message=f"nothing says which column is the {north}: {called} is {north} {one}, {east} {two}"
        f" or {north} {two}, {east} {one}",
        remedy=f"give --columns {typed[0]} or {typed[1]} (columns: under site:), or --crs with the "
        "grid's code",
    )
