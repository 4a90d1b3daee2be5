"""How high the points of a layout stand, and what is left blank."""

from __future__ import annotations

import csv
import math
import re
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.agree.lots import NOTCH, write_lot

FT = 0.3048

SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
  pads:
    - {name: P1, at: [12', 8'], size: [24", 24"], thickness: 12"}
boards: {at: 103'}
grade:
  ground: {A: 99', B: 98' 6", C: 98' 6", D: 99', P1: 98' 9"}
  benchmark: {name: nail in oak, elevation: 100'}
  top_of_wall: 101'
  frost_depth: 42"
  stake_tops: {A: 99' 9", P1: 99' 3"}
"""
"""On a zero of its own: nothing here is placed on a survey."""


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def points(job: Path) -> dict[str, dict[str, str]]:
    result = run("layout", job, "-q", "--out", job.parent / "out", "--only", "csv,xml,dxf")
    assert result.exit_code in {0, 5}, result.stderr
    with (job.parent / "out" / "points.csv").open(encoding="utf-8", newline="") as stream:
        return {row["point"]: row for row in csv.DictReader(stream)}


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    path = tmp_path / "shed.yaml"
    path.write_text(SHED, encoding="utf-8")
    return path


def levels(job: Path) -> dict[str, str]:
    return {name: row["elevation_ft"] for name, row in points(job).items()}


def test_a_stake_is_as_high_as_its_top_where_that_is_given_else_as_the_ground(shed: Path) -> None:
    found = levels(shed)
    assert found["A"] == "99.7500"
    assert (found["B"], found["C"], found["D"]) == ("98.5000", "98.5000", "99.0000")
    assert found["P1"] == "99.2500"


def test_boards_and_their_nails_are_as_high_as_the_strings(shed: Path) -> None:
    on_boards = {v for name, v in levels(shed).items() if name.startswith("board_")}
    assert on_boards == {"103.0000"}


def test_a_hub_beyond_the_readings_is_blank_and_never_nothing(shed: Path) -> None:
    found = levels(shed)
    hubs = [name for name in found if name.startswith("hub_")]
    assert len(hubs) == 8
    assert {found[name] for name in hubs} == {""}
    text = (shed.parent / "out" / "points.xml").read_text(encoding="utf-8")
    # LandXML: northing, easting and no third number.
    assert re.search(r'<CgPoint name="hub_A_A-B" desc="[^"]*">\S+ \S+</CgPoint>', text)


def test_in_the_drawing_a_hub_beyond_the_readings_has_its_marker_and_no_point(shed: Path) -> None:
    points(shed)
    space = ezdxf.readfile(shed.parent / "out" / "plan.dxf").modelspace()
    snapped = [each.dxf.location for each in space.query('POINT[layer=="V-CTRL"]')]
    assert sorted(round(each.z, 6) for each in snapped) == [98.5, 98.5, 99.0, 99.75]
    named = {
        block.get_attrib_text("POINT"): block for block in space.query('INSERT[layer=="V-CTRL"]')
    }
    assert named["A"].get_attrib_text("ELEVATION") == "99.7500"
    assert named["A"].dxf.insert.z == pytest.approx(99.75, rel=0, abs=1e-9)
    assert named["hub_A_A-B"].get_attrib_text("ELEVATION") == ""


def test_without_levels_there_is_no_column_for_them(shed: Path) -> None:
    shed.write_text(SHED[: SHED.index("grade:")], encoding="utf-8")
    assert list(points(shed)["A"]) == ["point", "x_ft", "y_ft", "description", "layout"]
    space = ezdxf.readfile(shed.parent / "out" / "plan.dxf").modelspace()
    snapped = [each.dxf.location for each in space.query('POINT[layer=="V-CTRL"]')]
    assert len(snapped) == 4 + 8
    assert {each.z for each in snapped} == {0.0}


def on_lot(folder: Path, ground: str, benchmark: str) -> Path:
    job = NOTCH.replace("ground: survey", ground).replace(
        "{name: nail in oak, elevation: 100'}", benchmark
    )
    return write_lot(folder, job)


READINGS = "ground: {A: 99', B: 97' 6\", C: 97' 3\", D: 97' 9\", E: 97' 6\", F: 98' 3\"}"


def test_readings_from_another_benchmark_than_the_surveys_are_left_out_and_said(
    tmp_path: Path,
) -> None:
    job = on_lot(tmp_path, READINGS, "{name: nail in oak, elevation: 100'}")
    assert {row["elevation_ft"] for row in points(job).values()} == {""}
    said = " ".join(run("layout", job, "--out", tmp_path / "out", "--only", "csv").stderr.split())
    assert (
        "The levels count from nail in oak, which is not a point of the survey with an elevation, "
        "so no stake has an elevation in the points files and the drawing" in said
    )


def test_readings_from_a_point_of_the_survey_stand_beside_it(tmp_path: Path) -> None:
    job = on_lot(tmp_path, READINGS, "{point: 1}")
    found = points(job)
    assert (found["A"]["elevation_ft"], found["B"]["elevation_ft"]) == ("99.0000", "97.5000")
    said = run("layout", job, "--out", tmp_path / "out", "--only", "csv").stderr
    assert "the levels count from" not in said


def test_the_surveys_own_ground_needs_no_benchmark_of_its_own(tmp_path: Path) -> None:
    found = points(write_lot(tmp_path, NOTCH))
    # The lot falls 0.04 along x and 0.02 along y from 99 at A; B is at 36, 0 and D at 20, 16.
    for name, (x, y) in {"A": (0, 0), "B": (36, 0), "D": (20, 16)}.items():
        level = float(found[name]["elevation_ft"])
        assert math.isclose(level, 99 - 0.04 * x - 0.02 * y, rel_tol=0, abs_tol=1e-3)
