"""A drawing's own dimensions, and in which unit they say that it is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.measure.lengths import parse_length
from staking.outline.designers_drawing import DrawnDimension
from staking.outline.drawn_unit import most_votes, unit_votes
from staking.units import Unit

if TYPE_CHECKING:
    from ezdxf.document import Drawing

_STRAIGHT = {0, 1}
"""Kinds of DIMENSION by the open DXF reference: linear and aligned."""

_IN_FEET_AND_INCHES = {3, 4}
"""$DIMLUNIT by the open DXF reference: engineering and architectural, which show feet and inches
and take one unit of the drawing for an inch."""


@frozen
class DimensionsSay:
    """What most dimensions say.

    Parameters
    ----------
    unit
        In which they are what they measure; a foot is the international one.
    count, of
        How many say so, of how many that tell a unit at all.
    text, measured
        Of the first of them: what stands on it, and what it measures in the drawing's own unit.
    """

    unit: Unit
    count: int
    of: int
    text: str
    measured: float


def dimensions_say(doc: Drawing) -> DimensionsSay | None:
    """Find the unit in which most dimensions with a unit equal what they measure.

    Parameters
    ----------
    doc
        The drawing.

    Returns
    -------
    DimensionsSay or None
        None where no dimension tells a unit, or they do not agree among themselves.
    """
    dimensions = list(drawn_dimensions(doc))
    votes = unit_votes(dimensions)
    unit = most_votes(votes)
    if not votes:
        return _by_style(doc)
    if unit is None:
        return None
    first = next(each for each in dimensions if unit in unit_votes([each]))
    return DimensionsSay(
        unit=unit,
        count=votes[unit],
        of=sum(votes.values()),
        text=first.text,
        measured=first.measured,
    )


def _by_style(doc: Drawing) -> DimensionsSay | None:
    """Take one unit for an inch where every dimension is shown in feet and inches."""
    every: list[Any] = list(doc.modelspace().query("DIMENSION"))
    entities = [each for each in every if each.dimtype in _STRAIGHT]
    if not entities or not all(_is_in_feet_and_inches(each) for each in entities):
        return None
    first = entities[0]
    measured = _measured(first, first.dxf.defpoint2, first.dxf.defpoint3)
    feet, inches = divmod(measured, 12.0)
    return DimensionsSay(
        unit=Unit.IN,
        count=len(entities),
        of=len(entities),
        text=f"{feet:.0f}'-{inches:.4g}\"",
        measured=measured,
    )


def _is_in_feet_and_inches(entity: Any) -> bool:
    style = entity.override().get("dimlunit") or entity.get_dim_style().dxf.get("dimlunit", 2)
    return int(style) in _IN_FEET_AND_INCHES


def drawn_dimensions(doc: Drawing) -> Iterator[DrawnDimension]:
    """Give the straight dimensions of a drawing's model space that have a text.

    Parameters
    ----------
    doc
        The drawing.

    Yields
    ------
    DrawnDimension
        In the order of the drawing.
    """
    for entity in doc.modelspace().query("DIMENSION"):
        dimension: Any = entity
        if dimension.dimtype not in _STRAIGHT:
            continue
        start, end = dimension.dxf.defpoint2, dimension.dxf.defpoint3
        measured = _measured(dimension, start, end)
        text = _text(dimension)
        if measured > 0 and text:
            yield DrawnDimension(
                start=(float(start[0]), float(start[1])),
                end=(float(end[0]), float(end[1])),
                measured=measured,
                text=text,
                length=_length(text),
                bare=_bare(text),
            )


def _length(text: str) -> float | None:
    try:
        return parse_length(text)
    except MeasureError:
        return None


def _bare(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def _measured(dimension: Any, start: Any, end: Any) -> float:
    """Work out what is measured, since a stored measurement is already scaled for its text.

    Returns
    -------
    float
        Between the two points; of a turned dimension along its own direction.
    """
    x, y = float(end[0] - start[0]), float(end[1] - start[1])
    if dimension.dimtype == 1:
        return math.hypot(x, y)
    turn = math.radians(float(dimension.dxf.get("angle", 0.0)))
    return abs(x * math.cos(turn) + y * math.sin(turn))


def _text(dimension: Any) -> str:
    """Give what stands on a dimension: typed over it, else as its own block has it.

    Returns
    -------
    str
        Empty where nothing tells.
    """
    typed = str(dimension.dxf.get("text", "") or "")
    if typed.strip() and "<>" not in typed:
        return typed.strip()
    block = dimension.get_geometry_block()
    if block is None:
        return ""
    for entity in block:
        if entity.dxftype() == "MTEXT":
            return str(entity.plain_text()).strip()
        if entity.dxftype() == "TEXT":
            return str(entity.dxf.text).strip()
    return ""
