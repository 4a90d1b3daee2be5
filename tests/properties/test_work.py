"""What holds for the order of work of every plan: it can be followed, and hangs on no axes."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from staking.job.build import Job
from staking.laid_out.order_of_work import plan_work
from staking.layout.steps.work import WorkPlan
from staking.plan import Options, Plan
from staking.project.layout import lay_out_job
from tests.properties import strategies

QUICK = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))


@st.composite
def small_plans(draw: st.DrawFn) -> Plan:
    plan = strategies.plan_of(draw(strategies.RECTILINEAR))
    assume(len(plan.buildings[0].corners) <= 8)
    return plan


def worked(plan: Plan) -> WorkPlan:
    return plan_work(lay_out_job(Job(plan=plan, options=Options(), notices=())))


@QUICK
@given(small_plans())
def test_following_the_stakes_gives_the_plan_back(plan: Plan) -> None:
    corners = {c.name: np.array(c.point) for c in plan.buildings[0].corners}
    work = worked(plan)
    if work.fourth is not None:
        corners[work.fourth.name] = np.array(work.fourth.point)
    first, second = work.settings[0].corner, work.settings[1].corner
    here = {first: corners[first], second: corners[second]}
    for each in work.settings[2:]:
        assume(each.method == "two tapes")
        (one, r1), (other, r2) = each.tapes
        base = here[other] - here[one]
        length = float(np.hypot(*base))
        along = (r1**2 - r2**2 + length**2) / (2 * length)
        off = math.sqrt(max(r1**2 - along**2, 0.0)) * (1 if each.side == "left" else -1)
        here[each.corner] = (
            here[one] + (along * base + off * np.array((-base[1], base[0]))) / length
        )
    assert here.keys() == corners.keys()
    for name, place in here.items():
        assert np.abs(place - corners[name]).max() < 1e-5


@QUICK
@given(small_plans(), strategies.TURNS, strategies.SHIFTS, st.booleans())
def test_turning_shifting_and_mirroring_change_no_step(
    plan: Plan, turn: float, shift: tuple[float, float], mirror: bool
) -> None:
    here, there = worked(plan), worked(strategies.transform_plan(plan, turn, shift, mirror))
    for one, other in zip(here.settings, there.settings, strict=True):
        assert (one.corner, one.method, one.sight) == (other.corner, other.method, other.sight)
        for (a, r), (b, s) in zip(one.tapes, other.tapes, strict=True):
            assert a == b
            assert math.isclose(r, s, rel_tol=0, abs_tol=1e-6)
    for left, right in zip(here.expected, there.expected, strict=True):
        for a, b in ((left.chosen, right.chosen), (left.squared_off, right.squared_off)):
            assert (a is None) == (b is None)
            assert math.isclose(a or 0.0, b or 0.0, rel_tol=0, abs_tol=1e-7)
    assert here.least is not None
    assert there.least is not None
    assert len(here.least.tapes) == len(there.least.tapes)


@QUICK
@given(small_plans())
def test_the_fewest_tapes_keep_the_wanted_radius(plan: Plan) -> None:
    work = worked(plan)
    least = work.least
    assert least is not None
    if least.reached:
        assert least.at_least <= len(least.tapes) <= least.usable
        radii = [each.least for each in work.expected]
        assert all(radius is not None and radius <= least.wanted + 1e-9 for radius in radii)
    else:
        assert least.whole is None or least.whole > least.wanted - 1e-9
