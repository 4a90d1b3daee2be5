"""What a picture is made of: lines, fills and words in millimetres on paper."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.plan import Point

BLACK = "#000000"
FINEST = 0.01
"""How far a curve's chords may be off it, mm."""


@frozen
class Fill:
    """A filled shape, mm."""

    layer: str
    colour: str
    points: tuple[Point, ...]


@frozen
class Lettering:
    """One line of text: the left end of its baseline, the height of a capital, its width, mm.

    `turn` is the reading direction, rad anticlockwise from the paper's lower edge.
    """

    layer: str
    colour: str
    text: str
    x: float
    y: float
    height: float
    turn: float
    width: float

    @property
    def ground(self) -> tuple[Point, ...]:
        """Its four corners with a little air, mm: kept white, so that no line runs through it."""
        air = 0.15 * self.height
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        low, high, end = -air, self.height + air, self.width + air
        return tuple(
            (self.x + along * cos - up * sin, self.y + along * sin + up * cos)
            for along, up in ((-air, low), (end, low), (end, high), (-air, high))
        )


@frozen
class Stroke:
    """A line through points, mm from the lower left corner of the paper.

    `width` is the line's, mm; `dashes` are the lengths drawn and left out in turn, mm, empty for
    a full line.
    """

    layer: str
    colour: str
    width: float
    dashes: tuple[float, ...]
    points: tuple[Point, ...]
    closed: bool = False
