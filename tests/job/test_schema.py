"""The JSON Schema of the job file, its documentation, and the files that people start from."""

import json
import re
from functools import cache
from pathlib import Path

import jsonschema
import pytest
from ruamel.yaml import YAML

from staking.job.keys.schema import job_file_schema

ROOT = Path(__file__).parent.parent.parent
SOUND = sorted((ROOT / "tests" / "data" / "jobs" / "sound").glob("*.yaml"))
NO_KEYS = {"other"}
"""What stands among the keys in the documentation and is a name: of all other boundary lines."""

DEMOS = ["orchard-workshop", "boat-shed", "hillside-lot"]


@cache
def validator():
    return jsonschema.Draft202012Validator(job_file_schema())


def plain(value):
    """Give mappings text keys, as JSON has them."""
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    return [plain(item) for item in value] if isinstance(value, list) else value


def load(path):
    return plain(YAML(typ="safe", pure=True).load(path))


def test_the_schema_in_docs_is_the_one_the_models_make():
    text = (ROOT / "docs" / "job-file.schema.json").read_text(encoding="utf-8")
    assert json.loads(text) == job_file_schema(), "python -m staking.job.keys.schema writes it anew"


def test_the_schema_is_a_sound_schema():
    jsonschema.Draft202012Validator.check_schema(job_file_schema())


@pytest.mark.parametrize("demo", DEMOS)
def test_the_demo_jobs_keep_to_the_schema(demo):
    validator().validate(load(ROOT / "fixtures" / demo / "job.yaml"))


GRADED = """job: Shed
building: {rectangle: 24' x 16', wall: 8", footing: {width: 20", thickness: 10"}}
site: {survey: lot.csv, place: {corner: A, north: 0, east: 0, bearing: N 90 E}}
grade: {top_of_wall: 103', frost_depth: 36", ground: GROUND}
"""

WAYS_TO_GIVE_GROUND = [
    "survey",
    "{A: 100', B: 99' 4\", \"A-B at 12'\": 99' 8\"}",
    "{rod: {A: 4' 6\", B: 5' 2\"}, instrument: 104' 6\"}",
    "{level_book: levels.csv}",
    "{surface: EG}",
]


def graded(ground):
    return plain(YAML(typ="safe", pure=True).load(GRADED.replace("GROUND", ground)))


@pytest.mark.parametrize("ground", WAYS_TO_GIVE_GROUND)
def test_the_schema_takes_every_way_to_give_the_ground(ground):
    validator().validate(graded(ground))


@pytest.mark.parametrize("ground", ["{level_book: levels.csv, A: 100'}", "{surface: EG, A: 100'}"])
def test_the_schema_takes_one_way_to_give_the_ground(ground):
    with pytest.raises(jsonschema.ValidationError):
        validator().validate(graded(ground))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda job: job.update(bords={}),
        lambda job: job.pop("job"),
        lambda job: job["building"].pop("corners"),
        lambda job: job["building"].update(rectangle="36' x 24'"),
        lambda job: job["building"]["footing"].update(widht='20"'),
        lambda job: job["boards"].update(inside_boards="maybe"),
        lambda job: job.update(tolerances="fine work"),
        lambda job: job.update(site={"stay_clear": [{"corners": []}]}),
    ],
)
def test_a_spoiled_job_does_not_keep_to_the_schema(spoil):
    job = load(ROOT / "fixtures" / "orchard-workshop" / "job.yaml")
    spoil(job)
    with pytest.raises(jsonschema.ValidationError, match=r"."):
        validator().validate(job)


@pytest.mark.parametrize("file", SOUND, ids=lambda file: file.stem)
def test_every_sound_job_keeps_to_the_schema(file):
    validator().validate(load(file))


def described(schema, path=()):
    """Give every key of the schema with its description, wherever it stands."""
    if isinstance(schema, dict):
        for name, body in schema.get("properties", {}).items():
            yield (*path, name), body
        for name, body in schema.items():
            yield from described(body, (*path, name))
    elif isinstance(schema, list):
        for number, body in enumerate(schema):
            yield from described(body, (*path, number))


def test_every_key_of_the_schema_has_a_description():
    found = list(described(job_file_schema()))
    assert len(found) > 120
    assert [path for path, body in found if not body.get("description")] == []


def keys_in_the_documentation():
    """Read the keys that the tables of docs/job-file.md list, and those named in their cells."""
    text = (ROOT / "docs" / "job-file.md").read_text(encoding="utf-8")
    text = text[: text.index("## What is plausible")]
    found = set()
    for row in re.findall(r"^\| (`.*)$", text, re.MULTILINE):
        first, *rest = row.split(" | ")
        found |= set(re.findall(r"`(\w+)`", first))
        for cell in (first, *rest):
            for braces in re.findall(r"\{[^`]*\}", cell):
                found |= set(re.findall(r"(?:\{|, )([a-z_]+)(?=[:,}])", braces))
    return found


def test_the_documentation_lists_every_key_and_no_other():
    schema = {path[-1] for path, _ in described(job_file_schema())}
    assert schema - keys_in_the_documentation() == set()
    assert keys_in_the_documentation() - schema - NO_KEYS == set()
