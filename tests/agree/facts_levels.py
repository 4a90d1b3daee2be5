"""Levels by wall and run: where each run lies, its top of footing and its dig level."""

from __future__ import annotations

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, Rows

TITLE = "levels of the footing, from each wall's first corner"


def has_levels(papers: Papers) -> bool:
    return papers.has_levels


def in_document(papers: Papers) -> Said:
    assert papers.grade is not None
    return {
        f"{wall['wall']} from {papers.shown(run['start'])}": " ".join(
            papers.shown(run[key]) for key in ("end", "top_of_footing", "dig_level")
        )
        for wall in papers.grade["walls"]
        for run in wall["runs"]
    }


def _of_rows(rows: Rows) -> Said:
    found: Said = {}
    wall = ""
    for row in rows:
        wall = row[0] or wall
        if row[1]:
            found[f"{wall} from {row[1]}"] = " ".join((row[2], row[4], row[5]))
    return found


def on_terminal(papers: Papers) -> Said:
    title = f"{papers.layout['job']}: {TITLE}"
    return _of_rows(papers.terminal_table("grade", title))


def on_page(papers: Papers) -> Said:
    return _of_rows(papers.page_table(f"{papers.layout['job']}: {TITLE}"))


def in_poured_book(papers: Papers) -> Said:
    """Each row's planned top, put down to the run its station lies in."""
    from staking.measure.lengths import Unit, parse_length

    assert papers.grade is not None
    unit = Unit(papers.options.unit)
    found = in_document(papers)
    for row in papers.poured_book:
        if not row["top plan"] or not row["at"]:
            continue
        at = parse_length(row["at"], unit) / unit.metres
        runs = [
            run
            for wall in papers.grade["walls"]
            if wall["wall"] == row["wall"]
            for run in wall["runs"]
            if run["start"] - 1e-3 <= at <= run["end"] + 1e-3
        ]
        assert row["top plan"] in {papers.shown(run["top_of_footing"]) for run in runs}, row
    return found


FACTS.append(
    Fact(
        name="run of footing",
        truth=in_document,
        outputs={"terminal": on_terminal, "page": on_page, "poured book": in_poured_book},
        applies=has_levels,
    )
)
