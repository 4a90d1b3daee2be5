"""The conductor's part for the sheets: everything a sheet shows, brought together once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import SheetKind

if TYPE_CHECKING:
    import datetime as dt

    from staking.laid_out.first_things import FirstThings
    from staking.laid_out.layout_value import Layout
    from staking.laid_out.sheet_values import SheetValues
    from staking.laid_out.staked_out import StakeOut
    from staking.layout.steps.work import WorkPlan
    from staking.notices import Notice
    from staking.order.order_request import OrderAsked
    from staking.order.order_results import Ordered
    from staking.project.resolve import Resolved


@frozen
class Sheets:
    """What is printed and shown of a job.

    Parameters
    ----------
    layout
        The layout.
    first
        What is broken, the first acts, the deepest dig.
    work
        The order of work; None where there is no outline to set out.
    asked, ordered
        What the job asks of its order, and the order; both None without an order section.
    staked
        Two tapes to each stake; None where the building is not placed or too few points are
        known.
    revised
        The date on every page; None leaves room to write it.
    values
        What the drawings of the sheets are made from; None leaves those sheets out.
    changes
        What changed since the last layout in the folder that the sheets go to.
    """

    layout: Layout
    first: FirstThings
    work: WorkPlan | None = None
    asked: OrderAsked | None = None
    ordered: Ordered | None = None
    staked: StakeOut | None = None
    revised: dt.date | None = None
    values: SheetValues | None = None
    changes: tuple[Notice, ...] = ()

    def lacking(self, kind: SheetKind) -> str | None:
        """Say why the job has no such sheet.

        Parameters
        ----------
        kind
            The sheet.

        Returns
        -------
        str or None
            What the job would need, as the end of a sentence; None where it has the sheet.
        """
        if kind is SheetKind.LOT and (self.layout.site is None or not self.layout.placed):
            return "needs the building placed on its lot"
        if kind in {SheetKind.DIG, SheetKind.PROFILES} and self.layout.grade is None:
            return "needs levels, a grade section"
        if kind is SheetKind.WORK and self.work is None:
            return "needs an outline to set out"
        if kind is SheetKind.ORDER and self.ordered is None:
            return "needs an order section"
        return None


def prepare_sheets(
    resolved: Resolved, revised: dt.date | None = None, changes: tuple[Notice, ...] = ()
) -> Sheets:
    """Bring together what the sheets of a job show.

    Parameters
    ----------
    resolved
        The resolved job.
    revised
        The date on every page, as `paper_day` gives it.
    changes
        What changed since the last layout in the folder that the sheets go to.

    Returns
    -------
    Sheets
        The complete content.
    """
    from staking.laid_out.first_things import first_things
    from staking.laid_out.sheet_values import sheet_values

    job, layout = resolved.job, resolved.layout
    staked = None
    if layout.placed:
        from staking.laid_out.staked_out import stake_out_where_known

        staked = stake_out_where_known(layout)
    work = None
    if layout.plan.buildings:
        from staking.laid_out.order_of_work import plan_work

        work = plan_work(layout, staked=staked)
    ordered = None
    if job.order is not None:
        from staking.project.order import order_job

        ordered = order_job(resolved)
    values = sheet_values(
        layout, job.order, staked, None if work is None else (work.base.first, work.base.second)
    )
    return Sheets(
        layout=layout,
        first=first_things(layout, work, () if values.lot is None else values.lot.arcs),
        work=work,
        asked=job.order,
        ordered=ordered,
        staked=staked,
        revised=revised,
        values=values,
        changes=changes,
    )
