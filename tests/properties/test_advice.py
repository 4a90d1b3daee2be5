"""What is said of the stakes hangs on no axes and no names: the moves, and square or not."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from staking.adjust.moves import Hold, Move, MovePart, advise, placed
from staking.adjust.point_places import find_points
from staking.adjust.verdict import Verdict, judge, measure
from staking.layout.checks import choose_checks
from staking.network.fitted import Measurement
from staking.network.solve import solve
from staking.plan import Building, Options, Plan
from tests.properties import strategies

STEP = 0.0254 / 16
ERROR = 0.0254 / 8
NEAR = 1e-6
OFF = st.floats(-0.05, 0.05)
QUICK = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@st.composite
def staked(draw: st.DrawFn) -> tuple[Plan, NDArray[np.float64]]:
    """A plan of up to eight corners, and its stakes up to two inches off each way."""
    plan = strategies.plan_of(draw(strategies.RECTILINEAR))
    points = np.array([corner.point for corner in plan.buildings[0].corners])
    assume(len(points) <= 8)
    assume(min(math.dist(a, b) for a, b in itertools.combinations(points, 2)) > 1)
    off = draw(st.lists(OFF, min_size=2 * len(points), max_size=2 * len(points)))
    return plan, points + np.array(off).reshape(-1, 2)


def told(plan: Plan, here: NDArray[np.float64]) -> tuple[tuple[Move, ...], Verdict]:
    """Tape all pairs of the stakes, hold the first corner and wall, and ask what to move."""
    corners = plan.buildings[0].corners
    names = tuple(corner.name for corner in corners)
    points = {corner.name: corner.point for corner in corners}
    measured = [
        Measurement(
            from_name=names[i],
            to_name=names[j],
            distance=math.dist(here[i], here[j]),
            standard_error=ERROR,
        )
        for i, j in itertools.combinations(range(len(names)), 2)
    ]
    solution = solve(names, np.array([points[name] for name in names]), measured)
    located = find_points(solution, (), (), (), STEP, {}).located
    stakes = placed(located, points, Hold(corner=names[0], wall=(names[0], names[1])))
    checks = [each for each in choose_checks(plan, Options()).checks if each.kind != "point"]
    quantities = measure(names, located.coordinates, located.reading_covariance, checks)
    return advise(names, stakes, plan, STEP), judge(quantities, STEP)


def way_of(step: MovePart) -> str:
    """Toward whom a step goes, without what a longer name adds."""
    return step.toward.replace("Q_", "")


def agree(one: tuple[tuple[Move, ...], Verdict], other: tuple[tuple[Move, ...], Verdict]) -> None:
    for a, b in zip(one[0], other[0], strict=True):
        assert math.isclose(math.hypot(a.x, a.y), math.hypot(b.x, b.y), rel_tol=0, abs_tol=NEAR)
        # whole steps may fall either way only where a move lies halfway between two of them
        total = [sum(step.distance for step in move.steps) for move in (a, b)]
        assert abs(total[0] - total[1]) <= 2 * STEP + NEAR
        ways = [{way_of(step): step.distance for step in move.steps} for move in (a, b)]
        for way in ways[0].keys() | ways[1].keys():
            assert abs(ways[0].get(way, 0.0) - ways[1].get(way, 0.0)) <= STEP + NEAR, way
    for left, right in zip(one[1].judged, other[1].judged, strict=True):
        assert math.isclose(abs(left.off), abs(right.off), rel_tol=0, abs_tol=NEAR)
        if abs(abs(left.off) - left.limit.limit) > NEAR:
            assert left.square == right.square


@QUICK
@given(staked(), strategies.TURNS, strategies.SHIFTS, st.booleans())
def test_turning_shifting_and_mirroring_change_no_advice(
    given_: tuple[Plan, NDArray[np.float64]],
    turn: float,
    shift: tuple[float, float],
    mirror: bool,
) -> None:
    plan, here = given_
    agree(told(plan, here), told(strategies.transform_plan(plan, turn, shift, mirror), here))


@QUICK
@given(staked())
def test_renaming_changes_names_and_nothing_else(
    given_: tuple[Plan, NDArray[np.float64]],
) -> None:
    plan, here = given_
    one, other = told(plan, here), told(renamed(plan), here)
    agree(one, other)
    for a, b in zip(one[0], other[0], strict=True):
        assert "Q_" + a.corner == b.corner
        assert [(s.distance, s.along and "Q_" + s.along) for s in a.steps] == [
            (s.distance, s.along) for s in b.steps
        ]


def renamed(plan: Plan) -> Plan:
    """The same plan with a longer name at every corner, in the same order of names."""

    def with_names(building: Building) -> Building:
        return replace(
            building,
            corners=tuple(replace(c, name=f"Q_{c.name}") for c in building.corners),
            walls=tuple(replace(w, start=f"Q_{w.start}", end=f"Q_{w.end}") for w in building.walls),
        )

    return replace(plan, buildings=tuple(map(with_names, plan.buildings)))
