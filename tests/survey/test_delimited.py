"""Delimited text: separators, headings, units, order of columns, degrees, lines left out."""

from __future__ import annotations

import io
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.heading import read_heading, understand
from staking.survey.delimited.points_from_text import parse_delimited
from staking.units import US_SURVEY_FOOT


def read(text: str | bytes, **settings: object) -> SurveyPoints:
    data = text if isinstance(text, bytes) else text.encode()
    return parse_delimited(io.BytesIO(data), "lot.csv", SurveySettings(**settings))  # type: ignore[arg-type]


def kinds(points: SurveyPoints) -> set[str]:
    return {notice.kind for notice in points.notices}


HEAD = "Point,Northing,Easting,Elevation,Description\n"


@pytest.mark.parametrize("separator", [",", ", ", "\t", ";", "|", "  "])
def test_every_separator_gives_the_same_points(separator: str) -> None:
    text = HEAD + "CP1,5000.25,4000.5,100.125,nail\nCP2,5010.25,4000.5,100.5,stake\n"
    points = read(text.replace(",", separator), unit="m")
    assert list(points.names) == ["CP1", "CP2"]
    assert points.northing.tolist() == [5000.25, 5010.25]
    assert points.elevation.tolist() == [100.125, 100.5]
    assert list(points.descriptions) == ["nail", "stake"]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("last", [True, False])
def test_line_ends_and_byte_order_marks_change_nothing(ending: str, mark: str, last: bool) -> None:
    text = mark + HEAD + "1,5000.25,4000.5,,\n2,5010.25,4000.5,-,oak" + ("\n" if last else "")
    points = read(text.replace("\n", ending), unit="m")
    assert list(points.names) == ["1", "2"]
    assert np.isnan(points.elevation).all()
    assert list(points.descriptions) == ["", "oak"]
    assert points.source_line.tolist() == [2, 3]


def test_sixteen_bit_text_is_read() -> None:
    points = read((HEAD + "1,5000.25,4000.5,3,Eiche ä\n").encode("utf-16"), unit="m")
    assert list(points.descriptions) == ["Eiche ä"]


def test_windows_western_text_is_read_and_said() -> None:
    points = read((HEAD + "1,5000.25,4000.5,3,Böschung\n").encode("cp1252"), unit="m")
    assert list(points.descriptions) == ["Böschung"]
    assert "not-utf8" in kinds(points)


@pytest.mark.parametrize("order", list(permutations(range(5))))
def test_any_order_of_columns_is_read_by_its_heading(order: tuple[int, ...]) -> None:
    rows = (
        ("Pt No.", "N (usft)", "E (usft)", "Elev", "Desc"),
        ("7", "100.5", "200.25", "30.125", "hub"),
        ("8", "101.5", "201.25", "", "edge of drive"),
    )
    points = read("\n".join(",".join(row[at] for at in order) for row in rows))
    assert points.unit == "us-ft"
    np.testing.assert_allclose(points.northing, np.array([100.5, 101.5]) * US_SURVEY_FOOT, rtol=0)
    np.testing.assert_allclose(points.easting, np.array([200.25, 201.25]) * US_SURVEY_FOOT, rtol=0)
    assert list(points.names) == ["7", "8"]
    assert list(points.descriptions) == ["hub", "edge of drive"]


@pytest.mark.parametrize(
    ("cell", "role", "unit"),
    [
        ("Northing", "northing", None), ("NORTHING (M)", "northing", "m"), ("n", "northing", None),
        ("northing_ft", "northing", "ft"), ("N [US ft]", "northing", "us-ft"),
        ("Y Coord", "northing", None), ("Eastings", "easting", None), ("E(m)", "easting", "m"),
        ("x_coordinate_usft", "easting", "us-ft"), ("Elev.", "elevation", None),
        ("Z (US survey feet)", "elevation", "us-ft"), ("RL", "elevation", None),
        ("Reduced Level", "elevation", None), ("Ht", "elevation", None), ("Pt#", "point", None),
        ("Point Number", "point", None), ("Station", "point", None), ("Code", "description", None),
        ("Feature Code", "description", None), ("Remarks", "description", None),
        ("LATITUDE", "latitude", None), ("Lon", "longitude", None), ("Date Taken", None, None),
        ("Red", None, None), ("year_of_breach", None, None), ("N (mm)", "northing", "mm"),
    ],
)  # fmt: skip
def test_heading_words_are_understood(cell: str, role: str | None, unit: str | None) -> None:
    heading = understand(cell)
    assert (heading.role, heading.unit) == (role, unit)


