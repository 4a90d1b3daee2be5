"""The figures of the order: what is bought, how much of it, its arithmetic, and the loads."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from typing import Any

from tests.agree.facts import FACTS, Fact, Said
from tests.agree.papers import Papers, run_on

GROUPS = {
    "concrete": "Concrete",
    "steel": "Steel",
    "block": "Block, mortar and bolts",
    "dig": "Dig, stone and spoil",
    "forms": "Forms",
    "layout": "To lay out with",
}
"""Groups of the document and the titles of their tables."""
CALLED = {"footing, no corner counted twice": "footing, each corner counted once"}
"""Items that the tables call otherwise than the document."""


@cache
def _written(papers: Papers) -> tuple[dict[str, Any], str]:
    # order.json and order.csv as one run writes them
    papers.run("order", papers.job, "--out", papers.folder)
    text = (papers.folder / "order.json").read_text(encoding="utf-8")
    return json.loads(text), (papers.folder / "order.csv").read_text(encoding="utf-8")


def _figure(number: float | str, unit: str) -> str:
    """A quantity without the zeros that only some outputs write."""
    text = f"{float(number):.4f}".rstrip("0").rstrip(".")
    return f"{text} {unit}"


def in_document(papers: Papers) -> Said:
    document, _ = _written(papers)
    return {
        f"{i}": f"{each['what']}: {_figure(each['order'], each['unit'])}, {each['arithmetic']}"
        for i, each in enumerate(document["items"])
    }


def in_csv(papers: Papers) -> Said:
    _, text = _written(papers)
    rows = csv.DictReader(io.StringIO(text))
    return {
        f"{i}": f"{row['what']}: {_figure(row['quantity'], row['unit'])}, {row['arithmetic']}"
        for i, row in enumerate(rows)
    }


def on_terminal(papers: Papers) -> Said:
    """What the terminal says, the sizes that follow a name left out."""
    document, _ = _written(papers)
    said: Said = {}
    for group, title in GROUPS.items():
        own = [(i, e) for i, e in enumerate(document["items"]) if e["group"] == group]
        if not own:
            continue
        rows = run_on(papers.terminal_table("order", title), 1)
        assert len(rows) == len(own), title
        for (i, each), row in zip(own, rows, strict=True):
            what = row[0].removeprefix("- ")
            called = CALLED.get(each["what"], each["what"])
            assert what.startswith(called), (what, called)
            said[f"{i}"] = f"{each['what']}: {_figure(row[1], row[2])}, {row[3]}"
    return said


def quantities(papers: Papers) -> Said:
    document, _ = _written(papers)
    return {
        f"{i}": _figure(each["order"], each["unit"]) for i, each in enumerate(document["items"])
    }


def on_sheet(papers: Papers) -> Said:
    """Quantities of the sheet's tables, row by row in the order of the document."""
    document, _ = _written(papers)
    cells = [
        (cell.removeprefix("- "), row[k + 1 : k + 3])
        for row in papers.sheet_rows
        for k, cell in enumerate(row)
        if len(row) >= k + 3
    ]
    said: Said = {}
    for i, each in enumerate(document["items"]):
        start = CALLED.get(each["what"], each["what"])[:24]
        found = next(
            (
                n
                for n, (cell, after) in enumerate(cells)
                if cell.startswith(start) and after[1] == each["unit"]
            ),
            None,
        )
        assert found is not None, f"the sheet leaves out {each['what']}"
        said[f"{i}"] = _figure(*cells[found][1])
        del cells[found]
    return said


def has_order_section(papers: Papers) -> bool:
    """The sheet shows an order only where the job has one."""
    return "\norder:" in papers.job.read_text(encoding="utf-8")


FACTS.append(
    Fact(
        name="order, line by line",
        truth=in_document,
        outputs={"order.csv": in_csv, "terminal": on_terminal},
    )
)
FACTS.append(
    Fact(
        name="quantities of the order",
        truth=quantities,
        outputs={"sheet": on_sheet},
        applies=has_order_section,
    )
)
