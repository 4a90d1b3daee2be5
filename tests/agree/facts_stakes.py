"""Clearances of the boundary, hubs by corner and line, and the tapes of pads and interior lines."""

from __future__ import annotations

import math
import re
from collections import Counter

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, Rows

CLEAR = "Clear of the boundary"
HUBS = "Hubs, kept when the corner stakes are dug out"


def has_boundary(papers: Papers) -> bool:
    return bool(papers.layout.get("clearances"))


def clear_in_document(papers: Papers) -> Said:
    return {
        f"{each['line']} {each['what']}": " ".join((
            papers.shown(each["distance"]),
            "-" if each["setback"] is None else papers.shown(each["setback"]),
            "yes" if each["ok"] else "no",
        ))
        for each in papers.layout["clearances"]
    }


def _clear_of_rows(rows: Rows) -> Said:
    return {f"{row[0]} {row[1]}": " ".join((row[2], row[3] or "-", row[4])) for row in rows}


def clear_on_terminal(papers: Papers) -> Said:
    """One row for each line of the boundary; what is kept by all its parts is said once."""
    heads, *rows = papers.terminal_table("layout", CLEAR, heads=True)
    parts = heads[1:-2]
    found: Said = {}
    for row in rows:
        for part, apart in zip(parts, row[1:-2], strict=True):
            said = row[-1]
            if said not in {"yes", "no", "not sure", ""}:
                said = {
                    name: kept for name, _, kept in (e.partition(" ") for e in said.split(", "))
                }.get(part, "yes")
            if apart:
                found[f"{row[0]} {part}"] = " ".join((apart, row[-2] or "-", said))
    return found


def clear_on_page(papers: Papers) -> Said:
    return _clear_of_rows(papers.page_table(CLEAR))


def clear_on_sheet(papers: Papers) -> Said:
    lines = {each["line"] for each in papers.layout["clearances"]}
    parts = {each["what"] for each in papers.layout["clearances"]}
    return {
        f"{row[at]} {row[at + 1]}": " ".join(row[at + 2 : at + 5])
        for row in papers.sheet_rows
        for at in range(len(row) - 4)
        if row[at] in lines and row[at + 1] in parts and row[at + 4] in {"yes", "no"}
    }


def hubs_in_document(papers: Papers) -> Said:
    """How far each hub stands from its corner, worked out from the places of both."""
    corners = {each["name"]: (each["x"], each["y"]) for each in papers.layout["corners"]}
    return {
        f"{hub['corner']} on {hub['wall']}": papers.shown(
            math.dist((hub["x"], hub["y"]), corners[hub["corner"]])
        )
        for hub in papers.layout["hubs"]
    }


def _hubs_of_rows(rows: Rows) -> Said:
    return {f"{row[0]} on {row[1]}": row[2] for row in rows}


def hubs_on_terminal(papers: Papers) -> Said:
    return _hubs_of_rows(papers.terminal_table("layout", HUBS))


def hubs_on_page(papers: Papers) -> Said:
    return _hubs_of_rows(papers.page_table(HUBS))


def hubs_on_sheet(papers: Papers) -> Said:
    """The hubs on the cards, each on its corner's."""
    return {
        f"{card.name} on {label.removeprefix('hub on ')}": cell
        for card in papers.cards
        for title in ("Hubs", "Hubs and ties")
        for label, cell in card.table(title, "from here")
        if label.startswith("hub on ")
    }


def hub_lines_in_document(papers: Papers) -> Said:
    """The same without the corner, which a corner's card says in its heading alone."""
    return _counted(
        f"{key.partition(' on ')[2]} {length}" for key, length in hubs_in_document(papers).items()
    )


def hub_lines_on_cards(papers: Papers) -> Said:
    return _counted(
        f"{row[at].removeprefix('hub on ')} {row[at + 1]}"
        for row in papers.sheet_rows
        for at in range(len(row) - 1)
        if row[at].startswith("hub on ")
    )


