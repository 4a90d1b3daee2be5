"""Haul-off: what is dug less what goes back, in place and loose."""

from __future__ import annotations

import math

from staking.frozen import frozen


@frozen
class HaulOff:
    """Earth that is carted away.

    Parameters
    ----------
    dug, put_back
        What is dug, and what goes back beside the walls, m3 in place.
    under_slab
        What is laid under the slab, m3, as it measured in place.
    swell
        How much more it measures loose than in place, a share.
    truck
        What a truck carries loose, m3.
    under_floor
        How much of what is dug is cut away under the floor, m3.
    for_drain
        How much of it is dug for the drain beside the footing's trench, m3.
    """

    dug: float
    put_back: float
    under_slab: float
    swell: float
    truck: float
    under_floor: float = 0.0
    for_drain: float = 0.0

    @property
    def in_place(self) -> float:
        """As it measured in the ground, m3."""
        return max(0.0, self.dug - self.put_back - self.under_slab)

    @property
    def loose(self) -> float:
        """As it lies on the truck, m3."""
        return self.in_place * (1 + self.swell)

    @property
    def loads(self) -> int:
        """Trucks."""
        return math.ceil(self.loose / self.truck - 1e-9)
