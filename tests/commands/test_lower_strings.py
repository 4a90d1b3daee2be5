"""A lower string has both its ends in every output: levels, plan, order, layout."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from staking.cli import main

STEEP = """job: Steep shed
building: {rectangle: 24' x 16', wall: 8", footing: {width: 20", thickness: 10"}}
boards: {at: 103', max_height: 5'}
grade:
  ground: {A: 100', B: 94', C: 94', D: 100'}
  beyond: nearest
  top_of_wall: 103'
  frost_depth: 24"
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.yaml"
    path.write_text(STEEP, encoding="utf-8")
    return path


def document(*words: str) -> dict:
    ran = CliRunner().invoke(main, [*words, "--json"])
    assert ran.exit_code in (0, 5), ran.stderr
    return json.loads(ran.stdout)


def test_every_output_has_both_ends(job: Path) -> None:
    grade = document("grade", str(job))
    strings = {each["string"]: each for each in grade["lower_strings"]}
    # The boards past B and C stand 9' over the ground; 4' under the string they stand at 5'.
    level = strings["B-C"]
    assert level["level"] == pytest.approx(99.0, abs=1e-9)
    assert None not in level["boards"]
    assert level["across"] is None
    tiers = {each["board"]: each["tier"] for each in grade["boards"]}
    layout = document("layout", str(job))
    assert {each["name"]: each["lower_string"] for each in layout["boards"]} == tiers
    both = [name for name in level["boards"] if tiers[name] is not None]
    assert len(both) == 2
    # Uphill the ground leaves no room at the other board.
    assert strings["A-B"]["boards"].count(None) == 1
    assert strings["A-B"]["across"] > 0


def test_the_plan_pulls_it_and_the_order_counts_it(job: Path) -> None:
    steps = CliRunner().invoke(main, ["plan", str(job)]).stdout
    assert steps.count("pull a lower string, level at 99' 0\"") == 3
    items = {each["what"]: each for each in document("order", str(job))["items"]}
    # Eight boards and two across the trench; four lower boards as long as those above, two of 8'.
    assert items["stakes for batter boards"]["order"] == 20
    assert items["batter board"]["quantity"] == pytest.approx(8 * 32 / 12, abs=1e-6)
    lower = items["batter board for lower strings"]["quantity"]
    assert lower == pytest.approx(4 * 32 / 12 + 2 * 8, abs=1e-6)
    # Three strings more.
    assert "+ 7 x 2 x 2 ft to tie" in items["string"]["arithmetic"]
