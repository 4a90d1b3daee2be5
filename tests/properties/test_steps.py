"""Stepped footings: cheapest against HiGHS, every rule checked anew, and motions that change
nothing."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp
from scipy.sparse import lil_matrix

from staking.footing.bands import footing_bands
from staking.grade.cells import Site
from staking.grade.ground import surveyed_ground
from staking.grade.network import Network, build_network
from staking.grade.results import CellBounds, SteppedFooting
from staking.grade.rules import GradeRules
from staking.grade.runs import WallRun, wall_runs
from staking.grade.steps import GradeRequest, network_bounds, step_footings
from staking.plan import Plan, Point
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254


def random_plan(rng: np.random.Generator) -> Plan:
    """A rectangle, an L, or a rectangle with one or two cross walls; at most 8 nodes."""
    width, depth = (int(n) for n in rng.integers(8, 22, 2))
    shape = int(rng.integers(0, 4))
    if shape == 1:
        a, b = int(rng.integers(4, width - 3)), int(rng.integers(4, depth - 3))
        corners = [(0, 0), (width, 0), (width, b), (a, b), (a, depth), (0, depth)]
        return slopes.outline(corners)
    lines = []
    if shape >= 2:
        x = float(rng.integers(4 * 12, width * 12 - 47)) / 12
        lines.append(("P", (x, 0.0), (x, float(depth))))
        if shape == 3:
            y = float(rng.integers(4 * 12, depth * 12 - 47)) / 12
            lines.append(("Q", (x, y), (float(width), y)))
    return slopes.outline(slopes.rectangle(width, depth), lines)


def random_request(seed: int) -> GradeRequest:
    rng = np.random.default_rng(seed)
    points = rng.uniform(-12, 18, (150, 2))
    slope = rng.uniform(-0.25, 0.25, 2)
    heights = 30 + points @ slope + rng.uniform(0, 0.4, 150)
    edge = np.array([(-30, -30), (40, -30), (40, 40), (-30, 40)], dtype=float)
    points, heights = np.vstack((points, edge)), np.concatenate((heights, 30 + edge @ slope))
    plan = random_plan(rng)
    hulls = [band.hull for band in footing_bands(plan)[0]]
    return GradeRequest(
        plan=plan,
        site=Site(
            existing=surveyed_ground(points, heights, hulls).surface,
            fill=float(rng.choice([0.0, 0.3, -0.2])),
        ),
        rules=GradeRules(
            frost_depth=float(rng.uniform(0.3, 1.2)),
            in_ground=0.3,
            module=float(rng.choice([8, 16])) * INCH,
            max_step=int(rng.integers(1, 4)),
            min_run=float(rng.choice([16, 32, 40])) * INCH,
            corner_run=None if rng.random() < 0.5 else 16 * INCH,
            step_cost=float(rng.choice([0, 2, 6, 15])) * FOOT**2,
        ),
        top_of_wall=34.0,
    )


def cheapest_by_milp(
    network: Network, bounds: tuple[CellBounds, ...], rules: GradeRules, runs: tuple[WallRun, ...]
) -> float:
    """The objective of the same rules, written anew as a mixed-integer programme."""
    start = np.concatenate(([0], np.cumsum([len(bound.required) for bound in bounds])))
    cells, walls = int(start[-1]), len(bounds)
    most = max(max(bound.required) for bound in bounds)
    least = np.concatenate([bound.required for bound in bounds]).astype(float)
    rows: list[tuple[dict[int, float], float, float]] = []
    cost = [float(length) * rules.course for bound in bounds for length in np.diff(bound.edges)]
    at_node: dict[int, list[int]] = {}
    column = cells
    for w in range(walls):
        edges = np.array(bounds[w].edges)
        nodes = network.strands[w].nodes
        steps: list[tuple[float, int, int]] = []
        for i in range(1, len(edges) - 1):
            left, right = int(start[w]) + i - 1, int(start[w]) + i
            station = float(edges[i])
            bond = abs(station / rules.module - round(station / rules.module)) < 1e-6
            clear = all(
                abs(station - place) > reach - 1e-6 and abs(station - place) > 1e-6
                for (_, place), reach in zip(nodes, runs[w].clear, strict=True)
                if all(
                    not min(station, place) + 1e-6 < other < max(station, place) - 1e-6
                    for _, other in nodes
                )
            )
            if not (bond and clear):
                rows.append(({left: 1.0, right: -1.0}, 0.0, 0.0))
                continue
            for sign in (1.0, -1.0):
                row = {left: sign, right: -sign, column: -float(rules.max_step)}
                rows.append((row, -np.inf, 0.0))
            between = sum(place < station for _, place in nodes)
            steps.append((station, between, column))
            cost.append(rules.step_cost)
            column += 1
        for (s, k, i), (t, m, j) in itertools.combinations(steps, 2):
            if k == m and t - s < rules.min_run - 1e-6:
                rows.append(({i: 1.0, j: 1.0}, 0.0, 1.0))
        for node, place in nodes:
            for i in range(len(edges) - 1):
                if abs(edges[i] - place) < 1e-6 or abs(edges[i + 1] - place) < 1e-6:
                    at_node.setdefault(node, []).append(int(start[w]) + i)
    for joined in at_node.values():
        rows += [({joined[0]: 1.0, other: -1.0}, 0.0, 0.0) for other in joined[1:]]
    matrix = lil_matrix((len(rows), column))
    for r, (row, _, _) in enumerate(rows):
        for c, value in row.items():
            matrix[r, c] = value
    low = np.concatenate((least, np.zeros(column - cells)))
    high = np.concatenate((np.full(cells, float(most)), np.ones(column - cells)))
    answer = milp(
        cost,
        integrality=np.ones(column),
        bounds=(low, high),
        constraints=LinearConstraint(
            matrix.tocsr(), [row[1] for row in rows], [row[2] for row in rows]
        ),
        options={"mip_rel_gap": 0.0},
    )
    assert answer.success
    return float(np.array(cost) @ np.rint(answer.x))


def check(request: GradeRequest, found: SteppedFooting, rng: np.random.Generator) -> None:
    """Every rule again, from the answer alone."""
    rules = request.rules
    network = build_network(request.plan)
    at_node: dict[int, set[int]] = {}
    area, steps = 0.0, 0
    for strand, wall in zip(network.strands, found.walls, strict=True):
        for level in wall.levels:
            area += (level.end - level.start) * level.courses * rules.course
            assert level.courses >= rules.least_courses
        stations = [step.station for step in wall.steps]
        steps += len(stations)
        for step in wall.steps:
            assert step.rise <= rules.max_step * rules.course + 1e-9
            assert abs(step.station / rules.module - round(step.station / rules.module)) < 1e-6
            if rules.corner_run is not None:
                near = min(abs(step.station - place) for _, place in strand.nodes)
                assert near >= rules.corner_run - 1e-6
        assert all(b - a >= rules.min_run - 1e-6 for a, b in itertools.pairwise(stations))
        for node, place in strand.nodes:
            touching = [
                level.courses
                for level in wall.levels
                if level.start - 1e-6 <= place <= level.end + 1e-6
            ]
            at_node.setdefault(node, set()).update(touching)
        covers(request, wall.levels, strand.local, strand.hull, rng)
    assert all(len(levels) == 1 for levels in at_node.values())
    assert found.objective == pytest.approx(area + steps * rules.step_cost, abs=1e-9)


def covers(
    request: GradeRequest,
    levels: tuple,  # type: ignore[type-arg]
    local: Callable[[tuple[Point, ...]], list[Point]],
    hull: tuple[Point, ...],
    rng: np.random.Generator,
) -> None:
    """Both covers at points of every footing edge and within."""
    ring = np.array(hull)
    share = rng.random((40, 1))
    edges = [a + share * (b - a) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
    weights = rng.dirichlet(np.ones(len(ring)), 60)
    places = np.vstack((ring, *edges, weights @ ring))
    existing = request.site.existing.at(places)  # type: ignore[attr-defined]
    finished = existing + request.site.fill
    undisturbed = np.minimum(finished, existing - request.rules.strip)
    allowed = np.minimum(
        finished - request.rules.frost_depth, undisturbed - request.rules.in_ground
    )
    for (station, _), bottom in zip(local(tuple(map(tuple, places))), allowed, strict=True):
        here = min(max(station, levels[0].start), levels[-1].end)
        deepest = [one.bottom for one in levels if one.start - 1e-9 <= here <= one.end + 1e-9]
        assert min(deepest) <= bottom + 2e-6


@pytest.mark.parametrize("seed", range(300))
def test_the_footing_is_the_cheapest_and_keeps_every_rule(seed: int) -> None:
    request = random_request(seed)
    found = step_footings(request)
    network = build_network(request.plan)
    runs = wall_runs(network, request.rules)
    bounds = network_bounds(request, network)
    best = cheapest_by_milp(network, bounds, request.rules, runs)
    assert found.objective == pytest.approx(best, abs=1e-9)
    check(request, found, np.random.default_rng(seed))


def courses(found: SteppedFooting) -> list[tuple[int, ...]]:
    return [wall.courses for wall in found.walls]


def moved(request: GradeRequest, move: Callable[[Point], Point], lift: float) -> GradeRequest:
    """The same building on the same ground somewhere else."""
    plan = request.plan
    (building,) = plan.buildings
    corners = []
    for corner in building.corners:
        x, y = move(corner.point)
        corners.append(replace(corner, x=x, y=y))
    interior = tuple(
        replace(line, start=move(line.start), end=move(line.end)) for line in plan.interior
    )
    plan = replace(plan, buildings=(replace(building, corners=tuple(corners)),), interior=interior)
    surface = request.site.existing
    points = np.array([move((x, y)) for x, y in surface.points.tolist()])  # type: ignore[attr-defined]
    hulls = [band.hull for band in footing_bands(plan)[0]]
    heights = surface.elevations + lift  # type: ignore[attr-defined]
    return replace(
        request,
        plan=plan,
        top_of_wall=request.top_of_wall + lift,
        site=replace(request.site, existing=surveyed_ground(points, heights, hulls).surface),
    )


@pytest.mark.parametrize("seed", range(500, 530))
def test_raising_mirroring_and_turning_change_no_step(seed: int) -> None:
    request = random_request(seed)
    plain = courses(step_footings(request))
    assert courses(step_footings(moved(request, lambda p: p, 123.456))) == plain
    assert courses(step_footings(moved(request, lambda p: (-p[0], p[1]), 0.0))) == plain
    c, s = math.cos(seed), math.sin(seed)

    def turn(p: Point) -> Point:
        return (c * p[0] - s * p[1] + 40.0, s * p[0] + c * p[1] - 7.0)

    assert courses(step_footings(moved(request, turn, 0.0))) == plain


@pytest.mark.parametrize("seed", range(10))
def test_a_steeper_slope_takes_no_fewer_courses_at_the_low_corner(seed: int) -> None:
    rng = np.random.default_rng(seed)
    plan = random_plan(rng)
    before = 0
    for fall in (0.0, 0.05, 0.1, 0.15, 0.25):
        request = GradeRequest(
            plan=plan,
            site=Site(existing=slopes.plane(lambda x, y, fall=fall: 30 - fall * x)),
            rules=GradeRules(frost_depth=1.0),
            top_of_wall=31.0,
        )
        found = {wall.wall: wall for wall in step_footings(request).walls}
        low = found["B-C"].courses[0]
        assert low >= before
        before = low


@pytest.mark.parametrize("seed", range(600, 615))
def test_the_next_number_of_steps_costs_no_less(seed: int) -> None:
    found = step_footings(random_request(seed))
    if found.next_count is not None:
        assert found.next_count.steps != len(found.steps)
        assert found.next_count.objective >= found.objective - 1e-9
