"""The rod box against readings worked out by hand."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HILLSIDE = ROOT / "fixtures" / "hillside-lot"

SLOPE = """\
job: Pear shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
grade:
  ground: {A: 99' 4", B: 99' 4", C: 99' 4", D: 99' 4"}
  benchmark: {name: nail in oak, elevation: 100'}
  top_of_wall: 101'
  frost_depth: 36"
"""


def rows(opened) -> dict[str, str]:
    found = {}
    for row in opened.page.locator("[data-ticks=rod] tbody tr").all():
        cells = row.locator("td").all_inner_texts()
        found[cells[1].split("\n")[0].strip()] = " ".join(cells[-1].split())
    return found


def test_the_reading_on_the_benchmark_turns_every_level_into_a_reading(open_page, size) -> None:
    opened = open_page(SLOPE, size)
    opened.page.locator("#rod-length").fill("4' 6\"")
    # instrument 104' 6"; top of wall 101': 3' 6"
    assert rows(opened)["top of wall, all"] == "3' 6\" 3.50 ft"
    said = opened.page.locator("#rod-said").inner_text()
    assert said.startswith("Height of instrument 104' 6\" (104.50 ft).")


def test_the_height_of_the_instrument_does_the_same(open_page) -> None:
    opened = open_page(SLOPE)
    opened.page.get_by_label("the height of the instrument").check()
    opened.page.locator("#rod-length").fill("104-6-1/16")
    # 3' 6 1/16" is 3.5052 ft
    assert rows(opened)["top of wall, all"] == "3' 6 1/16\" 3.51 ft"


def test_a_rod_in_tenths_reads_hundredths_first(open_page) -> None:
    opened = open_page(SLOPE.replace("grade:\n", "grade:\n  rod: tenths\n"))
    opened.page.locator("#rod-length").fill("4.5")
    assert rows(opened)["top of wall, all"] == "3.50 ft 3' 6\""


def test_what_the_rod_does_not_reach_asks_for_a_turning_point(open_page) -> None:
    opened = open_page(SLOPE)
    opened.page.locator("#rod-length").fill("6 in")
    # instrument 100' 6", the wall's top stands 6" above it
    assert rows(opened)["top of wall, all"] == (
        "turning point: this level stands above the instrument"
    )
    assert "ask for a turning point" in opened.page.locator("#rod-said").inner_text()
    opened.page.locator("#rod-length").fill("12' 11\"")
    # the rod is 13' long; a footing's dig well below 99' 11" is out of its reach
    deep = [text for text in rows(opened).values() if "long" in text]
    assert deep
    assert all(text.startswith("turning point: the rod would have to be") for text in deep)


@pytest.mark.parametrize(
    ("typed", "said"),
    [("14'", "14' is not on the rod."), ("x", "x is not a length"), ("-1'", "-1' is not on")],
)
def test_what_cannot_be_read_on_a_rod_is_said_and_gives_no_reading(open_page, typed, said) -> None:
    opened = open_page(SLOPE)
    opened.page.locator("#rod-length").fill(typed)
    assert opened.page.locator("#rod-fault").inner_text().startswith(said)
    assert opened.page.locator("#rod-length").get_attribute("aria-invalid") == "true"
    assert set(rows(opened).values()) == {""}


def test_the_rod_box_is_remembered(open_page) -> None:
    opened = open_page(SLOPE)
    opened.page.get_by_label("the height of the instrument").check()
    opened.page.locator("#rod-length").fill("104.5")
    opened.page.reload()
    assert opened.page.get_by_label("the height of the instrument").is_checked()
    assert opened.page.locator("#rod-length").input_value() == "104.5"
    assert rows(opened)["top of wall, all"] == "3' 6\" 3.50 ft"


def test_the_hillside_demo_adds_up_and_is_sound(open_page, size, axe, tmp_path) -> None:
    shutil.copy(HILLSIDE / "lot.csv", tmp_path)
    opened = open_page((HILLSIDE / "job.yaml").read_text(encoding="utf-8"), size)
    assert opened.path.stat().st_size < 400_000
    job = opened.page.evaluate("stakingPage.job")
    opened.page.locator("#rod-length").fill("5.25")
    instrument = job["rod"]["benchmarkLevel"] + 5.25 * 0.3048
    cells = opened.page.locator("[data-level]").all_inner_texts()
    read = [re.search(r"(-?[0-9.]+) ft$", " ".join(text.split())) for text in cells]
    for level, found in zip(job["rod"]["levels"], read, strict=True):
        if found is not None:
            assert float(found[1]) * 0.3048 == pytest.approx(
                instrument - level, rel=0, abs=0.005 * 0.3048 + 1e-9
            )
    assert sum(found is not None for found in read) > 5
    opened.open_all()
    assert opened.page.evaluate("document.documentElement.scrollWidth") <= size[0]
    opened.page.evaluate(axe)
    found = opened.page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert [
        (each["id"], each["impact"], [node["target"] for node in each["nodes"]][:3])
        for each in found["violations"]
        if each["impact"] in {"serious", "critical", "moderate"}
    ] == []
