"""``staking layout --sheets``: only some sheets of the set."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from staking.cli import main

SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "shed.yaml"
    path.write_text(SHED, encoding="utf-8")
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(main, ["layout", *map(str, words)], catch_exceptions=False)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            "roof",
            "'roof' is not a sheet; there are start, lot, dimensions, boards, dig, cards, "
            "profiles, before, work, order",
        ),
        (
            ",",
            "names no sheet; there are start, lot, dimensions, boards, dig, cards, "
            "profiles, before, work, order",
        ),
    ],
)
def test_a_sheet_that_there_is_not_is_wrong_usage(job, words, said):
    done = run(job, "--sheets", words)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert said in " ".join(done.stderr.split())
    assert not job.with_name("shed-layout").exists()


def test_sheets_of_a_pdf_that_is_not_written_are_wrong_usage(job):
    done = run(job, "--sheets", "cards", "--only", "dxf")
    assert done.exit_code == 2
    assert "--sheets chooses sheets of sheet.pdf: add pdf to --only" in done.stderr


def test_a_sheet_that_the_job_lacks_is_said_and_the_others_are_printed(job):
    done = run(job, "--sheets", "Order, dimensions,lot", "--only", "pdf")
    assert done.exit_code == 0
    said = " ".join(done.stderr.split())
    assert "The job has no sheet lot: it needs the building placed on its lot." in said
    assert "The job has no sheet order: it needs an order section." in said
    pages = PdfReader(job.with_name("shed-layout") / "sheet.pdf")
    assert [each.title for each in pages.outline] == ["Dimensions"]


def test_a_job_that_lacks_every_sheet_asked_for_writes_nothing(job):
    done = run(job, "--sheets", "dig,profiles", "--only", "pdf")
    assert done.exit_code == 3
    assert done.stdout == ""
    assert "the job has no sheet dig: it needs levels, a grade section" in done.stderr
    assert not job.with_name("shed-layout").exists()
