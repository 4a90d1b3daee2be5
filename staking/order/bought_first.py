"""What is ordered first: the trucks, the bars and the block, before all that goes with them."""

from __future__ import annotations

from collections.abc import Sequence

from staking.kinds import OrderGroup
from staking.order.order_results import Item

_FIRST = (OrderGroup.CONCRETE, OrderGroup.STEEL, OrderGroup.BLOCK)
"""The groups that are called for first, in their order."""


def bought_first(items: Sequence[Item]) -> tuple[Item, ...]:
    """Choose what is ordered first.

    Parameters
    ----------
    items
        Everything of an order.

    Returns
    -------
    tuple of Item
        What is bought of concrete, then of steel, then of block with its mortar and bolts.
    """
    return tuple(item for group in _FIRST for item in items if item.group is group and item.price)
