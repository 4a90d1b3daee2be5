"""Every level to set, and the ground along a wall."""

from __future__ import annotations

import numpy as np
import pytest

from staking.grade.graded import BoardLevel
from staking.grade.setting_out.level_marks import (
    LevelReferences,
    ground_line,
    level_marks,
    with_lower_strings,
)
from staking.grade.stepped_footing import Inside
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import step_footings
from staking.grade.stepping.wall_network import build_network
from staking.plan import Slab
from tests.grade import slopes
from tests.grade.test_steps import FOOT, INCH, slope_24_by_16

SETTING = LevelReferences(
    benchmark=100 * FOOT, instrument=106 * FOOT, rod_length=12 * FOOT, string=103 * FOOT
)


def test_levels_come_from_the_top_down_with_the_slab_and_its_stone() -> None:
    slab = Slab(top=102 * FOOT, thickness=4 * INCH, base=4 * INCH)
    marks = level_marks(step_footings(slope_24_by_16()), slab, 4 * INCH, SETTING)
    assert list(dict.fromkeys(mark.what for mark in marks)) == [
        "top of wall",
        "string",
        "top of footing",
        "bottom of footing",
        "dig level",
        "top of slab",
        "under the slab",
        "under the slab's stone",
    ]
    levels = {mark.what: mark.level / FOOT for mark in marks if not mark.where}
    assert levels["under the slab's stone"] == pytest.approx(102 - 8 / 12, rel=0, abs=1e-9)


def test_a_level_is_told_from_benchmark_instrument_and_string() -> None:
    marks = level_marks(step_footings(slope_24_by_16()), None, 0.0, SETTING)
    first = next(mark for mark in marks if mark.what == "dig level")
    # 95' 10": 4' 2" under the benchmark, 10' 2" under the line of sight, 7' 2" under the string.
    assert first.add_to_benchmark == pytest.approx(50 * INCH, rel=0, abs=1e-9)
    assert first.reading == pytest.approx(122 * INCH, rel=0, abs=1e-9)
    assert first.down_from_string == pytest.approx(86 * INCH, rel=0, abs=1e-9)
    lowest = min(marks, key=lambda mark: mark.level)
    # 93' 2" asks for 12' 10" on a rod of 12'.
    assert lowest.reading is None
    assert "longer than the rod" in lowest.turning_point


def test_lower_strings_are_set_with_the_rod_too() -> None:
    marks = level_marks(step_footings(slope_24_by_16()), None, 0.0, SETTING)
    boards = [
        BoardLevel(board=name, ground=0.0, top=103 * FOOT, height=1.0, tier=tier)
        for name, tier in (("1", None), ("2", 101 * FOOT), ("3", 102 * FOOT), ("4", 101 * FOOT))
    ]
    found = with_lower_strings(marks, boards, SETTING)
    assert [(mark.what, mark.where) for mark in found[:4]] == [
        ("top of wall", ""),
        ("string", ""),
        ("lower string", "board 3"),
        ("lower string", "boards 2, 4"),
    ]
    # 101' is a foot over the benchmark, 5' under the line of sight, 2' under the string.
    lowest = found[3]
    assert lowest.add_to_benchmark == pytest.approx(-1 * FOOT, rel=0, abs=1e-9)
    assert lowest.reading == pytest.approx(5 * FOOT, rel=0, abs=1e-9)
    assert lowest.down_from_string == pytest.approx(2 * FOOT, rel=0, abs=1e-9)
    assert [mark for mark in found if mark.what != "lower string"] == list(marks)


def test_without_benchmark_instrument_and_string_only_elevations_are_told() -> None:
    bare = LevelReferences(benchmark=None, instrument=None, rod_length=12 * FOOT, string=None)
    marks = level_marks(step_footings(slope_24_by_16()), None, 0.0, bare)
    assert {(m.add_to_benchmark, m.reading, m.down_from_string) for m in marks} == {
        (None, None, None)
    }
    assert "string" not in {mark.what for mark in marks}


def test_the_ground_along_a_wall_is_given_as_it_is_and_will_be() -> None:
    ground = slopes.plane(lambda x, y: 100 * FOOT - x / 8)
    site = SiteGround(existing=ground, fill=3 * INCH)
    (wall, *_) = build_network(slope_24_by_16().plan).strands
    line = ground_line(wall, site, 6 * INCH, (0.0, 8 * FOOT, 24 * FOOT))
    assert line.existing == pytest.approx(np.array([100, 99, 97]) * FOOT, rel=0, abs=1e-9)
    assert line.finished == pytest.approx(line.existing + 3 * INCH, rel=0, abs=1e-9)
    assert line.undisturbed == pytest.approx(line.existing - 6 * INCH, rel=0, abs=1e-9)


def test_an_outside_wall_keeps_its_own_grade_where_the_inside_has_another() -> None:
    ground = slopes.plane(lambda x, y: 100 * FOOT)
    site = SiteGround(existing=ground, inside=Inside(grade=101 * FOOT))
    (wall, *_) = build_network(slope_24_by_16().plan).strands
    line = ground_line(wall, site, 0.0, (0.0, 24 * FOOT))
    assert line.finished == pytest.approx(np.array([100, 100]) * FOOT, rel=0, abs=1e-9)
