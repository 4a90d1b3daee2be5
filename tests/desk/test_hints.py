"""What stands under the fields of the desk: whole sentences, in the form's own words."""

from __future__ import annotations

import re

import pytest

from staking.desk.form_words import in_form_words
from staking.desk.hints import HINTS
from staking.desk.left_out import LEFT_OUT, LEFT_OUT_OF_PARTS, said_left_out
from staking.job.edit.key_order import schema

OUTLINES = {"corners", "rectangle", "sides"}
"""Asked for by a form of their own."""


def fields() -> list[tuple[str, str]]:
    """Every key of the job file that takes a figure, a word or a list, by its model."""
    found = []
    for model, body in schema()["$defs"].items():
        for key, asked in body.get("properties", {}).items():
            if "$ref" not in asked and not (model == "BuildingKeys" and key in OUTLINES):
                found.append((model, key))
    return found


def test_hints_stand_for_keys_that_there_are() -> None:
    known = {model: set(body.get("properties", {})) for model, body in schema()["$defs"].items()}
    known[""] = set(schema()["properties"])
    # The schema writes out the tolerances where they stand.
    known["ToleranceKeys"] = set(LEFT_OUT["ToleranceKeys"])
    unknown = {(m, k) for m, own in HINTS.items() for k in own if k not in known.get(m, set())}
    assert unknown == set()


def test_every_hint_is_a_whole_sentence() -> None:
    texts = [text for own in HINTS.values() for text in own.values()]
    assert [each for each in texts if not each[0].isupper() or not each.endswith(".")] == []


def test_what_is_left_out_is_said_in_no_key_of_the_file() -> None:
    said, known = said_left_out(), LEFT_OUT | LEFT_OUT_OF_PARTS
    assert {model: set(keys) for model, keys in said.items()} == {
        model: set(keys) for model, keys in known.items()
    }
    # Keys have underscores or colons, lists brackets, formulas signs.
    odd = re.compile(r"\w_\w|\b[a-z_]+: [a-z]+$|[\[\]=]|^-?\d+$| [-/] ")
    spoken = {(m, k): text for m, own in said.items() for k, text in own.items()}
    assert {place: text for place, text in spoken.items() if odd.search(text)} == {}


def test_every_field_has_one() -> None:
    # A pasted deed is asked for by a form of its own; one of three sizes of tolerances by a name.
    other = {("DeedKeys", "deed"), ("ToleranceKeys", "preset")}
    missing = {each for each in fields() if each[1] not in HINTS.get(each[0], {})}
    assert missing - other == set()


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("add at: under boards:.", "add Level of the strings under Batter boards."),
        ("give benchmark: under grade: a point", "give Benchmark under Levels a point"),
        ("left out under grade: height of a course (course:) 0.2 m",
         "left out under Levels: height of a course 0.2 m"),
        ("Strings A-B, C-D run on.", "Strings A-B, C-D run on."),
    ],
)  # fmt: skip
def test_keys_are_named_as_the_form_names_them(told: str, said: str) -> None:
    assert in_form_words(told) == said
