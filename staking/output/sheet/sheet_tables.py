"""Tables and lists of a page, made from the same values that the terminal prints."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, KeepTogether, Spacer
from reportlab.platypus import Table as Grid

from staking.output.blocks import Listing, Table
from staking.output.pictures.lettering import BOLD_FACE, FACE, points_wide, printable
from staking.output.pictures.pdf_backend import BLACK, ink
from staking.output.sheet.figure_rows import TAPED_SIZE, FigureRow, figure_rows
from staking.output.sheet.two_columns import TwoColumns

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from staking.output.blocks import Block, Column

READINGS = ("before digging", "on the forms", "on the poured footing")
"""When a tape is read again: columns to write in."""
SHORT_READINGS = ("stakes", "forms", "poured")
"""The same where there is little room."""
SIZE = 8.5
"""Size of the text in tables, points."""
TITLE_SIZE = 1.15
"""Size of a title over that of its table."""
_TALL = 40
"""A cell or a sentence of more lines than this goes on in another row."""
_BLANK = 50.0
"""Least width of a column to write in, points."""
SMALL = 8.0
"""Size of the text in a table beside another, points."""
_PAD = 2.6
"""Air either side of a cell's text, points."""
_SHORT = 14
"""A table of so many rows stays on one page."""
_GREY = "#b0b0b0"
_PARTED = re.compile(
    r"(?<=\d') (?=\d)|(?<=\d) (?=\d+/\d)|(?<=\d) (?=mm\b|m\b|ft\b)"
    r"|(?<=[\"m]) (?=to [#\w]{1,6}(?:,|$))|(?<=[\"m] to) (?=[#\w]{1,6}(?:,|$))"
)
"""Spaces inside a length, and between it and the place it runs to: no line is broken there."""
_GAP = 18.0
"""Between two tables beside one another, points."""
_AIR = 7.0
"""Between two tables, points."""


def flow(blocks: Iterable[Block], width: float, size: float = SIZE) -> Iterator[Flowable]:
    """Set tables and lists for pages, narrow tables beside one another.

    Parameters
    ----------
    blocks
        What is set, in order.
    width
        The room, points.
    size
        Size of the text, points.

    Yields
    ------
    Flowable
        With the air after it.
    """
    half = (width - _GAP) / 2
    narrow: list[Flowable] = []
    for block in blocks:
        if isinstance(block, Table) and natural_width(block, SMALL) <= half:
            narrow.append(table(block, half, SMALL))
            continue
        if narrow:
            yield from _beside(narrow, width)
            narrow = []
        yield from _alone(block, width, size)
    if narrow:
        yield from _beside(narrow, width)


def _beside(narrow: list[Flowable], width: float) -> Iterator[Flowable]:
    yield TwoColumns(narrow, width, _GAP)
    yield Spacer(1, _AIR / 2)


def _alone(block: Block, width: float, size: float) -> Iterator[Flowable]:
    made: Flowable
    if isinstance(block, Listing):
        made, rows = listing(block, width, size), len(block.lines)
    else:
        made, rows = table(block, width, size), len(block.rows)
    parts = [made, Spacer(1, _AIR)]
    if rows <= _SHORT:
        yield KeepTogether(parts)
    else:
        yield from parts


