"""A level book: backsights and foresights, from which elevations follow and no places."""

from __future__ import annotations

from typing import BinaryIO, NoReturn

from staking.errors import InputError, Problem
from staking.grade.terrain.levelled_book import LevelBook, LevelLine
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


def read_level_book(
    stream: BinaryIO, name: str, settings: SurveySettings, fallback: Unit | None = None
) -> LevelBook:
    """Read a level book whose every point can be reduced.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    settings
        `unit` counts, over the heading's.
    fallback
        The unit where neither says; None refuses the book.

    Returns
    -------
    LevelBook
        Readings in m, not reduced.

    Raises
    ------
    InputError
        Where the first point has no elevation, or a line has no reading it can be had from.
    """
    table = read_book(stream, name, _WORDS, ("point", "backsight", "foresight"))
    named = settings.unit is not None or table.unit is not None
    unit = fallback if fallback is not None and not named else book_unit(table, settings.unit)
    lines: list[LevelLine] = []
    for row in table.rows:
        lines.append(_line(table, row, unit, has_backsight=any(e.back is not None for e in lines)))
    return LevelBook(name=name, lines=tuple(lines), unit=unit.value, unit_named=named)


def parse_level_book(stream: BinaryIO, name: str, settings: SurveySettings) -> NoReturn:
    """Refuse a level book where points with a place are wanted.

    Raises
    ------
    InputError
        Always: for a fault of the book, else because it gives elevations only.
    """
    book = read_level_book(stream, name, settings)
    count = len(book.lines)
    raise InputError(
        Problem(
            path=name,
            message=(
                f"this level book gives the elevation of {count} point{'s' * (count != 1)} "
                "and the place of none"
            ),
            remedy="its points named as the corners are, give it to a job, under grade, as "
            f"ground: {{level_book: {name}}}",
        )
    )


def _line(table: BookTable, row: BookRow, unit: Unit, *, has_backsight: bool) -> LevelLine:
    point = row.get("point")
    if not point:
        _refuse(table, row, "the line names no point")
    back, side, fore, known = (
        read_length(table, row, role, unit)
        for role in ("backsight", "intermediate", "foresight", "elevation")
    )
    if side is not None and fore is not None:
        _refuse(table, row, f"{point} has both an intermediate sight and a foresight")
    if side is None and fore is None:
        if known is None:
            _refuse(table, row, f"{point} has neither a reading nor an elevation")
    elif not has_backsight:
        _refuse(table, row, f"{point} is read before any backsight")
    return LevelLine(
        point=point,
        back=back,
        side=side,
        fore=fore,
        known=known,
        description=row.get("description"),
        line=row.line,
    )


def _refuse(table: BookTable, row: BookRow, message: str) -> NoReturn:
    raise InputError(Problem(path=table.name, line=row.line, message=message))
