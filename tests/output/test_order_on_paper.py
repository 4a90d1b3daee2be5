"""The order as it stands on its sheet: what is drawn together comes to what was ordered."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from staking.output.tables.order.order_on_paper import order_on_paper
from staking.project.layout import load_job
from staking.project.order import order_job
from staking.project.resolve import resolve

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"


@pytest.fixture(scope="module", params=["orchard-workshop", "hillside-lot"])
def order(request):
    """A demo's order, and its tables by their titles."""
    resolved = resolve(load_job(FIXTURES / request.param / "job.yaml"))
    ordered = order_job(resolved)
    paper = order_on_paper(resolved.layout, ordered)
    return ordered, {each.title: each for each in (*paper.narrow, paper.rest, paper.everything)}


def test_the_trucks_the_bars_and_the_block_come_first(order):
    ordered, tables = order
    first = next(iter(tables.values()))
    names = [row[0] for row in first.rows]
    bought = [each.what for each in ordered.items if each.price]
    assert names[0] == next(each for each in bought if "concrete to order" in each)
    assert [name.split(",")[0].split(" ")[0] for name in names].index("bars") < next(
        at for at, name in enumerate(names) if name.startswith("blocks")
    )


def test_every_item_is_bought_first_or_stands_under_all_else(order):
    ordered, tables = order
    rows = [*tables["To order first: trucks, bars, block"].rows, *tables["All else"].rows]
    everything = tables["Everything, and how it is worked out"].rows
    assert sorted(row[:3] for row in rows) == sorted(row[:3] for row in everything)
    assert len(everything) == len(ordered.items)


def test_the_bars_drawn_together_are_all_the_bars(order):
    ordered, tables = order
    counts = [
        int(each)
        for row in tables["Bars to cut and bend"].rows
        for each in re.findall(r"(\d+)\sx\s", row[1])
    ]
    assert sum(counts) == sum(each.count for each in ordered.pieces)


def test_the_block_of_a_wall_is_that_of_its_courses(order):
    ordered, tables = order
    for wall, _, *counts in tables["Block by wall"].rows:
        own = [each for each in ordered.blocks if each.wall == wall]
        assert counts == [
            str(sum(getattr(each, kind) for each in own))
            for kind in ("stretchers", "corners", "halves", "cuts")
        ]
