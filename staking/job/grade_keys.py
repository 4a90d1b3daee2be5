"""The keys of the grade section: the ground, the levels and the rules of stepped footings.

What may be written in several ways (the ground, finished grade, the benchmark, the top of the
wall, steps) is kept as it stands in the file and read by `grade.GradeReader`.
"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema

from staking.errors import MeasureError
from staking.grade.stepping.step_rules import PRESETS
from staking.job.fields import (
    Flag,
    Length,
    LengthOrZero,
    PositiveLength,
    choice,
)
from staking.job.limits import MOST_COURSES
from staking.job.models import Section, key
from staking.job.source import Scalar
from staking.measure.lengths import Unit, parse_angle, parse_area

_LENGTH: dict[str, Any] = {"type": ["number", "string"], "$comment": "a length"}
_READINGS: dict[str, Any] = {
    "type": "object",
    "description": "corners and points such as A-B at 18', each with its elevation",
    "additionalProperties": _LENGTH,
    "minProperties": 1,
}
_ROD: dict[str, Any] = {
    "type": "object",
    "properties": {
        "rod": {**_READINGS, "description": "corners and points, each with its rod reading"},
        "instrument": {**_LENGTH, "description": "elevation of the line of sight"},
    },
    "required": ["rod"],
    "additionalProperties": False,
}
_POINTS: list[dict[str, Any]] = [_ROD, _READINGS]
_LEVEL_BOOK: dict[str, Any] = {
    "type": "object",
    "properties": {"level_book": {"type": "string", "description": "a file beside the job"}},
    "required": ["level_book"],
    "additionalProperties": False,
}
_SURFACE: dict[str, Any] = {
    "type": "object",
    "properties": {
        "surface": {"type": ["string", "number"], "description": "a surface of the survey"}
    },
    "required": ["surface"],
    "additionalProperties": False,
}


def _kept(value: Any) -> Any:
    return value


def _as_it_stands(schema: dict[str, Any]) -> Any:
    """Make the type of a field that is read from the tree; `schema` is for editors."""
    return Annotated[Any, PlainValidator(_kept), WithJsonSchema(schema)]


def _whole(least: int, most: int, what: str) -> Any:
    """Make the type of a field that takes a whole number."""

    def read(value: Any) -> int:
        text = value.text.strip() if isinstance(value, Scalar) else ""
        if not re.fullmatch(r"[0-9]{1,6}", text) or not least <= int(text) <= most:
            raise MeasureError(
                f"{text or 'this'} is no number of {what}",
                f"write a whole number from {least} to {most}",
            )
        return int(text)

    return Annotated[
        int,
        PlainValidator(read),
        WithJsonSchema({"type": "integer", "minimum": least, "maximum": most}),
    ]


def _read_area(value: Any, info: ValidationInfo) -> float:
    """Read an area, m2; a bare number is in squares of the job's unit."""
    if not isinstance(value, Scalar) or value.is_empty:
        raise MeasureError("an area is due here", "write one such as 6 sq ft or 0.5 m2")
    unit = (info.context or {}).get("unit", Unit.FT)
    return parse_area(value.text, unit)


def _read_fall(value: Any) -> float:
    """Read an angle below the level, rad, between level and upright."""
    if not isinstance(value, Scalar) or value.is_empty:
        raise MeasureError("an angle is due here", "write one in degrees, such as 30")
    radians = parse_angle(value.text)
    if not 0.0 < radians < 1.5:
        raise MeasureError(f"{value.text} is no fall of a line", "write degrees, such as 30")
    return radians


class InsideKeys(Section):
    """The ground inside the building."""

    grade: Length | None = key("elevation of the ground inside")
    heated: Flag | None = key("whether the inside is heated")


