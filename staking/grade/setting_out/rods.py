"""The level and the rod: a book reduced and closed, and what to read for each elevation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from staking.errors import ComputationError
from staking.tolerances import ON_LINE


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """One line of a level book, readings in m or any one unit; None where nothing was read."""

    point: str
    back: float | None = None
    side: float | None = None
    fore: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reduced:
    """A point of a reduced level book.

    `setup` counts the set-ups of the instrument up to the reading, from 1 (0 for the start).
    """

    point: str
    elevation: float
    adjusted: float
    instrument: float | None
    setup: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """A reduced level book; `misclosure` is carried less known, None where nothing is known."""

    points: tuple[Reduced, ...]
    backsights: float
    foresights: float
    misclosure: float | None


def reduce_book(start: float, sights: Sequence[Sight], known: float | None = None) -> Book:
    """Reduce a level book by height of instrument and share the misclosure by set-ups.

    Parameters
    ----------
    start
        Elevation of the first point.
    sights
        The lines of the book; the first has a backsight.
    known
        Elevation of the last point, where it is known.

    Returns
    -------
    Book
        Elevations as carried and adjusted: each takes the share ``set-ups so far / all`` of the
        misclosure off.

    Raises
    ------
    ComputationError
        Where a point is read before any backsight, or has no reading.

    References
    ----------
    The shares by set-up: C. D. Ghilani and P. R. Wolf, Elementary Surveying, chapter 5.
    """
    carried: list[tuple[str, float, float | None, int]] = []
    instrument: float | None = None
    setups, back_total, fore_total = 0, 0.0, 0.0
    for number, sight in enumerate(sights):
        seen = sight.side if sight.fore is None else sight.fore
        if number == 0:
            elevation = start
        elif seen is None:
            raise ComputationError(f"{sight.point} has no reading; give its foresight")
        elif instrument is None:
            raise ComputationError(f"{sight.point} is read before any backsight")
        else:
            elevation = instrument - seen
        read_at = setups
        if sight.fore is not None:
            fore_total += sight.fore
        if sight.back is not None:
            instrument = elevation + sight.back
            back_total += sight.back
            setups += 1
        carried.append((
            sight.point,
            elevation,
            instrument if sight.back is not None else None,
            read_at,
        ))
    misclosure = None if known is None or not carried else carried[-1][1] - known
    share = (misclosure or 0.0) / max(setups, 1)
    return Book(
        points=tuple(
            Reduced(
                point=point,
                elevation=elevation,
                adjusted=elevation - share * read_at,
                instrument=height,
                setup=read_at,
            )
            for point, elevation, height, read_at in carried
        ),
        backsights=back_total,
        foresights=fore_total,
        misclosure=misclosure,
    )


def adjust_by_distance(levels: Sequence[tuple[float, float]], known: float) -> tuple[float, ...]:
    """Share a circuit's misclosure in proportion to the distance run.

    Parameters
    ----------
    levels
        Distance from the start and elevation of each point, the last one the closing point.
    known
        Elevation of the closing point.

    Returns
    -------
    tuple of float
        Adjusted elevations.

    Raises
    ------
    ComputationError
        Where the circuit has no length.
    """
    if not levels or levels[-1][0] <= 0:
        raise ComputationError("the level circuit has no length; give the distances run")
    total, closing = levels[-1]
    return tuple(elevation + (known - closing) * distance / total for distance, elevation in levels)


def instrument_height(benchmark: float, backsight: float) -> float:
    """Give the elevation of the line of sight: the benchmark plus the reading on it.

    Returns
    -------
    float
        In the unit given.
    """
    return benchmark + backsight


def add_to_benchmark(benchmark: float | None, elevation: float) -> float | None:
    """Tell what to add to the rod reading on the benchmark to set an elevation.

    Parameters
    ----------
    benchmark, elevation
        Of the benchmark and of what is to be set, m.

    Returns
    -------
    float or None
        Positive below the benchmark; true for any set-up. None without a benchmark.
    """
    return None if benchmark is None else benchmark - elevation


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A rod reading, m; `turning_point` tells why it cannot be taken, or is empty."""

    value: float
    turning_point: str = ""


def rod_reading(instrument: float, elevation: float, rod_length: float) -> Reading:
    """Give the rod reading that sets an elevation.

    Parameters
    ----------
    instrument
        Elevation of the line of sight, m.
    elevation
        What is to be set, m.
    rod_length
        The rod's length, m.

    Returns
    -------
    Reading
        The reading; a negative one, or one longer than the rod, asks for a turning point.
    """
    value = instrument - elevation
    if value < -ON_LINE:
        why = "it stands above the line of sight: take a turning point and set up higher"
        return Reading(value=value, turning_point=why)
    if value > rod_length + ON_LINE:
        why = "it is longer than the rod: take a turning point and set up lower"
        return Reading(value=value, turning_point=why)
    return Reading(value=value)


def down_from_string(string: float, elevation: float) -> float:
    """Give how far below the string an elevation is, m.

    Returns
    -------
    float
        Positive below the string.
    """
    return string - elevation


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFill:
    """How far to cut or to fill; one of them is 0."""

    cut: float
    fill: float


def cut_or_fill(ground: float, grade: float) -> CutFill:
    """Tell how far the ground is above or below grade.

    Parameters
    ----------
    ground, grade
        Elevations in one unit; rod readings may be given as negative elevations.

    Returns
    -------
    CutFill
        Both at least 0.
    """
    return CutFill(cut=max(ground - grade, 0.0), fill=max(grade - ground, 0.0))


def target_reading(on_hub: float, marked: CutFill) -> float:
    """Give the reading at grade, from that on a hub marked with its cut or fill.

    Returns
    -------
    float
        In the unit of the readings.
    """
    return on_hub + marked.cut - marked.fill