def hub_lines_on_page_cards(papers: Papers) -> Said:
    return _counted(
        f"{row[0].removeprefix('hub on ')} {row[1]}"
        for card in papers.page_data["cards"]
        for table in card["tables"]
        for row in table["rows"]
        if row[0].startswith("hub on ")
    )


def _counted(keys: object) -> Said:
    return {key: str(count) for key, count in Counter(keys).items()}  # type: ignore[call-overload]


def hub_places_in_document(papers: Papers) -> Said:
    return {
        f"{hub['corner']} on {hub['wall']}": f"{hub['x']:.6f} {hub['y']:.6f}"
        for hub in papers.layout["hubs"]
    }


def hub_places_in_grade(papers: Papers) -> Said:
    assert papers.grade is not None
    return {
        each["name"]: f"{each['x']:.6f} {each['y']:.6f}"
        for each in papers.grade["stakes"]
        if each["kind"] == "hub"
    }


def points_in_document(papers: Papers) -> Said:
    """Every tape to a pad or to an end of an interior line: from where, to where, how long."""
    return {
        f"{check['from']} - {check['to']}": papers.shown(check["distance"])
        for check in papers.layout["checks"]
        if check["kind"] == "point"
    }


def points_on_terminal(papers: Papers) -> Said:
    rows = papers.terminal_table("layout", "Tape these")
    return {row[1]: row[2] for row in rows if row[0] == "point"}


def points_on_page(papers: Papers) -> Said:
    return {row[1]: row[2] for row in papers.page_table("Tape these") if row[0] == "point"}


def hooks_in_document(papers: Papers) -> Said:
    """The same as `staking plan` words it: a line's two ends stand in a step each."""
    found: dict[str, list[str]] = {}
    for check in papers.layout["checks"]:
        if check["kind"] == "point":
            name = re.sub(r" (from|to)$", "", check["to"])
            found.setdefault(name, []).append(f"{check['from']} {papers.shown(check['distance'])}")
    return {name: ", ".join(sorted(tapes)) for name, tapes in found.items()}


def hooks_in_plan(papers: Papers) -> Said:
    reel = r"hook on (\S+), reel (?:at|scratches an arc at|drives the stake where) (.*?)"
    end = r"(?=;|\.$|\. | crosses|, on the )"
    found: dict[str, list[str]] = {}
    for step in papers.work["steps"]:
        if step["part"] in {"Interior lines", "Pads"}:
            name = re.split(r"[:,]", step["text"], maxsplit=1)[0]
            for corner, length in re.findall(reel + end, step["text"]):
                found.setdefault(name, []).append(f"{corner} {length}")
    return {name: ", ".join(sorted(tapes)) for name, tapes in found.items()}


FACTS += [
    Fact(
        name="clearance",
        truth=clear_in_document,
        outputs={
            "terminal": clear_on_terminal,
            "page": clear_on_page,
            "sheet": clear_on_sheet,
        },
        applies=has_boundary,
    ),
    Fact(
        name="hub",
        truth=hubs_in_document,
        outputs={"terminal": hubs_on_terminal, "page": hubs_on_page, "sheet": hubs_on_sheet},
    ),
    Fact(
        name="hub on a corner's card",
        truth=hub_lines_in_document,
        outputs={"sheet": hub_lines_on_cards, "page": hub_lines_on_page_cards},
    ),
    Fact(
        name="place of a hub",
        truth=hub_places_in_document,
        outputs={"levels": hub_places_in_grade},
        applies=lambda papers: papers.has_levels,
    ),
    Fact(
        name="tape to a pad or a line's end",
        truth=points_in_document,
        outputs={"terminal": points_on_terminal, "page": points_on_page},
        applies=lambda papers: bool(points_in_document(papers)),
    ),
    Fact(
        name="hook of a pad or a line's end",
        truth=hooks_in_document,
        outputs={"plan": hooks_in_plan},
        applies=lambda papers: bool(points_in_document(papers)),
    ),
]
