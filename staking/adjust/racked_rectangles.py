"""Rectangles squared by their two diagonals alone, their sides taken as planned."""

from __future__ import annotations

import math
from collections.abc import Iterator

from staking.plan import Plan

RIGHT = 1e-6
"""An outline whose opposite sides agree and whose diagonals differ by less, m, is a rectangle."""


def rectangular_outlines(plan: Plan) -> tuple[tuple[str, str, str, str], ...]:
    """Find the outlines that are rectangles.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    tuple
        The four corners of each in order.
    """
    return tuple(_rectangles(plan))


def _rectangles(plan: Plan) -> Iterator[tuple[str, str, str, str]]:
    for building in plan.buildings:
        if len(building.corners) != 4:
            continue
        a, b, c, d = (corner.point for corner in building.corners)
        one, two, three, four = (corner.name for corner in building.corners)
        gap = math.hypot(a[0] + c[0] - b[0] - d[0], a[1] + c[1] - b[1] - d[1])
        if gap <= RIGHT and abs(math.dist(a, c) - math.dist(b, d)) <= RIGHT:
            yield one, two, three, four