def table(
    block: Table,
    width: float,
    size: float = SIZE,
    *,
    fill: bool = False,
    tight: bool = False,
    blank: float = _BLANK,
) -> Grid:
    """Set a table: its title, its note, its headings, its rows.

    Parameters
    ----------
    block
        The table; columns for readings are ruled to write in.
    width
        The room, points.
    size
        Size of the text, points.
    fill
        Whether the table takes the whole width.
    tight
        Whether rows stand close.
    blank
        Least width of a column to write in, points.

    Returns
    -------
    Table
        Rows that go on with the one above, told by an empty first cell, stay with it.
    """
    room = [max(each, _NARROWEST * size) for each in _widths(block, width, size, fill, blank)]
    count = len(block.columns)
    head = [(block.title, BOLD_FACE, size * TITLE_SIZE)] if block.title else []
    head += [(block.note, FACE, size)] if block.note else []
    # A title may run past a narrow table, as nothing stands beside it.
    tops = [
        ["\n".join(broken(printable(words), face, large, width)), *[""] * (count - 1)]
        for words, face, large in head
    ]
    names = [_wrapped(each.heading, BOLD_FACE, size, wide) for each, wide in _pairs(block, room)]
    body = [
        part
        for row in block.rows
        for part in _parted([
            _wrapped(cell, FACE, size, wide) for cell, wide in zip(row, room, strict=True)
        ])
    ]
    first = len(tops) + 1
    style = [*_ruled(first, size, tight), *_columns(block, first), *_kept(body, first)]
    for at, (_, face, large) in enumerate(head):
        style += [("SPAN", (0, at), (-1, at)), ("FONT", (0, at), (-1, at), face, large)]
        style.append(("LEFTPADDING", (0, at), (-1, at), 0))
    return Grid([*tops, names, *body], colWidths=room, repeatRows=first, style=style, hAlign="LEFT")


def _ruled(first: int, size: float, tight: bool) -> list[tuple[object, ...]]:
    # Type, air and rules; `first` is the first row under the headings.
    return [
        ("FONT", (0, 0), (-1, -1), FACE, size, size * 1.14),
        ("FONT", (0, first - 1), (-1, first - 1), BOLD_FACE, size, size * 1.14),
        ("TOPPADDING", (0, 0), (-1, -1), 0.5 if tight else 1.0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.4 if tight else 1.8),
        ("LEFTPADDING", (0, 0), (-1, -1), _PAD),
        ("RIGHTPADDING", (0, 0), (-1, -1), _PAD),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, first - 1), (-1, first - 1), "BOTTOM"),
        ("LINEBELOW", (0, first - 1), (-1, first - 1), 0.7, "#000000"),
        ("LINEBELOW", (0, first), (-1, -1), 0.25, _GREY),
    ]


def _columns(block: Table, first: int) -> list[tuple[object, ...]]:
    # Figures to the right; boxes where there is to be written.
    style: list[tuple[object, ...]] = []
    for at, column in enumerate(block.columns):
        if column.right:
            style.append(("ALIGN", (at, first - 1), (at, -1), "RIGHT"))
        if block.rows and column.blank:
            style.append(("BOX", (at, first), (at, -1), 0.5, "#000000"))
            style.append(("INNERGRID", (at, first), (at, -1), 0.5, "#000000"))
    return style


def _parted(row: list[str]) -> list[list[str]]:
    # A row too tall for a page goes on in rows under it.
    cells = [cell.split("\n") for cell in row]
    most = max(map(len, cells))
    return [["\n".join(lines[at : at + _TALL]) for lines in cells] for at in range(0, most, _TALL)]


def _kept(body: list[list[str]], first: int) -> list[tuple[object, ...]]:
    # Rows that go on with the one above are not parted from it.
    kept: list[tuple[object, ...]] = []
    start = 0
    for at in range(1, len(body) + 1):
        if at < len(body) and not body[at][0]:
            continue
        tall = sum(max(cell.count("\n") + 1 for cell in row) for row in body[start:at])
        if at - start > 1 and tall <= _TALL:
            kept.append(("NOSPLIT", (0, first + start), (-1, first + at - 1)))
        start = at
    return kept


def _pairs(block: Table, room: Sequence[float]) -> list[tuple[Column, float]]:
    return list(zip(block.columns, room, strict=True))


def _wrapped(cell: str, face: str, size: float, wide: float) -> str:
    words = printable(cell)
    room = wide - 2 * _PAD
    if points_wide(words, size, face) <= room + 0.01:
        return words
    return "\n".join(broken(words, face, size, room))


