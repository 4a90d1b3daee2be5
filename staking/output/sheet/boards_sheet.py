"""Sheet 4, Boards and tapes: where the boards stand, and what is taped between the corners."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.blocks import BlockTopic, Column, Table
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.card.corner_card import READINGS
from staking.output.sheet.sheet_tables import flow
from staking.output.tables.layout_tables import layout_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.blocks import Block
    from staking.output.sheet.printed_job import PrintedJob
    from staking.project.sheets import Sheets

_LISTED = (BlockTopic.CAUTIONS,)
"""Blocks of the terminal that the sheets' own lists take the place of."""


def boards_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of boards and tapes.

    Yields
    ------
    Flowable
        In order.
    """
    yield from flow(_set_up(job.sheets), job.column.width * POINTS_PER_MM)


def _set_up(sheets: Sheets) -> Iterator[Block]:
    layout = sheets.layout
    # The order of work tells how near stakes come, beside other ways to tape.
    out = _LISTED if sheets.work is None else (*_LISTED, BlockTopic.ACCURACY)
    for block in layout_blocks(layout):
        if isinstance(block, Table) and block.topic is BlockTopic.CHECKS:
            yield _with_blanks(block)
        elif block.topic not in out:
            yield block


def _with_blanks(table: Table) -> Table:
    return Table(
        title=table.title,
        note=table.note,
        columns=(*table.columns, *(Column(heading=each, blank=True) for each in READINGS)),
        rows=tuple((*row, *("" for _ in READINGS)) for row in table.rows),
    )
