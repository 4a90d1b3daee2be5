"""Boards by number: on which string, where, with which nails."""

from __future__ import annotations

import re

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, Rows, run_on

NAILS = "Nails, in order across the board"
TITLE = "Boards, with their nails in order across the board"


def in_document(papers: Papers) -> Said:
    return {
        board["name"]: f"{board['string']} {papers.shown(board['stand_off'])}"
        for board in papers.layout["boards"]
    }


def _of_rows(rows: Rows) -> Said:
    return {row[0]: f"{row[1]} {row[2].partition(' past')[0]}" for row in rows if row[0]}


def on_terminal(papers: Papers) -> Said:
    return _of_rows(papers.terminal_table("layout", "Boards"))


def on_page(papers: Papers) -> Said:
    return _of_rows(papers.page_table(TITLE))


def on_sheet(papers: Papers) -> Said:
    """What the cards say over and under each board; every card that has it says the same."""
    found: Said = {}
    for card in papers.cards:
        for number, board in card.boards().items():
            said = f"{board.string} {board.said('stands').partition(' past')[0]}"
            assert found.setdefault(number, said) == said
    return found


def in_plan(papers: Papers) -> Said:
    found: Said = {}
    for step in papers.work["steps"]:
        if step["part"] != "Boards":
            continue
        string, _, said = step["text"].partition(": ")
        for number, place in re.findall(r"board (\d+) stands (.*?) past", said):
            found[number] = f"{string} {place}"
    return found


def ends_in_document(papers: Papers) -> Said:
    return {
        string["name"]: " - ".join(str(name) for name in string["boards"])
        for string in papers.layout["strings"]
    }


def ends_of_boards(papers: Papers) -> Said:
    """The same from the boards' side: a string's end without a board is None in both."""
    by_string: dict[str, set[str]] = {s["name"]: set() for s in papers.layout["strings"]}
    for board in papers.layout["boards"]:
        by_string[board["string"]].add(board["name"])
    found: Said = {}
    for string in papers.layout["strings"]:
        own = [name if name in by_string[string["name"]] else None for name in string["boards"]]
        assert by_string[string["name"]] == {name for name in own if name is not None}
        found[string["name"]] = " - ".join(str(name) for name in own)
    return found


def ends_on_terminal(papers: Papers) -> Said:
    return _ends(papers.terminal_table("layout", "Strings"))


def ends_on_page(papers: Papers) -> Said:
    return _ends(papers.page_table("Strings", first="string"))


def _ends(rows: Rows) -> Said:
    return {
        row[0]: " - ".join(
            {"no board": "None"}.get(cell, cell.removeprefix("board ")) for cell in row[2:4]
        )
        for row in rows
        if row[0]
    }


def nails_in_document(papers: Papers) -> Said:
    lines = {string["name"]: string["line"] for string in papers.layout["strings"]}
    found: Said = {}
    for board in papers.layout["boards"]:
        for mark in board["marks"]:
            found[f"{board['name']} {mark['mark']} {mark['wall']}"] = _offset(
                papers, lines[board["string"]], mark["offset"]
            )
    return found


def _offset(papers: Papers, line: str, offset: float) -> str:
    if abs(offset) < 1e-5:
        return "on it"
    sides = ("out", "in") if line == "outside face" else ("right", "left")
    return f"{papers.shown(abs(offset))} {sides[offset < 0]}"


def _nails_of_rows(papers: Papers, rows: Rows) -> Said:
    # a nail whose face all walls of its string share stands without its wall
    walls: dict[tuple[str, str], list[str]] = {}
    for board in papers.layout["boards"]:
        for mark in board["marks"]:
            walls.setdefault((board["name"], mark["mark"]), []).append(mark["wall"])
    found: Said = {}
    number = ""
    for row in rows:
        number = row[0] or number
        nail, offset = row[4], row[5]
        if not nail or not offset:
            continue
        named = [key for key in walls if key[0] == number and nail in _called(key[1], walls[key])]
        assert len(named) == 1, (number, nail)
        mark = named[0][1]
        own = nail.removeprefix(mark).strip() or walls[named[0]][0]
        found[f"{number} {mark} {own}"] = offset
    return found


