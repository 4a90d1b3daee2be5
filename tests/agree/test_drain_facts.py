"""The drain's length, fall and inverts: order.json, terminal, sheet, page and drawing say the same.

The demos have no drain; this is the hillside workshop with one.
"""

from __future__ import annotations

import itertools
import json
import math
import shutil
from pathlib import Path
from typing import Any

import pytest

from staking.measure.lengths import Unit
from staking.output.wording import Words
from tests.agree.papers import Papers

FIXTURES = Path(__file__).parents[2] / "fixtures"
ORDER = "order:\n"
DRAIN = "order:\n  drain: {outlet: {at: [30', -40'], level: 84'}}\n"
TITLE = "Drain by arm"


@pytest.fixture(scope="module", name="papers")
def drained(tmp_path_factory: pytest.TempPathFactory) -> Papers:
    folder = tmp_path_factory.mktemp("drained")
    shutil.copytree(FIXTURES / "hillside-lot", folder / "job")
    job = folder / "job" / "job.yaml"
    text = job.read_text(encoding="utf-8")
    assert ORDER in text
    job.write_text(text.replace(ORDER, DRAIN, 1), encoding="utf-8")
    return Papers(job=job, folder=folder / "out")


@pytest.fixture(scope="module", name="document")
def order_document(papers: Papers) -> dict[str, Any]:
    return json.loads(papers.run("order", papers.job, "--json").stdout)


def arms(papers: Papers, document: dict[str, Any]) -> list[list[str]]:
    """Length, fall, high and low invert of every arm, as paper writes them."""
    words, metres = Words(papers.options), Unit(papers.options.unit).metres
    return [
        [
            papers.shown(arm["length"]),
            papers.shown(arm["fall"] * arm["length"]),
            words.level(arm["high"] * metres),
            words.level(arm["low"] * metres),
        ]
        for arm in document["drain_arms"]
    ]


def test_terminal_sheet_and_page_say_what_the_document_says(
    papers: Papers, document: dict[str, Any]
) -> None:
    wanted = arms(papers, document)
    assert len(wanted) == 2
    assert [row[2:] for row in papers.terminal_table("order", TITLE)] == wanted
    assert [row[2:] for row in papers.page_table(TITLE)] == wanted
    head = next(i for i, row in enumerate(papers.sheet_rows) if "high invert" in row)
    # Rows of the other column stand between them.
    below = papers.sheet_rows[head + 1 : head + 8]
    assert [row[-4:] for row in below if len(row) >= 6][:2] == wanted


def test_the_arms_are_their_stations_and_their_pipe(document: dict[str, Any]) -> None:
    for arm in document["drain_arms"]:
        own = [each for each in document["drain"] if each["arm"] == arm["arm"]]
        assert (own[0]["invert"], own[-1]["invert"]) == (arm["high"], arm["low"])
    pipe = next(e for e in document["items"] if e["what"] == "perforated drain pipe")
    along = sum(arm["length"] for arm in document["drain_arms"])
    assert pipe["arithmetic"].startswith(f"{along:.7g} ft along the footing")


def test_the_drawing_has_the_pipe_on_a_layer_of_its_own(
    papers: Papers, document: dict[str, Any]
) -> None:
    import ezdxf

    assert papers.laid
    drawing = ezdxf.readfile(papers.folder / "plan.dxf")
    lines = [
        [point[:2] for point in line.get_points()]
        for line in drawing.modelspace().query('LWPOLYLINE[layer=="S-FNDN-DRAN"]')
    ]
    *pipes, closed = lines
    long = [sum(math.dist(a, b) for a, b in itertools.pairwise(p)) for p in pipes]
    # Model space lies on the grid, where 1,000 ft of ground are some 42 thousandths less.
    assert long == pytest.approx([arm["length"] for arm in document["drain_arms"]], abs=4e-3)
    (way,) = [each["length"] for each in document["drain_outlets"]]
    assert math.dist(*closed) == pytest.approx(way, rel=0, abs=4e-3)


def test_an_order_with_a_drain_goes_on_two_sheets(papers: Papers) -> None:
    pages = [page for page in papers.sheet if any(row[-1:] == ["Order"] for row in page.rows[:2])]
    assert len(pages) == 2
