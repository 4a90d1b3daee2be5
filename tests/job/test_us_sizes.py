"""What a metric job is told of the sizes it leaves to their defaults."""

from __future__ import annotations

from staking.job.build import parse_job
from staking.notices import Length, Notice, Severity

JOB = """job: Shed
units: m
show: metres
building:
  rectangle: 9 x 6
  wall: 200 mm
  footing: {width: 600 mm, thickness: 250 mm}
"""
GRADE = """grade:
  ground: {A: 50.0, B: 49.6, C: 49.5, D: 50.0}
  top_of_wall: 50.6
  frost_depth: 450 mm
"""
OWN = "  course: 200 mm\n  module: 200 mm\n"
INCH = 0.0254


def told(text: str) -> list[Notice]:
    return [each for each in parse_job(text, "job.yaml").notices if each.kind == "us-sizes"]


def test_courses_of_eight_inches_are_a_warning_in_a_metric_job() -> None:
    (one,) = told(JOB + GRADE)
    assert one.severity is Severity.WARNING
    assert dict(one.values) == {
        "course": Length(8 * INCH),
        "module": Length(8 * INCH),
        "min_run": Length(32 * INCH),
    }


def test_what_the_job_gives_itself_is_not_told() -> None:
    (one,) = told(JOB + GRADE + OWN)
    assert one.severity is Severity.NOTE
    assert dict(one.values) == {"min_run": Length(32 * INCH)}
    assert told(JOB + GRADE + OWN + "  min_run: 800 mm\n") == []


def test_block_of_sixteen_inches_is_a_warning_and_bolts_a_note() -> None:
    order = "order:\n  block: {courses: 4}\n"
    assert [(each.severity, [key for key, _ in each.values]) for each in told(JOB + order)] == [
        (Severity.NOTE, ["bolts"]),
        (Severity.WARNING, ["length", "height"]),
    ]
    assert (
        told(JOB + "order:\n  bolts: no\n  block: {courses: 4, length: 0.4, height: 0.2}\n") == []
    )


def test_a_job_without_levels_or_in_feet_is_told_nothing() -> None:
    assert told(JOB) == []
    feet = JOB.replace("units: m\nshow: metres\n", "").replace("9 x 6", "29' x 20'")
    assert told(feet + "order:\n  steel: {size: 4}\n") == []
