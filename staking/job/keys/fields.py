"""What one value of the job file may be: readers of scalars, as types for the models.

Each type reads a `Scalar` (its text as typed) and gives a plain number or word. The unit of bare
numbers comes in as the validation context. A fault is a `MeasureError`: what was read, and what
to write instead.
"""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import ValidationInfo, WithJsonSchema

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.job.keys.read_by import ReadBy
from staking.job.tree.job_limits import THINNEST_WALL
from staking.job.tree.source import Branch, Items, Scalar
from staking.measure.lengths import Unit, format_length, parse_bearing, parse_length
from staking.plan import Point, Show

LONGEST = 10_000.0
"""No building is this long and no ground this high, m: a greater number is a wrong unit."""

FARTHEST = 1e8
"""No grid coordinate reaches this, m."""

MOST_FROM_ONE = 0.005
"""No projection made for land is farther from true scale than this on the ground (common practice,
no source)."""

MOST_IN_A_ROW = 1000
"""No row has more pads than this."""

_BARE_NUMBER = re.compile(r"[+-]?[0-9]*\.?[0-9]+|[+-]?[0-9]+\.")
_NAME = re.compile(r"\w+")
_STATION = re.compile(r"(?P<on>.+?)\s+at\s+(?P<length>.+)", re.DOTALL)
_QUANTITY = re.compile(r"(?P<number>[+-]?[0-9]+(?:\.[0-9]+)?)\s*(?P<unit>\S+)")
FLAGS = {"yes": True, "true": True, "no": False, "false": False}


@frozen(kw_only=False)
class Station:
    """A point on a wall or an interior line: its name as typed and the length along it, m."""

    on: str
    along: float


def _scalar(value: Any, what: str) -> Scalar:
    """Insist on a single value that is not empty."""
    if isinstance(value, Branch):
        raise MeasureError(f"keys stand here where {what} is due", "write one value")
    if isinstance(value, Items):
        raise MeasureError(f"a list stands here where {what} is due", "write one value")
    if not isinstance(value, Scalar):
        raise TypeError(f"{type(value).__name__} is not a scalar of the job file")
    if value.is_empty or not value.text.strip():
        raise MeasureError("nothing is given", "write a value, or take the line out")
    return value


def length_of(value: Any, unit: Unit) -> float:
    """Read one length, m, with either sign; a bare number is in `unit`.

    Returns
    -------
    float
        The length, m.

    Raises
    ------
    MeasureError
        Where it is not a length, is quoted and bare, or is beyond any building.
    """
    scalar = _scalar(value, "a length")
    if scalar.quoted and _BARE_NUMBER.fullmatch(scalar.text.strip()):
        raise MeasureError(
            f'"{scalar.text}" is a number in quotes',
            f"write {scalar.text.strip()} without quotes, or give its unit",
        )
    metres = parse_length(scalar.text, unit)
    if abs(metres) > LONGEST:
        raise MeasureError(f"{scalar.text} is over 10 km", "check the number and its unit")
    return metres


def unit_of(info: ValidationInfo) -> Unit:
    """Give the unit of bare numbers where a value is read."""
    unit = (info.context or {}).get("unit", Unit.FT)
    return unit if isinstance(unit, Unit) else Unit.FT


def read_length(value: Any, info: ValidationInfo) -> float:
    """Read a length of either sign, such as a coordinate or an elevation."""
    return length_of(value, unit_of(info))


def read_positive_length(value: Any, info: ValidationInfo) -> float:
    """Read a length over zero."""
    metres = length_of(value, unit_of(info))
    if metres <= 0.0:
        zero = "zero" if metres == 0.0 else "less than zero"
        raise MeasureError(f"{value.text} is {zero}", "write a length over zero")
    return metres


def read_wall_thickness(value: Any, info: ValidationInfo) -> float:
    """Read the thickness of a wall, m.

    Returns
    -------
    float
        The thickness, m.

    Raises
    ------
    MeasureError
        Where no wall is so thin.
    """
    metres = read_positive_length(value, info)
    if metres < THINNEST_WALL - 1e-9:
        raise MeasureError(
            f"{value.text} is thinner than any wall",
            f"write {format_length(THINNEST_WALL, Show.FEET_INCHES)} "
            f"({format_length(THINNEST_WALL, Show.MILLIMETRES)}) or more",
        )
    return metres


