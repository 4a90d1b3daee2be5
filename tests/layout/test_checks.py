from __future__ import annotations

import math

import pytest

from staking.layout.checks import all_pairs, choose_checks
from staking.layout.layout_parts import Check
from staking.plan import (
    Building,
    Corner,
    Existing,
    Footing,
    InteriorLine,
    Options,
    Pad,
    Plan,
    Point,
    StayClear,
    Tape,
    Wall,
)

FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)
METRIC = Options(unit="m", tape=Tape(length=50.0, error=0.003))


def building(points: list[Point], first: str = "A", existing: tuple[int, ...] = ()) -> Building:
    names = [chr(ord(first) + i) for i in range(len(points))]
    return Building(
        name=None,
        corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True)),
        walls=tuple(
            Wall(
                start=a,
                end=b,
                thickness=0.2,
                footing=FOOTING,
                existing=Existing() if i in existing else None,
            )
            for i, (a, b) in enumerate(zip(names, [*names[1:], names[0]], strict=True))
        ),
    )


def rectangle(
    x: float, y: float, width: float, depth: float, first: str = "A", existing: tuple[int, ...] = ()
) -> Building:
    points = [(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)]
    return building(points, first, existing)


def pairs(checks: tuple[Check, ...], *kinds: str) -> list[str]:
    return [f"{c.from_name}-{c.to_name}" for c in checks if c.kind in kinds]


def plan_of(*buildings: Building, **more: object) -> Plan:
    return Plan(job="", buildings=buildings, **more)  # type: ignore[arg-type]


