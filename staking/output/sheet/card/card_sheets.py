"""The cards, two a page: half a page for each corner."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.sheet.card.corner_card import corner_sheets
from staking.output.sheet.card.half_page import CornerBlock

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob


def card_sheets(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the cards.

    Yields
    ------
    Flowable
        One for each card.
    """
    layout, column = job.sheets.layout, job.column
    for corner in corner_sheets(job.sheets):
        yield CornerBlock(layout, corner, column.width, column.height / 2, layout.mark)
