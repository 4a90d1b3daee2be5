"""The order: what is bought, with its arithmetic."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Spacer

from staking.notices import Severity
from staking.output.blocks import Listing
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import SMALL, listing, table
from staking.output.sheet.two_columns import TwoColumns
from staking.output.tables.notice_listings import notice_blocks
from staking.output.tables.order.order_on_paper import order_on_paper
from staking.output.tables.order.order_tables import ORDER_CAUTION
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from reportlab.platypus import Flowable

    from staking.notices import Notice
    from staking.output.blocks import Table
    from staking.output.sheet.printed_job import PrintedJob

_GAP = 12.0
"""Between the two columns, points."""
_AIR = 4.0
"""Between the parts, points."""
_WORKED_OUT = "How each figure is worked out stands in order.csv; staking order prints it."


def order_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the order: what is called for first at its head, the arithmetic at its foot.

    The arithmetic, and then what is only noted, is left out where the order goes on one page
    without it, and not with it.

    Yields
    ------
    Flowable
        In order; nothing for a job without an order section.
    """
    sheets = job.sheets
    if sheets.ordered is None:
        return
    width, room = (each * POINTS_PER_MM for each in (job.column.width, job.column.height))
    order = order_on_paper(sheets.layout, sheets.ordered)
    noted, heavy = (
        _listings(notices, Words(sheets.layout.options))
        for notices in (
            sheets.ordered.notices,
            [each for each in sheets.ordered.notices if each.severity is not Severity.NOTE],
        )
    )
    narrow, all_of_it = order.narrow, (*order.narrow, order.rest)
    everything = [_close(order.everything, width), Spacer(1, _AIR)]
    ways = (
        [*_columns(narrow, width), *everything, *_said((ORDER_CAUTION,), noted, width)],
        [*_columns(all_of_it, width), *_said((ORDER_CAUTION, _WORKED_OUT), noted, width)],
        [*_columns(all_of_it, width), *_said((ORDER_CAUTION, _WORKED_OUT), heavy, width)],
    )
    yield from next((each for each in ways if _high(each, width, room) <= room), ways[0])


def _listings(notices: Sequence[Notice], words: Words) -> list[Listing]:
    blocks = notice_blocks(notices, words)
    return [block for block in blocks if isinstance(block, Listing)]


def _columns(tables: Sequence[Table], width: float) -> list[Flowable]:
    made = [_close(each, (width - _GAP) / 2) for each in tables]
    return [TwoColumns(made, width, _GAP), Spacer(1, _AIR)]


def _close(block: Table, width: float) -> Flowable:
    made = table(block, width, SMALL, tight=True)
    made.setStyle([("TOPPADDING", (0, 0), (-1, -1), 0.2), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.0)])
    return made


def _said(lines: tuple[str, ...], noted: Sequence[Listing], width: float) -> list[Flowable]:
    before = Listing(title="Before you order", lines=lines)
    return [listing(each, width, SMALL) for each in (before, *noted)]


def _high(parts: Sequence[Flowable], width: float, room: float) -> float:
    # A little more, for what the page itself rounds away.
    return sum(float(each.wrap(width, room)[1]) for each in parts) + 0.5
