"""How far a building keeps from slopes steeper than one in three (IRC R403.1.7)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.grade.beyond_walls import SlopeSetback
from staking.grade.graded import GradedWall
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.surface import GroundSurface
from staking.kinds import FootingKind, LotPart
from staking.plan import Plan
from staking.tolerances import ON_LINE
from staking.units import FOOT

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

STEEP = 1 / 3
"""The rules hold for slopes steeper than this (IRC 2018, R403.1.7, as read in a summary)."""

TOE_SHARE, TOE_MOST = 1 / 2, 15 * FOOT
"""Below a slope the building's face keeps half its height from the toe, and never more than 15 ft
(IRC 2018, R403.1.7.1 and its figure, as read in two summaries), m."""

FACE_SHARE, FACE_MOST = 1 / 3, 40 * FOOT
"""Above a slope the footing keeps a third of its height from the slope's face, and never more than
40 ft (IRC 2018, R403.1.7.2 and its figure, as read in two summaries), m."""

REACH = 120 * FOOT
"""Slopes are looked for so far round the building, m: a third of a height of 120 ft is 40 ft."""

LEAST_HEIGHT = 2 * FOOT
"""A bank lower than this, m, is no slope: a kerb, a ditch, a slip of the survey (common practice,
no source)."""

_FAR = 1e4
"""Well past any lot, m."""


@frozen(eq=False)
class _SteepGround:
    """The steep triangles outside the building: shapes, gradients, planes, and their slopes.

    `slopes` numbers the slope that each triangle is part of.
    """

    shapes: Any
    gradients: Floats
    constants: Floats
    slopes: Ints

    def of(self, chosen: Any, shapes: Any) -> _SteepGround:
        """Give some of the triangles, cut to other shapes."""
        return _SteepGround(
            shapes=shapes,
            gradients=self.gradients[chosen],
            constants=self.constants[chosen],
            slopes=self.slopes[chosen],
        )

    def heights(self) -> tuple[Floats, Floats]:
        """Give the lowest and highest elevation of each triangle, m."""
        import shapely

        places, number = shapely.get_coordinates(self.shapes, return_index=True)
        z = (places * self.gradients[number]).sum(axis=1) + self.constants[number]
        low, high = np.full(len(self.slopes), np.inf), np.full(len(self.slopes), -np.inf)
        np.minimum.at(low, number, z)
        np.maximum.at(high, number, z)
        return low, high

    def below(self, level: float) -> Any:
        """Give the parts of the triangles that lie under a level, m."""
        import shapely

        steep = np.hypot(*self.gradients.T)[:, None]
        up = self.gradients / steep
        # The foot of the level line on each plane, from the grid's origin.
        foot = up * ((level - self.constants)[:, None] / steep)
        across = np.stack((-up[:, 1], up[:, 0]), axis=1) * _FAR
        corners = np.stack(
            (foot - across, foot + across, foot + across - up * _FAR, foot - across - up * _FAR),
            axis=1,
        )
        return shapely.intersection(self.shapes, shapely.polygons(corners))


def slope_setbacks(
    plan: Plan, walls: Sequence[GradedWall], around: GroundSurface | None
) -> tuple[SlopeSetback, ...]:
    """Find the slopes near each wall and how far it has to keep from them.

    Parameters
    ----------
    plan
        The building: the ground under it is no slope.
    walls
        Its walls with their levels.
    around
        The ground round the building; None where only that along the walls is known.

    Returns
    -------
    tuple of SlopeSetback
        For each wall the slope above it and the slope below it that it keeps least; none where
        there is no ground steeper than one in three.

    Notes
    -----
    A slope is the triangles of the ground steeper than `STEEP` that meet along sides and rise the
    same way. Its height is taken on the wall's outer side. The level distance from a footing to a
    slope's face is that to the slope's ground at or under the footing's lower outer edge.
    """
    # The buildings lie near the origin of their grid, so nothing is shifted.
    steep = None if around is None else _steep(plan, around)
    if steep is None:
        return ()
    found: list[SlopeSetback] = []
    for wall in walls:
        if wall.strand.kind is FootingKind.WALL:
            found += _of_wall(wall, steep)
    return tuple(found)


def _steep(plan: Plan, around: GroundSurface) -> _SteepGround | None:
    import shapely
    from shapely.geometry import Polygon

    corners = around.points[around.triangles]
    heights = around.elevations[around.triangles]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    du, dv = heights[:, 1] - heights[:, 0], heights[:, 2] - heights[:, 0]
    double = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    sound = np.abs(double) > ON_LINE**2
    double = np.where(sound, double, 1.0)
    gradients = np.stack(
        ((du * v[:, 1] - dv * u[:, 1]) / double, (dv * u[:, 0] - du * v[:, 0]) / double), axis=1
    )
    chosen = np.flatnonzero(sound & (np.hypot(*gradients.T) > STEEP + ON_LINE))
    if not len(chosen):
        return None
    gradients, corners = gradients[chosen], corners[chosen]
    houses = shapely.union_all([Polygon(building.ring) for building in plan.buildings])
    return _SteepGround(
        shapes=shapely.difference(shapely.polygons(corners), houses),
        gradients=gradients,
        constants=heights[chosen, 0] - (corners[:, 0] * gradients).sum(axis=1),
        slopes=_joined(around.triangles[chosen], gradients),
    )


def _joined(triangles: Ints, gradients: Floats) -> Ints:
    """Give each triangle the number of its slope: those that meet and rise alike have one."""
    sides = np.sort(triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    order = np.lexsort((sides[:, 1], sides[:, 0]))
    same = (sides[order[1:]] == sides[order[:-1]]).all(axis=1)
    first, second = order[:-1][same] // 3, order[1:][same] // 3
    alike = (gradients[first] * gradients[second]).sum(axis=1) > 0
    root = list(range(len(triangles)))

    def find(i: int) -> int:
        while root[i] != i:
            root[i] = root[root[i]]
            i = root[i]
        return i

    for a, b in zip(first[alike].tolist(), second[alike].tolist(), strict=True):
        root[find(a)] = find(b)
    return np.array([find(i) for i in range(len(triangles))], dtype=np.intp)


def _of_wall(wall: GradedWall, steep: _SteepGround) -> Iterator[SlopeSetback]:
    import shapely

    strand = wall.strand
    parts = shapely.intersection(steep.shapes, _outside(strand))
    rising = (steep.gradients * np.array(strand.out)).sum(axis=1)
    there = ~shapely.is_empty(parts)
    for part, chosen in (
        (LotPart.WALL, np.flatnonzero(there & (rising > ON_LINE))),
        (LotPart.FOOTING, np.flatnonzero(there & (rising < -ON_LINE))),
    ):
        if len(chosen):
            own = steep.of(chosen, parts[chosen])
            worst = _worst(wall, own, part)
            if worst is not None:
                yield worst


def _outside(strand: Strand) -> Any:
    """Give the ground on a wall's outer side, as far as slopes are looked for."""
    from shapely.geometry import Polygon

    far = 3 * REACH
    ends = (-far, strand.length + far)
    return Polygon([strand.place(s, o) for s, o in ((ends[0], 0.0), (ends[1], 0.0),
                                                    (ends[1], far), (ends[0], far))])  # fmt: skip


