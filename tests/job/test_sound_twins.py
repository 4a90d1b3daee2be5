"""Every faulty job file has a sound twin: the same job without its mistake, which says nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.job.build import read_job
from staking.output.wording import Words
from staking.project.resolve import read_and_resolve

JOBS = Path(__file__).parents[1] / "data" / "jobs"
FAULTS = sorted((JOBS / "faults").glob("*.yaml"))
SOUND = JOBS / "sound"


def test_every_fault_has_its_twin_and_every_twin_its_fault() -> None:
    assert {path.name for path in SOUND.iterdir()} == {path.name for path in FAULTS}


@pytest.mark.parametrize("fault", FAULTS, ids=lambda path: path.stem)
def test_the_twin_is_the_same_job_but_for_the_mistake(fault: Path) -> None:
    before = fault.read_text(encoding="utf-8", errors="replace").splitlines()
    after = (SOUND / fault.name).read_text(encoding="utf-8").splitlines()
    assert before != after
    if len(before) > 3:
        assert len(set(before) & set(after)) >= len(before) / 2


@pytest.mark.parametrize("fault", FAULTS, ids=lambda path: path.stem)
def test_the_twin_is_read_and_none_of_the_messages_comes(
    fault: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(SOUND)
    messages = fault.with_suffix(".txt").read_text(encoding="utf-8")
    job = read_job(Path(fault.name))
    told = job.notices
    if job.site is None or not job.site.survey:
        told = read_and_resolve(Path(fault.name)).layout.notices
    said = [Words(job.options).notice(each) for each in told]
    assert [each for each in said if each in messages] == []
