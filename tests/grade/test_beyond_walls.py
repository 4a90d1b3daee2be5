"""Water on the uphill side and slopes near the building, on planes worked out by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from staking.grade.beyond_walls import SlopeSetback, WaterAtWall
from staking.grade.grade_request import (
    FinishedAsked,
    GradeAsked,
    GroundAsked,
    TopAsked,
)
from staking.grade.graded import Graded
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.kinds import GroundSource, LotPart
from staking.laid_out.footing_levels import GroundRead, footing_levels
from staking.notices import Severity
from staking.plan import Options, Plan
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
Heights = Callable[[np.ndarray, np.ndarray], np.ndarray]


def feet(value: float) -> object:
    return pytest.approx(value * FOOT, abs=1e-6)


def graded(
    plan: Plan,
    heights: Heights,
    *,
    top: float = 104.0,
    finished: float = 0.0,
    half: float = 90.0,
    lines: tuple[float, ...] = (),
) -> Graded:
    """Levels on a ground that is given by its height, in feet; `lines` are its breaks in x."""
    xs = np.array(sorted({*np.arange(-half, half + 31, 10.0), *lines}))
    ys = np.arange(-half, half + 31, 10.0)
    x, y = (each.ravel() for each in np.meshgrid(xs, ys))
    points = np.stack((x, y), axis=1) * FOOT
    network = build_network(plan)
    ground = surveyed_ground(points, heights(x, y) * FOOT, [s.hull for s in network.strands])
    asked = GradeAsked(
        ground=GroundAsked(source=GroundSource.SURVEY),
        finished=FinishedAsked(above=finished * FOOT),
        benchmark=None,
        top_of_wall=TopAsked(elevation=top * FOOT),
        rules=GradeRules(
            course=8 * INCH,
            frost_depth=36 * INCH,
            in_ground=12 * INCH,
            strip=0.0,
            least_courses=2,
            module=8 * INCH,
            min_run=32 * INCH,
            max_step=1,
            step_cost=6 * FOOT**2,
        ),
    )
    read = GroundRead(existing=ground, finished=None, benchmark=None)
    return footing_levels(asked, plan, Options(), network, read)


def water(levels: Graded, wall: str) -> WaterAtWall:
    return next(each for each in levels.water if each.wall == wall)


def slope(levels: Graded, wall: str, part: LotPart) -> SlopeSetback:
    return next(each for each in levels.slopes if (each.wall, each.part) == (wall, part))


def said(levels: Graded) -> dict[str, Severity]:
    return {each.kind: each.severity for each in levels.notices}


def test_water_on_a_plane_by_hand() -> None:
    # 24' x 16' on a plane that falls one in twelve along x, 100' at x = 0. Ten feet up from D-A
    # the ground is 10" higher, down from B-C 10" lower; along A-B and C-D as high as at the wall.
    levels = graded(jobs.rectangle(24, 16), lambda x, y: 100 - x / 12)
    up, down, side = (water(levels, wall) for wall in ("D-A", "B-C", "A-B"))
    assert (up.fall, down.fall, side.fall) == (feet(-10 / 12), feet(10 / 12), feet(0.0))
    assert [each.runs_off for each in (up, down, side)] == [False, True, False]
    # At D-A: 100' at the wall, a swale at 99' 6"; or grade at 100' 10" + 6" = 101' 4", the top 6"
    # over that.
    assert (up.at_wall, up.out) == (feet(100.0), feet(100 + 10 / 12))
    assert (up.swale, up.grade, up.top) == (feet(99.5), feet(101 + 4 / 12), feet(101 + 10 / 12))
    # Along A-B the highest ground ten feet out is at its uphill end, 100'.
    assert side.top == feet(101.0)
    notices = [each for each in levels.notices if each.kind == "water-uphill"]
    values = dict(notices[0].values)
    assert values["walls"] == "A-B, C-D, D-A"
    assert values["top"].metres == feet(101 + 10 / 12)
    assert notices[0].severity is Severity.WARNING


def test_just_six_inches_in_ten_feet_are_enough() -> None:
    levels = graded(jobs.rectangle(24, 16), lambda x, y: 100 - x / 20)
    assert water(levels, "B-C").fall == feet(0.5)
    assert water(levels, "B-C").runs_off
    flatter = graded(jobs.rectangle(24, 16), lambda x, y: 100 - x / 20.1)
    assert not water(flatter, "B-C").runs_off


def test_grade_raised_everywhere_falls_no_farther() -> None:
    levels = graded(jobs.rectangle(24, 16), lambda x, y: 100 - x / 12, finished=0.5)
    assert water(levels, "D-A").fall == feet(-10 / 12)
    assert water(levels, "D-A").top == feet(102 + 4 / 12)


def test_nothing_is_held_where_ten_feet_out_is_not_known_or_under_the_building() -> None:
    # Surveyed 4' round the building only.
    points = [(0, 0), (24, 0), (24, 16), (0, 16)]
    small = graded(jobs.building(points), lambda x, y: 100 + 0 * x, half=2000.0)
    assert len(small.water) == 4
    plan = jobs.rectangle(24, 16)
    ring = np.array([(-4, -4), (28, -4), (28, 20), (-4, 20)]) * FOOT
    network = build_network(plan)
    ground = surveyed_ground(ring, np.full(4, 100 * FOOT), [s.hull for s in network.strands])
    from staking.grade.terrain.ground_around import surveyed_at

    there = surveyed_at(ground, np.array([(-10.0, 8.0), (12.0, -3.0)]) * FOOT)
    assert np.isnan(there[0])
    assert there[1] == feet(100.0)
    # The arms of a U, 8' apart: ten feet out from either is under the other.
    u = [(0, 0), (32, 0), (32, 20), (20, 20), (20, 8), (12, 8), (12, 20), (0, 20)]
    levels = graded(jobs.building(u), lambda x, y: 100 - x / 12)
    assert {each.wall for each in levels.water} == {
        "A-B", "B-C", "C-D", "E-F", "G-H", "H-A",
    }  # fmt: skip


def bank(toe: float, run: float, rise: float) -> Heights:
    """Level at 100', from x = -toe westward a slope that rises `rise` over `run`, level again."""
    return lambda x, y: 100 + np.clip((-toe - x) / run, 0.0, 1.0) * rise


