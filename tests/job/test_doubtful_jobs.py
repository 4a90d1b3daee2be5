"""Jobs with a slip that is no fault of the file: each says exactly so, and its sound twin does not.

What stands beside each in a .txt is every warning of the job, a line each, as it is printed.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.notices import Severity
from staking.output.wording import Words
from staking.project.resolve import read_and_resolve

JOBS = Path(__file__).parents[1] / "data" / "jobs"
DOUBTFUL = sorted((JOBS / "doubtful").glob("*.yaml"))
SOUND = JOBS / "doubtful_sound"


def warnings(path: Path) -> list[str]:
    layout = read_and_resolve(path).layout
    words = Words(layout.options)
    heavy = (each for each in layout.notices if each.severity is not Severity.NOTE)
    return [words.notice(each) for each in heavy]


def test_every_doubtful_job_has_its_twin() -> None:
    assert [path.name for path in DOUBTFUL] == sorted(path.name for path in SOUND.glob("*.yaml"))


@pytest.mark.parametrize("job", DOUBTFUL, ids=lambda path: path.stem)
def test_the_slip_is_said_and_the_twin_is_silent(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(job.parent)
    assert warnings(Path(job.name)) == job.with_suffix(".txt").read_text("utf-8").splitlines()
    monkeypatch.chdir(SOUND)
    assert warnings(Path(job.name)) == []
