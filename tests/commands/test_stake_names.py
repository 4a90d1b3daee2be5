"""Stakes and surveyed points of one name: refused, until a prefix or numbers tell them apart."""

from __future__ import annotations

import csv
import json
import sqlite3
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner, Result

from staking.cli import main

LOT = """\
point,northing_ft,easting_ft,elevation_ft,description
1,5000.00,2000.00,100.1,iron pin
2,5000.00,2100.00,99.2,iron pin
3,5120.00,2100.00,103.3,iron pin
A,5120.00,2000.00,104.0,control nail
"""
JOB = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
site:
  survey: lot.csv
  place: {corner: A, wall: A-B, north: 5040, east: 2040, bearing: N 90 E}
"""
TAKEN = (
    "site: A is a stake of the layout and a point of the survey as well, and on an instrument the "
    "two cannot be told apart; add prefix: W- under site, which is put before our stakes' names in "
    "files and on instruments, or rename them on the plan or in the survey"
)
CORNERS = {"A": (5040, 2040), "B": (5040, 2064), "C": (5056, 2064), "D": (5056, 2040)}
"""Northing and easting, ft: 24' east and 16' north."""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    (tmp_path / "lot.csv").write_text(LOT, encoding="utf-8")
    path = tmp_path / "shed.yaml"
    path.write_text(JOB, encoding="utf-8")
    return path


def add(job: Path, line: str) -> None:
    job.write_text(f"{job.read_text(encoding='utf-8')}  {line}\n", encoding="utf-8")


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


@pytest.mark.parametrize("command", ["layout", "stakeout"])
def test_one_name_for_two_points_ends_with_three(job: Path, command: str) -> None:
    result = run(command, job)
    assert (result.exit_code, result.stdout) == (3, "")
    assert " ".join(result.stderr.split()) == TAKEN
    assert not (job.parent / "shed-layout").exists()


def test_other_commands_do_not_ask_for_a_prefix(job: Path) -> None:
    assert run("tape-book", job).exit_code == 0


def test_a_prefix_stands_in_files_and_on_the_instrument_and_not_on_the_plan(job: Path) -> None:
    add(job, "prefix: W-")
    result = run("layout", job)
    assert result.exit_code == 0, result.stderr
    folder = job.parent / "shed-layout"
    with (folder / "points.csv").open(encoding="utf-8") as stream:
        names = [row["point"] for row in csv.DictReader(stream)]
    assert names[:4] == ["W-A", "W-B", "W-C", "W-D"]
    assert all(name.startswith("W-") for name in names)
    assert 'name="W-A"' in (folder / "points.xml").read_text(encoding="utf-8")
    drawing = ezdxf.readfile(folder / "plan.dxf").modelspace()
    tagged = {
        attribute.dxf.text
        for block in drawing.query("INSERT")
        for attribute in block.attribs
        if attribute.dxf.tag == "POINT"
    }
    assert {"A", "W-A", "W-B"} <= tagged
    assert "B" not in tagged
    document = json.loads((folder / "layout.json").read_text(encoding="utf-8"))
    assert [corner["name"] for corner in document["corners"]] == ["A", "B", "C", "D"]
    staked = run("stakeout", job, "--setup", "1", "--backsight", "A", "--json")
    assert staked.exit_code == 0, staked.stderr
    found = json.loads(staked.stdout)
    assert [each["name"] for each in found["points"]][:2] == ["W-A", "W-B"]
    assert {each["name"] for each in found["shots"]} == {each["name"] for each in found["points"]}
    assert "\nW-A " in run("stakeout", job).stdout


def test_numbers_run_on_and_the_description_says_what_each_is(job: Path) -> None:
    add(job, "numbers: 5001")
    assert run("layout", job, "--only", "csv").exit_code == 0
    with (job.parent / "shed-layout" / "points.csv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["point"] for row in rows] == [str(5001 + i) for i in range(len(rows))]
    assert rows[0]["description"] == "A, corner"
    numbers = {row["description"].split(",")[0]: row["point"] for row in rows}
    table = run("stakeout", job).stdout
    # A mark is called on the instrument as in the file, though the ends of boards are left out.
    assert f"\n{numbers['board_2_mark_1']} board_2_mark_1 " in table
    assert "\n5001 A " in table


@pytest.mark.parametrize("key", ["prefix: W-", "numbers: 5001"])
def test_an_instrument_takes_the_survey_and_then_the_stakes(job: Path, key: str) -> None:
    add(job, key)
    assert run("layout", job, "--only", "csv").exit_code == 0
    # Like an instrument's memory: a name stands once, and a second point of it is an error.
    memory = sqlite3.connect(":memory:")
    memory.execute("CREATE TABLE points (name TEXT PRIMARY KEY COLLATE NOCASE, north, east)")
    total = 0
    for path in (job.parent / "lot.csv", job.parent / "shed-layout" / "points.csv"):
        with path.open(encoding="utf-8", newline="") as stream:
            rows = list(csv.DictReader(stream))
        found = [(row["point"], row["northing_ft"], row["easting_ft"]) for row in rows]
        memory.executemany("INSERT INTO points VALUES (?, ?, ?)", found)
        total += len(found)
    (count,) = memory.execute("SELECT count(*) FROM points").fetchone()
    memory.close()
    assert count == total > 4 + 12


def test_numbers_that_run_into_the_surveys_are_refused(job: Path) -> None:
    add(job, "numbers: 2")
    result = run("layout", job)
    assert result.exit_code == 3
    said = " ".join(result.stderr.split())
    assert said.startswith("site: 2, 3 are stakes of the layout and points of the survey as well")
    assert said.endswith("choose another prefix: or another first number: under site")


@pytest.mark.parametrize(
    ("key", "called"),
    [
        ("prefix: W-", ["W-A", "W-B", "W-C", "W-D"]),
        ("prefix: W-", ["W-A", "B", "C", "D"]),
        ("numbers: 5001", ["5001", "5002", "5003", "5004"]),
    ],
)
def test_check_takes_names_with_and_without_and_leaves_the_surveys_own_alone(
    job: Path, key: str, called: list[str]
) -> None:
    add(job, key)
    rows = ["point,northing_ft,easting_ft", "A,5120.00,2000.00"]
    rows += [f"{name},{n},{e}" for name, (n, e) in zip(called, CORNERS.values(), strict=True)]
    stakes = job.parent / "stakes.csv"
    stakes.write_text("\n".join(rows) + "\n", encoding="utf-8")
    result = run("check", job, "--stakes", stakes, "--json")
    assert result.exit_code == 0, result.stderr
    found = json.loads(result.stdout)
    assert (found["square"], found["advice"]) == (True, [])
    assert any("points of the lot's survey" in said for said in found["warnings"])


def test_a_corner_that_is_fitted_to_the_point_of_its_name_needs_no_prefix(job: Path) -> None:
    lot = job.parent / "lot.csv"
    stakes = "".join(f"{name},{n},{e},100,stake\n" for name, (n, e) in CORNERS.items())
    lot.write_text(LOT.replace("A,5120", "9,5120") + stakes, encoding="utf-8")
    text = job.read_text(encoding="utf-8")
    fit = "place: {fit: {A: A, B: B, C: C, D: D}}"
    job.write_text(
        text.replace(text[text.index("place:") :].splitlines()[0], fit), encoding="utf-8"
    )
    assert run("layout", job, "--only", "csv").exit_code == 0
    assert run("stakeout", job).exit_code == 0
    job.write_text(job.read_text(encoding="utf-8").replace(", D: D}", "}"), encoding="utf-8")
    result = run("layout", job)
    assert result.exit_code == 3
    assert result.stderr.startswith("site: D is a stake of the layout and a point of the survey")
