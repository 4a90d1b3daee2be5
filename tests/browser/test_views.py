"""Every place of the page, as wide as phones are, by day and by night: whole and large enough."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.browser.accessibility import widths_and_schemes

ROOT = Path(__file__).parents[2]
DEMOS = ("orchard-workshop", "boat-shed", "hillside-lot")
WIDTHS = (320, 360, 390, 768)
LONG_NAMES = """\
job: Quince house with a long name of its own
units: ft
building:
  corners:
    North_west_corner_01: [0, 0]
    North_east_corner_02: [41' 3 5/16", 0]
    South_east_corner_03: [41' 3 5/16", 28' 7 11/16"]
    South_west_corner_04: [0, 28' 7 11/16"]
  wall: 8"
  footing: {width: 20", thickness: 10"}
  pads:
    - {name: Porch, from: [47', 3' 1 1/16"], to: [47', 25'], count: 4, diameter: 12", thickness: 8"}
grade:
  ground: {North_west_corner_01: 99', North_east_corner_02: 97' 1/2", South_east_corner_03: 98',
    South_west_corner_04: 99' 6"}
  benchmark: {name: nail in the oak, elevation: 100'}
  top_of_wall: 101'
  frost_depth: 36"
  beyond: nearest
"""


RULES = (Path(__file__).parent / "view_rules.js").read_text(encoding="utf-8")


def broken(opened: Any, view: str) -> list[str]:
    """What the rules find in what is seen."""
    found = opened.page.evaluate(f"() => {{ {RULES}\nreturn [torn(), cut(), small()].flat(); }}")
    return [f"{view}: {each}" for each in found]


def demo(name: str, folder: Path) -> str:
    if name == "hillside-lot":
        shutil.copy(ROOT / "fixtures" / name / "lot.csv", folder)
    return (ROOT / "fixtures" / name / "job.yaml").read_text(encoding="utf-8")


def fill(opened: Any) -> None:
    """Type the rod and some tapes, so that what is worked out stands there too."""
    if opened.page.locator("#reading").count():
        opened.type_rod("5 2 3/8" if opened.job.options.unit == "ft" else "1.585 m")
    opened.go("tapes")
    tapes = opened.page.evaluate("stakingPage.job.tapes")
    opened.set_readings({f"{each['from']}-{each['to']}": each["shown"] for each in tapes})


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", [*DEMOS, "long names"])
def test_no_length_is_torn_nothing_cut_off_and_every_target_large_enough(
    open_page, name, width, tmp_path
) -> None:
    text = LONG_NAMES if name == "long names" else demo(name, tmp_path)
    opened = open_page(text, (width, 640))
    fill(opened)
    found = [each for view in opened.views() for each in broken(opened, view)]
    opened.page.locator("[aria-label^='Pick what the tape']").first.evaluate("(e) => e.click()")
    found += broken(opened, "pad")
    assert not found, "\n".join(found[:20])


@pytest.mark.parametrize(("width", "scheme"), widths_and_schemes(320, 768))
@pytest.mark.parametrize("name", DEMOS)
def test_the_accessibility_rules_find_nothing(
    open_page, name, width, scheme, axe, tmp_path
) -> None:
    opened = open_page(demo(name, tmp_path), (width, 640), scheme)
    fill(opened)
    chosen = opened.page.evaluate("stakingPage.job.tapes[0]")
    opened.read(**{f"{chosen['from']}_{chosen['to']}": "no length"})
    axe.put_into(opened.page)
    for view in opened.views():
        assert axe.faults(opened.page) == [], view
    opened.page.locator("[aria-label^='Pick what the tape']").first.evaluate("(e) => e.click()")
    assert axe.faults(opened.page) == [], "pad"


def test_names_on_the_plan_thin_out_keep_their_size_and_grow(open_page, tmp_path) -> None:
    opened = open_page(demo("hillside-lot", tmp_path))
    opened.go("plan")
    opened.page.wait_for_timeout(200)
    boxes = """() => [...document.querySelectorAll("#plan text:not(.off)")].map((each) => {
      const {x, y, width, height} = each.getBoundingClientRect();
      return [each.textContent, x, y, width, height];
    })"""
    far = opened.page.evaluate(boxes)
    assert len({text for text, *_ in far}) >= 10
    _are_apart(far)
    for _ in range(3):
        opened.page.get_by_role("button", name="Nearer").click()
    opened.page.wait_for_timeout(200)
    near = opened.page.evaluate(boxes)
    _are_apart(near)
    sizes = [{text: height for text, *_, height in found} for found in (far, near)]
    assert min(sizes[0].values()) >= 12
    both = sizes[0].keys() & sizes[1].keys()
    assert both
    assert all(sizes[1][text] > 1.1 * sizes[0][text] for text in both)
    opened.page.get_by_role("button", name="All").click()
    opened.page.wait_for_timeout(200)
    assert len(opened.page.evaluate(boxes)) < opened.page.locator("#plan text").count()


def test_no_wall_s_name_lies_on_its_wall(open_page, tmp_path) -> None:
    opened = open_page(demo("hillside-lot", tmp_path))
    opened.go("plan")
    opened.page.wait_for_timeout(200)
    found = opened.page.evaluate("""() => {
      const svg = document.getElementById("plan"), box = (each) => each.getBoundingClientRect();
      return [...svg.querySelectorAll("text.wall:not(.off)")].map((each) => {
        const {left, right, top, bottom} = box(each);
        const place = stakingPage.plan.names.find((name) => name.each === each);
        const {scale, left: x0, top: y0} = stakingPage.plan.drawn();
        const [x, y] = [x0 + (place.x - stakingPage.plan.view[0]) * scale,
          y0 + (place.y - stakingPage.plan.view[1]) * scale];
        return [each.textContent, x, y, left, right, top, bottom];
      });
    }""")
    assert found
    for text, x, y, left, right, top, bottom in found:
        # The middle of the wall, through which its line goes, lies outside the name.
        assert not (left < x < right and top < y < bottom), text


def _are_apart(boxes: list[list[Any]]) -> None:
    for place, (text, x, y, width, height) in enumerate(boxes):
        for other, ox, oy, wide, high in boxes[place + 1 :]:
            # letters are a little lower than their line
            over = (min(x + width, ox + wide) - max(x, ox), min(y + height, oy + high) - max(y, oy))
            assert min(over) < 0.25 * min(height, high), (text, other)
