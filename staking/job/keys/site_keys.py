"""The keys of the site section: the survey, where the building stands on it, what it keeps off.

Point names are the survey's own and may be anything, so they are taken as typed.
"""

from __future__ import annotations

import re
from typing import Annotated, Any, ClassVar

from pydantic import AfterValidator, Field, ValidationInfo, WithJsonSchema

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.job.keys.containers import (
    by_its_keys,
    list_of,
    nothing_but_keys,
    one_or_list,
    table_of,
)
from staking.job.keys.fields import (
    Coordinate,
    Coordinates,
    Factor,
    FirstNumber,
    GridPoint,
    Length,
    LengthOrZero,
    PointName,
    PositiveLength,
    Text,
    choice,
    length_of,
    own_text,
    read_bearing,
    read_figure,
)
from staking.job.keys.models import Section
from staking.job.keys.read_by import ReadBy
from staking.job.tree.job_limits import MOST_CORNERS
from staking.job.tree.source import Items, Scalar
from staking.kinds import LotPart
from staking.measure.lengths import Unit
from staking.points import COLUMN_WORDS

_SIDES = re.compile(r"(left|right)\s+(.+)", re.IGNORECASE)


def _read_offset(value: Any, info: ValidationInfo) -> float:
    """Read ``right 20'``, m to the right."""
    text = own_text(value)
    match = _SIDES.fullmatch(text.strip())
    if match is None:
        raise MeasureError(f"{text} has no side", "write right 20' or left 20'")
    unit = (info.context or {}).get("unit", Unit.FT)
    metres = length_of(Scalar(match[2], value.line), unit)
    if metres < 0.0:
        raise MeasureError(f"{text} is less than zero", "write the other side instead")
    return metres if match[1].lower() == "right" else -metres


def _read_crs(value: Any) -> str:
    """Read an EPSG code."""
    text = own_text(value)
    match = re.fullmatch(r"(?:epsg\s*:?\s*)?([0-9]{4,6})", text, re.IGNORECASE)
    if match is None:
        raise MeasureError(f"{text} is not an EPSG code", "write one such as EPSG:5646")
    return f"EPSG:{match[1]}"


def _read_column(value: Any) -> str:
    """Read what one column of the survey is."""
    text = own_text(value)
    if text not in COLUMN_WORDS:
        raise MeasureError(
            f"{text} is not a column", f"write {', '.join(COLUMN_WORDS[:-1])} or {COLUMN_WORDS[-1]}"
        )
    return text


def _once(columns: list[str]) -> list[str]:
    """Refuse a column that is named twice."""
    for name in columns:
        if name != COLUMN_WORDS[-1] and columns.count(name) > 1:
            raise MeasureError(f"{name} is named twice", "name it once")
    return columns


def _read_no_elevation(value: Any) -> tuple[float, ...]:
    """Read the numbers that stand for no elevation; ``none`` where every number is real."""
    if isinstance(value, Items) and value:
        return tuple(read_figure(item) for item in value)
    if isinstance(value, Scalar) and value.text.strip().casefold() == "none":
        return ()
    return (read_figure(value),)


_AS_TYPED = WithJsonSchema({"type": ["string", "number"]})
Bearing = Annotated[float, ReadBy(read_bearing), _AS_TYPED]
Offset = Annotated[
    float,
    ReadBy(_read_offset),
    WithJsonSchema({"type": "string", "pattern": "^([Ll]eft|[Rr]ight) "}),
]
NoElevation = Annotated[
    tuple[float, ...],
    ReadBy(_read_no_elevation),
    WithJsonSchema({
        "anyOf": [
            {"type": "number"},
            {"type": "array", "items": {"type": "number"}, "minItems": 1},
            {"const": "none"},
        ]
    }),
]
Crs = Annotated[str, ReadBy(_read_crs), _AS_TYPED]
Column = Annotated[
    str,
    ReadBy(_read_column),
    WithJsonSchema({"type": "string", "enum": list(COLUMN_WORDS)}),
]


def _through(least: int) -> Any:
    """Make the type of a list of at least so many points by their names."""
    fault = f"a list of {least} points or more belongs here"
    return list_of(PointName, fault, "write their names in [ ]", least)


def _by_line(value: Any) -> Any:
    """Make the type of values by boundary line."""
    return table_of(
        value, "boundary lines with their values belong here", "write them as {1-2: value}"
    )


Columns: Any = Annotated[
    list_of(
        Column,
        "a list of 2 columns or more belongs here",
        "write their names in [ ]",
        least=2,
    ),
    AfterValidator(_once),
]


