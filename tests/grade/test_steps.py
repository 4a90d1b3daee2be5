from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from staking.errors import ComputationError
from staking.grade.stepped_footing import Inside, WallSteps
from staking.grade.stepping.built_steps import as_built
from staking.grade.stepping.cells import SiteGround, cell_bounds, cell_edges, courses_needed
from staking.grade.stepping.cheapest import (
    GradeRequest,
    fewer_steps,
    larger_steps,
    step_footings,
    top_of_wall_gains,
)
from staking.grade.stepping.step_rules import GradeRules, preset
from staking.grade.stepping.wall_network import build_network
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254
SQUARE_FOOT = FOOT * FOOT

SLOPE_RULES = GradeRules(
    frost_depth=42 * INCH, in_ground=0, strip=0, corner_run=32 * INCH, step_cost=6 * SQUARE_FOOT
)


def slope_24_by_16(**changes: object) -> GradeRequest:
    """Invented: 24' x 16', the ground falling an eighth along the long walls."""
    ground = slopes.plane(lambda x, y: 100 * FOOT - x / 8)
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=SiteGround(existing=ground),
        rules=SLOPE_RULES,
        top_of_wall=102 * FOOT,
    )
    return slopes.changed(request, **changes)  # type: ignore[arg-type]


def flat(existing: float, finished: float | None = None, **rules: float) -> tuple[int, float]:
    """Courses and bottom, ft, of a level footing on flat ground; elevations in feet."""
    top = rules.pop("top")
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=SiteGround(
            existing=slopes.plane(lambda x, y: existing * FOOT),
            finished=None if finished is None else slopes.plane(lambda x, y: finished * FOOT),
        ),
        rules=GradeRules(**{name: value * INCH for name, value in rules.items()}),  # type: ignore[arg-type]
        top_of_wall=top * FOOT,
    )
    wall = step_footings(request).walls[0]
    assert len(wall.levels) == 1
    return wall.levels[0].courses, wall.levels[0].bottom / FOOT


def test_bearing_governs_where_the_site_is_filled() -> None:
    courses, bottom = flat(97.5, 101.0, top=103.0, frost_depth=36, in_ground=12, strip=6)
    assert courses == 10
    assert bottom == pytest.approx(95.5, abs=1e-9)


def test_the_end_cell_reaches_out_to_the_footings_own_corner() -> None:
    ground = slopes.plane(
        lambda x, y: 94 * FOOT - (x - 24 * FOOT) / 6 + y / 12  # falls outward past B
    )
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=SiteGround(existing=ground),
        rules=GradeRules(frost_depth=48 * INCH, in_ground=0, strip=0),
        top_of_wall=103.5 * FOOT,
    )
    network = build_network(request.plan)
    strand = network.strand("A-B")
    edges = cell_edges(strand, 8 * INCH)
    bounds = cell_bounds(strand, edges, request.site, request.rules, request.top_of_wall)
    lowest = bounds.frost[-1] + 48 * INCH
    assert lowest / FOOT == pytest.approx(93 + 10.5 / 12, abs=1e-9)
    assert bounds.required[-1] == 20
    at_stake = courses_needed(request.top_of_wall - 10 * INCH, np.array([90 * FOOT]), request.rules)
    assert at_stake.tolist() == [19]


def test_a_depth_that_fits_exactly_takes_no_course_more() -> None:
    assert flat(97 + 10 / 12, top=100.0, frost_depth=48, in_ground=0, strip=0)[0] == 8


def test_a_slope_steps_at_the_stations_worked_by_hand() -> None:
    found = step_footings(slope_24_by_16())
    by_wall = {wall.wall: wall for wall in found.walls}
    along = by_wall["A-B"]
    assert [step.station / INCH for step in along.steps] == pytest.approx(
        [64, 128, 192, 256], abs=1e-6
    )
    assert [level.courses for level in along.levels] == [8, 9, 10, 11, 12]
    assert all(step.down for step in along.steps)
    back = by_wall["C-D"]
    assert [(288 - step.station / INCH) for step in back.steps] == pytest.approx(
        [256, 192, 128, 64], abs=1e-6
    )
    assert found.objective / SQUARE_FOOT == pytest.approx(5168 / 9, abs=1e-9)
    assert [set(by_wall[name].courses) for name in ("B-C", "D-A")] == [{12}, {8}]


