"""What is asked of a footing on a slope and what comes back. All in metres and square metres."""

from __future__ import annotations

from staking.frozen import frozen
from staking.kinds import Governs
from staking.notices import Notice


@frozen
class Inside:
    """The ground inside the building: its finished elevation, m, and whether it is heated."""

    grade: float
    heated: bool = False


@frozen
class WallSteps:
    """What the job says of one wall's steps.

    Parameters
    ----------
    wall
        The wall's or interior line's name, either way round.
    fixed
        Stations, m from the first corner in `wall`, at which it must step, and nowhere else; None
        where the steps are free. An empty tuple keeps the wall level.
    top
        The wall's own top, m, or None for the building's.
    """

    wall: str
    fixed: tuple[float, ...] | None = None
    top: float | None = None

    def stations(self, wall: str, length: float) -> tuple[float, ...] | None:
        """Give the fixed stations from the first corner of `wall`, the plan's own name of it.

        Returns
        -------
        tuple of float or None
            Stations, m, ascending; None where the steps are free.
        """
        if self.fixed is None:
            return None
        turned = self.wall != wall
        return tuple(sorted(length - station if turned else station for station in self.fixed))


@frozen
class CellBounds:
    """What the ground asks of one wall, cell by cell.

    Parameters
    ----------
    edges
        Stations of the cells' ends, m, one more than there are cells.
    frost, bearing
        The highest bottom that frost and bearing allow in each cell, m; infinite where that
        rule asks nothing.
    required
        The fewest courses in each cell.
    """

    wall: str
    top: float
    thickness: float
    edges: tuple[float, ...]
    frost: tuple[float, ...]
    bearing: tuple[float, ...]
    required: tuple[int, ...]


@frozen
class Level:
    """One level stretch of a wall's footing.

    Parameters
    ----------
    start, end
        Stations, m.
    courses
        Height of the wall there.
    top, bottom
        Of the footing, elevations, m.
    frost_spare, bearing_spare
        How much deeper the bottom is than each rule needs, m, at the tightest place.
    governs
        What keeps it from being a course higher.
    """

    start: float
    end: float
    courses: int
    top: float
    bottom: float
    frost_spare: float
    bearing_spare: float
    governs: Governs


@frozen
class Step:
    """One step: `station` of the riser, m; `down` along the wall; `rise`, m; both bottoms, m."""

    wall: str
    station: float
    down: bool
    rise: float
    upper: float
    lower: float


@frozen
class WallProfile:
    """The footing under one wall: courses by cell, level stretches and steps in order."""

    wall: str
    length: float
    bounds: CellBounds
    courses: tuple[int, ...]
    levels: tuple[Level, ...]
    steps: tuple[Step, ...]


@frozen
class PadLevel:
    """A pad's own level: elevations, m; `pier` is from the footing's top to the wall's top."""

    pad: str
    top: float
    bottom: float
    pier: float
    governs: Governs


@frozen
class Alternative:
    """Another way: what was changed, how many steps, and the objective, m2."""

    change: str
    steps: int
    objective: float

    def wall_area(self, step_cost: float) -> float:
        """Give the area of wall alone, m2, a step being worth `step_cost`, m2."""
        return self.objective - self.steps * step_cost


@frozen
class SteppedFooting:
    """The cheapest stepped footing.

    Parameters
    ----------
    objective
        Wall area plus the worth of the steps, m2.
    next_count
        The cheapest with another number of steps, or None.
    """

    walls: tuple[WallProfile, ...]
    pads: tuple[PadLevel, ...]
    objective: float
    next_count: Alternative | None
    notices: tuple[Notice, ...] = ()

    @property
    def steps(self) -> tuple[Step, ...]:
        """All steps, walls in the plan's order."""
        return tuple(step for wall in self.walls for step in wall.steps)

    def wall_area(self, step_cost: float) -> float:
        """Give the area of wall alone, m2, a step being worth `step_cost`, m2."""
        return self.objective - len(self.steps) * step_cost
