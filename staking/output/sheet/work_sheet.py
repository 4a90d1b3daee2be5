"""The order of work, step by step for two people and one tape."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import flow
from staking.output.tables.work_tables import work_blocks

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob


def work_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the order of work.

    Yields
    ------
    Flowable
        In order; nothing where there is no outline to set out.
    """
    sheets = job.sheets
    if sheets.work is not None:
        blocks = work_blocks(sheets.layout, sheets.work)
        yield from flow(blocks, job.column.width * POINTS_PER_MM)
