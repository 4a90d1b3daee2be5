"""A job on a survey of which nobody says what its numbers mean stops before anything is made."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from staking.cli import main

SURVEYS = Path(__file__).parents[1] / "data" / "surveys"
JOB = """job: Shed on a doubtful survey
units: m
building:
  rectangle: 8m x 6m
  wall: 200mm
  footing: {width: 500mm, thickness: 250mm}
site:
  survey: SURVEY
  units: m
  place: {corner: A, wall: A-B, north: 20, east: 20, bearing: N 90 E}
"""
GRADE = """grade:
  ground: GROUND
  frost_depth: 900mm
  top_of_wall: 105
"""


def run(folder: Path, command: str, text: str, *options: str) -> tuple[int, str, str]:
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    result = CliRunner().invoke(main, [command, str(folder / "job.yaml"), *options])
    return result.exit_code, result.stdout, result.stderr


def points(folder: Path, *levels: float) -> str:
    places = [(north, east) for north in (0, 20, 40) for east in (0, 20, 40)]
    rows = [f"{i},{n},{e},{z}\n" for i, ((n, e), z) in enumerate(zip(places, levels, strict=True))]
    (folder / "lot.csv").write_text("point,northing,easting,elevation\n" + "".join(rows), "utf-8")
    return JOB.replace("SURVEY", "lot.csv")


LEVELS = (101.2, 0, 101.9, 102.0, 0, 102.4, 101.5, 102.2, 102.1)


def test_zeros_stop_a_job_until_it_says_what_they_are(tmp_path: Path) -> None:
    job = points(tmp_path, *LEVELS)
    status, out, fault = run(tmp_path, "grade", job + GRADE.replace("GROUND", "survey"))
    assert (status, out) == (3, "")
    assert "lot.csv: 2 of 9 elevations are exactly 0 (points 1, 4), and the others" in fault
    explained = job.replace("  units: m\n  place", "  units: m\n  no_elevation: 0\n  place")
    status, out, fault = run(
        tmp_path, "grade", explained + GRADE.replace("GROUND", "survey"), "--json"
    )
    assert status == 0, fault
    # The lowest ground that was measured is 101.2, so with 0.9 m of frost no footing bottom is
    # anywhere near the -0.9 that ground at 0 would ask for.
    runs = [each for wall in json.loads(out)["walls"] for each in wall["runs"]]
    assert min(each["bottom_of_footing"] for each in runs) > 99


@pytest.mark.parametrize("ground", ["{surface: EG}", "{surface: FG}"])
def test_the_job_names_its_ground(tmp_path: Path, ground: str) -> None:
    survey = str(SURVEYS / "faults" / "landxml_two_surfaces.xml")
    job = JOB.replace("SURVEY", survey)
    status, out, fault = run(tmp_path, "grade", job + GRADE.replace("GROUND", "survey"))
    assert (status, out) == (3, "")
    assert (
        "job.yaml, line 12, grade ground: the survey has 2 surfaces that differ, and nothing says "
        "which is the ground: EG (101.20 to 102.40 m), FG (103.00 to 103.00 m); write ground: "
        "{surface: EG} or {surface: FG}" in fault
    )
    status, out, fault = run(tmp_path, "grade", job + GRADE.replace("GROUND", ground), "--json")
    assert status == 0, fault
    name = ground[10:12]
    assert any(
        f"the ground is the surface {name} of" in each for each in json.loads(out)["warnings"]
    )
