"""What single values of the order section may be: shares, trucks, minutes, bar sizes."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import ValidationInfo, WithJsonSchema

from staking.errors import MeasureError
from staking.job.keys.fields import FLAGS, own_text, read_positive_length
from staking.job.keys.read_by import ReadBy
from staking.job.tree.job_limits import MOST_COURSES
from staking.job.tree.source import Branch, Scalar
from staking.measure.lengths import FOOT, Unit
from staking.order.bars.laps import METRIC_NUMBERS, MILLIMETRE_BARS, POUNDS_PER_FOOT

MOST_WASTE = 0.5
"""Nobody orders half as much again: a greater share is a slip (common practice, no source)."""

_SHARE = re.compile(r"(?P<number>[0-9]{1,6}(?:\.[0-9]{1,6})?)\s*%")
_BULK = re.compile(r"(?P<number>[0-9]{1,6}(?:\.[0-9]{1,6})?)\s*(?P<unit>\S.*)?")
_YARDS = frozenset({"cu yd", "yd3", "cy", "yd", "cubic yards", "yards"})
_METRES = frozenset({"m3", "cu m", "cubic metres", "cubic meters"})
_MINUTES = re.compile(r"(?P<number>[0-9]{1,4}(?:\.[0-9]{1,3})?)\s*(?:min|minutes|minute)?")


_MORTAR = re.compile(
    r"(?P<kind>masonry cement|preblended)(?:,? type (?P<type>[MSNO]))?", re.IGNORECASE
)
_MORTAR_EXAMPLE = (
    "write masonry cement, type S (a bag is mixed with sand, which is ordered too), or preblended "
    "(the sand is in the bag)"
)
MORTAR_SCHEMA: dict[str, Any] = {"anyOf": [{"type": "string"}, {"$ref": "#/$defs/MortarKeys"}]}
"""What `mortar` may be, for editors."""

_MILLIMETRES = re.compile(r"(?P<number>[0-9]{1,2}) ?mm")


def read_share(value: Any) -> float:
    """Read a share such as ``5%``.

    Returns
    -------
    float
        0.05 for 5 %.

    Raises
    ------
    MeasureError
        Where it has no percent sign, or is over a half.
    """
    text = own_text(value).strip()
    match = _SHARE.fullmatch(text)
    if match is None:
        if re.fullmatch(r"[0-9.]+", text):
            raise MeasureError(f"{text} has no percent sign", f"write {text}%")
        raise MeasureError(f"{text} is not a percentage", "write one such as 5%")
    share = float(match["number"]) / 100
    if share > MOST_WASTE:
        raise MeasureError(f"{text} is more than half of the whole", "write one from 0% to 50%")
    return share


def read_bulk(value: Any, info: ValidationInfo) -> float:
    """Read what a truck carries, m3; a bare number is cubic yards, or cubic metres in a metric job.

    Returns
    -------
    float
        m3.

    Raises
    ------
    MeasureError
        Where it is no such volume, or no truck carries it.
    """
    text = own_text(value).strip()
    match = _BULK.fullmatch(text)
    unit = " ".join((match["unit"] or "").lower().split()) if match else ""
    metric = (info.context or {}).get("unit", Unit.FT) in {Unit.M, Unit.MM}
    if match is None or (unit and unit not in _YARDS | _METRES):
        raise MeasureError(f"{text} is not a volume", "write one such as 9 cu yd or 7 m3")
    yards = unit in _YARDS if unit else not metric
    found = float(match["number"]) * ((3 * FOOT) ** 3 if yards else 1.0)
    if not 0.1 <= found <= 50:
        raise MeasureError(f"no truck carries {text}", "write one such as 9 cu yd or 7 m3")
    return found


def read_minutes(value: Any) -> float:
    """Read minutes.

    Returns
    -------
    float
        Minutes over zero.

    Raises
    ------
    MeasureError
        Where it is no such time.
    """
    text = own_text(value).strip()
    match = _MINUTES.fullmatch(text)
    if match is None or not float(match["number"]) > 0:
        raise MeasureError(f"{text} is not a time in minutes", "write one such as 90 min")
    return float(match["number"])


def read_bar(value: Any) -> int:
    """Read a bar's number, in eighths of an inch or in millimetres, or its diameter.

    Returns
    -------
    int
        In eighths of an inch; of a bar made by the millimetre, such as ``12 mm``, millimetres.

    Raises
    ------
    MeasureError
        Where there is no such bar.
    """
    text = own_text(value).strip().lstrip("#")
    millimetres = _MILLIMETRES.fullmatch(text)
    if millimetres is not None:
        if int(millimetres["number"]) not in MILLIMETRE_BARS:
            raise MeasureError(f"there is no bar of {text}", f"write {_made_by_millimetre()}")
        return int(millimetres["number"])
    number = int(text) if re.fullmatch(r"[0-9]{1,2}", text) else 0
    number = METRIC_NUMBERS.get(number, number)
    if number not in POUNDS_PER_FOOT:
        raise MeasureError(
            f"there is no bar {text}",
            "write 3 to 8, or 10, 13, 16, 19, 22, 25 for the same in mm; a bar made by the "
            f"millimetre with its unit: {_made_by_millimetre()}",
        )
    return number


def _made_by_millimetre() -> str:
    return f"{', '.join(map(str, MILLIMETRE_BARS[:-1]))} or {MILLIMETRE_BARS[-1]} mm"


def read_number(value: Any) -> int:
    """Read a whole number from 0 to 99.

    Returns
    -------
    int
        The number.

    Raises
    ------
    MeasureError
        Where the text is no such value.
    """
    text = own_text(value).strip()
    if not re.fullmatch(r"[0-9]{1,2}", text):
        raise MeasureError(f"{text} is not a whole number", "write one from 0 to 99")
    return int(text)


def spread_mortar(value: Any) -> Any:
    """Turn ``masonry cement, type S`` into the keys that say the same.

    Returns
    -------
    Branch
        Keys as they stand in the file where it has them.

    Raises
    ------
    MeasureError
        Where the text names no mortar.
    """
    if not isinstance(value, Scalar) or value.is_empty:
        return value
    match = _MORTAR.fullmatch(" ".join(value.text.split()))
    if match is None:
        raise MeasureError(f"{value.text} is not a mortar", _MORTAR_EXAMPLE)
    keys = Branch(("order", "mortar"), value.line)
    for key, text in match.groupdict().items():
        if text is not None:
            keys[key] = Scalar(text, value.line)
            keys.lines[key] = value.line
    return keys


def read_block_per_bag(value: Any) -> float:
    """Read how many blocks one bag of mortar lays.

    Returns
    -------
    float
        Blocks.

    Raises
    ------
    MeasureError
        Where it is not a number that a maker states.
    """
    text = own_text(value).strip()
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,2})?", text) or not 5 <= float(text) <= 60:
        raise MeasureError(
            f"{text} is not a number of block that one bag lays",
            "write what the maker states for a bag of 80 lb (36 kg), such as 13",
        )
    return float(text)


def read_courses(value: Any) -> int:
    """Read how many courses a wall has.

    Returns
    -------
    int
        The number; 0 where the walls are not counted.

    Raises
    ------
    MeasureError
        Where it is none, or no wall has so many.
    """
    text = own_text(value).strip()
    if not re.fullmatch(r"[0-9]{1,9}", text) or int(text) > MOST_COURSES:
        raise MeasureError(
            f"{text} is not a number of courses", f"write a whole number from 0 to {MOST_COURSES}"
        )
    return int(text)


def read_spacing(value: Any, info: ValidationInfo) -> float | None:
    """Read a spacing, m, or ``no``.

    Returns
    -------
    float or None
        None for no.
    """
    if FLAGS.get(getattr(value, "text", "").lower()) is False:
        return None
    return read_positive_length(value, info)


_TEXT = WithJsonSchema({"type": ["number", "string"]})
Share = Annotated[float, ReadBy(read_share), WithJsonSchema({"type": "string", "pattern": "%$"})]
Bulk = Annotated[float, ReadBy(read_bulk), _TEXT]
Minutes = Annotated[float, ReadBy(read_minutes), _TEXT]
Bar = Annotated[int, ReadBy(read_bar), _TEXT]
Number = Annotated[int, ReadBy(read_number), WithJsonSchema({"type": "integer"})]
BlockPerBag = Annotated[float, ReadBy(read_block_per_bag), _TEXT]
Courses = Annotated[
    int,
    ReadBy(read_courses),
    WithJsonSchema({"type": "integer", "minimum": 0, "maximum": MOST_COURSES}),
]
Spacing = Annotated[float | None, ReadBy(read_spacing), _TEXT]
