"""What is written can be read again, and says the same."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.measure.lengths import (
    Unit,
    format_angle,
    format_area,
    format_bearing,
    format_length,
    parse_angle,
    parse_area,
    parse_bearing,
    parse_length,
)
from staking.plan import Show

METRES = st.floats(min_value=-10_000, max_value=10_000)


@given(METRES, st.sampled_from([1, 2, 8, 16, 32]))
def test_feet_and_inches_come_back_within_half_of_the_nearest(metres, parts):
    text = format_length(metres, nearest=0.0254 / parts)
    assert abs(parse_length(text) - metres) <= 0.0254 / parts / 2 + 1.1e-7


@given(METRES)
def test_decimals_come_back_within_half_of_the_last_place(metres):
    for show, half in (
        (Show.METRES, 0.0005),
        (Show.MILLIMETRES, 0.0005),
        (Show.DECIMAL_FEET, 0.005 * 0.3048),
    ):
        assert abs(parse_length(format_length(metres, show)) - metres) <= half + 1.1e-7


@given(METRES)
def test_writing_what_was_read_changes_nothing(metres):
    text = format_length(metres)
    assert format_length(parse_length(text)) == text


@given(st.integers(0, 500), st.integers(0, 11), st.integers(0, 15))
def test_the_ways_of_writing_one_length_agree(feet, inches, sixteenths):
    fraction = f"{sixteenths}/16"
    expected = (feet * 192 + inches * 16 + sixteenths) * 0.0254 / 16
    for text in (
        f"{feet}' {inches} {fraction}\"",
        f"{feet}'-{inches}-{fraction}\"",
        f"{feet}-{inches}-{fraction}",
        f"{feet}ft{inches}-{fraction}in",
        f"{feet}′ {inches} {sixteenths}⁄16″",
        f"{feet} ft {inches + sixteenths / 16} in",
    ):
        assert parse_length(text) == pytest.approx(expected, rel=0, abs=1e-9)


@given(st.text(max_size=30), st.sampled_from([None, *Unit]))
def test_any_text_is_either_read_or_refused(text, unit):
    for read in (parse_length, parse_area):
        try:
            assert math.isfinite(read(text, unit))
        except ValueError as fault:
            assert str(fault).isprintable()  # noqa: PT017
    for read_angle in (parse_angle, parse_bearing):
        try:
            assert math.isfinite(read_angle(text))
        except ValueError as fault:
            assert str(fault).isprintable()  # noqa: PT017


@given(
    st.text(alphabet="0123456789'\"-/. xftinmNSEW°", max_size=14), st.sampled_from([None, *Unit])
)
def test_text_like_a_measure_is_either_read_or_refused(text, unit):
    test_any_text_is_either_read_or_refused.hypothesis.inner_test(text, unit)


@given(st.floats(min_value=0, max_value=2 * math.pi))
def test_bearings_come_back_within_half_a_second(azimuth):
    again = parse_bearing(format_bearing(azimuth))
    turn = math.remainder(again - azimuth, 2 * math.pi)
    assert abs(turn) <= math.radians(0.5 / 3600) + 1e-12
    assert 0 <= again < 2 * math.pi


@given(st.floats(min_value=-math.pi, max_value=math.pi))
def test_angles_come_back_within_half_a_second(angle):
    again = parse_angle(format_angle(angle))
    assert abs(again - angle) <= math.radians(0.5 / 3600) + 1e-12


@given(st.floats(min_value=0, max_value=1e5))
def test_areas_come_back_within_half_of_the_last_place(square_metres):
    again = parse_area(format_area(square_metres, Show.METRES))
    assert abs(again - square_metres) <= 0.005 + 1e-9
