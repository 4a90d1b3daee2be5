"""Heights of boards, lower strings, and what to add to the rod's reading on the benchmark."""

from __future__ import annotations

import re

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, Rows
from tests.output.profile_reading import read_profiles

BOARDS = "Boards, all tops level with the strings"
RODS = "What the rod must read"
WORDS = {"top of footing": "footing top", "dig level": "dig"}
"""What the page's list calls otherwise than the table."""


def has_levels(papers: Papers) -> bool:
    return papers.has_levels


def has_boards(papers: Papers) -> bool:
    """Whether the job says how high its strings are."""
    return papers.has_levels and bool(heights_in_document(papers))


def has_lower_strings(papers: Papers) -> bool:
    return papers.has_levels and bool(lower_in_document(papers))


def heights_in_document(papers: Papers) -> Said:
    assert papers.grade is not None
    return {
        each["board"]: " ".join(
            "" if each[key] is None else papers.shown(each[key])
            for key in ("ground", "top", "height", "tier")
        ).strip()
        for each in papers.grade["boards"]
    }


def _heights_of_rows(rows: Rows) -> Said:
    return {row[0]: " ".join(row[1:5]).strip() for row in rows}


def heights_on_terminal(papers: Papers) -> Said:
    return _heights_of_rows(papers.terminal_table("grade", BOARDS))


def heights_on_page(papers: Papers) -> Said:
    return _heights_of_rows(papers.page_table(BOARDS))


def heights_over_ground(papers: Papers) -> Said:
    """How high each board stands, of those whose ground is known."""
    assert papers.grade is not None
    return {
        each["board"]: papers.shown(each["height"])
        for each in papers.grade["boards"]
        if each["height"] is not None
    }


def heights_in_plan(papers: Papers) -> Said:
    found: Said = {}
    for text in _board_steps(papers):
        found |= dict(re.findall(r"board (\d+) stands [^;]*?its top (.*?) above the ground", text))
    return found


def _board_steps(papers: Papers) -> list[str]:
    return [step["text"] for step in papers.work["steps"] if step["part"] == "Boards"]


def lower_in_document(papers: Papers) -> Said:
    assert papers.grade is not None
    return {
        each["board"]: papers.shown(each["tier"])
        for each in papers.grade["boards"]
        if each["tier"] is not None
    }


def lower_in_rods(papers: Papers) -> Said:
    """The lower strings among the levels that the rod sets."""
    assert papers.grade is not None
    return {
        number: papers.shown(each["level"])
        for each in papers.grade["rods"]
        if each["what"] == "lower string"
        for number in re.findall(r"\d+", each["where"])
    }


def lower_on_terminal(papers: Papers) -> Said:
    return {
        number: row[1]
        for row in papers.terminal_table("grade", RODS)
        if row[0] == "lower string"
        for number in re.findall(r"\d+", row[4])
    }


def lower_in_plan(papers: Papers) -> Said:
    found: Said = {}
    for text in _board_steps(papers):
        lower = r"board (\d+) stands [^;]*?with a lower board for a string at (.*?)(?=;|\.$|\. )"
        found |= dict(re.findall(lower, text))
    return found


def rods_in_document(papers: Papers) -> Said:
    """A footing's bottom that is dug to without stone stands on paper as the dig alone."""
    assert papers.grade is not None
    rods = papers.grade["rods"]
    dug = {(each["where"], each["level"]) for each in rods if each["what"] == "dig level"}
    return {
        f"{WORDS.get(each['what'], each['what'])}, {place}, {papers.shown(each['level'])}": (
            _on_rod(papers, each["add_to_benchmark"])
        )
        for each in rods
        if each["what"] != "bottom of footing" or (each["where"], each["level"]) not in dug
        for place in _places(each["where"] or "all")
    }


def _on_rod(papers: Papers, length: float) -> str:
    """As the rod is marked, in a job in feet; else as the job writes lengths."""
    from staking.measure.lengths import Unit, format_length
    from staking.plan import Show

    assert papers.grade is not None
    if papers.options.show not in {Show.FEET_INCHES, Show.DECIMAL_FEET}:
        return papers.shown(length)
    show = Show.FEET_INCHES if papers.grade["rod"]["marked"] == "inches" else Show.DECIMAL_FEET
    return format_length(length * Unit(papers.options.unit).metres, show, papers.options.nearest)


def _places(where: str) -> list[str]:
    """One wall or board after the other, where several stand at one level."""
    head, _, numbers = where.partition(" ")
    if head in {"board", "boards"}:
        return [f"board {number}" for number in numbers.split(", ")]
    return where.split(", ")


def rods_on_terminal(papers: Papers) -> Said:
    rows = papers.terminal_table("grade", RODS)
    return {
        f"{WORDS.get(row[0], row[0])}, {place}, {row[1]}": _signed(row[2].partition(" (")[0])
        for row in rows
        for place in _places(row[-1])
    }


