"""Lengths, areas, angles and bearings: every way they are written, and what is refused.

Expected metres are inches times 0.0254 worked by hand.
"""

import math

import pytest

from staking.errors import MeasureError
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
from staking.measure.rounding import decimal_text, up_to_steps
from staking.plan import Show

SIXTEENTH = 0.0254 / 16


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("36'", 10.9728),
        ("36' 6", 11.1252),
        ("36'6\"", 11.1252),
        ("36'-6 1/2\"", 11.1379),
        ("36'-6-1/2\"", 11.1379),
        ("36' - 6 1/2\"", 11.1379),
        ("36 ft 6.5 in", 11.1379),
        ("36 ft. 6.5 in.", 11.1379),
        ("36 feet 6 inches", 11.1252),
        ("36FT", 10.9728),
        ("36.5'", 11.1252),
        ("36 1/2'", 11.1252),
        ('6 1/2"', 0.1651),
        ('6-1/2"', 0.1651),
        ('1/2"', 0.0127),
        ("6''", 0.1524),
        ("36′ 6½″", 11.1379),
        ("36’ 6 1⁄2”", 11.1379),
        ("36' 6¹⁄₂\"", 11.1379),
        ("36\u00a0ft", 10.9728),
        ("24ft", 7.3152),
        ("24ft6in", 7.4676),
        ("24-6", 7.4676),
        ("24-6-1/2", 7.4803),
        ("24-6.5", 7.4803),
        ('24-6 1/2"', 7.4803),
        ("0-6-1/2", 0.1651),
        ("6-1/2in", 0.1651),
        ("11.2 m", 11.2),
        ("11.2m", 11.2),
        ("11 200 mm", 11.2),
        ("11200mm", 11.2),
        ("20 cm", 0.2),
        ("3 metres", 3.0),
        ("3937 us-ft", 1200.0),
        ("-24' 6\"", -7.4676),
        ('−6 1/2"', -0.1651),
        ('+6"', 0.1524),
        (".5 m", 0.5),
    ],
)
def test_a_length_is_read_in_every_way_a_builder_writes_it(text, metres):
    assert parse_length(text) == pytest.approx(metres, rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("unit", "metres"),
    [
        (Unit.FT, 11.1252),
        (Unit.US_FT, 36.5 * 1200 / 3937),
        (Unit.IN, 0.9271),
        (Unit.M, 36.5),
        (Unit.MM, 0.0365),
    ],
)
def test_a_bare_number_is_in_the_unit_of_the_job(unit, metres):
    assert parse_length("36.5", unit) == pytest.approx(metres, rel=0, abs=1e-12)


def test_feet_are_survey_feet_in_a_survey_foot_job():
    assert parse_length("3937'", Unit.US_FT) == pytest.approx(1200.0, rel=0, abs=1e-9)
    assert parse_length("47244 in", Unit.US_FT) == pytest.approx(1200.0, rel=0, abs=1e-9)


def test_bare_groups_of_three_are_a_number_only_in_millimetres():
    assert parse_length("11 200", Unit.MM) == pytest.approx(11.2, rel=0, abs=1e-12)
    with pytest.raises(MeasureError, match="two lengths"):
        parse_length("11 200", Unit.FT)


LENGTH = """write a length such as 36' 6 1/2", 36.5 ft or 11.2 m"""
JOINED = "at a shell prompt quote marks join what stands between them, so type"


