"""Batter boards on invented slopes: heights, lower strings, stakes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.grade.setting_out.board_heights import board_levels, strings_on_ground
from staking.grade.setting_out.cut_and_fill import dig_at_nodes, stake_levels
from staking.grade.stepped_footing import WallSteps
from staking.grade.stepping.cheapest import step_footings
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.kinds import StringKind, StringLine
from staking.layout.layout_parts import Board, Hub, String
from staking.notices import Severity
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254


def falling(places: np.ndarray) -> np.ndarray:
    """100' at the origin, an eighth down along x; unknown beyond x = 50'."""
    heights = 100 * FOOT - places[:, 0] / 8
    return np.where(places[:, 0] > 50 * FOOT, np.nan, heights)


def board(name: str, x: float, end: str = "A", half: float = 0.0) -> Board:
    """A board at x feet, square to a string along y unless it has no width."""
    return Board(
        name=name,
        string="A-B",
        end=end,
        past=end,
        x=x * FOOT,
        y=0.0,
        stand_off=4 * FOOT,
        clear=4 * FOOT,
        ends=(((x - half) * FOOT, 0.0), ((x + half) * FOOT, 0.0)),
        marks=(),
    )


def test_a_board_is_measured_from_the_ground_under_it() -> None:
    levels, told = board_levels([board("1", -8)], falling, 103 * FOOT, 5 * FOOT)
    assert levels[0].ground == pytest.approx(101 * FOOT, abs=1e-9)
    assert levels[0].height == pytest.approx(2 * FOOT, abs=1e-9)
    assert levels[0].tier is None
    assert told == ()


def test_a_board_is_as_high_as_over_its_lower_end() -> None:
    levels, _ = board_levels([board("1", 0, half=2)], falling, 103 * FOOT, 5 * FOOT)
    assert levels[0].height == pytest.approx(3.25 * FOOT, abs=1e-9)


def test_a_board_too_high_gets_a_lower_string_in_whole_courses() -> None:
    # Ground 97' 0" at 24': 6' under the string; 12" too high is two courses of 8".
    levels, told = board_levels([board("1", 24)], falling, 103 * FOOT, 5 * FOOT)
    assert levels[0].tier == pytest.approx(103 * FOOT - 16 * INCH, abs=1e-9)
    assert [one.kind for one in told] == ["board-tier"]
    assert told[0].severity is Severity.NOTE
    assert dict(told[0].values)["courses"] == 2


@pytest.mark.parametrize(("x", "tier"), [(16, None), (16.01, 8), (21.33, 8), (21.34, 16)])
def test_exactly_the_greatest_height_is_allowed(x: float, tier: float | None) -> None:
    level = board_levels([board("1", x)], falling, 103 * FOOT, 5 * FOOT)[0][0]
    if tier is None:
        assert level.tier is None
    else:
        assert level.tier == pytest.approx(103 * FOOT - tier * INCH, abs=1e-9)


def test_the_lower_strings_of_one_corner_cross_at_one_level() -> None:
    pair = [board("1", 17), board("2", 30), board("3", 17, end="B"), board("4", 0)]
    levels, _ = board_levels(pair, falling, 103 * FOOT, 5 * FOOT)
    tiers = [level.tier for level in levels]
    assert tiers[0] == pytest.approx(103 * FOOT - 24 * INCH, abs=1e-9)
    assert tiers[1] == tiers[0]
    assert tiers[2] == pytest.approx(103 * FOOT - 8 * INCH, abs=1e-9)
    assert tiers[3] is None


def test_a_lower_string_is_not_shared_where_it_would_lie_near_the_ground() -> None:
    # 5' 1 1/2" and 9' 3": seven courses below the others leave 5 1/2" at the first board.
    levels, _ = board_levels([board("1", 17), board("2", 50)], falling, 103 * FOOT, 5 * FOOT)
    assert levels[0].tier == pytest.approx(103 * FOOT - 8 * INCH, abs=1e-9)
    assert levels[1].tier == pytest.approx(103 * FOOT - 56 * INCH, abs=1e-9)


def test_ground_over_the_string_and_unknown_ground_are_said() -> None:
    boards = [board("1", -32), board("2", 60), board("3", 70)]
    levels, told = board_levels(boards, falling, 103 * FOOT, 5 * FOOT)
    assert levels[0].height == pytest.approx(-1 * FOOT, abs=1e-9)
    assert (levels[1].ground, levels[1].height, levels[1].tier) == (None, None, None)
    assert [one.kind for one in told] == ["board-ground-unknown", "ground-above-string"]
    assert dict(told[0].values)["boards"] == "boards 2, 3"
    assert dict(told[1].values)["board"] == "1"


def test_no_boards_have_no_levels_and_no_height_is_refused() -> None:
    assert board_levels([], falling, 103 * FOOT, 5 * FOOT) == ((), ())
    with pytest.raises(ValueError, match="above zero"):
        board_levels([board("1", 0)], falling, 103 * FOOT, 0.0)


def test_a_string_that_would_lie_on_the_ground_is_said() -> None:
    def hump(places: np.ndarray) -> np.ndarray:
        return 30.0 + np.maximum(0.0, 1.0 - np.abs(places[:, 0] - 5.0))

    string = String(
        name="A-B",
        line=StringLine.OUTSIDE_FACE,
        kind=StringKind.WALL,
        walls=("A-B",),
        start=(0.0, 0.0),
        end=(10.0, 0.0),
        length=10.0,
        boards=("1", "2"),
        passes=(),
    )
    assert strings_on_ground([string], hump, {"A-B": 31.1}) == ()
    assert strings_on_ground([string], hump, {}) == ()
    (told,) = strings_on_ground([string], hump, {"A-B": 30.5})
    values = dict(told.values)
    assert values["above"].metres == pytest.approx(0.5, abs=0.16)  # type: ignore[union-attr]
    assert values["station"].metres == pytest.approx(5.0, abs=0.16)  # type: ignore[union-attr]


def test_cut_at_stakes_and_hubs_reaches_down_to_the_dig() -> None:
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=slopes.site(slopes.plane(lambda x, y: 100 * FOOT - x / 8)),
        rules=GradeRules(frost_depth=42 * INCH, in_ground=0, strip=0, corner_run=32 * INCH),
        top_of_wall=102 * FOOT,
        walls=(WallSteps(wall="B-C", fixed=()),),
    )
    network, found = build_network(request.plan), step_footings(request)
    dig = dig_at_nodes(network, found, base=4 * INCH)
    # 102' less 8 courses of 8", 10" of footing and 4" of stone; 12 courses at the low end.
    assert dig["A"] / FOOT == pytest.approx(95.5, abs=1e-9)
    assert dig["B"] / FOOT == pytest.approx(95.5 - 32 / 12, abs=1e-9)
    corners = {corner.name: corner.point for corner in request.plan.buildings[0].corners}
    hubs = [
        Hub(corner="B", wall="A-B", x=30 * FOOT, y=0.0),
        Hub(corner="B", wall="B-C", x=60 * FOOT, y=-6 * FOOT),
    ]
    stakes = stake_levels(corners, hubs, dig, falling)
    assert [stake.name for stake in stakes] == ["A", "B", "B on A-B", "B on B-C", "C", "D"]
    by_name = {stake.name: stake for stake in stakes}
    assert by_name["A"].cut == pytest.approx(4.5 * FOOT, abs=1e-9)
    assert by_name["B"].cut == pytest.approx((97 - 95.5 + 32 / 12) * FOOT, abs=1e-9)
    assert by_name["B on A-B"].ground == pytest.approx(96.25 * FOOT, abs=1e-9)
    assert by_name["B on B-C"].cut is None
    assert stake_levels(corners, hubs, {}, falling) == ()
    assert not any(math.isnan(stake.dig) for stake in stakes)
