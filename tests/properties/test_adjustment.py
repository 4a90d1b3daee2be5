"""What holds for every set of stakes: advice that works, and nothing that hangs on the axes."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from staking.adjust.moves import Hold, advise, moved, placed
from staking.adjust.nail_slides import slides
from staking.adjust.point_places import find_points
from staking.adjust.verdict import judge, measure
from staking.footing.bands import dig_bands
from staking.layout.boards import lay_out
from staking.layout.checks import choose_checks
from staking.network.fitted import FittedNetwork, Measurement
from staking.network.solve import solve
from staking.plan import Options, Plan
from tests.properties import strategies

STEP = 0.0254 / 16
ERROR = 0.0254 / 8
OFF = st.floats(-0.05, 0.05)
QUICK = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))


@st.composite
def staked(draw: st.DrawFn) -> tuple[Plan, NDArray[np.float64]]:
    """A plan of up to eight corners, and its stakes up to two inches off each way."""
    plan = strategies.plan_of(draw(strategies.RECTILINEAR))
    count = len(plan.buildings[0].corners)
    assume(count <= 8)
    points = np.array([corner.point for corner in plan.buildings[0].corners])
    gaps = [math.dist(a, b) for a, b in itertools.combinations(points, 2)]
    assume(min(gaps) > 1)
    off = draw(st.lists(OFF, min_size=2 * count, max_size=2 * count))
    return plan, points + np.array(off).reshape(-1, 2)


def names_of(plan: Plan) -> tuple[str, ...]:
    return tuple(corner.name for corner in plan.buildings[0].corners)


def taped(plan: Plan, here: NDArray[np.float64], noise: float = 0.0) -> FittedNetwork:
    names = names_of(plan)
    pairs = list(itertools.combinations(range(len(names)), 2))
    rng = np.random.default_rng(3)
    measured = [
        Measurement(
            from_name=names[i],
            to_name=names[j],
            distance=math.dist(here[i], here[j]) + float(rng.normal(0, noise)),
            standard_error=ERROR,
        )
        for i, j in pairs
    ]
    points = np.array([corner.point for corner in plan.buildings[0].corners])
    return solve(names, points, measured)


@QUICK
@given(staked(), strategies.TURNS, strategies.SHIFTS, st.booleans())
def test_following_the_advice_lands_on_the_plan_and_is_square(
    given_: tuple[Plan, NDArray[np.float64]],
    turn: float,
    shift: tuple[float, float],
    mirror: bool,
) -> None:
    drawn, here = given_
    plan = strategies.transform_plan(drawn, turn, shift, mirror)
    names = names_of(plan)
    points = {corner.name: corner.point for corner in plan.buildings[0].corners}
    hold = Hold(corner=names[0], wall=(names[0], names[1]))
    stakes = placed(
        find_points(taped(plan, here, ERROR), (), (), (), STEP, {}).located, points, hold
    )
    there = moved(stakes, advise(names, stakes, plan, STEP))
    goal = np.array([points[name] for name in names])
    # half a step along each of two walls square to each other
    assert np.hypot(*(there - goal).T).max() <= STEP / 2 * math.sqrt(2) + 1e-7
    checks = [each for each in choose_checks(plan, Options()).checks if each.at is None]
    tight = [each for each in checks if each.allowed > 2 * STEP]
    left = find_points(taped(plan, there), (), (), (), STEP, {}).located
    quantities = measure(names, left.coordinates, left.reading_covariance, tight)
    assert judge(quantities, STEP).square


@QUICK
@given(staked(), strategies.TURNS, strategies.SHIFTS, st.booleans())
def test_turning_shifting_and_mirroring_change_no_residual(
    given_: tuple[Plan, NDArray[np.float64]],
    turn: float,
    shift: tuple[float, float],
    mirror: bool,
) -> None:
    plan, here = given_
    other = strategies.transform_plan(plan, turn, shift, mirror)
    one, two = taped(plan, here, ERROR), taped(other, here, ERROR)
    for first, second in zip(one.adjusted, two.adjusted, strict=True):
        assert math.isclose(first.residual, second.residual, rel_tol=0, abs_tol=1e-8)
        assert math.isclose(first.redundancy, second.redundancy, rel_tol=0, abs_tol=1e-8)


@QUICK
@given(staked())
def test_renaming_and_reordering_change_no_residual(
    given_: tuple[Plan, NDArray[np.float64]],
) -> None:
    plan, here = given_
    names = names_of(plan)
    solution = taped(plan, here, ERROR)
    measured = [each.measurement for each in solution.adjusted]
    new = {name: f"Z{len(names) - place}" for place, name in enumerate(names)}
    turned = [
        replace(m, from_name=new[m.to_name], to_name=new[m.from_name]) for m in reversed(measured)
    ]
    points = np.array([corner.point for corner in plan.buildings[0].corners])
    other = solve([new[name] for name in reversed(names)], points[::-1], turned)
    for first, second in zip(solution.adjusted, reversed(other.adjusted), strict=True):
        assert math.isclose(first.residual, second.residual, rel_tol=0, abs_tol=1e-8)


@QUICK
@given(st.data())
def test_sliding_nails_alone_reaches_square(data: st.DataObject) -> None:
    plan = strategies.plan_of(data.draw(strategies.rectangle_points()))
    names = names_of(plan)
    goal = np.array([corner.point for corner in plan.buildings[0].corners])
    off = data.draw(st.lists(OFF, min_size=8, max_size=8))
    here = goal + np.array(off).reshape(-1, 2)
    bands, _ = dig_bands(plan, Options().dig)
    pulled = lay_out(plan, Options(), bands)
    told = slides(names, here, goal, plan, pulled.strings, pulled.boards, STEP)
    assert len(told) == 8
    at = {board.name: np.array([board.x, board.y]) for board in pulled.boards}
    # each nail stands where its slide says it is off, less the slide that is made
    lines = {}
    for string in pulled.strings:
        ends = [each for each in told if each.string == string.name]
        nails = []
        for each in ends:
            way = np.array([each.x, each.y]) / each.rounded if each.rounded else np.zeros(2)
            left = each.rounded - each.distance if each.rounded else 0.0
            nails.append(at[each.board] + way * left)
        lines[string.name] = nails
    for place, name in enumerate(names):
        own = [
            nails
            for string in pulled.strings
            for nails in (lines[string.name],)
            if name in {each.name for each in string.passes}
        ]
        (a, b), (c, d) = own
        u, v = b - a, d - c
        t = ((c - a)[0] * v[1] - (c - a)[1] * v[0]) / (u[0] * v[1] - u[1] * v[0])
        assert np.abs(a + t * u - goal[place]).max() <= STEP
