"""The page as text; tests/browser opens it."""

from __future__ import annotations

import base64
import hashlib
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from staking.laid_out.cards import cards
from staking.laid_out.layout_value import Layout
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.page.phone_page import write_page
from staking.output.page.plan_names import plan_names
from staking.output.page.script_data import embedded
from staking.output.page.unbroken import unbroken
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import Sheets, prepare_sheets

ROOT = Path(__file__).parents[2]
HOSTILE = '</script><b title="x">\'&{{ 7 * 7 }}'


def sheets_of(name: str) -> Sheets:
    job = load_job(ROOT / "fixtures" / name / "job.yaml")
    return prepare_sheets(resolve(job))


@pytest.fixture(scope="module")
def workshop() -> Sheets:
    return sheets_of("orchard-workshop")


def page(sheets: Sheets) -> str:
    stream = io.StringIO()
    write_page(sheets, stream)
    return stream.getvalue()


def named(sheets: Sheets, name: str) -> Sheets:
    layout: Layout = replace(sheets.layout, plan=replace(sheets.layout.plan, job=name))
    return replace(sheets, layout=layout)


@pytest.mark.parametrize("name", ["orchard-workshop", "boat-shed", "hillside-lot"])
def test_a_demo_stays_well_under_400_kb_and_asks_for_nothing_outside(name: str) -> None:
    text = page(sheets_of(name))
    assert len(text.encode()) < 400_000
    outside = set(re.findall(r"(?:https?:)?//[a-z][^\"'\s)]*", text))
    assert outside <= {"http://www.w3.org/2000/svg"}


def test_a_corner_where_the_wall_goes_straight_on_is_named_outside_the_wall() -> None:
    """C lies on the line from B to D, 24' and 30' up a wall that runs up the plan's right side."""
    job = load_job(ROOT / "tests" / "data" / "jobs" / "sound" / "corner-repeats.yaml")
    named_corners = {
        each.text: each.away for each in plan_names(resolve(job).layout) if each.kind == "corner"
    }
    assert named_corners["C"] == pytest.approx((1.0, 0.0), rel=0, abs=1e-9)
    assert "data-away" in page(prepare_sheets(resolve(job)))


def test_two_hundred_corners_stay_under_1_mb(tmp_path: Path) -> None:
    teeth = [
        (16 * tooth + across, depth)
        for tooth in range(49)
        for across, depth in ((0, 0), (8, 0), (8, 4), (16, 4))
    ]
    corners = [*teeth, (784, 0), (792, 0), (792, 60), (0, 60)]
    listed = "\n".join(f"    K{n}: [{x}', {y}']" for n, (x, y) in enumerate(corners, start=1))
    job = tmp_path / "comb.yaml"
    job.write_text(
        f"job: Long comb\nunits: ft\nbuilding:\n  corners:\n{listed}\n"
        '  wall: 8"\n  footing: {width: 16", thickness: 8"}\n',
        encoding="utf-8",
    )
    text = page(prepare_sheets(resolve(load_job(job))))
    assert text.count('class="corner"') == 200
    assert len(text.encode()) < 1_000_000


def test_the_same_layout_gives_the_same_page(workshop: Sheets) -> None:
    assert page(workshop) == page(workshop)


def test_the_policy_names_the_hash_of_every_script_and_style_and_nothing_else(
    workshop: Sheets,
) -> None:
    text = page(workshop)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy is not None
    rules = dict(rule.strip().split(" ", 1) for rule in policy[1].split(";"))
    assert rules["default-src"] == "'none'"
    for tag, rule in (("style", "style-src"), ("script", "script-src")):
        (inner,) = re.findall(rf"<{tag}>(.*?)</{tag}>", text, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(inner.encode()).digest()).decode()
        assert rules[rule] == f"'sha256-{digest}'"
    assert not re.search(r"<[^>]+ (?:style|on[a-z]+)=", text)


def test_hostile_text_of_the_job_is_escaped_everywhere(workshop: Sheets) -> None:
    plain, hostile = page(workshop), page(named(workshop, HOSTILE))
    for tag in ("script", "b", "svg", "table", "section"):
        assert hostile.count(f"<{tag}") == plain.count(f"<{tag}")
    assert "49" not in re.findall(r"<h1>(.*?)</h1>", hostile)[0]
    data = re.search(r'id="job-data">(.*?)</script>', hostile, re.DOTALL)
    assert data is not None
    assert json.loads(data[1])["job"] == HOSTILE


def test_every_caution_stands_in_the_lists_to_tick_and_in_no_fold(workshop: Sheets) -> None:
    text = page(workshop)
    assert text.count("<h2>Before you dig</h2>") == text.count("<h2>Before you pour</h2>") == 1
    lists = "".join(re.findall(r'<section class="part list".*?</section>', text, re.DOTALL))
    said = set(re.findall(r"<li[^>]*>(.*?)</li>", plain(lists), re.DOTALL))
    assert set(LAYOUT_CAUTIONS) <= said
    before = text.partition('id="place-levels"')[0].partition('id="place-plan"')[0]
    assert "<details" not in before


