"""How high boards really are, by what they are called."""

from __future__ import annotations

import math

from staking.tolerances import ON_LINE
from staking.units import INCH

BOARD_HEIGHTS = {
    "2x4": 3.5 * INCH,
    "2x6": 5.5 * INCH,
    "2x8": 7.25 * INCH,
    "2x10": 9.25 * INCH,
    "2x12": 11.25 * INCH,
}
"""Dressed dry boards, m, the lowest first (American Softwood Lumber Standard, PS 20-20, NIST, as
two tables of others give them)."""

BOARD_THICKNESS = 1.5 * INCH
"""Of all of them, m (the same)."""


def rows_high(height: float, board: float) -> int:
    """Say how many boards stand over one another.

    Parameters
    ----------
    height
        What is formed, m.
    board
        How high a board really is, m.

    Returns
    -------
    int
        The fewest that reach the height: a board is never stretched over a gap.
    """
    return max(1, math.ceil((height - ON_LINE) / board))


def lowest_board(height: float) -> tuple[str, float]:
    """Choose the board for a height.

    Parameters
    ----------
    height
        What is formed, m.

    Returns
    -------
    tuple
        What it is called and how high it is, m: the fewest boards over one another, and of those
        the lowest.
    """
    rows = {name: rows_high(height, real) for name, real in BOARD_HEIGHTS.items()}
    name = min(BOARD_HEIGHTS, key=lambda each: (rows[each], BOARD_HEIGHTS[each]))
    return name, BOARD_HEIGHTS[name]