def read_length_or_zero(value: Any, info: ValidationInfo) -> float:
    """Read a length of zero or more."""
    metres = length_of(value, unit_of(info))
    if metres < 0.0:
        raise MeasureError(f"{value.text} is less than zero", "write zero or more")
    return metres


def _pair(value: Any, what: str, example: str) -> Items:
    if not isinstance(value, Items):
        raise MeasureError(f"this is not {what}", f"write two lengths, such as {example}")
    if len(value) != 2:
        count = "nothing" if not value else f"{len(value)} value{'s' if len(value) > 1 else ''}"
        raise MeasureError(f"{count} where {what} is due", f"write two, such as {example}")
    return value


def read_point(value: Any, info: ValidationInfo) -> Point:
    """Read ``[x, y]`` on the building grid, m."""
    x, y = _pair(value, "a point", "[36', 24']")
    return (length_of(x, unit_of(info)), length_of(y, unit_of(info)))


def read_size(value: Any, info: ValidationInfo) -> Point:
    """Read ``[width, depth]``, both over zero, m."""
    width, depth = _pair(value, "a size", '[24", 24"]')
    return (read_positive_length(width, info), read_positive_length(depth, info))


def read_name(value: Any) -> str:
    """Read a name of letters, digits and underscores."""
    return check_name(_scalar(value, "a name").text)


def check_name(text: str) -> str:
    """Give the name back.

    Returns
    -------
    str
        The name.

    Raises
    ------
    MeasureError
        Where it has anything but letters, digits and underscores.
    """
    if not _NAME.fullmatch(text):
        plain = re.sub(r"\W+", "_", text.strip()).strip("_")
        remedy = f"write {plain}" if plain else "write one such as P1"
        raise MeasureError(
            f"{text} is not a name; a name has letters, digits and underscores", remedy
        )
    return text


def read_text(value: Any) -> str:
    """Read any text."""
    return _scalar(value, "text").text


def read_flag(value: Any) -> bool:
    """Read yes or no.

    Returns
    -------
    bool
        Yes is True.

    Raises
    ------
    MeasureError
        Where it is neither.
    """
    scalar = _scalar(value, "yes or no")
    flag = FLAGS.get(scalar.text.lower())
    if flag is None:
        raise MeasureError(f"{scalar.text} is neither yes nor no", "write yes or no")
    return flag


def read_count(value: Any) -> int:
    """Read how many pads stand in a row: a whole number from 2 on.

    Returns
    -------
    int
        The count.

    Raises
    ------
    MeasureError
        Where it is no such number.
    """
    text = _scalar(value, "a whole number").text
    if not re.fullmatch(r"[0-9]{1,9}", text) or not 2 <= int(text) <= MOST_IN_A_ROW:
        raise MeasureError(
            f"{text} is not a count for a row", f"write a whole number from 2 to {MOST_IN_A_ROW}"
        )
    return int(text)


def read_ratio(value: Any) -> float:
    """Read a plain number of zero or more: horizontal run per unit of depth.

    Returns
    -------
    float
        The ratio.

    Raises
    ------
    MeasureError
        Where it is no such number.
    """
    text = _scalar(value, "a number").text
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,9})?|\.[0-9]{1,9}", text):
        raise MeasureError(
            f"{text} is not a run per unit of depth", "write a number, such as 1 or 0.75"
        )
    return float(text)


def read_station(value: Any, info: ValidationInfo) -> Station:
    """Read ``C-D at 6'``.

    Returns
    -------
    Station
        The wall or line, and the length along it.

    Raises
    ------
    MeasureError
        Where it is not a wall or a line, ``at`` and a length.
    """
    text = _scalar(value, "a point on a wall").text
    match = _STATION.fullmatch(text.strip())
    if match is None:
        raise MeasureError(
            f"{text} is not a point on a wall",
            "write the wall, at, and the length from its first corner, such as A-B at 14'",
        )
    length = length_of(Scalar(match["length"], 0), unit_of(info))
    return Station(" ".join(match["on"].split()), length)


