"""What a card says, on the small layout made by hand."""

from __future__ import annotations

from dataclasses import replace

from staking.laid_out.cards import Card, CardKind, cards
from staking.laid_out.first_things import first_things
from staking.layout.layout_parts import Hub
from staking.notices import Severity, notice
from staking.output.blocks import Table
from staking.output.drawing.drawn_words import Box
from staking.output.sheet.card.card_words import CardWords, card_words
from staking.output.sheet.card.place_sketch import CardSketch
from staking.output.sheet.card.plan_of_cards import EdgeKind, PlanOfCards
from staking.project.sheets import Sheets

FT = 0.3048
IN = 0.0254


def card(layout, name: str) -> Card:
    return next(each for each in cards(layout) if each.name == name)


def said(layout, name: str) -> CardWords:
    return card_words(Sheets(layout=layout, first=first_things(layout)), card(layout, name))


def table(layout, name: str, heading: str) -> Table | None:
    words = said(layout, name)
    every = (*words.small, *words.wide)
    return next((each for each in every if each.columns[0].heading.startswith(heading)), None)


def test_cards_come_in_the_plans_order_then_lines_then_pads(small_layout):
    found = cards(small_layout)
    assert [each.name for each in found] == ["A", "B", "C", "D", "G", "P1"]
    assert [each.kind for each in found] == [
        *[CardKind.CORNER] * 4, CardKind.INTERIOR_LINE, CardKind.PADS,
    ]  # fmt: skip
    assert all(each.in_rectangle for each in found[:4])
    assert [each.name for each in found[0].neighbours] == ["B", "D"]
    assert [each.distance for each in found[0].neighbours] == [24 * FT, 16 * FT]


def test_nails_go_from_the_outside_in(small_layout):
    board = table(small_layout, "A", "Nails")
    assert [each.heading for each in board.columns] == ["Nails, outside in", "board 1, A-B"]
    assert board.rows == (
        ("stands", "4' 0\" past here"),
        ("outer footing edge", '6" out'),
        ("outside face", "on it"),
        ("inside face", '8" in'),
        ("inner footing edge", "1' 2\" in"),
    )


def test_a_corner_whose_string_has_no_board_beyond_it_is_given_the_other_one(small_layout):
    assert [board.name for board in card(small_layout, "B").boards] == ["1"]
    assert card(small_layout, "C").boards == ()
    assert table(small_layout, "C", "Nails") is None


def test_boards_with_unlike_nails_keep_each_its_own_order(small_layout):
    board = small_layout.boards[0]
    string = replace(
        small_layout.strings[0], name="A-D", walls=("D-A",), boards=("2", None),
        start=(0.0, -4 * FT), end=(0.0, 20 * FT),
    )  # fmt: skip
    other = replace(board, name="2", string="A-D", marks=board.marks[:2])
    layout = replace(small_layout, strings=(*small_layout.strings, string), boards=(board, other))
    assert table(layout, "A", "Nails").rows[1:3] == (
        ("nail 1", 'outer footing edge: 6" out', "outside face: on it"),
        ("nail 2", "outside face: on it", 'inside face: 8" in'),
    )


def test_paint_is_given_for_the_two_walls_that_meet(small_layout):
    rows = table(small_layout, "A", "Paint").rows
    assert rows == (("A-B", '6" out', "1' 2\" in"), ("D-A", '6" out', "1' 2\" in"))


def test_a_tape_stands_on_the_card_it_is_hooked_on_alone(small_layout):
    assert table(small_layout, "A", "Tape").rows == (
        ("3-4-5: 9' 0\" to B, 12' 0\" to D", "15' 0\"", '1/8"', "", "", ""),
    )
    assert table(small_layout, "B", "Tape").rows == (("side to A", "24' 0\"", '1/4"', "", "", ""),)


def test_hubs_are_measured_from_the_corner(small_layout):
    assert table(small_layout, "A", "Hubs").rows == (("hub on A-B", "6' 0\""),)
    far = replace(small_layout, hubs=(Hub(corner="C", wall="B-C", x=24 * FT, y=20 * FT),))
    assert table(far, "C", "Hubs").rows == (("hub on B-C", "4' 0\""),)
    assert card(far, "C").hubs[0].away_from == "B"


def test_each_card_says_how_its_place_is_found_again(small_layout):
    (how,) = (each for each in said(small_layout, "A").said if each.startswith("Stake gone"))
    assert how == "Stake gone: tape back from a hub in line with the wall's other corner."


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
    assert said(layout, "A").said[-4:] == (
        "A-B, B-C clash.",
        "Board 1 clashes.",
        "Driven there: board 9, the hub of A on A-B.",
        "No hub for C on B-C, A on D-A.",
    )
    assert not any("clash" in each for each in said(layout, "D").said)


def test_a_string_tied_to_a_building_is_said_at_the_corner_where_it_ends(small_layout):
    tied = notice(
        "string-on-building",
        "string {string} ends at {end} at a mark on the standing building",
        severity=Severity.NOTE,
        string="A-B",
        end="A",
    )
    layout = replace(small_layout, notices=(tied,))
    sentence = "String A-B ends at A at a mark on the standing building."
    assert sentence in said(layout, "A").said
    assert sentence not in said(layout, "B").said


def test_the_sketch_keeps_its_words_inside_and_apart(small_layout):
    for each in cards(small_layout):
        picture = CardSketch(PlanOfCards(small_layout), each, 54.0, 54.0).draw()
        names = [word.text for word in picture.words]
        assert each.name in names
        if each.kind is CardKind.CORNER:
            assert sum(name.startswith("to ") for name in names) == 2
        for word in picture.words:
            assert all(0 < x < 54 and 0 < y < 54 for x, y in word.ground)


def test_the_sketch_is_to_the_scale_it_states(small_layout):
    sketch = CardSketch(PlanOfCards(small_layout), card(small_layout, "A"), 54.0, 54.0)
    picture = sketch.draw()
    board = next(
        stroke for stroke in picture.strokes if len(stroke.points) == 2 and stroke.width == 0.7
    )
    (x1, y1), (x2, y2) = board.points
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    # From 1 ft below the string to 20" above it.
    assert abs(length * sketch.ratio - 32 * 25.4) < 0.5


def test_a_sketch_is_cut_from_the_sides_that_come_into_it(small_layout):
    plan = PlanOfCards(small_layout)
    whole = {each.kind: each for each in plan.near(Box(x=0.0, y=0.0, width=500.0, height=500.0))}
    assert all(each.closed for each in whole.values())
    assert whole[EdgeKind.FOOTING].points == tuple(small_layout.footing.outlines[0])
    x, y = small_layout.plan.buildings[0].corners[0].point
    near = list(plan.near(Box(x=x, y=y, width=1.0, height=1.0)))
    footing = next(each for each in near if each.kind is EdgeKind.FOOTING)
    assert not footing.closed
    # The sides that meet at the corner, the first of the ring among them, are one chain.
    assert len(footing.points) == 3
    assert list(plan.near(Box(x=x + 500.0, y=y, width=1.0, height=1.0))) == []
