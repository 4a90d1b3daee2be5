"""The day that everything written of a job bears."""

from __future__ import annotations

import datetime as dt
import os

import pytest

from staking.errors import InputError
from staking.project.paper_day import paper_day


def test_it_is_the_day_the_job_file_was_changed_in_utc(tmp_path, monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    job = tmp_path / "job.yaml"
    job.write_text("job: shed\n", encoding="utf-8")
    # 1970 has 365 days of 86,400 s: one second before 1971 is the last of December
    os.utime(job, (0, 365 * 86400 - 1))
    assert paper_day(job) == dt.date(1970, 12, 31)
    os.utime(job, (0, 365 * 86400))
    assert paper_day(job) == dt.date(1971, 1, 1)


def test_the_environment_may_fix_it(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86399")
    assert paper_day(tmp_path / "job.yaml") == dt.date(1970, 1, 1)


def test_without_a_file_there_is_none(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "")
    assert paper_day(tmp_path / "none.yaml") is None


@pytest.mark.parametrize(
    "text", ["abc", "1e9", "-1", "12.5", " 7", "\u0663", "9" * 30, "nan", "0x10"]
)
def test_what_is_no_count_of_seconds_is_refused(tmp_path, monkeypatch, text):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", text)
    with pytest.raises(InputError) as caught:
        paper_day(tmp_path)
    assert str(caught.value) == (
        f"environment variable SOURCE_DATE_EPOCH: {text!r} is not whole seconds since 1970; "
        "write digits alone, as in 1767225600, or unset it"
    )