@pytest.mark.parametrize(
    ("text", "message", "remedy"),
    [
        ("24' 13\"", "24' 13\" has 13 inches", "write 25' 1\""),
        ("24' 12", "24' 12 has 12 inches", "write 25' 0\""),
        ("24' 13 1/2\"", "24' 13 1/2\" has 13 1/2 inches", "write 25' 1 1/2\""),
        ('5 3/0"', '5 3/0" has a fraction over zero', 'write one such as 5 3/8"'),
        (
            '5 9/8"',
            '5 9/8" has the fraction 9/8, which is 1 or more',
            "write 6 1/8 for that part",
        ),
        ("--4", "--4 has more than one sign", "write one, as in -4'"),
        ("1e400", "1e400 has an exponent", "write the number out, as in 36.5"),
        ("1E5 m", "1E5 m has an exponent", "write the number out, as in 36.5"),
        ("", "no length is given", LENGTH),
        ("  ", "no length is given", LENGTH),
        ("20 sq ft", "20 sq ft is an area, and a length is meant", LENGTH),
        ("20 m²", "20 m² is an area, and a length is meant", LENGTH),
        ("20 ft2", "20 ft2 is an area, and a length is meant", LENGTH),
        ("36' x 24'", "36' x 24' is a size, and one length is meant", LENGTH),
        (
            "24' 32'",
            "24' 32' is two lengths, and one is meant",
            f"write one; {JOINED} 24ft 32ft there",
        ),
        (
            "24 32",
            "24 32 is two lengths, and one is meant",
            f"write one; {JOINED} 24ft 32ft there",
        ),
        (
            "24 6",
            "24 6 is two lengths, and one is meant",
            f"write one; {JOINED} 24ft 6ft there, or 24-6 for one length",
        ),
        (
            "24'6\" 32'6 1/2\"",
            "24'6\" 32'6 1/2\" is two lengths, and one is meant",
            f"write one; {JOINED} 24-6 32-6-1/2 there",
        ),
        (
            "6 1/2",
            "6 1/2 has a fraction and no unit",
            "write 6-1/2in for inches, or feet with a point as in 6.5ft",
        ),
        (
            "24.5' 6\"",
            "24.5' 6\" has a fraction of a foot and inches as well",
            "write whole feet and inches, as in 24' 6 1/2\"",
        ),
        (
            '6.5 1/2"',
            '6.5 1/2" has a decimal point and a fraction',
            'write one or the other, as in 6 1/2" or 6.5"',
        ),
        (
            "1,200",
            "1,200 has a comma, which can be read two ways",
            "write 1200 without it, or 1.2 with a point",
        ),
        ("36.5", "36.5 has no unit", "write 36.5ft, 36.5in or 36.5m"),
        ("nan", "nan is not a length", LENGTH),
        ("inf ft", "inf ft is not a length", LENGTH),
        ("true", "true is not a length", LENGTH),
        ("1_000 ft", "1_000 ft is not a length", LENGTH),
        ("-", "- is not a length", LENGTH),
        ("24'-", "24'- is not a length", LENGTH),
        ("30°", "30° is not a length", LENGTH),
        ("٣ m", "٣ m is not a length", LENGTH),
        ("7\x1b[31m\n8", "7?[31m 8 is not a length", LENGTH),
    ],
)
def test_nonsense_is_refused_with_what_was_read_and_what_is_meant(text, message, remedy):
    with pytest.raises(MeasureError, match=r".") as caught:
        parse_length(text)
    assert (caught.value.message, caught.value.remedy) == (message, remedy)


@pytest.mark.parametrize(
    "text",
    [
        "9" * 400 + "'",
        "9" * 400 + "' 3",
        "24' " + "9" * 400 + '"',
        "9" * 400 + '/3"',
        "1" * 12 + "m",
    ],
)
def test_a_length_beyond_the_earth_is_refused_in_a_short_message(text):
    with pytest.raises(MeasureError, match="is too long for a building site") as caught:
        parse_length(text)
    assert len(caught.value.message) < 120


@pytest.mark.parametrize(
    ("text", "square_metres"),
    [
        ("6 sq ft", 0.55741824),
        ("6 sq. ft.", 0.55741824),
        ("6 sf", 0.55741824),
        ("6 ft²", 0.55741824),
        ("144 sq in", 0.09290304),
        ("0.5 m2", 0.5),
        ("0.5 sq m", 0.5),
        ("1 000 000 mm2", 1.0),
    ],
)
def test_an_area_is_read(text, square_metres):
    assert parse_area(text) == pytest.approx(square_metres, rel=0, abs=1e-12)


