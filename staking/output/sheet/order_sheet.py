"""The order: what is bought, with its arithmetic."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.output.blocks import Table
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import flow
from staking.output.tables.notice_listings import notice_blocks
from staking.output.tables.order_tables import order_blocks
from staking.output.wording import Words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.blocks import Block
    from staking.output.sheet.printed_job import PrintedJob


def order_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the order.

    Yields
    ------
    Flowable
        In order; nothing for a job without an order section.
    """
    sheets = job.sheets
    if sheets.ordered is None:
        return
    words = Words(sheets.layout.options)
    blocks = (
        *notice_blocks(sheets.ordered.notices, words),
        *map(_uncautioned, order_blocks(sheets.layout, sheets.ordered)),
    )
    yield from flow(blocks, job.column.width * POINTS_PER_MM)


def _uncautioned(block: Block) -> Block:
    # The sheets' own lists hold the cautions.
    if isinstance(block, Table):
        return block
    return replace(block, lines=tuple(e for e in block.lines if e not in LAYOUT_CAUTIONS))
