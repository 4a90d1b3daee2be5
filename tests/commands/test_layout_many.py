"""Several jobs laid out at once."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from staking.commands import layout_many
from staking.commands.layout_many import JobEnded, JobOfMany, _verdict_of, lay_out_quietly

SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
Run = Callable[..., Result]


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    folder = tmp_path / "jobs"
    folder.mkdir()
    for name in ("apple", "pear", "plum"):
        (folder / f"{name}.yaml").write_text(SHED.replace("Plum", name), encoding="utf-8")
    return folder


@pytest.fixture
def run() -> Run:
    def invoke(*words: object) -> Result:
        typed = ["layout", *(str(word) for word in words)]
        return CliRunner().invoke(main, typed, catch_exceptions=False)

    return invoke


def written(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.is_dir())


def test_each_job_gets_its_folder_and_a_line_in_the_order_given(jobs: Path, run: Run) -> None:
    paths = [jobs / f"{name}.yaml" for name in ("pear", "apple", "plum")]
    result = run(*paths, "--only", "csv,json")
    assert result.exit_code == 0, result.stderr
    assert result.stdout.splitlines() == [
        *(f"{path}: done; 2 files in {path.with_name(f'{path.stem}-layout')}" for path in paths),
        "3 of 3 jobs are laid out and break nothing that they set.",
        "Cautions: utilities, wires, trench, bucket, bars, forms, fill, code, soil, lot.",
        "Files: in the folders named above, one for each job.",
    ]
    assert result.stderr == ""
    assert written(jobs) == ["apple-layout", "pear-layout", "plum-layout"]
    alone = jobs / "alone"
    assert run(jobs / "pear.yaml", "--only", "csv,json", "--out", alone).exit_code == 0
    for name in ("points.csv", "layout.json"):
        assert (alone / name).read_bytes() == (jobs / "pear-layout" / name).read_bytes()


def test_one_failure_harms_no_other_and_the_status_is_the_worst(jobs: Path, run: Run) -> None:
    (jobs / "pear.yaml").write_text(SHED.replace('8"', "thick").replace('20"', "wide"), "utf-8")
    result = run(jobs / "apple.yaml", jobs / "pear.yaml", jobs / "plum.yaml", "--only", "csv")
    assert result.exit_code == 3
    lines = result.stdout.splitlines()
    assert lines[0].startswith(f"{jobs / 'apple.yaml'}: done")
    assert lines[1].startswith(f"{jobs / 'pear.yaml'}: not done: line 5, wall: thick is not")
    assert lines[1].endswith("(and 1 more)")
    assert lines[2].startswith(f"{jobs / 'plum.yaml'}: done")
    ending = " ".join(" ".join(lines[3:]).split())
    assert ending.startswith(
        "2 of 3 jobs are laid out and break nothing that they set; not done: "
        f"{jobs / 'pear.yaml'}. First: mend pear.yaml, as it is said above, and lay it out again."
    )
    assert len(lines) <= 3 + 6
    assert len(result.stderr.splitlines()) == 2
    assert written(jobs) == ["apple-layout", "plum-layout"]


def test_what_cannot_be_written_weighs_more_than_bad_input(jobs: Path, run: Run) -> None:
    (jobs / "plum.yaml").write_text("job: x", encoding="utf-8")
    (jobs / "pear-layout").write_text("in the way", encoding="utf-8")
    paths = sorted(jobs.glob("*.yaml"))
    result = run(*paths, "--only", "csv")
    assert result.exit_code == 4
    assert "pear.yaml: not done: " in result.stdout
    assert "cannot be written" in result.stdout
    assert written(jobs) == ["apple-layout"]


def test_quiet_tells_only_what_went_wrong(jobs: Path, run: Run) -> None:
    assert run(jobs / "apple.yaml", jobs / "pear.yaml", "--only", "csv", "-q").stdout == ""
    missing = run(jobs / "apple.yaml", jobs / "none.yaml", "--only", "csv", "-q")
    assert missing.exit_code == 3
    assert len(missing.stdout.splitlines()) == 1
    assert "none.yaml" in missing.stdout


def test_out_holds_a_folder_for_each_and_two_of_one_name_are_refused(
    jobs: Path, tmp_path: Path, run: Run
) -> None:
    out = tmp_path / "out"
    assert (
        run(jobs / "apple.yaml", jobs / "pear.yaml", "--only", "csv", "--out", out).exit_code == 0
    )
    assert written(out) == ["apple-layout", "pear-layout"]
    other = tmp_path / "other"
    other.mkdir()
    (other / "apple.yaml").write_text(SHED, encoding="utf-8")
    result = run(jobs / "apple.yaml", other / "apple.yaml", "--out", tmp_path / "third")
    assert result.exit_code == 3
    assert "would both write to" in result.stderr
    assert not (tmp_path / "third").exists()


def test_two_folders_whose_names_differ_by_case_alone_are_refused(
    jobs: Path, tmp_path: Path, run: Run
) -> None:
    # on many disks both are one folder, and the second job would take the first one's place
    other = tmp_path / "other"
    other.mkdir()
    (other / "Apple.yaml").write_text(SHED, encoding="utf-8")
    out = tmp_path / "out"
    result = run(jobs / "apple.yaml", other / "Apple.yaml", "--out", out)
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr == (
        f"{other / 'Apple.yaml'} and {jobs / 'apple.yaml'} would both write to "
        f"{out / 'Apple-layout'}; give each job once, or rename one of the files\n"
    )
    assert not out.exists()


def test_several_jobs_leave_and_take_files_of_others_as_one_does(jobs: Path, run: Run) -> None:
    folder = jobs / "pear-layout"
    folder.mkdir()
    (folder / "points.csv").write_text("mine", encoding="utf-8")
    both = (jobs / "apple.yaml", jobs / "pear.yaml", "--only", "csv")
    result = run(*both)
    assert result.exit_code == 4
    assert result.stderr == (
        f"{folder / 'points.csv'}: this file was not written by staking; move it away, give "
        "another --out, or give --force to replace it\n"
    )
    assert (folder / "points.csv").read_text(encoding="utf-8") == "mine"
    assert run(*both, "--force").exit_code == 0


@pytest.mark.parametrize("name", ["SIGTERM", "SIGINT"])
def test_several_jobs_that_are_told_to_end_leave_no_parts(jobs: Path, name: str) -> None:
    # the first part that appears in any folder shows that the work has begun
    for number in range(8):
        (jobs / f"shed{number}.yaml").write_text(SHED, encoding="utf-8")
    running = subprocess.Popen(
        [sys.executable, "-m", "staking", "layout", *map(str, sorted(jobs.glob("*.yaml")))],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        # what started the tests may ignore the signal, and this would too
        preexec_fn=lambda: signal.signal(getattr(signal, name), signal.SIG_DFL),
    )
    while running.poll() is None and not list(jobs.glob("*/.staking-*.part")):
        time.sleep(0.01)
    if name == "SIGINT":  # Ctrl-C goes to every process of the terminal
        os.killpg(running.pid, signal.SIGINT)
    else:
        running.terminate()
    _, said = running.communicate(timeout=600)
    assert running.returncode == {"SIGTERM": 143, "SIGINT": 1}[name]
    assert "Traceback" not in said
    assert not list(jobs.glob("*/.staking-*.part"))


def test_what_changed_since_the_last_layout_is_told_job_by_job(jobs: Path, run: Run) -> None:
    paths = [jobs / f"{name}.yaml" for name in ("apple", "pear")]
    assert run(*paths, "--only", "json").exit_code == 0
    text = paths[1].read_text(encoding="utf-8")
    paths[1].write_text(text + "boards: {stand_off: 6'}\n", encoding="utf-8")
    result = run(*paths, "--only", "json")
    assert result.exit_code == 0
    # the boards stood at 4' 6", the first place 4' clear of the footing's edge
    assert result.stderr == (
        f"{paths[1]}: since the last layout: boards 1 to 8 stand elsewhere, by up to 1' 6\".\n"
    )


def test_json_takes_one_job(jobs: Path, run: Run) -> None:
    result = run(jobs / "apple.yaml", jobs / "pear.yaml", "--json")
    assert result.exit_code == 2
    assert "--json prints one document: give one job" in result.stderr


def test_a_crash_is_a_verdict_with_its_traceback(
    jobs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import staking.project.layout

    def crash(_path: Path) -> None:
        raise RuntimeError("a bug\x1b[2J")

    monkeypatch.setattr(staking.project.layout, "load_job", crash)
    verdict = lay_out_quietly(
        JobOfMany(path=jobs / "apple.yaml", folder=jobs / "x", only=None, pairs=False, quiet=False)
    )
    assert verdict.status == 1
    assert verdict.line.endswith("apple.yaml: not done: crashed")
    assert verdict.told[0].startswith("Traceback")
    assert not any("\x1b" in line for line in verdict.told)


def test_a_process_that_dies_takes_no_other_job_along(jobs: Path) -> None:
    broken: Future[JobEnded] = Future()
    broken.set_exception(BrokenProcessPool("a process was killed"))
    asked = JobOfMany(
        path=jobs / "apple.yaml", folder=jobs / "x", only=("csv",), pairs=False, quiet=False
    )
    assert _verdict_of(broken, asked).status == 0
    assert (jobs / "x" / "points.csv").is_file()


def test_it_works_as_a_process_of_its_own(jobs: Path) -> None:
    words = [sys.executable, "-m", "staking", "layout", "--only", "csv"]
    done = subprocess.run(
        [*words, *map(str, sorted(jobs.glob("*.yaml")))],
        capture_output=True,
        text=True,
        check=False,
        cwd=jobs,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert len(done.stdout.splitlines()) == 3 + 3


def test_an_interrupted_process_takes_up_no_other_job(
    jobs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import staking.project.layout

    def interrupted(_path: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(layout_many, "_interrupted", [])
    asked = JobOfMany(
        path=jobs / "apple.yaml", folder=jobs / "x", only=("csv",), pairs=False, quiet=False
    )
    with monkeypatch.context() as within:
        within.setattr(staking.project.layout, "load_job", interrupted)
        first = lay_out_quietly(asked)
    assert (first.status, first.line.partition(": ")[2]) == (1, "not done: interrupted")
    assert lay_out_quietly(asked) == first
    assert not (jobs / "x").exists()
