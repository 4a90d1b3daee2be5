"""Buildings that the tests of the order share, from feet and inches."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.stepping.wall_network import build_network
from staking.order.footing_in_ground import FootingInGround, footing_in_ground
from staking.order.wall_levels import Levels, flat_levels
from staking.plan import Building, Corner, Dig, Footing, InteriorLine, Opening, Plan, Wall

FOOT = 0.3048
INCH = 0.0254
YARD3 = 27 * FOOT**3


def footing(width: float, thickness: float, wall: float = 8) -> Footing:
    """A centred footing from inches."""
    outside = (width - wall) / 2
    return Footing(width=width * INCH, thickness=thickness * INCH, outside=outside * INCH)


def building(
    points: Sequence[tuple[float, float]],
    *,
    wall: float = 8,
    under: Footing | None = None,
    interior: Sequence[InteriorLine] = (),
    openings: Sequence[Opening] = (),
) -> Plan:
    """A plan from corners in feet, named A, B, C ..."""
    names = [chr(ord("A") + i) for i in range(len(points))]
    under = under or footing(20, 10, wall)
    return Plan(
        job="Invented",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=name, x=x * FOOT, y=y * FOOT)
                    for name, (x, y) in zip(names, points, strict=True)
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=wall * INCH, footing=under)
                    for a, b in zip(names, names[1:] + names[:1], strict=True)
                ),
            ),
        ),
        interior=tuple(interior),
        openings=tuple(openings),
    )


def rectangle(length: float, depth: float, **options: object) -> Plan:
    """A rectangle from feet."""
    points = [(0, 0), (length, 0), (length, depth), (0, depth)]
    return building(points, **options)  # type: ignore[arg-type]


def level(plan: Plan, courses: int | None = None, dig: Dig | None = None) -> Levels:
    """Its footings on level ground."""
    return flat_levels(plan, build_network(plan), dig or Dig(), courses)


def in_ground(plan: Plan, levels: Levels | None = None, dig: Dig | None = None) -> FootingInGround:
    """Its footing in the ground; on level ground where no levels are given."""
    dig = dig or Dig()
    return footing_in_ground(plan, levels or level(plan, dig=dig), dig)