def test_a_misspelt_heading_is_understood_and_said() -> None:
    points = read("Piont,Norhting,Eastng,Elevatoin\n1,5000.5,4000.5,9\n", unit="m")
    assert points.columns == ("point", "northing", "easting", "elevation")
    said = [dict(n.values)["meant"] for n in points.notices if n.kind == "heading-misspelt"]
    assert said == ["point", "northing", "easting", "elevation"]


def test_grid_coordinates_win_over_degrees_of_the_same_points() -> None:
    heading = read_heading(["id", "lat", "lon", "northing", "easting"])
    assert heading.roles == ("point", "-", "-", "northing", "easting")


def test_a_decimal_comma_is_read_between_semicolons() -> None:
    points = read("Point;N;E;Z\n1;5000,25;4000,5;100,125\n", unit="m")
    assert points.northing.tolist() == [5000.25]
    assert "decimal-comma" in kinds(points)


def test_fixed_width_keeps_words_and_empty_columns() -> None:
    text = (
        "101    5000.25   4000.50    99.10  top of bank\n"
        "102    5001.25   4001.50           toe\n"
        "103A   5002.25   4002.50   100.30\n"
        "104    5003.25   4003.50   100.40  oak 24 in\n"
    )
    columns = ("point", "northing", "easting", "elevation", "description")
    points = read(text, unit="m", columns=columns)
    assert list(points.names) == ["101", "102", "103A", "104"]
    assert list(points.descriptions) == ["top of bank", "toe", "", "oak 24 in"]
    assert np.isnan(points.elevation).tolist() == [False, True, False, False]


def test_blanks_leave_the_words_of_a_description_together() -> None:
    columns = ("point", "northing", "easting", "elevation", "description")
    text = "1 5000.25 4000.5 99 old oak tree\n2 5001.25 4001.5 98\n3 5002.25 4002.5 97 stake\n"
    assert list(read(text, unit="m", columns=columns).descriptions) == ["old oak tree", "", "stake"]


def test_quotes_keep_separators_line_ends_and_quotes() -> None:
    text = (
        HEAD
        + '"A ""1""",5000.25,4000.5,9,"oak, 24"" wide"\n2,5001,4001,9,"two\nlines"\n3,1,2,3,x\n'
    )
    points = read(text, unit="m")
    assert list(points.names) == ['A "1"', "2", "3"]
    assert list(points.descriptions) == ['oak, 24" wide', "two\nlines", "x"]
    assert points.source_line.tolist() == [2, 3, 5]


def test_an_inch_mark_is_no_quote() -> None:
    assert list(read(HEAD + '1,5000,4000,9,24" oak\n', unit="m").descriptions) == ['24" oak']


def test_commas_in_a_last_description_are_joined_and_said() -> None:
    points = read(HEAD + "1,5000,4000,9,oak, big\n2,5001,4001,9,elm\n", unit="m")
    assert list(points.descriptions) == ["oak, big", "elm"]
    assert "descriptions-joined" in kinds(points)


def test_names_stay_text() -> None:
    names = ["007", "1E5", "=1+1", "1.0", "Ünterdorf 3", "N" * 300]
    text = HEAD + "".join(f"{name},5000,4000,9,\n" for name in names)
    assert list(read(text, unit="m").names) == names


