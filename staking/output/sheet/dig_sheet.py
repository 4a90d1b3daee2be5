"""Sheet 5, Dig: how deep in every run, where it steps, and a picture of the steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import FrameBreak

from staking.output.pictures.steps_picture import steps_picture
from staking.output.sheet.dig_plan import dig_plan, largest_ratio
from staking.output.sheet.picture_block import PictureBlock

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob

_PLANS = (0.6, 0.68)
"""The plan's part of the page's height; more of it where its scale then is much larger."""
_MUCH = 1.5
"""How many times larger that is."""
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
    graded = layout.grade
    if graded is None or not graded.walls:
        return
    ordered = job.sheets.ordered
    drain = None if ordered is None else ordered.drain.on_plan
    tall = column.height - 2 * _AIR
    if job.has_two_columns:
        # Beside one another each has the whole height.
        yield PictureBlock(dig_plan(layout, graded, column.width, tall, drain), column)
        yield FrameBreak()
        yield PictureBlock(steps_picture(layout, column.width, tall), column)
        return
    small, large = (largest_ratio(layout, graded, column.width, part * tall) for part in _PLANS)
    part = _PLANS[small >= _MUCH * large]
    yield PictureBlock(dig_plan(layout, graded, column.width, part * tall, drain), column)
    yield PictureBlock(steps_picture(layout, column.width, (1 - part) * tall), column)
