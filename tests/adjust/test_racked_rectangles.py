from __future__ import annotations

from staking.adjust.racked_rectangles import rectangular_outlines
from staking.plan import Building, Corner, Footing, Plan, Wall


def plan_of(points: list[tuple[float, float]]) -> Plan:
    names = [chr(ord("A") + i) for i in range(len(points))]
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    walls = tuple(
        Wall(start=a, end=b, thickness=0.2, footing=footing)
        for a, b in zip(names, [*names[1:], names[0]], strict=True)
    )
    return Plan(job="Invented", buildings=(Building(name=None, corners=corners, walls=walls),))


def test_only_rectangles_are_rectangles() -> None:
    assert rectangular_outlines(plan_of([(0, 0), (9, 0), (9, 6), (0, 6)])) == (
        ("A", "B", "C", "D"),
    )
    assert rectangular_outlines(plan_of([(0, 0), (0, 6), (9, 6), (9, 0)])) == (
        ("A", "B", "C", "D"),
    )
    assert rectangular_outlines(plan_of([(0, 0), (9, 0), (10, 6), (1, 6)])) == ()
    assert rectangular_outlines(plan_of([(0, 0), (9, 0), (9, 6.01), (0, 6)])) == ()
    assert rectangular_outlines(plan_of([(0, 0), (9, 0), (0, 6)])) == ()
    turned = [(0.0, 0.0), (4.0, 3.0), (1.0, 7.0), (-3.0, 4.0)]
    assert rectangular_outlines(plan_of(turned)) == (("A", "B", "C", "D"),)
