"""The keys of the weigh section: which tops of wall and places are compared, and the limits."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import WithJsonSchema

from staking.errors import MeasureError
from staking.job.keys.containers import list_of
from staking.job.keys.fields import Length, LengthOrZero, PositiveLength, Text, own_text
from staking.job.keys.models import Section, key
from staking.job.keys.pipe_falls import Fall
from staking.job.keys.read_by import ReadBy

_MOST_TURN = 180.0


def _read_turn(value: Any) -> float:
    """Read a turn either way, in degrees."""
    text = own_text(value).strip()
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]{1,6})?", text) or not 0.0 <= float(text) <= _MOST_TURN:
        raise MeasureError(f"{text} is not a turn", "write degrees, such as 12")
    return float(text)


def _read_risers(value: Any) -> int:
    """Read how many risers lead to a door."""
    text = own_text(value).strip()
    if not re.fullmatch(r"[0-9]{1,2}", text):
        raise MeasureError(f"{text} is not a number of risers", "write a whole number, such as 3")
    return int(text)


_Turn = Annotated[
    float, ReadBy(_read_turn), WithJsonSchema({"type": "number", "minimum": 0, "maximum": 180})
]
_Risers = Annotated[
    int, ReadBy(_read_risers), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": 99})
]


class TopRangeKeys(Section):
    """The tops of wall that are compared."""

    from_: Length = key("the lowest", must=True, alias="from")
    to: Length = key("the highest", must=True)
    by: PositiveLength | None = key("how far apart; half a course where it is left out")


class MoveKeys(Section):
    """How far the building may go from where it is placed."""

    north: LengthOrZero | None = key("how far north or south")
    east: LengthOrZero | None = key("how far east or west")
    turn: _Turn | None = key("how far round, in degrees either way, about the placed corner")
    step: PositiveLength | None = key("how far apart places are tried")
    turn_step: _Turn | None = key("how many degrees apart turns are tried")


class SewerKeys(Section):
    """The sewer that the building drains to."""

    invert: Length = key("elevation of the main's invert where it is joined", must=True)
    run: PositiveLength = key("length of pipe from there to the wall", must=True)
    fall: Fall = key("the pipe's fall, such as 1/4\" per ft or 2%", must=True)
    below: LengthOrZero | None = key("how far under the top of wall the pipe's invert has to be")


class DoorKeys(Section):
    """A door with steps up to it."""

    wall: Text = key("the wall that the door is in", must=True)
    risers: _Risers = key("how many risers lead up to it", must=True)
    riser: PositiveLength | None = key("how high one riser may be")


_Doors = list_of(DoorKeys, "a list of doors belongs here", "write [{wall: A-B, risers: 3}]")


class LimitKeys(Section):
    """What the top of the wall must keep."""

    lowest: Length | None = key("the lowest it may be: a flood level, a drive")
    highest: Length | None = key("the highest it may be")
    gutter: Length | None = key("elevation of the street's gutter or of the drain's inlet")
    gutter_run: LengthOrZero | None = key("how far the building stands from it")
    sewer: SewerKeys | None = key("the sewer it drains to")
    doors: _Doors = key("doors with steps up to them", default=[])  # type: ignore[valid-type]


class WeighKeys(Section):
    """What staking weigh compares: tops of wall, places on the lot, and the limits they keep."""

    top_of_wall: TopRangeKeys | None = key("the tops of wall that are compared")
    move: MoveKeys | None = key("how far the building may go from where it is placed")
    limits: LimitKeys | None = key("what the top of the wall must keep")
