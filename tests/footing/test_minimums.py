"""Footings against the minimums of IRC 2021 R403.1.1: 12" wide, 6" thick, 2" to its thickness."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.footing.minimums import minimum_notices
from staking.notices import Length
from staking.plan import Building, Corner, Existing, Footing, Plan, Wall

INCH = 0.0254


def plan_of(width: float, thickness: float, outside: float, wall: float = 8) -> Plan:
    footing = Footing(width=width * INCH, thickness=thickness * INCH, outside=outside * INCH)
    corners = tuple(
        Corner(name=name, x=x, y=y) for name, x, y in (("A", 0, 0), ("B", 9, 0), ("C", 0, 9))
    )
    walls = tuple(
        Wall(start=start, end=end, thickness=wall * INCH, footing=footing)
        for start, end in ("AB", "BC", "CA")
    )
    return Plan(job="shed", buildings=(Building(name=None, corners=corners, walls=walls),))


@pytest.mark.parametrize(
    ("width", "thickness", "outside", "wall", "kinds"),
    [
        (20, 10, 6, 8, []),
        (12, 6, 2, 8, []),
        (12, 6, 3, 6, []),
        (20, 6, 6, 8, []),
        (11.5, 6, 2.75, 6, ["narrow-footing"]),
        (12, 5.5, 2, 8, ["thin-footing"]),
        (16, 8, 1, 8, ["short-projection"]),
        (16, 8, 7, 8, ["short-projection"]),
        (24, 6, 8, 8, ["long-projection"]),
        (24, 8, 6, 8, ["long-projection"]),
        (20, 6, 1, 8, ["short-projection", "long-projection"]),
    ],
)
def test_a_shortfall_is_told_and_the_minimum_itself_is_met(
    width: float, thickness: float, outside: float, wall: float, kinds: list[str]
) -> None:
    told = minimum_notices(plan_of(width, thickness, outside, wall))
    assert [each.kind for each in told] == kinds


def test_walls_of_one_size_are_told_in_one_sentence_with_the_clause() -> None:
    (told,) = minimum_notices(plan_of(16, 8, 1))
    values = dict(told.values)
    assert values["names"] == "A-B, B-C, C-A"
    assert values["clause"] == "IRC R403.1.1"
    assert values["size"] == Length(0.0254)
    assert values["limit"] == Length(0.0508)


def test_a_side_against_a_standing_building_has_no_footing_to_judge() -> None:
    plan = plan_of(16, 8, 1)
    building = plan.buildings[0]
    walls = (replace(building.walls[0], existing=Existing()), *building.walls[1:])
    (told,) = minimum_notices(replace(plan, buildings=(replace(building, walls=walls),)))
    assert dict(told.values)["names"] == "B-C, C-A"
