"""The layout's mark: the same on every paper of one layout."""

from __future__ import annotations

import json
import re

import ezdxf

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


def in_landxml(papers: Papers) -> Said:
    return _of_text(papers.file("points.xml"))


def in_drawing(papers: Papers) -> Said:
    drawing = ezdxf.readfile(papers.folder / "plan.dxf")
    return {"mark": dict(drawing.header.custom_vars)["layout"].partition(" of ")[0]}


def _on_the_earth(papers: Papers, name: str) -> str | None:
    return papers.file(name) if name in papers.layout["files"] else None


def in_geojson(papers: Papers) -> Said:
    text = _on_the_earth(papers, "points.geojson")
    if text is None:
        return in_document(papers)
    marks = {each["properties"]["layout"] for each in json.loads(text)["features"]}
    (mark,) = {each.partition(" of ")[0] for each in marks}
    return {"mark": mark}


def in_gpx(papers: Papers) -> Said:
    text = _on_the_earth(papers, "points.gpx")
    return in_document(papers) if text is None else _of_text(text)


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
            "landxml": in_landxml,
            "drawing": in_drawing,
            "geojson": in_geojson,
            "gpx": in_gpx,
        },
    )
)
