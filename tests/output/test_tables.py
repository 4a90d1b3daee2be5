"""The tables as a builder reads them in a pipe and on a terminal."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest

from staking.footing.bands_and_outlines import Outline
from staking.kinds import StringKind
from staking.laid_out.layout_value import Layout
from staking.layout.layout_parts import Mark
from staking.notices import Severity, notice
from staking.output.blocks import Listing, Table
from staking.output.tables.layout_tables import layout_blocks
from staking.output.tables.notice_listings import notice_blocks
from staking.output.terminal import plain, print_blocks
from staking.output.wording import Words
from staking.plan import Dig


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def shown(layout: Layout) -> str:
    stream = io.StringIO()
    print_blocks(layout_blocks(layout), stream)
    return stream.getvalue()


def table(layout: Layout, start: str) -> Table:
    return next(
        block
        for block in layout_blocks(layout)
        if isinstance(block, Table) and block.title.startswith(start)
    )


def test_the_parts_come_in_the_order_of_the_work(small_layout: Layout) -> None:
    text = shown(small_layout)
    order = [
        "corners at",
        "Tape these",
        "19 times in 20",
        "Hubs",
        "Boards",
        "Strings",
        "Paint",
        "Pads",
        "Before you dig",
    ]
    places = [text.index(part) for part in order]
    assert places == sorted(places)


def test_no_line_is_wider_than_eighty_columns(small_layout: Layout) -> None:
    assert max(map(len, shown(small_layout).splitlines())) <= 80


def test_long_cells_wrap_and_lose_nothing(small_layout: Layout) -> None:
    string = replace(small_layout.strings[0], passes=small_layout.strings[0].passes * 9)
    text = shown(replace(small_layout, strings=(string,)))
    assert max(map(len, text.splitlines())) <= 80
    strings = text[text.index("Strings") : text.index("Paint")]
    words = " ".join(line[49:] for line in strings.splitlines()).split()
    assert words.count("28'") == 9
    assert words.count("A") == 9


def test_the_drawn_tables_hold_to_eighty_columns_and_ignore_markup(
    small_layout: Layout, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TERM", "dumb")
    plan = replace(small_layout.plan, job="[red]shed[/red]\x1b[2J")
    screen = Screen()
    print_blocks(layout_blocks(replace(small_layout, plan=plan)), screen)
    text = screen.getvalue()
    assert "[red]shed[/red]?[2J" in text
    assert max(map(len, text.splitlines())) <= 80
    assert "24' 0\"" in text


def test_a_string_names_its_boards_or_says_there_is_none(small_layout: Layout) -> None:
    (row,) = table(small_layout, "Strings").rows
    assert row[2:5] == ("board 1", "no board", "32' 0\"")
    assert row[5] == "A at 4' 0\", B at 28' 0\""


def test_nails_come_in_order_across_the_board_with_out_and_in(small_layout: Layout) -> None:
    nails = [(row[4], row[5]) for row in table(small_layout, "Boards").rows]
    assert nails == [
        ("outer footing edge", '6" out'),
        ("outside face", "on it"),
        ("inside face", '8" in'),
        ("inner footing edge", "1' 2\" in"),
    ]
    assert table(small_layout, "Boards").rows[0][:4] == ("1", "A-B", "4' 0\" past A", "3' 6\"")


def test_nails_on_a_centre_line_go_from_left_to_right(small_layout: Layout) -> None:
    string = replace(small_layout.strings[0], kind=StringKind.INTERIOR, name="G", walls=("G",))
    marks = tuple(
        Mark(mark=name, wall="G", offset=inches * 0.0254, x=0.0, y=0.0)
        for name, inches in (("centre", 0), ("right face", 4), ("left face", -4))
    )
    board = replace(small_layout.boards[0], string="G", marks=marks)
    layout = replace(small_layout, strings=(string,), boards=(board,))
    assert [row[4:] for row in table(layout, "Boards").rows] == [
        ("left face", '4" left'),
        ("centre", "on it"),
        ("right face", '4" right'),
    ]


def test_paint_says_how_far_out_and_in_each_footing_edge_is(small_layout: Layout) -> None:
    rows = {row[0]: row[1:] for row in table(small_layout, "Measured square").rows}
    assert rows["A-B"] == ('6" out', "1' 2\" in")
    assert rows["G"] == ('8" right', '8" left')
    assert "Paint the footing edges" in shown(small_layout)


def test_the_dig_line_is_painted_first_where_it_differs(small_layout: Layout) -> None:
    dug = Outline(outlines=small_layout.dig.outlines, holes=(), area=200 * 0.3048**2)
    options = replace(small_layout.options, dig=Dig(overdig=6 * 0.0254))
    layout = replace(small_layout, dig=dug, options=options)
    assert "Paint the dig line first" in shown(layout)
    rows = {row[0]: row[1:] for row in table(layout, "Measured square").rows}
    assert rows["A-B"] == ("1' 0\" out", "1' 8\" in", '6" out', "1' 2\" in")
    assert table(layout, "Pads").rows[0][3:] == ("3' 0\" x 3' 0\"", "2' 0\" x 2' 0\"")


def test_a_check_says_what_the_tape_reads_and_what_is_allowed(small_layout: Layout) -> None:
    assert table(small_layout, "Tape these").rows == (
        ("side", "A - B", "24' 0\"", '1/4"'),
        ("right angle", "at A: 9' 0\" toward B, 12' 0\" toward D", "15' 0\"", '1/8"'),
    )


def test_a_hub_is_given_from_its_corner_and_a_stake_by_its_radius(small_layout: Layout) -> None:
    assert table(small_layout, "Hubs").rows[0][:3] == ("A", "A-B", "6' 0\"")
    assert table(small_layout, "How near").rows == (("A", '1/4"'), ("B", "not fixed"))


def test_notices_are_grouped_the_gravest_first_and_said_once(small_layout: Layout) -> None:
    told = (
        notice("b", "second", severity=Severity.NOTE),
        notice("w", "first"),
        notice("w", "first"),
        notice("z", "gone", severity=Severity.BROKEN),
    )
    listings = notice_blocks(told, Words(small_layout.options))
    assert [(each.title, each.lines) for each in listings] == [
        ("Broken", ("Gone.",)),
        ("Look at these", ("First.",)),
        ("Noted", ("Second.",)),
    ]


def test_a_list_wraps_with_its_lines_hanging(small_layout: Layout) -> None:
    (listing,) = notice_blocks((notice("w", "word " * 40 + "end"),), Words(small_layout.options))
    lines = plain(listing)
    assert lines[1].startswith("- Word")
    assert lines[2].startswith("  word")
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("width", range(30, 60))
def test_no_line_ends_within_a_length(width: int) -> None:
    text = "F-A: board 12 stands 40' 11 15/16\" past it, 4' 9\" below, for 226.22 sq ft in all."
    lines = plain(Listing(title="", lines=(text,)), width)[1:]
    assert " ".join(line.strip("- ") for line in lines) == text
    for whole in ("40' 11 15/16\"", "4' 9\"", "226.22 sq ft"):
        assert any(whole in line for line in lines)