def plain(text: str) -> str:
    """Without the elements that keep a length on one line."""
    return re.sub(r"<x-n>(.*?)</x-n>", r"\1", text)


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("read 43' 10 3/8\" at C", ["43' 10 3/8\""]),
        ('less 4 3/16" and +/- 1/8"', ['less 4 3/16"', '+/- 1/8"']),
        ("A-B 11.2 m, 36.50 ft, 1 250 or 1250 mm", ["A-B", "11.2 m", "36.50 ft", "1250 mm"]),
        ('4\' (1.22 m) deep, 20" x 10"', ["4' (1.22 m)", '20"', '10"']),
        ("S 75° 30' 00\" E of the wall AB_1-C2", ["S 75° 30' 00\" E", "AB_1-C2"]),
        ("<b> & 5 boards", []),
    ],
)
def test_what_is_never_torn_over_two_lines(text: str, kept: list[str]) -> None:
    written = str(unbroken(text))
    assert re.findall(r"<x-n>(.*?)</x-n>", written) == kept
    assert plain(written) == text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def test_cards_and_steps_are_those_of_the_papers(workshop: Sheets) -> None:
    text = page(workshop)
    found = re.search(r'id="job-data">(.*?)</script>', text, re.DOTALL)
    assert found is not None
    data = json.loads(found[1])
    assert [card["name"] for card in data["cards"]] == [e.name for e in cards(workshop.layout)]
    assert workshop.work is not None
    assert len(data["steps"]) == len(workshop.work.steps) == len(re.findall(r'data-step="\d', text))


def test_no_name_of_a_layer_that_only_writes_is_drawn_twice(workshop: Sheets) -> None:
    text = page(workshop)
    assert text.count('class="corner"') == len(workshop.layout.plan.corner_points)
    assert text.count('class="board"') == len(workshop.layout.boards)
    assert "S-ANNO" not in text


def test_embedded_json_cannot_end_its_element() -> None:
    text = embedded({"a": "</script><!-- & \u2028"})
    assert not set("<>&\u2028") & set(text)
    assert json.loads(text) == {"a": "</script><!-- & \u2028"}


def test_the_mark_is_that_of_the_layout(workshop: Sheets) -> None:
    assert f"Layout {workshop.layout.mark}" in page(workshop)


def test_every_layer_of_the_drawing_with_something_on_it_can_be_switched(workshop: Sheets) -> None:
    text = page(workshop)
    groups = re.findall(r'<g data-layer="([^"]+)">', text)
    switches = re.findall(r'data-layer-switch="([^"]+)"', text)
    assert groups == switches
    assert groups[-2:] == ["stakes", "names"]
    assert {"S-FNDN-WALL", "S-FNDN-FTNG", "S-FNDN-LINE", "S-FNDN-BATR"} <= set(groups)
    assert "S-ANNO-TTLB" not in groups


def test_the_plan_lies_where_the_layout_says(workshop: Sheets) -> None:
    # wall A-B runs 36' along x, wall B-C 24' along y: the footing's ring tells the scale
    text = page(workshop)
    walls = re.search(r'<g data-layer="S-FNDN-WALL">(.*?)</g>', text, re.DOTALL)
    assert walls is not None
    points = [
        tuple(map(float, pair.split(" ")))
        for path in re.findall(r'd="M([^"Z]+)Z?"', walls[1])
        for pair in path.split("L")
    ]
    width = max(x for x, _ in points) - min(x for x, _ in points)
    height = max(y for _, y in points) - min(y for _, y in points)
    assert width / height == pytest.approx(36 / 32, rel=0, abs=1e-3)


def test_dashes_are_as_long_as_a_screen_shows_them(workshop: Sheets) -> None:
    patterns = set(re.findall(r'stroke-dasharray="([^"]+)"', page(workshop)))
    assert patterns
    for pattern in patterns:
        lengths = [float(each) for each in pattern.split()]
        assert 1.5 <= min(lengths) < max(lengths) <= 24


def test_a_metric_page_speaks_of_no_inch_but_in_the_cautions() -> None:
    said = re.sub(
        r"<(script|style).*?</\1>|<svg.*?</svg>", "", page(sheets_of("boat-shed")), flags=re.S
    )
    said = re.sub(r"<[^>]+>", " ", plain(said))
    for caution in LAYOUT_CAUTIONS:
        said = said.replace(caution, "")
    # Minutes and seconds of an angle carry the same marks, but behind a degree sign.
    assert re.findall(r"(?<![°'] )(?<![°'\d])\d+(?:/\d+)?[\"']", said) == []
    assert "What the page says of the stakes is what that check says" in said