class ByBearingKeys(Section):
    """One corner's coordinates, and the bearing of a wall."""

    together: ClassVar[bool] = True

    corner: PointName = Field(description="the corner whose coordinates are given")
    wall: PointName | None = Field(
        default=None, description="the wall whose bearing is given; the first one by default"
    )
    north: Coordinate = Field(description="the corner's northing in the survey's grid")
    east: Coordinate = Field(description="the corner's easting in the survey's grid")
    bearing: Bearing = Field(
        description="bearing of the wall in the survey's grid, such as N 14 30 00 E"
    )


class AlongKeys(Section):
    """A wall along the line from one surveyed point to another."""

    together: ClassVar[bool] = True

    wall: PointName | None = Field(
        default=None, description="the wall that runs as the line does; the first one by default"
    )
    along: _through(2) = Field(  # type: ignore[valid-type]
        description="the two points: the wall runs as the first toward the second"
    )
    from_first: Length | None = Field(
        default=None, description="how far past the first point the wall starts"
    )
    offset: Offset | None = Field(
        default=None, description="right 20' or left 20', seen facing the second point"
    )


class FitKeys(Section):
    """Corners that stand at surveyed stakes, by best fit."""

    together: ClassVar[bool] = True

    fit: table_of(  # type: ignore[valid-type]
        PointName,
        "two corners or more with their stakes belong here",
        "write {A: 201, B: 202}",
        least=2,
    ) = Field(description="corners, each with the surveyed point at which it stands")


class ByTapeKeys(Section):
    """Two corners, each by tapes from two surveyed points."""

    together: ClassVar[bool] = True

    tape: table_of(  # type: ignore[valid-type]
        table_of(
            PositiveLength,
            "two points with their distances belong here",
            "write {101: 20', 102: 31' 6\"}",
            least=2,
            most=2,
        ),
        "two corners with two tapes each belong here",
        "write {A: {101: 20', 102: 31' 6\"}, B: {101: …, 102: …}}",
        least=2,
        most=2,
    ) = Field(description="corners, each with its distances from two surveyed points")
    side: choice("left", "right") = Field(  # type: ignore[valid-type]
        description="on which side the corners stand, seen from the first point facing the second"
    )


Placed = by_its_keys(
    {"fit": FitKeys, "tape": ByTapeKeys, "along": AlongKeys, "corner": ByBearingKeys},
    "corner",
    word=nothing_but_keys(
        "keys belong here", "write corner, north, east and bearing, or along, fit or tape"
    ),
)


class StayClearKeys(Section):
    """A shape that no string may enter."""

    name: Text = Field(description="what it is called")
    corners: list[GridPoint] = Field(
        default=[], description="its corners [x, y] in the building grid"
    )
    through: _through(3) | None = Field(  # type: ignore[valid-type]
        default=None, description="surveyed points at its corners, in place of corners"
    )


class BuriedKeys(Section):
    """A buried line."""

    together: ClassVar[bool] = True

    name: PointName = Field(description="what it is called")
    through: _through(2) = Field(  # type: ignore[valid-type]
        description="the surveyed points that it runs through"
    )
    hand_dig: LengthOrZero = Field(description="how far each side of it is dug by hand")

    @classmethod
    def example(cls) -> str:
        """Say what to write where no keys stand."""
        return '{name: gas line, through: [31, 32], hand_dig: 24"}'


@frozen(kw_only=False)
class WrittenCourses:
    """The courses of a deed as typed: each with its line, or a whole description in one."""

    texts: tuple[str, ...]
    is_list: bool


def _read_courses(value: Any) -> WrittenCourses:
    """Take a list of courses, or the text of a deed."""
    if isinstance(value, Scalar) and not value.is_empty and value.text.strip():
        return WrittenCourses((value.text,), is_list=False)
    if not isinstance(value, Items):
        raise MeasureError(
            "the courses of a deed belong here",
            "list them, each its bearing and distance, or paste the text of the deed behind |",
        )
    if len(value) > MOST_CORNERS:
        raise MeasureError(
            f"there are {len(value)} courses; a lot has {MOST_CORNERS} at most",
            "look whether this is the lot alone",
        )
    return WrittenCourses(tuple(own_text(item) for item in value), is_list=True)


Courses = Annotated[
    WrittenCourses,
    ReadBy(_read_courses),
    WithJsonSchema({
        "anyOf": [
            {"type": "string"},
            {"type": "array", "items": {"type": "string"}, "minItems": 1},
        ]
    }),
]


