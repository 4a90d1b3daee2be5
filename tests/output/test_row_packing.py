"""Pieces in rows: each once, none over the edge, as few rows as any way takes."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from staking.output.profile.on_paper.row_packing import PieceInRow, packed

WIDTH, BETWEEN = 194.0, 5.0


def fewest(widths: list[float]) -> int:
    """The fewest rows, by putting each piece into every row that has room for it."""
    best = len(widths)

    def put(at: int, rows: list[float]) -> None:
        nonlocal best
        if len(rows) >= best and at < len(widths):
            return
        if at == len(widths):
            best = min(best, len(rows))
            return
        for i, taken in enumerate(rows):
            if taken + BETWEEN + widths[at] <= WIDTH:
                put(at + 1, [*rows[:i], taken + BETWEEN + widths[at], *rows[i + 1 :]])
        put(at + 1, [*rows, widths[at]])

    put(0, [])
    return best


@given(st.lists(st.integers(40, 150), min_size=1, max_size=7))
def test_up_to_seven_pieces_take_the_fewest_rows(widths: list[int]) -> None:
    pieces = [PieceInRow(width=float(each), length=each / 10) for each in widths]
    rows = packed(pieces, WIDTH, BETWEEN)
    assert sorted(at for row in rows for at in row) == list(range(len(widths)))
    for row in rows:
        assert sum(widths[at] for at in row) + BETWEEN * (len(row) - 1) <= WIDTH
    assert len(rows) == fewest([float(each) for each in widths])


@given(st.lists(st.integers(40, 250), min_size=8, max_size=20))
def test_many_pieces_stand_once_each_and_rows_begin_in_order(widths: list[int]) -> None:
    pieces = [PieceInRow(width=float(each), length=each / 10) for each in widths]
    rows = packed(pieces, WIDTH, BETWEEN)
    assert sorted(at for row in rows for at in row) == list(range(len(widths)))
    firsts = [row[0] for row in rows]
    assert firsts == sorted(firsts)
    assert all(row == sorted(row) for row in rows)
