"""Headings that say in brackets, or by a letter, which way a column counts."""

from __future__ import annotations

import io

import pytest

from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.heading import understand
from staking.survey.delimited.points_from_text import parse_delimited


def read(text: str, **settings: object) -> SurveyPoints:
    said = SurveySettings(**settings)  # type: ignore[arg-type]
    return parse_delimited(io.BytesIO(text.encode()), "lot.csv", said)


@pytest.mark.parametrize(
    "heading",
    [
        "X (North),Y (East)", "X [north],Y [east]", "x_north,y_east", "N (X),E (Y)",
        "X (Northing) m,Y (Easting) m", "XNorth,YEast", "Northing (X),Easting (Y)", "X (N),Y (E)",
        "X/North,Y/East", "x coord (north),y coord (east)",
    ],
)  # fmt: skip
def test_a_direction_outranks_the_letter_beside_it(heading: str) -> None:
    points = read(f"Point,{heading},Z\n1,5000.25,4000.50,99\n", unit="m")
    assert points.columns == ("point", "northing", "easting", "elevation")
    assert (points.northing[0], points.easting[0]) == (5000.25, 4000.50)


def test_letters_alone_are_easting_and_northing_and_that_is_said() -> None:
    points = read("Point,X,Y,Z\n1,5000.25,4000.50,99\n", unit="m")
    assert (points.northing[0], points.easting[0]) == (4000.50, 5000.25)
    assert "x-is-easting" in {each.kind for each in points.notices}


@pytest.mark.parametrize(
    ("cell", "role", "is_packed", "counts_back"),
    [
        ("Latitude (dms)", "latitude", True, False),
        ("Lat (D.MMSSsss)", "latitude", True, False),
        ("lon_dms", "longitude", True, False),
        ("Longitude (deg min sec)", "longitude", True, False),
        ("Longitude (W)", "longitude", False, True),
        ("West Longitude", "longitude", False, True),
        ("LongW", "longitude", False, True),
        ("Longitude (dms) W", "longitude", True, True),
        ("Latitude (South)", "latitude", False, True),
        ("Lat (N)", "latitude", False, False),
        ("Latitude (deg)", "latitude", False, False),
        ("Longitude (N)", None, False, False),
        ("Northing (East)", None, False, False),
    ],
)
def test_a_heading_says_how_degrees_are_written(
    cell: str, role: str | None, is_packed: bool, counts_back: bool
) -> None:
    found = understand(cell)
    assert (found.role, found.is_packed, found.counts_back) == (role, is_packed, counts_back)
