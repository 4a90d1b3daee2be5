"""Sheet 1, Start here: the verdict, what is broken, the first acts, the list of sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, FrameBreak, Spacer
from reportlab.platypus import Table as Grid

from staking.kinds import SheetKind
from staking.notices import Severity
from staking.output.blocks import Listing
from staking.output.first_words import (
    NOTHING_BROKEN,
    SETTLE_FIRST,
    act_texts,
    benchmark_text,
    broken_texts,
    deepest_text,
)
from staking.output.pictures.lettering import BOLD_FACE, FACE, printable
from staking.output.pictures.pdf_backend import BLACK, POINTS_PER_MM, ink
from staking.output.sheet.picture_block import PictureBlock
from staking.output.sheet.sheet_tables import broken, listing
from staking.output.sheet.titles_of_sheets import TITLES
from staking.output.sheet_drawings.dimension_plan import dimension_picture
from staking.output.sheet_drawings.key_plan import key_plan
from staking.output.sheet_drawings.match_lines import Cut
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.tables.notice_listings import notice_blocks, notice_sentence
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.laid_out.first_things import DeepestDig
    from staking.output.pictures.picture import Picture
    from staking.output.sheet.printed_job import PrintedJob

_LARGE = 11.0
"""Size of what is read on site, points."""
_SMALL = 9.0
"""Size of other words, points."""
_PLAN = (92.0, 74.0)
"""Room of the small plan, mm."""
_LARGE_PLAN = (120.0, 150.0)
"""Room of the plan that has half a sheet with the list of sheets, mm."""
_MOST_NAMED = 16
"""More corners than this are not named on the small plan."""
_BLANK = "________________"


def start_here(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the first sheet.

    Yields
    ------
    Flowable
        In order.
    """
    sheets, width = job.sheets, job.column.width * POINTS_PER_MM
    words = Words(sheets.layout.options)
    yield _Verdict(broken_texts(sheets.first.broken, words), width)
    yield Spacer(1, 8)
    acts = act_texts(sheets.first, words)
    if acts:
        yield listing(Listing(title="First", lines=acts), width, _LARGE, tick=True)
        yield Spacer(1, 6)
    call = (
        f"Call the utility locating service: ticket {_BLANK}   earliest dig {_BLANK}",
        "Nobody digs before every line is marked; private lines are not marked for you.",
    )
    yield listing(Listing(title="Before anyone digs", lines=call), width, _LARGE, tick=True)
    yield Spacer(1, 6)
    levels = _levels(sheets.first.deepest, words)
    if levels:
        yield listing(Listing(title="Levels", lines=levels), width, _LARGE)
        yield Spacer(1, 6)
    if not job.has_two_columns:
        yield _plan_and_list(job, width, _PLAN)
        yield Spacer(1, 6)
    changes = [
        notice_sentence(each, words)
        for each in sheets.changes
        if each.severity is not Severity.NOTE
    ]
    if changes:
        since = Listing(title="Since the last layout here", lines=tuple(changes))
        yield listing(since, width, _SMALL, taped=True)
        yield Spacer(1, 6)
    notices = [each for each in sheets.layout.notices if each.severity is Severity.WARNING]
    for block in notice_blocks(notices, words):
        yield listing(block, width, _SMALL, taped=True)
        yield Spacer(1, 6)
    numbered = NumberedNames(sheets.layout.plan).numbered
    if numbered:
        named = ", ".join(f"{number} is {safe(name)}" for number, name in numbered)
        yield listing(Listing(title="Names on the plans", lines=(f"{named}.",)), width, _SMALL)
    if job.has_two_columns:
        # The plan and the list have the other half of the sheet.
        yield FrameBreak()
        yield _plan_and_list(job, width, _LARGE_PLAN)


def _levels(deepest: DeepestDig | None, words: Words) -> tuple[str, ...]:
    if deepest is None:
        return ()
    benchmark = benchmark_text(deepest, words)
    return (*(() if benchmark is None else (benchmark,)), deepest_text(deepest, words))


def _plan_and_list(job: PrintedJob, width: float, room: tuple[float, float]) -> Flowable:
    picture = _small_plan(job, room)
    left = (room[0] + 4.0) * POINTS_PER_MM
    return Grid(
        [[PictureBlock(picture, job.column), _SheetList(job.kinds, width - left)]],
        colWidths=[left, width - left],
        style=[
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 0),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
        ],
    )


def _small_plan(job: PrintedJob, room: tuple[float, float]) -> Picture:
    # Many corners named on it would be a heap of names: those that are staked first are.
    layout, work, plans = job.sheets.layout, job.sheets.work, job.plans
    if plans is None or work is None or len(layout.plan.corner_points) <= _MOST_NAMED:
        return dimension_picture(layout, (), room).picture
    cut = plans.cut or Cut(upright=(), level=())
    return key_plan(plans.layout, cut, room, named=(work.base.first, work.base.second))


class _Verdict(Flowable):  # type: ignore[misc]
    """Whether anything is broken; what is, in a heavy frame."""

    def __init__(self, lines: Sequence[str], width: float) -> None:
        super().__init__()
        self._pad = 7.0 if lines else 0.0
        room = width - 2 * self._pad
        self._title = f"Broken: {SETTLE_FIRST}" if lines else NOTHING_BROKEN
        self._rows = [row for line in lines for row in broken(printable(line), FACE, _LARGE, room)]
        self.width = width
        self.height = 18.0 + 2 * self._pad + 13.5 * len(self._rows)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the frame and the words."""
        canvas = self.canv
        canvas.setFillColor(ink(BLACK))
        y = self.height - self._pad - 12.0
        canvas.setFont(BOLD_FACE, 13)
        canvas.drawString(self._pad, y, self._title)
        canvas.setFont(FACE, _LARGE)
        for row in self._rows:
            y -= 13.5
            canvas.drawString(self._pad, y, row)
        if self._rows:
            canvas.setStrokeColor(ink(BLACK))
            canvas.setLineWidth(2.4)
            canvas.rect(1.2, 1.2, self.width - 2.4, self.height - 2.4, stroke=1, fill=0)


class _SheetList(Flowable):  # type: ignore[misc]
    """The sheets that are printed, each with its page, which is known when all are set."""

    def __init__(self, kinds: Sequence[SheetKind], width: float) -> None:
        super().__init__()
        self._kinds = kinds
        self.width, self.height = width, 18.0 + 15.0 * len(kinds)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Write the titles, and leave word where their pages' numbers go."""
        canvas = self.canv
        y = self.height - 12.0
        canvas.setFillColor(ink(BLACK))
        canvas.setFont(BOLD_FACE, _LARGE * 1.15)
        canvas.drawString(0, y, "Sheets")
        canvas.setFont(FACE, _LARGE)
        for kind in self._kinds:
            y -= 15.0
            canvas.drawString(0, y, printable(TITLES[kind]))
            x, up = canvas.absolutePosition(self.width, y)
            canvas.refer_to(kind, x, up, _LARGE)
