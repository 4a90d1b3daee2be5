"""The book of the poured footing: columns, ends, blanks and comments."""

from __future__ import annotations

from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import Job, read_job
from staking.job.poured_book import (
    PouredRow,
    is_poured_book,
    is_tape_book,
    parse_poured_book,
)

INCH = 0.0254
FOOT = 0.3048
BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
  walls: {D-A: {existing: yes}}
  interior:
    - {name: G, from: A-B at 14', to: C-D at 22', wall: 8", footing: {width: 16", thickness: 8"}}
"""


@pytest.fixture
def job(tmp_path: Path) -> Job:
    path = tmp_path / "barn.yaml"
    path.write_text(BARN, encoding="utf-8")
    return read_job(path)


def read(job: Job, text: str) -> tuple[PouredRow, ...]:
    return parse_poured_book(text, "poured.csv", job.plan, job.options)


def test_a_bare_number_is_in_the_jobs_unit(job: Job) -> None:
    (row,) = read(job, "wall,at,outer\nA-B,12,0.5\n")
    assert row.station == pytest.approx(12 * FOOT, rel=0, abs=1e-12)
    assert row.outer == pytest.approx(6 * INCH, rel=0, abs=1e-12)
    assert (row.inner, row.top, row.line) == (None, None, 2)


def test_comments_blank_lines_and_a_byte_order_mark_are_passed_over(job: Job) -> None:
    text = "\ufeff# taped on the slab side\n\nwall;at;outer\n# A-B\nA-B;2;0.5\n;;\n"
    (row,) = read(job, text)
    assert row.line == 5
    assert is_poured_book(text)


def test_an_interior_line_has_left_and_right(job: Job) -> None:
    (row,) = read(job, "on,station,left,right\nG,3,8in,8.5in\n")
    assert row.outer == pytest.approx(8 * INCH, rel=0, abs=1e-12)
    assert row.inner == pytest.approx(8.5 * INCH, rel=0, abs=1e-12)


def test_from_the_other_end_the_station_counts_back(job: Job) -> None:
    (row,) = read(job, "wall,at,outer\nC-B,4,6in\n")
    assert (row.where, row.station) == ("B-C", pytest.approx(20 * FOOT, rel=0, abs=1e-9))


def test_a_line_with_nothing_measured_is_passed_over(job: Job) -> None:
    rows = read(job, "wall,at,outer plan,outer\nA-B,2,6in,\nA-B,4,6in,6in\n")
    assert [row.line for row in rows] == [3]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("D-A,2,6in,", "poured.csv, line 2: D-A is not a wall or interior line of the job"),
        ("A-B,60,6in,", "poured.csv, line 2, at: 60 is not on A-B, which is 36' 0\" long"),
        ("A-B,2,,0", "poured.csv, line 2, thickness: 0 is not above zero"),
        ("A-B,2,24' 32',", "poured.csv, line 2, outer: "),
    ],
)
def test_a_fault_names_its_line_and_column(job: Job, line: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read(job, f"wall,at,outer,thickness\n{line}\n")
    assert str(caught.value).startswith(said)


def test_an_interior_line_ends_where_its_length_does(job: Job) -> None:
    # 14' from A and 22' from C, which is 14' from D, are opposite each other: 24' apart.
    # A footing runs on past its wall, which is allowed for by a metre, 3' 3".
    assert len(read(job, "on,station,left\nG,27,8in\n")) == 1
    with pytest.raises(InputError, match="is not on G, which is 24' 0\" long"):
        read(job, "on,station,left\nG,27.5,8in\n")


def test_a_column_given_twice_is_a_fault(job: Job) -> None:
    with pytest.raises(InputError, match="there are two columns outer; keep one"):
        read(job, "wall,at,outer,left\nA-B,2,6in,6in\n")


def test_books_are_told_apart_by_their_first_line() -> None:
    assert is_tape_book("from,to,distance\n")
    assert not is_poured_book("from,to,distance\n")
    assert not is_tape_book("point,northing,easting\n")


@pytest.mark.parametrize(
    "head", ["outer edge,inner edge", "Outer_Edge,Inner_Edge", "outside edge,inside edge"]
)
def test_edges_may_be_headed_as_edges(job: Job, head: str) -> None:
    (row,) = read(job, f"wall,at,{head}\nA-B,12,6in,14in\n")
    assert row.outer == pytest.approx(6 * INCH, rel=0, abs=1e-12)
    assert row.inner == pytest.approx(14 * INCH, rel=0, abs=1e-12)


def test_a_filled_column_that_is_not_known_is_refused(job: Job) -> None:
    text = "wall,at,outer,innner,widest,note\nA-B,12,6in,14in,,by the gate\nA-B,20,6in,14in,,\n"
    with pytest.raises(InputError, match="poured") as caught:
        read(job, text)
    assert str(caught.value) == (
        "poured.csv, line 1: the column innner is filled in and not known; call it inner; the "
        "columns are wall, at, outer, inner, top, down, thickness"
    )
