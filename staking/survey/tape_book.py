"""A tape book: from, to, distance; measurements to check a layout with, and no places."""

from __future__ import annotations

from dataclasses import dataclass
from typing import BinaryIO, NoReturn

from staking.errors import InputError, Problem
from staking.points import SurveySettings
from staking.survey.book_table import book_unit, read_book, read_length

_WORDS = {
    "from": ("from",),
    "to": ("to",),
    "distance": ("distance", "dist", "measured", "length"),
    "description": ("description", "desc", "remarks", "remark", "note", "notes"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TapeReading:
    """One taped distance: between which two points, m, and its line in the file."""

    start: str
    end: str
    distance: float
    description: str
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TapeBook:
    """The taped distances in order, and the unit the book was kept in."""

    name: str
    readings: tuple[TapeReading, ...]
    unit: str


def read_tape_book(stream: BinaryIO, name: str, settings: SurveySettings) -> TapeBook:
    """Read a tape book.

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
    TapeBook
        Distances in m, each above zero; a pair taped twice stands twice.

    Raises
    ------
    InputError
        Every line that is not two different points and a distance above zero.
    """
    table = read_book(stream, name, _WORDS, ("from", "to", "distance"))
    unit = book_unit(table, settings.unit)
    problems: list[Problem] = []
    readings = []
    for row in table.rows:
        start, end = row.get("from"), row.get("to")
        try:
            distance = read_length(table, row, "distance", unit)
        except InputError as fault:
            problems.extend(fault.problems)
            continue
        message = ""
        if not start or not end:
            message = "the line does not name two points"
        elif start == end:
            message = f"the tape runs from {start} to itself"
        elif distance is None:
            message = f"{start} to {end} has no distance"
        elif distance <= 0.0:
            message = f"{start} to {end} has no length above zero"
        if message or distance is None:
            problems.append(Problem(path=name, line=row.line, message=message))
            continue
        readings.append(
            TapeReading(
                start=start,
                end=end,
                distance=distance,
                description=row.get("description"),
                line=row.line,
            )
        )
    if problems:
        raise InputError(*problems)
    return TapeBook(name=name, readings=tuple(readings), unit=unit.value)


def parse_tape_book(stream: BinaryIO, name: str, settings: SurveySettings) -> NoReturn:
    """Refuse a tape book where points with a place are wanted.

    Raises
    ------
    InputError
        Always: for a fault of the book, else because it gives distances only.
    """
    count = len(read_tape_book(stream, name, settings).readings)
    raise InputError(
        Problem(
            path=name,
            message=f"this tape book gives {count} distance{'s' * (count != 1)} and no places",
            remedy="give it to `staking check` beside the job instead",
        )
    )