def test_a_bare_area_is_in_squares_of_the_unit():
    assert parse_area("6", Unit.FT) == pytest.approx(0.55741824, rel=0, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no area is given; write an area such as 6 sq ft or 0.5 m2"),
        ("6", "6 has no unit; write an area such as 6 sq ft or 0.5 m2"),
        ("6'", "6' is a length, and an area is meant; write an area such as 6 sq ft or 0.5 m2"),
        ("-6 sq ft", "-6 sq ft is not an area; write an area such as 6 sq ft or 0.5 m2"),
    ],
)
def test_an_area_that_is_none_is_refused(text, message):
    with pytest.raises(MeasureError, match=r"area|unit") as caught:
        parse_area(text)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("N 14 30 00 E", 14.5),
        ("N14-30E", 14.5),
        ("n 14°30'00\" e", 14.5),
        ("N 14d30' W", 345.5),
        ("S 14 30 E", 165.5),
        ("S 14 30 W", 194.5),
        ("N 90 E", 90.0),
        ("N 0 W", 0.0),
        ("14.5", 14.5),
        ("14d30'00\"", 14.5),
        ("14°30’", 14.5),
        ("14-30-00", 14.5),
        ("360", 0.0),
        ("due west", 270.0),
        ("East", 90.0),
        ("SW", 225.0),
    ],
)
def test_a_bearing_is_read_as_an_azimuth_clockwise_from_north(text, degrees):
    assert math.degrees(parse_bearing(text)) == pytest.approx(degrees, rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no bearing is given"),
        ("N 14", "N 14 is half a bearing: it ends without E or W"),
        ("14 30 E", "14 30 E is half a bearing: it starts without N or S"),
        ("E 14 N", "E 14 N starts with east or west"),
        ("N 14 75 E", "N 14 75 E has 75 minutes"),
        ("N 14 30 60 E", "N 14 30 60 E has 60 seconds"),
        ("N 14.5 30 E", "N 14.5 30 E has a decimal point before its last part"),
        ("S 95 W", "S 95 W turns more than 90 degrees from north or south"),
        ("400", "400 is more than a full turn"),
        ("-5", "-5 has a sign"),
        ("36'", "36' is not an angle in degrees"),
    ],
)
def test_a_bearing_that_is_none_is_refused(text, message):
    with pytest.raises(MeasureError, match=r".") as caught:
        parse_bearing(text)
    assert caught.value.message == message
    assert caught.value.remedy


def test_a_quadrant_bearing_past_east_is_told_as_it_should_be():
    with pytest.raises(MeasureError, match="write N 85 W"):
        parse_bearing("S 95 W")


@pytest.mark.parametrize(
    ("text", "degrees"),
    [("90", 90.0), ("-14 30", -14.5), ("14°30'36\"", 14.51), ("89.5 deg", 89.5)],
)
def test_an_angle_is_read_in_degrees(text, degrees):
    assert math.degrees(parse_angle(text)) == pytest.approx(degrees, rel=0, abs=1e-9)


@pytest.mark.parametrize("text", ["", "ninety", "370", "14 30 30 30"])
def test_an_angle_that_is_none_is_refused(text):
    with pytest.raises(MeasureError, match=r"angle|turn"):
        parse_angle(text)


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (0, '0"'),
        (0.5, '1/2"'),
        (6.5, '6 1/2"'),
        (11.96875, "1' 0\""),  # 11 31/32"
        (12, "1' 0\""),
        (294.5, "24' 6 1/2\""),
        (294.75, "24' 6 3/4\""),
        (432, "36' 0\""),
        (12.25, "1' 0 1/4\""),
        (-18.5, "-1' 6 1/2\""),
        (-0.25, '-1/4"'),
        (-0.01, '0"'),
    ],
)
def test_feet_and_inches_carry_and_reduce(inches, text):
    assert format_length(inches * 0.0254) == text


@pytest.mark.parametrize(
    ("parts", "text"), [(1, "1' 0\""), (2, "1' 0\""), (8, '11 7/8"'), (32, '11 27/32"')]
)
def test_feet_and_inches_go_to_the_nearest_asked_for(parts, text):
    assert format_length(11.84375 * 0.0254, nearest=0.0254 / parts) == text


def test_odd_thirty_seconds_go_away_from_nothing():
    # 160 ties: 1/32" goes to 1/16", 3/32" to 1/8", however the metres came out.
    for over in range(1, 320, 2):
        for foot in (0, 7, 36, 240):
            half = format_length(foot * 0.3048 + over * 0.0254 / 32)
            assert half == format_length(foot * 0.3048 + (over + 1) * 0.0254 / 32), over
            assert format_length(-(foot * 0.3048 + over * 0.0254 / 32)) == f"-{half}"


