"""Heights of boards, lower strings, and what to add to the rod's reading on the benchmark."""

from __future__ import annotations

import re

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, Rows

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
        f"{WORDS.get(row[0], row[0])}, {place}, {row[1]}": row[2].partition(" (")[0]
        for row in rows
        for place in _places(row[-1])
    }


def rods_on_page(papers: Papers) -> Said:
    """The page's own list, whose second column is for what the rod was read to."""
    found: Said = {}
    for row in papers.page_table("Levels"):
        what, _, rest = row[0].rpartition(" at ")
        name, _, where = what.partition(", ")
        level, _, more = rest.partition("; add ")
        for place in _places(where):
            found[f"{WORDS.get(name, name)}, {place}, {level}"] = more.partition(";")[0]
    return found


def levels_in_document(papers: Papers) -> Said:
    assert papers.grade is not None
    return {papers.shown(each["level"]): "" for each in papers.grade["rods"]}


def levels_in_page_data(papers: Papers) -> Said:
    """The levels that the page's script reckons with, m."""
    from staking.measure.lengths import Unit

    metres = Unit(papers.options.unit).metres
    return {papers.shown(level / metres): "" for level in papers.page_data["rod"]["levels"]}


FACTS += [
    Fact(
        name="height of a board",
        truth=heights_in_document,
        outputs={"terminal": heights_on_terminal, "page": heights_on_page},
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
        },
        applies=has_lower_strings,
    ),
    Fact(
        name="rod",
        truth=rods_in_document,
        outputs={"terminal": rods_on_terminal, "page": rods_on_page},
        applies=has_levels,
    ),
    Fact(
        name="level of the rod box",
        truth=levels_in_document,
        outputs={"page": levels_in_page_data},
        applies=has_levels,
    ),
]