@pytest.mark.parametrize(("toe", "kept"), [(6.0, True), (5.9, False)])
def test_a_building_below_a_slope_keeps_half_its_height(toe: float, kept: bool) -> None:
    # 12' high, one in two: half is 6'.
    levels = graded(jobs.rectangle(24, 16), bank(toe, 24, 12), lines=(-toe, -toe - 24))
    above = slope(levels, "D-A", LotPart.WALL)
    assert (above.distance, above.height, above.needed) == (feet(toe), feet(12.0), feet(6.0))
    assert above.steepness == pytest.approx(0.5)
    assert above.is_kept is kept
    assert ("slope-above" in said(levels)) is not kept
    if not kept:
        assert said(levels)["slope-above"] is Severity.BROKEN
    # Nothing rises or falls before B-C.
    assert not [each for each in levels.slopes if each.wall == "B-C"]


def test_half_of_a_high_slope_is_no_more_than_15_feet() -> None:
    levels = graded(jobs.rectangle(24, 16), bank(15, 40, 36), lines=(-15, -55))
    above = slope(levels, "D-A", LotPart.WALL)
    assert (above.height, above.needed) == (feet(36.0), feet(15.0))
    assert above.is_kept


def test_one_in_three_is_no_slope_and_a_low_bank_is_none() -> None:
    gentle = graded(jobs.rectangle(24, 16), bank(2, 36, 12), lines=(-2, -38))
    assert gentle.slopes == ()
    low = graded(jobs.rectangle(24, 16), bank(2, 3, 1.9), lines=(-2, -5))
    assert low.slopes == ()


