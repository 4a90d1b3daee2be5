"""Sheet 1, Start here: the verdict, what is broken, the first acts, the list of sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import flow
from staking.output.tables.notice_listings import notice_blocks
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob


def start_here(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the first sheet.

    Yields
    ------
    Flowable
        In order.
    """
    layout = job.sheets.layout
    words = Words(layout.options)
    yield from flow(notice_blocks(layout.notices, words), job.column.width * POINTS_PER_MM)
