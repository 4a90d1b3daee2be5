"""The conductor of the order: what is bought for the resolved job."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from staking.order.drain.arms_on_plan import DrainOnPlan
    from staking.order.order_results import Ordered
    from staking.project.resolve import Resolved


def order_job(resolved: Resolved) -> Ordered:
    """Work out the order of a job.

    Parameters
    ----------
    resolved
        The resolved job; without an order section the defaults hold, and that is said.

    Returns
    -------
    Ordered
        Items, loads, bars, block, bolts, and the notices.
    """
    from staking.laid_out.whole_order import order_of

    return order_of(resolved.layout, resolved.job.order)


def drain_of_job(resolved: Resolved) -> DrainOnPlan | None:
    """Say where the drain of a job lies, for its plan.

    Parameters
    ----------
    resolved
        The resolved job.

    Returns
    -------
    DrainOnPlan or None
        As `order_job` has it; None where the job orders none.
    """
    asked = resolved.job.order
    if asked is None or asked.drain is None:
        return None
    from staking.laid_out.whole_order import drain_on_plan_of

    return drain_on_plan_of(resolved.layout, asked)