def test_steps_of_two_courses_are_told_as_an_alternative() -> None:
    other = larger_steps(slope_24_by_16())
    assert other.objective / SQUARE_FOOT == pytest.approx(564 + 4 / 9, abs=1e-9)
    found = step_footings(slope_24_by_16(rules=replace(SLOPE_RULES, max_step=2)))
    assert [step.station / INCH for step in found.walls[0].steps] == pytest.approx(
        [64, 192], abs=1e-6
    )


def test_dearer_steps_are_fewer() -> None:
    rules = replace(SLOPE_RULES, step_cost=10 * SQUARE_FOOT)
    found = step_footings(slope_24_by_16(rules=rules))
    assert found.objective / SQUARE_FOOT == pytest.approx(604.0, abs=1e-9)
    assert [level.courses for level in found.walls[0].levels] == [9, 10, 11, 12]


@pytest.mark.parametrize(("inches", "area"), [(-4, 561 + 1 / 3), (-5, 531 + 5 / 9)])
def test_lowering_the_top_of_the_wall_saves(inches: float, area: float) -> None:
    gains = {round(float(gain.change) / INCH): gain for gain in top_of_wall_gains(slope_24_by_16())}
    assert gains[round(inches)].objective / SQUARE_FOOT == pytest.approx(area, abs=1e-9)


def test_a_step_as_built_is_dug_past_its_face_into_the_bank() -> None:
    rules = replace(SLOPE_RULES, rule=preset("NHBC strip"))
    found = step_footings(slope_24_by_16(rules=rules))
    network = build_network(slope_24_by_16().plan)
    built = as_built(found.walls[0], network.strand("A-B"), rules, base=4 * INCH)
    assert built[0].overlap / INCH == pytest.approx(16, abs=1e-9)
    assert built[0].dig_to / INCH == pytest.approx(48, abs=1e-9)
    assert built[0].concrete / FOOT**3 == pytest.approx(1.4815, abs=5e-5)
    assert built[0].dig_level == pytest.approx(built[0].step.lower - 4 * INCH, abs=1e-12)


def test_the_first_step_past_a_junction_stands_on_the_bond() -> None:
    ground = slopes.plane(lambda x, y: 100 * FOOT - 0.5 * max(x, 0.0))
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(36, 24), [("cross", (17.5, 0.0), (17.5, 24.0))]),
        site=SiteGround(existing=ground),
        rules=GradeRules(frost_depth=42 * INCH, corner_run=32 * INCH),
        top_of_wall=102 * FOOT,
    )
    from staking.grade.stepping.cheapest import network_bounds
    from staking.grade.stepping.step_places import stretches, wall_runs

    network = build_network(request.plan)
    bounds = network_bounds(request)
    runs = wall_runs(network, request.rules)
    parts = stretches(network, bounds, [0] * len(bounds), runs)
    past = parts[1]
    assert past.edges[0] / FOOT == pytest.approx(17.5, abs=1e-9)
    assert past.edges[past.may].min() / INCH == pytest.approx(20 * 12 + 8, abs=1e-9)


def test_the_next_number_of_steps_costs_what_forbidding_the_best_costs() -> None:
    found = step_footings(slope_24_by_16())
    assert len(found.steps) == 8
    assert found.next_count is not None
    assert found.next_count.steps == 6
    # Six steps: the high end is a course deeper over 16' of wall and 5' 4" of each long one.
    more = (16 + 2 * 64 / 12) * 8 / 12 - 2 * 6
    assert (found.next_count.objective - found.objective) / SQUARE_FOOT == pytest.approx(
        more, abs=1e-6
    )


def test_fewer_steps_lay_the_high_end_deeper_a_course_at_a_time() -> None:
    # Courses 8 to 12 with a riser every 5' 4" on both long walls: a step less on each is a course
    # more over the high end's 16' and over 5' 4" more of each long wall, again and again. No other
    # way has fewer steps, and an odd number would leave one long wall a step the other lacks.
    request = slope_24_by_16()
    best = step_footings(request)
    found = fewer_steps(request, len(best.steps))
    assert [len(each.steps) for each in found] == [0, 2, 4, 6]
    cost, area = request.rules.step_cost, best.wall_area(request.rules.step_cost)
    for deeper, each in enumerate(reversed(found), 1):
        lengths = [16 + 2 * i * 64 / 12 for i in range(1, deeper + 1)]
        more = (each.wall_area(cost) - area) / SQUARE_FOOT
        assert more == pytest.approx(sum(lengths) * 8 / 12, rel=0, abs=1e-6)
    # All at the low end's 12 courses: 80' of wall 8' high.
    assert found[0].wall_area(cost) / SQUARE_FOOT == pytest.approx(640, rel=0, abs=1e-6)


