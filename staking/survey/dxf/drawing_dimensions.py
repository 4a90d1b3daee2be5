"""In which unit a drawing's own dimensions say that it is drawn."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from staking.errors import MeasureError
from staking.measure.lengths import parse_length
from staking.units import INCH, Unit

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LOOKED_AT = 500
"""How many dimensions are looked at."""

SHORTEST = 0.1
"""A dimension shorter than this, m, is too coarsely written to tell a unit."""

WRITTEN_WITHIN = 0.01
"""A dimension's text may be rounded by this share of it; two units differ by more than twice."""

_LINEAR, _ALIGNED = 0, 1
_IN_FEET_AND_INCHES = {3, 4}
"""$DIMLUNIT by the open DXF reference: engineering and architectural, which show feet and inches
and take one unit of the drawing for an inch."""

_UNIT_MARK = re.compile(r"['\"′″]|(?:mm|cm|m|ft|in|feet|inches|inch)\.?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class DimensionsSay:
    """What most dimensions say.

    Parameters
    ----------
    unit
        In which they are what they measure; a foot is the international one.
    count, of
        How many say so, of how many that tell a unit at all.
    text, measured
        Of the first of them: what is written, and what is measured in the drawing's own unit.
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
    votes: Counter[Unit] = Counter()
    shown: dict[Unit, tuple[str, float]] = {}
    for entity in doc.modelspace().query("DIMENSION")[:LOOKED_AT]:
        found = _vote(entity)
        if found is not None:
            unit, text, measured = found
            votes[unit] += 1
            shown.setdefault(unit, (text, measured))
    if not votes:
        return None
    (unit, count), of = votes.most_common(1)[0], sum(votes.values())
    if 2 * count <= of:
        return None
    text, measured = shown[unit]
    return DimensionsSay(unit=unit, count=count, of=of, text=text, measured=measured)


def _vote(entity: Any) -> tuple[Unit, str, float] | None:
    """Return the unit one dimension tells, its text and what it measures; None if it tells none."""
    if entity.dimtype not in {_LINEAR, _ALIGNED}:
        return None
    measured = abs(float(entity.get_measurement()))
    for text in _texts(entity):
        if not _UNIT_MARK.search(text):
            continue
        try:
            written = abs(parse_length(text, Unit.M))
        except MeasureError:
            continue
        for unit in (Unit.IN, Unit.FT, Unit.MM, Unit.M):
            apart = abs(written - measured * unit.metres)
            if written >= SHORTEST and apart <= max(WRITTEN_WITHIN * written, INCH / 16):
                return unit, text, measured
        return None
    style = entity.override().get("dimlunit") or entity.get_dim_style().dxf.get("dimlunit", 2)
    if int(style) in _IN_FEET_AND_INCHES and measured * INCH >= SHORTEST:
        feet, inches = divmod(measured, 12.0)
        return Unit.IN, f"{feet:.0f}'-{inches:.4g}\"", measured
    return None


def _texts(entity: Any) -> list[str]:
    """Return what a dimension shows: a text typed for it, else those drawn for it."""
    typed = str(entity.dxf.get("text", "")).strip()
    if typed and "<>" not in typed:
        return [_plain(typed)]
    block = entity.get_geometry_block()
    drawn = [] if block is None else [each for each in block if each.dxftype() in {"TEXT", "MTEXT"}]
    return [
        _plain(each.plain_text() if each.dxftype() == "MTEXT" else each.dxf.text) for each in drawn
    ]


def _plain(text: str) -> str:
    # Formatting of the open DXF reference: \A1; and the like, and braces around it.
    return re.sub(r"\\[A-Za-z][^;\\]*;|[{}]", "", text).strip().lower()
