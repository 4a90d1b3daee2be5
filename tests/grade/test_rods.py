from __future__ import annotations

import pytest

from staking.grade.setting_out.rods import (
    add_to_benchmark,
    down_from_string,
    instrument_height,
    rod_reading,
)

FOOT = 0.3048
INCH = 0.0254


def test_the_rod_for_a_footing_on_its_base() -> None:
    dig = (94 + 2 / 12) * FOOT - 4 * INCH
    added = add_to_benchmark(100 * FOOT, dig)
    assert added is not None
    assert added / INCH == pytest.approx(6 * 12 + 2, abs=1e-9)
    line_of_sight = instrument_height(100 * FOOT, 55.5 * INCH)
    reading = rod_reading(line_of_sight, dig, 13 * FOOT)
    assert reading.value / INCH == pytest.approx(10 * 12 + 9.5, abs=1e-9)
    assert reading.value / FOOT == pytest.approx(10.79, abs=0.005)
    assert reading.turning_point == ""


def test_a_reading_off_the_rod_asks_for_a_turning_point() -> None:
    assert "set up lower" in rod_reading(104.0, 99.0, 4.0).turning_point
    assert "set up higher" in rod_reading(104.0, 105.0, 4.0).turning_point
    assert rod_reading(104.0, 100.0, 4.0).turning_point == ""


def test_without_a_benchmark_there_is_nothing_to_add() -> None:
    assert add_to_benchmark(None, 95.0) is None
    assert down_from_string(103.0, 95.0) == pytest.approx(8.0, abs=1e-12)
