"""Steps on both sides of a junction, and which of equally cheap footings is taken."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from staking.grade.stepped_footing import CellBounds, WallSteps
from staking.grade.stepping.cheapest import network_bounds, solve, step_footings
from staking.grade.stepping.step_places import wall_runs
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254


@pytest.mark.parametrize(
    ("min_run", "stations"), [(32, (80, 128)), (40, (80, 128)), (48, (80, 128)), (56, (72, 128))]
)
def test_steps_on_both_sides_of_a_junction_keep_the_run_together(
    min_run: float, stations: tuple[float, float]
) -> None:
    # The junction stands at 8' 8", 104": a step may stand 24" before it and 24" after, which is
    # 48" together. The ground asks for a course more from 80" on and another from 128" on.
    cross = [("G", (104 / 12, 0.0), (104 / 12, 12.0))]
    network = build_network(slopes.outline(slopes.rectangle(20, 12), cross))
    rules = GradeRules(
        frost_depth=1.0,
        corner_run=24 * INCH,
        min_run=min_run * INCH,
        step_cost=0.0,
        course=8 * INCH,
    )
    plain = slopes.requested(
        plan=slopes.outline(slopes.rectangle(20, 12), cross),
        site=slopes.site(slopes.plane(lambda x, y: 30.0)),
        rules=rules,
        top_of_wall=31.0,
    )
    bounds = list(network_bounds(plain))
    for i, bound in enumerate(bounds):
        if bound.wall == "A-B":
            edges = np.array(bound.edges[:-1])
            needed = np.where(edges > 127 * INCH, 6, np.where(edges > 79 * INCH, 5, 4))
            bounds[i] = replace(bound, required=tuple(needed.tolist()))
        else:
            bounds[i] = replace(bound, required=(4,) * len(bound.required))
    found = solve(network, bounds, rules, wall_runs(network, rules))
    along = np.array(found.courses[0])
    faces = np.array(bounds[0].edges)[1:-1][np.diff(along) != 0] / INCH
    assert faces[:2] == pytest.approx(stations, abs=1e-6)


def test_a_fixed_step_beside_a_junction_counts_for_the_other_side() -> None:
    cross = [("G", (104 / 12, 0.0), (104 / 12, 12.0))]
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(20, 12), cross),
        site=slopes.site(slopes.plane(lambda x, y: 30.0 - x / 10)),
        rules=GradeRules(frost_depth=1.0, corner_run=8 * INCH, min_run=40 * INCH),
        top_of_wall=31.0,
        walls=(WallSteps(wall="A-B", fixed=(92 * INCH, 132 * INCH)),),
    )
    faces = [step.station / INCH for step in step_footings(request).walls[0].steps]
    assert faces == pytest.approx([92, 132], abs=1e-6)


def every_footing(
    bounds: tuple[CellBounds, ...], rules: GradeRules, most: int
) -> list[tuple[float, int, tuple[tuple[int, ...], ...]]]:
    """Every footing of a triangle of three walls that keeps the rules."""
    ways = []
    for bound in bounds:
        edges = np.array(bound.edges)
        own = []
        for way in itertools.product(range(most + 1), repeat=len(bound.required)):
            at = [i for i in range(1, len(way)) if way[i] != way[i - 1]]
            if any(n < low for n, low in zip(way, bound.required, strict=True)):
                continue
            if any(abs(way[i] - way[i - 1]) > rules.max_step for i in at):
                continue
            if any(b - a < rules.min_run - 1e-6 for a, b in itertools.pairwise(edges[at])):
                continue
            own.append((way, float(np.diff(edges) @ way) * rules.course, len(at)))
        ways.append(own)
    found = []
    for one, two, three in itertools.product(*ways):
        joined = one[0][-1] == two[0][0] and two[0][-1] == three[0][0]
        if joined and three[0][-1] == one[0][0]:
            steps = one[2] + two[2] + three[2]
            cost = one[1] + two[1] + three[1] + rules.step_cost * steps
            found.append((cost, steps, (one[0], two[0], three[0])))
    return found


@pytest.mark.parametrize("seed", range(12))
def test_of_equally_cheap_footings_the_rule_picks_one(seed: int) -> None:
    rng = np.random.default_rng(seed)
    network = build_network(slopes.outline([(0, 0), (8, 0), (0, 6)]))
    rules = GradeRules(
        frost_depth=1.0,
        module=24 * INCH,
        course=8 * INCH,
        corner_run=0.0,
        min_run=float(rng.choice([24, 48])) * INCH,
        # A step worth just as much as a cell that is a course lower makes ties common.
        step_cost=24 * INCH * 8 * INCH * int(rng.integers(0, 2)),
    )
    request = slopes.requested(
        plan=slopes.outline([(0, 0), (8, 0), (0, 6)]),
        site=slopes.site(slopes.plane(lambda x, y: 30.0)),
        rules=rules,
        top_of_wall=31.0,
    )
    bounds = tuple(
        replace(bound, required=tuple(rng.integers(0, 3, len(bound.required)).tolist()))
        for bound in network_bounds(request)
    )
    found = solve(network, bounds, rules, wall_runs(network, rules))
    every = every_footing(bounds, rules, 3)
    least = min(cost for cost, _, _ in every)
    tied = [(steps, way) for cost, steps, way in every if cost < least + 1e-9]
    fewest = min(steps for steps, _ in tied)
    # Walls by name: A-B, B-C, C-A is the network's own order.
    best = max(way for steps, way in tied if steps == fewest)
    assert found.objective == pytest.approx(least, abs=1e-9)
    assert found.courses == best
