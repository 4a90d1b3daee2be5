"""Field books: levels, tapes, angles and distances."""

import io
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.angle_book import parse_angle_book
from staking.survey.level_book import parse_level_book, read_level_book
from staking.survey.read import parse_survey

FOOT = 0.3048
ANGLES = (
    "set-up,backsight,point,angle right,zenith angle,slope distance,instrument height,"
    "target height,description,northing,easting,elevation\n"
)
KNOWN = ",,101,,,,,,iron pin,5000,5000,100\n,,102,,,,,,,6000,5000,\n"


def stream(text):
    return io.BytesIO(text.encode())


def angles(rows, unit="ft"):
    return parse_angle_book(stream(ANGLES + rows), "a.csv", SurveySettings(unit=unit))


def test_a_level_book_keeps_its_sights_and_known_elevations():
    book = read_level_book(
        stream(
            "point,BS,FS,elevation\n"
            "BM A,3.10,,100.00\nTP1,6.44,9.82,\nTP2,8.76,6.96,\nTP3,7.12,3.27,\n"
            "BM B,,10.42,94.91\n"
        ),
        "levels.csv",
        SurveySettings(unit="ft"),
    )
    backs = [None if each.back is None else round(each.back / FOOT, 6) for each in book.lines]
    fores = [None if each.fore is None else round(each.fore / FOOT, 6) for each in book.lines]
    assert backs == [3.1, 6.44, 8.76, 7.12, None]
    assert fores == [None, 9.82, 6.96, 3.27, 10.42]
    assert [each.known for each in book.lines][1:4] == [None, None, None]
    assert book.lines[-1].known == pytest.approx(94.91 * FOOT, abs=1e-9)
    assert [each.line for each in book.lines] == [2, 3, 4, 5, 6]


def test_a_rod_in_feet_and_inches_and_intermediate_sights_are_read():
    book = read_level_book(
        stream(
            "Point;Backsight (ft);Intermediate;Foresight;Elevation;Remarks\n"
            "BM1;5' 6\";;;100';nail in oak\nA;;4' 3\";;;\nB;;;6' 6\";;\n"
        ),
        "levels.csv",
        SurveySettings(),
    )
    assert [each.side for each in book.lines] == [None, pytest.approx(4.25 * FOOT, abs=1e-9), None]
    assert book.lines[2].fore == pytest.approx(6.5 * FOOT, abs=1e-9)
    assert book.lines[0].description == "nail in oak"
    assert book.unit == "ft"


def test_a_level_book_holds_no_places():
    text = "point,backsight,foresight,elevation\nBM1,5.2,,100\nA,,4.1,\n"
    with pytest.raises(InputError, match="the elevation of 2 points and the place of none"):
        parse_survey(stream(text), "levels.csv", SurveySettings(unit="ft"), text.encode())
    with pytest.raises(InputError, match="elevation of 2 points"):
        parse_level_book(stream(text), "levels.csv", SurveySettings(unit="ft"))


def test_a_tape_book_is_told_where_it_belongs():
    text = "from,to,distance\nA,B,36\n"
    with pytest.raises(
        InputError, match="holds distances and no points; give it to `staking check`"
    ):
        parse_survey(stream(text), "tape.csv", SurveySettings(), text.encode())


def test_an_angle_right_of_a_quarter_turn_from_north_goes_east():
    found = angles(KNOWN + "101,102,1,90-00-00,90-00-00,100,5,5,corner,,,\n")
    assert list(found.names) == ["101", "102", "1"]
    assert found.northing[2] == pytest.approx(5000 * FOOT, abs=1e-9)
    assert found.easting[2] == pytest.approx(5100 * FOOT, abs=1e-9)
    assert found.elevation[2] == pytest.approx(100 * FOOT, abs=1e-9)
    assert found.descriptions[2] == "corner"
    assert found.source_line[2] == 4


