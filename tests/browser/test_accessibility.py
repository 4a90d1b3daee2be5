"""The accessibility rules see what is wrong with a page, also where parts of it are not shown."""

from __future__ import annotations

from tests.browser.accessibility import Accessibility

SPOILT = {
    "label": '<input type="text">',
    "button-name": "<button></button>",
    "color-contrast": "<p id='thin'>Thin letters on white paper</p>",
    "image-alt": '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">',
    "aria-valid-attr-value": '<button role="checkbox" aria-checked="maybe">Strings</button>',
    "two parts are called twice": '<p id="twice">a</p><p id="twice">b</p>',
    "aria-labelledby refers to nowhere": '<button aria-labelledby="nowhere">Go on</button>',
}
PUT_IN = """(text) => {
  document.querySelector("main").insertAdjacentHTML("beforeend", text);
  const thin = document.getElementById("thin");
  if (thin) Object.assign(thin.style, {color: "#999", background: "#fff"});
}"""
SAID = """async (isWhole) => {
  const found = await (isWhole ? axe.run(document) : shownByRules());
  const told = ({id, nodes}) => [id, nodes.map(({html}) => html).sort()];
  const kinds = [found.violations, found.incomplete, found.passes];
  return kinds.map((each) => Object.fromEntries(each.map(told)));
}"""


def test_every_fault_that_is_seen_is_told(open_page, axe: Accessibility) -> None:
    opened = open_page()
    axe.put_into(opened.page)
    assert axe.faults(opened.page) == []
    for text in SPOILT.values():
        opened.page.evaluate(PUT_IN, text)
    before = opened.page.content()
    told = axe.faults(opened.page)
    for fault in SPOILT:
        assert [each for each in told if each.startswith(fault)], fault
    # What was taken out meanwhile is back, in its place.
    assert opened.page.content() == before


def test_the_rules_say_the_same_of_the_page_with_all_that_it_does_not_show(
    open_page, axe: Accessibility
) -> None:
    opened = open_page()
    axe.put_into(opened.page)
    for text in SPOILT.values():
        opened.page.evaluate(PUT_IN, text)
    opened.go("tapes")
    shown, whole = (opened.page.evaluate(SAID, is_whole) for is_whole in (False, True))
    # What is wrong, what a person must look at, and which rules had something to look at.
    assert len(shown[0]) >= 5
    assert shown[0] == whole[0]
    assert shown[1] == whole[1]
    assert shown[2].keys() == whole[2].keys()