def rods_on_page(papers: Papers) -> Said:
    """The page's own list, whose second column is for what the rod was read to."""
    found: Said = {}
    for row in papers.page_table("Levels"):
        what, _, rest = row[0].rpartition(" at ")
        name, _, where = what.partition(", ")
        level, added, *_ = rest.split("; ")
        for place in _places(where):
            found[f"{WORDS.get(name, name)}, {place}, {level}"] = _signed(added).removeprefix(
                "add "
            )
    return found


def cards_on_page(papers: Papers) -> Said:
    """The levels of the corners' cards that the page's script shows, with what is added."""
    names = {"footing top": "footing top", "dig": "dig level"}
    corners = {each["name"] for each in papers.layout["corners"]}
    found: Said = {}
    for card in papers.page_data["cards"]:
        for what, _, _, added in card["levels"] if card["name"] in corners else ():
            name = re.sub(r" \S+-\S+$", "", what)
            if name in names:
                found[f"{names[name]}, {_signed(added)}"] = ""
    return found


def runs_in_document(papers: Papers) -> Said:
    """What is added along every run, for the top of the footing and for the dig."""
    assert papers.grade is not None
    add = {round(each["level"], 4): each["add_to_benchmark"] for each in papers.grade["rods"]}
    return {
        f"{wall['wall']} {papers.shown(run['start'])} to {papers.shown(run['end'])}": " ".join(
            _on_rod(papers, add[round(run[key], 4)]) for key in ("top_of_footing", "dig_level")
        )
        for wall in papers.grade["walls"]
        for run in wall["runs"]
    }


def runs_on_page(papers: Papers) -> Said:
    """The runs beside each wall's profile."""
    return {
        f"{wall['name']} {run['from']} to {run['to']}": " ".join(
            _signed(run[key][2]) for key in ("top", "dig")
        )
        for wall in papers.page_data["profiles"]
        for run in wall["runs"]
    }


def levels_in_document(papers: Papers) -> Said:
    assert papers.grade is not None
    return {papers.shown(each["level"]): "" for each in papers.grade["rods"]}


def levels_in_page_data(papers: Papers) -> Said:
    """The levels that the page's script reckons with, m."""
    from staking.measure.lengths import Unit

    metres = Unit(papers.options.unit).metres
    return {papers.shown(level / metres): "" for level in papers.page_data["rod"]["levels"]}


LENGTH = re.compile(r"""-?[\d][\d' /"-]*["']|-?[\d.]+ (?:ft|m|mm)""")
"""A length as a cell of a table has it."""


def _signed(text: str) -> str:
    """What is less than the reading on the benchmark has its sign in words on paper."""
    return re.sub(r"^less ", "-", text)


def tops_over_ground_in_document(papers: Papers) -> Said:
    """How high each board stands over its ground, where that is known."""
    assert papers.grade is not None
    return {
        each["board"]: papers.shown(each["height"])
        for each in papers.grade["boards"]
        if each["height"] is not None
    }


def tops_over_ground_on_cards(papers: Papers) -> Said:
    """The row of heights under the boards that head a card's nails."""
    return _of_boards(papers, "top above ground")


def _of_boards(papers: Papers, label: str) -> Said:
    """A row of the boards' columns on the cards; every card that has a board says the same."""
    found: Said = {}
    for card in papers.cards:
        for number, board in card.boards().items():
            if cell := board.said(label):
                assert found.setdefault(number, cell) == cell
    return found


def tops_in_document(papers: Papers) -> Said:
    """The elevation of every board's top."""
    assert papers.grade is not None
    return {each["board"]: papers.shown(each["top"]) for each in papers.grade["boards"]}


def tops_on_sheet(papers: Papers) -> Said:
    """The level of all boards on their sheet, and on a card or there where one is not at it."""
    (common,) = _levels_of_the_whole(papers, "string").values()
    found = {board["name"]: common[0] for board in papers.layout["boards"]}
    for row in papers.sheet_rows:
        for cell in row:
            if other := re.fullmatch(r"board (\w+): top (.*)", cell):
                found[other[1]] = other[2]
    return found | _of_boards(papers, "top at")


def _levels_of_the_whole(papers: Papers, what: str) -> dict[str, tuple[str, str]]:
    """The levels on the sheet of boards, by where they hold: the level and what is added."""
    found: dict[str, tuple[str, str]] = {}
    line = re.compile(rf"{what}(?: of (.+?))? ({LENGTH.pattern}), (?:add )?(.*)")
    for row in papers.sheet_rows:
        for cell in row:
            if said := line.fullmatch(cell):
                found[said[1] or "all"] = (said[2], _signed(said[3]))
    return found


