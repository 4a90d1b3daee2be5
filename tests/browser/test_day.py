"""A whole day's work by touch alone: nothing is typed but by tapping what is on the screen."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from staking.job.typed_tapes import read_lines
from staking.output.tables.check_tables import move_lines, slide_lines, verdict_text
from staking.project.check import check_job
from staking.project.resolve import resolve

SHED = """\
job: Pear shed
units: ft
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
grade:
  ground: {A: 99' 4", B: 99' 4", C: 98' 4", D: 98' 4"}
  benchmark: {name: nail in oak, elevation: 100'}
  top_of_wall: 101'
  frost_depth: 36"
"""
METRIC = """\
job: Pear shed
units: m
show: metres
building:
  rectangle: 7.2 x 4.8
  wall: 200 mm
  footing: {width: 500 mm, thickness: 250 mm}
"""


def tap(opened: Any, name: str) -> None:
    opened.page.get_by_role("button", name=name, exact=True).tap()


def go(opened: Any, place: str) -> None:
    link = opened.page.get_by_role("link", name=place, exact=True)
    link.tap()
    opened.page.locator(str(link.get_attribute("href"))).wait_for()


def pick(opened: Any, feet: int, inch: int, sixteenth: str) -> None:
    """Pick a length in the pad that is open."""
    pad = opened.page.locator("#pad")
    for digit in str(feet) if feet else "":
        pad.get_by_role("group", name="feet").get_by_role("button", name=digit, exact=True).tap()
    pad.get_by_role("group", name="inches").get_by_role("button", name=str(inch), exact=True).tap()
    part = pad.get_by_role("group", name="sixteenths")
    part.get_by_role("button", name=sixteenth, exact=True).tap()
    pad.get_by_role("button", name="Take it").tap()


def tap_corner(opened: Any, name: str) -> str:
    """Tap where a corner lies in the plan; give what the page then shows."""
    go(opened, "Plan")
    spot = opened.page.evaluate(
        """(name) => {
          const {job, plan} = stakingPage, card = job.cards.find((each) => each.name === name);
          const {scale, left, top} = plan.drawn();
          const [x, y] = card.at[0];
          return [left + (x - plan.view[0]) * scale, top + (y - plan.view[1]) * scale];
        }""",
        name,
    )
    opened.page.touchscreen.tap(*spot)
    opened.page.locator("#place-card").wait_for()
    return opened.page.locator("#place-card").inner_text()


TAPES = {"A-B": (24, 0, "0"), "B-C": (16, 0, "0"), "C-D": (24, 0, "0"), "A-D": (16, 0, "0")}


def read_tapes(opened: Any, tapes: dict[str, tuple[int, int, str]]) -> dict[str, str]:
    go(opened, "Tapes")
    read = {}
    for pair, length in tapes.items():
        tap(opened, f"Pick what the tape reads {pair.replace('-', ' - ')}")
        # what stood there is taken out first
        for _ in range(3):
            opened.page.get_by_label("take the last digit of the feet away").tap()
        pick(opened, *length)
        feet, inch, part = length
        read[pair] = f"{feet}-{inch}" + ("" if part == "0" else f"-{part}")
    return read


def test_a_day_by_touch_alone(open_page) -> None:
    opened = open_page(SHED)
    page = opened.page
    # it opens on the first step; the rod is read and typed once
    assert page.locator("#next-title").inner_text().startswith("Step 1 of ")
    page.locator("#reading-type").tap()
    pick(opened, 5, 2, "3/8")
    assert "Instrument 105' 2 3/8\"" in page.locator("#reading-said").inner_text()
    for corner in ("A", "C", "D"):
        said = " ".join(tap_corner(opened, corner).split())
        assert f"Corner {corner}" in said
        assert re.search(r"footing top (?:\d+' )?[\d /]+\" (?:\d+' )?[\d /]+\" \d+\.\d\d ft", said)
        assert re.search(r"board \d+", said)
        assert "hub on" in said
        assert "Paint" in said
    # ground now at C, 98' 4": 6' 10 3/8" on the rod by hand, and 1' 8" more than on the benchmark
    said = " ".join(tap_corner(opened, "C").split())
    assert "ground now 1' 8\" 6' 10 3/8\"" in said

    # 288" by 192" leaning 1/2" toward B: the roots of 287.5^2 + 192^2 and 288.5^2 + 192^2
    long, short = math.hypot(288.5, 192), math.hypot(287.5, 192)
    assert (round(long * 16), round(short * 16)) == (16 * 346 + 9, 16 * 345 + 11)
    read = read_tapes(opened, {**TAPES, "A-C": (28, 10, "9/16"), "B-D": (28, 9, "11/16")})
    checked = check_job(
        resolve(opened.job),
        read_lines("\n".join(map(" ".join, read.items())), opened.job.plan, opened.job.options),
    )
    answer = opened.answer()
    assert {verdict_text(checked), *move_lines(checked), *slide_lines(checked)} <= set(answer)
    assert 'Move C and D both 1/2" toward D.' in answer
    nails = [line for line in answer if line.startswith("Slide the nail of ")]
    # the strings B-C and A-D swing about B and A: beyond C and D their nails slide by the half inch
    # and as much more as the boards stand beyond, beyond A and B by that much the other way
    assert len(nails) == 4
    far = [nail for nail in nails if re.search(r"beyond [CD], (5/8|9/16|11/16)\" ", nail)]
    assert len(far) == 2
    # moved as told and read again
    read_tapes(opened, {"A-C": (28, 10, "1/8"), "B-D": (28, 10, "1/8")})
    assert opened.answer()[0] == "Square."

    # the second reading before the machine digs
    go(opened, "Levels")
    tap(opened, "type it")
    pick(opened, 5, 3, "0")
    assert "The instrument moved." in page.locator("#moved").inner_text()
    tap(opened, "It was misread")

    # three steps are done, the page is closed and opened again
    go(opened, "Next")
    for _ in range(3):
        tap(opened, "Done")
    assert page.locator("#next-title").inner_text().startswith("Step 4 of ")
    phone = page.context
    page.close()
    opened.page = page = phone.new_page()
    page.goto(opened.path.as_uri())
    assert page.locator("#next-title").inner_text().startswith("Step 4 of ")
    assert "Instrument 105' 2 3/8\"" in page.locator("#reading-said").inner_text()
    assert page.locator("#place-next li.done").count() == 3
    page.get_by_role("button", name="Back: the step before is not done").tap()
    assert page.locator("#next-title").inner_text().startswith("Step 3 of ")


def test_the_steps_lead_through_the_lists_to_the_pour(open_page) -> None:
    opened = open_page(SHED)
    titles = []
    for _ in range(200):
        titles.append(opened.page.locator("#next-title").inner_text())
        done = opened.page.get_by_role("button", name="Done", exact=True)
        if not done.count():
            break
        done.click()
    count = int(titles[0].rpartition(" ")[2])
    assert titles[:count] == [f"Step {n} of {count}" for n in range(1, count + 1)]
    assert titles[count].startswith("Before you dig, 1 of ")
    assert titles[-2].startswith("Before you pour, ")
    assert titles[-1] == "All is done"


@pytest.mark.parametrize(
    ("text", "unit", "read"),
    [
        ("5 2 3/8", "ft", "5' 2 3/8\""),
        ("5 2", "ft", "5' 2\""),
        ("5 2 3/8", "in", "5' 2 3/8\""),
        ("43 3 3/8", "us-ft", "43' 3 3/8\""),
        ("5 2", "m", None),
        ("5 200", "mm", "5.2 m"),
        ("5 12", "ft", None),
    ],
)
def test_a_length_is_typed_as_it_is_said(open_page, text, unit, read) -> None:
    found = open_page(SHED).page.evaluate(
        """([text, read, unit]) => {
          const {typedLength, parseLength} = stakingPage;
          try { return Math.abs(typedLength(text, unit) - parseLength(read, unit)); }
          catch { return null; }
        }""",
        [text, read or "0", unit],
    )
    assert found == (None if read is None else pytest.approx(0, abs=1e-9))


def test_what_is_typed_as_said_leaves_in_the_tape_book_as_the_check_reads_it(open_page) -> None:
    opened = open_page(SHED)
    opened.read(A_C="28 10 1/8")
    book = opened.page.evaluate(
        "stakingPage.tapeBook(stakingPage.job, {'before digging': {'A-C': '28 10 1/8'}})"
    )
    assert '"28\' 10 1/8"""' in book


def test_a_metric_job_has_keys_for_its_own_unit(open_page) -> None:
    opened = open_page(METRIC)
    go(opened, "Tapes")
    tap(opened, "Pick what the tape reads A - B")
    for key in "7.205":
        opened.page.locator("#pad").get_by_role("button", name=key, exact=True).tap()
    tap(opened, "Take it")
    assert opened.page.locator("#tape-0").input_value() == "7.205 m"
    assert opened.page.locator("#tape-note-0").inner_text() == "0.005 m long"


def test_a_tap_on_a_line_or_a_pad_opens_its_card_and_the_way_back_leads_back(open_page) -> None:
    opened = open_page(
        SHED.split("grade:")[0]
        + "  interior: [{name: G, from: A-B at 12', to: C-D at 12', wall: 8\", "
        'footing: {width: 16", thickness: 8"}}]\n'
        '  pads: [{name: P1, at: [5\', 8\'], size: [24", 24"], thickness: 12"}]\n'
    )
    assert "Pad P1" in tap_corner(opened, "P1")
    opened.page.go_back()
    assert opened.page.locator("#plan").is_visible()
    opened.go("plan")
    spot = opened.page.evaluate(
        """() => {
          const {job, plan} = stakingPage, {at} = job.cards.find(({name}) => name === "G");
          const {scale, left, top} = plan.drawn(), share = 0.3;
          const on = [0, 1].map((i) => at[0][i] + share * (at[1][i] - at[0][i]) - plan.view[i]);
          return [left + on[0] * scale, top + on[1] * scale];
        }"""
    )
    opened.page.touchscreen.tap(*spot)
    opened.page.locator("#place-card").wait_for()
    assert opened.page.locator("#card-title").inner_text() == "Interior line G"
    tap(opened, "Next card")
    assert opened.page.locator("#card-title").inner_text() == "Pad P1"
