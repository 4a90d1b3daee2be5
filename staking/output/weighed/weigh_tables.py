"""What was weighed, as a table: one row a whole job, the least of each column marked."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.measure.rounding import decimal_text
from staking.output.blocks import Column, Listing, Table
from staking.output.tables.notice_listings import notice_sentence, sentence
from staking.output.tables.order.order_words import OrderWords
from staking.output.tables.other_levels import choices_table
from staking.output.wording import Words, safe
from staking.weigh.candidates import is_own
from staking.weigh.weighed_row import WeighColumn

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from staking.notices import Notice
    from staking.output.blocks import Block
    from staking.weigh.weighed import Weighed
    from staking.weigh.weighed_row import WeighRow

MOST_SHOWN = 40
"""So many rows at most stand in a terminal's table; the files have them all."""

LEAST = "*"
"""Stands behind the least figure of a column."""

_HEADS = {
    WeighColumn.STEPS: "steps",
    WeighColumn.WALL_AREA: "wall",
    WeighColumn.BLOCKS: "block",
    WeighColumn.CONCRETE: "concrete",
    WeighColumn.DUG: "dug",
    WeighColumn.FILL: "fill",
    WeighColumn.HAULED: "hauled",
    WeighColumn.DEEPEST: "deepest",
    WeighColumn.EXPOSED: "exposed",
    WeighColumn.HIGH_BOARDS: "tiers",
    WeighColumn.COST: "cost",
}
_FIRST = (
    WeighColumn.STEPS,
    WeighColumn.WALL_AREA,
    WeighColumn.BLOCKS,
    WeighColumn.CONCRETE,
    WeighColumn.COST,
)
_SECOND = (
    WeighColumn.DUG,
    WeighColumn.HAULED,
    WeighColumn.FILL,
    WeighColumn.DEEPEST,
    WeighColumn.EXPOSED,
    WeighColumn.HIGH_BOARDS,
)


def weigh_blocks(weighed: Weighed) -> tuple[Block, ...]:
    """Lay the rows out in two tables and list what is broken.

    Parameters
    ----------
    weighed
        The rows.

    Returns
    -------
    tuple of Block
        What is built, then what is dug, then why rows may not be chosen.
    """
    shown = shown_rows(weighed)
    rest = len(weighed.rows) - len(shown)
    note = (
        f"{_own_row(weighed)}{LEAST} the least of its column among rows that break nothing; x may "
        "not be chosen" + (f"; {rest} more rows stand in weigh.csv" if rest else "")
    )
    words = Words(weighed.options)
    # A job in millimetres may be shown in feet: each figure's unit is that in which it is written.
    area = words.area(1.0).partition(" ")[2]
    volume = OrderWords(weighed.options).bulk(1.0).partition(" ")[2]
    high = any(weighed.rows[i].value(WeighColumn.HIGH_BOARDS) for i in shown)
    tiers = "tiers: boards that stand too high and take a lower pair" if high else ""
    blocks: list[Block] = [
        _table(
            f"What it takes (wall in {area}, concrete in {volume})", weighed, shown, _FIRST, note
        )
    ]
    if any(weighed.rows[i].figures for i in shown):
        title = f"What is dug and seen (volumes in {volume})"
        blocks.append(_table(title, weighed, shown, _SECOND, tiers))
    if weighed.fewer is not None:
        row, top = weighed.fewer.row, Words(weighed.options).length(weighed.fewer.top)
        where = " at the job as written" if row is None else f" at row {row + 1}"
        blocks.append(
            choices_table(weighed.fewer.choices, weighed.options, f"{where}, top of wall {top}")
        )
    for title, said in (
        ("Rows that may not be chosen", [weighed.rows[i].broken for i in shown]),
        ("What is to be known of rows", [weighed.rows[i].noted for i in shown]),
    ):
        lines = tuple(rows_that_say(shown, said, words))
        if lines:
            blocks.append(Listing(title=title, lines=lines))
    return tuple(blocks)


def _own_row(weighed: Weighed) -> str:
    """Say which row is the job as it is written, where one is."""
    own = weighed.own.top
    for number, row in enumerate(weighed.rows, 1):
        if is_own(row.candidate, own):
            return f"row {number} is the job as written; "
    return ""


def shown_rows(weighed: Weighed) -> tuple[int, ...]:
    """Choose the rows that a screen shows, from 0.

    Returns
    -------
    tuple of int
        All where they are few; else those at the place as written, the best and the least of each
        column.
    """
    count = len(weighed.rows)
    if count <= MOST_SHOWN:
        return tuple(range(count))
    kept = {i for i, row in enumerate(weighed.rows) if row.candidate.stays}
    kept |= {rows[0] for _, rows in weighed.least}
    if weighed.best is not None:
        kept.add(weighed.best)
    return tuple(sorted(kept))


