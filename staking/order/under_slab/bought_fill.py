"""Fill that is bought: under the slab, and in the trench inside the walls."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.grade.held_outward import HeldOutward
from staking.order.hauled.put_back import PartOfTrench
from staking.order.order_request import FillAsked
from staking.order.under_slab.slab_fill import SlabFill


@frozen
class BoughtFill:
    """What is filled inside the walls, and what of it is bought.

    Parameters
    ----------
    asked
        What it is filled with.
    slab
        Under the slab; None where its top or the ground is not known.
    trench
        The trench inside the walls; None where nothing is dug there.
    held
        What the fill does to each wall that holds it outward.
    truck
        What a truck carries loose, m3.
    """

    asked: FillAsked
    slab: SlabFill | None
    trench: PartOfTrench | None
    held: tuple[HeldOutward, ...]
    truck: float

    @property
    def under_slab(self) -> float:
        """Bought to lie under the slab, loose, m3."""
        return 0.0 if self.slab is None else self.slab.granular * (1 + self.asked.loose)

    @property
    def in_trench(self) -> float:
        """Bought for the trench inside the walls, loose, m3."""
        return 0.0 if self.trench is None else self.trench.room * (1 + self.asked.loose)

    @property
    def loads(self) -> int:
        """Trucks that bring it."""
        return math.ceil((self.under_slab + self.in_trench) / self.truck - 1e-9)
