"""Sheet 5, Dig: the levels of every run, the steps, and what the trench is dug to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.blocks import BlockTopic
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import flow
from staking.output.tables.grade_tables import grade_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob

_LISTED = (BlockTopic.CAUTIONS,)
"""Blocks of the terminal that the sheets' own lists take the place of."""


def dig_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of the dig.

    Yields
    ------
    Flowable
        In order; nothing for a job without levels.
    """
    layout = job.sheets.layout
    if layout.grade is None:
        return
    blocks = [block for block in grade_blocks(layout) if block.topic not in _LISTED]
    yield from flow(blocks, job.column.width * POINTS_PER_MM)
