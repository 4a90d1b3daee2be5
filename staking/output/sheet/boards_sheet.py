"""Sheet 4, Boards and tapes: boards by their numbers, diagonals with blanks, one board in front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.grade.setting_out.level_groups import levels_by_place
from staking.kinds import LevelKind, StringLine
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.drawing_page import BESIDE, DrawingPage, drawing_room
from staking.output.sheet.picture_block import PictureBlock, TitledPicture
from staking.output.sheet.sheet_tables import listing, table
from staking.output.sheet_drawings.board_plan import (
    MOST_DRAWN,
    ON_STRING,
    board_picture,
    diagonals,
    front_picture,
)
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE
from staking.units import INCH

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import Flowable

    from staking.grade.graded import Graded
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Check
    from staking.layout.nail_patterns import BoardsAlike, NailPattern
    from staking.output.sheet.printed_job import PrintedJob

_TAPED = 11.0
"""Size of what is taped, points."""
_SAID = 9.0
"""Size of other words, points."""
_OFF_LEVEL = "Off level"
_ELSEWHERE = frozenset({
    LevelKind.LOWER_STRING,
    LevelKind.TOP_OF_FOOTING,
    LevelKind.BOTTOM_OF_FOOTING,
    LevelKind.DIG,
    LevelKind.TOP_OF_PAD,
    LevelKind.BOTTOM_OF_PAD,
    LevelKind.DIG_UNDER_PAD,
})
"""Levels that stand on the dig's plan, the cards and the profiles."""


def boards_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of boards and tapes.

    Yields
    ------
    Flowable
        The page with the plan, and what finds no room beside it; the cards have the rest.
    """
    sheets = job.sheets
    layout, values = sheets.layout, sheets.values
    if values is None or not (layout.boards or layout.checks):
        return
    drawn = board_picture(layout, drawing_room(job.whole))
    beside = [] if values.boards is None else list(beside_boards(job, values.boards))
    taped = diagonals(layout)
    if len(taped) > MOST_DRAWN:
        tapes = _diagonals(taped, Words(layout.options), NumberedNames(layout.plan))
        beside.append(table(tapes, BESIDE * POINTS_PER_MM, _TAPED, fill=True, tight=True))
    page = DrawingPage("Boards and tapes", drawn.scale, drawn.picture, beside, job.whole)
    yield page
    yield from page.after(job.whole)


def beside_boards(
    job: PrintedJob, alike: BoardsAlike, across: float = BESIDE
) -> Iterator[Flowable]:
    """Set what stands beside the boards: one from the front, how far and how high they stand.

    Parameters
    ----------
    job
        The job.
    alike
        What its boards have in common.
    across
        The width for it, mm.

    Yields
    ------
    Flowable
        In order.
    """
    layout, width = job.sheets.layout, across * POINTS_PER_MM
    options, words = layout.options, Words(layout.options)
    first = alike.patterns[0]
    drawn = front_picture(alike.front, first.line, options, across)
    title = Listing(
        title=f"Board {alike.front.board} from the building",
        lines=(
            f"along the board scale {drawn.scale}; its height not to scale",
            f"boards with these nails: {', '.join(first.boards)}",
        ),
    )
    yield TitledPicture(
        listing(title, width, _SAID, tight=True), PictureBlock(drawn.picture, job.whole)
    )
    for block in _lists(layout, alike, words, NumberedNames(layout.plan)):
        yield (
            listing(
                block, width, _SAID if block.title == _OFF_LEVEL else _TAPED, tight=True, taped=True
            )
            if isinstance(block, Listing)
            else table(block, width, _TAPED, tight=True)
        )


def _lists(
    layout: Layout, alike: BoardsAlike, words: Words, names: NumberedNames
) -> Iterator[Block]:
    lines = [f"every board stands {words.length(alike.stand_off)} past its corner"]
    if alike.others:
        lines[0] += ", but"
        places: dict[str, list[str]] = {}
        for each in alike.others:
            places.setdefault(_stands(each, words, names), []).append(each.name)
        for place, boards in places.items():
            lines.append(f"board{'s' if len(boards) > 1 else ''} {', '.join(boards)}: {place}")
    yield Listing(title="How far", lines=tuple(lines))
    if layout.grade is not None:
        yield Listing(title="How high", lines=tuple(_heights(layout, layout.grade, words)))
    for pattern in alike.patterns[1:]:
        yield _nails(pattern, words, names)
    if layout.grade is not None:
        yield _off_level(words)


def _heights(layout: Layout, graded: Graded, words: Words) -> Iterator[str]:
    # The levels that no run, no card and no pad has, and the boards that stand higher or lower.
    stone = layout.options.dig.base
    for mark, where in levels_by_place(graded.levels, on_stone=stone > 0):
        if mark.what in _ELSEWHERE:
            continue
        of = f" of {safe(', '.join(where))}" if where else ""
        said = f"{mark.what}{of} {words.level(mark.level)}"
        if mark.add_to_benchmark is not None:
            added = words.added(mark.add_to_benchmark, graded.rod)
            said += f", {added}" if added.startswith("less ") else f", add {added}"
        yield said
    if graded.benchmark is not None:
        yield f"added to the rod's reading on {safe(graded.benchmark)}"
    for each in graded.boards:
        if graded.string is not None and abs(each.top - graded.string) > ON_LINE:
            yield f"board {each.board}: top {words.level(each.top)}"
    if stone > 0:
        yield f"footings' bottom {words.length(stone)} over the dig level, on stone"


def _off_level(words: Words) -> Listing:
    more = words.length(INCH / 16)
    return Listing(
        title=_OFF_LEVEL,
        lines=(
            f"What the cards give: one end of the tape so much higher, and it reads {more} too "
            "long. Plumb down from the high end.",
        ),
    )


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
            Column(heading="read", blank=True),
        ),
        rows=tuple(
            (
                f"{names(each.from_name)} - {names(each.to_name)}",
                words.length(each.distance),
                "",
            )
            for each in taped
        ),
    )
