"""The building on paper: immutable data in metres on the building grid.

The grid is the plan's own: x and y seen from above, y a quarter turn anticlockwise from x.
Corners stand at the outside face of the foundation wall. Everything here is complete when it is
made: names are resolved, defaults are filled in, stations are turned into coordinates.
"""

from __future__ import annotations

import math
from dataclasses import field
from enum import StrEnum

from staking.frozen import frozen
from staking.kinds import Casting
from staking.lines import Point as Point
from staking.lines import direction, is_anticlockwise


def reversed_name(wall: str) -> str:
    """Give a wall's name from its other end.

    Parameters
    ----------
    wall
        A name of two corners, ``A-B``; the name of an interior line is its own.

    Returns
    -------
    str
        ``B-A``.

    Examples
    --------
    >>> reversed_name("A-B"), reversed_name("G")
    ('B-A', 'G')
    """
    return "-".join(reversed(wall.split("-")))


@frozen
class Corner:
    """A corner of an outline, at the outside face of the wall; x and y in m."""

    name: str
    x: float
    y: float

    @property
    def point(self) -> Point:
        """Where the corner is: x and y, m."""
        return (self.x, self.y)


@frozen
class Footing:
    """The footing under one wall, m.

    Parameters
    ----------
    width, thickness
        Across and up.
    outside
        How far it reaches past the outside face; ``(width - wall) / 2`` when centred.
    """

    width: float
    thickness: float
    outside: float

    @property
    def inside(self) -> float:
        """How far it reaches inside the outside face of its wall, m."""
        return self.width - self.outside


@frozen
class Existing:
    """What is known of a standing building along a side; elevations and lengths in m or None."""

    footing_bottom: float | None = None
    footing_out: float | None = None
    top: float | None = None


@frozen
class Wall:
    """The foundation wall between two neighbouring corners, in the outline's own order.

    `existing` is None but for a side against a standing building, which has no wall of ours,
    no footing, no string and no paint.
    """

    start: str
    end: str
    thickness: float
    footing: Footing
    existing: Existing | None = None

    @property
    def name(self) -> str:
        """The wall's name, ``A-B``."""
        return f"{self.start}-{self.end}"

    @property
    def reversed_name(self) -> str:
        """The wall's name from its other end, ``B-A``."""
        return f"{self.end}-{self.start}"

    @property
    def sorted_name(self) -> str:
        """The wall's name from the corner that comes first by name: alike whichever way round."""
        return "-".join(sorted((self.start, self.end)))

    @property
    def names(self) -> tuple[str, str]:
        """The wall's name and its name from its other end."""
        return (self.name, self.reversed_name)


@frozen
class Side:
    """A wall and where it runs along its outside face, from its first corner, m.

    `anticlockwise` tells which way its outline runs.
    """

    wall: Wall
    start: Point
    end: Point
    anticlockwise: bool

    @property
    def length(self) -> float:
        """How long it is, m."""
        return math.dist(self.start, self.end)

    @property
    def along(self) -> Point:
        """The unit direction from its first corner to its second: x and y."""
        return direction(self.start, self.end)

    @property
    def outward(self) -> Point:
        """The unit direction square to it, away from the building: x and y."""
        x, y = self.along
        # subtracted from zero, so that none comes out as minus zero
        return (y, 0.0 - x) if self.anticlockwise else (0.0 - y, x)

    @property
    def inward(self) -> Point:
        """The unit direction square to it, into the building: x and y."""
        x, y = self.outward
        return (0.0 - x, 0.0 - y)


@frozen
class Building:
    """One closed outline; wall ``i`` runs from corner ``i`` to corner ``i + 1``.

    `name` is None where the job has one building without a name.
    """

    name: str | None
    corners: tuple[Corner, ...]
    walls: tuple[Wall, ...]

    @property
    def ring(self) -> tuple[Point, ...]:
        """Where the corners are, in the outline's order: x and y, m."""
        return tuple(corner.point for corner in self.corners)

    @property
    def corner_points(self) -> dict[str, Point]:
        """Where each corner is, by its name: x and y, m."""
        return {corner.name: corner.point for corner in self.corners}

    @property
    def is_anticlockwise(self) -> bool:
        """Whether the outline runs anticlockwise."""
        return is_anticlockwise(self.ring)

    @property
    def sides(self) -> tuple[Side, ...]:
        """The walls in the outline's order, with where they run."""
        ring, turn = self.ring, self.is_anticlockwise
        ends = (*ring[1:], ring[0])
        return tuple(
            Side(wall=wall, start=start, end=end, anticlockwise=turn)
            for wall, start, end in zip(self.walls, ring, ends, strict=True)
        )