ELL = [(0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (8.0, 8.0), (8.0, 11.0), (0.0, 11.0)]
TEE = [
    (0.0, 0.0),
    (20.0, 0.0),
    (20.0, 8.0),
    (14.0, 8.0),
    (14.0, 15.0),
    (6.0, 15.0),
    (6.0, 8.0),
    (0.0, 8.0),
]


def test_a_rectangle_is_taped_by_all_its_pairs() -> None:
    checks = choose_checks(plan_of(rectangle(0, 0, 10, 8)), METRIC).checks
    assert pairs(checks, "side") == ["A-B", "B-C", "C-D", "A-D"]
    assert pairs(checks, "diagonal") == ["A-C", "B-D"]
    assert [c.at for c in checks if c.kind == "right angle"] == ["A", "B", "C", "D"]


def test_sides_come_first_then_diagonals_ties_angles_and_points() -> None:
    pad = Pad(name="P", x=4.0, y=3.0, size=None, diameter=0.3, thickness=0.3)
    plan = plan_of(building(ELL), rectangle(14, 0, 5, 5, "M"), pads=(pad,))
    kinds = [check.kind for check in choose_checks(plan, METRIC).checks]
    order = ["side", "diagonal", "tie", "right angle", "point"]
    assert list(dict.fromkeys(kinds)) == order
    assert kinds == sorted(kinds, key=order.index)


def test_the_body_of_a_tee_is_squared_before_the_rest() -> None:
    checks = choose_checks(plan_of(building(TEE)), METRIC).checks
    assert pairs(checks, "diagonal")[:2] == ["A-C", "B-H"]


def test_outlines_are_tied_into_one_network() -> None:
    found = choose_checks(plan_of(rectangle(0, 0, 8, 6), rectangle(12, 0, 5, 5, "M")), METRIC)
    assert len(pairs(found.checks, "tie")) >= 3
    assert all(a.radius95 is not None for a in found.accuracy)
    assert [a.corner for a in found.accuracy] == list("ABCDMNOP")


def test_a_side_longer_than_the_tape_is_listed_but_not_counted_on() -> None:
    found = choose_checks(plan_of(rectangle(0, 0, 40, 8)), Options(tape=Tape(length=30.0)))
    sides = {c.from_name + c.to_name: c.in_network for c in found.checks if c.kind == "side"}
    assert sides == {"AB": False, "BC": True, "CD": False, "AD": True}
    assert pairs(found.checks, "diagonal") == []
    assert {a.radius95 for a in found.accuracy} == {None}
    said = {n.kind: dict(n.values) for n in found.notices}
    assert set(said) == {"side-longer-than-tape", "shape-not-fixed", "poorly-checked"}
    assert said["shape-not-fixed"]["corners"] == "B, C"


def test_a_side_as_long_as_the_tape_is_taped() -> None:
    for length, told in ((30.0, False), (30.001, True)):
        found = choose_checks(plan_of(rectangle(0, 0, length, 8)), Options(tape=Tape(length=30.0)))
        assert ("side-longer-than-tape" in {each.kind for each in found.notices}) == told


def test_no_tape_goes_through_the_building_an_existing_side_stands_against() -> None:
    # the notch of the L is the standing building: C-D and D-E are its sides
    plan = plan_of(building(ELL, existing=(2, 3)))
    assert "C-E" not in pairs(choose_checks(plan, METRIC).checks, "diagonal")
    usable = {(c.from_name, c.to_name): c.in_network for c in all_pairs(plan, METRIC)}
    assert not usable["C", "E"]
    assert not usable["B", "E"]
    assert usable["B", "D"]
    assert usable["A", "D"]
    assert usable["C", "D"]


def test_a_tape_may_run_along_two_existing_sides_in_one_line() -> None:
    points = [(0.0, 0.0), (6.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)]
    usable = {
        (c.from_name, c.to_name): c.in_network
        for c in all_pairs(plan_of(building(points, existing=(0, 1))), METRIC)
    }
    assert usable["A", "C"]


def test_no_tie_crosses_the_standing_building_between_two_outlines() -> None:
    # the first outline's right side stands against a building; the second lies beyond it
    plan = plan_of(rectangle(0, 0, 8, 6, existing=(1,)), rectangle(12, 0, 5, 5, "M"))
    usable = {(c.from_name, c.to_name) for c in all_pairs(plan, METRIC) if c.in_network}
    assert ("A", "O") not in usable
    assert ("D", "N") not in usable


def test_no_tape_goes_through_a_shape_to_stay_clear_of_but_may_touch_it() -> None:
    tree = StayClear(name="well", corners=((4.0, 3.0), (6.0, 3.0), (6.0, 5.0), (4.0, 5.0)))
    beside = StayClear(name="shed", corners=((0.0, -3.0), (10.0, -3.0), (10.0, 0.0), (0.0, 0.0)))
    plan = plan_of(rectangle(0, 0, 10, 8), stay_clear=(tree, beside))
    usable = {c.from_name + c.to_name: c.in_network for c in all_pairs(plan, METRIC)}
    assert usable == {"AB": True, "AC": False, "AD": True, "BC": True, "BD": False, "CD": True}


def test_the_three_points_to_the_first_neighbour_by_name() -> None:
    (check,) = (
        c for c in choose_checks(plan_of(rectangle(0, 0, 10, 8)), METRIC).checks if c.at == "B"
    )
    # toward A the wall is 10 long and takes 3 k, toward C 8 and takes 4 k: k is 2
    assert (check.from_name, check.to_name, check.legs) == ("A", "C", (6.0, 8.0))
    assert check.distance == 10.0


def test_a_triangle_is_never_larger_than_the_tape() -> None:
    options = Options(unit="m", tape=Tape(length=9.0, error=0.003))
    checks = choose_checks(plan_of(rectangle(0, 0, 10, 8)), options).checks
    assert {c.distance for c in checks if c.kind == "right angle"} == {7.5}


def test_a_corner_too_short_for_a_triangle_takes_equal_legs() -> None:
    jog = [(0.0, 0.0), (9.0, 0.0), (9.0, 6.0), (5.0, 6.0), (5.0, 6.3), (0.0, 6.3)]
    (check,) = (c for c in choose_checks(plan_of(building(jog)), METRIC).checks if c.at == "E")
    assert check.kind == "angle"
    assert check.legs == pytest.approx((0.3, 0.3), abs=1e-9)
    assert check.distance == pytest.approx(0.3 * math.sqrt(2), abs=1e-9)


def test_half_a_millimetre_over_the_longest_leg_is_still_square() -> None:
    for lean, kind in ((0.0004, "right angle"), (0.0007, "angle")):
        points = [(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (lean * 8.0 / 10.0, 8.0)]
        (check,) = (
            c for c in choose_checks(plan_of(building(points)), METRIC).checks if c.at == "A"
        )
        assert check.kind == kind


def test_a_corner_between_two_standing_sides_is_not_squared() -> None:
    # D lies between C-D and D-E, which stand; at C and at E a wall of ours meets one of them
    found = choose_checks(plan_of(building(ELL, existing=(2, 3))), METRIC)
    squared = {check.at for check in found.checks if check.kind in {"right angle", "angle"}}
    assert squared == {"A", "B", "C", "E", "F"}
    assert "angle-out-of-sight" not in {each.kind for each in found.notices}


def test_a_corner_whose_triangle_something_stands_in_is_said() -> None:
    # 6 m toward B and 8 m toward D; the tree stands on the line between their ends
    tree = StayClear(name="oak", corners=((1.4, 5.9), (1.6, 5.9), (1.6, 6.1), (1.4, 6.1)))
    found = choose_checks(plan_of(rectangle(0, 0, 6, 8), stay_clear=(tree,)), METRIC)
    assert {n.kind: dict(n.values) for n in found.notices}["angle-out-of-sight"] == {"corners": "A"}


def test_interior_lines_are_taped_along_the_walls_they_end_on() -> None:
    line = InteriorLine(
        name="G",
        start=(4.0, 0.0),
        end=(5.0, 8.0),
        start_on="B-A",
        end_on="C-D",
        thickness=0.2,
        footing=FOOTING,
    )
    cross = InteriorLine(
        name="H",
        start=(0.0, 4.0),
        end=(4.5, 4.0),
        start_on="D-A",
        end_on="G",
        thickness=0.2,
        footing=FOOTING,
    )
    plan = plan_of(rectangle(0, 0, 10, 8), interior=(line, cross))
    points = [c for c in choose_checks(plan, METRIC).checks if c.kind == "point"]
    taped = [(c.from_name, c.to_name, round(c.distance, 9)) for c in points]
    assert taped[:6] == [
        ("A", "G from", 4.0),
        ("B", "G from", 6.0),
        ("C", "G to", 5.0),
        ("D", "G to", 5.0),
        ("A", "H from", 4.0),
        ("D", "H from", 4.0),
    ]
    assert [name for _, name, _ in taped[6:]] == ["H to", "H to"]


def test_a_pad_out_of_reach_is_named() -> None:
    pad = Pad(name="far", x=400.0, y=3.0, size=(0.5, 0.5), diameter=None, thickness=0.3)
    found = choose_checks(plan_of(rectangle(0, 0, 10, 8), pads=(pad,)), METRIC)
    assert pairs(found.checks, "point") == []
    assert {n.kind: dict(n.values) for n in found.notices}["point-not-fixed"] == {"points": "far"}


def test_every_check_carries_what_is_allowed() -> None:
    checks = choose_checks(plan_of(rectangle(0, 0, 10, 8)), METRIC).checks
    assert all(check.allowed > 0 for check in checks)


def test_all_pairs_lists_sides_diagonals_and_ties_by_name() -> None:
    plan = plan_of(rectangle(0, 0, 8, 6), rectangle(12, 0, 5, 5, "M"))
    table = all_pairs(plan, METRIC)
    assert len(table) == 28
    assert [(c.from_name, c.to_name) for c in table] == sorted(
        (c.from_name, c.to_name) for c in table
    )
    assert {k: len(pairs(table, k)) for k in ("side", "diagonal", "tie")} == {
        "side": 8,
        "diagonal": 4,
        "tie": 16,
    }


def test_site_coordinates_give_the_same_set_as_the_grid() -> None:
    far = [(x + 500_000.0, y + 5_000_000.0) for x, y in ELL]
    near = choose_checks(plan_of(building(ELL)), METRIC).checks
    moved = choose_checks(plan_of(building(far)), METRIC).checks
    assert [(c.kind, c.at, c.from_name, c.to_name) for c in near] == [
        (c.kind, c.at, c.from_name, c.to_name) for c in moved
    ]
