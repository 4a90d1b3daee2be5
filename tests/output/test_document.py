"""The document: its keys, its unit, and its schema."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from staking.laid_out.layout_value import Layout
from staking.layout.layout_parts import Accuracy, Pass
from staking.output.documents.document_text import document_text
from staking.output.documents.layout_document import layout_document

SCHEMA = Path(__file__).parents[2] / "docs" / "layout.schema.json"
FT = 0.3048


def schema() -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(SCHEMA.read_text(encoding="utf-8"))
    return loaded


def test_the_document_is_what_its_schema_says(small_layout: Layout) -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    document = layout_document(small_layout, pairs=small_layout.checks)
    document["files"] = {"plan.dxf": "0" * 64}
    jsonschema.Draft202012Validator(schema()).validate(json.loads(document_text(document)))


def test_the_schema_knows_every_key_there_is(small_layout: Layout) -> None:
    document = layout_document(small_layout)
    assert set(document) == set(schema()["required"])
    for part in ("corners", "walls", "interior", "pads", "strings", "boards", "hubs"):
        assert set(document[part][0]) == set(schema()["properties"][part]["items"]["properties"])


def test_lengths_are_in_the_unit_of_the_job_and_whole_feet_stay_whole(
    small_layout: Layout,
) -> None:
    document = layout_document(small_layout)
    assert document["unit"] == "ft"
    assert document["corners"][2] == {
        "name": "C",
        "x": 24.0,
        "y": 16.0,
        "northing": None,
        "easting": None,
    }
    assert document["walls"][0]["footing_width"] == pytest.approx(20 / 12, abs=1e-9)
    assert document["paint"]["area"] == pytest.approx(100, abs=1e-8)
    metric = replace(small_layout, options=replace(small_layout.options, unit="mm"))
    assert layout_document(metric)["corners"][2]["x"] == pytest.approx(7315.2, abs=1e-9)
    assert layout_document(metric)["paint"]["area"] == pytest.approx(9290304, abs=1e-3)


def test_walls_run_in_the_order_of_the_outline_and_close_it(small_layout: Layout) -> None:
    walls = layout_document(small_layout)["walls"]
    assert [(wall["from"], wall["to"], wall["length"]) for wall in walls] == [
        ("A", "B", 24.0),
        ("B", "C", 16.0),
        ("C", "D", 24.0),
        ("D", "A", 16.0),
    ]
    assert not any(wall["existing"] for wall in walls)


def test_a_job_without_a_site_is_not_placed(small_layout: Layout) -> None:
    document = layout_document(small_layout)
    assert document["placed"] is False
    assert document["site_unit"] is None
    assert document["clearances"] == document["hand_dig"] == []
    assert all(wall["bearing"] is None for wall in document["walls"])


def test_a_missing_board_and_an_unfixed_stake_are_null(small_layout: Layout) -> None:
    document = layout_document(small_layout)
    assert document["strings"][0]["boards"] == ["1", None]
    assert document["accuracy"] == [
        {"corner": "A", "radius95": pytest.approx(0.25 / 12, abs=1e-9)},
        {"corner": "B", "radius95": None},
    ]


def test_a_pad_that_a_string_passes_stands_under_pad(small_layout: Layout) -> None:
    passes = (Pass(name="P1", is_pad=True, from_start=3 * FT),)
    string = replace(small_layout.strings[0], passes=passes)
    document = layout_document(replace(small_layout, strings=(string,)))
    assert document["strings"][0]["passes"] == [{"pad": "P1", "from_start": 3.0}]


def test_checks_keep_their_legs_and_warnings_are_sentences(small_layout: Layout) -> None:
    document = layout_document(small_layout)
    assert document["checks"][1]["legs"] == [9.0, 12.0]
    assert document["checks"][1]["at"] == "A"
    assert document["warnings"] == [
        'board 1 was moved by 6"',
        "A-B is longer than the tape",
    ]


def test_text_from_the_job_stays_text(small_layout: Layout) -> None:
    hostile = 'sh"ed\x00\x1b[2J\n'
    document = layout_document(replace(small_layout, plan=replace(small_layout.plan, job=hostile)))
    text = document_text(document)
    assert text.isascii()
    assert json.loads(text)["job"] == 'sh"ed??[2J '


def test_what_is_no_number_is_refused(small_layout: Layout) -> None:
    broken = replace(small_layout, accuracy=(Accuracy(corner="A", radius95=float("nan")),))
    with pytest.raises(ValueError, match="not JSON compliant"):
        document_text(layout_document(broken))
