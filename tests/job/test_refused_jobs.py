"""Jobs whose file is sound and whose facts cannot all be true: refused, with the exact message.

What is wrong shows only beside the survey, the ground or the levels, so that the reader lets these
files through. Each has a twin without the mistake, which is laid out and warns of nothing.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.errors import ProjectError
from staking.job.build import read_job
from staking.notices import Severity
from staking.output.wording import Words
from staking.project.resolve import read_and_resolve

JOBS = Path(__file__).parents[1] / "data" / "jobs"
REFUSED = sorted((JOBS / "refused").glob("*.yaml"))
SOUND = JOBS / "refused_sound"


def test_every_refused_job_has_its_twin() -> None:
    assert [path.name for path in REFUSED] == sorted(path.name for path in SOUND.glob("*.yaml"))


@pytest.mark.parametrize("job", REFUSED, ids=lambda path: path.stem)
def test_the_job_is_refused_with_exactly_its_message(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(job.parent)
    read_job(Path(job.name))
    with pytest.raises(ProjectError, match=r".") as caught:
        read_and_resolve(Path(job.name))
    assert str(caught.value) == job.with_suffix(".txt").read_text("utf-8").rstrip("\n")
    assert caught.value.exit_status in {3, 4}


@pytest.mark.parametrize("job", REFUSED, ids=lambda path: path.stem)
def test_the_twin_is_laid_out_without_a_warning(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(SOUND)
    layout = read_and_resolve(Path(job.name)).layout
    words = Words(layout.options)
    heavy = [each for each in layout.notices if each.severity is not Severity.NOTE]
    assert [words.notice(each) for each in heavy] == []


def test_at_least_150_planted_mistakes_are_found() -> None:
    """In job files and jobs alone; those in surveys come on top."""
    folders = ("faults", "doubtful", "refused")
    assert sum(len(list((JOBS / each).glob("*.yaml"))) for each in folders) >= 150