@frozen
class InteriorLine:
    """A wall or bearing line inside, by its centre line, m.

    `start` and `end` lie on the outside faces it runs between, or on the centre line of another
    interior line; `start_on` and `end_on` name that wall or line. `building` is the index of its
    building in the plan.
    """

    name: str
    start: Point
    end: Point
    start_on: str
    end_on: str
    thickness: float
    footing: Footing
    building: int = 0


@frozen
class Pad:
    """An isolated square or round footing by its centre, m.

    Exactly one of `size` (width and depth) and `diameter` is given. `turn` is the angle, rad
    anticlockwise, from the grid's x to the pad's width. `row` names the row it came from.
    """

    name: str
    x: float
    y: float
    size: tuple[float, float] | None
    diameter: float | None
    thickness: float
    turn: float = 0.0
    row: str | None = None

    @property
    def point(self) -> Point:
        """The centre: x and y, m."""
        return (self.x, self.y)


@frozen
class Opening:
    """A door opening: from `start` on `wall`, `width` wide, the wall dropped by `drop`, m."""

    wall: str
    start: float
    width: float
    drop: float


@frozen
class Sleeve:
    """A pipe through a wall, m: `station` from the wall's first corner, `invert` an elevation."""

    wall: str
    station: float
    invert: float | None
    size: float


@frozen
class Slab:
    """The floor slab, m; `top` is an elevation."""

    top: float | None
    thickness: float
    base: float


@frozen
class StayClear:
    """A shape that no string may enter and no tape may cross, by its corners on the grid, m."""

    name: str
    corners: tuple[Point, ...]


@frozen
class Plan:
    """The whole job on one building grid."""

    job: str
    buildings: tuple[Building, ...]
    interior: tuple[InteriorLine, ...] = ()
    pads: tuple[Pad, ...] = ()
    openings: tuple[Opening, ...] = ()
    sleeves: tuple[Sleeve, ...] = ()
    slab: Slab | None = None
    stay_clear: tuple[StayClear, ...] = ()

    @property
    def corner_points(self) -> dict[str, Point]:
        """Where each corner of every building is, by its name: x and y, m."""
        return {corner.name: corner.point for each in self.buildings for corner in each.corners}


class Show(StrEnum):
    """How lengths are written."""

    FEET_INCHES = "feet-inches"
    DECIMAL_FEET = "decimal-feet"
    METRES = "metres"
    MILLIMETRES = "millimetres"


@frozen
class BoardRules:
    """Where batter boards may stand, m; `at` is an elevation or None."""

    stand_off: float = 4 * 0.3048
    clearance: float = 4 * 0.3048
    inside_boards: bool = False
    at: float | None = None
    max_height: float = 5 * 0.3048


@frozen
class Dig:
    """How the trench is dug, m.

    `bank` is the horizontal run per unit of depth.
    """

    overdig: float = 0.0
    bucket: float = 0.0
    bank: float = 0.0
    depth: float = 0.0
    base: float = 0.0
    cast: Casting = Casting.EARTH


@frozen
class Tape:
    """The tape: its length, m, and either one standard error, m, or its class I, II or III.

    Temperature and standard temperature are in degrees Celsius, tension and standard tension in
    newtons; all four are None unless the job gives them.
    """

    length: float = 100 * 0.3048
    error: float | None = 0.0254 / 8
    grade: str | None = None
    temperature: float | None = None
    standard_temperature: float | None = None
    tension: float | None = None
    standard_tension: float | None = None


@frozen
class ToleranceRules:
    """What the layout may be out by: a named preset and what the job overrides of it, m.

    `diagonal_per_length` is a ratio (3/4" per 100 ft is 0.000625).
    """

    preset: str = "small building"
    side: float | None = None
    diagonal_per_length: float | None = None
    stake: float | None = None


@frozen
class Options:
    """How the job is measured, shown and set out.

    Parameters
    ----------
    unit
        The job's unit by its name in the job file: ``ft``, ``us-ft``, ``in``, ``m``, ``mm``.
    show, nearest
        How lengths are written, and to the nearest what, m.
    """

    unit: str = "ft"
    show: Show = Show.FEET_INCHES
    nearest: float = 0.0254 / 16
    boards: BoardRules = field(default_factory=BoardRules)
    dig: Dig = field(default_factory=Dig)
    tape: Tape = field(default_factory=Tape)
    tolerances: ToleranceRules = field(default_factory=ToleranceRules)
    paper: str = "letter"

    @property
    def step(self) -> float:
        """What lengths are read and moves rounded to, m: `nearest`, 0.01 ft or a millimetre."""
        if self.show is Show.FEET_INCHES:
            return self.nearest
        return 0.01 * 0.3048 if self.show is Show.DECIMAL_FEET else 0.001
