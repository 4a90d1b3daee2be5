"""What a job asks to be weighed: tops of wall, moves on the lot, and what the top must keep.

Lengths and elevations in metres, angles in radians.
"""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.units import FOOT, INCH

STEP = 2 * FOOT
"""How far apart places are tried where the job does not say, m."""

TURN_STEP = math.radians(3)
"""The same of turns, rad."""

RISER = 7.75 * INCH
"""The highest riser of a stair, m (IRC R311.7.5.1, from memory)."""


@frozen
class TopsAsked:
    """Tops of wall from the lowest to the highest, so far apart; elevations and step in m.

    `step` is None for half a course.
    """

    lowest: float
    highest: float
    step: float | None = None


@frozen
class MoveAsked:
    """How far the building may go either way from where it is placed.

    `north`, `east`, `step` in m; `turn`, `turn_step` in rad.
    """

    north: float = 0.0
    east: float = 0.0
    turn: float = 0.0
    step: float = STEP
    turn_step: float = TURN_STEP


@frozen
class SewerAsked:
    """The sewer it drains to: the main's invert, m, and the run to the wall with its fall.

    `run` in m; `fall` in m for each m; `below` is how far under the top of wall the pipe's invert
    has to be at least, m.
    """

    invert: float
    run: float
    fall: float
    below: float = 0.0

    @property
    def at_wall(self) -> float:
        """The lowest that the pipe's invert can be at the wall, m."""
        return self.invert + self.run * self.fall


@frozen
class DoorAsked:
    """A door in a wall, and how many risers of at most `riser`, m, lead up to it."""

    wall: str
    risers: int
    riser: float = RISER


@frozen
class FloorLimits:
    """What the top of the wall must keep; elevations in m, None where nothing is asked.

    `gutter_run` is how far the building stands from the street's gutter, m.
    """

    lowest: float | None = None
    highest: float | None = None
    gutter: float | None = None
    gutter_run: float | None = None
    sewer: SewerAsked | None = None
    doors: tuple[DoorAsked, ...] = ()


@frozen
class WeighAsked:
    """The job's weigh section."""

    tops: TopsAsked | None = None
    move: MoveAsked = MoveAsked()
    limits: FloorLimits = FloorLimits()
