"""The demo lot as a new user takes it: what is there, where the building stands, what is written.

The survey is invented, and so are its figures; what is checked is that every file says the same.
"""

from __future__ import annotations

import csv
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from staking.survey.read import read_survey

DEMO = Path(__file__).parents[2] / "fixtures" / "hillside-lot"
US_FT = 1200 / 3937

Run = Callable[..., Result]


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "lot"))


@pytest.fixture(scope="module")
def laid_out(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the demo with its survey as a drawing and its layout beside it."""
    folder = Path(shutil.copytree(DEMO, tmp_path_factory.mktemp("demo") / "lot"))
    survey = run("survey", folder / "lot.csv", "--to", folder / "lot.dxf")
    assert survey.exit_code == 0, survey.stderr
    layout = run("layout", folder / "job.yaml")
    assert layout.exit_code == 0, layout.stderr
    return folder


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def surveyed() -> dict[str, tuple[float, float]]:
    """Return easting and northing of every point as the survey has them, in its feet."""
    with (DEMO / "lot.csv").open(encoding="utf-8", newline="") as file:
        next(file)
        return {row[0]: (float(row[2]), float(row[1])) for row in csv.reader(file)}


def staked(folder: Path) -> dict[str, tuple[float, float]]:
    """Return easting and northing of every stake as points.csv has them."""
    with (folder / "job-layout" / "points.csv").open(encoding="utf-8", newline="") as file:
        return {
            row["point"]: (float(row["easting_us-ft"]), float(row["northing_us-ft"]))
            for row in csv.DictReader(file)
        }


def nearest(point: tuple[float, float], places: np.ndarray) -> float:
    return float(np.hypot(*(places - point).T).min())


def test_one_command_shows_the_survey_within_eighty_columns():
    result = run("survey", DEMO / "lot.csv")
    assert result.exit_code == 0
    assert max(len(line) for line in result.stdout.splitlines()[1:]) <= 80
    assert "148" in result.stdout
    assert "iron pin, lot corner" in result.stdout


def test_notes_are_readable_and_no_difference_reads_as_nothing(laid_out: Path):
    told = run("layout", laid_out / "job.yaml").stderr
    assert max(map(len, told.splitlines())) <= 80
    words = " ".join(told.split())
    assert 'shorter by under 1/16" on the grid' in words
    assert 'by 0"' not in words
    assert "all turned 0° 20' 00\" clockwise against it" in words
    assert "boards 1 to 14 stand farther out" in words


def test_the_drawing_lies_over_the_surveys_drawing(laid_out: Path):
    survey = ezdxf.readfile(laid_out / "lot.dxf")
    plan = ezdxf.readfile(laid_out / "job-layout" / "plan.dxf")
    # 21 is the U.S. survey foot in both.
    assert (survey.header["$INSUNITS"], plan.header["$INSUNITS"]) == (21, 21)
    shots = np.array([e.dxf.location.vec2 for e in survey.modelspace().query("POINT")])
    assert len(shots) == 148
    marks = np.array([
        e.dxf.location.vec2 for e in plan.modelspace().query('POINT[layer=="V-CTRL"]')
    ])
    points = surveyed()
    for name in ("BM1", "11", "12", "13"):
        assert nearest(points[name], shots) < 1e-6, name
        assert nearest(points[name], marks) < 1e-6, name
    (ring,) = plan.modelspace().query('LWPOLYLINE[layer=="V-PROP-LINE"]')
    for at, name in zip(ring.get_points("xy"), "1234", strict=True):
        assert at == pytest.approx(points[name], rel=0, abs=1e-6)


def test_corners_of_the_drawing_are_those_of_the_points_file(laid_out: Path):
    plan = ezdxf.readfile(laid_out / "job-layout" / "plan.dxf").modelspace()
    walls = np.concatenate([
        np.array(each.get_points("xy")) for each in plan.query('LWPOLYLINE[layer=="S-FNDN-WALL"]')
    ])
    stakes = staked(laid_out)
    for corner in "ABCDEF":
        # points.csv has four decimals.
        assert nearest(stakes[corner], walls) < 1e-4, corner


@pytest.mark.parametrize("name", ["points.csv", "points.xml", "points.geojson"])
def test_what_is_written_reads_back(laid_out: Path, name: str):
    again = read_survey(laid_out / "job-layout" / name)
    stakes = staked(laid_out)
    assert again.unit == "us-ft"
    assert list(again.names) == list(stakes)
    found = np.stack((again.easting, again.northing), axis=1) / US_FT
    np.testing.assert_allclose(found, list(stakes.values()), rtol=0, atol=1e-4)
    assert np.isnan(again.elevation).all()
    assert again.descriptions[0] == "corner"


def test_the_document_and_the_points_file_agree(laid_out: Path):
    document = json.loads((laid_out / "job-layout" / "layout.json").read_text(encoding="utf-8"))
    stakes = staked(laid_out)
    for corner in document["corners"]:
        there = (corner["easting"], corner["northing"])
        assert there == pytest.approx(stakes[corner["name"]], rel=0, abs=1e-4)


def test_a_setback_broken_is_status_five(lot: Path):
    edit(lot / "job.yaml", "1-2: 25'", "1-2: 46'")
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 5
    assert "boundary line 1-2" in " ".join(result.stderr.split())


def test_a_point_that_is_not_there_names_the_nearest(lot: Path):
    edit(lot / "job.yaml", "through: [31, 32, 33, 34]", "through: [31, 32, 33, BM11]")
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 3
    assert "there is no point BM11" in " ".join(result.stderr.split())
    assert "did you mean BM1?" in " ".join(result.stderr.split())


def test_a_name_that_occurs_twice_may_not_be_used(lot: Path):
    with (lot / "lot.csv").open("a", encoding="utf-8") as file:
        file.write("2,590089.322,1640364.103,91.59,typed twice\n")
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 3
    assert "point 2 occurs twice, 1.000 us-ft apart" in " ".join(result.stderr.split())
    assert not (lot / "job-layout").exists()


def test_the_wrong_foot_is_told_against_the_file_and_against_the_grid(lot: Path):
    edit(lot / "job.yaml", "units: us-ft", "units: ft")
    told = " ".join(run("layout", lot / "job.yaml").stderr.split())
    assert "the file says U.S. survey feet and international feet are told" in told
    assert "read as international feet and EPSG:5646 is in U.S. survey feet" in told


@pytest.mark.parametrize("how", ["columns", "labels"])
def test_swapped_columns_are_caught_by_the_area_of_the_grid(lot: Path, how: str):
    if how == "columns":
        edit(lot / "job.yaml", "  units: us-ft", "  units: us-ft\n  columns: "
             "[point, easting, northing, elevation, description]")  # fmt: skip
    edit(lot / "lot.csv", "northing_usft,easting_usft",
         "y,x" if how == "columns" else "easting_usft,northing_usft")  # fmt: skip
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 3
    told = " ".join(result.stderr.split())
    assert "lies outside the area of EPSG:5646 and the other way round inside" in told


def test_metres_for_feet_stand_where_the_grid_is_not_used(lot: Path):
    edit(lot / "lot.csv", "_usft", "")
    edit(lot / "job.yaml", "units: us-ft", "units: m")
    told = " ".join(run("layout", lot / "job.yaml").stderr.split())
    assert "the building does not stand where EPSG:5646 is used" in told


def test_stakes_far_from_any_fit_end_with_status_five(lot: Path):
    edit(
        lot / "job.yaml",
        "place: {corner: A, wall: A-B, north: 590152.3, east: 1640308.8, bearing: S 75 30 00 E}",
        "place: {fit: {A: 11, B: 12, C: 13}}",
    )
    result = run("layout", lot / "job.yaml")
    assert result.exit_code == 5
    told = " ".join(result.stderr.split())
    assert "the building cannot stand on these stakes" in told
