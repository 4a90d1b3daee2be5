"""Before you dig and before you pour: a box for every line, with the job's own numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import KeepTogether, Spacer

from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.sheet_tables import listing
from staking.output.sheet.tick_lists import before_the_dig, before_the_pour

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob

_SIZE = 10.0
"""Size of the lines, points."""


def before_sheets(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the two lists.

    Yields
    ------
    Flowable
        In order.
    """
    width = job.column.width * POINTS_PER_MM
    for each in (before_the_dig(job.sheets), before_the_pour(job.sheets)):
        yield KeepTogether([listing(each, width, _SIZE, tick=True), Spacer(1, 12)])