def broken(words: str, face: str, size: float, room: float) -> list[str]:
    """Break a line where it has spaces, but not inside feet, inches and fractions.

    Parameters
    ----------
    words
        The line.
    face, size
        What it is set in.
    room
        The room, points.

    Returns
    -------
    list of str
        Its rows; a word longer than a row is broken.
    """
    space = points_wide(" ", size, face)
    words = _PARTED.sub("\N{NO-BREAK SPACE}", words)
    rows: list[str] = []
    row, filled = "", 0.0
    for word in words.split(" "):
        wide = points_wide(word, size, face)
        if row and filled + space + wide <= room + 0.01:
            row, filled = f"{row} {word}", filled + space + wide
            continue
        if row:
            rows.append(row)
        rest = word
        while wide > room + 0.01 and len(rest) > 1:
            fit = next(
                (n for n in range(1, len(rest)) if points_wide(rest[: n + 1], size, face) > room),
                len(rest),
            )
            rows.append(rest[:fit])
            rest = rest[fit:]
            wide = points_wide(rest, size, face)
        row, filled = rest, wide
    return [each.replace("\N{NO-BREAK SPACE}", " ") for each in (*rows, row)]


def least_width(block: Table, size: float, blank: float = _BLANK) -> float:
    """Tell how narrow a table may be whose first column alone is broken, and only between words.

    Parameters
    ----------
    block
        The table.
    size
        Size of the text, points.
    blank
        Least width of a column to write in, points.

    Returns
    -------
    float
        Points.
    """
    wide = 0.0
    for at, column in enumerate(block.columns):
        cells = [printable(row[at]) for row in block.rows]
        if at == 0:
            cells = [
                word
                for cell in cells
                for word in _PARTED.sub("\N{NO-BREAK SPACE}", cell).split(" ")
            ]
        most = max((points_wide(each, size, FACE) for each in cells), default=0.0)
        wide += max(most or blank, _least(column.heading, size)) + 2 * _PAD
    return wide


def natural_width(block: Table, size: float) -> float:
    """Tell how wide a table is whose cells are not broken, though its headings may be.

    Parameters
    ----------
    block
        The table.
    size
        Size of the text, points.

    Returns
    -------
    float
        Points.
    """
    wide = 0.0
    for at, column in enumerate(block.columns):
        cells = [points_wide(row[at], size, FACE) for row in block.rows]
        most = max(cells, default=0.0)
        own = max(most or _BLANK, _least(column.heading, size)) + 2 * _PAD
        wide += max(own, _NARROWEST * size)
    return wide


def unbroken_width(block: Table, size: float) -> float:
    """Tell how narrow a table may be in which no word and no length is broken.

    Parameters
    ----------
    block
        The table.
    size
        Size of the text, points.

    Returns
    -------
    float
        Points.
    """
    columns = range(len(block.columns))
    return sum(max(_unbroken(block, at, size), _NARROWEST * size) for at in columns)


def _widths(
    block: Table, width: float, size: float, fill: bool, blank: float = _BLANK
) -> list[float]:
    wanted = []
    for at, column in enumerate(block.columns):
        cells = [printable(row[at]) for row in block.rows]
        wide = max((points_wide(each, size, FACE) for each in cells), default=0.0)
        wanted.append(max(wide or blank, _least(column.heading, size)) + 2 * _PAD)
    spare = width - sum(wanted)
    if spare < 0:
        least = [_unbroken(block, at, size) for at in range(len(wanted))]
        return _narrowed(wanted, width, least if sum(least) <= width else [0.0] * len(wanted))
    if fill:
        return [each + spare / len(wanted) for each in wanted]
    # Headings on one line where there is room.
    for at, column in enumerate(block.columns):
        more = points_wide(column.heading, size, BOLD_FACE) + 2 * _PAD - wanted[at]
        if 0 < more <= spare:
            wanted[at] += more
            spare -= more
    return wanted