class GradeKeys(Section):
    """The ground, the levels and the rules of stepped footings."""

    ground: _as_it_stands(  # type: ignore[valid-type]
        {"anyOf": [{"const": "survey"}, _LEVEL_BOOK, _SURFACE, *_POINTS]}
    ) = key("the ground as it is: survey, a level book, elevations, or rod readings")
    finished: _as_it_stands(  # type: ignore[valid-type]
        {"anyOf": [{"type": "string"}, *_POINTS]}
    ) = key('finished grade: existing, +6" over it, -6" under it, or its own points')
    beyond: choice("nearest") | None = key(  # type: ignore[valid-type]
        "nearest: ground beyond what was read is as high as the nearest that was"
    )
    strip: LengthOrZero | None = key("topsoil that is taken off")
    benchmark: _as_it_stands({  # type: ignore[valid-type]
        "type": "object",
        "properties": {
            "point": {"type": ["string", "number"], "description": "a point of the survey"},
            "name": {"type": "string", "description": "what it is, such as nail in oak"},
            "elevation": {**_LENGTH, "description": "its elevation"},
        },
        "additionalProperties": False,
    }) = key("a point of the survey, or a name and its elevation")
    rod: choice("inches", "tenths") | None = key("how the rod is marked")  # type: ignore[valid-type]
    rod_length: PositiveLength | None = key("how long the rod is")
    instrument: Length | None = key("elevation of the line of sight")
    top_of_wall: _as_it_stands(_LENGTH) = key('an elevation, or such as highest ground + 8"')  # type: ignore[valid-type]
    walls: _as_it_stands({  # type: ignore[valid-type]
        "type": "object",
        "additionalProperties": {
            "type": "object",
            "properties": {"top_of_wall": {**_LENGTH, "description": "its top, an elevation"}},
            "additionalProperties": False,
        },
    }) = key("tops that differ, such as {A-B: {top_of_wall: 104'}}")
    course: PositiveLength | None = key("one height of block with its joint")
    frost_depth: LengthOrZero | None = key(
        "how far the footing's bottom must be below finished grade"
    )
    in_ground: LengthOrZero | None = key("how far it must be in undisturbed ground")
    least_courses: _whole(0, MOST_COURSES, "courses") | None = key("the fewest courses")  # type: ignore[valid-type]
    max_step: _whole(0, 12, "courses") | None = key("courses that one step may rise")  # type: ignore[valid-type]
    min_run: LengthOrZero | None = key("least distance between steps")
    corner_run: LengthOrZero | None = key("least distance from a step to a corner or junction")
    overlap: LengthOrZero | None = key("how far the lower footing runs under the upper one")
    module: PositiveLength | None = key("length of a cell, half a block")
    step_cost: (
        Annotated[
            float,
            PlainValidator(_read_area),
            WithJsonSchema({"type": ["number", "string"], "$comment": "an area"}),
        ]
        | None
    ) = key("what one more step is worth in wall area")
    rules: choice(*(rule.name for rule in PRESETS)) | None = key("a published rule for steps")  # type: ignore[valid-type]
    steps: _as_it_stands({  # type: ignore[valid-type]
        "type": "object",
        "additionalProperties": {"type": "array", "items": _LENGTH},
    }) = key("fixes the steps of a wall, such as {A-B: [12' 8\"]}")
    level: _as_it_stands(  # type: ignore[valid-type]
        {"type": "array", "items": {"type": "string"}}
    ) = key("walls that may not step")
    stake_tops: _as_it_stands({  # type: ignore[valid-type]
        "type": "object",
        "description": "corners and pads, each with its stake top's elevation",
        "additionalProperties": _LENGTH,
    }) = key("elevations of the stakes' tops, at corners and pads")
    inside: InsideKeys | None = key("the ground inside")
    veneer: Flag | None = key("whether masonry veneer stands before the wall")
    neighbour_line: (
        Annotated[
            float,
            PlainValidator(_read_fall),
            WithJsonSchema({"type": ["number", "string"], "$comment": "degrees"}),
        ]
        | None
    ) = key("fall, in degrees, of the line from a neighbouring footing that no dig may cross")
