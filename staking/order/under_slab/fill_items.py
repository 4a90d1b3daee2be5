"""Fill inside the walls as items with their arithmetic."""

from __future__ import annotations

from staking.kinds import ItemRole, OrderGroup
from staking.notices import Area, Length
from staking.order.order_results import Bulk, Carried, Item, Share, Turned, working
from staking.order.ordered_by import Measured
from staking.order.under_slab.bought_fill import BoughtFill
from staking.tolerances import ON_LINE


def fill_items(fill: BoughtFill) -> tuple[Item, ...]:
    """Set out what is filled and bought.

    Parameters
    ----------
    fill
        The fill.

    Returns
    -------
    tuple of Item
        What lies there compacted, what is bought of it loose, and the loads; nothing where
        nothing is filled.
    """
    items = [*_under_slab(fill), *_in_trench(fill)]
    if not items:
        return ()
    loose = fill.under_slab + fill.in_trench
    return (
        *items,
        Item(
            group=OrderGroup.DIG,
            what="loads of fill",
            quantity=float(fill.loads),
            measured=Measured.COUNT,
            counted="loads",
            arithmetic=working(
                "{fill} loose / {truck} = {loads}, rounded up",
                fill=Carried(loose),
                truck=Carried(fill.truck),
                loads=fill.loads,
            ),
        ),
    )


def _under_slab(fill: BoughtFill) -> list[Item]:
    slab = fill.slab
    if slab is None or slab.deepest <= ON_LINE:
        return []
    items = [
        _bulk(
            "fill under the slab, compacted",
            slab.volume,
            "floor {area} x {mean} mean depth = {volume}",
            role=ItemRole.FILL,
            area=Area(slab.floor),
            mean=Length(slab.mean),
            volume=Turned(slab.volume),
        )
    ]
    if slab.earth > 0:
        items.append(
            _bulk(
                "of that earth that was dug, compacted",
                slab.earth,
                "floor {area} x {mean} mean depth of the lowest layer = {volume}",
                area=Area(slab.floor),
                mean=Length(slab.earth / slab.floor),
                volume=Turned(slab.earth),
            )
        )
    less = " - {earth} earth" if slab.earth > 0 else ""
    items.append(
        _bulk(
            f"{fill.asked.kind} under the slab, loose",
            fill.under_slab,
            ("({net}" + less + ")" if less else "{net}")
            + " + {loose} looser = {gross}, up to the quarter",
            price="fill",
            net=Carried(slab.volume),
            earth=Carried(slab.earth),
            loose=Share(fill.asked.loose),
            gross=Bulk(fill.under_slab),
        )
    )
    return items


def _in_trench(fill: BoughtFill) -> list[Item]:
    part = fill.trench
    if part is None or part.room <= ON_LINE:
        return []
    return [
        _bulk(
            "fill in the trench inside the walls, compacted",
            part.room,
            "{dug} of trench inside them - {concrete} footing"
            + (" - {stone} stone" if part.stone > 0 else "")
            + " = {room}",
            dug=Carried(part.dug),
            concrete=Carried(part.concrete),
            stone=Carried(part.stone),
            room=Bulk(part.room),
        ),
        _bulk(
            f"{fill.asked.kind} in the trench inside the walls, loose",
            fill.in_trench,
            "{net} + {loose} looser = {gross}, up to the quarter",
            price="fill",
            net=Carried(part.room),
            loose=Share(fill.asked.loose),
            gross=Bulk(fill.in_trench),
        ),
    ]


def _bulk(
    what: str,
    quantity: float,
    text: str,
    /,
    price: str = "",
    role: ItemRole | None = None,
    **figures: object,
) -> Item:
    return Item(
        group=OrderGroup.DIG,
        what=what,
        quantity=quantity,
        measured=Measured.BULK,
        arithmetic=working(text, **figures),  # type: ignore[arg-type]
        price=price,
        up=bool(price),
        role=role,
    )