def read_temperature(value: Any) -> float:
    """Read a temperature with its unit, degrees Celsius.

    Returns
    -------
    float
        Degrees Celsius.

    Raises
    ------
    MeasureError
        Where the text is no such value.
    """
    text = _scalar(value, "a temperature").text
    match = _QUANTITY.fullmatch(text.strip())
    unit = match["unit"].lstrip("°").upper() if match else ""
    if match is None or unit not in {"C", "F"}:
        raise MeasureError(f"{text} is not a temperature", "write one such as 68 F or 20 C")
    degrees = float(match["number"])
    return degrees if unit == "C" else (degrees - 32.0) / 1.8


NEWTONS = {"N": 1.0, "LBF": 4.4482216152605, "LB": 4.4482216152605, "KGF": 9.80665}
"""Newtons in one unit of pull; the pound is 0.45359237 kg under 9.80665 m/s2, exactly."""


def read_pull(value: Any) -> float:
    """Read a tension with its unit, N.

    Returns
    -------
    float
        The tension, N.

    Raises
    ------
    MeasureError
        Where the text is no such value.
    """
    text = _scalar(value, "a tension").text
    match = _QUANTITY.fullmatch(text.strip())
    factor = NEWTONS.get(match["unit"].upper()) if match else None
    if match is None or factor is None or float(match["number"]) <= 0.0:
        raise MeasureError(f"{text} is not a tension", "write one such as 20 lbf or 90 N")
    return float(match["number"]) * factor


def read_figure(value: Any) -> float:
    """Read a plain decimal number of either sign that has no unit.

    Returns
    -------
    float
        The number.

    Raises
    ------
    MeasureError
        Where the text is no such value.
    """
    text = _scalar(value, "a number").text.strip()
    if not re.fullmatch(r"[+-]?([0-9]{1,9}(\.[0-9]{0,12})?|\.[0-9]{1,12})", text):
        raise MeasureError(f"{text} is not a plain number", "write one such as 0 or -999.25")
    return float(text)


def read_factor(value: Any) -> float:
    """Read a combined factor, grid to ground: a plain number within half a percent of 1.

    Returns
    -------
    float
        The factor.

    Raises
    ------
    MeasureError
        Where the text is no such value.
    """
    factor = read_figure(value)
    if not abs(factor - 1.0) <= MOST_FROM_ONE:
        raise MeasureError(
            f"{value.text.strip()} is not a combined factor of a lot", "write one such as 0.99962"
        )
    return factor


def read_first_number(value: Any) -> int:
    """Read the number that the first stake gets.

    Returns
    -------
    int
        A whole number from 1 on.

    Raises
    ------
    MeasureError
        Where the text is no such value.
    """
    text = _scalar(value, "a whole number").text.strip()
    if not re.fullmatch(r"[1-9][0-9]{0,7}", text):
        raise MeasureError(f"{text} is not a number for a stake", "write a whole one such as 5001")
    return int(text)


def read_coordinates(value: Any, info: ValidationInfo) -> Point:
    """Read ``[north, east]`` of the survey's grid, m, which may be thousands of kilometres."""
    north, east = _pair(value, "a northing and an easting", "[590000, 1640000]")
    return (_coordinate(north, info), _coordinate(east, info))


def _coordinate(value: Any, info: ValidationInfo) -> float:
    """Read a northing or easting, m."""
    text = _scalar(value, "a coordinate").text.strip()
    metres = parse_length(text, unit_of(info))
    if not abs(metres) < FARTHEST:
        raise MeasureError(f"{text} is not a coordinate", "check the number and its unit")
    return metres


def own_text(value: Any) -> str:
    """Give a single value's own text, as typed.

    Returns
    -------
    str
        The text without blanks round it.

    Raises
    ------
    MeasureError
        Where no single value stands.
    """
    if not isinstance(value, Scalar) or value.is_empty or not value.text.strip():
        raise MeasureError("one value belongs here", "write a name or a number")
    return value.text.strip()


