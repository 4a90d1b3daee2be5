"""The job worked by hand in docs/stepping.md, run as a job."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from staking.project.layout import lay_out_job, load_job

PAGE = Path(__file__).parents[2] / "docs" / "stepping.md"
FOOT = 0.3048
INCH = 0.0254


def test_the_job_worked_by_hand_steps_where_the_page_says(tmp_path: Path) -> None:
    found = re.search(r"```yaml\n(job: A slope worked by hand.*?)```", PAGE.read_text(), re.DOTALL)
    assert found is not None
    job = tmp_path / "job.yaml"
    job.write_text(found.group(1))
    graded = lay_out_job(load_job(job)).grade
    assert graded is not None
    along = graded.wall("A-B").profile
    assert [step.station / INCH for step in along.steps] == pytest.approx(
        [64, 128, 192, 256], abs=1e-6
    )
    assert [level.courses for level in along.levels] == [8, 9, 10, 11, 12]
    assert graded.stepped.objective / FOOT**2 == pytest.approx(5168 / 9, abs=1e-9)
    assert "readings-apart" in {told.kind for told in graded.notices}
