"""The ways in which the ground, finished grade and the levels may be written."""

from __future__ import annotations

import re
from typing import Annotated, Any, ClassVar

from pydantic import ValidationInfo, WithJsonSchema

from staking.errors import MeasureError
from staking.grade.grade_request import TopAsked
from staking.job.keys.containers import by_its_keys, list_of, mapping_of, one_or_list, table_of
from staking.job.keys.fields import (
    LENGTH_SCHEMA,
    Length,
    PointName,
    choice,
    length_of,
    own_text,
    unit_of,
)
from staking.job.keys.models import Section, key
from staking.job.keys.read_by import ReadBy
from staking.job.keys.site_keys import Crs
from staking.job.tree.source import Scalar

GROUND_EXAMPLE = 'write survey, or elevations such as {A: 99\' 4", "A-B at 18\'": 98\' 10"}'
ROD_EXAMPLE = "write {rod: {A: 5' 2 3/8\"}, instrument: 104' 6\"}"
_ABOVE = re.compile(r"highest\s+ground\s*\+\s*(?P<length>.+)", re.IGNORECASE)
_NAMED = "walls with their values belong here"


def _read_survey(value: Any) -> str:
    """Read the word survey."""
    if not isinstance(value, Scalar):
        raise MeasureError("a list is not ground", GROUND_EXAMPLE)
    word = own_text(value)
    if word.casefold() != "survey":
        raise MeasureError(f"{word} is not ground", GROUND_EXAMPLE)
    return "survey"


def _read_rod(value: Any, info: ValidationInfo) -> float:
    """Read a rod reading, m."""
    metres = length_of(value, unit_of(info))
    if metres < 0.0:
        raise MeasureError(f"{value.text} is not a rod reading", "write zero or more")
    return metres


def _read_above(value: Any, info: ValidationInfo) -> float:
    """Read how far finished grade lies over the ground, m, with its sign."""
    text = own_text(value)
    if text.casefold() == "existing":
        return 0.0
    if text[0] not in "+-":
        raise MeasureError(
            f"{text} does not say whether it is filled or cut",
            f"write +{text} for fill, -{text} for a cut, existing, or elevations at points",
        )
    return length_of(value, unit_of(info))


def _read_top(value: Any, info: ValidationInfo) -> TopAsked:
    """Read the top of the wall: an elevation, or a height over the highest ground."""
    text = own_text(value)
    above = _ABOVE.fullmatch(text)
    if above is not None:
        return TopAsked(above_highest=length_of(Scalar(above["length"], 0), unit_of(info)))
    if "ground" in text.casefold():
        raise MeasureError(f"{text} is not a top of wall", 'write highest ground + 8"')
    return TopAsked(elevation=length_of(value, unit_of(info)))


def above_of(text: str) -> str:
    """Give the length within ``highest ground + 8"``."""
    match = _ABOVE.fullmatch(text.strip())
    return match["length"].strip() if match else text.strip()


_SurveyWord = Annotated[str, ReadBy(_read_survey), WithJsonSchema({"const": "survey"})]
_RodReading = Annotated[float, ReadBy(_read_rod), WithJsonSchema(LENGTH_SCHEMA)]
_Above = Annotated[
    float, ReadBy(_read_above), WithJsonSchema({"type": "string", "pattern": "^[-+e]"})
]
TopOfWall = Annotated[TopAsked, ReadBy(_read_top), WithJsonSchema(LENGTH_SCHEMA)]

_Readings = table_of(Length, "points with their elevations belong here", GROUND_EXAMPLE)


class RodKeys(Section):
    """Rod readings, and the height from which they were taken."""

    rod: table_of(  # type: ignore[valid-type]
        _RodReading, "points with their readings belong here", ROD_EXAMPLE
    ) = key("corners and points such as A-B at 18', each with its rod reading", must=True)
    instrument: Length | None = key("elevation of the line of sight")


class LevelBookKeys(Section):
    """A level book beside the job."""

    level_book: PointName = key("a file beside the job", must=True)


class SurfaceKeys(Section):
    """One of the survey's surfaces."""

    surface: PointName = key("a surface of the survey, by its name", must=True)


class CloudKeys(Section):
    """Scanned ground beside the job: a laser point cloud, or heights in rows and columns."""

    cloud: one_or_list(PointName) = key(  # type: ignore[valid-type]
        "a LAS or LAZ file, or a height grid, or a list of them", must=True
    )
    units: choice("ft", "us-ft", "in", "m", "mm") | None = key(  # type: ignore[valid-type]
        "what its northings and eastings are in, where the file does not say it or is wrong"
    )
    heights: choice("ft", "us-ft", "m") | None = key(  # type: ignore[valid-type]
        "what its heights are in, where the file does not say it or is wrong"
    )
    crs: Crs | None = key("its coordinate system, where the file does not say it or is wrong")


Ground = by_its_keys(
    {
        "rod": RodKeys,
        "level_book": LevelBookKeys,
        "surface": SurfaceKeys,
        "cloud": CloudKeys,
        "points": _Readings,
    },
    "points",
    word=_SurveyWord,
)
Finished = by_its_keys({"rod": RodKeys, "points": _Readings}, "points", word=_Above)


class BenchmarkKeys(Section):
    """A point of known elevation."""

    point: PointName | None = key("a point of the survey")
    name: PointName | None = key("what it is, such as nail in oak")
    elevation: Length | None = key("its elevation")


class TopKeys(Section):
    """What differs along one wall."""

    together: ClassVar[bool] = True

    top_of_wall: Length | None = key("its top, an elevation")


Benchmark = mapping_of(
    BenchmarkKeys,
    "keys belong here",
    "write {point: BM1}, or {name: nail in oak, elevation: 100'}",
)
Tops = table_of(
    mapping_of(TopKeys, "keys belong here", "write {top_of_wall: 104'}"),
    _NAMED,
    "write {A-B: {top_of_wall: 104'}}",
)
Steps = table_of(
    list_of(Length, "a list of stations belongs here", "write [12' 8\", 20']"),
    _NAMED,
    "write {A-B: [12' 8\"]}",
)
StakeTops = table_of(Length, _NAMED, "write {A: 101' 2\", B: 99' 7\"}")
LevelWalls = list_of(PointName, "a list of walls belongs here", "write their names in [ ]", least=1)
