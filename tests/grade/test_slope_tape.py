from __future__ import annotations

import pytest

from staking.grade.setting_out.slope_tape import (
    level_within,
    slope_distance,
    slope_tapes,
)
from staking.kinds import CheckKind
from staking.layout.layout_parts import Check

FOOT = 0.3048
INCH = 0.0254


def check(
    kind: CheckKind = CheckKind.SIDE, at: str | None = None, distance: float = 24 * FOOT
) -> Check:
    return Check(kind=kind, at=at, from_name="A", to_name="B", distance=distance, allowed=0.006)


def test_a_tape_between_stakes_of_different_heights_reads_the_slope() -> None:
    # 3, 4, 5: 24' level and 7' up are 25' along the slope.
    assert slope_distance(24 * FOOT, -7 * FOOT) == pytest.approx(25 * FOOT, abs=1e-12)
    assert level_within(24 * FOOT, 1 * FOOT) == pytest.approx(7 * FOOT, abs=1e-12)


def test_the_error_of_an_inch_grows_with_the_square() -> None:
    tapes = [
        each
        for top in (30.0 + INCH, 30.0 + 2 * INCH)
        for each in slope_tapes([check()], {"A": 30.0, "B": top})
    ]
    one, two = (each.slope - 24 * FOOT for each in tapes if each.slope is not None)
    # h^2 / (2 d): 1 / 576 of an inch, and four times as much.
    assert one / INCH == pytest.approx(1 / 576, abs=1e-8)
    assert two / INCH == pytest.approx(4 / 576, abs=1e-7)


def test_heights_give_slope_readings_and_none_give_the_error_instead() -> None:
    heights = {"A": 30.0, "B": 30.0 - 7 * FOOT}
    (known,) = slope_tapes([check()], heights)
    assert known.slope == pytest.approx(25 * FOOT, abs=1e-12)
    assert known.difference == pytest.approx(-7 * FOOT, abs=1e-12)
    (unknown,) = slope_tapes([check()], {"A": 30.0})
    assert (unknown.slope, unknown.difference) == (None, None)
    # 24' and 1/16" too long: the square root of 2 x 288 x 1/16 is 6 inches.
    assert unknown.within / INCH == pytest.approx(6.0, abs=0.001)


def test_across_the_legs_of_an_angle_there_is_no_slope_reading() -> None:
    (across,) = slope_tapes([check(CheckKind.RIGHT_ANGLE, at="C")], {"A": 30.0, "B": 31.0})
    assert across.slope is None
