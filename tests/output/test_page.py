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

from staking.laid_out.layout_value import Layout
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.page.phone_page import write_page
from staking.output.page.script_data import embedded
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


def test_the_lists_to_tick_are_on_the_page_with_every_caution_once(workshop: Sheets) -> None:
    text = page(workshop)
    assert text.count("<h3>Before you dig</h3>") == text.count("<h3>Before you pour</h3>") == 1
    lists = text.partition('<section id="lists"')[2].partition("</section>")[0]
    assert all(f"<li>{caution}</li>" in lists for caution in LAYOUT_CAUTIONS)


def test_embedded_json_cannot_end_its_element() -> None:
    text = embedded({"a": "</script><!-- & \u2028"})
    assert not set("<>&\u2028") & set(text)
    assert json.loads(text) == {"a": "</script><!-- & \u2028"}


def test_the_hash_follows_the_content(workshop: Sheets) -> None:
    def content(text: str) -> str:
        found = re.search(r"content ([0-9a-f]{12})\b", text)
        assert found is not None
        return found[1]

    assert content(page(workshop)) == content(page(workshop))
    assert content(page(workshop)) != content(page(named(workshop, "Pear workshop")))


def test_every_layer_of_the_drawing_with_something_on_it_can_be_switched(workshop: Sheets) -> None:
    text = page(workshop)
    groups = re.findall(r'<g data-layer="([^"]+)">', text)
    switches = re.findall(r'data-layer-switch="([^"]+)"', text)
    assert groups == switches
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
    said = re.sub(r"<[^>]+>", " ", said)
    for caution in LAYOUT_CAUTIONS:
        said = said.replace(caution, "")
    # Minutes and seconds of an angle carry the same marks, but behind a degree sign.
    assert re.findall(r"(?<![°'] )(?<![°'\d])\d+(?:/\d+)?[\"']", said) == []
    assert "What the page says of the stakes is what that check says" in said
