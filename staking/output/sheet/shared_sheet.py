"""Dimensions and boards on one sheet, where everything that stands on both finds room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import SheetKind
from staking.output.sheet.boards_sheet import beside_boards
from staking.output.sheet.dimensions_sheet import beside_dimensions, what_is_drawn
from staking.output.sheet.drawing_page import BESIDE, DrawingPage

if TYPE_CHECKING:
    from staking.output.sheet.printed_job import PrintedJob

_GAP = 5.1
"""Between the drawing and what stands beside it, mm."""
_NARROWEST = 50.0
"""A column beside the drawing is no narrower, mm."""
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
    if not set(job.kinds) >= _BOTH or values is None or job.plans is None:
        return None
    if values.boards is None or not values.dimensions:
        return None
    drawn, lies = job.plans.shared, job.plans.lies
    if drawn is None:
        return None
    half = (job.whole.width - drawn.picture.width - 2 * _GAP) / 2
    for across in (BESIDE,) if lies else (BESIDE, min(half, BESIDE)):
        if across < _NARROWEST:
            continue
        page = DrawingPage(
            "Dimensions, boards and tapes",
            drawn.scale,
            drawn.picture,
            [*beside_dimensions(job, across), *beside_boards(job, values.boards, across)],
            job.whole,
            what_is_drawn(layout, is_turned=job.plans.is_turned),
            across,
            lies=lies,
        )
        if not page.rest:
            return page
    return None