def read_bearing(value: Any) -> float:
    """Read a bearing or an azimuth, rad clockwise from north."""
    return parse_bearing(own_text(value))


def one_of(value: Any, *choices: str) -> str:
    """Read one of a few words, in capitals or not.

    Returns
    -------
    str
        The word as it is written here.

    Raises
    ------
    MeasureError
        Where it is none of them.
    """
    text = _scalar(value, "a word").text
    for choice in choices:
        if " ".join(text.split()).casefold() == choice.casefold():
            return choice
    raise MeasureError(f"{text} is not known", f"write {listed(choices)}")


def listed(words: tuple[str, ...] | list[str]) -> str:
    """Write words as ``a, b or c``."""
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else words[0]


def choice(*words: str) -> Any:
    """Make the type of a field that takes one of a few words."""

    def read(value: Any) -> str:
        return one_of(value, *words)

    return Annotated[str, ReadBy(read), WithJsonSchema({"type": "string", "enum": list(words)})]


LENGTH_SCHEMA: dict[str, Any] = {"type": ["number", "string"], "$comment": "a length"}
_NAME_SCHEMA: dict[str, Any] = {"type": ["string", "integer"], "pattern": r"^\w+$"}
_PAIR_SCHEMA: dict[str, Any] = {
    "type": "array",
    "items": LENGTH_SCHEMA,
    "minItems": 2,
    "maxItems": 2,
}

Length = Annotated[float, ReadBy(read_length), WithJsonSchema(LENGTH_SCHEMA)]
PositiveLength = Annotated[float, ReadBy(read_positive_length), WithJsonSchema(LENGTH_SCHEMA)]
WallThickness = Annotated[float, ReadBy(read_wall_thickness), WithJsonSchema(LENGTH_SCHEMA)]
LengthOrZero = Annotated[float, ReadBy(read_length_or_zero), WithJsonSchema(LENGTH_SCHEMA)]
GridPoint = Annotated[Point, ReadBy(read_point), WithJsonSchema(_PAIR_SCHEMA)]
Size = Annotated[Point, ReadBy(read_size), WithJsonSchema(_PAIR_SCHEMA)]
Name = Annotated[str, ReadBy(read_name), WithJsonSchema(_NAME_SCHEMA)]
Text = Annotated[str, ReadBy(read_text), WithJsonSchema({"type": ["string", "number"]})]
Flag = Annotated[
    bool,
    ReadBy(read_flag),
    WithJsonSchema({"enum": [True, False, "yes", "no", "true", "false"]}),
]
Count = Annotated[
    int,
    ReadBy(read_count),
    WithJsonSchema({"type": "integer", "minimum": 2, "maximum": MOST_IN_A_ROW}),
]
Ratio = Annotated[float, ReadBy(read_ratio), WithJsonSchema({"type": "number", "minimum": 0})]
OnWall = Annotated[
    Station,
    ReadBy(read_station),
    WithJsonSchema({"type": "string", "pattern": r"^\S.*\sat\s.*\S$"}),
]
Temperature = Annotated[
    float,
    ReadBy(read_temperature),
    WithJsonSchema({"type": "string", "pattern": "[CF]$"}),
]
Pull = Annotated[
    float, ReadBy(read_pull), WithJsonSchema({"type": "string", "pattern": "[A-Za-z]$"})
]
Factor = Annotated[
    float,
    ReadBy(read_factor),
    WithJsonSchema({"type": "number", "minimum": 1 - MOST_FROM_ONE, "maximum": 1 + MOST_FROM_ONE}),
]
FirstNumber = Annotated[
    int, ReadBy(read_first_number), WithJsonSchema({"type": "integer", "minimum": 1})
]
Coordinates = Annotated[Point, ReadBy(read_coordinates), WithJsonSchema(_PAIR_SCHEMA)]
Coordinate = Annotated[float, ReadBy(_coordinate), WithJsonSchema(LENGTH_SCHEMA)]
PointName = Annotated[str, ReadBy(own_text), WithJsonSchema({"type": ["string", "number"]})]
