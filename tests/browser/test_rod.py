"""The rod box against readings worked out by hand."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from staking.measure.lengths import parse_length

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
    opened.go("levels")
    found = {}
    for row in opened.page.locator("[data-ticks=rod] tbody tr").all():
        cells = row.locator("td").all_inner_texts()
        found[cells[1].split("\n")[0].strip()] = " ".join(cells[-1].split())
    return found


def head(opened) -> str:
    return " ".join(opened.page.locator("#reading").inner_text().split())


def again(opened, text: str) -> None:
    opened.go("levels")
    opened.page.locator("#again-type").click()
    opened.page.locator("#pad-text").fill(text)
    opened.page.locator("#pad-take").click()


def test_the_reading_on_the_benchmark_turns_every_level_into_a_reading(open_page, size) -> None:
    opened = open_page(SLOPE, size)
    opened.type_rod("4' 6\"")
    # instrument 104' 6"; top of wall 101': 3' 6"
    assert rows(opened)["top of wall, all"] == "3' 6\" 3.50 ft"
    assert head(opened) == "The rod on nail in oak 4' 6\" Instrument 104' 6\" (104.50 ft)."


def test_every_place_reads_from_the_one_reading(open_page) -> None:
    opened = open_page(SLOPE)
    opened.type_rod("4 6")
    opened.go("levels")
    # the footing's top at A and the first run of A-B are one level
    run = opened.page.locator("#wall tbody td.rod strong").first.inner_text()
    opened.go("card/0")
    at_corner = opened.page.locator("#card td.rod strong").all_inner_texts()
    assert run in at_corner
    level = next(row for row in opened.page.evaluate("stakingPage.job.cards[0].levels")
                 if row[0] == "footing top")[1]  # fmt: skip
    # benchmark 100' and 4' 6" on it, by hand: what is left to the level
    assert parse_length(run) == pytest.approx(104.5 * 0.3048 - level, rel=0, abs=0.0254 / 32 + 1e-6)


def test_the_height_of_the_instrument_does_the_same(open_page) -> None:
    opened = open_page(SLOPE)
    opened.go("levels")
    opened.page.get_by_label("the height of the instrument").check()
    opened.type_rod("104-6-1/16")
    # 3' 6 1/16" is 3.5052 ft
    assert rows(opened)["top of wall, all"] == "3' 6 1/16\" 3.51 ft"


def test_a_rod_in_tenths_reads_hundredths_first(open_page) -> None:
    opened = open_page(SLOPE.replace("grade:\n", "grade:\n  rod: tenths\n"))
    opened.type_rod("4.5")
    assert rows(opened)["top of wall, all"] == "3.50 ft 3' 6\""


def test_what_the_rod_does_not_reach_asks_for_a_turning_point(open_page) -> None:
    opened = open_page(SLOPE)
    opened.type_rod("6 in")
    # instrument 100' 6", the wall's top stands 6" above it
    assert rows(opened)["top of wall, all"] == (
        "turning point: this level stands above the instrument"
    )
    opened.type_rod("12' 11\"")
    # the rod is 13' long; a footing's dig well below 99' 11" is out of its reach
    deep = [text for text in rows(opened).values() if "long" in text]
    assert deep
    assert all(text.startswith("turning point: the rod would have to be") for text in deep)


@pytest.mark.parametrize(("typed", "said"), [("14'", "14' is not on the rod."), ("-1'", "-1' is")])
def test_what_cannot_be_read_on_a_rod_is_said_and_gives_no_reading(open_page, typed, said) -> None:
    opened = open_page(SLOPE)
    opened.type_rod(typed)
    assert opened.page.locator("#moved").inner_text().startswith(said)
    assert set(rows(opened).values()) == {""}


def test_what_is_no_length_stays_in_the_pad(open_page) -> None:
    opened = open_page(SLOPE)
    opened.type_rod("x")
    assert opened.page.locator("#pad").is_visible()
    assert opened.page.locator("#pad-fault").inner_text().startswith("x is not a length")
    opened.page.locator("#pad-leave").click()
    assert "type it" in head(opened)


def test_the_reading_is_remembered_for_its_day(open_page) -> None:
    opened = open_page(SLOPE)
    opened.type_rod("4' 6\"")
    opened.page.reload()
    assert rows(opened)["top of wall, all"] == "3' 6\" 3.50 ft"
    assert "another day" not in head(opened)
    opened.page.evaluate(
        """() => {
          const key = Object.keys(localStorage).find((each) => each.startsWith("staking/page/"));
          const kept = JSON.parse(localStorage.getItem(key));
          kept.rod.day = "Sun Nov 01 2026";
          localStorage.setItem(key, JSON.stringify(kept));
        }"""
    )
    opened.page.reload()
    assert head(opened).endswith("Typed another day: read it again.")


def test_a_second_reading_that_disagrees_says_that_the_instrument_moved(open_page, size) -> None:
    opened = open_page(SLOPE, size)
    opened.type_rod("4' 6\"")
    again(opened, "4' 6 1/16\"")
    assert opened.page.locator("#again-said").inner_text() == (
        "nail in oak reads as before: the instrument stands."
    )
    again(opened, "4' 6 3/4\"")
    said = " ".join(opened.page.locator("#moved").inner_text().split())
    assert said.startswith('The instrument moved. nail in oak reads 3/4" more than it did. Dig ')
    assert set(rows(opened).values()) == {"set up again"}
    opened.go("card/0")
    assert set(opened.page.locator("#card td.rod").all_inner_texts()) == {"set up again"}
    opened.page.get_by_role("button", name="Go on with 4' 6 3/4\"").click()
    # 104' 6 3/4" less 101'
    assert rows(opened)["top of wall, all"] == "3' 6 3/4\" 3.56 ft"
    assert opened.page.locator("#moved").inner_text() == ""
    again(opened, "5'")
    opened.page.get_by_role("button", name="It was misread").click()
    assert rows(opened)["top of wall, all"] == "3' 6 3/4\" 3.56 ft"


def test_the_hillside_demo_adds_up(open_page, size, tmp_path) -> None:
    shutil.copy(HILLSIDE / "lot.csv", tmp_path)
    opened = open_page((HILLSIDE / "job.yaml").read_text(encoding="utf-8"), size)
    assert opened.path.stat().st_size < 400_000
    job = opened.page.evaluate("stakingPage.job")
    opened.type_rod("5.25")
    opened.go("levels")
    instrument = job["rod"]["benchmarkLevel"] + 5.25 * 0.3048
    cells = opened.page.locator("[data-level]").all_inner_texts()
    read = [re.search(r"(-?[0-9.]+) ft$", " ".join(text.split())) for text in cells]
    for level, found in zip(job["rod"]["levels"], read, strict=True):
        if found is not None:
            assert float(found[1]) * 0.3048 == pytest.approx(
                instrument - level, rel=0, abs=0.005 * 0.3048 + 1e-9
            )
    assert sum(found is not None for found in read) > 5
    # another known point of the survey, read from the same set-up a tenth of a foot too long
    known = dict(job["rod"]["known"])
    other = next(name for name in known if name != job["rod"]["benchmark"])
    reads = (instrument - known[other]) / 0.3048
    if 0 < reads < 12:
        opened.page.locator("#again-point").select_option(other)
        again(opened, f"{reads + 0.1:.2f}")
        assert "The instrument moved." in opened.page.locator("#moved").inner_text()
