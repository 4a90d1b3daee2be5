"""Delimited text as people keep it: notes between the points, blanks for columns."""

from __future__ import annotations

import io

import numpy as np
import pytest

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.points_from_text import parse_delimited

COLUMNS = ("point", "northing", "easting", "elevation", "description")


def read(text: str, **settings: object) -> SurveyPoints:
    said = SurveySettings(**{"unit": "m", **settings})  # type: ignore[arg-type]
    return parse_delimited(io.BytesIO(text.encode()), "lot.csv", said)


@pytest.mark.parametrize(
    "note", ["# by hand", "// by hand", "% by hand", "! by hand", "* by hand", "; by hand",
             "REM by hand", "rem: by hand", "REMARK two, of them"],
)  # fmt: skip
def test_a_note_is_passed_over_wherever_it_stands(note: str) -> None:
    points = read(f"{note}\npoint,northing,easting\n1,5000.5,4000.5\n{note}\nR2,5001.5,4000.5\n")
    assert list(points.names) == ["1", "R2"]
    assert points.source_line.tolist() == [3, 5]
    (said,) = [each for each in points.notices if each.kind == "comments"]
    assert dict(said.values)["lines"] == "4"


def test_what_looks_like_a_note_and_is_a_point_stays_one() -> None:
    assert list(read("point,northing,easting\nrem,5000.5,4000.5\nR,5001.5,4000.5\n").names) == [
        "rem", "R",
    ]  # fmt: skip
    # Where semicolons separate, one at the start leaves the name out.
    with pytest.raises(InputError, match="line 2: there is no name: ;5000,5;4000,5"):
        read("point;northing;easting\n;5000,5;4000,5\n2;5001,5;4000,5\n")


@pytest.mark.parametrize("separator", [",", " ", ";"])
def test_a_note_at_the_end_is_blamed_on_its_own_line(separator: str) -> None:
    rows = "1,5000.5,4000.5,99.1,oak\n2,5001.5,4000.5,99.4,elm\n3,5002.5,4000.5,99.2,ash\n"
    text = rows.replace(",", separator) + "Measured in May by two people\n"
    with pytest.raises(InputError, match="Measured in May by two people") as fault:
        read(text, columns=COLUMNS)
    assert [each.line for each in fault.value.problems] == [4, None]


def test_two_lines_of_fixed_width_keep_an_elevation_that_is_left_blank() -> None:
    text = (
        "101      5000.250    4000.500   99.10   oak tree\n"
        "102      5010.250    4004.500           fence\n"
    )
    points = read(text, columns=COLUMNS)
    assert list(points.descriptions) == ["oak tree", "fence"]
    assert np.isnan(points.elevation).tolist() == [False, True]


@pytest.mark.parametrize(
    ("row", "unit", "level_unit"),
    [
        (",us-ft,us-ft,us-ft,", "us-ft", "us-ft"),
        ("-,(ft),(ft),(ft),text", "ft", "ft"),
        (",m,m,m,", "m", "m"),
        (",[m],[m],[ft],", "m", "ft"),
    ],
)
def test_a_row_of_units_under_the_heading_is_read(row: str, unit: str, level_unit: str) -> None:
    text = f"point,northing,easting,elevation,note\n{row}\n1,5000.5,4000.5,100,oak\n"
    points = parse_delimited(io.BytesIO(text.encode()), "lot.csv", SurveySettings())
    assert points.unit == unit
    metres = {"m": 1.0, "ft": 0.3048, "us-ft": 1200 / 3937}
    assert points.northing[0] == pytest.approx(5000.5 * metres[unit], abs=1e-9)
    assert points.elevation[0] == pytest.approx(100 * metres[level_unit], abs=1e-9)
    assert points.source_line.tolist() == [3]


def test_a_row_of_units_may_say_that_degrees_are_packed() -> None:
    text = "point,latitude,longitude\n,dms,dms\n1,42.00015000,-93.00025000\n"
    points = parse_delimited(io.BytesIO(text.encode()), "lot.csv", SurveySettings())
    assert points.columns == ("point", "latitude-dms", "longitude-dms")


def test_words_under_the_heading_that_are_no_units_are_no_units() -> None:
    text = "point,northing,easting\nfirst,here,there\n1,5000.5,4000.5\n"
    with pytest.raises(InputError, match="line 2: the northing “here” is not a number"):
        read(text)
