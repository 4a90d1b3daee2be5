"""What lengths, counts and shares commonly are: refused or said where they are not."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from staking.errors import InputError
from staking.job.build import parse_job, read_job
from staking.job.keys.grade_keys import GradeKeys
from staking.job.keys.models import Section
from staking.job.keys.plausible import BY_KEY, RANGES
from staking.job.keys.site_keys import SiteKeys
from staking.measure.lengths import format_length
from staking.output.wording import Words
from staking.plan import Show

ROOT = Path(__file__).parents[2]

ANY_LENGTH = {
    "building.at", "building.corners", "outlet.at", "pad.at", "pad.from", "pad.to",
    "stayclear.corners", "bybearing.north", "bybearing.east", "grade.steps", "site.scaled_about",
}  # fmt: skip
"""Coordinates and stations on a wall: the building itself holds them together."""


def family(model):
    return [model, *(member for child in model.__subclasses__() for member in family(child))]


def keys_of(model):
    return {f"{model.__name__.removesuffix('Keys').lower()}.{key}" for key in model.keys()}  # noqa: SIM118


def unlikely(path):
    job = read_job(path)
    words = Words(job.options)
    return [words.notice(each) for each in job.notices if each.kind == "unlikely-value"]


def test_a_bare_number_is_refused_with_what_was_meant():
    text = (
        "job: Barn\nbuilding:\n  rectangle: 36' x 24'\n  wall: 8\"\n"
        '  footing: {width: 20, thickness: 10"}\n'
    )
    with pytest.raises(InputError, match=r".") as caught:
        parse_job(text, "job.yaml")
    assert str(caught.value) == (
        'job.yaml, line 5, footing width: 20 here is 20 ft; write 20" for inches, '
        "or 20' if feet are meant"
    )


@pytest.mark.parametrize("meant", ['20"', "20'"])
def test_either_reading_of_the_remedy_is_taken(meant):
    text = (
        "job: Barn\nbuilding:\n  rectangle: 36' x 24'\n  wall: 8\"\n"
        f'  footing: {{width: {meant}, thickness: 10"}}\n'
    )
    assert parse_job(text, "job.yaml").plan.buildings


def test_the_demos_have_no_unlikely_value():
    for demo in sorted((ROOT / "fixtures").glob("*/job.yaml")):
        assert unlikely(demo) == [], demo


def test_every_range_is_of_a_key_that_there_is():
    known = set().union(*(keys_of(model) for model in family(Section)))
    assert {SiteKeys, GradeKeys} <= set(family(Section))
    assert {key.split(" ")[0] for key in BY_KEY} <= known
    assert len(BY_KEY) == sum(len(each.keys) for each in RANGES), "a key has two ranges"
    assert all(each.least < each.most for each in RANGES)


def test_every_length_of_the_job_file_has_a_range():
    """A key whose schema is a length, a list or a table of lengths stands in the table."""
    from staking.job.keys.schema import job_file_schema

    missing = set()
    for name, body in job_file_schema()["$defs"].items():
        for key, value in body.get("properties", {}).items():
            if '"a length"' not in str(value).replace("'", '"'):
                continue
            own = f"{name.removesuffix('Keys').lower()}.{key}"
            part = f"part.{key}"
            if name != "ToleranceKeys" and own not in BY_KEY and part not in BY_KEY:
                missing.add(own)
    assert missing - ANY_LENGTH == set()


def ends(each):
    if each.is_length:
        least, most = (
            format_length(each_end, Show.FEET_INCHES, 0.0254 / 128)
            for each_end in (each.least, each.most)
        )
        return f"{least} to {most} ({each.least:.4g} m to {each.most:.4g} m)"
    unit, scale = each.shown
    return f"{each.least * scale:g}{unit} to {each.most * scale:g}{unit}"


def test_the_documentation_lists_every_range():
    text = (ROOT / "docs" / "job-file.md").read_text(encoding="utf-8")
    rows = [f"| {each.title} | {ends(each)} |" for each in RANGES]
    assert [row for row in rows if row not in text] == []
    section = text[text.index("## What is plausible") :]
    listed = re.findall(r"^\| .* \| .* to .* \|$", section, re.MULTILINE)
    assert listed == rows


if __name__ == "__main__":
    print("\n".join(f"| {each.title} | {ends(each)} |" for each in RANGES))
