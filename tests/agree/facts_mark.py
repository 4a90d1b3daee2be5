"""The layout's mark: the same on every paper of one layout."""

from __future__ import annotations

import re

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers

MARK = re.compile(r"\blayout ([A-Z]{8})\b", re.IGNORECASE)


def in_document(papers: Papers) -> Said:
    return {"mark": papers.layout["mark"]}


def _of_text(text: str) -> Said:
    (mark,) = set(MARK.findall(text))
    return {"mark": mark}


def on_sheet(papers: Papers) -> Said:
    """Every page of the sheet carries it, and every card of a corner."""
    texts = [page.text for page in papers.sheet]
    assert all(MARK.search(text) for text in texts)
    cards = [row for row in papers.sheet_rows if row[0].startswith("Corner ")]
    assert all(any(MARK.search(cell) for cell in row) for row in cards)
    return _of_text("\n".join(texts))


def on_page(papers: Papers) -> Said:
    return _of_text(papers.page)


def in_tape_book(papers: Papers) -> Said:
    return _of_text(papers.tape_book_text)


def in_poured_book(papers: Papers) -> Said:
    return _of_text(papers.poured_book_text)


def in_points(papers: Papers) -> Said:
    (mark,) = {row["layout"].partition(" of ")[0] for row in papers.points}
    return {"mark": mark}


FACTS.append(
    Fact(
        name="mark",
        truth=in_document,
        outputs={
            "sheet": on_sheet,
            "page": on_page,
            "tape book": in_tape_book,
            "poured book": in_poured_book,
            "points": in_points,
        },
    )
)
