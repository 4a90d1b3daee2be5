"""A temporary stake that makes a rectangle of three corners, where four do not."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.layout.steps.base_line import BaseLine
from staking.lines import cross_of, place_in, signed_area
from staking.plan import Plan, Point
from staking.tolerances import SAME_POINT

ENOUGH = 0.5
"""A rectangle counts from this share of the outline's area on (common practice, no source)."""

TIE = 1e-9
"""Areas nearer than this share are the same: the one at the base line's first end is taken."""


@frozen
class FourthStake:
    """The stake and the rectangle it makes.

    Parameters
    ----------
    name
        Its name, which no corner has.
    point
        x and y, m.
    corners
        The rectangle's three corners, the middle one opposite the stake.
    """

    name: str
    point: Point
    corners: tuple[str, str, str]

    @property
    def rectangle(self) -> tuple[str, str, str, str]:
        """The rectangle's names in order round it."""
        return (*self.corners, self.name)


def fourth_stake(plan: Plan, base: BaseLine) -> FourthStake | None:
    """Find the stake that makes a rectangle on the base line.

    Parameters
    ----------
    plan
        The plan.
    base
        The base line: a side of the rectangle.

    Returns
    -------
    FourthStake or None
        The largest rectangle of the base line and a wall square to it whose fourth point lies
        within the outline or on it; None where none has at least half the outline's area.

    Notes
    -----
    Square is meant to half a millimetre at the end of the longer wall. A main rectangle that takes
    in the most of an outline with a wing is what a builder squares first (common practice, no
    source).
    """
    building = next(
        b for b in plan.buildings if base.first in {corner.name for corner in b.corners}
    )
    corners = building.corners
    ring = [corner.point for corner in corners]
    least = ENOUGH * abs(signed_area(ring)) * (1 - TIE)
    best, found = 0.0, None
    for end, other in ((base.first, base.second), (base.second, base.first)):
        at = next((i for i, corner in enumerate(corners) if corner.name == end), None)
        if at is None:
            return None
        beside = (corners[at - 1], corners[(at + 1) % len(corners)])
        if other not in {corner.name for corner in beside}:
            return None
        start = next(corner for corner in beside if corner.name == other)
        far = next(corner for corner in beside if corner.name != other)
        middle = corners[at]
        ux, uy = start.x - middle.x, start.y - middle.y
        vx, vy = far.x - middle.x, far.y - middle.y
        if abs(ux * vx + uy * vy) > SAME_POINT * min(math.hypot(ux, uy), math.hypot(vx, vy)):
            continue
        point = (start.x + vx, start.y + vy)
        size = abs(cross_of((ux, uy), (vx, vy)))
        if size >= least and size > best * (1 + TIE) and place_in(point, ring, SAME_POINT) >= 0:
            best = size
            found = FourthStake(name=_free_name(plan), point=point, corners=(other, end, far.name))
    return found


def _free_name(plan: Plan) -> str:
    taken = {corner.name for building in plan.buildings for corner in building.corners}
    taken |= {pad.name for pad in plan.pads} | {line.name for line in plan.interior}
    return next(
        name for name in ("T", *(f"T{number}" for number in range(1, 1000))) if name not in taken
    )
