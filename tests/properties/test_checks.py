from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from staking.layout.checks import CheckSet, all_pairs, choose_checks
from staking.layout.layout_parts import Check
from staking.plan import Options, Plan, Tape
from tests.properties.strategies import (
    SHIFTS,
    TURNS,
    make_building,
    plans,
    reverse_plan,
    transform_plan,
)

FOOT = 0.3048
SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
TAPES = st.sampled_from((
    Tape(),
    Tape(length=300 * FOOT),
    Tape(length=50.0, error=None, grade="II"),
))


@st.composite
def two_buildings(draw: st.DrawFn) -> Plan:
    first = draw(plans(existing=True))
    points = [(corner.x, corner.y) for corner in draw(plans(inside=False)).buildings[0].corners]
    right = max(corner.x for corner in first.buildings[0].corners)
    left = min(x for x, _ in points)
    moved = [(x - left + right + 2.0, y) for x, y in points]
    second = make_building(moved, first=len(first.buildings[0].corners), name="other")
    return Plan(job="Invented", buildings=(first.buildings[0], second), pads=first.pads)


ANY_PLAN = st.one_of(plans(existing=True), plans(), two_buildings())


def described(checks: tuple[Check, ...]) -> dict[tuple[str, str | None, str, str], Check]:
    found = {(c.kind, c.at, c.from_name, c.to_name): c for c in checks}
    assert len(found) == len(checks), "no check stands twice"
    return found


def assert_same(one: CheckSet, other: CheckSet) -> None:
    first, second = described(one.checks), described(other.checks)
    assert first.keys() == second.keys()
    for key, check in first.items():
        again = second[key]
        assert again.distance == pytest.approx(check.distance, abs=1e-9)
        assert again.allowed == pytest.approx(check.allowed, abs=1e-9)
        assert again.legs == (check.legs and pytest.approx(check.legs, abs=1e-9))
        assert again.in_network == check.in_network
    # two roads to one number: a shape that is barely fixed magnifies the last digits
    radii = {a.corner: a.radius95 for a in one.accuracy}
    for each in other.accuracy:
        expected = radii[each.corner]
        assert (each.radius95 is None) == (expected is None)
        if expected is not None:
            assert each.radius95 == pytest.approx(expected, abs=1e-6 * max(1.0, expected))
    assert sorted(n.kind for n in one.notices) == sorted(n.kind for n in other.notices)


@SLOW
@given(plan=ANY_PLAN, tape=TAPES, turn=TURNS, shift=SHIFTS, mirror=st.booleans())
def test_turning_shifting_or_mirroring_a_plan_changes_no_check(
    plan: Plan, tape: Tape, turn: float, shift: tuple[float, float], mirror: bool
) -> None:
    options = Options(tape=tape)
    # A pad on a corner is not a point to tape to, and rounding must not decide whether it is on it.
    corners = [corner.point for each in plan.buildings for corner in each.corners]
    assume(all(math.dist(pad.point, at) > 0.001 for pad in plan.pads for at in corners))
    moved = transform_plan(plan, turn, shift, mirror)
    assert_same(choose_checks(plan, options), choose_checks(moved, options))


@SLOW
@given(plan=ANY_PLAN, tape=TAPES)
def test_walking_an_outline_the_other_way_round_changes_no_check(plan: Plan, tape: Tape) -> None:
    options = Options(tape=tape)
    assert_same(choose_checks(plan, options), choose_checks(reverse_plan(plan), options))


@SLOW
@given(plan=ANY_PLAN, tape=TAPES)
def test_the_set_is_rigid_and_checked_or_no_usable_pair_is_left(plan: Plan, tape: Tape) -> None:
    options = Options(tape=tape)
    chosen = choose_checks(plan, options)
    places = {c.name: np.array(c.point) for b in plan.buildings for c in b.corners}
    names = sorted(places)
    taken = [check for check in chosen.checks if check.in_network]
    rows = np.zeros((len(taken), 2 * len(names)))
    for row, check in zip(rows, taken, strict=True):
        run = places[check.to_name] - places[check.from_name]
        run = run / np.hypot(*run)
        if tape.grade == "II":
            # the bound 0.3 mm + 0.2 mm for each metre begun
            run = run / (0.3 + 0.2 * np.ceil(check.distance - 1e-6))
        at, to = 2 * names.index(check.from_name), 2 * names.index(check.to_name)
        row[at : at + 2], row[to : to + 2] = -run, run
    rank = np.linalg.matrix_rank(rows, tol=1e-6) if taken else 0
    rigid = rank == 2 * len(names) - 3
    redundancy = 1 - np.diag(rows @ np.linalg.pinv(rows.T @ rows, rcond=1e-13) @ rows.T)

    pairs = {(check.from_name, check.to_name) for check in taken}
    usable = {(c.from_name, c.to_name) for c in all_pairs(plan, options) if c.in_network}
    assert pairs <= usable
    assert pairs == usable or (rigid and redundancy.min() >= 0.1 - 1e-6)
    assert all((a.radius95 is not None) == rigid for a in chosen.accuracy)

    kinds = {said.kind: dict(said.values) for said in chosen.notices}
    assert ("shape-not-fixed" in kinds) == (not rigid)
    weak = {
        f"{check.from_name}-{check.to_name}"
        for check, number in zip(taken, redundancy, strict=True)
        if number < 0.1 - 1e-6
    }
    named = kinds.get("poorly-checked", {}).get("distances", "")
    assert weak <= set(str(named).split(", ")) | {""}


@SLOW
@given(plan=ANY_PLAN, tape=TAPES)
def test_every_side_is_listed_and_nothing_else_is_longer_than_the_tape(
    plan: Plan, tape: Tape
) -> None:
    checks = choose_checks(plan, Options(tape=tape)).checks
    sides = {(c.from_name, c.to_name) for c in checks if c.kind == "side"}
    walls = {tuple(sorted((wall.start, wall.end))) for b in plan.buildings for wall in b.walls}
    assert sides == walls
    for check in checks:
        assert check.distance <= tape.length + 1e-6 or (
            check.kind == "side" and not check.in_network
        )


@SLOW
@given(plan=plans(), unit=st.sampled_from(("ft", "us-ft", "in", "m", "mm")))
def test_every_corner_has_a_triangle_that_fits_its_walls(plan: Plan, unit: str) -> None:
    places = {c.name: np.array(c.point) for b in plan.buildings for c in b.corners}
    checks = choose_checks(plan, Options(unit=unit)).checks
    triangles = [check for check in checks if check.legs is not None]
    assert [check.at for check in triangles] == sorted(places)
    for check in triangles:
        assert check.at is not None
        assert check.legs is not None
        ends = []
        for name, leg in zip((check.from_name, check.to_name), check.legs, strict=True):
            run = places[name] - places[check.at]
            length = np.hypot(*run)
            assert leg <= length + 2e-6
            ends.append(places[check.at] + run * leg / length)
        # a corner up to half a millimetre out of square still takes its 3-4-5
        slack = 0.0005 if check.kind == "right angle" else 1e-9
        assert np.hypot(*(ends[1] - ends[0])) == pytest.approx(check.distance, abs=slack)
