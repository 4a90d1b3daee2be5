"""What one takes away from the desk in a real browser: rows compared, sheets seen and made."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.at_the_desk import Sit
from tests.browser.conftest import DESKTOP, PHONE
from tests.desk.test_weighing_and_sheets import SLOPE

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_rows_are_compared_and_one_is_taken(sit: Sit, size: tuple[int, int]) -> None:
    seat = sit(SLOPE, size)
    seat.topic("Heights and places compared")
    seat.tap("Compare")
    expect(seat.page.locator("#weighed table").first).to_be_visible()
    assert seat.page.locator("#weighed svg").count() == 1
    assert seat.page.evaluate("document.documentElement.scrollWidth") <= size[0]
    seat.page.get_by_role("button", name=re.compile("^Take row 2: 103' 8\"")).click()
    expect(seat.page.locator("#weigh-state")).to_contain_text("Row 2 is in the answers now")
    seat.wait()
    assert seat.text() == SLOPE
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert "top_of_wall: 103' 8\"      # the drive" in seat.text()
    assert "top: 103' 4\", thickness" in seat.text()  # the slab went with it
    assert "# on the bank" in seat.text()


def test_rows_of_older_answers_cannot_be_taken(sit: Sit) -> None:
    seat = sit(SLOPE)
    seat.topic("Heights and places compared")
    seat.tap("Compare")
    row = seat.page.get_by_role("button", name=re.compile("^Take row 1"))
    expect(row).to_be_enabled()
    seat.topic("Levels")
    seat.fill("Frost depth", '42"')
    seat.topic("Heights and places compared")
    expect(row).to_be_disabled()
    expect(seat.page.locator("#weighed")).to_contain_text("compare anew")


def test_each_sheet_is_seen_and_made_larger(sit: Sit) -> None:
    seat = sit((ROOT / "fixtures/orchard-workshop/job.yaml").read_text(encoding="utf-8"))
    seat.topic("Papers and files")
    assert seat.page.locator("#sheets img").count() == 0
    seat.tap("Make the sheets")
    sheets = seat.page.locator("#sheets img")
    expect(sheets.first).to_be_visible()
    assert sheets.count() >= 6
    assert "Start here" in str(sheets.first.get_attribute("alt"))
    sheets.last.scroll_into_view_if_needed()
    expect(sheets.last).to_have_js_property("naturalWidth", 1100)
    before = sheets.last.bounding_box()
    sheets.last.click()
    after = sheets.last.bounding_box()
    assert before is not None
    assert after is not None
    assert after["width"] > before["width"]
    seat.topic("The job")
    seat.fill("Name of the job", "Another name")
    seat.topic("Papers and files")
    expect(seat.page.locator("#sheets .fault")).to_contain_text("save, and make them anew")