def _worst(wall: GradedWall, own: _SteepGround, part: LotPart) -> SlopeSetback | None:
    low, high = own.heights()
    distances = _distances(wall, own, part)
    steepness = np.hypot(*own.gradients.T)
    share, most = (TOE_SHARE, TOE_MOST) if part is LotPart.WALL else (FACE_SHARE, FACE_MOST)
    found = []
    for slope in np.unique(own.slopes).tolist():
        of = own.slopes == slope
        height = float(high[of].max() - low[of].min())
        distance = float(np.nanmin(np.where(np.isnan(distances[of]), np.inf, distances[of])))
        if height < LEAST_HEIGHT or math.isinf(distance):
            continue
        found.append(
            SlopeSetback(
                wall=wall.strand.name,
                part=part,
                distance=distance,
                needed=min(height * share, most),
                height=height,
                steepness=float(steepness[of].max()),
            )
        )
    return min(found, key=lambda each: each.distance - each.needed, default=None)


def _distances(wall: GradedWall, own: _SteepGround, part: LotPart) -> Floats:
    """Give how far each triangle is, m; not-a-number where it is not there at all."""
    import shapely

    strand = wall.strand
    if part is LotPart.WALL:
        face = shapely.linestrings([strand.start, strand.end])
        return np.asarray(shapely.distance(face, own.shapes), dtype=np.float64)
    least = np.full(len(own.slopes), np.nan)
    out = strand.footing.outside
    for level in wall.profile.levels:
        ends = (strand.place(level.start, out), strand.place(level.end, out))
        edge = shapely.linestrings(ends)
        least = np.fmin(least, shapely.distance(edge, own.below(level.bottom)))
    return least
