"""Sheet 4, Boards and tapes: boards by their numbers, diagonals with blanks, one board in front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import PageBreak

from staking.kinds import StringLine
from staking.output.blocks import Block, BlockTopic, Column, Listing, Table
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.drawing_page import BESIDE, DrawingPage, drawing_room, half_width
from staking.output.sheet.picture_block import PictureBlock
from staking.output.sheet.sheet_tables import READINGS, flow, listing, table
from staking.output.sheet_drawings.board_plan import (
    MOST_DRAWN,
    ON_STRING,
    board_picture,
    diagonals,
    front_picture,
)
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.tables.layout_tables import layout_blocks
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import Flowable

    from staking.layout.layout_parts import Board, Check
    from staking.layout.nail_patterns import BoardsAlike, NailPattern
    from staking.output.sheet.printed_job import PrintedJob
    from staking.project.sheets import Sheets

_TAPED = 11.0
"""Size of what is taped, points."""
_SAID = 9.0
"""Size of other words, points."""
_ELSEWHERE = (BlockTopic.CAUTIONS,)
"""Blocks of the terminal that other sheets take the place of."""


def boards_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of boards and tapes.

    Yields
    ------
    Flowable
        The page with the plan, what finds no room beside it, and all of it in figures.
    """
    sheets = job.sheets
    layout, values = sheets.layout, sheets.values
    if values is None or not (layout.boards or layout.checks):
        return
    drawn = board_picture(layout, drawing_room(job.whole))
    beside = [] if values.boards is None else list(_beside(job, values.boards))
    taped = diagonals(layout)
    if len(taped) > MOST_DRAWN:
        tapes = _diagonals(taped, Words(layout.options), NumberedNames(layout.plan))
        beside.append(table(tapes, half_width(job.whole), _TAPED, fill=True))
    page = DrawingPage("Boards and tapes", drawn.scale, drawn.picture, beside, job.whole)
    yield page
    yield from page.after(job.whole)
    yield PageBreak()
    yield from flow(_tables(sheets), job.whole.width * POINTS_PER_MM)


def _tables(sheets: Sheets) -> Iterator[Block]:
    layout = sheets.layout
    # The order of work tells how near stakes come, beside other ways to tape.
    out = _ELSEWHERE if sheets.work is None else (*_ELSEWHERE, BlockTopic.ACCURACY)
    for block in layout_blocks(layout):
        if isinstance(block, Table) and block.topic is BlockTopic.CHECKS:
            yield _with_blanks(block)
        elif block.topic not in out:
            yield block


def _with_blanks(found: Table) -> Table:
    return Table(
        title=found.title,
        note=found.note,
        columns=(*found.columns, *(Column(heading=each, blank=True) for each in READINGS)),
        rows=tuple((*row, *("" for _ in READINGS)) for row in found.rows),
    )


def _beside(job: PrintedJob, alike: BoardsAlike) -> Iterator[Flowable]:
    options, width = job.sheets.layout.options, BESIDE * POINTS_PER_MM
    words = Words(options)
    first = alike.patterns[0]
    drawn = front_picture(alike.front, first.line, options, BESIDE)
    title = Listing(
        title=f"Board {alike.front.board} from the building",
        lines=(
            f"along the board scale {drawn.scale}; its height not to scale",
            f"boards with these nails: {', '.join(first.boards)}",
        ),
    )
    yield listing(title, width, _SAID)
    yield PictureBlock(drawn.picture, job.whole)
    for block in _lists(alike, words, NumberedNames(job.sheets.layout.plan)):
        yield (
            listing(block, width, _TAPED)
            if isinstance(block, Listing)
            else table(block, width, _TAPED, tight=True)
        )


def _lists(alike: BoardsAlike, words: Words, names: NumberedNames) -> Iterator[Block]:
    lines = [f"every board stands {words.length(alike.stand_off)} past its corner"]
    if alike.others:
        lines[0] += ", but"
        lines += [f"board {each.name}: {_stands(each, words, names)}" for each in alike.others]
    yield Listing(title="How far", lines=tuple(lines))
    for pattern in alike.patterns[1:]:
        yield _nails(pattern, words, names)


def _stands(board: Board, words: Words, names: NumberedNames) -> str:
    past = "the far face" if board.far_face else names(board.end)
    return f"{words.length(board.stand_off)} past {past}"


def _nails(pattern: NailPattern, words: Words, names: NumberedNames) -> Table:
    sides = ("out", "in") if pattern.line is StringLine.OUTSIDE_FACE else ("right", "left")
    rows = []
    for nail in pattern.nails:
        where = "on it"
        if abs(nail.offset) >= ON_STRING:
            where = f"{words.length(abs(nail.offset))} {sides[nail.offset < 0]}"
        of = f" of {', '.join(map(names, nail.walls))}" if nail.walls else ""
        rows.append((f"{nail.mark}{of}", where))
    many = "s" if len(pattern.boards) > 1 else ""
    return Table(
        title=f"Board{many} {', '.join(pattern.boards)}",
        columns=(Column(heading="nail"), Column(heading="from the string", right=True)),
        rows=tuple(rows),
    )


def _diagonals(taped: Sequence[Check], words: Words, names: NumberedNames) -> Table:
    return Table(
        title="Diagonals",
        columns=(
            Column(heading="from - to"),
            Column(heading="tape reads", right=True),
            Column(heading="allowed +/-", right=True),
            Column(heading="read", blank=True),
        ),
        rows=tuple(
            (
                f"{names(each.from_name)} - {names(each.to_name)}",
                words.length(each.distance),
                words.allowed(each.allowed),
                "",
            )
            for each in taped
        ),
    )
