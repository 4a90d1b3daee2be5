"""The sheets in the order they are carried: what each is called, how it lies, what fills it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import SheetKind
from staking.output.sheet.boards_sheet import boards_sheet
from staking.output.sheet.card.card_sheets import card_sheets
from staking.output.sheet.dig_sheet import dig_sheet
from staking.output.sheet.dimensions_sheet import dimensions_sheet
from staking.output.sheet.lot_sheet import lot_sheet
from staking.output.sheet.order_sheet import order_sheet
from staking.output.sheet.page_frame import SheetBegins
from staking.output.sheet.profile_sheets import profile_sheets
from staking.output.sheet.shared_sheet import shared_sheet
from staking.output.sheet.start_here import start_here
from staking.output.sheet.ticked.before_sheets import before_sheets
from staking.output.sheet.titles_of_sheets import TITLES
from staking.output.sheet.work_sheet import work_sheet

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob


@frozen
class SheetOfSet:
    """One sheet of the set; it may take several pages.

    Parameters
    ----------
    kind
        Which it is.
    fill
        Gives what stands on it, in order; a sheet that gives nothing is left out.
    lies
        Whether its pages lie on their side on every paper, as drawings do. Other pages are
        upright, and two columns of a large paper.
    """

    kind: SheetKind
    fill: Callable[[PrintedJob], Iterable[Flowable]]
    lies: bool = False

    @property
    def title(self) -> str:
        """What its pages and its bookmark are called."""
        return TITLES[self.kind]


SET = (
    SheetOfSet(kind=SheetKind.START, fill=start_here),
    SheetOfSet(kind=SheetKind.LOT, fill=lot_sheet, lies=True),
    SheetOfSet(kind=SheetKind.DIMENSIONS, fill=dimensions_sheet, lies=True),
    SheetOfSet(kind=SheetKind.BOARDS, fill=boards_sheet, lies=True),
    SheetOfSet(kind=SheetKind.DIG, fill=dig_sheet),
    SheetOfSet(kind=SheetKind.CARDS, fill=card_sheets),
    SheetOfSet(kind=SheetKind.PROFILES, fill=profile_sheets),
    SheetOfSet(kind=SheetKind.BEFORE, fill=before_sheets),
    SheetOfSet(kind=SheetKind.WORK, fill=work_sheet),
    SheetOfSet(kind=SheetKind.ORDER, fill=order_sheet),
)
"""Every sheet, in order."""


def filled_sheets(job: PrintedJob) -> list[tuple[SheetOfSet, list[Flowable]]]:
    """Fill the sheets of a job.

    Parameters
    ----------
    job
        The job.

    Returns
    -------
    list of tuple of SheetOfSet and list
        Each sheet that has something on it, with that, in order. A sheet that shares the page of
        the one before has nothing but its beginning there.
    """
    shared = shared_sheet(job)
    found: list[tuple[SheetOfSet, list[Flowable]]] = []
    for each in SET:
        if each.kind not in job.kinds:
            continue
        if shared is not None and each.kind is SheetKind.DIMENSIONS:
            boards = next(sheet for sheet in SET if sheet.kind is SheetKind.BOARDS)
            found.append((each, [SheetBegins(boards.kind, boards.title), shared]))
        elif shared is None or each.kind is not SheetKind.BOARDS:
            content = list(each.fill(job))
            if content:
                found.append((each, content))
    return found
