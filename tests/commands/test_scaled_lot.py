"""Coordinates scaled to the ground, map tiles, and systems no land is surveyed in."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from click.testing import CliRunner, Result
from pyproj import Transformer

from staking.cli import main
from staking.survey.read import read_survey

FACTOR = 0.99949343
ABOUT = (456_590.0, 879_850.0)
"""Northing and easting, m, of a lot at 2,830 m."""

CRS = "EPSG:26954"
"""NAD83 / Colorado Central, metres."""

PINS = {"1": (0.0, 0.0), "2": (0.0, 60.0), "3": (45.0, 60.0), "4": (45.0, 0.0)}
"""North and east on the ground, m."""

JOB = """\
job: Field house
units: m
show: metres
building:
  rectangle: 20 m x 12 m
  wall: 200 mm
  footing: {width: 500 mm, thickness: 250 mm}
tape: {length: 100}
site:
  survey: lot.csv
  crs: EPSG:26954
  place: {wall: A-B, along: [1, 2], from_first: 10, offset: left 10}
  boundary: [1, 2, 3, 4]
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    rows = ["point,northing_m,easting_m,elevation_m"]
    rows += [
        f"{name},{ABOUT[0] + n:.4f},{ABOUT[1] + e:.4f},2830.0" for name, (n, e) in PINS.items()
    ]
    (tmp_path / "lot.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    path = tmp_path / "house.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


def add(job: Path, *lines: str) -> None:
    text = job.read_text(encoding="utf-8")
    job.write_text(text + "".join(f"  {line}\n" for line in lines), encoding="utf-8")


def edit(job: Path, old: str, new: str) -> None:
    text = job.read_text(encoding="utf-8")
    assert old in text
    job.write_text(text.replace(old, new), encoding="utf-8")


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def layout(job: Path, *words: str) -> dict[str, Any]:
    result = run("layout", job, *words)
    assert result.exit_code == 0, result.stderr
    text = (job.parent / "house-layout" / "layout.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def test_coordinates_scaled_to_the_ground_are_taken_as_they_stand(job: Path) -> None:
    add(job, "distances: ground")
    found = layout(job)
    assert found["combined_factor"] == 1
    assert [line["length"] for line in found["boundary"]] == pytest.approx(
        [60, 45, 60, 45], rel=0, abs=1e-6
    )
    corner = found["corners"][0]
    assert (corner["northing"], corner["easting"]) == pytest.approx(
        (ABOUT[0] + 10, ABOUT[1] + 10), rel=0, abs=1e-6
    )
    folder = job.parent / "house-layout"
    assert not (folder / "points.geojson").exists()
    assert not (folder / "points.gpx").exists()
    # No file claims that these coordinates are those of the grid.
    root = ET.fromstring((folder / "points.xml").read_text(encoding="utf-8"))
    assert not [each for each in root.iter() if each.tag.endswith("CoordinateSystem")]
    assert ezdxf.readfile(folder / "plan.dxf").modelspace().get_geodata() is None
    result = run("layout", job, "--only", "gpx")
    assert result.exit_code == 3
    assert "needs the building placed in a coordinate system" in result.stderr


def test_latitude_and_longitude_are_written_where_the_scaling_is_given(job: Path) -> None:
    add(job, "distances: ground", f"combined_factor: {FACTOR}")
    add(job, f"scaled_about: [{ABOUT[0]}, {ABOUT[1]}]")
    layout(job, "--only", "json,geojson")
    found = read_survey(job.parent / "house-layout" / "points.geojson")
    # Corner A, 10 m north and 10 m east of the point that did not move, back on the grid.
    at = list(found.names).index("A")
    here = (ABOUT[0] + 10 * FACTOR, ABOUT[1] + 10 * FACTOR)
    assert (found.northing[at], found.easting[at]) == pytest.approx(here, rel=0, abs=1e-4)
    text = json.loads((job.parent / "house-layout" / "points.geojson").read_text("utf-8"))
    (point,) = [f for f in text["features"] if f["properties"]["name"] == "A"]
    back = Transformer.from_crs(CRS, "EPSG:4326", always_xy=True)
    lon, lat = back.transform(here[1], here[0])
    assert point["geometry"]["coordinates"][:2] == pytest.approx([lon, lat], rel=0, abs=2e-9)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (
            (f"combined_factor: {FACTOR}", "scaled_about: [1, 2]"),
            "house.yaml, line 14, site combined_factor: combined_factor says how coordinates were "
            "scaled to the ground, and the job does not say that they were; add distances: ground",
        ),
        (
            ("distances: ground", f"combined_factor: {FACTOR}"),
            "house.yaml, line 15, site combined_factor: combined_factor alone does not say how the "
            "coordinates were scaled; add scaled_about: too",
        ),
    ],
)
def test_half_of_a_scaling_is_refused(job: Path, lines: tuple[str, ...], said: str) -> None:
    add(job, *lines)
    result = run("layout", job)
    assert result.exit_code == 3
    assert " ".join(result.stderr.split()).endswith(said)


