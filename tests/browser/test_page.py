"""The page as a file in a browser: it opens, keeps, exports, reads aloud, and stays text."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from staking.cli import main
from staking.errors import MeasureError
from staking.job.typed_tapes import read_tape_book
from staking.measure.lengths import format_length, parse_length
from staking.plan import Show
from staking.units import Unit

ROOT = Path(__file__).parents[2]
SHED = """\
job: Plum shed
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)>{{ 7 * 7 }}"


def test_it_opens_offline_and_asks_for_nothing(open_page, size) -> None:
    opened = open_page(size=size)
    assert opened.page.title() == "Plum shed"
    assert opened.page.locator("h1").inner_text() == "Plum shed"
    assert [url for url in opened.asked if not url.startswith("data:")] == [opened.path.as_uri()]
    assert opened.path.stat().st_size < 400_000


def test_what_was_ticked_and_read_is_there_after_a_reload(open_page, size) -> None:
    opened = open_page(size=size)
    page = opened.page
    opened.read(A_C="43-3-3/8")
    page.locator("#stage").select_option("on the forms")
    opened.read(A_C="43-3", B_D="43-3-1/4")
    page.locator("#hold").select_option("C and the wall C-D")
    opened.go("plan")
    page.locator("summary", has_text="What is drawn").click()
    page.get_by_label("Strings", exact=True).uncheck()
    opened.go("more")
    page.locator("#tables .block summary", has_text="Strings").click()
    page.get_by_label(re.compile("^done: A-B, outside face")).check()
    page.reload()
    opened.go("tapes")
    assert page.locator("#stage").input_value() == "on the forms"
    assert page.locator("#tapes").get_by_label("B - D,").input_value() == "43-3-1/4"
    assert page.locator("#hold").input_value() == "C and the wall C-D"
    page.locator("#stage").select_option("before digging")
    assert page.locator("#tapes").get_by_label("A - C,").input_value() == "43-3-3/8"
    assert page.locator("#tapes").get_by_label("B - D,").input_value() == ""
    opened.go("plan")
    page.locator("summary", has_text="What is drawn").click()
    assert not page.get_by_label("Strings", exact=True).is_checked()
    assert not page.locator("[data-layer='S-FNDN-LINE']").is_visible()
    opened.go("more")
    page.locator("#tables .block summary", has_text="Strings").click()
    assert page.get_by_label(re.compile("^done: A-B, outside face")).is_checked()
    assert page.locator("tr.done").count() == 1


def test_another_jobs_page_starts_empty_and_the_same_job_laid_out_anew_offers_its_readings(
    open_page,
) -> None:
    first = open_page()
    first.read(A_C="43-3-3/8", A_B="36-0")
    other = open_page(SHED.replace("Plum", "Pear"), again=first)
    other.go("tapes")
    assert other.page.locator("#tapes").get_by_label("A - C,").input_value() == ""
    assert not other.page.locator("#earlier").is_visible()
    # What one page keeps reaches the browser, and with it other pages, a moment later.
    other.page.wait_for_function(
        "() => Object.values(localStorage).some((kept) => kept.includes('43-3-3/8'))"
    )
    anew = open_page(SHED.replace("36' x 24'", "36' x 25'"), again=first)
    anew.go("tapes")
    assert anew.page.locator("#tapes").get_by_label("A - C,").input_value() == ""
    assert "There are 2 readings of this job" in anew.page.locator("#earlier").inner_text()
    anew.page.get_by_role("button", name="Bring them over").click()
    assert anew.page.locator("#tapes").get_by_label("A - C,").input_value() == "43-3-3/8"


