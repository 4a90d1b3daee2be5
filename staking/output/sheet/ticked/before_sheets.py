"""Before you dig and before you pour: a box for every line, with the job's own numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import PageBreak, Spacer

from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import listing
from staking.output.sheet.ticked.tick_lists import before_the_dig, before_the_pour

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.blocks import Listing
    from staking.output.sheet.printed_job import PrintedJob

_TOGETHER = (
    *((False, size) for size in (11.0, 10.5, 10.0, 9.5, 9.0)),
    *((True, size) for size in (9.5, 9.0, 8.5)),
)
"""Whether the lists are short, and sizes of the lines, points, at which both share a page."""
_ALONE = (11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0)
"""Sizes at which each may have a page to itself; the last one where none does."""
_AIR = 10.0
"""Between two lists on a page, points."""


def before_sheets(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the two lists: on one page where both go on it, else a page each.

    Yields
    ------
    Flowable
        In order.
    """
    width = job.column.width * POINTS_PER_MM
    # Half a point less than the page, for what the page itself rounds away.
    room = job.column.height * POINTS_PER_MM - 0.5
    for short, size in _TOGETHER:
        lists = _lists(job, short=short)
        made = [_close(each, width, size) for each in lists]
        if sum(_high(each, width) for each in made) + _AIR <= room:
            yield from (made[0], Spacer(1, _AIR), made[1])
            return
    lists = _lists(job, short=False)
    yield _alone(lists[0], width, room)
    yield PageBreak()
    yield _alone(lists[1], width, room)


def _lists(job: PrintedJob, *, short: bool) -> tuple[Listing, Listing]:
    sheets = job.sheets
    return before_the_dig(sheets, short=short), before_the_pour(sheets, short=short)


def _close(lines: Listing, width: float, size: float) -> Flowable:
    made = listing(lines, width, size, tick=True, tight=True, taped=True)
    made.setStyle([("TOPPADDING", (0, 0), (-1, -1), 0.1), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.3)])
    return made


def _alone(lines: Listing, width: float, room: float) -> Flowable:
    for size in _ALONE:
        made = listing(lines, width, size, tick=True, taped=True)
        if _high(made, width) <= room:
            break
    return made


def _high(made: Flowable, width: float) -> float:
    return float(made.wrap(width, 1e6)[1])
