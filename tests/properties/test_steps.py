"""Stepped footings: cheapest against HiGHS, every rule checked anew, and motions that change
nothing."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from staking.errors import ComputationError
from staking.footing.bands import footing_bands
from staking.grade.stepped_footing import Inside, Level, SteppedFooting
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import (
    GradeRequest,
    fewer_steps,
    network_bounds,
    step_footings,
)
from staking.grade.stepping.step_places import wall_runs
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import Strand, build_network
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.plan import Plan, Point
from tests.grade import slopes
from tests.grade.programme import bond_origin, programme

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
    inside = None
    if rng.random() < 0.3:
        inside = Inside(grade=float(rng.uniform(29, 31)), heated=bool(rng.random() < 0.6))
    return slopes.requested(
        plan=plan,
        site=SiteGround(
            existing=surveyed_ground(points, heights, hulls),
            fill=float(rng.choice([0.0, 0.3, -0.2])),
            inside=inside,
        ),
        rules=GradeRules(
            frost_depth=float(rng.uniform(0.3, 1.2)),
            in_ground=0.3,
            module=float(rng.choice([8, 16])) * INCH,
            max_step=int(rng.integers(1, 4)),
            min_run=float(rng.choice([16, 32, 40])) * INCH,
            corner_run=None if rng.random() < 0.4 else float(rng.choice([0, 8, 16])) * INCH,
            step_cost=float(rng.choice([0, 2, 6, 15])) * FOOT**2,
        ),
        top_of_wall=34.0,
    )


def check(request: GradeRequest, found: SteppedFooting, rng: np.random.Generator) -> None:
    """Every rule again, from the answer alone."""
    rules = request.rules
    network = build_network(request.plan)
    at_node: dict[int, set[int]] = {}
    area, steps = 0.0, 0
    # By default the crossing footing's inner edge, 14" in at most or 10" from a centre line, and
    # the overlap of 10": 24" or 20" in whole modules.
    away = rules.corner_run
    if away is None:
        away = 24 * INCH if rules.module < 10 * INCH else 32 * INCH
    for strand, wall in zip(network.strands, found.walls, strict=True):
        for level in wall.levels:
            area += (level.end - level.start) * level.courses * rules.course
            assert level.courses >= rules.least_courses
        stations = [step.station for step in wall.steps]
        steps += len(stations)
        for step in wall.steps:
            assert step.rise <= rules.max_step * rules.course + 1e-9
            along = (step.station - bond_origin(strand.name, strand.length)) / rules.module
            assert abs(along - round(along)) < 1e-6
            near = min(abs(step.station - place) for _, place in strand.nodes)
            assert near >= away - 1e-6
        assert all(b - a >= rules.min_run - 1e-6 for a, b in itertools.pairwise(stations))
        for node, place in strand.nodes:
            touching = [
                level.courses
                for level in wall.levels
                if level.start - 1e-6 <= place <= level.end + 1e-6
            ]
            at_node.setdefault(node, set()).update(touching)
        covers(request, wall.levels, strand, rng)
    assert all(len(levels) == 1 for levels in at_node.values())
    assert found.objective == pytest.approx(area + steps * rules.step_cost, abs=1e-9)


def covers(
    request: GradeRequest, levels: tuple[Level, ...], strand: Strand, rng: np.random.Generator
) -> None:
    """Both covers at every point of every footing edge, and at points within.

    Along an edge the ground is straight between the places where it crosses a side of a
    triangle, and the bottom is level between steps: what holds there holds all along.
    """
    ring, surface = np.array(strand.hull), request.site.existing.surface  # type: ignore[attr-defined]
    faces = [level.start for level in levels[1:]]
    edges = [
        breaks(a, b, surface, strand, faces)
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)
    ]
    places = np.vstack((*edges, rng.dirichlet(np.ones(len(ring)), 60) @ ring))
    local = np.array(strand.local(tuple(map(tuple, places))))
    existing = surface.at(places)
    heights = [(existing + request.site.fill, np.full(len(places), True))]
    inside, under_roof = request.site.inside, strand.kind == "interior"
    if inside is not None:
        outer = (local[:, 1] > -1e-9) & (not under_roof)
        inner = (local[:, 1] < 1e-9) | under_roof
        heights = [(heights[0][0], outer), (np.full(len(places), inside.grade), inner)]
    for number, (finished, counts) in enumerate(heights):
        allowed = np.minimum(finished, existing - request.rules.strip) - request.rules.in_ground
        if number == 0 or not (inside and inside.heated):
            allowed = np.minimum(allowed, finished - request.rules.frost_depth)
        for (station, _), bottom in zip(local[counts], allowed[counts], strict=True):
            here = min(max(station, levels[0].start), levels[-1].end)
            touching = [o.bottom for o in levels if o.start - 1e-9 <= here <= o.end + 1e-9]
            assert max(touching) <= bottom + 2e-6


def breaks(
    a: np.ndarray, b: np.ndarray, surface: GroundSurface, strand: Strand, faces: list[float]
) -> np.ndarray:
    """Ends of an edge, where it crosses sides of triangles, and where the footing steps."""
    shares = [0.0, 1.0]
    t = surface.triangles
    starts = surface.points[t.ravel()]
    ways = surface.points[np.roll(t, -1, axis=1).ravel()] - starts
    turn = (b - a)[0] * ways[:, 1] - (b - a)[1] * ways[:, 0]
    gap = starts - a
    with np.errstate(divide="ignore", invalid="ignore"):
        along = (gap[:, 0] * ways[:, 1] - gap[:, 1] * ways[:, 0]) / turn
        other = (gap[:, 0] * (b - a)[1] - gap[:, 1] * (b - a)[0]) / turn
    crosses = (along > 0) & (along < 1) & (other >= 0) & (other <= 1)
    shares += along[crosses].tolist()
    (s0, _), (s1, _) = strand.local((tuple(a), tuple(b)))
    shares += [(face - s0) / (s1 - s0) for face in faces if min(s0, s1) < face < max(s0, s1)]
    return a + np.array(shares)[:, None] * (b - a)


@pytest.mark.parametrize("seed", range(300))
def test_the_footing_is_the_cheapest_and_keeps_every_rule(seed: int) -> None:
    request = random_request(seed)
    found = step_footings(request)
    network = build_network(request.plan)
    runs = wall_runs(network, request.rules)
    bounds = network_bounds(request)
    best = programme(network, bounds, request.rules, runs).least()
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
    surface = request.site.existing.surface  # type: ignore[attr-defined]
    points = np.array([move((x, y)) for x, y in surface.points.tolist()])
    hulls = [band.hull for band in footing_bands(plan)[0]]
    inside = request.site.inside
    heights = surface.elevations + lift
    return slopes.changed(
        request,
        plan=plan,
        top_of_wall=request.top_of_wall + lift,
        site=replace(
            request.site,
            existing=surveyed_ground(points, heights, hulls),
            inside=inside if inside is None else replace(inside, grade=inside.grade + lift),
        ),
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


@pytest.mark.parametrize("seed", range(60))
def test_a_steeper_slope_takes_no_fewer_courses_at_the_low_corner(seed: int) -> None:
    rng = np.random.default_rng(seed)
    plan = random_plan(rng)
    before = 0
    for fall in (0.0, 0.05, 0.1, 0.15, 0.25):
        request = slopes.requested(
            plan=plan,
            site=SiteGround(existing=slopes.plane(lambda x, y, fall=fall: 30 - fall * x)),
            rules=GradeRules(frost_depth=1.0),
            top_of_wall=31.0,
        )
        found = {wall.wall: wall for wall in step_footings(request).walls}
        low = found["B-C"].courses[0]
        assert low >= before
        before = low


@pytest.mark.parametrize("seed", range(700, 708))
def test_with_each_number_of_steps_nothing_is_cheaper(seed: int) -> None:
    # HiGHS (scipy.optimize.milp) on the same rules, with a bound on the number of steps.
    request = random_request(seed)
    network, bounds = request.network, network_bounds(request)
    runs = wall_runs(network, request.rules)
    written = programme(network, bounds, request.rules, runs)
    for most in range(len(step_footings(request).steps)):
        least = written.least(most)
        few = slopes.changed(request, rules=replace(request.rules, most_steps=most))
        if least is None:
            with pytest.raises(ComputationError, match=f"with {most} step"):
                step_footings(few)
            continue
        found = step_footings(few)
        check(few, found, np.random.default_rng(seed))
        assert len(found.steps) <= most
        assert found.objective == pytest.approx(least, rel=0, abs=1e-6)


@pytest.mark.parametrize("seed", range(720, 726))
def test_fewer_steps_take_more_wall_and_lie_alike_however_the_building_is_turned(seed: int) -> None:
    request = random_request(seed)
    count = len(step_footings(request).steps)
    each = request.rules.step_cost
    fewer = fewer_steps(request, count)
    areas = [one.wall_area(each) for one in (*fewer, step_footings(request))]
    assert all(more > less + 1e-9 for more, less in itertools.pairwise(areas))
    numbers = [len(one.steps) for one in fewer]
    assert numbers == sorted(set(numbers))
    assert not numbers or numbers[-1] < count
    c, s = math.cos(seed), math.sin(seed)
    turned = moved(request, lambda p: (c * p[0] - s * p[1], s * p[0] + c * p[1]), 3.21)
    assert [courses(one) for one in fewer_steps(turned, count)] == [courses(one) for one in fewer]
    mirrored = moved(request, lambda p: (-p[0], p[1]), 0.0)
    assert [courses(one) for one in fewer_steps(mirrored, count)] == [courses(one) for one in fewer]


@pytest.mark.parametrize("seed", range(600, 615))
def test_the_next_number_of_steps_is_the_cheapest_that_is_not_the_best_one(seed: int) -> None:
    # HiGHS may say yes to a step that changes no level, so that it is asked for fewer only.
    request = random_request(seed)
    found = step_footings(request)
    network, bounds = request.network, network_bounds(request)
    runs = wall_runs(network, request.rules)
    count, following = len(found.steps), found.next_count
    fewer = None
    if count:
        fewer = programme(network, bounds, request.rules, runs).least(count - 1)
    if following is None:
        assert fewer is None
        return
    assert following.steps != count
    assert following.objective >= found.objective - 1e-9
    if following.steps < count:
        assert following.objective == pytest.approx(fewer, rel=0, abs=1e-6)
    elif fewer is not None:
        assert following.objective <= fewer + 1e-9
