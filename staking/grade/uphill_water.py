"""Water on the uphill side: the ground ten feet out from each wall against grade at the wall."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.grade.beyond_walls import FALL, OUT, WaterAtWall
from staking.grade.graded import GradedWall
from staking.grade.stepping.cells import SiteGround
from staking.grade.terrain.ground_around import surveyed_at
from staking.kinds import FootingKind
from staking.plan import Plan
from staking.tolerances import ON_LINE

Floats = npt.NDArray[np.float64]


def water_at_walls(
    plan: Plan,
    walls: Sequence[GradedWall],
    site: SiteGround,
    clear: float,
) -> tuple[WaterAtWall, ...]:
    """Hold grade at each wall against the ground ten feet out.

    Parameters
    ----------
    plan
        The building; where ten feet out is under one of its outlines nothing is held.
    walls
        Its walls with their ground; interior lines have nothing to say.
    site
        The ground: where finished grade is so much above the existing ground, it is so ten feet
        out as well; where it has points of its own, the ground out there is the existing.
    clear
        How far a wall's top has to stand over finished grade, m.

    Returns
    -------
    tuple of WaterAtWall
        One for each wall before which the ground is known ten feet out somewhere.
    """
    raised = site.fill if site.finished is None else 0.0
    outside = [wall for wall in walls if wall.strand.kind is FootingKind.WALL]
    places = np.array([
        wall.strand.place(station, OUT)
        for wall in outside
        for station in wall.ground.stations.tolist()
    ])
    known = surveyed_at(site.existing, places)
    if known is None:
        return ()
    heights = known + raised
    heights[_is_through_building(plan, outside, places)] = np.nan
    found = []
    for wall in outside:
        count = len(wall.ground.stations)
        own, heights = heights[:count], heights[count:]
        if not np.isnan(own).all():
            found.append(_of_wall(wall, own, clear))
    return tuple(found)


def _is_through_building(
    plan: Plan, walls: Sequence[GradedWall], places: Floats
) -> npt.NDArray[np.bool_]:
    """Tell to which places the way from the wall runs through a building or along one."""
    import shapely

    faces = np.array([
        wall.strand.place(station, 0.0)
        for wall in walls
        for station in wall.ground.stations.tolist()
    ])
    houses = shapely.union_all([shapely.Polygon(each.ring) for each in plan.buildings])
    ways = shapely.linestrings(np.stack((faces, places), axis=1))
    along = np.asarray(shapely.length(shapely.intersection(ways, houses)), dtype=np.float64)
    return np.asarray(along > ON_LINE, dtype=np.bool_)


def _of_wall(wall: GradedWall, out: Floats, clear: float) -> WaterAtWall:
    stations, at_wall = wall.ground.stations, wall.ground.finished
    falls = at_wall - out
    at = _least(falls, np.abs(stations - wall.strand.bond_from))
    grade = float(np.nanmax(out)) + FALL
    return WaterAtWall(
        wall=wall.strand.name,
        station=float(stations[at]),
        at_wall=float(at_wall[at]),
        out=float(out[at]),
        swale=float(at_wall[at]) - FALL,
        grade=grade,
        top=grade + clear,
    )


def _least(falls: Floats, along: Floats) -> int:
    # Of several places with one fall the nearest to the corner that comes first by name.
    near = np.flatnonzero(falls <= np.nanmin(falls) + ON_LINE)
    return int(near[np.argmin(along[near])])
