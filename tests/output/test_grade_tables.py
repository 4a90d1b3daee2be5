"""Levels in tables and files: what a person reads is what was worked out."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from staking.job.build import parse_job
from staking.kinds import RodMarks
from staking.laid_out.footing_levels import other_ways
from staking.laid_out.layout_value import Layout
from staking.output.blocks import Listing, Table
from staking.output.documents.document_text import document_text
from staking.output.documents.grade_document import grade_document
from staking.output.points.grade_csv import write_grade_csv
from staking.output.tables.grade_tables import grade_blocks
from staking.output.terminal import plain
from staking.plan import Show
from staking.project.layout import lay_out_job

SCHEMA = Path(__file__).parents[2] / "docs" / "grade.schema.json"

# Invented: a slope with a pad, a slab, stone under the footing and an interior line.
JOB = """job: Plum shed
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 20", thickness: 10"}
  interior: [{name: G, from: A-B at 12', to: C-D at 12'}]
  pads: [{name: P1, at: [34', 6'], size: [24", 24"], thickness: 12"}]
  slab: {top: 102', thickness: 4", base: 4"}
boards: {at: 103'}
dig: {base: 4"}
grade:
  ground: {A: 100', B: 97', C: 97', D: 100', "B-C at 8'": 97'}
  inside: {grade: 101' 4", heated: yes}
  top_of_wall: 102'
  frost_depth: 42"
  benchmark: {name: nail in oak, elevation: 100'}
"""


@pytest.fixture(scope="module")
def graded() -> Layout:
    text = JOB.replace("34', 6'", "20', 6'")
    done = lay_out_job(parse_job(text, "job.yaml"))
    assert done.grade is not None
    return replace(done, grade=other_ways(done.grade))


def tables(layout: Layout) -> dict[str, Table]:
    return {block.title: block for block in grade_blocks(layout) if isinstance(block, Table)}


def test_a_layout_without_levels_has_no_tables(graded: Layout) -> None:
    bare = replace(graded, grade=None)
    assert grade_blocks(bare) == ()
    with pytest.raises(ValueError, match="no levels"):
        grade_document(bare)
    with pytest.raises(ValueError, match="no levels"):
        write_grade_csv(bare, io.StringIO())


def test_every_line_keeps_to_eighty_columns(graded: Layout) -> None:
    for block in grade_blocks(graded):
        assert max(map(len, plain(block))) <= 80, block.title


def test_stone_is_told_between_footing_and_dig(graded: Layout) -> None:
    rows = tables(graded)["What the rod must read"].rows
    names = [row[0] for row in rows]
    assert "its bottom" in names
    flat = replace(graded, options=replace(graded.options, dig=replace(graded.options.dig, base=0)))
    assert "its bottom" not in [row[0] for row in tables(flat)["What the rod must read"].rows]


def test_the_rod_is_told_in_inches_and_tenths_side_by_side(graded: Layout) -> None:
    (row,) = [
        row for row in tables(graded)["What the rod must read"].rows if row[0] == "top of wall"
    ]
    assert row[1:4] == ("102' 0\"", "less 2' 0\" (2.00)", "1' 0\"")
    assert graded.grade is not None
    tenths = replace(graded, grade=replace(graded.grade, rod=RodMarks.TENTHS))
    (row,) = [
        row for row in tables(tenths)["What the rod must read"].rows if row[0] == "top of wall"
    ]
    assert row[2] == "less 2.00 (2' 0\")"


def test_a_metric_job_shows_metres_alone(graded: Layout) -> None:
    metric = replace(graded, options=replace(graded.options, show=Show.METRES))
    cells = {cell for row in tables(metric)["What the rod must read"].rows for cell in row[1:4]}
    assert not any("'" in cell or "(" in cell for cell in cells)


def test_a_heated_inside_asks_no_frost_cover_of_an_interior_line(graded: Layout) -> None:
    rows = tables(graded)["Cover of the footing's bottom, at the tightest place"].rows
    inside = rows[[row[0] for row in rows].index("G")]
    assert inside[4] == "heated"
    document = grade_document(graded)
    (wall,) = [each for each in document["walls"] if each["wall"] == "G"]
    assert wall["runs"][0]["frost_cover"] is None


def test_other_ways_and_cautions_are_lists(graded: Layout) -> None:
    titles = [block.title for block in grade_blocks(graded) if isinstance(block, Listing)]
    assert titles == ["Other ways", "Before you dig"]
    assert len(tables(graded)["Another top of wall"].rows) == 16


def test_wall_is_wall_and_steps_are_said_apart(graded: Layout) -> None:
    # The wall's own area by its runs: length x courses x 8", wall by wall.
    document = grade_document(graded)
    area = sum(
        (run["end"] - run["start"]) * run["courses"] * 8 / 12
        for wall in document["walls"]
        for run in wall["runs"]
    )
    assert document["wall_area"] == pytest.approx(area, abs=1e-6)
    assert document["objective"] == pytest.approx(area + 6 * document["steps"], abs=1e-6)
    (ways,) = [block for block in grade_blocks(graded) if block.title == "Other ways"]
    steps = document["steps"]
    assert ways.lines[0] == (
        f"This way: {area:.2f} sq ft of wall and {steps} steps. A step counts as 6.00 sq ft "
        f"of wall, so that this way comes to {area + 6 * steps:.2f} sq ft; what follows is "
        "against that."
    )


def test_the_document_is_what_its_schema_says(graded: Layout) -> None:
    schema = json.loads(SCHEMA.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    document = grade_document(graded)
    jsonschema.Draft202012Validator(schema).validate(json.loads(document_text(document)))
    assert set(document) == set(schema["required"])
    assert [wall["wall"] for wall in document["walls"]] == ["A-B", "B-C", "C-D", "D-A", "G"]


def test_runs_join_and_cover_the_whole_wall(graded: Layout) -> None:
    for wall in grade_document(graded)["walls"]:
        assert wall["runs"][0]["start"] == 0
        assert wall["runs"][-1]["end"] == wall["length"]
        pairs = zip(wall["runs"], wall["runs"][1:], strict=False)
        assert all(before["end"] == after["start"] for before, after in pairs)
        assert [step["at"] for step in wall["steps"]] == [run["start"] for run in wall["runs"][1:]]


def test_lengths_are_in_the_jobs_unit(graded: Layout) -> None:
    metric = replace(graded, options=replace(graded.options, unit="m"))
    feet, metres = grade_document(graded), grade_document(metric)
    assert feet["top_of_wall"] == 102.0
    assert metres["top_of_wall"] == pytest.approx(31.0896, rel=0, abs=1e-9)
    assert metres["objective"] == pytest.approx(feet["objective"] * 0.09290304, rel=0, abs=1e-6)


def test_the_file_has_a_line_for_every_level_and_step(graded: Layout) -> None:
    stream = io.StringIO(newline="")
    write_grade_csv(graded, stream)
    rows = list(csv.DictReader(io.StringIO(stream.getvalue())))
    document = grade_document(graded)
    assert len(rows) == len(document["rods"]) + document["steps"]
    (top,) = [row for row in rows if row["what"] == "top of wall"]
    assert top["level_ft"] == "102.0000"
    assert top["add_to_benchmark_ft"] == "-2.0000"
    assert top["reading_ft"] == ""
    assert {row["where"] for row in rows if row["what"] == "dig under pad"} == {"P1"}


def test_a_metric_job_reads_its_steps_without_inches(graded: Layout) -> None:
    metric = replace(graded, options=replace(graded.options, unit="mm", show=Show.MILLIMETRES))
    steps = next(each for each in grade_blocks(metric) if each.title.startswith("Steps"))
    assert isinstance(steps, Table)
    assert "up to 12 mm uphill of its station" in steps.note
    # At a level stands an elevation, in metres; all else is in millimetres.
    assert {row[5].rpartition(" ")[2] for row in steps.rows} == {"m"}
    assert {row[1].rpartition(" ")[2] for row in steps.rows} == {"mm"}
