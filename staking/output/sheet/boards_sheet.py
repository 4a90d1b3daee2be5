"""Sheet 4, Boards and tapes: boards by their numbers, diagonals with blanks, one board in front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.grade.setting_out.level_groups import levels_by_place
from staking.kinds import LevelKind, StringLine
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.dimensions_sheet import TURNED
from staking.output.sheet.drawing_page import (
    BESIDE,
    DrawingPage,
    pages_of_parts,
)
from staking.output.sheet.picture_block import PictureBlock, TitledPicture
from staking.output.sheet.sheet_tables import listing, table
from staking.output.sheet_drawings.board_plan import (
    MOST_DRAWN,
    ON_STRING,
    diagonals,
    front_picture,
)
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE

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
_SIDELESS = {
    "left face": "face",
    "right face": "face",
    "left footing edge": "footing edge",
    "right footing edge": "footing edge",
}
"""What a mark is called where one row says it of both sides."""
_OFF_LEVEL = (
    'The cards\' column "off level": how much higher one end may be before\n'
    "the tape reads a sixteenth of an inch too long. Plumb down from the high end."
)
"""What stands at the foot of the plan where the ground slopes."""
_MOST_LISTED = 8
"""More boards that stand elsewhere than this are left to their cards where room is short."""
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
    plans = job.plans
    if values is None or plans is None or not (layout.boards or layout.checks):
        return
    taped = _as_walked(layout, diagonals(layout))
    notes = [TURNED] if plans.is_turned else []
    note = "\n".join(notes if layout.grade is None else [_OFF_LEVEL, *notes])
    is_cut = plans.cut is not None
    boards = values.boards

    def beside(*, brief: bool) -> list[Flowable]:
        pieces = [] if boards is None else list(beside_boards(job, boards, brief=brief))
        if is_cut or len(taped) > MOST_DRAWN:
            tapes = _diagonals(taped, Words(layout.options), NumberedNames(layout.plan))
            made = table(tapes, BESIDE * POINTS_PER_MM, _TAPED, fill=True, tight=True)
            pieces.insert(1 if brief else len(pieces), made)
        return pieces

    if is_cut:
        pieces = beside(brief=False)
        yield from pages_of_parts("Boards and tapes", plans.board_parts(), pieces, job.whole, note)
        return
    drawn = plans.boards

    def page_with(*, brief: bool) -> DrawingPage:
        return DrawingPage(
            "Boards and tapes", drawn.scale, drawn.picture, beside(brief=brief), job.whole, note,
            lies=plans.lies,
        )  # fmt: skip

    page = page_with(brief=False)
    if page.rest:
        # What the cards give too is not worth a page.
        brief = page_with(brief=True)
        page = page if brief.rest else brief
    yield page
    yield from page.after(job.whole)


def beside_boards(
    job: PrintedJob, alike: BoardsAlike, across: float = BESIDE, *, brief: bool = False
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
    brief
        Whether what the cards give too is left to them.

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
            f"Scale {drawn.scale} along the board; its height is not to scale.",
            f"Boards with these nails: {_listed(first.boards)}.",
        ),
    )
    yield TitledPicture(
        listing(title, width, _SAID, tight=True), PictureBlock(drawn.picture, job.whole)
    )
    for block in _lists(layout, alike, words, NumberedNames(layout.plan), brief=brief):
        yield (
            listing(block, width, _TAPED, tight=True, taped=True)
            if isinstance(block, Listing)
            else table(block, width, _TAPED, tight=True)
        )


def _lists(
    layout: Layout, alike: BoardsAlike, words: Words, names: NumberedNames, *, brief: bool
) -> Iterator[Block]:
    lines = [f"Every board stands {words.length(alike.stand_off)} past its corner"]
    if brief and len(alike.others) > _MOST_LISTED:
        lines[0] += f"; the cards have boards {_listed([each.name for each in alike.others])}."
    else:
        lines[0] += ", except:" if alike.others else "."
        places: dict[str, list[str]] = {}
        for each in alike.others:
            places.setdefault(_stands(each, words, names), []).append(each.name)
        for place, boards in places.items():
            lines.append(f"board{'s' if len(boards) > 1 else ''} {_listed(boards)}: {place}.")
    yield Listing(title="How far out boards stand", lines=tuple(lines))
    if layout.grade is not None:
        yield Listing(
            title="How high strings and boards are",
            lines=tuple(_heights(layout, layout.grade, words)),
        )
    if brief and alike.patterns[1:]:
        others = _listed([name for each in alike.patterns[1:] for name in each.boards])
        yield Listing(title="Other nails", lines=(f"The cards have boards {others}.",))
    for pattern in () if brief else alike.patterns[1:]:
        yield _nails(pattern, words, names)


def _listed(boards: Sequence[str]) -> str:
    # Numbers that follow one another are given by the first and the last.
    numbers = sorted(int(each) for each in boards if each.isdecimal())
    if len(numbers) != len(boards):
        return ", ".join(boards)
    runs: list[list[int]] = []
    for each in numbers:
        if runs and each == runs[-1][-1] + 1:
            runs[-1].append(each)
        else:
            runs.append([each])
    return ", ".join(
        f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )


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
        yield f"These are added to the rod's reading on {safe(graded.benchmark)}."
    for each in graded.boards:
        if graded.string is not None and abs(each.top - graded.string) > ON_LINE:
            yield f"board {each.board}: top {words.level(each.top)}"
    if stone > 0:
        yield f"The footings stand on {words.length(stone)} of stone over the dig level."


def _stands(board: Board, words: Words, names: NumberedNames) -> str:
    past = "the far face" if board.far_face else names(board.past)
    return f"{words.length(board.stand_off)} past {past}"


def _nails(pattern: NailPattern, words: Words, names: NumberedNames) -> Table:
    sides = ("out", "in") if pattern.line is StringLine.OUTSIDE_FACE else ("right", "left")
    mirrored = _mirrored(pattern)
    nails = [nail for nail in pattern.nails if not mirrored or nail.offset > -ON_STRING]
    rows = []
    for nail in nails:
        where = "on it"
        if abs(nail.offset) >= ON_STRING:
            side = "each side" if mirrored else sides[nail.offset < 0]
            where = f"{words.length(abs(nail.offset))} {side}"
        of = f" of {', '.join(map(names, nail.walls))}" if nail.walls else ""
        mark = _SIDELESS.get(nail.mark, nail.mark) if mirrored else nail.mark
        rows.append((f"{mark}{of}", where))
    many = "s" if len(pattern.boards) > 1 else ""
    return Table(
        title=f"Board{many} {_listed(pattern.boards)}",
        columns=(Column(heading="nail"), Column(heading="from the string", right=True)),
        rows=tuple(rows),
    )


def _mirrored(pattern: NailPattern) -> bool:
    # Whether the nails left of the string are those right of it: one row then says both.
    if pattern.line is not StringLine.CENTRE:
        return False

    def side(sign: int) -> list[tuple[str, float]]:
        return sorted(
            (_SIDELESS.get(nail.mark, nail.mark), round(sign * nail.offset, 6))
            for nail in pattern.nails
            if sign * nail.offset >= ON_STRING and not nail.walls
        )

    beside = [nail for nail in pattern.nails if abs(nail.offset) >= ON_STRING]
    return bool(beside) and side(1) == side(-1) and len(side(1)) * 2 == len(beside)


def _as_walked(layout: Layout, taped: Sequence[Check]) -> list[Check]:
    # By their first corners, as one walks round the building.
    order = {name: at for at, name in enumerate(layout.plan.corner_points)}
    return sorted(taped, key=lambda check: sorted((order[check.from_name], order[check.to_name])))


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