class DeedKeys(Section):
    """A boundary by the courses of its deed or plat."""

    deed: Courses = Field(
        description="the courses round the lot in order, each a bearing and a distance or a curve "
        "by its parts; or the text of the deed"
    )
    names: list[PointName] = Field(
        default=[], description="names of the corners in order; 1, 2, 3 and so on by default"
    )
    pins: table_of(  # type: ignore[valid-type]
        PointName,
        "corners with the survey points at which they were found belong here",
        "write {1: 101, 2: 102}",
    ) = Field(default={}, description="corners that were found, each with its surveyed point")
    basis: Text | None = Field(
        default=None, description="what the deed says its bearings are counted from"
    )


class KeepKeys(Section):
    """A well, a tank, a field or an easement that the building keeps off."""

    together: ClassVar[bool] = True

    name: PointName = Field(description="what it is called")
    through: _through(1) = Field(  # type: ignore[valid-type]
        description="the surveyed points at it or along it; the first named again at the end "
        "closes a piece of ground"
    )
    least: PositiveLength = Field(description="the distance that is kept")
    from_: choice(*LotPart) = Field(  # type: ignore[valid-type]
        alias="from", description="what it is measured from: footing, wall or eave"
    )

    @classmethod
    def example(cls) -> str:
        """Say what to write where no keys stand."""
        return "{name: well, through: [61], least: 50', from: footing}"


Boundary = by_its_keys(
    {"deed": DeedKeys},
    "deed",
    word=_through(3),
)


class SiteKeys(Section):
    """The survey and the lot."""

    survey: one_or_list(PointName) = Field(  # type: ignore[valid-type]
        default=[], description="a survey file, or a list of them, relative to the job file"
    )
    units: choice("ft", "us-ft", "in", "m", "mm") | None = Field(  # type: ignore[valid-type]
        default=None,
        description="what the survey and a bare number under site are in; the job's by default",
    )
    columns: Columns | None = Field(
        default=None, description="the survey's columns in order; - for one to pass over"
    )
    crs: Crs | None = Field(
        default=None, description="the coordinate reference system, such as EPSG:5646"
    )
    placed: Placed | None = Field(  # type: ignore[valid-type]
        alias="place", default=None, description="how the building is placed, one of four ways"
    )
    boundary: Boundary = Field(  # type: ignore[valid-type]
        default=[],
        description="the lot's corners in order, or its deed, such as {deed: [N 88 30 15 E 120', "
        "…], pins: {1: 101}}",
    )
    setbacks: _by_line(LengthOrZero) = Field(  # type: ignore[valid-type]
        default={}, description="by boundary line, such as {1-2: 25', other: 10'}"
    )
    bearings: _by_line(Bearing) = Field(  # type: ignore[valid-type]
        default={}, description="by boundary line, the bearing that the plat prints"
    )
    overhang: LengthOrZero | None = Field(
        default=None, description="how far the eaves reach past the outside face"
    )
    stay_clear: list[StayClearKeys] = Field(
        default=[], description="shapes that no string enters and no tape crosses"
    )
    buried: list_of(  # type: ignore[valid-type]
        BuriedKeys, "a list of buried lines belongs here", "start each with a dash"
    ) = Field(default=[], description="buried lines, and how far each side is dug by hand")
    keep: list_of(  # type: ignore[valid-type]
        KeepKeys, "a list of what is kept off belongs here", "start each with a dash"
    ) = Field(
        default=[],
        description="wells, tanks, fields and easements, and the distance kept from each",
    )
    height: Length | None = Field(default=None, description="height of the lot above the sea")
    distances: choice("grid", "ground") | None = Field(  # type: ignore[valid-type]
        default=None, description="whether the survey's coordinates were scaled to the ground"
    )
    combined_factor: Factor | None = Field(
        default=None, description="the factor by which they were scaled, such as 0.99962"
    )
    scaled_about: Coordinates | None = Field(
        default=None, description="[north, east] of the point about which they were scaled"
    )
    prefix: Text | None = Field(
        default=None, description="what stands before our stakes' names, such as W-"
    )
    numbers: FirstNumber | None = Field(
        default=None, description="stakes as plain numbers, from this one on"
    )
    no_elevation: NoElevation | None = Field(
        default=None,
        description="the number, or the list of numbers, that the survey writes where no elevation "
        "was measured; none where every number is a real elevation",
    )

    @property
    def by_deed(self) -> DeedKeys | None:
        """The boundary's deed; None where it is given by surveyed points, or not at all."""
        given: object = self.boundary
        return given if isinstance(given, DeedKeys) else None

    @property
    def by_points(self) -> tuple[str, ...]:
        """The surveyed points round the lot; none where its deed is given."""
        given: object = self.boundary
        return tuple(map(str, given)) if isinstance(given, list) else ()
