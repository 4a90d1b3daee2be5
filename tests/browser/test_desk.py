"""The desk in a real browser: jobs built by typing and tapping alone, from an empty folder."""

from __future__ import annotations

import errno
import json
import os
import time
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import expect
from werkzeug.wrappers import Request, Response

from staking.cli import main
from staking.desk import job_on_disk
from staking.desk.desk_app import DeskApp
from tests.browser.accessibility import Accessibility, widths_and_schemes
from tests.browser.at_the_desk import Sit
from tests.browser.conftest import DESKTOP, PATIENCE, PHONE

ROOT = Path(__file__).parents[2]
MOST_ENTRIES = 60


def layout_of(path: Path, out: Path) -> dict:
    done = CliRunner().invoke(main, ["layout", str(path), "--out", str(out), "--only", "json"])
    assert done.exit_code == 0, done.output
    document = json.loads((out / "layout.json").read_text(encoding="utf-8"))
    document.pop("files", None)
    # Where the survey stands differs, and nothing else of it.
    site = document.get("site") or {}
    site["surveys"] = [Path(each).name for each in site.get("surveys", [])]
    return document


def order_of(path: Path) -> dict:
    done = CliRunner().invoke(main, ["order", str(path), "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)


def test_the_orchard_workshop_from_an_empty_folder(sit: Sit, tmp_path: Path) -> None:
    seat = sit()
    seat.fill("Name of the job", "Orchard workshop")
    seat.topic("The building")
    seat.tap("L shape")
    sides = ["east 36'", "north 24'", "west 12'", "north 8'", "west 24'", "south 32'"]
    for number, side in enumerate(sides, 1):
        if seat.page.get_by_label(f"Side {number}", exact=True).input_value() != side:
            seat.fill(f"Side {number}", side)
    seat.tap_plan("wall", "C-D")
    seat.fill("Wall thickness", '12"', "C-D")
    seat.fill("Width", '24"', "C-D", "Footing")
    seat.fill("Past the outside face", '8"', "C-D", "Footing")
    seat.topic("Inside")
    seat.tap("Add: line")
    line = "Line 1"
    seat.fill("Name", "G", line)
    line = "Line G"
    for label, text in (("From", "A-B at 14'"), ("To", "E-F at 10'"), ("Wall thickness", '8"')):
        seat.fill(label, text, line)
    seat.fill("Width", '16"', line, "Footing")
    seat.fill("Thickness", '8"', line, "Footing")
    for label, text in (("Top", "102' 8\""), ("Thickness", '4"'), ("Stone under the slab", '4"')):
        seat.fill(label, text, "Floor slab")
    seat.topic("Pads")
    seat.tap("Add: pad")
    seat.fill("Name", "P1", "Pad 1")
    for label, text in (("At", "42', 6'"), ("Size", '24", 24"'), ("Thickness", '12"')):
        seat.fill(label, text, "Pad P1")
    seat.topic("Openings")
    seat.tap("Add: opening")
    seat.fill("Wall", "A-B", "Opening 1")
    for label, text in (("From", "4'"), ("Width", "9'"), ("Drop", '8"')):
        seat.fill(label, text, "Opening A-B")
    seat.tap("Add: pipe")
    seat.fill("Wall", "B-C", "Pipe 1")
    for label, text in (("At", "10'"), ("Invert", "98' 6\""), ("Size", '4"')):
        seat.fill(label, text, "Pipe B-C")
    seat.topic("Boards, dig and tape")
    seat.fill("Level of the strings", "103'", "Batter boards")
    seat.fill("Depth", "4'", "The dig")
    seat.topic("The order")
    seat.fill("Discharge limit", "90 min")
    seat.fill("Lap", '30"', "Steel")
    seat.fill("Dowels", '48"', "Steel")
    seat.fill("Courses", "5", "Block")
    assert seat.page.locator("#state").inner_text() == "Not on file yet."
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert seat.entries <= MOST_ENTRIES
    fixture = ROOT / "fixtures/orchard-workshop/job.yaml"
    assert layout_of(seat.path, tmp_path / "mine") == layout_of(fixture, tmp_path / "theirs")
    assert order_of(seat.path) == order_of(fixture)
    # What `staking init` says beside its keys is still there.
    assert "# A job for `staking layout`." in seat.text()


def test_the_hillside_lot_from_an_empty_folder(sit: Sit, tmp_path: Path) -> None:
    lot = ROOT / "fixtures/hillside-lot/lot.csv"
    seat = sit()
    seat.fill("Name of the job", "Hillside workshop")
    seat.topic("The building")
    seat.tap("L shape")
    sides = ["east 36'", "north 24'", "west 22'", "north 8'", "west 14'", "south 32'"]
    for number, side in enumerate(sides, 1):
        seat.fill(f"Side {number}", side)
    seat.topic("Inside")
    seat.tap("Add: line")
    seat.fill("Name", "G", "Line 1")
    for label, text in (("From", "A-B at 20'"), ("To", "C-D at 16'"), ("Wall thickness", '8"')):
        seat.fill(label, text, "Line G")
    seat.fill("Width", '16"', "Line G", "Footing")
    seat.fill("Thickness", '8"', "Line G", "Footing")
    seat.topic("Openings")
    seat.tap("Add: opening")
    seat.fill("Wall", "A-B", "Opening 1")
    for label, text in (("From", "20'"), ("Width", "9'"), ("Drop", '8"')):
        seat.fill(label, text, "Opening A-B")
    seat.topic("The lot")
    seat.entries += 1
    seat.page.get_by_label("Copy a survey or a deed beside the job").set_input_files(lot)
    shown = seat.page.locator("#looked")
    expect(shown).to_contain_text("us-ft")
    expect(shown.locator(".drawn")).to_contain_text("North is up")
    seat.tap("Use this survey")
    expect(seat.page.get_by_label("Survey", exact=True)).to_have_value("lot.csv")
    seat.wait()
    assert (seat.path.parent / "lot.csv").read_bytes() == lot.read_bytes()
    seat.fill("A bare number is in", "us-ft")
    seat.entries += 1
    seat.page.locator("#questions > details > summary", has_text="More").click()
    seat.fill("Coordinate system", "EPSG:5646")
    seat.fill("Place: how", "one corner and a bearing", "Place")
    for label, text in (("Corner", "A"), ("North", "590152.3"), ("East", "1640308.8")):
        seat.fill(label, text, "Place")
    seat.fill("Bearing", "S 75 30 00 E", "Place")
    seat.fill("Boundary: how", "points of the survey, in order", "Boundary")
    seat.fill("Which, in order", "1, 2, 3, 4", "Boundary")
    add = "Add, as in name: figure"
    seat.fill(add, "1-2: 25', other: 10'", "Setbacks")
    seat.page.keyboard.press("Enter")
    seat.wait()
    plat = "1-2: S 74 09 02 E, 2-3: N 16 09 50 E, 3-4: N 73 55 43 W, 4-1: S 15 26 22 W"
    seat.fill(add, plat, "Bearings")
    seat.page.keyboard.press("Enter")
    seat.wait()
    seat.fill("Overhang", '12"')
    seat.tap("Add: shape")
    seat.fill("Name", "neighbour's house", "Shape 1")
    seat.fill("Through", "101, 102, 103, 104", "Shape neighbour's house")
    seat.tap("Add: buried line")
    seat.fill("Name", "gas line", "Buried line 1")
    seat.fill("Through", "31, 32, 33, 34", "Buried line gas line")
    seat.fill("Hand dig", '24"', "Buried line gas line")
    seat.topic("Boards, dig and tape")
    seat.fill("Level of the strings", "103' 8\"", "Batter boards")
    seat.topic("Levels")
    seat.fill("Point", "BM1", "Benchmark")
    seat.fill("Top of wall", "103' 4\"")
    seat.fill("Frost depth", '36"')
    seat.fill("Add", "A-B", "Steps fixed")
    seat.fill("A-B", "11' 4\", 17' 4\"", "Steps fixed")
    seat.topic("The order")
    seat.fill("Lap", '30"', "Steel")
    seat.fill("Dowels", '48"', "Steel")
    seat.fill("Length", '16"', "Block")
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    fixture = ROOT / "fixtures/hillside-lot/job.yaml"
    assert layout_of(seat.path, tmp_path / "mine") == layout_of(fixture, tmp_path / "theirs")
    assert order_of(seat.path) == order_of(fixture)
    assert seat.entries <= MOST_ENTRIES


TORN = """[...document.querySelectorAll(".n")].filter((e) => e.getClientRects().length > 1)
          .map((e) => e.textContent)"""
CUT = """[...document.querySelectorAll("#questions *, header *, #figures *")].filter((e) =>
         e.offsetParent && e.clientWidth && e.scrollWidth > e.clientWidth + 1
         && getComputedStyle(e).overflowX === "visible" && getComputedStyle(e).display !== "inline")
         .map((e) => e.outerHTML.slice(0, 120))"""


WCAG = ("wcag2a", "wcag2aa", "wcag21aa", "wcag22aa")


@pytest.mark.parametrize(("size", "scheme"), widths_and_schemes(PHONE, DESKTOP))
def test_every_topic_fits_and_is_free_of_faults_by_axe(
    sit: Sit, axe: Accessibility, size: tuple[int, int], scheme: str
) -> None:
    text = (ROOT / "fixtures/hillside-lot/job.yaml").read_text(encoding="utf-8")
    seat = sit(text, size, files=(ROOT / "fixtures/hillside-lot/lot.csv",), scheme=scheme)
    topics = seat.page.locator("#topics button").all_inner_texts()
    assert len(topics) == 13
    axe.put_into(seat.page)
    for topic in topics:
        seat.topic(topic)
        # What comes of it is the same under every heading, and is opened under one.
        seat.page.evaluate(
            """(isOpen) => document.querySelectorAll("details").forEach((each) => {
                 each.open = isOpen || Boolean(each.closest("#questions"));
               })""",
            topic == "The job",
        )
        assert seat.page.evaluate(TORN) == [], topic
        assert seat.page.evaluate(CUT) == [], topic
        assert axe.faults(seat.page, *WCAG) == [], topic
        assert seat.page.evaluate("document.documentElement.scrollWidth") <= size[0], topic
    small = seat.page.evaluate(
        """[...document.querySelectorAll("button, select, input")]
           .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 44)
           .map((e) => e.outerHTML)"""
    )
    assert small == []


def test_a_fault_stands_under_its_field_and_the_last_good_picture_stays(sit: Sit) -> None:
    seat = sit()
    seat.topic("Walls and footings")
    before = seat.page.locator("#plan svg").evaluate("(e) => e.outerHTML")
    seat.fill("Wall thickness", "wide")
    field = seat.page.get_by_label("Wall thickness", exact=True).first
    assert field.get_attribute("aria-invalid") == "true"
    fault = seat.page.locator("#questions .fault:visible").inner_text()
    assert fault.startswith("wide is not a length")
    assert seat.page.locator("#plan.old svg").evaluate("(e) => e.outerHTML") == before
    assert "last good picture" in seat.page.locator("#plan-state").inner_text()
    assert "1" in seat.page.locator("#topics [aria-current] .count").inner_text()
    seat.topic("The job")
    seat.page.locator("#mend button").click()
    assert seat.page.evaluate("document.activeElement.getAttribute('aria-invalid')") == "true"
    seat.fill("Wall thickness", '10"')
    assert seat.page.locator("#plan.old").count() == 0
    assert seat.page.locator("#questions .fault:visible").count() == 0


def test_sides_that_do_not_close_are_said_as_one_types(sit: Sit) -> None:
    seat = sit()
    seat.topic("The building")
    seat.tap("Side by side")
    seat.fill("Side 1", "east 38'")
    told = seat.page.locator("#questions .fault:visible").inner_text()
    assert "2' 0\"" in told
    seat.fill("Side 3", "west 38'")
    assert seat.page.locator("#questions .fault:visible").count() == 0


def test_no_key_is_lost_while_it_computes(sit: Sit) -> None:
    seat = sit()
    seat.page.get_by_label("Name of the job").press("Control+a")
    seat.page.keyboard.type("The long name of a small shed by the old plum tree", delay=8)
    seat.wait()
    assert seat.page.get_by_label("Name of the job").input_value().endswith("old plum tree")
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    name = "The long name of a small shed by the old plum tree"
    assert f"job: {name} " in seat.text()


def test_no_key_is_lost_between_two_fields_while_the_desk_is_slow(
    sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Each answer takes longer than it takes to type the next field and to go on.
    answer = DeskApp._answer

    def slow(self: DeskApp, request: Request) -> Response:
        time.sleep(0.4)
        return answer(self, request)

    monkeypatch.setattr(DeskApp, "_answer", slow)
    seat = sit()
    seat.topic("Walls and footings")
    typed = ['10 1/2"', "2' 3 1/4\"", '11 5/8"']
    seat.page.get_by_label("Wall thickness", exact=True).focus()
    for text in typed:
        seat.page.keyboard.press("Control+a")
        seat.page.keyboard.type(text, delay=15)
        seat.page.keyboard.press("Tab")
    # The first answers arrive while this is typed, and the form is made anew for the new card.
    seat.page.locator("#questions select").last.select_option(label="A-B")
    seat.page.keyboard.type("1' 2\"", delay=60)
    seat.wait()
    first = seat.page.get_by_label("Wall thickness", exact=True)
    assert first.first.input_value() == typed[0]
    assert first.last.input_value() == "1' 2\""
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert f"  wall: {typed[0]}" in seat.text()
    assert f"footing: {{width: {typed[1]}, thickness: {typed[2]}}}" in seat.text()
    assert "A-B: {wall: 1' 2\"}" in seat.text()


def test_a_full_disk_is_told_and_the_answers_stay(
    sit: Sit, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    seat = sit()
    seat.fill("Name of the job", "Pear shed")
    with monkeypatch.context() as patch:
        patch.setattr(job_on_disk.os, "fsync", full)
        seat.tap("Save")
        expect(seat.page.locator("#stop")).to_contain_text("no space left on device")
    assert seat.page.locator("#state").inner_text() == "Not on file yet."
    assert list(seat.path.parent.iterdir()) == []
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert "job: Pear shed" in seat.text()
    seat.said = [each for each in seat.said if "422" not in each]


def test_a_garage_on_a_slope_from_an_empty_folder_to_its_sheets(sit: Sit) -> None:
    seat = sit()
    expect(seat.page.locator("#questions")).to_contain_text("Put your own figures in")
    seat.fill("Name of the job", "Garage")
    seat.tap("Next: The building")
    seat.tap("L shape")
    sides = ["east 24'", "north 22'", "west 10'", "north 8'", "west 14'", "south 30'"]
    for number, side in enumerate(sides, 1):
        seat.fill(f"Side {number}", side)
    for topic in ("Walls and footings", "Inside", "Pads", "Openings and pipes",
                  "Boards, dig and tape", "The lot", "Levels"):  # fmt: skip
        seat.tap(f"Next: {topic}")
    seat.fill("Ground: how", "elevations at corners and along walls", "Ground")
    # Every corner is asked for: nobody has to know how the file names them.
    ground = {"A": "100'", "B": "98' 6\"", "C": "98'", "D": "98' 9\"", "E": "99'", "F": "100' 3\""}
    for corner, text in ground.items():
        seat.fill(f"At corner {corner}", text, "Ground")
    expect(seat.page.locator("#mend")).to_contain_text("Levels, Top of wall: this key is")
    seat.fill("Top of wall", "102'")
    seat.fill("Frost depth", '30"')
    seat.fill("Name", "nail in oak", "Benchmark")
    seat.fill("Elevation", "100'", "Benchmark")
    assert seat.page.locator("#mend li").count() == 0
    expect(seat.page.locator("#blocks")).to_contain_text("Levels")
    seat.tap("Next: The order")
    seat.tap("Next: Heights and places compared")
    seat.tap("Next: Papers and files")
    seat.tap("Make the sheets")
    seat.tap("Save, and make them")
    expect(seat.page.locator("#sheets img").first).to_be_visible()
    assert (seat.path.parent / "job-layout/sheet.pdf").is_file()
    assert "sides: [east 24', north 22', west 10', north 8', west 14', south 30']" in seat.text()
    assert seat.entries <= MOST_ENTRIES


def test_what_is_tapped_in_the_plan_opens_its_questions(sit: Sit) -> None:
    text = (ROOT / "fixtures/orchard-workshop/job.yaml").read_text(encoding="utf-8")
    seat = sit(text)
    for kind, name, legend in (
        ("wall", "C-D", "C-D"),
        ("interior", "G", "Line G"),
        ("pad", "P1", "Pad P1"),
        ("wall", "A-B", "A-B"),
    ):
        seat.tap_plan(kind, name)
        inside = seat.page.evaluate(
            "document.activeElement.closest('fieldset.card').querySelector('legend').textContent"
        )
        assert inside == legend
    seat.tap_plan("corner", "E")
    seat.page.keyboard.press("Control+a")
    seat.page.keyboard.type("24', 30'")
    seat.wait()
    # A finger, not only a script: the middle of the wall's own shape.
    shape = seat.page.locator('.touch polygon[data-name="B-C"]')
    shape.click()
    assert seat.page.locator("#questions h2").inner_text() == "Walls and footings"


def test_keyboard_alone_builds_saves_and_goes_on(sit: Sit) -> None:
    seat = sit()
    page = seat.page
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the questions"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Control+a")
    page.keyboard.type("Keyed shed")
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent").startswith("Next"):
            break
    page.keyboard.press("Enter")
    assert page.locator("#questions h2").inner_text() == "The building"
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.tagName") == "INPUT":
            break
    page.keyboard.press("Control+a")
    page.keyboard.type("40'")
    seat.wait()
    page.keyboard.press("Control+s")
    expect(page.locator("#state")).to_have_text("Saved.")
    assert "job: Keyed shed" in seat.text()
    assert "rectangle: 40' x 24'" in seat.text()


def test_a_file_changed_meanwhile_is_shown_and_one_chooses(sit: Sit) -> None:
    seat = sit("job: A\nbuilding: {rectangle: 36' x 24', wall: 8\", footing: "
               "{width: 20\", thickness: 10\"}}\n")  # fmt: skip
    theirs = seat.text().replace("job: A", "job: B")
    seat.path.write_text(theirs, encoding="utf-8")
    seat.fill("Name of the job", "Mine")
    seat.tap("Save")
    expect(seat.page.locator("#conflict")).to_be_visible()
    assert seat.page.get_by_label("In the file now").input_value() == theirs
    assert seat.text() == theirs
    seat.tap("Write what I have here over it")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert "job: Mine" in seat.text()
    seat.path.write_text(theirs, encoding="utf-8")
    seat.fill("Name of the job", "Mine again")
    seat.tap("Save")
    seat.tap("Take what is in the file")
    seat.wait()
    assert seat.page.get_by_label("Name of the job").input_value() == "B"
    # The browser notes every answer that is not a plain yes.
    assert len(seat.said) == 2
    assert all("409" in each for each in seat.said)
    seat.said.clear()


def test_unsaved_work_is_there_again_after_a_reload(sit: Sit) -> None:
    seat = sit()
    seat.page.on("dialog", lambda dialog: dialog.accept())
    seat.fill("Name of the job", "Half done")
    seat.page.reload()
    seat.page.wait_for_selector("#plan[data-drawn]")
    seat.wait()
    assert seat.page.get_by_label("Name of the job").input_value() == "Half done"
    assert seat.page.locator("#state").inner_text() == "Not on file yet."
    assert not seat.path.exists()


def test_a_closed_page_says_goodbye_and_unsaved_work_keeps_the_desk(sit: Sit) -> None:
    for is_changed in (True, False):
        seat = sit()
        seat.desk.pages._grace = 0.0
        if is_changed:
            seat.fill("Name of the job", "Half done")
        assert not seat.desk.pages.over
        seat.page.goto("about:blank")
        for _ in range(PATIENCE // 20):
            if seat.desk.pages._left is not None:
                break
            seat.page.wait_for_timeout(20)  # the goodbye is on its way
        assert seat.desk.pages._left is not None
        assert seat.desk.pages.over is not is_changed
        seat.asked[:] = [url for url in seat.asked if url != "about:blank"]


def test_a_part_taken_out_takes_no_other_with_it(sit: Sit) -> None:
    text = (ROOT / "tests/data/jobs/by_hand/dashes_at_the_key.yaml").read_text(encoding="utf-8")
    seat = sit(text)
    seat.topic("Pads")
    seat.page.get_by_role("button", name="Take out Pad P1").click()
    seat.wait()
    seat.fill("Thickness", '14"', "Pad P2")
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    assert "P1" not in seat.text()
    assert "  - {name: P2, at: [42', 14'], diameter: 24\", thickness: 14\"}\n" in seat.text()
    assert "  # one more might come\n" in seat.text()


def test_papers_are_made_and_open(sit: Sit) -> None:
    seat = sit()
    seat.topic("Papers and files")
    seat.tap("Make everything")
    assert "Save first" in seat.page.locator("#made-state").inner_text()
    seat.tap("Save")
    expect(seat.page.locator("#state")).to_have_text("Saved.")
    seat.tap("Make everything")
    expect(seat.page.locator("#made-state")).to_contain_text("Made in job-layout")
    made = {each.name for each in (seat.path.parent / "job-layout").iterdir()}
    assert {"sheet.pdf", "page.html", "plan.dxf", "points.csv", "layout.json"} <= made
    with seat.page.context.expect_page() as opened:
        seat.page.get_by_role("button", name="page.html").click()
    phone = opened.value
    phone.wait_for_load_state()
    assert "My building" in phone.title() + phone.locator("h1").first.inner_text()
    # The page for the phone runs apart from the desk: it has no origin of its own.
    assert phone.evaluate("self.origin") == "null"


def test_at_twice_the_size_nothing_runs_out_of_sight(sit: Sit) -> None:
    # A window of 1280 by 900 at 200 % is one of 640 by 450.
    seat = sit(size=(640, 450))
    for topic in seat.page.locator("#topics button").all_inner_texts():
        seat.topic(topic)
        assert seat.page.evaluate(CUT) == [], topic
        assert seat.page.evaluate("document.documentElement.scrollWidth") <= 640
    seat.topic("Walls and footings")
    for _ in range(8):
        seat.page.keyboard.press("Tab")
        box = seat.page.evaluate(
            """(() => { const r = document.activeElement.getBoundingClientRect();
               const e = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
               return document.activeElement.contains(e); })()"""
        )
        assert box, seat.page.evaluate("document.activeElement.id")


def test_hostile_names_are_only_text(sit: Sit) -> None:
    name = "<img src=x onerror=alert(1)><script>alert(1)</script>"
    seat = sit()
    seat.fill("Name of the job", name)
    assert seat.page.locator("img, #plan script").count() == 0
    seat.topic("The file's text")
    assert name in seat.page.locator("#text").input_value()


def test_the_files_text_can_be_mended_by_hand(sit: Sit) -> None:
    seat = sit()
    seat.topic("The file's text")
    area = seat.page.locator("#text")
    sound = area.input_value()
    area.fill("job: [A\n")
    expect(seat.page.locator("#mend")).to_contain_text("a bracket is opened and not closed")
    area.fill(sound.replace("My building", "Hand made"))
    expect(seat.page.locator("#mend li")).to_have_count(0)
    seat.topic("The job")
    assert seat.page.get_by_label("Name of the job").input_value() == "Hand made"
