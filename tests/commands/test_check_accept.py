"""``staking check --accept``: the stakes as they stand, as a new job."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from staking.cli import main

BARN = """\
# the barn
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'   # as drawn
  wall: 8"
  footing: {width: 20", thickness: 10"}
order: {waste: 5%}
"""
# an inch longer than drawn: hypot(36' 1", 24') = 43.3360'
LONG = ("A-B=36-1", "B-C=24ft", "C-D=36-1", "A-D=24ft", "A-C=43.336ft", "B-D=43.336ft")


def check(path: Path, *words: object) -> Result:
    line = ["check", str(path), *(str(word) for word in words)]
    return CliRunner().invoke(main, line, catch_exceptions=False)


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "barn.yaml"
    path.write_text(BARN, encoding="utf-8")
    return path


def test_the_new_job_has_the_corners_as_staked_and_all_else_as_it_was(job: Path) -> None:
    new = job.with_name("staked.yaml")
    assert check(job, *LONG).exit_code == 5
    done = check(job, *LONG, "--accept", new)
    assert done.exit_code == 0
    text = new.read_text(encoding="utf-8")
    assert text.startswith(
        "# the barn\njob: Pear barn\nunits: ft\nbuilding:\n  corners: {A: [0, 0],"
    )
    assert "   # as drawn\n" in text
    assert text.endswith('footing: {width: 20", thickness: 10"}\norder: {waste: 5%}\n')
    laid = CliRunner().invoke(main, ["layout", str(new), "--json"], catch_exceptions=False)
    corners = {c["name"]: (c["x"], c["y"]) for c in json.loads(laid.stdout)["corners"]}
    assert corners["C"] == pytest.approx((36 + 1 / 12, 24), rel=0, abs=2e-3)
    # by its own corners it is square
    assert check(new, *LONG).exit_code == 0


def test_what_walls_become_is_said(job: Path) -> None:
    done = check(job, "-q", *LONG, "--accept", job.with_name("staked.yaml"))
    rows = [
        line.split("  ") for line in done.stdout.splitlines() if line.startswith(("A-B", "C-D"))
    ]
    assert [[cell.strip() for cell in row if cell.strip()] for row in rows] == [
        ["A-B", "36' 0\"", "36' 1\""],
        ["C-D", "36' 0\"", "36' 1\""],
    ]


def test_no_file_is_written_over(job: Path) -> None:
    before = job.read_bytes()
    done = check(job, *LONG, "--accept", job)
    assert done.exit_code == 4
    assert "is there, and no file is written over" in done.stderr
    assert job.read_bytes() == before


def test_every_corner_is_to_be_known(job: Path) -> None:
    new = job.with_name("staked.yaml")
    done = check(job, "A-B=36-1", "B-C=24ft", "A-C=43.336ft", "--accept", new)
    assert done.exit_code == 4
    assert "nothing was taped to D" in done.stderr
    assert not new.exists()


def test_readings_that_do_not_say_where_the_stakes_stand_are_not_taken(job: Path) -> None:
    new = job.with_name("staked.yaml")
    wrong = (*LONG[:5], "B-D=44.336ft")
    done = check(job, *wrong, "--accept", new)
    assert done.exit_code == 4
    assert "the readings do not say where that is" in done.stderr
    assert not new.exists()


def test_a_job_of_two_buildings_in_metres_keeps_both(tmp_path: Path) -> None:
    path, new = tmp_path / "two.yaml", tmp_path / "new.yaml"
    path.write_text(
        "job: Two\nunits: m\nbuildings:\n  - name: barn\n    corners:\n      A: [0, 0]\n"
        "      B: [9, 0]\n      C: [9, 6]\n      D: [0, 6]   # far\n    wall: 200 mm\n"
        "    footing: {width: 500 mm, thickness: 250 mm}\n"
        "  - {name: shed, at: [12, 0], rectangle: 3 x 2, wall: 200 mm, footing: {width: 500 mm, "
        "thickness: 250 mm}}\n",
        encoding="utf-8",
    )
    laid = CliRunner().invoke(main, ["layout", str(path), "--json"], catch_exceptions=False)
    checks = [c for c in json.loads(laid.stdout)["checks"] if c["at"] is None]
    tapes = [f"{c['from']}-{c['to']}={c['distance']:.3f}m" for c in checks]
    assert check(path, *tapes, "--accept", new).exit_code == 0
    laid = CliRunner().invoke(main, ["layout", str(new), "--json"], catch_exceptions=False)
    corners = {c["name"]: (c["x"], c["y"]) for c in json.loads(laid.stdout)["corners"]}
    assert corners["C"] == pytest.approx((9, 6), rel=0, abs=2e-3)
    assert corners["E"] == pytest.approx((12, 0), rel=0, abs=2e-3)
    assert "]}   # far\n" in new.read_text(encoding="utf-8")


@pytest.mark.parametrize(("east", "status"), [(10, 0), (11, 5)])
def test_a_pad_off_from_the_corners_that_are_taken_is_said(
    tmp_path: Path, east: int, status: int
) -> None:
    # P1 belongs 10', 6' from A; a foot too far along A-B it is hypot(11, 6) from A, hypot(11, 18)
    # from D
    job = tmp_path / "barn.yaml"
    pads = '  pads: [{name: P1, at: [10, 6], size: [24", 24"], thickness: 12"}]\norder:'
    job.write_text(BARN.replace("order:", pads), encoding="utf-8")
    tapes = (f"A-P1={math.hypot(east, 6):.4f}ft", f"D-P1={math.hypot(east, 18):.4f}ft")
    new = job.with_name("staked.yaml")
    done = check(job, "-q", *LONG, *tapes, "--accept", new)
    assert done.exit_code == status
    said = "Off where the plan has them from these corners: P1."
    assert (said in " ".join(done.stdout.split())) == (status == 5)
    assert check(new, *LONG, *tapes).exit_code == status
