"""What stands under the fields of the desk: whole sentences, in the form's own words."""

from __future__ import annotations

import pytest

from staking.desk.form_words import in_form_words
from staking.desk.hints import HINTS
from staking.desk.left_out import LEFT_OUT
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