def test_a_slope_of_3_4_5_is_reduced_to_the_level():
    # cos z = 0.6: 100 along the slope is 80 on the level and 60 up; 5.50 less 5.00 adds 0.50.
    zenith = 53 + 7 / 60 + 48.3685 / 3600
    found = angles(KNOWN + f"101,102,1,270-00-00,{zenith:.9f},100,5.50,5.00,,,,\n")
    assert found.easting[2] == pytest.approx((5000 - 80) * FOOT, abs=1e-6)
    assert found.elevation[2] == pytest.approx(160.5 * FOOT, abs=1e-6)


def test_a_measured_point_may_be_a_set_up_in_its_turn():
    # A square of 100 walked round comes back to where it began.
    rows = (
        "101,102,1,90-00-00,90-00-00,100,,,,,,\n"
        "1,101,2,90-00-00,90-00-00,100,,,,,,\n"
        "2,1,3,90-00-00,90-00-00,100,,,,,,\n"
        "3,2,4,90-00-00,90-00-00,100,,,,,,\n"
    )
    found = angles(KNOWN + rows)
    assert found.northing[-1] == pytest.approx(found.northing[0], abs=1e-9)
    assert found.easting[-1] == pytest.approx(found.easting[0], abs=1e-9)
    assert math.isnan(found.elevation[-1])


def test_set_up_and_backsight_hold_until_others_are_named():
    rows = "101,102,1,90-00-00,90-00-00,100,,,,,,\n,,2,180-00-00,90-00-00,100,,,,,,\n"
    found = angles(KNOWN + rows)
    assert found.northing[-1] == pytest.approx(4900 * FOOT, abs=1e-9)


def test_points_of_one_set_up_lie_as_far_apart_as_printed():
    # J. Mahun, Open Access surveying text, COGO chapter J, radial stakeout: from B, backsight A at
    # azimuth 255 42 45, points at azimuths 128 23 50, 118 01 09 and 117 07 24 (less 255 42 45:
    # angles right 232 41 05, 222 18 24, 221 24 39). Printed tangents: 39.31 and 3.71 ft.
    north, east = -math.cos(math.radians(75.7125)) * 100, -math.sin(math.radians(75.7125)) * 100
    rows = (
        ",,B,,,,,,,0,0,\n"
        f",,A,,,,,,,{north:.9f},{east:.9f},\n"
        "B,A,14+56.98,232-41-05,90-00-00,194.30,,,,,,\n"
        ",,14+96.29,222-18-24,90-00-00,209.01,,,,,,\n"
        ",,15+00,221-24-39,90-00-00,210.75,,,,,,\n"
    )
    found = angles(rows)
    apart = np.hypot(np.diff(found.northing[2:]), np.diff(found.easting[2:])) / FOOT
    assert apart == pytest.approx([39.31, 3.71], abs=0.005)


def test_a_point_measured_twice_is_kept_and_told():
    rows = "101,102,1,90-00-00,90-00-00,100,,,,,,\n,,1,90-00-00,90-00-00,100.1,,,,,,\n"
    found = angles(KNOWN + rows)
    assert found.count == 4
    assert "duplicate-names" in {notice.kind for notice in found.notices}


def test_a_long_sight_is_told():
    found = angles(KNOWN + "101,102,1,90-00-00,90-00-00,400,1,1,,,,\n", unit="m")
    assert "curvature" in {notice.kind for notice in found.notices}


def test_the_book_is_told_from_its_heading():
    text = ANGLES + KNOWN + "101,102,1,90-00-00,90-00-00,100,5,5,,,,\n"
    found = parse_survey(stream(text), "book.csv", SurveySettings(unit="ft"), text.encode())
    assert found.format == "angle and distance book"


cells = st.sampled_from(["", "1", "101", "102", "90-00-00", "90", "-5", "x", '"', "1e9", "5' 3\""])


@given(st.lists(st.lists(cells, max_size=13).map(",".join), max_size=6))
def test_any_rows_give_points_or_a_fault(rows):
    body = KNOWN + "".join(f"{row}\n" for row in rows)
    for read, heading in (
        (parse_angle_book, ANGLES),
        (read_level_book, "point,bs,fs,elevation\n"),
    ):
        try:
            found = read(stream(heading + body), "a.csv", SurveySettings(unit="ft"))
        except InputError:
            continue
        assert read is not parse_angle_book or isinstance(found, SurveyPoints)
