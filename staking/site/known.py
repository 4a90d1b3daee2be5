"""What a placement may name: corners and walls of the plan, points of the survey."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.plan import Plan, Point
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane
from staking.tolerances import SAME_POINT
from staking.units import Unit

LISTED = 8
"""How many names an error lists before it says how many more there are."""


@frozen
class Known:
    """The plan, the survey's points and what to say them in.

    Parameters
    ----------
    plan
        The building.
    points
        ``(northing, easting)`` by name, on the lot's plane of ground distances, m.
    unit
        The survey's own unit, in which coordinates are told.
    plane
        How the survey's coordinates come onto the plane.
    from_paper
        Whether the points are the corners of a deed, and there is no survey.
    """

    plan: Plan
    points: Mapping[str, tuple[float, float]]
    unit: Unit
    plane: GroundPlane = AS_SURVEYED
    from_paper: bool = False

    @property
    def grid(self) -> str:
        """What bearings are counted on, in words."""
        return "the deed's own north" if self.from_paper else "the survey's grid"

    def corner(self, name: str) -> Point:
        """Find a corner: x and y, m; InputError where the plan has none of that name."""
        corners = self.plan.corner_points
        if name not in corners:
            raise _missing("corner", name, "the plan", corners)
        return corners[name]

    def point(self, name: str) -> tuple[float, float]:
        """Find a survey point: northing and easting, m; InputError where there is none."""
        if name not in self.points:
            raise _missing(
                "point", name, "the deed" if self.from_paper else "the survey", self.points
            )
        return self.points[name]

    def wall(self, name: str) -> tuple[str, str]:
        """Find a wall either way round: its corners in the order asked; InputError if none."""
        ends: dict[str, tuple[str, str]] = {}
        for building in self.plan.buildings:
            for wall in building.walls:
                ends[wall.name] = (wall.start, wall.end)
                ends.setdefault(wall.reversed_name, (wall.end, wall.start))
        if name not in ends:
            walls = [w.name for b in self.plan.buildings for w in b.walls]
            raise _missing("wall", name, "the plan", walls)
        return ends[name]

    def coordinate(self, metres: float) -> str:
        """Write a coordinate in the survey's unit: in the job's own foot it could be feet off."""
        return f"{metres / self.unit.metres:.3f} {self.unit}"


def _missing(kind: str, name: str, where: str, names: Iterable[str]) -> InputError:
    known = list(names)
    listed = ", ".join(known[:LISTED])
    more = f" and {len(known) - LISTED} more" if len(known) > LISTED else ""
    return InputError(
        Problem(
            message=f"there is no {kind} {name} in {where}",
            remedy=f"use one of {listed}{more}" if known else f"{where} has no {kind}",
            field="site place",
        )
    )


def direction(start: Point, end: Point, names: tuple[str, str]) -> float:
    """Give the direction from one point to another.

    Parameters
    ----------
    start, end
        x and y (or easting and northing), m.
    names
        What to call them.

    Returns
    -------
    float
        Rad anticlockwise from x (or easting).

    Raises
    ------
    ComputationError
        When they are the same place.
    """
    if math.dist(start, end) <= SAME_POINT:
        raise ComputationError(f"{names[0]} and {names[1]} are in the same place: no direction")
    return math.atan2(end[1] - start[1], end[0] - start[0])


def normal_turn(turn: float) -> float:
    """Bring a turn into -pi to pi, rad."""
    return math.remainder(turn, 2 * math.pi)
