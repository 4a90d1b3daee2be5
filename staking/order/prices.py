"""What a price list may name, and by what each is sold."""

from __future__ import annotations

from staking.order.results import Measured

PRICED = {
    "concrete": Measured.BULK,
    "grout": Measured.BULK,
    "stone": Measured.BULK,
    "dig": Measured.BULK,
    "haul": Measured.COUNT,
    **{f"bar {size}": Measured.COUNT for size in range(3, 9)},
    "steel": Measured.MASS,
    "block": Measured.COUNT,
    "corner block": Measured.COUNT,
    "half block": Measured.COUNT,
    "mortar": Measured.COUNT,
    "anchor bolt": Measured.COUNT,
    "stake": Measured.COUNT,
    "hub": Measured.COUNT,
    "board": Measured.LENGTH,
    "nail": Measured.COUNT,
    "string": Measured.LENGTH,
    "paint": Measured.COUNT,
}
"""A price is for a cubic yard, a foot, a pound or one; in a metric job for a cubic metre, a metre,
a kilogram or one."""
