"""What is called for first: whatever comes by the truckload, then bars and block."""

from __future__ import annotations

from staking.kinds import OrderGroup
from staking.order.bought_first import bought_first
from staking.order.order_results import Item, working
from staking.order.ordered_by import Measured


def item(what: str, group: OrderGroup, price: str) -> Item:
    return Item(
        group=group,
        what=what,
        quantity=1.0,
        measured=Measured.BULK,
        arithmetic=working("{one}", one=1),
        price=price,
    )


def test_stone_and_fill_are_called_for_with_the_concrete_before_bars_and_block() -> None:
    items = (
        item("concrete", OrderGroup.CONCRETE, "concrete"),
        item("bars", OrderGroup.STEEL, "bar 4"),
        item("block", OrderGroup.BLOCK, "block"),
        item("trench", OrderGroup.DIG, "dig"),
        item("stone", OrderGroup.DIG, "stone"),
        item("sand under the slab", OrderGroup.DIG, "fill"),
        item("sand that lies there", OrderGroup.DIG, ""),
        item("stone of the drain", OrderGroup.DRAIN, "stone"),
    )
    assert [each.what for each in bought_first(items)] == [
        "concrete",
        "stone",
        "sand under the slab",
        "stone of the drain",
        "bars",
        "block",
    ]
