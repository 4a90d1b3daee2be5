"""The first lines of a delimited file: its heading, its columns' kinds, what its comments say."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.survey.delimited.degrees import is_marked_angle, side_of
from staking.survey.delimited.dialect import Dialect, choose_dialect, is_comment
from staking.survey.delimited.heading import (
    ReadHeading,
    read_heading,
    read_units_row,
    unit_named,
)

SAMPLE_LINES = 400
"""How many lines the evidence is taken from."""

_PREAMBLE = 20
"""A heading stands within this many lines of the top."""


@frozen
class Sample:
    """What the first lines show.

    Parameters
    ----------
    dialect
        How lines are cut.
    heading
        The heading, understood, or None where there is none.
    heading_cells
        Its cells as they stand.
    heading_line
        Its line, or None.
    in_comment
        Whether the heading stands in a comment.
    rows
        The fields of the first lines with points.
    first_line
        The line of the first of them.
    width
        How many columns there are.
    passed_lines
        Lines above the heading that are not comments.
    unit
        The unit a comment names, or None.
    crs
        The code a comment names, or None.
    units_line
        The line of a row of units under the heading, or None.
    units_cells
        Its cells as they stand; empty without one.
    """

    dialect: Dialect
    heading: ReadHeading | None
    heading_cells: tuple[str, ...]
    heading_line: int | None
    in_comment: bool
    rows: tuple[tuple[str, ...], ...]
    first_line: int
    width: int
    passed_lines: tuple[int, ...] = ()
    unit: str | None = None
    crs: str | None = None
    units_line: int | None = None
    units_cells: tuple[str, ...] = ()

    @property
    def first_row(self) -> tuple[str, ...]:
        """The first line's fields, with ? for those it lacks: for messages."""
        first = self.rows[0]
        return (*first, *["?"] * (self.width - len(first)))

    def numbers(self, column: int) -> list[float] | None:
        """Return a column's numbers, or None where it is not a column of numbers."""
        found = []
        for row in self.rows:
            value = self.dialect.number(row[column]) if column < len(row) else None
            if value is not None:
                found.append(value)
        return found if found and len(found) >= 0.9 * len(self.rows) else None

    def side(self, column: int) -> str | None:
        """Tell whether a column holds latitudes or longitudes by their letters, or None."""
        sides = {side_of(text) for text in self.texts(column)}
        return sides.pop() if len(sides) == 1 else None

    def texts(self, column: int) -> list[str]:
        """Return a column's fields as they stand."""
        return [row[column] for row in self.rows if column < len(row)]


def read_sample(text: str, first_line: int, name: str) -> Sample:
    """Look at the first lines of a file.

    Parameters
    ----------
    text
        Whole lines.
    first_line
        The number of the first.
    name
        The file, for messages.

    Returns
    -------
    Sample
        What they show.

    Raises
    ------
    InputError
        Where there is no line but comments.
    """
    numbered = list(enumerate(text.split("\n", 4 * SAMPLE_LINES)[: 4 * SAMPLE_LINES], first_line))
    comments = [(at, line) for at, line in numbered if is_comment(line)]
    contents = [(at, line) for at, line in numbered if line.strip() and not is_comment(line)]
    if not contents:
        comments, contents = [], [(at, line) for at, line in comments if line.startswith(";")]
    contents = contents[:SAMPLE_LINES]
    if not contents:
        raise InputError(Problem(path=name, message="the file has no line with a point"))
    dialect = choose_dialect([line for _, line in contents])
    if dialect.separator == ";":
        # A semicolon at the start leaves a field empty and begins no comment.
        begun = [(at, line) for at, line in comments if line.startswith(";")]
        contents = sorted([*contents, *begun])[:SAMPLE_LINES]
        comments = [each for each in comments if each not in begun]
    cells = {at: dialect.split(line) or [] for at, line in contents}
    start, heading = _find_heading(contents, cells, dialect)
    heading_cells: list[str] = []
    heading_line, in_comment = None, False
    if start is not None:
        heading_line = contents[start][0]
        heading_cells = cells[heading_line]
        body = contents[start + 1 :]
    else:
        body = contents
    units_line, units_cells = None, []
    if heading is not None and body:
        units_cells = cells[body[0][0]]
        heading, units_line = _with_units(heading, cells[body[0][0]], dialect, body[0][0], name)
        body = body[1:] if units_line is not None else body
    if not body:
        raise InputError(
            Problem(path=name, message="the file has a heading and no line with a point")
        )
    rows = [cells[at] for at, _ in body]
    width = _width(rows, dialect, heading_cells)
    if heading is None:
        found = _comment_heading(comments, body[0][0], dialect, width)
        if found is not None:
            heading_line, heading_cells = found
            heading, in_comment = read_heading(heading_cells), True
    if dialect.separator == " " and not dialect.slots and width < max(map(len, rows)):
        dialect = replace(dialect, columns=width)
        rows = [dialect.split(line) or [] for _, line in body]
    told = "\n".join(line for _, line in comments)
    return Sample(
        dialect=dialect,
        heading=heading,
        heading_cells=tuple(heading_cells),
        heading_line=heading_line,
        in_comment=in_comment,
        rows=tuple(tuple(row) for row in rows),
        first_line=body[0][0],
        width=width,
        passed_lines=tuple(at for at, _ in contents[:start]) if start else (),
        unit=_comment_unit(told),
        crs=_comment_crs(told),
        units_line=units_line,
        units_cells=tuple(units_cells) if units_line is not None else (),
    )