def test_a_file_in_degrees_beside_scaled_coordinates(job: Path) -> None:
    back = Transformer.from_crs(CRS, "EPSG:4269", always_xy=True)
    rows = ["point,latitude,longitude"]
    for name, (n, e) in (("9", (20.0, 20.0)), ("10", (30.0, 50.0))):
        lon, lat = back.transform(ABOUT[1] + e * FACTOR, ABOUT[0] + n * FACTOR)
        rows.append(f"{name},{lat:.10f},{lon:.10f}")
    (job.parent / "more.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    edit(job, "survey: lot.csv", "survey: [lot.csv, more.csv]")
    add(job, "distances: ground", "buried: [{name: gas, through: [9, 10], hand_dig: 1}]")
    result = run("layout", job)
    assert result.exit_code == 3
    assert "more.csv: the file is in latitude and longitude, and the job says distances: " in (
        " ".join(result.stderr.split())
    )
    add(job, f"combined_factor: {FACTOR}", f"scaled_about: [{ABOUT[0]}, {ABOUT[1]}]")
    result = run("stakeout", job, "--setup", "9", "--backsight", "10", "--json")
    assert result.exit_code == 0, result.stderr
    shots = json.loads(result.stdout)["shots"]
    # From 9, at 20 north and 20 east, to A at 10 north and 10 east: 14.142 m on the ground.
    assert shots[0]["distance"] == pytest.approx(14.1421356, rel=0, abs=2e-4)


@pytest.mark.parametrize("code", ["3857", "EPSG:3785", "EPSG:900913"])
def test_map_tile_coordinates_are_refused_by_their_code(job: Path, code: str) -> None:
    edit(job, "crs: EPSG:26954", f"crs: {code}")
    result = run("layout", job)
    assert result.exit_code == 3
    said = " ".join(result.stderr.split())
    assert "is the grid of web map tiles, on which lengths are too long" in said
    assert "ask for the survey in its state plane or UTM system" in said


def test_a_system_half_a_percent_off_is_refused(job: Path) -> None:
    # World Mercator, by its code 3395: at 39.2 north its lengths are 1.29 times those on the
    # ground, 1 / cos(39.2 degrees).
    onto = Transformer.from_crs(CRS, "EPSG:3395", always_xy=True)
    rows = ["point,northing_m,easting_m,elevation_m"]
    for name, (n, e) in PINS.items():
        east, north = onto.transform(ABOUT[1] + e, ABOUT[0] + n)
        rows.append(f"{name},{north:.4f},{east:.4f},2830.0")
    (job.parent / "lot.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    edit(job, "crs: EPSG:26954", "crs: EPSG:3395")
    result = run("layout", job)
    assert result.exit_code == 3
    said = " ".join(result.stderr.split())
    assert "at the lot a length in EPSG:3395 is 1.28" in said
    assert "no system for surveying land is half a percent off" in said


def test_the_height_of_the_job_goes_before_the_surveys(job: Path) -> None:
    text = (job.parent / "lot.csv").read_text(encoding="utf-8")
    (job.parent / "lot.csv").write_text(text.replace("2830.0", "100.0"), encoding="utf-8")
    result = run("layout", job, "--only", "csv")
    said = " ".join(result.stderr.split())
    assert "for a height of 100 m, the mean of the boundary's elevations" in said
    assert (
        "give the lot's height above the sea by height: under site; a kilometre of height" in said
    )
    low = layout(job, "--only", "json")["combined_factor"]
    add(job, "height: 2830 m")
    result = run("layout", job, "--only", "csv")
    said = " ".join(result.stderr.split())
    assert "for a height of 2830 m, site: height" in said
    assert "assumed zero" not in said
    # (1 + 100 / 6,371,000) / (1 + 2,830 / 6,371,000)
    assert layout(job, "--only", "json")["combined_factor"] / low == pytest.approx(
        6_371_100 / 6_373_830, abs=1e-9
    )


def test_without_heights_it_is_said_that_the_elevation_factor_is_one(job: Path) -> None:
    text = (job.parent / "lot.csv").read_text(encoding="utf-8")
    (job.parent / "lot.csv").write_text(text.replace("2830.0", ""), encoding="utf-8")
    said = " ".join(run("layout", job, "--only", "csv").stderr.split())
    assert "times elevation factor 1, since no height is known,)" in said


def test_stakes_in_another_system_than_the_lot_are_refused(job: Path) -> None:
    rows = [("A", 4_339_000, 422_300), ("B", 4_339_000, 422_320), ("C", 4_339_012, 422_320)]
    points = "".join(f'<CgPoint name="{name}">{n} {e}</CgPoint>' for name, n, e in rows)
    stakes = job.parent / "stakes.xml"
    stakes.write_text(
        '<?xml version="1.0"?><LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" '
        'version="1.2"><Units><Metric linearUnit="meter"/></Units>'
        f'<CoordinateSystem epsgCode="26913"/><CgPoints>{points}</CgPoints></LandXML>',
        encoding="utf-8",
    )
    result = run("check", job, "--stakes", stakes)
    assert (result.exit_code, result.stdout) == (3, "")
    assert " ".join(result.stderr.split()).endswith(
        "stakes.xml: the file says that it is in EPSG:26913, and the lot's survey is in "
        "EPSG:26954; write it out anew with `staking survey FILE --to-crs EPSG:26954 --to NEW`"
    )


def test_a_survey_read_against_its_own_word_is_told(job: Path) -> None:
    lot = job.parent / "lot.csv"
    points = "".join(
        f'<CgPoint name="{name}">{ABOUT[0] + n} {ABOUT[1] + e} 2830</CgPoint>'
        for name, (n, e) in PINS.items()
    )
    (job.parent / "lot.xml").write_text(
        '<?xml version="1.0"?><LandXML xmlns="http://www.landxml.org/schema/LandXML-1.2" '
        'version="1.2"><Units><Metric linearUnit="meter"/></Units>'
        f'<CoordinateSystem epsgCode="26913"/><CgPoints>{points}</CgPoints></LandXML>',
        encoding="utf-8",
    )
    lot.unlink()
    edit(job, "survey: lot.csv", "survey: lot.xml")
    said = " ".join(run("layout", job, "--only", "csv").stderr.split())
    assert "The file says that it is in EPSG:26913, and it is read in EPSG:26954 as given" in said
