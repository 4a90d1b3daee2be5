"""The layout's mark on what comes back, and what changed since the last layout of a folder."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.output.pdf_reading import read_pages

BARN = """\
job: Quince barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "barn.yaml"
    path.write_text(BARN, encoding="utf-8")
    return path


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def mark(job: Path) -> str:
    document = json.loads(run("layout", job, "--json").stdout)
    assert isinstance(document["mark"], str)
    return document["mark"]


def edit(job: Path, old: str, new: str) -> None:
    text = job.read_text(encoding="utf-8")
    assert old in text
    job.write_text(text.replace(old, new), encoding="utf-8")


def test_a_reworded_job_has_the_same_mark(job: Path, tmp_path: Path) -> None:
    assert len(mark(job)) == 8
    edit(job, "job: Quince barn\n", "# a comment\njob: Pear barn\n")
    edit(
        job, "rectangle: 36' x 24'", "corners: {A: [0, 0], B: [36', 0], C: [36', 24'], D: [0, 24']}"
    )
    other = tmp_path / "other.yaml"
    other.write_text(BARN, encoding="utf-8")
    assert mark(job) == mark(other)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("36' x 24'", "36' x 24' 1/16\""),
        ('wall: 8"', 'wall: 10"'),
        ('width: 20"', 'width: 24"'),
        ("building:", "boards: {stand_off: 5'}\nbuilding:"),
        ("building:", 'dig: {overdig: 6"}\nbuilding:'),
    ],
)
def test_whatever_stands_or_is_taped_elsewhere_changes_the_mark(
    job: Path, old: str, new: str
) -> None:
    before = mark(job)
    edit(job, old, new)
    assert mark(job) != before


def test_how_lengths_are_shown_changes_no_mark(job: Path) -> None:
    before = mark(job)
    edit(job, "units: ft\n", "units: ft\nshow: decimal-feet\npaper: A4\n")
    assert mark(job) == before


def book(job: Path) -> Path:
    """A tape book of the job, filled in as on the plan."""
    path = job.with_name("book.csv")
    assert run("tape-book", job, "--out", path).exit_code == 0
    rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        for row in rows:
            writer.writerow([*row[:3], row[2], "", ""] if row[0] in "ABCD" else row)
    return path


def test_a_book_of_this_layout_is_taken_as_it_is(job: Path) -> None:
    done = run("check", job, "--tapes", book(job))
    assert done.exit_code == 0
    assert "was written for layout" not in done.stderr


def test_a_book_of_an_older_layout_is_said(job: Path) -> None:
    older, path = mark(job), book(job)
    edit(job, "36' x 24'", "36' x 24' 1/16\"")
    done = run("check", job, "--tapes", path)
    said = " ".join(done.stderr.split())
    assert (
        f"book.csv was written for layout {older}, and the job's layout is now {mark(job)}: what "
        "it says is held against the job as it is now" in said
    )


def test_nails_of_an_older_layout_are_refused(job: Path) -> None:
    older = mark(job)
    assert run("layout", job, "--only", "csv").exit_code == 0
    points = job.with_name("barn-layout") / "points.csv"
    assert run("check", job, "--stakes", points).exit_code == 0
    edit(job, "building:", "boards: {stand_off: 5'}\nbuilding:")
    done = run("check", job, "--stakes", points)
    assert done.exit_code == 3
    assert done.stdout == ""
    assert done.stderr == (
        f"{points}: the file carries layout {older}, and the job's layout is now {mark(job)}: "
        "board_1_end_1, board_1_end_2, board_1_mark_1, board_1_mark_2 … may stand on other boards "
        "than it says; write points.csv anew with `staking layout` and name the nails as there, "
        "or leave the nails out\n"
    )


def test_corners_of_an_older_layout_are_still_checked(job: Path) -> None:
    assert run("layout", job, "--only", "csv").exit_code == 0
    points = job.with_name("barn-layout") / "points.csv"
    lines = points.read_text(encoding="utf-8").splitlines()
    corners = [line for line in lines if line[0] in "pABCD"][:5]
    points.write_text("\n".join(corners) + "\n", encoding="utf-8")
    edit(job, "building:", "boards: {stand_off: 5'}\nbuilding:")
    assert run("check", job, "--stakes", points).exit_code == 0


