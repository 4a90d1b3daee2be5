"""How each corner and point stands: its place with what is held, and its angle."""

from __future__ import annotations

from staking.adjust.moves import neighbours
from staking.adjust.point_places import Located
from staking.adjust.verdict import corner_angle, radii95
from staking.frozen import frozen
from staking.network.geometry import Floats
from staking.plan import Plan


@frozen
class StakeStanding:
    """How one stake stands: x and y with the hold, m; 95 % radius, m; angle, rad, or None."""

    corner: str
    x: float
    y: float
    radius95: float
    angle: float | None


def standing(plan: Plan, located: Located, here: Floats) -> tuple[StakeStanding, ...]:
    """Say how every corner and point stands.

    Parameters
    ----------
    plan
        The plan.
    located
        Corners and points with their covariance.
    here
        Where they stand on the plan's grid, m, shape ``(n, 2)``.

    Returns
    -------
    tuple of StakeStanding
        Corners, then points; a point has no angle.
    """
    names = located.names
    at = {name: place for place, name in enumerate(names)}
    beside = neighbours(plan)
    radii = radii95(located.covariance)
    found = []
    for place, name in enumerate(names):
        angle = None
        if name in beside:
            ends = (beside[name].before, beside[name].after)
            if all(end in at for end in ends):
                angle = corner_angle(here, at[ends[0]], place, at[ends[1]])
        found.append(
            StakeStanding(
                corner=name,
                x=float(here[place, 0]),
                y=float(here[place, 1]),
                radius95=float(radii[place]),
                angle=angle,
            )
        )
    return tuple(found)