def _with_units(
    heading: ReadHeading, cells: Sequence[str], dialect: Dialect, line: int, name: str
) -> tuple[ReadHeading, int | None]:
    """Return the heading with the units of a row below it, and that row's line if it is one."""
    if any(dialect.number(cell) is not None or is_marked_angle(cell) for cell in cells):
        return heading, None
    try:
        read = read_units_row(cells, heading)
    except ValueError as fault:
        raise InputError(
            Problem(
                path=name,
                line=line,
                message=f"the heading and the row of units below it name two units, {fault}",
                remedy="correct the one that is wrong",
            )
        ) from fault
    return (heading, None) if read is None else (read, line)


def _find_heading(
    contents: Sequence[tuple[int, str]], cells: dict[int, list[str]], dialect: Dialect
) -> tuple[int | None, ReadHeading | None]:
    """Return which of the lines is the heading and what it says."""
    for index, (at, _) in enumerate(contents[:_PREAMBLE]):
        if any(dialect.number(cell) is not None or is_marked_angle(cell) for cell in cells[at]):
            break
        heading = read_heading(cells[at])
        if heading.has_places:
            return index, heading
    first = cells[contents[0][0]]
    below = [cells[at] for at, _ in contents[1:]]
    if (
        below
        and first
        and not any(dialect.number(cell) is not None or is_marked_angle(cell) for cell in first)
    ):
        usual = Counter(
            sum(dialect.number(cell) is not None for cell in row) for row in below
        ).most_common(1)[0][0]
        if usual >= 2 and len(first) > 1:
            return 0, read_heading(first)
    return None, None


def _width(rows: Sequence[Sequence[str]], dialect: Dialect, heading: Sequence[str]) -> int:
    """Return how many columns there are."""
    if dialect.slots:
        return len(dialect.slots)
    # A note among the points has hardly a number, and says nothing of their columns.
    points = [row for row in rows if sum(dialect.number(cell) is not None for cell in row) > 1]
    rows = points or rows
    usual = Counter(map(len, rows)).most_common(1)[0][0]
    if dialect.separator != " " or len(set(map(len, rows))) == 1:
        return len(heading) or usual
    if heading and len(heading) <= usual + 1:
        return len(heading)
    # Words at the end of a line of blanks are one description: count to the last number's column.
    last = 0
    for at in range(min(map(len, rows))):
        if sum(dialect.number(row[at]) is not None for row in rows) >= 0.9 * len(rows):
            last = at
    return last + 2


def _comment_heading(
    comments: Sequence[tuple[int, str]], before: int, dialect: Dialect, width: int
) -> tuple[int, list[str]] | None:
    """Return the line and cells of a heading inside a comment, the nearest to the points."""
    for at, line in reversed([comment for comment in comments if comment[0] < before]):
        body = re.sub(r"(?i)^rem(?:ark)?s?\b", "", line).lstrip("#/%!*; \t")
        for cells in (
            [cell.strip() for cell in body.split(dialect.separator)],
            re.split(r"[,;\t]\s*|\s+", body.strip()),
            re.split(r"\s{2,}|\t", body.strip()),
        ):
            cut = ["#", *cells[1:]] if cells[:1] == [""] else list(cells)
            if abs(len(cut) - width) <= 1 and read_heading(cut).has_places:
                return at, cut
    return None


def _comment_unit(text: str) -> str | None:
    """Return the unit that a comment such as ``# units: US survey feet`` names."""
    for found in re.finditer(r"(?i)\bunits?\b\s*(?:[:=]|are|is|in)?\s*([A-Za-z.\- ]+)", text):
        words = found.group(1).split()
        for size in (3, 2, 1):
            if unit := unit_named(" ".join(words[:size])):
                return unit
    return None


def _comment_crs(text: str) -> str | None:
    found = re.search(r"(?i)\bEPSG\s*:\s*:?\s*([0-9]{4,6})\b", text)
    return f"EPSG:{found.group(1)}" if found else None
