"""Where a tape can be stretched: not through a standing building, nor what is to stay clear."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from staking.plan import Building, Plan
from staking.tolerances import SAME_POINT

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

BEHIND = 0.01
"""A tape that gets this far behind a side against a standing building is in that building."""


def is_in_sight(plan: Plan, starts: Floats, ends: Floats) -> Flags:
    """Say which straight lines a tape can follow.

    Parameters
    ----------
    plan
        The plan, with its sides against standing buildings and shapes to stay clear of.
    starts, ends
        x and y of the two ends, m, shape ``(p, 2)`` each.

    Returns
    -------
    array of bool
        Shape ``(p,)``: False through the inside of a shape to stay clear of, or from an existing
        side into the building behind it. Along either is in sight.
    """
    clear = np.ones(len(starts), dtype=bool)
    for building in plan.buildings:
        for side in _existing_sides(building):
            clear &= ~_goes_behind(side, starts, ends)
    if plan.stay_clear and len(starts):
        import shapely

        lines = shapely.linestrings(np.stack([starts, ends], axis=1))
        for shape in plan.stay_clear:
            inside = shapely.buffer(
                shapely.make_valid(shapely.Polygon(shape.corners)), -SAME_POINT, join_style="mitre"
            )
            shapely.prepare(inside)
            clear &= ~shapely.intersects(inside, lines)
    return clear


def _existing_sides(building: Building) -> list[tuple[Floats, Floats]]:
    # each is turned so that the outline lies on its left
    sides = [
        (np.array(side.start), np.array(side.end))
        for side in building.sides
        if side.wall.existing is not None
    ]
    return sides if building.is_anticlockwise else [(end, start) for start, end in sides]


def _goes_behind(side: tuple[Floats, Floats], starts: Floats, ends: Floats) -> Flags:
    # a line goes behind a side when it enters the strip just to the right of it
    origin, end = side
    run = end - origin
    length = float(np.hypot(run[0], run[1]))
    along = run / length
    outward = np.array([along[1], -along[0]])
    enter = np.zeros(len(starts))
    leave = np.ones(len(starts))
    possible = np.ones(len(starts), dtype=bool)
    # the line is clipped by the strip's two pairs of edges in turn
    for axis, low, high in (
        (along, SAME_POINT, length - SAME_POINT),
        (outward, SAME_POINT, BEHIND),
    ):
        from_here = (starts - origin) @ axis
        step = (ends - starts) @ axis
        level = np.abs(step) < 1e-12
        possible &= ~level | ((from_here > low) & (from_here < high))
        safe = np.where(level, 1.0, step)
        at_low, at_high = (low - from_here) / safe, (high - from_here) / safe
        enter = np.where(level, enter, np.maximum(enter, np.minimum(at_low, at_high)))
        leave = np.where(level, leave, np.minimum(leave, np.maximum(at_low, at_high)))
    return possible & (enter < leave)