def test_comments_are_passed_over_and_may_hold_unit_grid_and_heading() -> None:
    text = (
        "# units: US survey feet\n# EPSG:2272\n# point, northing, easting, elevation\n"
        "1,243743.002,2385659.000,342.000\n# half way\n2,243596.675,2385112.706,322.171\n"
    )
    points = read(text)
    assert (points.unit, points.crs, points.count) == ("us-ft", "EPSG:2272", 2)
    assert {"heading-in-comment", "crs-from-file", "comments"} <= kinds(points)
    assert points.source_line.tolist() == [4, 6]


def test_lines_above_the_heading_are_passed_over_and_said() -> None:
    points = read("Invented lot\nsurveyed in May\n" + HEAD + "1,5000,4000,9,\n", unit="m")
    assert points.count == 1
    assert "lines-above-heading" in kinds(points)


def test_marks_for_no_elevation_are_none() -> None:
    points = read(HEAD + "1,5000,4000,-9.99E+27,\n2,5000,4001,-9999,\n3,5000,4002,1,\n", unit="m")
    assert np.isnan(points.elevation).tolist() == [True, True, False]


def test_the_order_comes_from_the_area_of_the_grid() -> None:
    text = "1,429352.813,5150784.925,390.1\n2,429353.813,5150785.925,390.2\n"
    points = read(text, crs="EPSG:26915")
    assert points.columns == ("point", "easting", "northing", "elevation")
    assert {"columns-inferred", "unit-from-crs"} <= kinds(points)


def test_order_that_nothing_tells_shows_one_point_both_ways() -> None:
    said = "point 1 is northing 5000.1, easting 4000.2 or northing 4000.2, easting 5000.1"
    with pytest.raises(InputError, match=said):
        read("1,5000.1,4000.2,9\n2,5000.3,4000.4,9\n", unit="m")


def test_exchanged_labels_are_caught_by_the_area_of_the_grid() -> None:
    text = "Point,N,E\n1,2385659.000,243743.002\n2,2385112.706,243596.675\n"
    with pytest.raises(InputError, match="the labels are exchanged; give --columns point,easting"):
        read(text, crs="EPSG:2272")


def test_degrees_are_projected_to_the_zone_they_lie_in() -> None:
    points = read("Point,Latitude,Longitude,Elevation (m)\n1,0.00000000,3.0,10\n2,0.001,3.0,11\n")
    assert points.crs == "EPSG:32631"
    # The central meridian of zone 31 is 3 east: false easting 500,000 m, equator at 0.
    assert points.easting[0] == pytest.approx(500000.0, rel=0, abs=1e-6)
    assert points.northing[0] == pytest.approx(0.0, rel=0, abs=1e-6)
    assert "projected" in kinds(points)


def test_degrees_by_value_are_recognised_where_only_one_can_be_a_longitude() -> None:
    points = read("-93.912345 46.501234 200.5\n-93.912301 46.501298 200.6\n")
    assert points.columns == ("longitude", "latitude", "elevation")
    assert points.crs == "EPSG:32615"


def test_headed_x_and_y_with_degrees_are_taken_for_degrees_and_said() -> None:
    points = read("Point,X,Y\n1,-93.912345,46.501234\n2,-93.912301,46.501298\n")
    assert "degrees-by-value" in kinds(points)


def test_the_heading_gives_elevations_a_unit_of_their_own() -> None:
    points = read("Point,N (m),E (m),Z (ft)\n1,5000,4000,10\n")
    assert points.elevation.tolist() == [3.048]
    assert "elevation-unit" in kinds(points)


def test_a_unit_told_against_the_heading_wins_and_is_said() -> None:
    points = read("Point,N (ft),E (ft)\n1,5000,4000\n", unit="m")
    assert points.northing.tolist() == [5000.0]
    assert "unit-against-file" in kinds(points)


def test_both_feet_are_kept_apart() -> None:
    text = "Point,N,E\n1,2000000,1000000\n"
    apart = read(text, unit="us-ft").northing[0] - read(text, unit="ft").northing[0]
    # 2 parts in a million (85 FR 62698): 1200/3937 less 0.3048 m, times 2,000,000.
    assert apart == pytest.approx(1.2192024384, rel=0, abs=1e-6)