def test_a_footing_above_a_slope_keeps_a_third_of_its_height() -> None:
    # From 4' past B-C the ground falls one in two for 18', over 36'. All is level at 100' before
    # that: bottoms 3' down for frost. Top 104', 10" thick, n courses of 8": 104 - 10/12 - 97 =
    # 6' 2" is 9.25 courses, so 10, bottom 96' 6". The slope is there at x = 24 + 4 + 7 = 35'; the
    # footing's outer edge is at 24' 6": 10' 6". A third of 18' is 6'.
    fall: Heights = lambda x, y: 100 - np.clip((x - 28) / 36, 0.0, 1.0) * 18  # noqa: E731
    levels = graded(jobs.rectangle(24, 16), fall, lines=(28, 64))
    below = slope(levels, "B-C", LotPart.FOOTING)
    assert (below.height, below.needed) == (feet(18.0), feet(6.0))
    assert below.distance == feet(10.5)
    assert below.is_kept
    # Twice as steep the slope is there at 28 + 3.5 = 31' 6", 7' off; 36' high it asks for 12'.
    steep: Heights = lambda x, y: 100 - np.clip((x - 28) / 36, 0.0, 1.0) * 36  # noqa: E731
    levels = graded(jobs.rectangle(24, 16), steep, lines=(28, 64))
    below = slope(levels, "B-C", LotPart.FOOTING)
    assert (below.distance, below.needed) == (feet(7.0), feet(12.0))
    assert said(levels)["slope-below"] is Severity.BROKEN
    assert "slope-over-45" not in said(levels)


def test_over_one_in_one_it_is_measured_otherwise_and_said() -> None:
    levels = graded(jobs.rectangle(24, 16), bank(10, 8, 12), lines=(-10, -18))
    assert said(levels)["slope-over-45"] is Severity.WARNING


def test_a_building_on_a_steep_plane_stands_at_its_toe_and_over_its_face() -> None:
    # One in 2.5 all over, falling along x. Uphill of D-A the slope begins at the wall. At B-C the
    # ground is at 100 - 24/2.5 = 90' 4.8" and at the footing's edge, 24' 6", at 90' 2.4".
    levels = graded(jobs.rectangle(24, 16), lambda x, y: 100 - x / 2.5)
    above, below = slope(levels, "D-A", LotPart.WALL), slope(levels, "B-C", LotPart.FOOTING)
    assert above.distance == feet(0.0)
    # Known to x = -90: 36' higher; at most 15' are asked.
    assert (above.height, above.needed) == (feet(36.0), feet(15.0))
    # Level from the lower edge at depth d under the ground there the face is 2.5 d away.
    bottom = min(level.bottom for level in levels.wall("B-C").profile.levels)
    depth = (100 - 24.5 / 2.5) * FOOT - bottom
    assert below.distance == pytest.approx(2.5 * depth, abs=1e-6)
    # Walls along the fall have no slope before them.
    assert {each.wall for each in levels.slopes} == {"D-A", "B-C"}


@pytest.mark.parametrize("turn", [17.0, 90.0, 200.0])
def test_a_turned_building_on_a_turned_ground_is_the_same(turn: float) -> None:
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    points = [(0, 0), (24, 0), (24, 16), (0, 16)]
    there = jobs.building([(c * x - s * y, s * x + c * y) for x, y in points])
    levels = graded(there, lambda x, y: 100 - (c * x + s * y) / 12)
    up = water(levels, "D-A")
    assert (up.fall, up.top) == (feet(-10 / 12), feet(101 + 10 / 12))
    steep = graded(there, lambda x, y: 100 - (c * x + s * y) / 2.5)
    assert slope(steep, "D-A", LotPart.WALL).distance == feet(0.0)
