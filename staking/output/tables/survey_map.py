"""A survey as a small map of characters, north up."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking.kinds import PointUse
from staking.points import Array

WIDTH, HEIGHT = 64, 22
"""Characters across and down, at most."""

ASPECT = 2.0
"""How much taller a character is than wide on most terminals (common practice, no source)."""

_MARKS = ((1, "."), (3, "o"), (10, "O"))
"""What stands for up to so many points in one place; more is `#`."""

LEGEND = "N is up; . 1 point  o 2-3  O 4-10  # more"

_SIGNS = {PointUse.CORNER: ("x", "corner of the lot"), PointUse.CONTROL: ("^", "control")}
"""Signs of points that stand before all others in their place, the last before the first."""


def survey_map(rows: Array, uses: Sequence[PointUse] = ()) -> list[str]:
    """Draw points.

    Parameters
    ----------
    rows
        ``(n, 3)`` northing, easting, elevation; any unit.
    uses
        What each of them is for; none where that is not known.

    Returns
    -------
    list of str
        The lines of the map, framed, and its legend; empty where there are no points or all
        are one place.
    """
    if len(rows) == 0:
        return []
    north, east = rows[:, 0], rows[:, 1]
    tall, wide = float(np.ptp(north)), float(np.ptp(east))
    if max(tall, wide) <= 0.0:
        return []
    cell = max(wide / (WIDTH - 1), tall / ((HEIGHT - 1) * ASPECT))
    across = np.rint((east - east.min()) / cell).astype(int)
    down = np.rint((north.max() - north) / (cell * ASPECT)).astype(int)
    counts = np.zeros((int(down.max()) + 1, int(across.max()) + 1), dtype=int)
    np.add.at(counts, (down, across), 1)
    grid = [[_mark(int(count)) for count in line] for line in counts]
    legend = LEGEND
    for use, (sign, said) in _SIGNS.items():
        places = [at for at, each in enumerate(uses) if each is use]
        for at in places:
            grid[int(down[at])][int(across[at])] = sign
        if places:
            legend += f"  {sign} {said}"
    rule = "+" + "-" * counts.shape[1] + "+"
    return [rule, *(f"|{''.join(line)}|" for line in grid), rule, legend]


def _mark(count: int) -> str:
    if count == 0:
        return " "
    return next((mark for most, mark in _MARKS if count <= most), "#")
