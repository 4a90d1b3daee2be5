"""A level book: backsights and foresights, from which elevations follow and no places."""

from __future__ import annotations

from dataclasses import dataclass
from typing import BinaryIO, NoReturn

from staking.errors import InputError, Problem
from staking.points import SurveySettings
from staking.survey.book_table import BookRow, BookTable, book_unit, read_book, read_length
from staking.units import Unit

_WORDS = {
    "point": ("point", "station", "sta", "name", "pt", "mark", "pointname", "pointno"),
    "backsight": ("backsight", "bs", "back"),
    "intermediate": ("intermediate", "intermediatesight", "is", "sideshot", "ifs", "side"),
    "foresight": ("foresight", "fs", "fore"),
    "elevation": ("elevation", "elev", "rl", "reducedlevel", "known", "level"),
    "description": ("description", "desc", "remarks", "remark", "note", "notes"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelReading:
    """One point of a level book.

    Parameters
    ----------
    point, description
        As the book has them.
    elevation
        Reduced from the benchmark above it, m.
    line
        Its line in the file, from 1.
    misclosure
        Reduced minus known elevation, m, where the book gives a known one; else None.
    """

    point: str
    elevation: float
    description: str
    line: int
    misclosure: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelBook:
    """A reduced level book: its points in order, and the unit it was kept in."""

    name: str
    readings: tuple[LevelReading, ...]
    unit: str


def read_level_book(stream: BinaryIO, name: str, settings: SurveySettings) -> LevelBook:
    """Reduce a level book by height of instrument.

    Height of instrument = elevation + backsight; elevation = height of instrument - foresight
    (or intermediate sight). Nothing is adjusted: a known elevation met on the way gives the
    misclosure there and leaves what follows as it was carried.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        `unit` counts, over the heading's.

    Returns
    -------
    LevelBook
        Elevations in m.

    Raises
    ------
    InputError
        Where the first point has no elevation, or a line has no reading it can be had from.
    """
    table = read_book(stream, name, _WORDS, ("point", "backsight", "foresight"))
    unit = book_unit(table, settings.unit)
    readings: list[LevelReading] = []
    instrument: float | None = None
    for row in table.rows:
        reading, instrument = _reduce(table, row, unit, instrument)
        readings.append(reading)
    return LevelBook(name=name, readings=tuple(readings), unit=unit.value)


def parse_level_book(stream: BinaryIO, name: str, settings: SurveySettings) -> NoReturn:
    """Refuse a level book where points with a place are wanted.

    Raises
    ------
    InputError
        Always: for a fault of the book, else because it gives elevations only.
    """
    book = read_level_book(stream, name, settings)
    count = len(book.readings)
    raise InputError(
        Problem(
            path=name,
            message=(
                f"this level book gives the elevation of {count} point{'s' * (count != 1)} "
                "and the place of none"
            ),
            remedy="name it under grade, where elevations are wanted",
        )
    )


def _reduce(
    table: BookTable, row: BookRow, unit: Unit, instrument: float | None
) -> tuple[LevelReading, float | None]:
    point = row.get("point")
    if not point:
        _refuse(table, row, "the line names no point")
    back, side, fore, known = (
        read_length(table, row, role, unit)
        for role in ("backsight", "intermediate", "foresight", "elevation")
    )
    if side is not None and fore is not None:
        _refuse(table, row, f"{point} has both an intermediate sight and a foresight")
    seen = side if fore is None else fore
    if seen is not None:
        if instrument is None:
            _refuse(table, row, f"{point} is read before any backsight")
        elevation = instrument - seen
    elif known is None:
        _refuse(table, row, f"{point} has neither a reading nor an elevation")
    else:
        elevation = known
    misclosure = elevation - known if seen is not None and known is not None else None
    reading = LevelReading(
        point=point,
        elevation=elevation,
        description=row.get("description"),
        line=row.line,
        misclosure=misclosure,
    )
    return reading, instrument if back is None else elevation + back


def _refuse(table: BookTable, row: BookRow, message: str) -> NoReturn:
    raise InputError(Problem(path=table.name, line=row.line, message=message))
