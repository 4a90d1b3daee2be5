"""A building laid out from values alone: no job file, no survey."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.grade_request import (
    FinishedAsked,
    GradeAsked,
    GroundAsked,
    SectionPlace,
    TopAsked,
)
from staking.grade.graded import Graded
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.kinds import GroundSource
from staking.laid_out.footing_levels import GroundRead, footing_levels
from staking.laid_out.ground_made import from_readings
from staking.laid_out.layout_value import Layout
from staking.laid_out.whole_layout import footing_strips, lay_out_whole
from staking.plan import Building, Corner, Footing, Options, Plan, Wall

FOOT = 0.3048
INCH = FOOT / 12


@pytest.fixture
def plan() -> Plan:
    """A shed of 24 by 16 ft on walls of 8" and footings of 20" by 10"."""
    names = "ABCD"
    places = ((0, 0), (24, 0), (24, 16), (0, 16))
    footing = Footing(width=20 * INCH, thickness=10 * INCH, outside=6 * INCH)
    return Plan(
        job="Sloe shed",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=n, x=x * FOOT, y=y * FOOT)
                    for n, (x, y) in zip(names, places, strict=True)
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=8 * INCH, footing=footing)
                    for a, b in zip(names, "BCDA", strict=True)
                ),
            ),
        ),
    )


def levels(plan: Plan, options: Options, ground: dict[str, float], top: float) -> Graded:
    """The levels over ground given at the corners, frost depth 3 ft; ft."""
    network = build_network(plan)
    asked = GradeAsked(
        ground=GroundAsked(
            source=GroundSource.READINGS,
            corners=tuple((corner, level * FOOT) for corner, level in ground.items()),
        ),
        finished=FinishedAsked(),
        benchmark=None,
        top_of_wall=TopAsked(elevation=top * FOOT),
        rules=GradeRules(course=8 * INCH, frost_depth=3 * FOOT),
        written=SectionPlace(),
    )
    made, told = from_readings(asked.ground, network, {})
    read = GroundRead(existing=made, finished=None, benchmark=100 * FOOT, notices=told)
    return footing_levels(asked, plan, options, network, read)


def whole(plan: Plan, graded: Graded | None = None) -> Layout:
    return lay_out_whole(plan, Options(), footing_strips(plan), graded, None)


def test_a_shed_without_levels(plan: Plan) -> None:
    layout = whole(plan)
    # The footing's edges stand 6" out and 14" in: 25 by 17 ft less 21' 8" by 13' 8".
    area = 25 * 17 - (21 + 8 / 12) * (13 + 8 / 12)
    assert layout.footing.area / FOOT**2 == pytest.approx(area, rel=0, abs=1e-9)
    assert [board.name for board in layout.boards] == [str(n) for n in range(1, 9)]
    # 4' clear of the footing's edge, which stands 6" out
    assert {round(each.stand_off / FOOT, 9) for each in layout.boards} == {4.5}
    assert layout.dig is layout.footing
    assert layout.grade is None


def test_level_ground_gives_one_level_by_hand(plan: Plan) -> None:
    """Ground at 99 ft: no bottom above 96. Top of wall at 100: 100 - 5 x 8" - 10" is 95' 10"."""
    found = levels(plan, Options(), dict.fromkeys("ABCD", 99.0), 100.0)
    (run,) = {
        (run.courses, round(run.bottom / FOOT, 6)) for w in found.walls for run in w.profile.levels
    }
    assert run == (5, round(95 + 10 / 12, 6))
    assert found.greatest_depth / FOOT == pytest.approx(3 + 2 / 12, rel=0, abs=1e-9)


def test_boards_stand_as_far_off_as_the_levels_dig(plan: Plan) -> None:
    """A dig deeper than the clearance of 4 ft sends the boards out to its own depth."""
    deep = levels(plan, Options(), dict.fromkeys("ABCD", 99.0), 103.0)
    # 103 - 9 x 8" - 10" is 96' 2", too high; 10 courses reach 95' 6", 3' 6" under the ground
    assert deep.greatest_depth / FOOT == pytest.approx(3.5, rel=0, abs=1e-9)
    forced = replace(deep, greatest_depth=5 * FOOT)
    layout = whole(plan, forced)
    assert layout.options.dig.depth == 5 * FOOT
    # 5' clear of the footing's edge, which stands 6" out
    assert {round(each.stand_off / FOOT, 9) for each in layout.boards} == {5.5}


def test_a_slope_steps_the_footing_and_every_stake_has_its_cut(plan: Plan) -> None:
    ground = {"A": 99.0, "B": 97.0, "C": 97.0, "D": 99.0}
    layout = whole(plan, levels(plan, Options(), ground, 100.0))
    assert layout.grade is not None
    assert layout.grade.stepped.steps
    cuts = {each.name: each.cut for each in layout.grade.stakes if each.kind == "corner"}
    for corner, level in ground.items():
        stake = next(each for each in layout.grade.stakes if each.name == corner)
        assert cuts[corner] == pytest.approx(level * FOOT - stake.dig, rel=0, abs=1e-9)


def test_the_same_values_give_the_same_layout_and_mark(plan: Plan) -> None:
    ground = {"A": 99.0, "B": 97.0, "C": 97.0, "D": 99.0}
    one, other = (whole(plan, levels(plan, Options(), ground, 100.0)) for _ in range(2))
    assert one.mark == other.mark
    assert whole(plan).mark != one.mark
    lower = whole(plan, levels(plan, Options(), ground, 99.0 + 8 / 12))
    assert lower.mark != one.mark
