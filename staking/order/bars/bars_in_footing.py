"""What bars need of the footing they lie in: its room, and how long a dowel is."""

from __future__ import annotations

from staking.order.bars.laps import diameter
from staking.order.order_request import SteelAsked
from staking.units import INCH

HOOK = 12
"""A right-angled hook runs on this many diameters past its bend (ACI 318, from memory)."""

LEAST_GAP = INCH
"""The least clear distance between bars, m (ACI 318, from memory)."""


_THICK = 0.019
"""From this diameter on, m, a bar counts as No. 6 or thicker."""


def room_needed(steel: SteelAsked) -> tuple[float, float]:
    """Give the least width and thickness of a footing that takes the bars in their cover.

    Parameters
    ----------
    steel
        Bars, size and cover.

    Returns
    -------
    tuple of float
        Width and thickness, m. Above the bar 1 1/2 in of concrete is due, 2 in from No. 6 on, or
        the cover itself where that is less.

    References
    ----------
    International Residential Code 2024, R403.1.3.5.3, cover of formed and exposed concrete.
    """
    across = diameter(steel.size)
    above = min(steel.cover, 2 * INCH if across >= _THICK else 1.5 * INCH)
    width = 2 * steel.cover + steel.bars * across
    width += max(0, steel.bars - 1) * max(LEAST_GAP, across)
    return width, steel.cover + across + above


def dowel_length(steel: SteelAsked, thickness: float) -> float:
    """Give the length of a dowel.

    Parameters
    ----------
    steel
        Size, cover and lap.
    thickness
        Of the footing, m.

    Returns
    -------
    float
        The job's, or hook, height in the footing above the cover, and a lap up the wall; m.
    """
    if steel.dowel_length is not None:
        return steel.dowel_length
    return HOOK * diameter(dowel_size(steel)) + max(thickness - steel.cover, 0.0) + steel.lap


def dowel_size(steel: SteelAsked) -> int:
    """Give the size of the dowels.

    Parameters
    ----------
    steel
        The sizes that are given.

    Returns
    -------
    int
        As `bar_name` takes it: the dowels' own, or the bars'.
    """
    return steel.dowel_size if steel.dowel_size is not None else steel.size
