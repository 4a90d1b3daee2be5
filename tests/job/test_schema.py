"""The JSON Schema of the job file, its documentation, and the files that people start from."""

import json
import re
from pathlib import Path

import jsonschema
import pytest
from ruamel.yaml import YAML

from staking.job.models import BuildingKeys, HeadKeys, PartKeys, Section
from staking.job.schema import job_file_schema
from staking.job.top import SECTIONS

ROOT = Path(__file__).parent.parent.parent
DEMOS = ["orchard-workshop", "boat-shed", "hillside-lot"]


def plain(value):
    """Give mappings text keys, as JSON has them."""
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    return [plain(item) for item in value] if isinstance(value, list) else value


def load(path):
    return plain(YAML(typ="safe", pure=True).load(path))


def family(model):
    return [model, *(member for child in model.__subclasses__() for member in family(child))]


def test_the_schema_in_docs_is_the_one_the_models_make():
    text = (ROOT / "docs" / "job-file.schema.json").read_text(encoding="utf-8")
    assert json.loads(text) == job_file_schema(), "python -m staking.job.schema writes it anew"


def test_the_schema_is_a_sound_schema():
    jsonschema.Draft202012Validator.check_schema(job_file_schema())


@pytest.mark.parametrize("demo", DEMOS)
def test_the_demo_jobs_keep_to_the_schema(demo):
    jsonschema.validate(load(ROOT / "fixtures" / demo / "job.yaml"), job_file_schema())


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
        jsonschema.validate(job, job_file_schema())


def test_the_documentation_lists_every_key():
    text = (ROOT / "docs" / "job-file.md").read_text(encoding="utf-8")
    keys = {key for model in family(Section) for key in model.keys()}  # noqa: SIM118
    keys |= {*SECTIONS, "building", "buildings"}
    assert {PartKeys, BuildingKeys, HeadKeys} <= set(family(Section))
    missing = [key for key in sorted(keys) if not re.search(rf"[`{{ ]{key}\b", text)]
    assert missing == []
