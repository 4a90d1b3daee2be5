"""Lines of a delimited file to columns of numbers and names, a block of lines at a time.

A block whose lines are all alike is taken column by column; any other line by line, so that each
fault is found with its line.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from staking.errors import InputError, MeasureError, Problem
from staking.frozen import frozen
from staking.points import Array, Texts
from staking.survey.delimited.byte_blocks import LONGEST_LINE, Block, refuse_long_line
from staking.survey.delimited.cut_lines import Columns, blank_columns, plain_columns, quoted_columns
from staking.survey.delimited.degrees import packed_angle, read_angle, unpacked
from staking.survey.delimited.dialect import (
    COMMENT_MARKS,
    EMPTY,
    Dialect,
    has_thousands,
    is_comment,
)
from staking.survey.delimited.heading import PASSED
from staking.survey.delimited.plain_fields import Places, plain_fields, rising
from staking.survey.delimited.text_columns import TextColumn, joined, scaled
from staking.survey.elevations import MARKS

_MAY_BE_COMMENTS = (*COMMENT_MARKS, ";", "REM", "Rem", "rem")

_IN_THOUSANDS = re.compile(r"(?<![0-9.])[0-9]{1,3},[0-9]{3}\.[0-9]")

FAULTS_SHOWN = 20
"""How many faulty lines are shown with their text before they are only counted."""

LINES_IN_QUOTES = 50
"""A quoted field that runs over more lines than this was never closed."""

MOST_POINTS = 10_000_000
"""More points than any survey of a lot has; reading stops there."""

NO_LEVEL = 1e6
"""An elevation this far off, in any unit, is a mark for none: -9.99E+27 and the like."""

NEAREST_MARK = 9999.0
"""No mark for no elevation is nearer to zero than this."""


@frozen(kw_only=False)
class Fault:
    """A line that cannot be read."""

    line: int
    message: str
    text: str


@dataclass(slots=True)
class BlockRows:
    """Gathers the rows of the blocks it is given.

    Parameters
    ----------
    name
        The file, for messages.
    dialect
        How lines are cut.
    roles
        The meaning of each column.
    packed, counted_back
        Which of latitude and longitude are packed degrees, minutes and seconds, and which count
        south or west as positive.
    """

    name: str
    dialect: Dialect
    roles: tuple[str, ...]
    packed: frozenset[str] = frozenset()
    counted_back: frozenset[str] = frozenset()
    faults: list[Fault] = field(default_factory=list)
    fault_count: int = 0
    comment_lines: list[int] = field(default_factory=list)
    level_marks: set[float] = field(default_factory=set)
    marked_levels: int = 0
    joined_lines: int = 0
    count: int = 0
    is_utf8: bool = True
    _names: TextColumn = field(default_factory=TextColumn)
    _north: list[Array] = field(default_factory=list)
    _east: list[Array] = field(default_factory=list)
    _level: list[Array] = field(default_factory=list)
    _words: TextColumn = field(default_factory=TextColumn)
    _lines: list[npt.NDArray[np.int64]] = field(default_factory=list)
    _open: Block | None = None
    _risen: int = 0
    _last: tuple[int, str] = (0, "")

    @property
    def names_differ(self) -> bool:
        """Whether no name can occur twice, as they rise or are numbers given here."""
        return self._risen == self.count or self.at("point") is None

    def at(self, *roles: str) -> int | None:
        """Return the index of the column that has one of the roles, or None."""
        for role in roles:
            if role in self.roles:
                return self.roles.index(role)
        return None

    def take(self, block: Block) -> None:
        """Read a block.

        Raises
        ------
        InputError
            At a line without end, or at more points than are read.
        """
        if self._open is not None:
            block = self._open.and_then(block)
            self._open = None
        if not self._take_plain(block):
            text, is_utf8 = block.text()
            self.is_utf8 = self.is_utf8 and is_utf8
            if not self._take_alike(text, block.first_line):
                self._take_lines(text, block.first_line, last=False)
        if self.count > MOST_POINTS:
            raise InputError(
                Problem(
                    path=self.name,
                    message=f"there are more than {MOST_POINTS:,} points",
                    remedy="cut out the ones around the lot",
                )
            )

    def finish(
        self, metres: float = 1.0, level_metres: float = 1.0
    ) -> tuple[Texts, Array, Array, Array, Texts, npt.NDArray[np.int64]]:
        """Return what was gathered, and let go of it.

        Parameters
        ----------
        metres, level_metres
            How long the unit of northing and easting is, and that of elevations.

        Returns
        -------
        tuple
            Names, northings, eastings, elevations, descriptions and line numbers; the coordinates
            in metres, or as they are where the unit is one metre.
        """
        if self._open is not None:
            block, self._open = self._open, None
            self._take_lines(block.text()[0], block.first_line, last=True)
        names, words = self._names.give(), self._words.give()
        north, east = scaled(self._north, metres), scaled(self._east, metres)
        level = scaled(self._level, level_metres)
        for role, values in (("latitude", north), ("longitude", east)):
            if role in self.counted_back:
                np.negative(np.abs(values), out=values)
        return names, north, east, level, words, joined(self._lines)

    # --- lines that are all alike -------------------------------------------------------------

    def _take_plain(self, block: Block) -> bool:
        """Take a block of alike, simple lines from its bytes; False leaves it untouched."""
        if self.dialect.slots or self.dialect.angles or not self.places:
            return False
        found = plain_fields(block.data, block.lines, self.dialect, self.places)
        if found is None:
            return False
        north = self._degrees("latitude", found.northing)
        east = self._degrees("longitude", found.easting)
        if north is None or east is None:
            return False
        rows = len(found.northing)
        lines = np.arange(block.first_line, block.first_line + rows, dtype=np.int64)
        names = self._numbered(rows) if found.names is None else found.names
        words = found.words or [""] * rows
        before = self.count
        held = self._store(names, north, east, found.elevation, words, lines)
        # While the names are near the processor, see whether they differ because they rise.
        first = len(names[0].encode()), names[0]
        follows = found.names is not None and self._risen == before and self._last < first
        if follows and rising(held, found.name_lengths):
            self._risen = self.count
            self._last = len(names[-1].encode()), names[-1]
        return True

    @property
    def places(self) -> Places | None:
        """Which column is which, or None where a coordinate has none."""
        north, east = self.at("northing", "latitude"), self.at("easting", "longitude")
        if north is None or east is None:
            return None
        return Places(
            north, east, self.at("elevation"), self.at("point"), self.at("description"),
            len(self.roles),
        )  # fmt: skip

    def _numbered(self, rows: int) -> list[str]:
        return list(map(str, range(self.count + 1, self.count + rows + 1)))

    def _take_alike(self, text: str, first_line: int) -> bool:
        """Take a block whose lines all have the same fields; False leaves it untouched."""
        if self.dialect.slots or self.dialect.angles:
            return False
        if is_comment(text[:LONGEST_LINE], self.dialect.separator):
            return False
        if any(f"\n{mark}" in text for mark in _MAY_BE_COMMENTS):
            return False
        if '"' in text:
            cut: Callable[[str, Dialect], Columns | None] = quoted_columns
        elif self.dialect.separator == " " and (
            self.at("description") is not None or "  " in text or "\n " in text
            or " \n" in text or "\t" in text or text[:1] == " "
        ):  # fmt: skip
            cut = blank_columns
        else:
            cut = plain_columns
        columns = cut(text, self.dialect)
        if columns is None or len(columns) > len(self.roles):
            return False
        return self._store_columns(columns, first_line)

    def _store_columns(self, columns: Columns, first_line: int) -> bool:
        north_at, east_at = self.at("northing", "latitude"), self.at("easting", "longitude")
        level_at, name_at, word_at = self.at("elevation"), self.at("point"), self.at("description")
        used = [at for at in (north_at, east_at, level_at, name_at) if at is not None]
        if north_at is None or east_at is None or max(used) >= len(columns):
            return False
        north = self._degrees("latitude", self._floats(columns[north_at]))
        east = self._degrees("longitude", self._floats(columns[east_at]))
        if north is None or east is None:
            return False
        rows = len(north)
        if not (np.isfinite(north).all() and np.isfinite(east).all()):
            return False
        level = np.full(rows, np.nan)
        if level_at is not None:
            read = self._levels(columns[level_at])
            if read is None:
                return False
            level = read
        if name_at is None:
            names = self._numbered(rows)
        else:
            names = list(map(str.strip, columns[name_at]))
            if not all(names):
                return False
        if word_at is None or word_at >= len(columns):
            words = [""] * rows
        else:
            words = list(map(str.strip, columns[word_at]))
        lines = np.arange(first_line, first_line + rows, dtype=np.int64)
        self._store(names, north, east, level, words, lines)
        return True

    def _floats(self, column: Sequence[str]) -> Array | None:
        """Return a column as numbers, or None where a field is not a number as files write one."""
        whole = "".join(column)
        if "_" in whole or not whole.isascii():
            return None
        if self.dialect.has_decimal_comma:
            if "." in whole:
                return None
            column = [text.replace(",", ".") for text in column]
        try:
            return np.fromiter(map(float, column), np.float64, len(column))
        except ValueError:
            return None

    def _degrees(self, role: str, values: Array | None) -> Array | None:
        """Return numbers as they are, or unpacked; None where one has 60 minutes or more."""
        if values is None or role not in self.packed:
            return values
        degrees = unpacked(values)
        return None if np.isnan(degrees).any() else degrees

    def _levels(self, column: Sequence[str]) -> Array | None:
        level = self._floats(column)
        if level is None:
            level = self._floats([
                "nan" if text.strip().lower() in EMPTY else text for text in column
            ])
        if level is None or np.isinf(level).any():
            return None
        return level

    # --- line by line ---------------------------------------------------------------------------

    def _take_lines(self, whole: str, first_line: int, *, last: bool) -> None:
        rows: list[tuple[str, float, float, float, str, int]] = []
        lines = whole.split("\n")[:-1]
        at = 0
        while at < len(lines):
            number, text = first_line + at, lines[at]
            refuse_long_line(self.name, number, text)
            at += 1
            if not text.strip():
                continue
            if is_comment(text, self.dialect.separator):
                self.comment_lines.append(number)
                continue
            fields = self.dialect.split(text)
            taken = at
            while fields is None and taken < len(lines) and taken - at < LINES_IN_QUOTES:
                text = f"{text}\n{lines[taken]}"
                taken += 1
                fields = None if len(text) > LONGEST_LINE else self.dialect.split(text)
            if fields is None and taken == len(lines) and taken - at < LINES_IN_QUOTES and not last:
                left = "\n".join(lines[at - 1 :]) + "\n"
                self._open = Block(left.encode(), number, left.count("\n"))
                break
            if fields is None:
                self._fault(number, "a quote is opened and not closed", lines[at - 1])
                continue
            at = taken
            row = self._row(fields, number, text, len(rows))
            if row is not None:
                rows.append(row)
        if rows:
            names, north, east, level, words, numbers = zip(*rows, strict=True)
            self._store(
                names,
                np.array(north),
                np.array(east),
                np.array(level),
                words,
                np.array(numbers, dtype=np.int64),
            )

    def _row(
        self, fields: list[str], line: int, text: str, before: int
    ) -> tuple[str, float, float, float, str, int] | None:
        """Read one line's fields, or note why they cannot be read."""
        if not any(fields):
            return None
        width = len(self.roles)
        if len(fields) > width and any(fields[width:]):
            rest = [told for told in fields[width - 1 :] if told]
            # Numbers behind the last column are not words of a description: a decimal comma maybe.
            if self.roles[-1] != "description" or all(
                self.dialect.number(told) is not None for told in rest
            ):
                marks = self.dialect.separator == "," and _IN_THOUSANDS.search(text)
                self._fault(
                    line,
                    f"there are {len(fields)} fields where {width} are meant"
                    + (", perhaps for commas between thousands" if marks else ""),
                    text,
                )
                return None
            glue = " " if self.dialect.separator == " " else f"{self.dialect.separator} "
            fields = [*fields[: width - 1], glue.join(fields[width - 1 :]).strip()]
            self.joined_lines += 1
        found: dict[str, float] = {}
        for role, told in zip(self.roles, fields, strict=False):
            if role in {PASSED, "point", "description"}:
                continue
            if told.lower() in EMPTY:
                continue
            try:
                value = self._value(role, told)
            except MeasureError as fault:
                self._fault(line, fault.message, text)
                return None
            if value is not None:
                found[role] = value
        missing = [
            role
            for role in self.roles
            if role in {"northing", "easting", "latitude", "longitude"} and role not in found
        ]
        name_at, word_at = self.at("point"), self.at("description")
        if name_at is not None and (name_at >= len(fields) or not fields[name_at]):
            missing.insert(0, "name")
        if missing:
            self._fault(line, f"there is no {' and no '.join(missing)}", text)
            return None
        return (
            str(self.count + before + 1) if name_at is None else fields[name_at],
            found["northing"] if "northing" in found else found["latitude"],
            found["easting"] if "easting" in found else found["longitude"],
            found.get("elevation", np.nan),
            "" if word_at is None or word_at >= len(fields) else fields[word_at],
            line,
        )

    def _value(self, role: str, told: str) -> float | None:
        """Read the number in one field.

        Returns
        -------
        float or None
            None for an elevation that is none.

        Raises
        ------
        MeasureError
            Where it is not a number and no angle that the column may hold.
        """
        value = self.dialect.number(told)
        if role in {"latitude", "longitude"}:
            if value is None:
                return read_angle(told, role)
            if role in self.packed and np.isfinite(value):
                return packed_angle(value, told, role)
        if value is None or not np.isfinite(value):
            if role == "elevation" and value is not None:
                return None
            if has_thousands(told):
                raise MeasureError(
                    f"the {role} “{told}” has a mark between its thousands, where none belongs"
                )
            raise MeasureError(f"the {role} “{told}” is not a number")
        return value

    def _fault(self, line: int, message: str, text: str) -> None:
        self.fault_count += 1
        if len(self.faults) < FAULTS_SHOWN:
            shown = text if len(text) <= 100 else f"{text[:97]}…"
            self.faults.append(Fault(line, message, shown.replace("\t", " ").replace("\n", " ")))

    def _store(
        self,
        names: Sequence[str],
        north: Array,
        east: Array,
        level: Array,
        words: Sequence[str],
        lines: npt.NDArray[np.int64],
    ) -> Texts:
        far = np.abs(level) >= NEAREST_MARK
        if far.any() and (marked := (np.abs(level) >= NO_LEVEL) | np.isin(level, MARKS)).any():
            self.level_marks.update(float(value) for value in np.unique(level[marked])[:5])
            self.marked_levels += int(marked.sum())
            level = np.where(marked, np.nan, level)
        self.count += len(names)
        held = self._names.extend(names)
        self._words.extend(words)
        self._lines.append(lines)
        for kept, part in ((self._north, north), (self._east, east), (self._level, level)):
            kept.append(part)
        return held
