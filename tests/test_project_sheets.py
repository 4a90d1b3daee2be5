import datetime as dt
import os
from pathlib import Path

from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import prepare_sheets, revision_date

FIXTURES = Path(__file__).resolve().parent.parent / "fixtures"


def test_the_revision_is_the_day_the_job_was_changed(tmp_path, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    job = tmp_path / "job.yaml"
    job.write_text("job: shed\n")
    os.utime(job, (0, 86400 * 365))
    assert revision_date(job) == dt.date(1971, 1, 1)


def test_the_environment_may_fix_the_revision(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86399")
    assert revision_date(tmp_path / "job.yaml") == dt.date(1970, 1, 1)


def test_a_job_from_nowhere_has_no_revision(tmp_path, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert revision_date(tmp_path / "none.yaml") is None


def test_an_environment_that_gives_no_number_gives_no_revision(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    assert revision_date(tmp_path) is None


def test_only_a_placed_job_is_staked_out_from_known_points():
    for name, is_placed in (("orchard-workshop", False), ("hillside-lot", True)):
        job = load_job(FIXTURES / name / "job.yaml")
        sheets = prepare_sheets(resolve(job))
        assert (sheets.staked is not None) == is_placed
        assert sheets.work is not None
        assert sheets.revised is None