def rods_on_sheet(papers: Papers) -> Said:
    """Runs on the profiles, lower strings on the cards, the rest on the sheet of boards."""
    found = _runs_on_profiles(papers)
    add = _of_boards(papers, "add for it")
    for number, level in lower_on_sheet(papers).items():
        found[f"lower string, board {number}, {level}"] = _signed(add[number])
    for what in ("top of wall", "string", "top of slab", "under the slab"):
        for where, (level, added) in _levels_of_the_whole(papers, what).items():
            found |= {f"{what}, {place}, {level}": added for place in _places(where)}
    return found


def _runs_on_profiles(papers: Papers) -> Said:
    """Under every wall's profile: the levels run by run, and under each what is added for it."""
    found: Said = {}
    for wall, profile in read_profiles(papers.sheet).items():
        for heading, what in (("top of footing", "footing top"), ("dig level", "dig")):
            levels = profile.values(heading)
            added = profile.values(heading, "add to benchmark")
            for level, add in zip(levels, added, strict=True):
                found[f"{what}, {wall}, {level}"] = _signed(add)
    return found


def lower_on_sheet(papers: Papers) -> Said:
    return _of_boards(papers, "lower string at")


def profiles_in_document(papers: Papers) -> Said:
    """What is added for the levels that a wall's profile shows."""
    assert papers.grade is not None
    shown = {"top of wall", "string", "top of footing", "dig level"}
    return {
        papers.shown(each["level"]): _on_rod(papers, each["add_to_benchmark"])
        for each in papers.grade["rods"]
        if each["what"] in shown
    }


def profiles_on_sheet(papers: Papers) -> Said:
    found: Said = {}
    for row in papers.sheet_rows:
        for text in row:
            if label := re.fullmatch(
                r"(?:string|top of wall|string and.*) (\S.*), (?:add (?=[^l])|(?=less ))(.*)", text
            ):
                found[label[1].removeprefix("top of wall ")] = _signed(label[2])
    for wall in read_profiles(papers.sheet).values():
        for what in ("top of footing", "dig level"):
            added = map(_signed, wall.values(what, "add to benchmark"))
            found |= dict(zip(wall.values(what), added, strict=True))
    return found


def cards_in_document(papers: Papers) -> Said:
    """What is added at the corners, for the footings of the walls that meet there."""
    assert papers.grade is not None
    add = {round(each["level"], 4): each["add_to_benchmark"] for each in papers.grade["rods"]}
    inside = {line["name"] for line in papers.layout["interior"]}
    return {
        f"{what}, {_on_rod(papers, add[round(run[key], 4)])}": ""
        for wall in papers.grade["walls"]
        if wall["wall"] not in inside
        for run in (wall["runs"][0], wall["runs"][-1])
        for what, key in (("footing top", "top_of_footing"), ("dig level", "dig_level"))
    }


def cards_on_sheet(papers: Papers) -> Said:
    """The level rows of the corners' cards, the reading to add beside each."""
    names = {"footing top": "footing top", "dig": "dig level"}
    found: Said = {}
    for card in papers.cards:
        if not card.is_corner:
            continue
        for head in ("add to the benchmark", "benchmark"):
            for label, cell in card.table("Levels", head):
                what = re.sub(r",? \S+-\S+$", "", label)
                if what in names:
                    found[f"{names[what]}, {_signed(cell)}"] = ""
    return found


FACTS += [
    Fact(
        name="height of a board",
        truth=heights_in_document,
        outputs={
            "terminal": heights_on_terminal,
            "page": heights_on_page,
        },
        applies=has_boards,
    ),
    Fact(
        name="height of a board on its card",
        truth=tops_over_ground_in_document,
        outputs={"sheet": tops_over_ground_on_cards},
        applies=has_boards,
    ),
    Fact(
        name="top of a board",
        truth=tops_in_document,
        outputs={"sheet": tops_on_sheet},
        applies=has_boards,
    ),
    Fact(
        name="board over its ground",
        truth=heights_over_ground,
        outputs={"plan": heights_in_plan},
        applies=has_boards,
    ),
    Fact(
        name="lower string",
        truth=lower_in_document,
        outputs={
            "rods": lower_in_rods,
            "terminal": lower_on_terminal,
            "plan": lower_in_plan,
            "sheet": lower_on_sheet,
        },
        applies=has_lower_strings,
    ),
    Fact(
        name="rod",
        truth=rods_in_document,
        outputs={"terminal": rods_on_terminal, "page": rods_on_page, "sheet": rods_on_sheet},
        applies=has_levels,
    ),
    Fact(
        name="rod on a profile",
        truth=profiles_in_document,
        outputs={"sheet": profiles_on_sheet},
        applies=has_levels,
    ),
    Fact(
        name="rod on a card",
        truth=cards_in_document,
        outputs={"sheet": cards_on_sheet, "page": cards_on_page},
        applies=has_levels,
    ),
    Fact(
        name="rod of a run",
        truth=runs_in_document,
        outputs={"page": runs_on_page},
        applies=has_levels,
    ),
    Fact(
        name="level of the rod box",
        truth=levels_in_document,
        outputs={"page": levels_in_page_data},
        applies=has_levels,
    ),
]