def _least(heading: str, size: float) -> float:
    words = printable(heading).split()
    return float(max((points_wide(each, size, BOLD_FACE) for each in words), default=0.0))


def _unbroken(block: Table, at: int, size: float) -> float:
    # How narrow a column may be in which no word and no length is broken.
    cells = [_PARTED.sub("\N{NO-BREAK SPACE}", printable(row[at])) for row in block.rows]
    words = [word for cell in cells for word in cell.split(" ")]
    wide = max((points_wide(each, size, FACE) for each in words), default=0.0)
    return max(wide, _least(block.columns[at].heading, size)) + 2 * _PAD + 0.1


def _narrowed(wanted: list[float], width: float, least: list[float]) -> list[float]:
    # The widest columns give until all fit, none more than it can without a word broken.
    low, high = 0.0, max(wanted)

    def capped(cap: float) -> list[float]:
        return [min(each, max(cap, floor)) for each, floor in zip(wanted, least, strict=True)]

    for _ in range(40):
        cap = (low + high) / 2
        if sum(capped(cap)) > width:
            high = cap
        else:
            low = cap
    return capped(low)


_NARROWEST = 2.5
"""How wide a column is at least, in sizes of the text."""
_BOX = "box"
"""The sign of a sentence to tick."""


class _TickLine(Flowable):  # type: ignore[misc]
    """A sentence with a box to tick or a dash before it, wrapped."""

    def __init__(
        self,
        rows: Sequence[FigureRow],
        width: float,
        size: float,
        indent: float,
        sign: str,
        *,
        air: float = 0.35,
    ) -> None:
        super().__init__()
        self._rows, self._size, self._indent, self._sign = rows, size, indent, sign
        self.width, self.height = width, sum(row.height for row in rows) + air * size

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the box and the rows."""
        canvas, size = self.canv, self._size
        canvas.setFont(FACE, size)
        canvas.setFillColor(ink(BLACK))
        y = self.height - self._rows[0].size
        if self._sign == _BOX:
            canvas.setStrokeColor(ink(BLACK))
            canvas.setLineWidth(0.7)
            canvas.rect(0, y - 0.12 * size, 0.95 * size, 0.95 * size, stroke=1, fill=0)
        else:
            canvas.drawString(0, y, self._sign)
        for row, below in zip(self._rows, (*self._rows[1:], None), strict=True):
            row.draw(canvas, self._indent, y)
            y -= 0.0 if below is None else below.height


def listing(
    block: Listing,
    width: float,
    size: float = SIZE,
    *,
    tick: bool = False,
    tight: bool = False,
    taped: bool = False,
) -> Flowable:
    """Set a titled list.

    Parameters
    ----------
    block
        The list.
    width
        The room, points.
    size
        Size of the text, points.
    tick
        Whether each sentence has a box to tick.
    tight
        Whether sentences stand close.
    taped
        Whether its lengths are taped or read on the rod, and stand in the size for that.

    Returns
    -------
    Flowable
        The list, which parts between its sentences.
    """
    indent = (1.7 if tick else 0.9) * size
    lines: list[list[Flowable]] = []
    for each in block.lines:
        rows = figure_rows(each, size, width - indent, TAPED_SIZE if taped else size)
        for at in range(0, len(rows), _TALL):
            sign = "" if at else _BOX if tick else "-"
            line = _TickLine(
                rows[at : at + _TALL], width, size, indent, sign, air=0.1 if tight else 0.35
            )
            lines.append([line])
    title = broken(printable(block.title), BOLD_FACE, size * TITLE_SIZE, width)
    return Grid(
        [["\n".join(title)], *lines],
        colWidths=[width],
        repeatRows=1,
        hAlign="LEFT",
        style=[
            ("FONT", (0, 0), (-1, 0), BOLD_FACE, size * TITLE_SIZE),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0.8),
        ],
    )