def test_the_export_is_the_tape_book_that_the_check_reads(open_page, tmp_path, size) -> None:
    opened = open_page(size=size)
    opened.read(A_B="36' 0\"", B_C="24.0", C_D="36ft", A_D="24-0-1/16", A_C="43' 3 3/8\"")
    opened.read(B_D="no length")
    opened.page.locator("#stage").select_option("on the forms")
    opened.read(A_C="13.19 m", B_D="43' 3\"")
    with opened.page.expect_download() as waiting:
        opened.page.get_by_role("button", name="Export the tape book").click()
    assert waiting.value.suggested_filename == "Plum-shed-tapes.csv"
    book = tmp_path / "tapes.csv"
    waiting.value.save_as(book)
    first = read_tape_book(book, opened.job.plan, opened.job.options, "before digging")
    found = {f"{each.from_name}-{each.to_name}": each.distance for each in first.readings}
    assert found == {
        "A-B": pytest.approx(36 * 0.3048, abs=1e-12),
        "B-C": pytest.approx(24 * 0.3048, abs=1e-12),
        "C-D": pytest.approx(36 * 0.3048, abs=1e-12),
        "A-D": pytest.approx(24 * 0.3048 + 0.0254 / 16, abs=1e-12),
        "A-C": pytest.approx(43 * 0.3048 + 3.375 * 0.0254, abs=1e-12),
    }
    words = ["check", str(opened.job_path), "--tapes", str(book), "--column", "before digging"]
    done = CliRunner().invoke(main, [*words, "--json"])
    assert done.exit_code in {0, 5}, done.stderr
    assert len(json.loads(done.stdout)["measurements"]) == 5
    last = read_tape_book(book, opened.job.plan, opened.job.options)
    assert [each.distance for each in last.readings] == [
        pytest.approx(13.19, abs=1e-12),
        pytest.approx(43.25 * 0.3048, abs=1e-12),
    ]


@pytest.mark.parametrize("place", ["job", "stay_clear", "building"])
def test_hostile_text_stays_text(open_page, place) -> None:
    quoted = json.dumps(HOSTILE)
    text = {
        "job": SHED.replace("Plum shed", quoted),
        "stay_clear": f"{SHED}site:\n  stay_clear:\n    - {{name: {quoted}, "
        "corners: [[-30, -30], [-20, -30], [-20, -20]]}\n",
        "building": SHED.replace("Plum shed", '"]]>--><!--<b>x"'),
    }[place]
    opened = open_page(text)
    assert opened.page.locator("script").count() == 2
    assert opened.page.locator("img").count() == 0
    if place == "job":
        assert opened.page.title() == HOSTILE
        assert opened.page.locator("h1").inner_text() == HOSTILE
        assert opened.page.evaluate("stakingPage.job.job") == HOSTILE


