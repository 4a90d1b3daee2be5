"""What is weighed: every top of wall at every place, and the job as it would be written for one.

A move is counted from the place as it is written: north and east in metres on the survey's own
axes, and a turn in radians clockwise about the corner that the job places.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.grade.notices.cover import TOP_CLEAR, VENEER_CLEAR
from staking.kinds import FootingKind
from staking.site.site_request import Place, PlaceByBearing
from staking.tolerances import ON_LINE
from staking.weigh.weigh_request import MoveAsked, TopsAsked, WeighAsked

if TYPE_CHECKING:
    from staking.grade.grade_request import GradeAsked
    from staking.grade.graded import Graded
    from staking.plan import Options, Plan
    from staking.site.building_on_lot import BuildingOnLot

MOST = 2_000
"""No more rows are weighed at once: each is a whole job."""

_COURSES = 6
"""How many courses the tops reach over where the job does not say."""


@frozen
class Candidate:
    """One top of wall, m, at one place: moves in m, the turn in rad clockwise."""

    top: float
    north: float = 0.0
    east: float = 0.0
    turn: float = 0.0

    @property
    def stays(self) -> bool:
        """Whether the building stays where the job places it."""
        return self.north == 0.0 and self.east == 0.0 and self.turn == 0.0


def is_own(candidate: Candidate, top: float) -> bool:
    """Tell whether a candidate is the job as it is written, whose top of wall is given, m."""
    return candidate.stays and abs(candidate.top - top) < ON_LINE


def tops_of(asked: TopsAsked | None, graded: Graded, *, veneer: bool) -> tuple[float, ...]:
    """List the tops of wall that are weighed.

    Parameters
    ----------
    asked
        What the job says; None for half courses up from the lowest that stands clear of finished
        grade (IRC R404.1.6) and lets water run off (R401.3), over six courses, the job's own top
        among them.
    graded
        The job's own levels.
    veneer
        Whether veneer stands before the wall.

    Returns
    -------
    tuple of float
        Elevations, m, ascending.
    """
    step = graded.request.rules.course / 2
    own = graded.request.top_of_wall
    if asked is not None:
        step = step if asked.step is None else asked.step
        count = math.floor((asked.highest - asked.lowest) / step + ON_LINE)
        return tuple(asked.lowest + i * step for i in range(count + 1))
    outside = [wall for wall in graded.walls if wall.strand.kind is FootingKind.WALL]
    highest = max(float(wall.ground.finished.max()) for wall in outside)
    clear = highest + (VENEER_CLEAR if veneer else TOP_CLEAR)
    # Where the ground rises from the wall its top has to stand over that ground (IRC R401.3).
    clear = max([clear, *(each.top for each in graded.water)])
    first = math.ceil((clear - own) / step - ON_LINE)
    levels = {own + i * step for i in range(first, first + 2 * _COURSES + 1)} | {own}
    return tuple(sorted(levels))


def places_of(move: MoveAsked) -> tuple[tuple[float, float, float], ...]:
    """List the moves that are weighed: a grid either way, no move among them.

    Returns
    -------
    tuple
        North and east, m, and turn, rad; from the south-west on.
    """
    return tuple(
        product(
            _either_way(move.north, move.step),
            _either_way(move.east, move.step),
            _either_way(move.turn, move.turn_step),
        )
    )


def _either_way(reach: float, step: float) -> tuple[float, ...]:
    count = math.floor(reach / step + ON_LINE)
    inner = [i * step for i in range(-count, count + 1)]
    if reach - count * step > ON_LINE:
        inner = [-reach, *inner, reach]
    return tuple(inner)


def candidates_of(asked: WeighAsked, tops: tuple[float, ...]) -> tuple[Candidate, ...]:
    """List what is weighed: every top at every place.

    Returns
    -------
    tuple of Candidate
        The place as written first, its tops ascending; then place by place.
    """
    places = sorted(places_of(asked.move), key=lambda each: each != (0.0, 0.0, 0.0))
    return tuple(
        Candidate(top=top, north=north, east=east, turn=turn)
        for north, east, turn in places
        for top in tops
    )


def place_as_bearing(asked: Place, lot: BuildingOnLot, plan: Plan) -> PlaceByBearing:
    """Give a place as a corner's coordinates and a wall's bearing, whatever way it was written.

    Parameters
    ----------
    asked
        The place as the job writes it.
    lot
        The building placed by it.
    plan
        The building.

    Returns
    -------
    PlaceByBearing
        A place that is written so already is itself; else the first wall's, from its first corner.

    Raises
    ------
    ValueError
        Where the building is not placed.
    """
    if isinstance(asked, PlaceByBearing):
        return asked
    if lot.placement is None:
        raise ValueError("only a placed building has a place")
    wall = plan.buildings[0].walls[0]
    start, end = (plan.corner_points[name] for name in (wall.start, wall.end))
    northing, easting = lot.to_survey(np.array([start]))[0].tolist()
    own = math.atan2(end[1] - start[1], end[0] - start[0])
    return PlaceByBearing(
        corner=wall.start,
        wall=wall.name,
        northing=northing,
        easting=easting,
        azimuth=(math.pi / 2 - lot.placement.turn - own) % (2 * math.pi),
    )


def moved_place(place: PlaceByBearing, candidate: Candidate) -> PlaceByBearing:
    """Give a place as it would be written after a move."""
    if candidate.stays:
        return place
    return replace(
        place,
        northing=place.northing + candidate.north,
        easting=place.easting + candidate.east,
        azimuth=(place.azimuth + candidate.turn) % (2 * math.pi),
    )


def levels_at(asked: GradeAsked, top: float, rise: float) -> GradeAsked:
    """Give the grade section with another top of wall.

    Parameters
    ----------
    asked
        The section as written.
    top
        The new top of wall, m.
    rise
        How far that is over the top as written, m; tops of single walls shift by as much.

    Returns
    -------
    GradeAsked
        The section.
    """
    walls = tuple(
        each if each.top is None else replace(each, top=each.top + rise) for each in asked.walls
    )
    return replace(asked, top_of_wall=replace(asked.top_of_wall, elevation=top, above_highest=None),
                   walls=walls)  # fmt: skip


def plan_at(plan: Plan, rise: float) -> Plan:
    """Give the plan with its slab shifted with the wall's top."""
    slab = plan.slab
    if slab is None or slab.top is None:
        return plan
    return replace(plan, slab=replace(slab, top=slab.top + rise))


def options_at(options: Options, rise: float) -> Options:
    """Give the options with the strings' level shifted with the wall's top."""
    boards = options.boards
    if boards.at is None:
        return options
    return replace(options, boards=replace(boards, at=boards.at + rise))
