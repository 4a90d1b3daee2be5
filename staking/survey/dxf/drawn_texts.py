"""Texts of a drawing with the room they take up, from which a label's nearness is measured."""

from __future__ import annotations

import math
import re
from typing import Any

from staking.frozen import frozen

_LETTER = 0.8
"""A letter with the gap behind it is so wide, as a part of the text's height (common practice, no
source)."""
_LINE = 5 / 3
"""From one line of a text of several lines to the next, as a part of its height: the open DXF
reference's MTEXT."""
_MIDDLE, _ALIGNED, _FIT = 4, 3, 5
"""Horizontal alignments by the open DXF reference's TEXT, group code 72; 0 to 2 are left, centre
and right."""


@frozen(kw_only=False)
class DrawnText:
    """One TEXT or MTEXT.

    Parameters
    ----------
    layer
        Its layer.
    lines
        What it says, line by line, without empty ones.
    places
        x, y of what it was placed by; a label sits on the point that is there.
    middle, along
        x, y of its room's middle, and the direction in which it is read, of length 1.
    length, height
        Of its room, as far as that can be told without its letters' shapes.
    letter
        The height of its letters.
    """

    layer: str
    lines: tuple[str, ...]
    places: tuple[tuple[float, float], ...]
    middle: tuple[float, float]
    along: tuple[float, float]
    length: float
    height: float
    letter: float

    @property
    def room(self) -> tuple[float, float, float, float, float, float, float]:
        """Its room in numbers: middle, direction, length and height, and its letters' height."""
        return (*self.middle, *self.along, self.length, self.height, self.letter)


def drawn_text(entity: Any) -> DrawnText | None:
    """Read a TEXT or MTEXT.

    Parameters
    ----------
    entity
        Of the drawing library.

    Returns
    -------
    DrawnText or None
        None for one that says nothing, or stands nowhere.
    """
    is_long = entity.dxftype() == "MTEXT"
    whole = entity.plain_text() if is_long else plain(str(entity.dxf.text))
    lines = tuple(line.strip() for line in str(whole).splitlines() if line.strip())
    if not lines:
        return None
    made = _long(entity, lines) if is_long else _short(entity, lines)
    sizes = (*made.middle, *made.along, made.length, made.height)
    return made if all(map(math.isfinite, sizes)) else None


def _short(entity: Any, lines: tuple[str, ...]) -> DrawnText:
    height = abs(float(entity.dxf.get("height", 0.0)))
    across, upright = int(entity.dxf.get("halign", 0)), int(entity.dxf.get("valign", 0))
    length = _LETTER * height * len(lines[0]) * abs(float(entity.dxf.get("width", 1.0)))
    insert, second = _xy(entity, entity.dxf.insert), entity.dxf.get("align_point")
    # Only an aligned text has a second place that counts, and it counts first.
    is_aligned = second is not None and (across or upright)
    places = (_xy(entity, second), insert) if is_aligned else (insert,)
    at = places[0]
    turn = math.radians(float(entity.dxf.get("rotation", 0.0)))
    along, upward = _turned(entity, turn), _turned(entity, turn + math.pi / 2)
    right = {1: 0.0, 2: -0.5, _MIDDLE: 0.0}.get(across, 0.5)
    up = 0.0 if across == _MIDDLE else {2: 0.0, 3: -0.5}.get(upright, 0.5)
    if across in {_ALIGNED, _FIT} and len(places) > 1:
        length = math.dist(*places)
        if length > 0:
            along = ((at[0] - insert[0]) / length, (at[1] - insert[1]) / length)
            upward = (-along[1], along[0])
        right = -0.5
    return DrawnText(
        layer=str(entity.dxf.layer),
        lines=lines,
        places=places,
        middle=_beyond(at, along, right * length, upward, up * height),
        along=along,
        length=length,
        height=height,
        letter=height,
    )


def _long(entity: Any, lines: tuple[str, ...]) -> DrawnText:
    letter = abs(float(entity.dxf.get("char_height", 0.0)))
    height = letter * (1 + _LINE * (len(lines) - 1))
    length = _LETTER * letter * max(map(len, lines))
    at = (float(entity.dxf.insert[0]), float(entity.dxf.insert[1]))
    turn = math.radians(float(entity.get_rotation()))
    # 1 to 9 by the open DXF reference: top left, top centre … bottom right.
    row, column = divmod(int(entity.dxf.get("attachment_point", 1)) - 1, 3)
    right = (0.5, 0.0, -0.5)[column] * length
    up = (-0.5, 0.0, 0.5)[min(max(row, 0), 2)] * height
    along = (math.cos(turn), math.sin(turn))
    return DrawnText(
        layer=str(entity.dxf.layer),
        lines=lines,
        places=(at,),
        middle=_beyond(at, along, right, (-along[1], along[0]), up),
        along=along,
        length=length,
        height=height,
        letter=letter,
    )


def _beyond(
    at: tuple[float, float],
    along: tuple[float, float],
    right: float,
    upward: tuple[float, float],
    up: float,
) -> tuple[float, float]:
    """Return the place so far along and up from another."""
    return at[0] + along[0] * right + upward[0] * up, at[1] + along[1] * right + upward[1] * up


def _xy(entity: Any, place: Any) -> tuple[float, float]:
    """Return a text's place in the drawing: its own plane may look the other way."""
    there = entity.ocs().to_wcs(place)
    return float(there[0]), float(there[1])


def _turned(entity: Any, turn: float) -> tuple[float, float]:
    there = entity.ocs().to_wcs((math.cos(turn), math.sin(turn), 0.0))
    size = math.hypot(there[0], there[1]) or 1.0
    return float(there[0]) / size, float(there[1]) / size


def plain(text: str) -> str:
    r"""Return a text with its coded characters as they are read.

    Returns
    -------
    str
        By the open DXF reference: ``\U+`` and four hexadecimal digits stand for a character.
    """
    return re.sub(
        r"\\U\+(?![Dd][89A-Fa-f])([0-9A-Fa-f]{4})", lambda found: chr(int(found[1], 16)), text
    )
