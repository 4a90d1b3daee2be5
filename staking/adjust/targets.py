"""Pads and the ends of interior lines: the points that are checked beside the corners."""

from __future__ import annotations

import math

import numpy as np

from staking.frozen import frozen
from staking.lines import nearest_shares
from staking.plan import Plan, Point


@frozen
class Target:
    """A pad's centre or an end of an interior line, as it is on the plan, m.

    Parameters
    ----------
    name
        ``P1``, ``G from`` or ``G to``.
    x, y
        On the plan's grid.
    on
        The two corners of the wall whose outside face it stands on; None elsewhere.
    toward, toward_name
        The unit way along which it is moved, and the two corners it runs between: along its wall,
        or along the wall nearest to it.
    across, across_names
        The unit way square to that wall, away from it, or into the building for a point on it; and
        what a move that way and the other way is called.
    """

    name: str
    x: float
    y: float
    on: tuple[str, str] | None
    toward: Point
    toward_name: tuple[str, str]
    across: Point
    across_names: tuple[str, str]

    @property
    def point(self) -> Point:
        """Where it is on the plan: x and y, m."""
        return (self.x, self.y)


def targets_of(plan: Plan) -> tuple[Target, ...]:
    """List the points of a plan that are checked beside its corners.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    tuple of Target
        Pads, then the ends of interior lines, as in the checks of the layout.
    """
    places = plan.corner_points
    inward = _inward(plan)
    walls = [(w.start, w.end) for building in plan.buildings for w in building.walls]
    by_name = {frozenset(wall): wall for wall in walls}
    listed: list[tuple[str, Point, tuple[str, str] | None]] = [
        (pad.name, pad.point, None) for pad in plan.pads
    ]
    for line in plan.interior:
        listed.append((f"{line.name} from", line.start, by_name.get(_ends(line.start_on))))
        listed.append((f"{line.name} to", line.end, by_name.get(_ends(line.end_on))))
    return tuple(
        _target(name, point, on, walls, places, inward) for name, point, on in listed if walls
    )


def canonical_point(name: str, targets: tuple[Target, ...]) -> str | None:
    """Find which point a typed name means: ``G from`` may be written ``G_from`` too.

    Parameters
    ----------
    name
        As it was typed.
    targets
        The points of the plan.

    Returns
    -------
    str or None
        The point's name, or None where the plan has no such point.
    """
    plain = " ".join(name.replace("_", " ").split())
    exact = [each.name for each in targets if each.name == name]
    alike = [
        each.name for each in targets if " ".join(each.name.replace("_", " ").split()) == plain
    ]
    found = exact or alike
    return found[0] if found else None


def _ends(wall: str) -> frozenset[str]:
    return frozenset(wall.split("-"))


def _target(
    name: str,
    point: Point,
    on: tuple[str, str] | None,
    walls: list[tuple[str, str]],
    places: dict[str, Point],
    inward: dict[frozenset[str], Point],
) -> Target:
    wall = on or min(walls, key=lambda each: (round(_away(point, each, places), 6), sorted(each)))
    first, second = sorted(wall)
    a, b = places[first], places[second]
    size = math.dist(a, b)
    across, named = inward[frozenset(wall)], f"{first}-{second}"
    if on is not None:
        words = (f"inward from {named}", f"outward from {named}")
    else:
        words = (f"away from {named}", f"toward {named}")
        if (point[0] - a[0]) * across[0] + (point[1] - a[1]) * across[1] < 0:
            across = (-across[0], -across[1])
    return Target(
        name=name,
        x=point[0],
        y=point[1],
        on=None if on is None else (first, second),
        toward=((b[0] - a[0]) / size, (b[1] - a[1]) / size),
        toward_name=(first, second),
        across=across,
        across_names=words,
    )


def _inward(plan: Plan) -> dict[frozenset[str], Point]:
    found: dict[frozenset[str], Point] = {}
    for building in plan.buildings:
        for side in building.sides:
            found[frozenset((side.wall.start, side.wall.end))] = side.inward
    return found


def _away(point: Point, wall: tuple[str, str], places: dict[str, Point]) -> float:
    ends = (np.asarray(places[name], dtype=float) for name in wall)
    _, away = nearest_shares(np.asarray(point, dtype=float), *ends)
    return float(np.hypot(*away))
