"""How the lines of a delimited text file are cut into fields."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence

from staking.frozen import frozen
from staking.survey.delimited.degrees import is_marked_angle

EMPTY = frozenset({"", "-", "--", "*", "n/a", "na", "none", "null", "nan"})
"""What stands in a number's field, in small letters, where there is no number."""

NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?", re.ASCII)
COMMA_NUMBER = re.compile(r"[+-]?(?:[0-9]+,?[0-9]*|,[0-9]+)(?:[eE][+-]?[0-9]+)?", re.ASCII)

COMMENT_MARKS = ("#", "//", "%", "!", "*")
"""What a comment line begins with, whatever the separator."""

_THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}(?:([,.' ’])[0-9]{3})(?:\1[0-9]{3})*(?:(?!\1)[.,][0-9]*)?")
_REMARK = re.compile(r"rem(?:ark)?s?\b[:.]?\s", re.IGNORECASE)
_TWO_NUMBERS = re.compile(r"[0-9]\.?[0-9]*[\s,;|]+[+-]?[0-9]")

_SEPARATORS = ("\t", ";", ",", "|", " ")
_IN_WORDS = {"\t": "tabs", ";": "semicolons", ",": "commas", "|": "bars", " ": "blanks"}


@frozen
class AngleColumns:
    """The columns over which one angle is spread, by their indices; None for one there is not.

    `role` is ``latitude`` or ``longitude``.
    """

    role: str
    degrees: int
    minutes: int | None = None
    seconds: int | None = None
    letter: int | None = None

    @property
    def behind(self) -> tuple[int, ...]:
        """The columns but the one of degrees."""
        return tuple(at for at in (self.minutes, self.seconds, self.letter) if at is not None)

    def whole(self, fields: Sequence[str]) -> str:
        """Return the angle as one field, such as ``42°00'01.5"N``; empty where nothing stands."""
        degrees, minutes, seconds, letter = (
            fields[at] if at is not None and at < len(fields) else ""
            for at in (self.degrees, self.minutes, self.seconds, self.letter)
        )
        if degrees.startswith("-"):
            # Some write the sign before each part.
            minutes, seconds = minutes.removeprefix("-"), seconds.removeprefix("-")
        if letter.lower() in _SIDES:
            letter = letter[0].upper()
        if not minutes and not seconds:
            return f"{degrees} {letter}".strip() if degrees else ""
        return f"{degrees}°{minutes}'" + (f'{seconds}"' if seconds else "") + letter


_SIDES = {"n", "north", "s", "south", "e", "east", "w", "west"}


@frozen
class Dialect:
    """How a line is cut.

    Parameters
    ----------
    separator
        One character; a blank stands for any run of blanks.
    has_decimal_comma
        Whether numbers are written with a decimal comma.
    slots
        Where each column begins in a file of fixed width, else empty.
    columns
        How many columns there are; further blanks belong to the last one. 0 while not known.
    angles
        Where angles are spread over columns; a line is then cut into fields with whole angles.
    """

    separator: str
    has_decimal_comma: bool = False
    slots: tuple[int, ...] = ()
    columns: int = 0
    angles: tuple[AngleColumns, ...] = ()

    @property
    def in_words(self) -> str:
        """The separator in words."""
        return "fixed width" if self.slots else _IN_WORDS[self.separator]

    def split(self, line: str) -> list[str] | None:
        """Cut a line into fields without blanks around them.

        Parameters
        ----------
        line
            The line, or several where a quoted field runs on.

        Returns
        -------
        list or None
            The fields; None where a quoted field is still open at the end.
        """
        fields = self._cut(line)
        return self.with_whole_angles(fields) if self.angles and fields else fields

    def with_whole_angles(self, fields: list[str]) -> list[str]:
        """Return fields in which each angle is one, in the place of its degrees."""
        whole = {angle.degrees: angle.whole(fields) for angle in self.angles}
        behind = {at for angle in self.angles for at in angle.behind}
        return [whole.get(at, field) for at, field in enumerate(fields) if at not in behind]

    def _cut(self, line: str) -> list[str] | None:
        if self.slots:
            if any(line[at - 1 : at].strip() for at in self.slots[1:]):
                # A field runs into the next column's first place: no cut there would be sound.
                return [line.strip()]
            ends = (*self.slots[1:], None)
            return [line[start:end].strip() for start, end in zip(self.slots, ends, strict=True)]
        if '"' in line:
            return self._split_quoted(line)
        if self.separator == " ":
            return line.split(None, self.columns - 1) if self.columns else line.split()
        return [field.strip() for field in line.split(self.separator)]

    def _split_quoted(self, line: str) -> list[str] | None:
        try:
            rows = list(
                csv.reader(
                    [line],
                    delimiter=self.separator,
                    strict=True,
                    skipinitialspace=True,
                )
            )
        except csv.Error as fault:
            if "unexpected end" in str(fault):
                return None
            # An inch mark and not a quote: 24" oak.
            return [field.strip() for field in line.split(self.separator)]
        fields = [field.strip() for field in rows[0]] if rows else []
        return [field for field in fields if field] if self.separator == " " else fields

    def number(self, text: str) -> float | None:
        """Return the number a field holds, or None where it holds none."""
        body = text.strip()
        if self.has_decimal_comma:
            return float(body.replace(",", ".")) if COMMA_NUMBER.fullmatch(body) else None
        return float(body) if NUMBER.fullmatch(body) else None


def has_thousands(text: str) -> bool:
    """Tell whether a number has, or may have, a mark between its thousands.

    Returns
    -------
    bool
        True for one to three digits and groups of three behind one mark.

    Examples
    --------
    >>> has_thousands("5,301.25"), has_thousands("5 301"), has_thousands("5301,25")
    (True, True, False)
    """
    return _THOUSANDS.fullmatch(text.strip()) is not None


def is_comment(line: str, separator: str = "") -> bool:
    """Tell whether a line is a comment.

    Parameters
    ----------
    line
        The line.
    separator
        Between fields; empty while it is not known. A semicolon begins a comment where it does
        not separate fields.

    Returns
    -------
    bool
        True for a line that begins with a comment mark, or with REM and no two numbers behind it.

    Examples
    --------
    >>> is_comment("; by hand"), is_comment(";5000;4000", ";"), is_comment("REM 1 5000 4000")
    (True, False, False)
    """
    if line.startswith(COMMENT_MARKS):
        return True
    if line.startswith(";"):
        return separator != ";"
    if line[:1] in "rR" and _REMARK.match(line + " "):
        return _TWO_NUMBERS.search(line) is None
    return False


def choose_dialect(lines: Sequence[str]) -> Dialect:
    """Find the separator under which the lines have the most numbers, line after line.

    Parameters
    ----------
    lines
        Lines of the file without comments; the first may be a heading.

    Returns
    -------
    Dialect
        The likeliest; a comma for a file without numbers.
    """
    # The first line may be a heading; one with two numbers is none.
    body = list(lines) if _TWO_NUMBERS.search(lines[0]) else list(lines[1:]) or list(lines)
    best, most = Dialect(separator=","), (0, False)
    whole = "".join(body)
    for separator in _SEPARATORS:
        if separator not in whole and separator != ",":
            # It would leave every line in one piece, as a comma does that is in none either.
            continue
        for comma in (False, True):
            if comma and (separator == "," or "," not in whole):
                continue
            dialect = Dialect(separator=separator, has_decimal_comma=comma)
            counts, widths = [], []
            for line in body:
                fields = dialect.split(line) or []
                widths.append(len(fields))
                counts.append(
                    sum(
                        # Blanks cut 42 00 01.5 N into four, so as one field it must outweigh them.
                        4 * is_marked_angle(field) or dialect.number(field) is not None
                        for field in fields
                    )
                )
            counts.sort()
            usual = counts[len(counts) // 3] if counts else 0
            # Among equals the file that is cut into like lines, then the earlier candidate.
            score = (usual, len(set(widths)) == 1 and widths[0] > 1)
            if score > most:
                best, most = dialect, score
    if best.separator == " ":
        return _with_slots(best, body, lines)
    return best


def _with_slots(dialect: Dialect, body: Sequence[str], lines: Sequence[str]) -> Dialect:
    """Take a file of blanks for one of fixed width where only that cuts it into like lines."""
    if len({len(line.split()) for line in body}) == 1 or len(body) < 2:
        return dialect
    if any("\t" in line for line in lines) or not any("  " in line for line in body):
        return dialect
    longest = max(map(len, lines))
    filled = [any(at < len(line) and line[at] != " " for line in body) for at in range(longest)]
    slots = [at for at in range(longest) if filled[at] and (at == 0 or not filled[at - 1])]
    cut = Dialect(separator=" ", has_decimal_comma=dialect.has_decimal_comma, slots=tuple(slots))
    rows = [cut.split(line) or [] for line in body]
    if any("  " in cell for row in rows for cell in row[:-1]):
        # Two columns touch somewhere and were taken for one.
        return dialect
    numeric = [sum(cut.number(row[at]) is not None for row in rows) for at in range(len(slots))]
    whole = sum(count >= 0.9 * len(rows) for count in numeric)
    # A description's words stand one blank apart and are kept in one column.
    merged = _merged_slots(slots, numeric, body)
    return (
        Dialect(separator=" ", has_decimal_comma=dialect.has_decimal_comma, slots=tuple(merged))
        if whole >= 2
        else dialect
    )


def _merged_slots(slots: list[int], numeric: list[int], body: Sequence[str]) -> list[int]:
    """Join the columns of words after the last column of numbers into one."""
    last = max((at for at, count in enumerate(numeric) if count >= 0.5 * len(body)), default=-1)
    return slots[: last + 2]
