"""Lower strings on an invented slope: both ends at one level, or a board across the trench."""

from __future__ import annotations

import numpy as np
import pytest

from staking.grade.graded import BoardLevel
from staking.grade.setting_out.lower_strings import lower_strings
from staking.kinds import StringKind, StringLine
from staking.layout.layout_parts import String

FOOT = 0.3048


def falling(places: np.ndarray) -> np.ndarray:
    """100' at the origin, a quarter down along x."""
    return np.asarray(100 * FOOT - places[:, 0] / 4)


def string(start: tuple[float, float], end: tuple[float, float], boards) -> String:
    (x0, y0), (x1, y1) = start, end
    return String(
        name="A-B",
        line=StringLine.OUTSIDE_FACE,
        kind=StringKind.WALL,
        walls=("A-B",),
        start=(x0 * FOOT, y0 * FOOT),
        end=(x1 * FOOT, y1 * FOOT),
        length=float(np.hypot(x1 - x0, y1 - y0)) * FOOT,
        boards=boards,
        passes=(),
    )


def level(board: str, ground: float | None, tier: float | None = None) -> BoardLevel:
    return BoardLevel(
        board=board,
        ground=None if ground is None else ground * FOOT,
        top=103 * FOOT,
        height=None if ground is None else (103 - ground) * FOOT,
        tier=None if tier is None else tier * FOOT,
    )


def test_the_board_at_the_other_end_takes_the_level_where_it_has_room() -> None:
    # Ground 97' and 97' 6" under the boards, the lower string at 102': both have a foot and more.
    line = string((12, 0), (10, 0), ("1", "2"))
    (lower,), levels = lower_strings([line], [level("1", 97, 102), level("2", 97.5)], falling)
    assert (lower.boards, lower.across) == (("1", "2"), None)
    assert [each.tier for each in levels] == [pytest.approx(102 * FOOT, abs=1e-9)] * 2


def test_two_ends_share_the_lower_level() -> None:
    line = string((12, 0), (10, 0), ("1", "2"))
    found, levels = lower_strings([line], [level("1", 95, 100), level("2", 97, 101)], falling)
    assert [each.level for each in found] == [pytest.approx(100 * FOOT, abs=1e-9)]
    assert {round(each.tier / FOOT, 6) for each in levels if each.tier} == {100.0}


def test_on_a_slope_it_ends_at_a_board_across_the_trench() -> None:
    # The string falls from 104' of ground at x = -16' to 95' at x = 20', 36' long. The lower string
    # hangs at 100': a foot over the ground as far up as x = 4', 16' from the low board.
    line = string((-16, 0), (20, 0), ("1", "2"))
    (lower,), levels = lower_strings([line], [level("1", 104), level("2", 95, 100)], falling)
    assert lower.boards == (None, "2")
    assert lower.across is not None
    assert lower.across / FOOT == pytest.approx(16, abs=1e-6)
    assert levels[0].tier is None


def test_a_mark_on_a_standing_building_needs_no_board() -> None:
    line = string((12, 0), (10, 0), ("1", None))
    (lower,), _ = lower_strings([line], [level("1", 97, 102)], falling)
    assert (lower.boards, lower.across) == (("1", None), None)


def test_strings_that_hang_low_enough_have_none() -> None:
    line = string((12, 0), (10, 0), ("1", "2"))
    assert lower_strings([line], [level("1", 99), level("2", 99)], falling)[0] == ()
