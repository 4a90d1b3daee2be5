"""Benchmark, instrument, stake tops and old footings against the ground and one another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.graded import LevelMark
from staking.grade.notices.old_footing_levels import (
    OldSide,
    old_footing_fault,
    old_footing_notices,
)
from staking.grade.notices.set_up_levels import (
    SetUp,
    set_up_notices,
    stake_top_notices,
    unreadable,
)
from staking.kinds import LevelKind
from staking.notices import Length, Notice
from staking.plan import Existing
from staking.units import Unit

FOOT = 0.3048


def set_up(
    benchmark: float | None = 100.0,
    instrument: float | None = None,
    read_from: float | None = None,
) -> SetUp:
    """Ground from 96 to 99 feet, and a rod of 13."""

    def metres(value: float | None) -> float | None:
        return None if value is None else value * FOOT

    return SetUp(
        benchmark=metres(benchmark),
        instrument=metres(instrument),
        read_from=metres(read_from),
        rod_length=13 * FOOT,
        lowest=96 * FOOT,
        highest=99 * FOOT,
        unit=Unit.FT,
    )


def feet(said: Notice, name: str) -> float:
    value = dict(said.values)[name]
    assert isinstance(value, Length)
    return round(value.metres / FOOT, 6)


@pytest.mark.parametrize(
    ("given", "kinds"),
    [
        (set_up(), []),
        (set_up(benchmark=None), []),
        # The rod of 13 reaches from ground at 99 up to 112 and from 96 down to 83.
        (set_up(benchmark=112.0), []),
        (set_up(benchmark=112.01), ["benchmark-far"]),
        (set_up(benchmark=83.0), []),
        (set_up(benchmark=82.99), ["benchmark-far"]),
        (set_up(instrument=100.0), []),
        (set_up(instrument=112.0), []),
        (set_up(instrument=112.5), ["instrument-ground"]),
        (set_up(instrument=99.99), ["instrument-benchmark"]),
        (set_up(instrument=113.01), ["instrument-benchmark"]),
        (set_up(read_from=94.5), ["instrument-benchmark"]),
        (set_up(benchmark=None, instrument=96.0), []),
        (set_up(benchmark=None, instrument=95.9), ["instrument-ground"]),
        (set_up(benchmark=None, instrument=112.1), ["instrument-ground"]),
        # A benchmark far off puts the instrument off as well: said once.
        (set_up(benchmark=10.0, instrument=104.5), ["benchmark-far"]),
    ],
)
def test_what_the_rod_reaches_from_one_set_up(given: SetUp, kinds: list[str]) -> None:
    assert [each.kind for each in set_up_notices(given)] == kinds


def test_what_was_meant_is_named() -> None:
    (said,) = set_up_notices(set_up(benchmark=10.0))
    assert (feet(said, "far"), feet(said, "meant")) == (86.0, 100.0)
    (said,) = set_up_notices(set_up(instrument=94.5))
    assert (feet(said, "far"), feet(said, "meant")) == (5.5, 104.5)


def mark(level: float, why: str) -> LevelMark:
    return LevelMark(
        what=LevelKind.TOP_OF_WALL,
        where="",
        start=None,
        end=None,
        level=level * FOOT,
        add_to_benchmark=None,
        reading=None,
        turning_point=why,
        down_from_string=None,
    )


def test_an_instrument_that_reads_nothing_is_refused() -> None:
    low = set_up(instrument=94.5)
    above = [mark(95.0, "it stands above"), mark(103.0, "it stands above")]
    fault = unreadable(low, above)
    assert fault is not None
    assert "all stand above it" in fault.message
    assert unreadable(low, [*above, mark(94.0, "")]) is None
    assert unreadable(set_up(), above) is None
    high = unreadable(set_up(instrument=130.0), [mark(103.0, "it is longer than the rod")])
    assert high is not None
    assert "farther below it than the rod is long" in high.message


@pytest.mark.parametrize(
    ("top", "meant"), [(95.5, None), (101.0, None), (95.49, 0), (101.01, 0), (108.0, 98.0)]
)
def test_a_stake_stands_from_six_inches_under_to_five_feet_over_its_ground(
    top: float, meant: float | None
) -> None:
    # 0: said, and nothing is named as meant.
    said = stake_top_notices([("B", top * FOOT)], {"B": 96 * FOOT}, Unit.FT)
    assert [each.kind for each in said] == ([] if meant is None else ["stake-top"])
    if meant:
        assert feet(said[0], "meant") == meant
    assert stake_top_notices([("P9", 500.0)], {}, Unit.FT) == ()


SIDE = OldSide(wall="D-A", known=Existing(), lowest=100 * FOOT, highest=102 * FOOT)


def side(bottom: float | None = None, top: float | None = None) -> OldSide:
    return replace(
        SIDE,
        known=Existing(
            footing_bottom=None if bottom is None else bottom * FOOT,
            top=None if top is None else top * FOOT,
        ),
    )


@pytest.mark.parametrize(
    ("bottom", "message"),
    [
        (102.0, ""),
        (102.1, "stands 1 over"),
        (85.0, ""),
        (84.9, "lies 181 under"),
        (69.0, "lies 372 under"),
        (None, ""),
    ],
)
def test_an_old_footing_lies_within_fifteen_feet_under_the_ground(
    bottom: float | None, message: str
) -> None:
    # Written in whole inches here: 15.1' is 181", 31' are 372".
    fault = old_footing_fault(side(bottom), Unit.FT, lambda m: f"{m / 0.0254:.0f}")
    assert (fault is None) == (message == "")
    if fault is not None:
        assert message in fault.message
        assert fault.field == "walls D-A existing footing_bottom"


def test_exchanged_digits_of_an_old_footing_are_put_right() -> None:
    fault = old_footing_fault(side(69.0), Unit.FT, lambda m: f"{m / FOOT:.2f}'")
    assert fault is not None
    assert fault.remedy.endswith("96.00' may be meant")


@pytest.mark.parametrize(
    ("given", "kinds"),
    [
        (side(97.0, 103.0), []),
        (side(100.1), ["old-footing-bare"]),
        (side(90.0), []),
        (side(89.9), ["old-footing-deep"]),
        (side(None, 99.9), ["old-top"]),
        (side(None, 114.0), []),
        (side(None, 114.1), ["old-top"]),
    ],
)
def test_unlikely_old_walls_are_said(given: OldSide, kinds: list[str]) -> None:
    assert [each.kind for each in old_footing_notices(given)] == kinds
