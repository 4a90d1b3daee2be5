"""The conductor of the order: what is bought for the resolved job."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
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
