"""Sheet 5, Dig: how deep in every run, where it steps, and a picture of the steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.pictures.steps_picture import steps_picture
from staking.output.sheet.dig_plan import dig_plan
from staking.output.sheet.picture_block import PictureBlock

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob

_ELSEWHERE = ("Boards", "From the ground", "Cover")
"""Tables of levels that the cards and the boards' sheet have too, or that nobody digs by."""
_SIZE = 11.0
"""Size of what is read on the rod, points."""
_PLAN = 0.6
"""The plan's part of the page's height."""
_AIR = 2.5
"""Under each of the two, mm."""


def dig_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of the dig.

    Yields
    ------
    Flowable
        The plan, the picture of the steps, then the rod's list; nothing for a job without levels.
    """
    layout, column = job.sheets.layout, job.column
    if layout.grade is None or not layout.grade.walls:
        return
    tall = column.height - 2 * _AIR
    yield PictureBlock(dig_plan(layout, layout.grade, column.width, _PLAN * tall), column)
    yield PictureBlock(steps_picture(layout, column.width, (1 - _PLAN) * tall), column)
