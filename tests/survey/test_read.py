"""Which reader a file goes to, and what every reader's result is checked for."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest

from staking.errors import InputError
from staking.notices import Length
from staking.points import SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.detect import detect
from staking.survey.formats import FORMATS
from staking.survey.read import parse_survey, read_survey


@pytest.mark.parametrize(
    ("head", "name", "kind"),
    [
        (b"Point,N,E\n1,2,3\n", "lot.csv", "delimited"),
        (b"1 2 3\n", "lot.dxf.txt", "delimited"),
        (b'<?xml version="1.0"?><LandXML version="1.2">', "a.xml", "landxml"),
        (b'\xef\xbb\xbf<?xml version="1.0"?>\n<!-- gpx --><x:LandXML>', "a.gpx", "landxml"),
        (b'<?xml version="1.0"?><gpx version="1.1">', "a.xml", "gpx"),
        (b"<kml><Document>", "a.txt", "kml"),
        (b"PK\x03\x04\x14\x00doc.kml", "a.kmz", "kml"),
        (b'{"type": "FeatureCollection"', "a.json", "geojson"),
        (b"  0\nSECTION\n  2\nHEADER\n", "a.txt", "dxf"),
        (b"999\nmade by hand\n0\r\nSECTION\r\n", "a.dxf", "dxf"),
        (b"station,BS,HI,FS,elevation\nBM1,4.21,,,100\n", "a.csv", "level_book"),
        (b"from,to,distance\nA,B,12.5\n", "a.csv", "tape_book"),
        (b"setup,backsight,point,angle right,zenith,slope distance\n", "a.csv", "angle_book"),
        (b"LASF\0\0\x11\0", "tile.txt", "cloud"),
        (b"\xef\xbb\xbfNCOLS 12\r\nNROWS 9\r\n", "heights.txt", "height_grid"),
    ],
)  # fmt: skip
def test_the_format_is_told_by_how_the_file_begins(head: bytes, name: str, kind: str) -> None:
    assert detect(head, name) == kind
    assert kind in {each.word for each in FORMATS}


@pytest.mark.parametrize(
    ("head", "what"),
    [
        (b"%PDF-1.7", "a PDF document"),
        (b"\x89PNG\r\n", "a picture"),
        (b"<!DOCTYPE html><html>", "a web page or drawing"),
        (b"PK\x03\x04xl/workbook.xml", "a spreadsheet"),
        (b"AutoCAD Binary DXF\r\n", "a binary DXF"),
    ],
)
def test_other_kinds_of_file_are_named_and_refused(head: bytes, what: str) -> None:
    with pytest.raises(InputError, match=f"lot.xlsx: this is {what}, which is not read"):
        detect(head, "lot.xlsx")


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"gone\.csv: there is no such file"):
        read_survey(tmp_path / "gone.csv")


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="this is a folder, and a file is meant"):
        read_survey(tmp_path)


def test_a_tape_book_is_sent_where_it_belongs(tmp_path: Path) -> None:
    path = tmp_path / "book.csv"
    path.write_text("from,to,distance\nA,B,12.5\n", encoding="utf-8")
    with pytest.raises(InputError, match="a tape book holds distances and no points"):
        read_survey(path)


def test_a_file_is_read_by_its_path(tmp_path: Path) -> None:
    path = tmp_path / "lot.csv"
    path.write_text("Point,N (m),E (m)\nA,5000.5,4000.25\n", encoding="utf-8")
    points = read_survey(path)
    assert (points.name, points.format, points.unit) == (str(path), "delimited text", "m")
    assert read_survey(path, SurveySettings(unit="ft")).northing[0] == 5000.5 * 0.3048


def made(names: list[str], north: list[float], east: list[float], **more: object) -> SurveyPoints:
    return survey_points(
        name="lot", format="made", names=names, northing=north, easting=east, unit="m",
        descriptions=[""] * len(names), elevation=more.pop("elevation", None),  # type: ignore[arg-type]
        **more,  # type: ignore[arg-type]
    )  # fmt: skip


def test_results_cannot_be_changed() -> None:
    points = made(["1"], [1.0], [2.0])
    with pytest.raises(ValueError, match="read-only"):
        points.northing[0] = 5.0


def test_no_points_at_all_are_refused() -> None:
    with pytest.raises(InputError, match="lot: there are no points in this made"):
        made([], [], [])


@pytest.mark.parametrize("far", [float("nan"), float("inf"), 2e8])
def test_a_place_beyond_the_earth_is_refused(far: float) -> None:
    with pytest.raises(
        InputError, match="lot, line 9: point b has a coordinate that is not a place"
    ):
        made(["a", "b"], [1.0, far], [1.0, 2.0], source_line=[8, 9])


def test_an_elevation_may_be_missing_and_is_said() -> None:
    points = made(["a", "b"], [1, 2], [1, 2], elevation=[None, 3.0])
    assert np.isnan(points.elevation[0])
    assert [n.kind for n in points.notices] == ["missing-elevations"]


@pytest.mark.parametrize("names", [["b", "a", "c", "b"], ["a", "b", "b", "c"]])
def test_a_name_that_occurs_twice_is_said_with_its_distance(names: list[str]) -> None:
    north = [0.0, 0.0, 0.0, 0.0]
    first, second = (at for at, name in enumerate(names) if name == "b")
    north[second] = 3.0
    east = [float(at == second) * 4.0 for at in range(4)]
    assert first < second
    (said,) = [n for n in made(names, north, east).notices if n.kind == "duplicate-names"]
    # 3-4-5 triangle.
    assert dict(said.values) == {"names": "b", "count": 1, "apart": Length(5.0)}


def test_points_of_one_lot_are_not_far_off() -> None:
    found = made(["a", "b", "c"], [0, 900, 0], [0, 0, 900]).notices
    assert [n.kind for n in found] == ["no-elevations"]


def test_a_point_miles_off_is_named() -> None:
    north = [0.0, 10.0, 20.0, 30.0, 60000.0]
    found = made(list("abcde"), north, [0.0] * 5).notices
    (said,) = [n for n in found if n.kind == "outliers"]
    assert dict(said.values)["names"] == "e"


def test_blanks_alone_are_no_points() -> None:
    with pytest.raises(InputError, match="no line with a point"):
        parse_survey(io.BytesIO(b" \n\t\n"), "lot.csv", SurveySettings(unit="m"), b" \n\t\n")