def test_half_a_hundredth_of_a_foot_goes_away_from_nothing():
    assert format_length(3.875 * 0.3048, Show.DECIMAL_FEET) == "3.88 ft"
    for n in range(1000):
        ending = f"{n}.{n % 100:02d}"
        text = format_length(float(f"{ending}5") * 0.3048, Show.DECIMAL_FEET)
        up = (n * 100 + n % 100 + 1) / 100
        assert text == f"{up:.2f} ft", ending


def test_half_a_millimetre_goes_away_from_nothing():
    for n in range(1000):
        text = format_length(n / 1000 + 0.0005, Show.METRES)
        assert text == f"{(n + 1) / 1000:.3f} m"


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (0.125, 2, "0.13"),
        (2.675, 2, "2.68"),
        (-1.005, 2, "-1.01"),
        (0.0049, 2, "0.00"),
        (-0.0049, 2, "0.00"),
        (5_000_000.00005, 4, "5000000.0001"),
    ],
)
def test_decimals_go_away_from_nothing_at_a_half(value, places, text):
    assert decimal_text(value, places) == text


@pytest.mark.parametrize(
    ("value", "step", "count"),
    [(3.5037, 0.25, 15), (3.5, 0.25, 14), (3.5 + 1e-9, 0.25, 14), (0.0, 0.25, 0), (12.004, 1, 13)],
)
def test_up_never_goes_down(value, step, count):
    assert up_to_steps(value, step) == count


def test_whole_inches_may_be_the_nearest():
    assert format_length(17 * 0.0254, nearest=2 * 0.0254) == "1' 6\""


@pytest.mark.parametrize("nearest", [0.0, -0.001, 0.003, 0.03])
def test_a_nearest_that_no_tape_has_is_refused(nearest):
    with pytest.raises(ValueError, match="neither whole inches nor an even part"):
        format_length(1.0, nearest=nearest)


@pytest.mark.parametrize(
    ("show", "text"),
    [
        (Show.METRES, "-7.480 m"),
        (Show.MILLIMETRES, "-7480 mm"),
        (Show.DECIMAL_FEET, "-24.54 ft"),
    ],
)
def test_lengths_are_written_in_decimals_too(show, text):
    assert format_length(-7.4803, show) == text


@pytest.mark.parametrize("metres", [math.nan, math.inf])
def test_what_is_no_number_is_not_written(metres):
    with pytest.raises(ValueError, match="cannot be written"):
        format_length(metres)
    with pytest.raises(ValueError, match="cannot be written"):
        format_area(metres)
    with pytest.raises(ValueError, match="cannot be written"):
        format_bearing(metres)


def test_areas_are_written_in_the_jobs_way():
    assert format_area(0.55741824) == "6.00 sq ft"
    assert format_area(0.55741824, Show.METRES) == "0.56 m²"


@pytest.mark.parametrize("off", [-4e-7, 0.0, 4e-7])
def test_a_floor_on_a_tie_is_one_area_however_its_corners_are_written(off):
    # Corners to a billionth of a foot move the area of a floor of 100 feet by so much.
    assert format_area((10116.125 + off) * 0.3048**2) == "10116.13 sq ft"


def test_angles_carry_their_seconds():
    assert format_angle(math.radians(89.99999)) == "90° 00' 00\""
    assert format_angle(math.radians(-14.51)) == "-14° 30' 36\""


@pytest.mark.parametrize(("seconds", "shown"), [(0.3, 0), (0.49, 0), (0.51, 1), (0.7, 1), (1.4, 1)])
def test_seconds_are_rounded_to_the_nearest(seconds, shown):
    assert format_angle(math.radians(10 + seconds / 3600)) == f"10° 00' {shown:02d}\""
    assert format_bearing(math.radians(10 + seconds / 3600)) == f"N 10° 00' {shown:02d}\" E"


@pytest.mark.parametrize(
    ("azimuth", "text"),
    [
        (0.0, "N 0° 00' 00\" E"),
        (89.99999, "N 90° 00' 00\" E"),
        (165.5, "S 14° 30' 00\" E"),
        (180.0, "S 0° 00' 00\" E"),
        (194.5, "S 14° 30' 00\" W"),
        (345.5, "N 14° 30' 00\" W"),
        (359.99999, "N 0° 00' 00\" E"),
    ],
)
def test_bearings_are_written_by_quadrant(azimuth, text):
    assert format_bearing(math.radians(azimuth)) == text
