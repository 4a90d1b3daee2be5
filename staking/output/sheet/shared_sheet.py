"""Dimensions and boards on one sheet, where everything that stands on both finds room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import SheetKind
from staking.output.sheet.boards_sheet import beside_boards
from staking.output.sheet.dimensions_sheet import beside_dimensions, what_is_drawn
from staking.output.sheet.drawing_page import DrawingPage, drawing_room
from staking.output.sheet_drawings.shared_plan import shared_picture

if TYPE_CHECKING:
    from staking.output.sheet.printed_job import PrintedJob

_BOTH = frozenset({SheetKind.DIMENSIONS, SheetKind.BOARDS})


def shared_sheet(job: PrintedJob) -> DrawingPage | None:
    """Set dimensions and boards on one page.

    Parameters
    ----------
    job
        The job.

    Returns
    -------
    DrawingPage or None
        None where one of the two is not printed or has nothing, where their words do not stand
        clear of one another in one plan, or where what stands beside it needs another page.
    """
    layout, values = job.sheets.layout, job.sheets.values
    if not set(job.kinds) >= _BOTH or values is None:
        return None
    if values.boards is None or not values.dimensions:
        return None
    drawn = shared_picture(layout, values.dimensions, drawing_room(job.whole))
    if drawn is None:
        return None
    page = DrawingPage(
        "Dimensions, boards and tapes",
        drawn.scale,
        drawn.picture,
        [*beside_dimensions(job), *beside_boards(job, values.boards)],
        job.whole,
        what_is_drawn(layout),
    )
    return None if page.rest else page
