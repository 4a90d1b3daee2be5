"""What a price list may name, and by what each is sold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.measure.rounding import up_to_steps
from staking.order.bars.laps import MILLIMETRE_BARS, POUNDS_PER_FOOT, bar_price
from staking.order.order_request import CUBIC_YARD
from staking.order.ordered_by import Measured

if TYPE_CHECKING:
    from staking.order.order_results import Item

PRICED = {
    "concrete": Measured.BULK,
    "grout": Measured.BULK,
    "stone": Measured.BULK,
    "fill": Measured.BULK,
    "dig": Measured.BULK,
    "haul": Measured.COUNT,
    **{bar_price(size): Measured.COUNT for size in (*POUNDS_PER_FOOT, *MILLIMETRE_BARS)},
    "steel": Measured.MASS,
    "block": Measured.COUNT,
    "corner block": Measured.COUNT,
    "half block": Measured.COUNT,
    "mortar": Measured.COUNT,
    "sand": Measured.BULK,
    "anchor bolt": Measured.COUNT,
    "form board": Measured.COUNT,
    "form brace": Measured.LENGTH,
    "form tube": Measured.LENGTH,
    "stake": Measured.COUNT,
    "hub": Measured.COUNT,
    "board": Measured.LENGTH,
    "nail": Measured.COUNT,
    "string": Measured.LENGTH,
    "paint": Measured.COUNT,
    "drain pipe": Measured.LENGTH,
    "closed pipe": Measured.LENGTH,
    "drain fitting": Measured.COUNT,
    "sump": Measured.COUNT,
    "filter": Measured.AREA,
}
"""A price is for a cubic yard, a foot, a pound or one; in a metric job for a cubic metre, a metre,
a kilogram or one."""


def bought(item: Item, *, metric: bool) -> float:
    """Give what is really bought of an item.

    Parameters
    ----------
    item
        What is ordered.
    metric
        Whether volumes are ordered by the cubic metre, not the cubic yard.

    Returns
    -------
    float
        As `Item.quantity`; concrete, grout and stone up to the next quarter.
    """
    if not item.up:
        return item.quantity
    unit = 1.0 if metric else CUBIC_YARD
    return up_to_steps(item.quantity / unit, 0.25) / 4 * unit
