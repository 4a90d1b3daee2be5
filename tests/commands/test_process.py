"""The tool as a process of its own: all it says arrives, and its status is its own."""

from __future__ import annotations

import subprocess
import sys


def staking(*arguments, cwd):
    return subprocess.run(
        [sys.executable, "-m", "staking", *arguments], capture_output=True, text=True, cwd=cwd
    )


def test_everything_printed_arrives_before_the_process_ends(tmp_path):
    assert staking("init", "job.yaml", cwd=tmp_path).returncode == 0
    done = staking("layout", "job.yaml", "--pairs", cwd=tmp_path)
    assert done.returncode == 0
    assert "corners at the outside face" in done.stdout
    assert done.stdout.rstrip().endswith("layout.json")
    assert (tmp_path / "job-layout" / "layout.json").read_text().rstrip().endswith("}")


def test_statuses_pass_through(tmp_path):
    missing = staking("layout", "none.yaml", cwd=tmp_path)
    assert (missing.returncode, missing.stdout) == (3, "")
    assert "none.yaml" in missing.stderr
    wrong = staking("layout", cwd=tmp_path)
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert "Missing argument" in wrong.stderr


def test_a_reader_that_goes_away_leaves_no_traceback(tmp_path):
    staking("init", "job.yaml", cwd=tmp_path)
    command = f"{sys.executable} -m staking layout job.yaml | head -n 1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, cwd=tmp_path)
    assert "Traceback" not in done.stderr