def test_a_point_miles_off_is_said() -> None:
    rows = "".join(f"{n},{5000 + n},{4000 + n},9,\n" for n in range(9))
    points = read(HEAD + rows + "off,95000,4000,9,\n", unit="m")
    (said,) = [n for n in points.notices if n.kind == "outliers"]
    assert dict(said.values)["names"] == "off"


def test_lines_left_out_are_listed_up_to_twenty_and_counted() -> None:
    rows = "".join(f"{n},north,4000,9,\n" for n in range(25))
    points = read(HEAD + rows + "a,5000,4000,9,\n", unit="m", skip_bad_lines=True)
    assert points.count == 1
    assert sum(n.kind == "line-left-out" for n in points.notices) == 20
    (rest,) = [n for n in points.notices if n.kind == "lines-left-out"]
    assert dict(rest.values) == {"more": 5, "count": 25}


def test_a_file_of_only_faulty_lines_is_refused_even_then() -> None:
    with pytest.raises(InputError, match="no line with a point"):
        read(HEAD + "1,north,4000,9,\n", unit="m", skip_bad_lines=True)


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        (("point", "north", "easting"), "“north” is not a column"),
        (("point", "easting"), "northing and easting are not both named"),
        (("latitude", "northing", "easting"), "both grid coordinates and degrees are named"),
        (("northing", "northing", "easting"), "northing is named twice"),
        (("point", "-", "-", "-", "-", "-", "northing", "easting"), "8 columns are named"),
    ],
)
def test_columns_that_make_no_sense_are_refused(columns: tuple[str, ...], said: str) -> None:
    with pytest.raises(InputError, match=said):
        read("1,5000.5,4000.5\n", unit="m", columns=columns)


def test_a_unit_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match="“yd” is not a unit"):
        read("1,5000.5,4000.5\n", unit="yd")


def test_many_blocks_are_read_as_one() -> None:
    rows = [
        f"p{n},{5000 + n % 977}.125,{4000 + n % 983}.25,{n % 50}.5,shot {n}" for n in range(90000)
    ]
    rows[70000] = 'p70000,5100.5,4100.5,-,"a, b"'
    points = read(HEAD + "\n".join(rows) + "\n", unit="m")
    assert points.count == 90000
    assert points.names[89999] == "p89999"
    assert points.descriptions[70000] == "a, b"
    assert np.isnan(points.elevation[70000])
    expected = np.array([5000 + n % 977 + 0.125 for n in range(90000)])
    expected[70000] = 5100.5
    assert np.array_equal(points.northing, expected)
    assert np.array_equal(points.source_line, np.arange(2, 90002))


NUMBERS = st.one_of(
    st.floats(-1e7, 1e7, allow_nan=False).map(repr),
    st.decimals(-99999999, 99999999, places=4).map(str),
    st.integers(-(10**7), 10**7).map(str),
    st.sampled_from([
        "+5.5",
        "-0.0",
        ".5",
        "5.",
        "1e3",
        "0005.50",
        " 7.25 ",
        "-.25",
        "86.43799999999999",
    ]),
)


@given(st.lists(st.tuples(NUMBERS, NUMBERS), min_size=1, max_size=40))
def test_every_number_is_read_to_the_last_bit(rows: list[tuple[str, str]]) -> None:
    points = read("p,n,e\n" + "".join(f"a,{n},{e}\n" for n, e in rows), unit="m")
    assert points.northing.tolist() == [float(n) for n, _ in rows]
    assert points.easting.tolist() == [float(e) for _, e in rows]


@given(st.binary(max_size=400), st.sampled_from([None, "m"]))
def test_any_bytes_give_points_or_a_fault(data: bytes, unit: str | None) -> None:
    try:
        points = read(data, unit=unit)
    except InputError:
        return
    assert np.isfinite(points.northing).all()


