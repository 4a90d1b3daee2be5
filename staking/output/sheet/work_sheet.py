"""The order of work: what is done days before, the first tapes as pictures, step by step."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, Spacer
from reportlab.platypus import Table as Grid

from staking.output.pictures.lettering import BOLD_FACE, FACE, points_wide
from staking.output.pictures.pdf_backend import BLACK, POINTS_PER_MM, draw_picture, ink
from staking.output.sheet.figure_rows import figure_rows
from staking.output.sheet_drawings.work_pictures import WorkPicture, work_pictures
from staking.output.tables.work_on_paper import PaperStep, paper_steps

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.layout.steps.work import WorkPlan
    from staking.output.sheet.printed_job import PrintedJob

_WAYS = (
    (False, 10.0),
    (False, 9.5),
    (True, 10.0),
    (True, 9.5),
    (True, 9.0),
    (True, 8.5),
    (True, 8.0),
)
"""Whether boards, strings and checks are short, and the size of words, points, tried for a page."""
_LONG = (9.5, 9.0, 8.5, 8.0)
"""The sizes of words where one page does not hold it, points: the largest that takes the fewest
pages, so that no page is taken for a last step or two."""
_MOST = 4
"""Pictures at most."""
_PICTURE = 32.5
"""Height of a picture, mm."""
_UNDER = 5.0
"""Room for the words under a picture, mm."""
_GAP = 4.0
"""Between two pictures, mm."""


def work_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the order of work.

    Yields
    ------
    Flowable
        On one page where it goes on it, what other sheets hold drawn together; nothing where
        there is no outline to set out.
    """
    sheets = job.sheets
    if sheets.work is None:
        return
    width, room = (each * POINTS_PER_MM for each in (job.column.width, job.column.height))
    strip = _strip(job, sheets.work)
    said = {
        short: paper_steps(sheets.layout, sheets.work, short=short)
        for short in dict.fromkeys(short for short, _ in _WAYS)
    }
    for short, size in _WAYS:
        steps = said[short]
        if len(steps) * size > room:
            # Not even with one row for each: nothing is set to find that out.
            continue
        made = [*strip, *_parts(steps, width, size)]
        if sum(float(each.wrap(width, room)[1]) for each in made) + 0.5 <= room:
            yield from made
            return
    ways = [_parts(said[True], width, size) for size in _LONG]
    beside = sum(float(each.wrap(width, room)[1]) for each in strip)
    yield from strip
    # The first of the ways that take equally few is the one in the largest type.
    yield from min(ways, key=lambda made: _pages(made[0], width, room, room - beside))


def _pages(piece: Flowable, width: float, room: float, left: float) -> int:
    # How many pages a piece takes where the first has `left` of its room, points.
    count = 1
    while float(piece.wrap(width, room)[1]) > left:
        parts = piece.split(width, left)
        if len(parts) < 2:
            if left == room:
                return count
            parts = [None, piece]
        count, piece, left = count + 1, parts[1], room
    return count


def _parts(steps: Sequence[PaperStep], width: float, size: float) -> list[Flowable]:
    # One table: each part's name over its steps, which it is not parted from.
    left = max(points_wide(each.numbers, size) for each in steps) + 6
    rows: list[list[str | _Sentence]] = []
    style: list[tuple[object, ...]] = [
        ("FONT", (0, 0), (-1, -1), FACE, size, 1.15 * size),
        ("ALIGN", (0, 0), (0, -1), "RIGHT"),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 0.2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 0.4),
    ]
    for part, group in groupby(steps, key=lambda each: each.part):
        at = len(rows)
        style += [
            ("SPAN", (0, at), (-1, at)),
            ("ALIGN", (0, at), (-1, at), "LEFT"),
            ("FONT", (0, at), (-1, at), BOLD_FACE, 1.1 * size, 1.25 * size),
            ("LINEBELOW", (0, at), (-1, at), 0.5, "#000000"),
            ("NOSPLIT", (0, at), (-1, at + 1)),
        ]
        rows.append([part, ""])
        for each in group:
            said = _Sentence(each.text, size, width - left - 4)
            style.append(("TOPPADDING", (0, len(rows)), (0, len(rows)), 0.2 + said.first - size))
            rows.append([each.numbers, said])
    return [Grid(rows, colWidths=[left, width - left], style=style, hAlign="LEFT")]


class _Sentence(Flowable):  # type: ignore[misc]
    """A step, its tapes larger than its words."""

    def __init__(self, text: str, size: float, width: float) -> None:
        super().__init__()
        self._rows = figure_rows(text, size, width)
        self.width, self.height = width, sum(row.height for row in self._rows)

    @property
    def first(self) -> float:
        """The largest type of its first row, points."""
        return self._rows[0].size

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Write the rows."""
        self.canv.setFillColor(ink(BLACK))
        y = self.height
        for row in self._rows:
            row.draw(self.canv, 0.0, y - row.size)
            y -= row.height


def _strip(job: PrintedJob, work: WorkPlan) -> list[Flowable]:
    layout, values = job.sheets.layout, job.sheets.values
    arcs = () if values is None or values.lot is None else values.lot.arcs
    across = job.column.width - (_MOST - 1) * _GAP
    sizes = [(across / _MOST, _PICTURE)] * _MOST
    pictures = work_pictures(layout, work, arcs, sizes)
    return [_WorkStrip(pictures, job.column.width), Spacer(1, 3)] if pictures else []


class _WorkStrip(Flowable):  # type: ignore[misc]
    """Pictures beside one another, the steps they show under them."""

    def __init__(self, pictures: Sequence[WorkPicture], width: float) -> None:
        super().__init__()
        self._pictures = pictures
        self.width = width * POINTS_PER_MM
        self.height = (_PICTURE + _UNDER) * POINTS_PER_MM

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the pictures and what is under them."""
        x = 0.0
        for each in self._pictures:
            self.canv.saveState()
            self.canv.translate(x * POINTS_PER_MM, _UNDER * POINTS_PER_MM)
            draw_picture(self.canv, each.picture)
            self.canv.restoreState()
            self.canv.setFillColor(ink(BLACK))
            self.canv.setFont(FACE, 9)
            middle = (x + each.picture.width / 2) * POINTS_PER_MM
            self.canv.drawCentredString(middle, 1.5 * POINTS_PER_MM, f"{each.steps}, to no scale")
            x += each.picture.width + _GAP
