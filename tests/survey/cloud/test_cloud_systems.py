"""What the two kinds of record say of a cloud's system; codes and units are the EPSG register's."""

from __future__ import annotations

from pathlib import Path

import pytest
from pyproj import CRS

from staking.errors import InputError
from staking.ground_scan import Window
from staking.points import SurveyPoints, SurveySettings
from staking.survey.read import read_survey
from staking.survey.scanned.read_scan import read_scan
from tests.survey.cloud.made import hill, write_cloud

HERE = Window(south=4_649_990, north=4_650_010, west=499_990, east=500_010)
UTM = CRS.from_epsg(26915).to_wkt("WKT1_GDAL")
GRID, MODEL, UNIT, VERTICAL, HEIGHTS, LATITUDES = 3072, 1024, 3076, 4096, 4099, 2048


def look(path: Path, **more: str) -> SurveyPoints:
    return read_survey(path, SurveySettings(is_listing=True, **more))  # type: ignore[arg-type]


def kinds(points: SurveyPoints) -> list[str]:
    return [each.kind for each in points.notices]


@pytest.mark.parametrize("version", ["WKT1_GDAL", "WKT2_2019"])
def test_a_system_in_words(tmp_path: Path, version: str) -> None:
    text = CRS.from_epsg(26915).to_wkt(version)
    found = look(write_cloud(tmp_path / "a.las", hill(), text=text))
    assert (found.crs, found.unit) == ("EPSG:26915", "m")


def test_a_system_in_keys(tmp_path: Path) -> None:
    path = write_cloud(
        tmp_path / "a.las", hill(), version="1.2", point_format=1, keys={MODEL: 1, GRID: 26915}
    )
    assert look(path).crs == "EPSG:26915"


@pytest.mark.parametrize(
    ("vertical", "unit"),
    [(5703, "m"), (6360, "us-ft"), (8228, "ft")],  # NAVD88 height, in m, ftUS and ft
)
def test_heights_have_the_unit_of_their_own_system(
    tmp_path: Path, vertical: int, unit: str
) -> None:
    words = CRS(f"EPSG:26915+{vertical}").to_wkt("WKT1_GDAL")
    by_text = look(write_cloud(tmp_path / "a.las", hill(), text=words))
    keys = {MODEL: 1, GRID: 26915, VERTICAL: vertical}
    by_keys = look(
        write_cloud(tmp_path / "b.las", hill(), version="1.2", point_format=0, keys=keys)
    )
    for found in (by_text, by_keys):
        assert found.scan is not None
        assert (found.crs, found.scan.heights_unit) == ("EPSG:26915", unit)
        assert "heights-unit" not in kinds(found)


def test_the_key_of_the_unit_of_heights_is_read(tmp_path: Path) -> None:
    keys = {MODEL: 1, GRID: 26915, HEIGHTS: 9003}
    found = look(write_cloud(tmp_path / "a.las", hill(), version="1.2", point_format=0, keys=keys))
    assert found.scan is not None
    assert found.scan.heights_unit == "us-ft"


def test_records_that_agree_are_taken(tmp_path: Path) -> None:
    found = look(write_cloud(tmp_path / "a.las", hill(), text=UTM, keys={MODEL: 1, GRID: 26915}))
    assert found.crs == "EPSG:26915"
    assert "system-doubtful" not in kinds(found)


@pytest.mark.parametrize(("says_wkt", "taken"), [(True, "EPSG:26915"), (False, "EPSG:26914")])
def test_records_that_contradict_each_other_are_said_and_refused(
    tmp_path: Path, says_wkt: bool, taken: str
) -> None:
    path = write_cloud(
        tmp_path / "a.las", hill(), text=UTM, keys={MODEL: 1, GRID: 26914}, says_wkt=says_wkt
    )
    found = look(path)
    assert found.crs == taken
    assert "system-doubtful" in kinds(found)
    with pytest.raises(
        InputError,
        match=r"the two records of the coordinate system contradict each other: the text says "
        r"EPSG:26915 \(NAD83 / UTM zone 15N\), the keys say EPSG:26914 \(NAD83 / UTM zone 14N\); "
        "find out which is right",
    ):
        read_scan(path, SurveySettings(), HERE)
    assert read_scan(path, SurveySettings(crs="EPSG:26915"), HERE).crs == "EPSG:26915"


def test_two_counts_of_one_datum_are_no_contradiction(tmp_path: Path) -> None:
    # EPSG:6344 is the same zone on NAD83(2011), within a metre or two.
    path = write_cloud(tmp_path / "a.las", hill(), text=UTM, keys={MODEL: 1, GRID: 6344})
    assert "system-doubtful" not in kinds(look(path))


@pytest.mark.parametrize(
    "records",
    [
        {"text": CRS.from_epsg(4326).to_wkt("WKT1_GDAL")},
        {"keys": {MODEL: 2, LATITUDES: 4326}},
    ],
    ids=["words", "keys"],
)
def test_latitude_and_longitude_are_refused(tmp_path: Path, records: dict) -> None:
    path = write_cloud(tmp_path / "a.las", hill(at=(-93.0, 42.0)), **records)
    with pytest.raises(InputError, match="the coordinates are latitude and longitude"):
        look(path)


def test_a_system_without_a_code_is_named_and_its_unit_taken(tmp_path: Path) -> None:
    own = UTM.replace('AUTHORITY["EPSG","26915"]', 'AUTHORITY["X","1"]').replace(
        '"false_easting",500000', '"false_easting",500007'
    )
    found = look(write_cloud(tmp_path / "a.las", hill(), text=own))
    assert (found.crs, found.unit) == (None, "m")
    assert "crs-nameless" in kinds(found)


def test_a_text_under_the_wrong_code_is_not_taken_for_it(tmp_path: Path) -> None:
    moved = UTM.replace('"false_easting",500000', '"false_easting",400000')
    assert moved != UTM
    assert look(write_cloud(tmp_path / "a.las", hill(), text=moved)).crs is None


@pytest.mark.parametrize("text", ["no system", "PROJCS[", "\ud7ff" * 9, ""])
def test_a_text_that_is_none_is_said(tmp_path: Path, text: str) -> None:
    path = write_cloud(tmp_path / "a.las", hill(), text=text)
    found = look(path, unit="m")
    assert found.crs is None
    assert "crs-unreadable" in kinds(found)


def test_what_the_user_says_comes_before_the_file(tmp_path: Path) -> None:
    path = write_cloud(tmp_path / "a.las", hill(), text=UTM)
    found = look(path, crs="EPSG:26916")
    assert found.crs == "EPSG:26916"
    assert "crs-overruled" in kinds(found)


def test_a_cloud_outside_the_area_of_its_system(tmp_path: Path) -> None:
    path = write_cloud(tmp_path / "a.las", hill(at=(500_000.0, 20_000.0)), text=UTM)
    (said,) = [each for each in look(path).notices if each.kind == "system-doubtful"]
    assert "is not a place in the area of EPSG:26915" in str(dict(said.values)["what"])