def _called(mark: str, walls: list[str]) -> set[str]:
    return {mark} | {f"{mark} {wall}" for wall in walls}


def nails_on_terminal(papers: Papers) -> Said:
    """The nails of boards that are alike stand once, several at one place as one nail."""
    lines = {string["name"]: string["line"] for string in papers.layout["strings"]}
    found: Said = {}
    boards: list[str] = []
    for row in run_on(papers.terminal_table("layout", NAILS), 2):
        boards = row[0].split(", ") if row[0] else boards
        for name in boards:
            board = next(each for each in papers.layout["boards"] if each["name"] == name)
            for mark in board["marks"]:
                offset = _offset(papers, lines[board["string"]], mark["offset"])
                walls = {each["wall"] for each in board["marks"] if each["mark"] == mark["mark"]}
                named = row[1].endswith(mark["wall"]) or len(walls) == 1 or offset == row[2]
                if mark["mark"] in row[1] and named and offset == row[2]:
                    found[f"{name} {mark['mark']} {mark['wall']}"] = row[2]
    return found


def nails_on_page(papers: Papers) -> Said:
    return _nails_of_rows(papers, papers.page_table(TITLE))


def nails_on_sheet(papers: Papers) -> Said:
    """The nails on the cards, board by board; those of one face that differ by wall name it."""
    found: Said = {}
    for card in papers.cards:
        for number, board in card.boards().items():
            seen: Said = {}
            for label, cell in board.rows:
                # Where two boards have unlike nails, name and offset stand in one cell.
                unlike = label.startswith("nail ")
                name, offset = cell.rpartition(": ")[::2] if unlike else (label, cell)
                named = _nail_of(papers, number, name)
                if named is not None and offset:
                    seen[f"{number} {named}"] = offset
            for key, offset in seen.items():
                assert found.setdefault(key, offset) == offset
    return found


def _nail_of(papers: Papers, number: str, name: str) -> str | None:
    board = next(each for each in papers.layout["boards"] if each["name"] == number)
    walls: dict[str, set[str]] = {}
    for mark in board["marks"]:
        walls.setdefault(mark["mark"], set()).add(mark["wall"])
    found = [
        f"{mark} {wall}"
        for mark, of in walls.items()
        for wall in of
        if name == (mark if len(of) == 1 else f"{mark} {wall}")
    ]
    return found[0] if found else None


def nail_places_in_document(papers: Papers) -> Said:
    return {
        f"{board['name']} {mark['mark']} {mark['wall']}": ""
        for board in papers.layout["boards"]
        for mark in board["marks"]
    }


def nails_in_points(papers: Papers) -> Said:
    """The names of the nails in points.csv."""
    return {
        row["description"].removeprefix("board "): ""
        for row in papers.points
        if re.fullmatch(r"board_\d+_mark_\d+(_\d+)?", row["point"])
    }


def nails_checked(papers: Papers) -> Said:
    """What ``staking check`` calls the nails of points.csv; each stands where it belongs."""
    nails = papers.checked_stakes["stakes"]["nails"]
    assert all(nail["good"] for nail in nails)
    return {f"{nail['board']} {nail['mark']} {nail['wall']}": "" for nail in nails}


FACTS += [
    Fact(
        name="board",
        truth=in_document,
        outputs={
            "terminal": on_terminal,
            "page": on_page,
            "sheet": on_sheet,
            "plan": in_plan,
        },
    ),
    Fact(
        name="boards of a string",
        truth=ends_in_document,
        outputs={
            "boards": ends_of_boards,
            "terminal": ends_on_terminal,
            "page": ends_on_page,
        },
    ),
    Fact(
        name="nail",
        truth=nails_in_document,
        outputs={
            "terminal": nails_on_terminal,
            "page": nails_on_page,
            "sheet": nails_on_sheet,
        },
    ),
    Fact(
        name="name of a nail",
        truth=nail_places_in_document,
        outputs={"points": nails_in_points, "check": nails_checked},
    ),
]