def test_the_plan_moves_by_keys_buttons_and_fingers(open_page) -> None:
    opened = open_page()
    opened.go("plan")
    page = opened.page

    def view() -> list[float]:
        return [float(each) for each in page.locator("#plan").get_attribute("viewBox").split()]

    start = view()
    page.locator("#plan-frame").focus()
    page.keyboard.press("+")
    assert view()[2] < start[2]
    page.keyboard.press("ArrowRight")
    assert view()[0] > start[0]
    page.keyboard.press("0")
    assert view() == start
    page.get_by_role("button", name="Nearer").click()
    near = view()
    assert near[2] == pytest.approx(start[2] / 1.5, rel=0, abs=0.02)
    frame = page.locator("#plan-frame").bounding_box()
    x, y = frame["x"] + frame["width"] / 2, frame["y"] + frame["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - 50, y)
    page.mouse.up()
    assert view()[0] > near[0]
    before = view()
    touch = page.context.new_cdp_session(page)

    def fingers(kind: str, apart: float) -> None:
        points = [{"x": x - apart, "y": y, "id": 1}, {"x": x + apart, "y": y, "id": 2}]
        sent = [] if kind == "touchEnd" else points
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": sent})

    fingers("touchStart", 20)
    for apart in (30, 40, 60):
        fingers("touchMove", apart)
    fingers("touchEnd", 60)
    assert view()[2] == pytest.approx(before[2] / 3, rel=0.1)


VISIBLE = """[...document.querySelectorAll('a[href], button, input, select, summary, #plan-frame')]
  .filter((each) => each.checkVisibility() && !each.closest('.skip'))"""


def test_every_control_is_reached_by_the_tab_key(open_page) -> None:
    opened = open_page()
    for view in opened.views():
        if view == "more":
            continue  # folds upon folds of the same boxes
        wanted = opened.page.evaluate(f"{VISIBLE}.length")
        seen = set()
        opened.page.evaluate("document.activeElement.blur()")
        for _ in range(wanted + 5):
            opened.page.keyboard.press("Tab")
            seen.add(opened.page.evaluate(f"{VISIBLE}.indexOf(document.activeElement)"))
        assert len(seen - {-1}) == wanted, view


def test_everything_is_open_and_black_on_white_on_paper(open_page) -> None:
    opened = open_page(scheme="dark")
    opened.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    opened.page.emulate_media(media="print")
    assert opened.page.locator("details.block:not([open])").count() == 0
    assert not opened.page.locator("nav").is_visible()
    assert opened.page.evaluate("getComputedStyle(document.body).backgroundColor") == (
        "rgb(255, 255, 255)"
    )
    opened.page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    assert opened.page.locator("details.block[open]").count() == 0


LENGTHS = [
    "36'", "36' 6", "36'-6 1/2\"", "36 ft 6.5 in", "6 1/2\"", "11.2 m", "11 200 mm", "24ft",
    "24-6-1/2", "24-6 1/2", "43-3-3/8", "43' 3 3/8\"", "43.28", "13.2m", "36′ 6½″", "3/4\"", "-4'",
    "5’ 2 3/8”", "120cm", "12 us ft", "7 survey feet", ".5", "5.", "1 1/2 ft", "24' 13\"",
    "24.5' 6\"",
    "20 ft2", "", "  ", "1e3", "1,5", "3 1/0\"", "3.5 1/2\"", "5 9/8\"", "six", "6''", "36 x 24",
    "1 200", "1 200.5", "6 1/2", "24 6", "--4", "1/2 ft", "999999999999 m", "0", "4 - 1/2\"",
]  # fmt: skip


@pytest.mark.parametrize("unit", list(Unit))
def test_lengths_are_read_as_the_program_reads_them(open_page, unit) -> None:
    opened = open_page()
    found = opened.page.evaluate(
        """([texts, unit]) => texts.map((text) => {
          try { return stakingPage.parseLength(text, unit); } catch { return null; }
        })""",
        [LENGTHS, unit.value],
    )
    for text, read in zip(LENGTHS, found, strict=True):
        try:
            wanted = parse_length(text, unit)
        except MeasureError:
            wanted = None
        if wanted is None or read is None:
            assert wanted == read, text
        else:
            assert read == pytest.approx(wanted, rel=0, abs=1e-12), text


@pytest.mark.parametrize("show", list(Show))
def test_lengths_are_written_as_the_program_writes_them(open_page, show) -> None:
    opened = open_page()
    steps = [0.0254 / 16, 0.0254 / 8, 0.0254, 2 * 0.0254]
    lengths = [k * 0.0254 / 32 + off for k in range(-700, 700, 7) for off in (0, 1e-7, -1e-9)]
    # Exact ties: odd thirty-seconds on a long wall, half hundredths of a foot, half millimetres.
    lengths += [36 * 0.3048 + k * 0.0254 / 32 for k in range(1, 320, 2)]
    lengths += [float(f"{n}.{n % 100:02d}5") * 0.3048 for n in range(100)]
    lengths += [n / 1000 + 0.0005 for n in range(100)] + [0, 12.3456789, 1e-9, -1e-9]
    found = opened.page.evaluate(
        """([lengths, steps, show]) =>
          steps.map((step) => lengths.map((each) => stakingPage.formatLength(each, show, step)))""",
        [lengths, steps, str(show)],
    )
    for step, texts in zip(steps, found, strict=True):
        assert texts == [format_length(each, show, step) for each in lengths]
