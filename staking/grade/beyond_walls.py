"""What the ground beyond the walls does to them: water that stands there, slopes too near."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import LotPart
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH

OUT = 10 * FOOT
"""How far out grade has to have fallen, m (IRC 2015, R401.3; the same in 2024)."""

FALL = 6 * INCH
"""How far it has to have fallen there, m (the same clause)."""


@frozen
class WaterAtWall:
    """Finished grade at a wall against the ground ten feet out, where the fall is least; m.

    Parameters
    ----------
    wall
        The wall.
    station
        Where the fall is least, from the wall's first corner.
    at_wall
        Finished grade there at the wall, elevation.
    out
        The ground `OUT` from there, elevation.
    swale
        The bottom of a swale between the two that would do: `FALL` under grade at the wall.
    grade
        Grade at the wall that would do all along it: `FALL` over the highest ground `OUT` out.
    top
        The lowest top of wall for that grade, its clearance over grade kept.
    """

    wall: str
    station: float
    at_wall: float
    out: float
    swale: float
    grade: float
    top: float

    @property
    def fall(self) -> float:
        """How far the ground falls from the wall, m; negative where it rises."""
        return self.at_wall - self.out

    @property
    def runs_off(self) -> bool:
        """Whether it falls far enough."""
        return self.fall >= FALL - ON_LINE


@frozen
class SlopeSetback:
    """A wall and a slope near it.

    Parameters
    ----------
    wall
        The wall.
    part
        What keeps off: the wall from the toe of a slope above it, the footing from the face of a
        slope below it.
    distance
        How far it is, level, m: from the wall's outside face to the toe; from the footing's lower
        outer edge to the slope's face at that level.
    needed
        How far it has to be, m.
    height
        Of the slope as far as it is known, m.
    steepness
        The rise for each 1 out where it is steepest.
    """

    wall: str
    part: LotPart
    distance: float
    needed: float
    height: float
    steepness: float

    @property
    def is_kept(self) -> bool:
        """Whether it is far enough."""
        return self.distance >= self.needed - ON_LINE
