"""``staking tape-book``, filled in and given back to ``staking check``."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from staking.cli import main

BARN = """\
job: Pear barn
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


def test_an_empty_book_lists_what_to_tape(job: Path) -> None:
    rows = list(csv.reader(io.StringIO(run("tape-book", job).stdout)))
    assert rows[0] == [
        "from", "to", "plan distance", "before digging", "on the forms", "on the poured footing",
    ]  # fmt: skip
    assert [row[0] + row[1] for row in rows[1:-1]] == ["AB", "BC", "CD", "AD", "AC", "BD"]
    assert rows[5][2] == "43' 3 3/16\""


def filled(job: Path, book: Path, column: int, offset: str = "") -> None:
    assert run("tape-book", job, "--out", book).exit_code == 0
    rows = list(csv.reader(book.read_text(encoding="utf-8").splitlines()))
    with book.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(rows[0])
        for row in rows[1:-1]:
            row[column] = offset or row[2]
            writer.writerow(row)
        writer.writerow(rows[-1])


def test_a_filled_book_is_checked_by_its_last_column(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    filled(job, book, 4)
    done = run("check", job, "--tapes", book)
    assert done.exit_code == 0
    assert "6 readings taken from the column on the forms" in " ".join(done.stderr.split())


def test_another_column_can_be_asked_for(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    filled(job, book, 3)
    assert run("check", job, "--tapes", book, "--column", "before digging").exit_code == 0
    done = run("check", job, "--tapes", book, "--column", "last year")
    assert done.exit_code == 3
    assert "there is no column last year" in done.stderr


def test_an_empty_book_has_nothing_to_check(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    run("tape-book", job, "--out", book)
    done = run("check", job, "--tapes", book)
    assert done.exit_code == 3
    assert "no readings" in done.stderr


def test_faults_of_a_book_are_told_with_their_lines(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    book.write_text("from,to,distance\nA,X,3'\nA,B,3' 14\"\n", encoding="utf-8")
    done = run("check", job, "--tapes", book)
    assert done.exit_code == 3
    assert "line 2: X is not a corner" in done.stderr
    assert "line 3" in done.stderr


def test_a_book_in_yaml_with_heights_is_read(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.yaml"
    book.write_text(
        "distances:\n  A-B: [36', 36' 0 1/16\"]\n  B-C: 24'\n  C-D: 36'\n  A-D: 24'\n"
        "  A-C: 43' 3 3/16\"\nheights: {A: 1', B: 1'}\n",
        encoding="utf-8",
    )
    document = json.loads(run("check", job, "--tapes", book, "--json").stdout)
    assert len(document["measurements"]) == 6
    assert document["redundancy"] == 1


def test_a_book_with_readings_is_not_written_over(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    assert run("tape-book", job, "--out", book).exit_code == 0
    # an empty one is made anew, a filled one is not
    assert run("tape-book", job, "--out", book).exit_code == 0
    book.write_text(book.read_text(encoding="utf-8") + "A,B,36'\n", encoding="utf-8")
    filled_in = book.read_bytes()
    again = run("tape-book", job, "--out", book)
    assert (again.exit_code, again.stdout) == (4, "")
    assert again.stderr == (
        f"{book}: this file was changed since staking wrote it; move it away, give another "
        "--out, or give --force to replace it\n"
    )
    assert book.read_bytes() == filled_in
    over_the_job = run("tape-book", job, "--out", job, "--force")
    assert over_the_job.exit_code == 4
    assert over_the_job.stderr == (
        f"{job}: this is the job file, and is never written over; give another --out\n"
    )
    assert run("tape-book", job, "--out", book, "--force").exit_code == 0


def test_what_the_plan_says_is_never_read_as_what_was_taped(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    assert run("tape-book", job, "--out", book).exit_code == 0
    done = run("check", job, "--tapes", book, "--column", "plan distance")
    assert done.exit_code == 3
    assert "is what the plan says, not what was read" in done.stderr


def test_a_book_with_too_little_says_which_column_was_read(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.csv"
    filled(job, book, 3)
    text = book.read_text(encoding="utf-8")
    book.write_text(text.replace("40' 0", "36' 0").replace(",,\n", ",36ft,\n", 1), encoding="utf-8")
    done = run("check", job, "--tapes", book)
    assert done.exit_code == 4
    assert "1 reading taken from the column on the forms" in done.stderr
    assert "1 reading does not fix the shape" in done.stderr


def test_a_book_that_is_not_there_sends_to_no_job_file(job: Path, tmp_path: Path) -> None:
    done = run("check", job, "--tapes", tmp_path / "lost.csv")
    assert done.exit_code == 3
    assert "there is no such file; name the file; `staking tape-book` writes one" in done.stderr


def test_what_a_yaml_book_does_not_have_is_told_with_its_line(job: Path, tmp_path: Path) -> None:
    book = tmp_path / "book.yaml"
    book.write_text(
        "distances: {A-B: 36ft}\nbefore digging: {A-C: 43ft}\nheigths: {A: 1}\nheights: 3\n",
        encoding="utf-8",
    )
    done = run("check", job, "--tapes", book)
    assert done.exit_code == 3
    assert "line 3: a tape book has no heigths; write distances or heights" in done.stderr
    assert "line 4: heights name no corners" in done.stderr
    assert "before digging" not in done.stderr