def place_text(weighed: Weighed, row: WeighRow) -> str:
    """Say where a row's building stands against the place as written."""
    words, at = Words(weighed.options), row.candidate
    parts = []
    if at.north:
        parts.append(f"{'N' if at.north > 0 else 'S'} {_joined(words.length(abs(at.north)))}")
    if at.east:
        parts.append(f"{'E' if at.east > 0 else 'W'} {_joined(words.length(abs(at.east)))}")
    if at.turn:
        way = "right" if at.turn > 0 else "left"
        parts.append(f"{decimal_text(abs(math.degrees(at.turn)), 2)}° {way}")
    return ", ".join(parts) or "as written"


def _joined(length: str) -> str:
    """Write feet and inches with a dash, so that a narrow column does not part them."""
    return length.replace("' ", "'-")


def rows_that_say(
    shown: tuple[int, ...], said: Sequence[tuple[Notice, ...]], words: Words
) -> Iterator[str]:
    """Say what is said of rows, those of which the same is said together.

    Parameters
    ----------
    shown
        The rows, from 0.
    said
        What is said of each of them.
    words
        How lengths are written.

    Yields
    ------
    str
        A sentence; nothing for rows of which nothing is said.
    """
    alike: dict[tuple[str, ...], list[int]] = {}
    for i, notices in zip(shown, said, strict=True):
        if notices:
            alike.setdefault(tuple(map(words.notice, notices)), []).append(i + 1)
    for sentences, numbers in alike.items():
        several = "rows" if len(numbers) > 1 else "row"
        yield sentence(f"{several} {', '.join(map(str, numbers))}: {'; '.join(sentences)}")


def figure_text(weighed: Weighed, row: WeighRow, column: WeighColumn) -> str:
    """Write one figure; every figure of a column has as many decimals."""
    value = row.value(column)
    words, sums = Words(weighed.options), OrderWords(weighed.options)
    if value is None:
        return "-"
    match column:
        case WeighColumn.WALL_AREA:
            return words.area(value)
        case WeighColumn.CONCRETE | WeighColumn.DUG | WeighColumn.FILL | WeighColumn.HAULED:
            return sums.compared(value)
        case WeighColumn.DEEPEST | WeighColumn.EXPOSED:
            return words.length(value)
        case WeighColumn.COST:
            return decimal_text(value, 2)
        case _:
            return decimal_text(value, 0)


def taken_lines(weighed: Weighed, number: int, path: Path, *, changed: bool) -> tuple[str, ...]:
    """Say what of a row was written into the job file.

    Parameters
    ----------
    weighed
        The rows.
    number
        The row that was taken, from 1.
    path
        The job file.
    changed
        Whether anything was to be changed.

    Returns
    -------
    tuple of str
        Lines; where the row breaks something, that comes first.
    """
    row, words = weighed.rows[number - 1], Words(weighed.options)
    lines = [notice_sentence(each, words) for each in row.broken]
    if not changed:
        return (*lines, f"Row {number} is the job as it is written: nothing was changed.")
    lines.append(
        f"{safe(str(path))} has row {number} now: top of wall "
        f"{words.length(row.candidate.top)}, {place_text(weighed, row)}."
    )
    lines.append(
        "Tops of single walls, the slab's top and the level of the strings went with the top; a "
        "new place is written as a corner and a bearing."
    )
    return tuple(lines)


def _bare(text: str) -> str:
    """Part a figure from its unit, which the title has."""
    for unit in (" sq ft", " m²", " cu yd", " m3"):
        text = text.removesuffix(unit)
    return text


def _table(
    title: str,
    weighed: Weighed,
    shown: tuple[int, ...],
    columns: tuple[WeighColumn, ...],
    note: str,
) -> Table:
    words = Words(weighed.options)
    moved = any(not weighed.rows[i].candidate.stays for i in shown)
    kept = [each for each in columns if any(weighed.rows[i].value(each) for i in shown)]
    rows = []
    for i in shown:
        row = weighed.rows[i]
        mark = "" if row.stands else " x"
        cells = [f"{i + 1}{mark}", words.length(row.candidate.top)]
        if moved:
            cells.append(place_text(weighed, row))
        for column in kept:
            least = LEAST if weighed.is_least(i, column) else ""
            cells.append(_bare(figure_text(weighed, row, column)) + least)
        rows.append(tuple(cells))
    heads = [Column(heading="row"), Column(heading="top", right=True)]
    if moved:
        heads.append(Column(heading="place"))
    heads += [Column(heading=_HEADS[each], right=True) for each in kept]
    return Table(title=title, columns=tuple(heads), rows=tuple(rows), note=note)
