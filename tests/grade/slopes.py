"""Buildings and slopes that the tests of stepped footings share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import GradeRequest
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.surface import GroundSurface
from staking.plan import Building, Corner, Footing, InteriorLine, Plan, Wall

FOOT = 0.3048
INCH = 0.0254


def plane(height: Callable[[float, float], float], reach: float = 60.0) -> GroundSurface:
    """A plane of two triangles round the origin."""
    points = np.array([(-reach, -reach), (reach, -reach), (reach, reach), (-reach, reach)])
    heights = np.array([height(x, y) for x, y in points.tolist()])
    return GroundSurface(points, heights, np.array([(0, 1, 2), (0, 2, 3)]))


def footing(width: float = 20, thickness: float = 10, wall: float = 8) -> Footing:
    """A centred footing from inches."""
    return Footing(
        width=width * INCH, thickness=thickness * INCH, outside=(width - wall) / 2 * INCH
    )


def outline(
    points: Sequence[tuple[float, float]],
    interior: Sequence[tuple[str, tuple[float, float], tuple[float, float]]] = (),
    under: Footing | None = None,
) -> Plan:
    """A plan from corners in feet, named A, B, C ..., and cross walls in feet."""
    under = under or footing()
    names = [chr(ord("A") + i) for i in range(len(points))]
    corners = tuple(
        Corner(name=name, x=x * FOOT, y=y * FOOT)
        for name, (x, y) in zip(names, points, strict=True)
    )
    walls = tuple(
        Wall(start=a, end=b, thickness=8 * INCH, footing=under)
        for a, b in zip(names, names[1:] + names[:1], strict=True)
    )
    lines = tuple(
        InteriorLine(
            name=name,
            start=(a[0] * FOOT, a[1] * FOOT),
            end=(b[0] * FOOT, b[1] * FOOT),
            start_on="a wall",
            end_on="a wall",
            thickness=8 * INCH,
            footing=under,
        )
        for name, a, b in interior
    )
    return Plan(
        job="slope",
        buildings=(Building(name=None, corners=corners, walls=walls),),
        interior=lines,
    )


def rectangle(width: float, depth: float) -> list[tuple[float, float]]:
    """Corners in feet, anticlockwise from the origin."""
    return [(0, 0), (width, 0), (width, depth), (0, depth)]


def site(ground: GroundSurface) -> SiteGround:
    """A site whose finished grade is the existing ground."""
    return SiteGround(existing=ground)


def requested(*, plan: Plan, **rest: Any) -> GradeRequest:
    """What to step, with the walls of the plan joined."""
    return GradeRequest(plan=plan, network=build_network(plan), **rest)


def changed(request: GradeRequest, **changes: Any) -> GradeRequest:
    """A request with some of it changed, the walls joined anew where the plan is another."""
    if "plan" in changes:
        changes["network"] = build_network(changes["plan"])
    return replace(request, **changes)
