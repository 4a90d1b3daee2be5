"""What a corner's half page says, on the small layout made by hand."""

from __future__ import annotations

from dataclasses import replace

from staking.layout.layout_parts import Hub
from staking.notices import Severity, notice
from staking.output.blocks import Listing, Table
from staking.output.sheet.card.corner_card import boards_at, corner_sheets
from staking.output.sheet.card.corner_sketch import Sketch
from staking.project.sheets import Sheets

FT = 0.3048
IN = 0.0254


def corner(layout, name: str):
    return next(each for each in corner_sheets(Sheets(layout=layout)) if each.name == name)


def blocks(layout, name: str) -> dict[str, Table | Listing]:
    found = corner(layout, name)
    every = (found.nails, *found.narrow, *found.beside, *found.wide)
    return {block.title: block for block in every if block is not None}


def test_corners_come_in_the_plans_order_with_their_neighbours(small_layout):
    sheets = corner_sheets(Sheets(layout=small_layout))
    assert [each.title for each in sheets] == ["Corner A", "Corner B", "Corner C", "Corner D"]
    assert sheets[0].neighbours == "24' 0\" to B, 16' 0\" to D"


def test_nails_go_from_the_outside_in(small_layout):
    board = blocks(small_layout, "A")["Boards, nails from the outside in"]
    assert [each.heading for each in board.columns] == ["", "board 1"]
    assert board.rows == (
        ("string", "A-B"),
        ("stands", "4' 0\" past A"),
        ("outer footing edge", '6" out'),
        ("outside face", "on it"),
        ("inside face", '8" in'),
        ("inner footing edge", "1' 2\" in"),
    )


def test_a_corner_whose_string_has_no_board_beyond_it_is_given_the_other_one(small_layout):
    assert [board.name for board in boards_at(small_layout, "B")] == ["1"]
    assert boards_at(small_layout, "C") == ()
    assert "Boards, nails from the outside in" not in blocks(small_layout, "C")


def test_boards_with_unlike_nails_keep_each_its_own_order(small_layout):
    board = small_layout.boards[0]
    string = replace(
        small_layout.strings[0], name="A-D", walls=("D-A",), boards=("2", None),
        start=(0.0, -4 * FT), end=(0.0, 20 * FT),
    )  # fmt: skip
    other = replace(board, name="2", string="A-D", marks=board.marks[:2])
    layout = replace(small_layout, strings=(*small_layout.strings, string), boards=(board, other))
    table = blocks(layout, "A")["Boards, nails from the outside in"]
    assert table.rows[2:4] == (
        ("nail 1", 'outer footing edge: 6" out', "outside face: on it"),
        ("nail 2", "outside face: on it", 'inside face: 8" in'),
    )


def test_paint_is_given_for_the_two_walls_that_meet(small_layout):
    paint = blocks(small_layout, "A")["Paint, square from the string"]
    assert paint.rows == (("A-B", '6" out', "1' 2\" in"), ("D-A", '6" out', "1' 2\" in"))


def test_tapes_are_those_of_the_corner_and_leave_room_to_write(small_layout):
    tapes = blocks(small_layout, "A")["Tape"]
    assert tapes.rows == (
        ("side to B", "24' 0\"", '1/4"', "", "", ""),
        ("right angle: 9' 0\" toward B, 12' 0\" toward D", "15' 0\"", '1/8"', "", "", ""),
    )
    assert blocks(small_layout, "B")["Tape"].rows == (("side to A", "24' 0\"", '1/4"', "", "", ""),)


def test_hubs_are_measured_from_the_corner(small_layout):
    assert blocks(small_layout, "A")["Hubs"].rows == (("hub on A-B", "6' 0\""),)
    far = replace(small_layout, hubs=(Hub(corner="C", wall="B-C", x=24 * FT, y=20 * FT),))
    assert blocks(far, "C")["Hubs"].rows == (("hub on B-C", "4' 0\""),)


def test_only_what_touches_the_corner_clashes_there(small_layout):
    told = (
        notice("x", "{walls} clash", walls="A-B, B-C"),
        notice("x", "board {board} clashes", board="1"),
        notice("x", "driven there: {stakes}", stakes="board 9, the hub of A on A-B"),
        notice("x", "only a note on {wall}", severity=Severity.NOTE, wall="D-A"),
        notice("x", "{corner} is elsewhere", corner="C"),
        notice("x", "no hub for {places}", places="C on B-C, A on D-A"),
    )
    layout = replace(small_layout, notices=told)
    assert blocks(layout, "A")["Clashes"].lines == (
        "A-B, B-C clash.",
        "board 1 clashes.",
        "driven there: board 9, the hub of A on A-B.",
        "no hub for C on B-C, A on D-A.",
    )
    assert "Clashes" not in blocks(layout, "D")


def test_a_string_tied_to_a_building_is_said_at_the_corner_where_it_ends(small_layout):
    tied = notice(
        "string-on-building",
        "string {string} ends at {end} at a mark on the standing building",
        severity=Severity.NOTE,
        string="A-B",
        end="A",
    )
    layout = replace(small_layout, notices=(tied,))
    said = "string A-B ends at A at a mark on the standing building."
    assert blocks(layout, "A")["Without a board"].lines == (said,)
    assert "Without a board" not in blocks(layout, "B")


def test_the_sketch_keeps_its_words_inside_and_apart(small_layout):
    for sheet in corner_sheets(Sheets(layout=small_layout)):
        picture = Sketch(small_layout, sheet, 54.0, 54.0).draw()
        names = [word.text for word in picture.words]
        assert sheet.name in names
        assert sum(name.startswith("to ") for name in names) == 2
        for word in picture.words:
            assert all(0 < x < 54 and 0 < y < 54 for x, y in word.ground)


def test_the_sketch_is_to_the_scale_it_states(small_layout):
    sketch = Sketch(small_layout, corner(small_layout, "A"), 54.0, 54.0)
    picture = sketch.draw()
    board = next(
        stroke for stroke in picture.strokes if len(stroke.points) == 2 and stroke.width == 0.7
    )
    (x1, y1), (x2, y2) = board.points
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    # From 1 ft below the string to 20" above it.
    assert abs(length * sketch.ratio - 32 * 25.4) < 0.5