FIELDS = st.sampled_from([
    "1",
    "5000.5",
    "-3",
    "",
    "-",
    '"',
    "n",
    "e",
    "lat",
    "lon",
    "46.123456",
    "oak",
    "nan",
    "1e99",
    "#",
    "a b",
    "x",
    "y",
    "1,5",
    "-9999",
    "N (m)",
    "200",
])


@given(st.lists(st.lists(FIELDS, max_size=6), max_size=8), st.sampled_from([",", ";", " ", "\t"]))
def test_any_fields_give_points_or_a_fault(rows: list[list[str]], separator: str) -> None:
    text = "\n".join(separator.join(row) for row in rows)
    for columns in (None, ("point", "northing", "easting"), ("northing", "easting", "elevation")):
        try:
            points = read(text, unit="m", columns=columns, skip_bad_lines=True)
        except InputError:
            continue
        assert points.count > 0


@pytest.mark.parametrize("heading", ["Point,N,E,Z", "Point,N,E,Z,Description"])
def test_a_decimal_comma_between_commas_is_not_read_as_other_points(heading: str) -> None:
    with pytest.raises(InputError, match="there are 7 fields where"):
        read(f"{heading}\n1,5000,12,4000,34,98,7\n2,5001,13,4001,35,98,6\n", unit="m")


def test_international_feet_beside_a_grid_of_survey_feet_are_warned_of() -> None:
    text = "Point,N (ft),E (ft)\n1,243743.002,2385659.000\n"
    points = read(text, crs="EPSG:2272")
    assert points.unit == "ft"
    assert "unit-against-crs" in kinds(points)


@pytest.mark.parametrize(
    ("names", "twice"),
    [
        ([f"P{at:03d}" for at in range(60)], ()),
        ([str(at) for at in range(1, 61)], ()),
        ([f"P{at % 30:03d}" for at in range(60)], tuple(f"P{at:03d}" for at in range(30))),
        ([*(f"P{at:03d}" for at in range(59)), "P007"], ("P007",)),
        ([*(f"P{at:03d}" for at in range(59, 0, -1)), "P007"], ("P007",)),
    ],
)
def test_names_that_repeat_blocks_apart_are_found(
    names: list[str], twice: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("staking.survey.delimited.byte_blocks.BLOCK", 128)
    text = "point,northing,easting\n" + "".join(
        f"{name},{5000 + at}.25,{2000 + at}.5\n" for at, name in enumerate(names)
    )
    found = parse_delimited(io.BytesIO(text.encode()), "lot.csv", SurveySettings(unit="m"))
    assert list(found.names) == names
    told = [each for each in found.notices if each.kind == "duplicate-names"]
    assert len(told) == bool(twice)
    if twice:
        assert dict(told[0].values)["count"] == len(twice)


@pytest.mark.parametrize(
    ("heading", "said"),
    [
        ("point,northing_ft,easting_ft,elevation_ft", [("international feet", "")]),
        (
            "point,northing_ft,easting_usft,elevation",
            [("U.S. survey feet and international feet", "")],
        ),
        ("point,northing,easting,elevation_ft", [("international feet", " of its elevations")]),
        (
            "point,northing_usft,easting_usft,elevation_ft",
            [("U.S. survey feet", ""), ("international feet", " of its elevations")],
        ),
        ("point,northing_m,easting_m,elevation_m", []),
        ("point,northing,easting,elevation", []),
    ],
)
def test_a_unit_told_against_the_heading_is_said(heading: str, said: list[tuple[str, str]]) -> None:
    found = read(f"{heading}\n1,5000.00,2000.00,100.00\n", unit="m")
    told = [each for each in found.notices if each.kind == "unit-against-file"]
    assert [str(dict(each.values)["file"]) for each in told] == [file for file, _ in said]
    for each, (_, of) in zip(told, said, strict=True):
        assert f"{{file}}{of} and you gave {{told}}" in each.text
    assert found.elevation[0] == 100.0
