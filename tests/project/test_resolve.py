"""The resolved job: made once in each run of a command, and what every command starts from."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner

import staking.laid_out.whole_layout
import staking.survey.read
from staking.cli import main
from staking.project.resolve import read_and_resolve
from tests.agree.lots import NOTCH, write_lot


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A job on a surveyed lot with levels."""
    return write_lot(tmp_path / "lot", NOTCH)


@pytest.fixture
def counted(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often the survey was read, the job laid out, its boards placed and tapes chosen."""
    count: Counter[str] = Counter()

    def counting(module: object, name: str, key: Callable[..., str]) -> None:
        real = getattr(module, name)

        def call(*words: object, **more: object) -> object:
            count[key(*words)] += 1
            return real(*words, **more)

        monkeypatch.setattr(module, name, call)

    counting(staking.survey.read, "read_survey", lambda path, *_: f"read {Path(path).name}")
    counting(staking.laid_out.whole_layout, "lay_out", lambda *_: "boards")
    counting(staking.laid_out.whole_layout, "choose_checks", lambda *_: "tapes")
    return count


def test_a_check_of_stakes_lays_out_and_reads_the_survey_once(
    lot: Path, counted: Counter[str]
) -> None:
    done = CliRunner().invoke(main, ["layout", str(lot), "--only", "csv", "-q"])
    assert done.exit_code == 0, done.stderr
    counted.clear()
    points = lot.with_name("job-layout") / "points.csv"
    # In a folder of its own: one process keeps a survey that it has read.
    other = shutil.copytree(lot.parent, lot.parent.with_name("other")) / lot.name
    done = CliRunner().invoke(main, ["check", str(other), "--stakes", str(points), "-q"])
    assert done.exit_code == 0, done.stderr
    assert counted == {"read lot.csv": 1, "read points.csv": 1, "boards": 1, "tapes": 1}


@pytest.mark.parametrize(
    "words",
    [
        ("check", "A-B=36ft", "B-C=16ft", "A-C=39-4-3/4"),
        ("tape-book",),
        ("plan",),
        ("grade", "--json"),
        ("order", "--json"),
        ("stakeout",),
        ("record", "--blank"),
        ("layout", "--only", "json,csv,pdf,html"),
    ],
    ids=lambda words: words[0],
)
def test_every_command_lays_the_job_out_once(
    lot: Path, counted: Counter[str], words: tuple[str, ...]
) -> None:
    done = CliRunner().invoke(main, [words[0], str(lot), *words[1:]])
    assert done.exit_code in {0, 5}, done.stderr
    assert counted == {"read lot.csv": 1, "boards": 1, "tapes": 1}


def test_the_resolved_plan_keeps_clear_of_what_was_surveyed(lot: Path) -> None:
    resolved = read_and_resolve(lot)
    assert resolved.job.plan.stay_clear == ()
    assert [each.name for each in resolved.plan.stay_clear] == ["shed"]
    assert resolved.lot is resolved.layout.site
    assert resolved.levels is resolved.layout.grade
    assert resolved.checks == resolved.layout.checks


def test_the_resolved_depth_is_what_is_dug_and_not_what_the_job_says(lot: Path) -> None:
    """The ground falls from 99 ft; the footing's lowest dig is deeper than 4 ft on C-D."""
    resolved = read_and_resolve(lot)
    assert resolved.job.options.dig.depth < 4 * 0.3048
    assert resolved.levels is not None
    assert resolved.options.dig.depth == resolved.levels.greatest_depth > 4 * 0.3048
