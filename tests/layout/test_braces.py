from __future__ import annotations

import math

import numpy as np
import pytest

from staking.layout.braces import MANY
from staking.layout.checks import choose_checks
from staking.layout.layout_parts import Check
from staking.plan import Building, Corner, Footing, Options, Plan, Point, Tape, Wall

OPTIONS = Options(unit="m", tape=Tape(length=30.0, error=0.003))


def comb(teeth: int, name: str = "C", right: float = 0.0) -> Building:
    points: list[Point] = []
    for i in range(teeth):
        x = right + 6.0 * i
        points += [(x, 0.0), (x + 3, 0.0), (x + 3, 4.0), (x + 6, 4.0)]
    points += [(right + 6.0 * teeth, 20.0), (right, 20.0)]
    names = [f"{name}{i}" for i in range(len(points))]
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    return Building(
        name=name,
        corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True)),
        walls=tuple(
            Wall(start=a, end=b, thickness=0.2, footing=footing)
            for a, b in zip(names, [*names[1:], names[0]], strict=True)
        ),
    )


def plan_of(*buildings: Building) -> Plan:
    return Plan(job="comb", buildings=buildings)


def taped(checks: tuple[Check, ...]) -> list[Check]:
    return [check for check in checks if check.kind in ("side", "diagonal", "tie")]


def test_a_comb_of_many_corners_is_braced_by_rule_and_said_to_be() -> None:
    plan = plan_of(comb(100))
    chosen = choose_checks(plan, OPTIONS)
    assert len(plan.buildings[0].corners) > MANY
    assert [said.kind for said in chosen.notices].count("braced-by-rule") == 1
    assert all(each.radius95 is None for each in chosen.accuracy)
    # a side, the second and the third corner on, for each corner, and nothing twice
    listed = taped(chosen.checks)
    assert len({(c.from_name, c.to_name) for c in listed}) == len(listed)
    assert len(listed) <= 3 * 402
    assert sum(check.kind == "side" for check in listed) == 402
    at = {corner.name: corner.point for corner in plan.buildings[0].corners}
    for check in listed:
        assert check.distance == pytest.approx(
            math.dist(at[check.from_name], at[check.to_name]), abs=1e-9
        )
        assert check.distance <= 30.0 or (check.kind == "side" and not check.in_network)


def test_the_braces_fix_the_shape_where_the_tape_is_long_enough(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("staking.layout.checks.MANY", 40)
    plan = plan_of(comb(8), comb(8, "D", 100.0))
    chosen = choose_checks(plan, Options(tape=Tape(length=500.0)))
    assert any(said.kind == "braced-by-rule" for said in chosen.notices)
    places = {c.name: np.array(c.point) for b in plan.buildings for c in b.corners}
    index = {name: place for place, name in enumerate(sorted(places))}
    listed = taped(chosen.checks)
    rows = np.zeros((len(listed), 2 * len(index)))
    for row, check in zip(rows, listed, strict=True):
        run = places[check.to_name] - places[check.from_name]
        i, j = index[check.from_name], index[check.to_name]
        row[2 * i : 2 * i + 2], row[2 * j : 2 * j + 2] = -run / check.distance, run / check.distance
    assert np.linalg.matrix_rank(rows, tol=1e-6) == 2 * len(index) - 3
    assert sum(check.kind == "tie" for check in listed) == 4


def test_up_to_the_limit_tapes_are_still_chosen_one_by_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("staking.layout.checks.MANY", 10)

    def braced(teeth: int) -> bool:
        notices = choose_checks(plan_of(comb(teeth)), OPTIONS).notices
        return any(said.kind == "braced-by-rule" for said in notices)

    assert (braced(2), braced(3)) == (False, True)