def last(job: Path) -> list[str]:
    """What ``staking layout`` says after its files; sentences in one line each."""
    done = run("layout", job, "--only", "json,csv", "--out", job.with_name("out"))
    assert done.exit_code == 0
    _, found, tail = done.stdout.partition("Since the last layout here\n")
    tail = tail.partition("\n\n")[0]
    if not found:
        return []
    return [" ".join(each.split()) for each in f"\n{tail}".split("\n- ") if each.strip()]


def test_the_first_layout_of_a_folder_has_nothing_to_compare_with(job: Path) -> None:
    assert last(job) == []


def test_a_layout_that_did_not_change_says_so(job: Path) -> None:
    last(job)
    assert last(job) == [f"Nothing has changed: layout {mark(job)}."]


def test_boards_that_stand_elsewhere_are_named(job: Path) -> None:
    last(job)
    edit(job, "building:", "boards: {stand_off: 6'}\nbuilding:")
    # all eight stood at 4' 6", the first place 4' clear of the footing's edge
    assert last(job) == ["Boards 1 to 8 stand elsewhere, by up to 1' 6\"."]


def test_nails_and_tapes_that_changed_are_named(job: Path) -> None:
    last(job)
    edit(job, 'wall: 8"', 'wall: 8"\n  walls: {A-B: {footing: {width: 24"}}}')
    # A-B's string runs from board 8 to board 3; its footing now reaches 8" out and 16" in
    said = last(job)
    assert any(each.startswith("Nails have other offsets on boards 3, 8: set") for each in said)
    edit(job, "36' x 24'", "36' x 25'")
    said = last(job)
    (tapes,) = (each for each in said if each.startswith("Other lengths"))
    assert tapes.startswith("Other lengths are to be read on B-C, A-D, A-C, B-D")


def test_levels_are_held_against_the_grade_file_there(job: Path) -> None:
    edit(
        job,
        "building:",
        "grade:\n  ground: {A: 99', B: 99', C: 99', D: 99'}\n  top_of_wall: 100'\n"
        '  frost_depth: 36"\nbuilding:',
    )
    out = job.with_name("out")
    last(job)
    assert run("grade", job, "--out", out).exit_code == 0
    edit(job, "top_of_wall: 100'", "top_of_wall: 100' 4\"")
    said = last(job)
    # 96' is the deepest bottom that frost allows; half a course higher, it stops 4" lower
    assert any(
        each.startswith('Other dig levels than in the grade.json here, by up to 4"')
        for each in said
    ), said


def test_a_file_that_is_no_layout_of_ours_is_not_compared(job: Path) -> None:
    out = job.with_name("out")
    out.mkdir()
    (out / "layout.json").write_text('{"schema": "staking/layout/1", "boards": 7}', "utf-8")
    done = run("layout", job, "--only", "csv", "--out", out)
    assert done.exit_code == 0
    assert "Since the last layout" not in done.stdout


def test_start_here_says_what_the_terminal_says_of_the_last_layout(job: Path) -> None:
    def first_sheet() -> str:
        pages = read_pages((job.parent / "barn-layout" / "sheet.pdf").read_bytes())
        assert "Start here" in pages[0].text
        return pages[0].text.replace("\n", " ")

    run("layout", job, "--only", "pdf,json")
    assert "Since the last layout" not in first_sheet()
    edit(job, "36' x 24'", "36' x 25'")
    told = run("layout", job, "--only", "pdf,json").stdout
    _, _, said = told.partition("Since the last layout here\n")
    sentences = [line.removeprefix("- ") for line in said.splitlines() if line.startswith("- ")]
    assert sentences
    assert "Since the last layout here" in first_sheet()
    # A sentence may run over two lines on either.
    assert all(" ".join(each.split()[:6]) in first_sheet() for each in sentences)
    run("layout", job, "--only", "pdf,json")
    assert "Since the last layout" not in first_sheet()
