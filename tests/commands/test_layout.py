"""``staking layout`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import csv
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

import staking.project.layout
from staking.cli import main
from staking.notices import Severity, notice
from tests.commands.printed import last_lines, widest

SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
ROOT = Path(__file__).parents[2]
WHOLE_SET = (
    "plan.dxf",
    "plan.svg",
    "sheet.pdf",
    "page.html",
    "points.csv",
    "points.xml",
    "layout.json",
)

Run = Callable[..., Result]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "shed.yaml"
    path.write_text(SHED, encoding="utf-8")
    return path


@pytest.fixture
def run() -> Run:
    def invoke(*words: object) -> Result:
        typed = ["layout", *(str(word) for word in words)]
        return CliRunner().invoke(main, typed, catch_exceptions=False)

    return invoke


def names(folder: Path) -> list[str]:
    """The files in a folder, but for the record of what was written there."""
    return sorted(path.name for path in folder.iterdir() if path.name != ".staking.json")


def test_tables_go_to_standard_output_and_files_beside_the_job(job: Path, run: Run) -> None:
    result = run(job)
    assert result.exit_code == 0, result.stderr
    folder = job.with_name("shed-layout")
    assert names(folder) == sorted(WHOLE_SET)
    assert "Plum shed: corners at the outside face" in result.stdout
    assert last_lines(result.stdout)[-2:] == [
        f"Files: print sheet.pdf, carry page.html, {len(WHOLE_SET)} in all in",
        f"  {folder}",
    ]
    assert "wrote" not in result.stderr


def test_the_tables_are_readable_at_eighty_columns(job: Path, run: Run) -> None:
    result = run(job)
    assert widest(result.stdout) <= 80
    assert widest(result.stderr) <= 80
    # The root of 832 ft is 28.8444 ft: 28' 10.133", nearest sixteenth 2/16.
    assert "28' 10 1/8\"" in result.stdout


def test_json_prints_the_document_and_nothing_else_and_writes_nothing(job: Path, run: Run) -> None:
    result = run(job, "--json")
    assert result.exit_code == 0
    document = json.loads(result.stdout)
    schema = ROOT / "docs" / "layout.schema.json"
    jsonschema.validate(document, json.loads(schema.read_text(encoding="utf-8")))
    assert document["job"] == "Plum shed"
    assert names(job.parent) == ["shed.yaml"]


def test_json_with_out_writes_and_tells_it_on_standard_error(
    job: Path, tmp_path: Path, run: Run
) -> None:
    out = tmp_path / "deep" / "er"
    result = run(job, "--json", "--out", out)
    assert result.exit_code == 0
    printed = json.loads(result.stdout)
    written = json.loads((out / "layout.json").read_text(encoding="utf-8"))
    assert set(written.pop("files")) == set(WHOLE_SET) - {"layout.json"}
    assert written == printed
    assert f"wrote {out / 'plan.dxf'}" in result.stderr


@pytest.mark.parametrize(
    ("only", "files"),
    [
        ("csv", ["points.csv"]),
        ("json,csv", ["layout.json", "points.csv"]),
        (" DXF ", ["plan.dxf"]),
        ("html,.pdf", ["page.html", "sheet.pdf"]),
        ("svg,png", ["plan.png", "plan.svg"]),
    ],
)
def test_only_writes_only_what_is_asked_for(
    job: Path, run: Run, only: str, files: list[str]
) -> None:
    assert run(job, "--only", only).exit_code == 0
    assert names(job.with_name("shed-layout")) == files


@pytest.mark.parametrize(
    ("only", "sentence"),
    [
        (
            "dwf",
            "'dwf' is not a kind of file; there are dxf, svg, png, profiles, steps, pdf, html, "
            "csv, xml, geojson, gpx, json",
        ),
        (
            ",",
            "names no file; there are dxf, svg, png, profiles, steps, pdf, html, csv, xml, "
            "geojson, gpx, json",
        ),
    ],
)
def test_a_kind_that_is_not_there_is_wrong_usage(
    job: Path, run: Run, only: str, sentence: str
) -> None:
    result = run(job, "--only", only)
    assert result.exit_code == 2
    assert sentence in " ".join(result.stderr.split())
    assert result.stdout == ""
    assert names(job.parent) == ["shed.yaml"]


def test_profiles_need_levels(job: Path, run: Run) -> None:
    result = run(job, "--only", "profiles")
    assert result.exit_code == 3
    assert "profiles.svg needs levels; add grade:" in result.stderr
    assert names(job.parent) == ["shed.yaml"]


def test_pictures_and_sheets_are_what_their_names_say(job: Path, run: Run) -> None:
    assert run(job, "--only", "pdf,html,svg,png").exit_code == 0
    folder = job.with_name("shed-layout")
    assert (folder / "sheet.pdf").read_bytes().startswith(b"%PDF-")
    assert (folder / "plan.png").read_bytes().startswith(b"\x89PNG")
    assert (folder / "plan.svg").read_text(encoding="utf-8").startswith("<svg")
    assert (folder / "page.html").read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_a_missing_file_is_bad_input(tmp_path: Path, run: Run) -> None:
    result = run(tmp_path / "none.yaml")
    assert result.exit_code == 3
    assert result.stdout == ""
    assert "none.yaml" in result.stderr
    assert names(tmp_path) == []


def test_every_fault_of_a_job_is_told_on_a_line_and_nothing_is_written(job: Path, run: Run) -> None:
    job.write_text(SHED.replace('8"', "thick").replace('20"', "wide"), encoding="utf-8")
    result = run(job, "--out", job.parent / "out")
    assert result.exit_code == 3
    assert result.stdout == ""
    lines = result.stderr.splitlines()
    assert len(lines) == 2
    assert "shed.yaml, line 5" in lines[0]
    assert "shed.yaml, line 6" in lines[1]
    assert names(job.parent) == ["shed.yaml"]


def test_a_place_that_cannot_be_written_is_status_four(job: Path, run: Run) -> None:
    result = run(job, "--out", job)
    assert result.exit_code == 4
    assert "cannot be written" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize("flags", [(), ("--json",)])
def test_something_broken_is_status_five_with_everything_written(
    job: Path, run: Run, monkeypatch: pytest.MonkeyPatch, flags: tuple[str, ...]
) -> None:
    real = staking.project.layout.load_job
    told = notice("over", "the corner is over the line", severity=Severity.BROKEN)
    monkeypatch.setattr(
        staking.project.layout, "load_job", lambda path: replace(real(path), notices=(told,))
    )
    out = job.parent / "out"
    result = run(job, *flags, "--out", out)
    assert result.exit_code == 5
    assert "Broken\n- The corner is over the line." in result.stderr
    assert (out / "layout.json").exists()


def test_quiet_prints_nothing_when_there_is_nothing_to_decide(job: Path, run: Run) -> None:
    result = run(job, "-q")
    assert (result.exit_code, result.stdout) == (0, "")
    assert "Noted" not in result.stderr


def test_pairs_gives_every_pair_of_corners(job: Path, run: Run) -> None:
    assert "Every pair of corners" in run(job, "--pairs").stdout
    assert len(json.loads(run(job, "--pairs", "--json").stdout)["pairs"]) == 6


def test_the_same_job_gives_the_same_files_byte_for_byte(job: Path, run: Run) -> None:
    first, second = job.parent / "first", job.parent / "second"
    run(job, "--only", "csv,json", "--out", first)
    run(job, "--only", "csv,json", "--out", second)
    for name in ("points.csv", "layout.json"):
        assert (first / name).read_bytes() == (second / name).read_bytes()


def test_what_goes_out_is_the_same_byte_for_byte(
    tmp_path: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1796000000")
    kinds = {"plan.dxf", "points.csv", "points.xml", "points.geojson", "points.gpx"}
    only = ",".join(name.rpartition(".")[2] for name in sorted(kinds))
    written = []
    for name in ("first", "second"):
        shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / name)
        out = tmp_path / name / "out"
        result = run(tmp_path / name / "job.yaml", "--only", only, "--out", out)
        assert result.exit_code in {0, 5}, result.stderr
        written.append({path: (out / path).read_bytes() for path in kinds})
    assert written[0] == written[1]


def test_the_points_file_agrees_with_the_document(job: Path, run: Run) -> None:
    run(job)
    folder = job.with_name("shed-layout")
    document = json.loads((folder / "layout.json").read_text(encoding="utf-8"))
    with (folder / "points.csv").open(encoding="utf-8", newline="") as stream:
        points = {row["point"]: row for row in csv.DictReader(stream)}
    for corner in document["corners"]:
        assert float(points[corner["name"]]["x_ft"]) == pytest.approx(corner["x"], abs=5e-5)
        assert float(points[corner["name"]]["y_ft"]) == pytest.approx(corner["y"], abs=5e-5)


def test_a_changed_file_is_left_and_named_before_anything_is_written(job: Path, run: Run) -> None:
    run(job)
    folder = job.with_name("shed-layout")
    (folder / "plan.dxf").write_text("edited", encoding="utf-8")
    (folder / "sheet.pdf").write_text("scribbled on", encoding="utf-8")
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    job.write_text(SHED.replace("Plum", "Pear"), encoding="utf-8")
    result = run(job)
    assert (result.exit_code, result.stdout) == (4, "")
    assert result.stderr.splitlines() == [
        f"{folder / name}: this file was changed since staking wrote it; move it away, "
        "give another --out, or give --force to replace it"
        for name in ("plan.dxf", "sheet.pdf")
    ]
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    assert run(job, "--only", "csv").exit_code == 0
    assert run(job, "--force").exit_code == 0
    assert (folder / "plan.dxf").read_text(encoding="utf-8") != "edited"
    assert run(job).exit_code == 0


def test_text_of_the_job_cannot_steer_the_terminal(job: Path, run: Run) -> None:
    job.write_text(SHED.replace("Plum shed", '"[bold]shed[/bold]"'), encoding="utf-8")
    assert "[bold]shed[/bold]: corners" in run(job).stdout
    job.write_text(SHED.replace("Plum shed", '"sh\\e[2Jed"'), encoding="utf-8")
    result = run(job)
    assert result.exit_code == 3
    assert "\x1b" not in result.output


def test_plain_output_does_not_load_what_it_does_not_use(job: Path) -> None:
    script = (
        "import sys\n"
        "from staking.commands.layout import command\n"
        "command(sys.argv[1:], standalone_mode=False)\n"
        "unused = {'rich', 'scipy', 'pyproj', 'reportlab', 'jinja2', 'defusedxml'}\n"
        "print(sorted(unused & set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(job), "--only", "dxf,csv,json", "-q"],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.stderr.splitlines()[-1] == "[]"


def test_no_check_is_allowed_less_than_a_tape_is_read_to(tmp_path):
    # A jog of 4": across its angles a tape reads 5 11/16", of which 3/4" in 100 ft is 0.004".
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: Jog\n"
        "building:\n"
        "  corners: {A: [0, 0], B: [34, 0], C: [34, 22], D: [20, 22], E: [20, 22' 4\"], "
        "F: [0, 22' 4\"]}\n"
        '  wall: 8"\n'
        '  footing: {width: 20", thickness: 10"}\n',
        encoding="utf-8",
    )
    ran = CliRunner().invoke(main, ["layout", str(job), "--json"])
    checks = json.loads(ran.stdout)["checks"]
    allowed = {check["at"]: check["allowed"] for check in checks if check["legs"]}
    assert allowed["D"] == pytest.approx(1 / 16 / 12, abs=1e-9)
    assert allowed["E"] == pytest.approx(1 / 16 / 12, abs=1e-9)
    assert min(check["allowed"] for check in checks) >= 1 / 16 / 12 - 1e-9
