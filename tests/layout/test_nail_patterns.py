"""What boards have in common, on boards made by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.kinds import StringKind, StringLine
from staking.layout.layout_parts import Board, Mark, String
from staking.layout.nail_patterns import board_front, boards_alike

STRING = String(
    name="A-B", line=StringLine.OUTSIDE_FACE, kind=StringKind.WALL, walls=("A-B",),
    start=(-2.0, 0.0), end=(12.0, 0.0), length=14.0, boards=("1", "2"), passes=(),
)  # fmt: skip


def board(name: str, x: float, stand_off: float = 2.0, walls: tuple[str, ...] = ("A-B",)) -> Board:
    offsets = (("outer footing edge", 0.15), ("outside face", 0.0), ("inside face", -0.2))
    return Board(
        name=name, string="A-B", end="A", past="A", x=x, y=0.0, stand_off=stand_off, clear=1.0,
        ends=((x, -0.5), (x, 0.7)),
        marks=tuple(
            Mark(mark=mark, wall=wall, offset=offset - 0.05 * at, x=x, y=-offset + 0.05 * at)
            for at, wall in enumerate(walls)
            for mark, offset in offsets
        ),
    )  # fmt: skip


def test_boards_with_the_same_nails_are_one_pattern_and_exceptions_stand_apart():
    boards = (board("1", -2.0), board("2", 12.0), board("3", -3.0, stand_off=3.0))
    found = boards_alike(boards, (STRING,))
    assert found is not None
    (pattern,) = found.patterns
    assert pattern.boards == ("1", "2", "3")
    assert [nail.mark for nail in pattern.nails] == [
        "outer footing edge", "outside face", "inside face",
    ]  # fmt: skip
    assert found.stand_off == 2.0
    assert [each.name for each in found.others] == ["3"]
    assert boards_alike((), (STRING,)) is None


def test_walls_are_named_only_where_a_nail_would_mean_two():
    same = board("1", -2.0)
    doubled = replace(same, marks=(*same.marks, *(replace(m, wall="C-D") for m in same.marks)))
    found = boards_alike((doubled,), (STRING,))
    assert found is not None
    assert [nail.walls for nail in found.patterns[0].nails] == [(), (), ()]
    apart = boards_alike((board("1", -2.0, walls=("A-B", "C-D")),), (STRING,))
    assert apart is not None
    assert ("A-B",) in [nail.walls for nail in apart.patterns[0].nails]


def test_the_two_dig_lines_of_one_wall_are_told_apart_by_their_sides():
    def with_dig_lines(name: str, wall: str) -> Board:
        bare = board(name, -2.0, walls=(wall,))
        sides = (replace(bare.marks[0], mark="dig line", offset=each) for each in (0.2, -0.5))
        return replace(bare, marks=(*bare.marks, *sides))

    found = boards_alike((with_dig_lines("1", "A-B"), with_dig_lines("2", "B-C")), (STRING,))
    assert found is not None
    (pattern,) = found.patterns
    assert pattern.boards == ("1", "2")
    assert not any(nail.walls for nail in pattern.nails)


def test_a_board_is_seen_from_the_building_its_left_end_on_the_left_hand():
    # At the string's start one looks toward minus x: plus y is then on the right hand.
    first = board_front(board("1", -2.0), STRING)
    assert first.length == pytest.approx(1.2, rel=0, abs=1e-12)
    assert first.string == pytest.approx(0.5, rel=0, abs=1e-12)
    assert [place for place, _ in first.nails] == pytest.approx([0.35, 0.5, 0.7], rel=0, abs=1e-12)
    # At its end one looks toward plus x: plus y is on the left.
    last = board_front(board("2", 12.0), STRING)
    assert last.string == pytest.approx(0.7, rel=0, abs=1e-12)
    assert [place for place, _ in last.nails] == pytest.approx([0.5, 0.7, 0.85], rel=0, abs=1e-12)
