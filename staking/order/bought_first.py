"""What is ordered first: the trucks, the bars and the block, before all that goes with them."""

from __future__ import annotations

from collections.abc import Sequence

from staking.kinds import OrderGroup
from staking.order.order_results import Item

_BROUGHT = frozenset({"stone", "fill"})
"""The price names of what else comes by the truckload."""


def bought_first(items: Sequence[Item]) -> tuple[Item, ...]:
    """Choose what is ordered first.

    Parameters
    ----------
    items
        Everything of an order.

    Returns
    -------
    tuple of Item
        What is bought of concrete, then stone and fill, then of steel, then of block with its
        mortar and bolts.
    """
    priced = [item for item in items if item.price]

    def of(group: OrderGroup) -> list[Item]:
        return [item for item in priced if item.group is group]

    brought = [
        item for item in priced if item.price in _BROUGHT and item.group is not OrderGroup.CONCRETE
    ]
    return (*of(OrderGroup.CONCRETE), *brought, *of(OrderGroup.STEEL), *of(OrderGroup.BLOCK))
