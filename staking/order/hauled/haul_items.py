"""What is carted away, as items with their arithmetic."""

from __future__ import annotations

from staking.kinds import ItemRole, OrderGroup
from staking.order.hauled.haul_off import HaulOff
from staking.order.order_results import Bulk, Carried, Item, Share, working
from staking.order.ordered_by import Measured


def haul_items(haul: HaulOff) -> tuple[Item, ...]:
    """Set out what is carted away.

    Parameters
    ----------
    haul
        The earth.

    Returns
    -------
    tuple of Item
        The spoil in place and loose, and its loads.
    """
    used = " - {used} laid under the slab" if haul.under_slab > 0 else ""
    dug = "{dug} dug"
    if haul.under_floor > 0 or haul.for_drain > 0:
        dug = "{trench} of trench"
        dug += " + {floor} under the floor" if haul.under_floor > 0 else ""
        dug += " + {drain} for the drain" if haul.for_drain > 0 else ""
    return (
        Item(
            group=OrderGroup.DIG,
            what="spoil to cart, as it lay in the ground",
            quantity=haul.in_place,
            measured=Measured.BULK,
            arithmetic=working(
                dug + " - {filled} put back" + used + " = {in_place}",
                dug=Carried(haul.dug),
                trench=Carried(haul.dug - haul.under_floor - haul.for_drain),
                floor=Carried(haul.under_floor),
                drain=Carried(haul.for_drain),
                filled=Carried(haul.put_back),
                used=Carried(haul.under_slab),
                in_place=Bulk(haul.in_place),
            ),
        ),
        Item(
            group=OrderGroup.DIG,
            what="spoil to cart, loose",
            quantity=haul.loose,
            measured=Measured.BULK,
            arithmetic=working(
                "{in_place} + {swell} swell = {spoil}",
                in_place=Carried(haul.in_place),
                swell=Share(haul.swell),
                spoil=Bulk(haul.loose),
            ),
            role=ItemRole.SPOIL,
        ),
        Item(
            group=OrderGroup.DIG,
            what="loads of spoil",
            quantity=float(haul.loads),
            measured=Measured.COUNT,
            counted="loads",
            arithmetic=working(
                "{spoil} / {haul} = {loads}, rounded up",
                spoil=Carried(haul.loose),
                haul=Carried(haul.truck),
                loads=haul.loads,
            ),
            price="haul",
        ),
    )