def test_no_more_steps_than_are_wanted() -> None:
    request = slope_24_by_16()
    for most, steps in ((8, 8), (7, 6), (5, 4), (1, 0)):
        rules = replace(request.rules, most_steps=most)
        assert len(step_footings(slopes.changed(request, rules=rules)).steps) == steps
    fixed = slope_24_by_16(walls=(WallSteps(wall="A-B", fixed=(8 * FOOT,)),))
    level = slopes.changed(fixed, rules=replace(fixed.rules, most_steps=0))
    with pytest.raises(ComputationError, match="with 0 steps or fewer, and 1 are fixed"):
        step_footings(level)


def test_fixed_steps_stand_where_they_are_told_and_level_walls_stay_level() -> None:
    found = step_footings(
        slope_24_by_16(
            walls=(
                WallSteps(wall="A-B", fixed=(8 * FOOT,)),
                WallSteps(wall="B-C", fixed=()),
            )
        )
    )
    by_wall = {wall.wall: wall for wall in found.walls}
    assert [step.station / FOOT for step in by_wall["A-B"].steps] == pytest.approx([8], abs=1e-9)
    assert by_wall["B-C"].steps == ()


@pytest.mark.parametrize(
    ("walls", "match"),
    [
        ((WallSteps(wall="A-B", fixed=(1 * FOOT,)),), "A-B: fixed step 1 is nearer to A than"),
        ((WallSteps(wall="A-B", fixed=(8 * FOOT, 9 * FOOT)),), "fixed step 2 .* min_run"),
        ((WallSteps(wall="A-B", fixed=(30 * FOOT,)),), "is not on the wall"),
        ((WallSteps(wall="A-Q", fixed=()),), "there is no wall A-Q"),
        (
            tuple(
                WallSteps(wall=name, fixed=(8 * FOOT,) if name == "A-B" else ())
                for name in ("A-B", "B-C", "C-D", "D-A")
            ),
            r"A-B: no footing keeps the rules .* only at 8\.00 ft \(2\.438 m\); free the steps",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_wall_and_rule(
    walls: tuple[WallSteps, ...], match: str
) -> None:
    with pytest.raises(ComputationError, match=match):
        step_footings(slope_24_by_16(walls=walls))


def test_wall_tops_must_differ_by_whole_courses() -> None:
    walls = (WallSteps(wall="B-C", top=101 * FOOT),)
    with pytest.raises(ComputationError, match="no whole number of courses"):
        step_footings(slope_24_by_16(walls=walls))


def test_a_wall_a_course_lower_has_a_course_less_at_the_shared_corner() -> None:
    walls = (WallSteps(wall="B-C", top=102 * FOOT - 8 * INCH),)
    found = {wall.wall: wall for wall in step_footings(slope_24_by_16(walls=walls)).walls}
    assert found["B-C"].courses[0] == found["A-B"].courses[-1] - 1
    assert found["B-C"].levels[0].top == pytest.approx(found["A-B"].levels[-1].top, abs=1e-9)


def test_a_heated_inside_takes_frost_from_the_outside_only() -> None:
    request = slope_24_by_16(
        plan=slopes.outline(slopes.rectangle(24, 16), [("cross", (12, 0), (12, 16))]),
        site=SiteGround(
            existing=slopes.plane(lambda x, y: 100 * FOOT),
            inside=Inside(grade=99 * FOOT, heated=True),
        ),
    )
    found = {wall.wall: wall for wall in step_footings(request).walls}
    assert math.isinf(found["cross"].bounds.frost[3])
    assert found["A-B"].bounds.frost[3] == pytest.approx(100 * FOOT - 42 * INCH, abs=1e-9)


def test_a_rule_refuses_a_rise_greater_than_the_footing_is_thick() -> None:
    rules = replace(SLOPE_RULES, max_step=2, rule=preset("NHBC strip"))
    with pytest.raises(ComputationError, match="rise greater than the footing's thickness"):
        step_footings(slope_24_by_16(rules=rules))


def test_cutting_the_bond_at_a_junction_makes_no_sliver() -> None:
    network = build_network(slopes.outline(slopes.rectangle(24, 16), [("cross", (8, 0), (8, 16))]))
    edges = cell_edges(network.strand("A-B"), 8 * INCH)
    assert np.diff(edges).min() == pytest.approx(8 * INCH, abs=1e-9)
