"""``staking order`` for a metric job: bars by the millimetre, and words on sizes in inches."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from staking.cli import main

Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    def invoke(text: str, *words: str) -> Result:
        path = tmp_path / "shed.yaml"
        path.write_text(text, encoding="utf-8")
        return CliRunner().invoke(main, ["order", str(path), *words], catch_exceptions=False)

    return invoke


def test_bars_may_be_of_the_sizes_made_by_the_millimetre(run: Run, tmp_path: Path) -> None:
    (tmp_path / "prices.yaml").write_text("bar 12 mm: 9.5\n", encoding="utf-8")
    text = (
        "job: Shed\nunits: m\nshow: millimetres\nbuilding:\n  rectangle: 9 x 6\n"
        "  wall: 200 mm\n  footing: {width: 600 mm, thickness: 250 mm}\n"
        "order:\n  prices: prices.yaml\n  steel: {size: 12 mm, lap: 40 diameters, stock: 6}\n"
    )
    done = run(text)
    assert done.exit_code == 0
    assert "No." not in done.stdout.partition("Before you order")[0].replace("No price", "")
    lengths = {round(each["length"], 9) for each in json.loads(run(text, "--json").stdout)["bars"]
               if each["what"] == "corner bars"}  # fmt: skip
    # Two laps of forty times 12 mm.
    assert lengths == {0.96}
    # What the price list leaves out of the sum is named, but not the bars by weight as well.
    told = " ".join(done.stdout.split())
    assert "together" in told
    assert "No price for: concrete, " in told
    assert "steel" not in told.partition("No price for:")[2].partition("Before")[0]


def test_a_metric_job_is_told_which_sizes_are_of_the_united_states(run: Run) -> None:
    text = (
        "job: Shed\nunits: m\nshow: millimetres\nbuilding:\n  rectangle: 9 x 6\n"
        "  wall: 200 mm\n  footing: {width: 600 mm, thickness: 250 mm}\n"
        "order:\n  steel: {size: 13, stock: 6}\n"
    )
    told = " ".join(run(text).stderr.split())
    assert "distance between bolts (bolts:) 1829 mm; write your own" in told
    assert "for what the job leaves out under order: steel: lap of the bars (lap:) 762 mm, " in told
    assert "United States" not in run(text.replace("units: m\n", "units: ft\n")
                                      .replace("9 x 6", "29 x 20")).stderr  # fmt: skip


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "steel: {lap: long}",
            "long is neither a length nor a rule; write 600 mm, or IRC grade 60",
        ),
        ("steel: {dowels: 10 mm, cover: 50 mm}", "such as 1200 mm"),
        ("block: {length: 16 m}", "such as 400 mm long and 200 mm high"),
    ],
)
def test_a_metric_job_is_shown_metric_examples(run: Run, line: str, told: str) -> None:
    text = (
        "job: Shed\nunits: m\nshow: millimetres\nbuilding:\n  rectangle: 9 x 6\n"
        "  wall: 200 mm\n  footing: {width: 600 mm, thickness: 250 mm}\n"
        f"order:\n  {line}\n"
    )
    done = run(text)
    assert done.exit_code == 3
    assert told in " ".join(done.stderr.split())
