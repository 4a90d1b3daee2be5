"""The keys of the grade section: the ground, the levels and the rules of stepped footings.

What may be written in several ways (the ground, finished grade, the top of the wall) stands in
`ground_keys`.
"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import ValidationInfo, WithJsonSchema

from staking.errors import MeasureError
from staking.grade.stepping.step_rules import PRESETS
from staking.job.keys.fields import (
    Flag,
    Length,
    LengthOrZero,
    PositiveLength,
    choice,
)
from staking.job.keys.ground_keys import (
    Benchmark,
    Finished,
    Ground,
    LevelWalls,
    StakeTops,
    Steps,
    TopOfWall,
    Tops,
)
from staking.job.keys.models import Section, key
from staking.job.keys.read_by import ReadBy
from staking.job.tree.job_limits import MOST_COURSES
from staking.job.tree.source import Scalar
from staking.kinds import RodMarks
from staking.measure.lengths import Unit, parse_angle, parse_area


def _whole(least: int, most: int, what: str) -> Any:
    """Make the type of a field that takes a whole number."""

    def read(value: Any) -> int:
        text = value.text.strip() if isinstance(value, Scalar) else ""
        if not re.fullmatch(r"[0-9]{1,6}", text) or not least <= int(text) <= most:
            raise MeasureError(
                f"{text or 'this'} is not a number of {what}",
                f"write a whole number from {least} to {most}",
            )
        return int(text)

    return Annotated[
        int,
        ReadBy(read),
        WithJsonSchema({"type": "integer", "minimum": least, "maximum": most}),
    ]


def _read_area(value: Any, info: ValidationInfo) -> float:
    """Read an area, m2; a bare number is in squares of the job's unit."""
    if not isinstance(value, Scalar) or value.is_empty:
        raise MeasureError("an area belongs here", "write one such as 6 sq ft or 0.5 m2")
    unit = (info.context or {}).get("unit", Unit.FT)
    return parse_area(value.text, unit)


def _read_fall(value: Any) -> float:
    """Read an angle below the level, rad, between level and upright."""
    if not isinstance(value, Scalar) or value.is_empty:
        raise MeasureError("an angle belongs here", "write one in degrees, such as 30")
    radians = parse_angle(value.text)
    if not 0.0 < radians < 1.5:
        raise MeasureError(f"{value.text} is not a fall of a line", "write degrees, such as 30")
    return radians


class InsideKeys(Section):
    """The ground inside the building."""

    grade: Length | None = key("elevation of the ground inside")
    heated: Flag | None = key("whether the inside is heated")


class GradeKeys(Section):
    """The ground, the levels and the rules of stepped footings."""

    ground: Ground | None = key(
        "the ground as it is: survey, a level book, elevations, or rod readings"
    )
    finished: Finished | None = key(
        'finished grade: existing, +6" over it, -6" under it, or its own points'
    )
    beyond: choice("nearest") | None = key(  # type: ignore[valid-type]
        "nearest: ground beyond what was read is as high as the nearest that was"
    )
    strip: LengthOrZero | None = key("topsoil that is taken off")
    benchmark: Benchmark | None = key("a point of the survey, or a name and its elevation")
    rod: choice(*RodMarks) | None = key("how the rod is marked")  # type: ignore[valid-type]
    rod_length: PositiveLength | None = key("how long the rod is")
    instrument: Length | None = key("elevation of the line of sight")
    top_of_wall: TopOfWall | None = key('an elevation, or such as highest ground + 8"')
    walls: Tops = key("tops that differ, such as {A-B: {top_of_wall: 104'}}", default={})
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
            ReadBy(_read_area),
            WithJsonSchema({"type": ["number", "string"], "$comment": "an area"}),
        ]
        | None
    ) = key("what one more step is worth in wall area")
    most_steps: _whole(0, 1000, "steps") | None = key("how many steps there may be in all")  # type: ignore[valid-type]
    rules: choice(*(rule.name for rule in PRESETS)) | None = key("a published rule for steps")  # type: ignore[valid-type]
    steps: Steps = key("fixes the steps of a wall, such as {A-B: [12' 8\"]}", default={})
    level: LevelWalls = key("walls that may not step", default=[])
    stake_tops: StakeTops = key("elevations of the stakes' tops, at corners and pads", default={})
    inside: InsideKeys | None = key("the ground inside")
    veneer: Flag | None = key("whether masonry veneer stands before the wall")
    neighbour_line: (
        Annotated[
            float,
            ReadBy(_read_fall),
            WithJsonSchema({"type": ["number", "string"], "$comment": "degrees"}),
        ]
        | None
    ) = key("fall, in degrees, of the line from a neighbouring footing that no dig may cross")
