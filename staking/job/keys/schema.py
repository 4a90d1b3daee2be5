"""The job file's JSON Schema, for editors that complete and check keys while one types.

``python -m staking.job.keys.schema`` prints it; docs/job-file.schema.json is that print.
"""

from __future__ import annotations

import json
from typing import Any

from staking.job.keys.models import (
    STANDS_AT,
    BuildingKeys,
    ExistingKeys,
    HeadKeys,
    PartKeys,
    Section,
)
from staking.job.keys.order_keys import MortarKeys
from staking.job.keys.top import SECTIONS

DRAFT = "https://json-schema.org/draft/2020-12/schema"

_WAYS = ("corners", "rectangle", "sides")


def job_file_schema() -> dict[str, Any]:
    """Make the schema of the job file from its models.

    Returns
    -------
    dict
        A JSON Schema (draft 2020-12). Lengths are numbers or text; what text a length may be is
        told by the reader, not by the schema.
    """
    from pydantic.json_schema import models_json_schema

    models: list[type[Section]] = [HeadKeys, PartKeys, BuildingKeys, ExistingKeys, MortarKeys]
    models += SECTIONS.values()
    _, made = models_json_schema(
        [(model, "validation") for model in models], ref_template="#/$defs/{model}"
    )
    definitions: dict[str, Any] = {
        name: _tidied(body) for name, body in sorted(made["$defs"].items())
    }
    for model in _family(Section):
        definition = definitions.get(model.__name__)
        if definition is not None:
            definition["additionalProperties"] = False
            for key in sorted(model.unused):
                definition["properties"][key] = {"description": "known, not yet used"}
    _part_names_from_keys(definitions, definitions)
    head, parts = definitions.pop("HeadKeys"), definitions.pop("PartKeys")
    definitions["BuildingKeys"]["oneOf"] = [{"required": [way]} for way in _WAYS]
    definitions["ToleranceKeys"] = {
        "anyOf": [
            definitions["ToleranceKeys"],
            definitions["ToleranceKeys"]["properties"]["preset"],
        ]
    }
    properties = {
        **head["properties"],
        "building": _section(BuildingKeys),
        "buildings": {
            "type": "array",
            "items": {"$ref": "#/$defs/BuildingKeys"},
            "minItems": 1,
            "description": "several buildings on one grid",
        },
        **parts["properties"],
    }
    for key, model in SECTIONS.items():
        properties[key] = _section(model)
    named = json.dumps([properties, *definitions.values()])
    definitions = {name: body for name, body in definitions.items() if f'"#/$defs/{name}"' in named}
    return {
        "$schema": DRAFT,
        "title": "Job file",
        "description": "A foundation job: what is built, and how it is set out.",
        "type": "object",
        "properties": properties,
        "required": ["job"],
        "oneOf": [{"required": ["building"]}, {"required": ["buildings"]}],
        "additionalProperties": False,
        "$defs": definitions,
    }


def _section(model: type[Section]) -> dict[str, Any]:
    """Refer to a section, and say what it is."""
    about = (model.__doc__ or "").split("\n", maxsplit=1)[0].rstrip(".")
    return {"$ref": f"#/$defs/{model.__name__}", "description": about}


def _family(model: type[Section]) -> list[type[Section]]:
    """List a model's descendants."""
    return [member for child in model.__subclasses__() for member in (child, *_family(child))]


def _part_names_from_keys(body: Any, definitions: dict[str, Any]) -> None:
    """Say of a table of free names that it holds no key of the ways beside which it stands.

    `ground` is a table of places, or `{level_book: levels.csv}`. Without this the second would
    be both, and an editor would refuse it.
    """
    parts = body.values() if isinstance(body, dict) else body if isinstance(body, list) else ()
    for part in parts:
        _part_names_from_keys(part, definitions)
    if not isinstance(body, dict) or "oneOf" not in body:
        return
    ways = [way["$ref"].rsplit("/", maxsplit=1)[-1] for way in body["oneOf"] if "$ref" in way]
    keys = sorted({name for way in ways for name in definitions[way]["properties"]})
    for way in body["oneOf"]:
        if keys and isinstance(way.get("additionalProperties"), dict):
            way["propertyNames"] = {"not": {"enum": keys}}


def _tidied(body: Any) -> Any:
    """Leave out what the reader adds: titles, nulls, defaults, and the place in the file."""
    if isinstance(body, list):
        return [_tidied(item) for item in body]
    if not isinstance(body, dict):
        return body
    kept: dict[str, Any] = {}
    for key, value in body.items():
        if key == "properties":
            kept[key] = {name: _tidied(part) for name, part in value.items() if name != STANDS_AT}
        elif key == "anyOf":
            options = [_tidied(item) for item in value if item != {"type": "null"}]
            if len(options) == 1:
                kept.update(options[0])
            else:
                kept[key] = options
        elif key not in {"title", "default"}:
            kept[key] = _tidied(value)
    return kept


if __name__ == "__main__":
    print(json.dumps(job_file_schema(), indent=2))
