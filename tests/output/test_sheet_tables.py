from __future__ import annotations

import pytest
from reportlab.platypus import Spacer

from staking.output.blocks import Column, Listing, Table
from staking.output.sheet.sheet_tables import (
    broken,
    flow,
    listing,
    natural_width,
    table,
    unbroken_width,
)
from staking.output.sheet.two_columns import TwoColumns

WIDTH = 500.0


def plain(rows, headings=("board", "stands", "nail")) -> Table:
    return Table(
        title="Boards", columns=tuple(Column(heading=each) for each in headings), rows=tuple(rows)
    )


def test_lines_break_at_spaces_but_not_inside_a_length():
    rows = broken("stands 24' 6 1/2\" past the corner A", "Helvetica", 10, 62)
    assert rows[0] == "stands"
    assert "24' 6 1/2\"" in rows
    assert " ".join(rows) == "stands 24' 6 1/2\" past the corner A"


def test_narrow_columns_break_between_words_and_never_inside_a_length():
    length = "10' 4 11/16\""
    pads = plain([("Porch 1 of the row", "corner A on the wall A-B", f"{length} out")])
    whole, least = natural_width(pads, 11), unbroken_width(pads, 11)
    assert least < whole
    for width in (whole, (whole + least) / 2, least):
        made = table(pads, width, 11)
        assert sum(made._colWidths) <= width + 0.01
        cells = [cell for row in made._cellvalues for cell in row]
        assert any(length in cell.split("\n") or f"{length} out" == cell for cell in cells)


def test_a_word_longer_than_the_line_is_broken():
    rows = broken("x" * 60, "Helvetica", 10, 100)
    assert len(rows) > 1
    assert "".join(rows) == "x" * 60


def test_a_table_is_never_wider_than_its_room():
    long = plain([("1", "word " * 60, "nail " * 60)])
    assert table(long, WIDTH).wrap(WIDTH, 1000)[0] <= WIDTH + 0.01


def test_a_table_repeats_its_title_and_headings_on_the_next_page():
    made = table(plain([(str(i), "here", "there") for i in range(40)]), WIDTH)
    made.wrap(WIDTH, 10000)
    first, second = made.split(WIDTH, 200)
    assert first._cellvalues[0][0] == second._cellvalues[0][0] == "Boards"
    assert second._cellvalues[1] == ["board", "stands", "nail"]


def test_rows_that_go_on_with_the_one_above_stay_with_it():
    rows = [row for i in range(10) for row in ((str(i), "a", "b"), ("", "c", "d"), ("", "e", "f"))]
    made = table(plain(rows), WIDTH)
    made.wrap(WIDTH, 10000)
    for room in range(90, 300, 7):
        parts = made.split(WIDTH, room)
        if len(parts) == 2:
            assert parts[1]._cellvalues[2][0]


def test_a_cell_taller_than_a_page_goes_on_in_another_row():
    made = table(plain([("1", "word " * 3000, "nail")]), WIDTH)
    made.wrap(WIDTH, 10000)
    assert max(made._rowHeights) < 500
    text = " ".join(row[1] for row in made._cellvalues)
    assert text.count("word") == 3000


def test_a_sentence_taller_than_a_page_goes_on_in_another_row():
    made = listing(Listing(title="Noted", lines=("word " * 3000,)), WIDTH)
    made.wrap(WIDTH, 10000)
    assert max(made._rowHeights) < 600


def test_narrow_tables_stand_beside_one_another():
    blocks = [plain([("1", "a", "b")]), plain([("2", "c", "d")])]
    made = list(flow(blocks, WIDTH))
    assert isinstance(made[0], TwoColumns)
    height = made[0].wrap(WIDTH, 700)[1]
    assert height < 1.2 * table(blocks[0], WIDTH).wrap(WIDTH, 700)[1]


def test_two_columns_part_between_pages_and_lose_no_row():
    rows = [(str(i), "here", "there") for i in range(200)]
    (columns, _) = flow([plain(rows)], WIDTH)
    assert columns.wrap(WIDTH, 400)[1] > 400
    parts, pages = [columns], 0
    found: list[str] = []
    while parts:
        part = parts.pop(0)
        if part.wrap(WIDTH, 400)[1] > 400:
            parts = part.split(WIDTH, 400) + parts
            pages += 1
            assert pages < 20
            continue
        held = part._columns if hasattr(part, "_columns") else part._placed
        found += [row[0] for column in held for piece in column for row in piece._cellvalues[2:]]
    assert found == [row[0] for row in rows]


def test_two_columns_leave_a_short_foot_of_a_page_alone():
    (columns, _) = flow([plain([(str(i), "a", "b") for i in range(200)])], WIDTH)
    columns.wrap(WIDTH, 100)
    assert columns.split(WIDTH, 100) == []


@pytest.mark.parametrize("tick", [True, False])
def test_a_list_takes_the_width_it_is_given(tick):
    made = listing(Listing(title="Before", lines=("one thing", "another")), WIDTH, tick=tick)
    assert made.wrap(WIDTH, 700)[0] == WIDTH
    assert not isinstance(made, Spacer)


def test_two_columns_that_just_fit_are_not_put_off_to_the_next_page():
    (columns, _) = flow([plain([(str(i), "a", "b") for i in range(60)])], WIDTH)
    least = columns.wrap(WIDTH, 10000)[1]
    assert columns.wrap(WIDTH, least + 0.1)[1] <= least + 0.1
