"""Field books typed as tables: finding the heading, and the rows under it by their meaning."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from typing import BinaryIO, NoReturn

from staking.errors import InputError, MeasureError, Problem
from staking.frozen import frozen
from staking.measure.lengths import Unit, parse_length
from staking.survey.delimited.heading import unit_named

MOST_BYTES = 64 * 2**20
"""A book kept by hand is never larger than this."""

_SEPARATORS = (",", ";", "\t", "|")


@frozen
class BookRow:
    """One line of a book: its number and its cells by meaning; an empty cell is left out."""

    line: int
    cells: Mapping[str, str]

    def get(self, role: str) -> str:
        """Return what stands under a meaning, empty where nothing does."""
        return self.cells.get(role, "")


@frozen
class BookTable:
    """A book's rows, the meanings its heading has, and the unit the heading names, or None."""

    name: str
    rows: tuple[BookRow, ...]
    roles: frozenset[str]
    unit: str | None


def read_book(
    stream: BinaryIO,
    name: str,
    words: Mapping[str, Sequence[str]],
    required: Sequence[str],
) -> BookTable:
    """Read a table whose heading names what each column is.

    Parameters
    ----------
    stream
        The bytes.
    name
        The file as the user named it.
    words
        The heading words of each meaning: small letters only, no blanks or dashes.
    required
        The meanings a heading must have.

    Returns
    -------
    BookTable
        The rows that are neither empty nor comments.

    Raises
    ------
    InputError
        Where no line is such a heading, two columns mean the same, or a row is malformed.
    """
    lines = _text(stream, name).splitlines()
    meaning = {word: role for role, spellings in words.items() for word in spellings}
    for at, line in enumerate(lines[:30]):
        body = line.lstrip("\ufeff#/ ")
        separator = max(_SEPARATORS, key=body.count)
        cells = [_heading(cell, meaning) for cell in body.split(separator)]
        roles = [role for role, _ in cells if role]
        if set(required) <= set(roles):
            _refuse_twice(name, at + 1, roles)
            units = {unit for _, unit in cells if unit}
            if len(units) > 1:
                _refuse(name, at + 1, f"the heading names two units, {' and '.join(sorted(units))}")
            rows = _rows(name, lines, at + 1, separator, [role for role, _ in cells])
            return BookTable(
                name=name, rows=rows, roles=frozenset(roles), unit=units.pop() if units else None
            )
    raise InputError(
        Problem(
            path=name,
            message="no line is a heading with the columns " + ", ".join(required),
            remedy="write them above the readings",
        )
    )


def book_unit(table: BookTable, asked: str | None) -> Unit:
    """Return the unit of a book's bare numbers: what the user says, else what the heading says.

    Returns
    -------
    Unit
        The unit.

    Raises
    ------
    InputError
        Where neither says.
    """
    named = asked or table.unit
    if named is None:
        raise InputError(
            Problem(
                path=table.name,
                message="the book does not say its unit",
                remedy="give --unit, or write it in the heading, as in backsight (ft)",
            )
        )
    return Unit(named)


def read_length(table: BookTable, row: BookRow, role: str, unit: Unit) -> float | None:
    """Return a row's length under a meaning, m, or None where the cell is empty.

    Returns
    -------
    float or None
        The length, m.

    Raises
    ------
    InputError
        Where the cell holds no length.
    """
    text = row.get(role)
    if not text:
        return None
    try:
        return parse_length(text, unit)
    except MeasureError as fault:
        raise InputError(
            Problem(
                path=table.name,
                line=row.line,
                field=role,
                message=fault.message,
                remedy=fault.remedy,
            )
        ) from fault


def _text(stream: BinaryIO, name: str) -> str:
    data = stream.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        _refuse(name, None, "the file is larger than any field book")
    coding = "utf-16" if data[:2] in {b"\xff\xfe", b"\xfe\xff"} else "utf-8-sig"
    try:
        text = data.decode(coding)
    except UnicodeDecodeError as fault:
        try:
            text = data.decode("cp1252")
        except UnicodeDecodeError:
            raise InputError(Problem(path=name, message="this is not text")) from fault
    if "\0" in text:
        _refuse(name, text[: text.index("\0")].count("\n") + 1, "the line holds a NUL byte")
    return text


def _heading(cell: str, meaning: Mapping[str, str]) -> tuple[str | None, str | None]:
    # The meaning of one heading cell and the unit it carries: `backsight (ft)`, `bs_us_ft`.
    text = cell.strip().strip("\"'").lower()
    bracket = re.search(r"[(\[](.*?)[)\]]", text)
    unit = unit_named(bracket.group(1)) if bracket else None
    words = re.findall(r"[a-z]+", re.sub(r"[(\[].*?[)\]]", " ", text))
    if "".join(words) in meaning:
        return meaning["".join(words)], unit
    for size in (2, 1):
        tail = unit_named("".join(words[-size:])) if len(words) > size else None
        if tail and "".join(words[:-size]) in meaning:
            return meaning["".join(words[:-size])], tail
    return None, None


def _rows(
    name: str, lines: Sequence[str], first: int, separator: str, roles: Sequence[str | None]
) -> tuple[BookRow, ...]:
    rows = []
    for at, line in enumerate(lines[first:], start=first + 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        try:
            fields = next(csv.reader(io.StringIO(line), delimiter=separator))
        except csv.Error:
            _refuse(name, at, "the line cannot be cut into columns")
        if len(fields) > len(roles) and any(field.strip() for field in fields[len(roles) :]):
            _refuse(name, at, f"{len(fields)} columns under a heading of {len(roles)}")
        cells = {
            role: field.strip()
            for role, field in zip(roles, fields, strict=False)
            if role and field.strip()
        }
        if cells:
            rows.append(BookRow(line=at, cells=cells))
    if not rows:
        _refuse(name, None, "there is nothing under the heading")
    return tuple(rows)


def _refuse_twice(name: str, line: int, roles: Sequence[str]) -> None:
    for role in roles:
        if roles.count(role) > 1:
            _refuse(name, line, f"two columns are headed {role}")


def _refuse(name: str, line: int | None, message: str) -> NoReturn:
    raise InputError(Problem(path=name, line=line, message=message))
