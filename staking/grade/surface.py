"""A surface of triangles, its elevations, and its lowest and highest over pieces of ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.grade.cells import Patch

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_EDGE = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """Triangles over the building grid.

    Parameters
    ----------
    points
        x and y, ``(n, 2)``, m.
    elevations
        ``(n,)``, m.
    triangles
        Numbers of their corners, ``(m, 3)``, anticlockwise.
    """

    points: Floats
    elevations: Floats
    triangles: Ints

    def at(self, places: Floats) -> Floats:
        """Give elevations.

        Parameters
        ----------
        places
            ``(k, 2)``, m.

        Returns
        -------
        ndarray
            ``(k,)``, m; not-a-number outside the surface.
        """
        return _interpolate(self.points, self.elevations, self.triangles, places)

    def lowest(self, patches: Sequence[Patch]) -> Floats:
        """Give the lowest elevation in each patch, m.

        Returns
        -------
        ndarray
            ``(k,)``.
        """
        return np.array([float(self._heights(patch).min()) for patch in patches])

    def highest(self, patches: Sequence[Patch]) -> Floats:
        """Give the highest elevation in each patch, m.

        Returns
        -------
        ndarray
            ``(k,)``.
        """
        return np.array([float(self._heights(patch).max()) for patch in patches])

    def _heights(self, patch: Patch) -> Floats:
        # A surface of plane triangles has its extremes over a convex patch at the patch's
        # corners, at its own points within, and where edges of both cross.
        ring = np.array(patch.ring)
        low, high = ring.min(axis=0) - _EDGE, ring.max(axis=0) + _EDGE
        corners = self.points[self.triangles]
        near = (corners.min(axis=1) <= high).all(axis=1) & (corners.max(axis=1) >= low).all(axis=1)
        triangles = self.triangles[near]
        heights = [_interpolate(self.points, self.elevations, triangles, ring)]
        if np.isnan(heights[0]).any():
            raise ComputationError(f"{patch.wall}: the footing leaves the surveyed ground")
        edges = np.vstack((triangles[:, :2], triangles[:, 1:], triangles[:, ::2]))
        edges = np.unique(np.sort(edges, axis=1), axis=0)
        heights.append(self._crossings(edges, ring))
        own = np.unique(triangles)
        sides = np.roll(ring, -1, axis=0) - ring
        away = self.points[own][:, None] - ring
        turn = sides[:, 0] * away[..., 1] - sides[:, 1] * away[..., 0]
        within = (turn >= -_EDGE).all(axis=1) | (turn <= _EDGE).all(axis=1)
        if len(ring) > 2:
            heights.append(self.elevations[own[within]])
        return np.concatenate(heights)

    def _crossings(self, edges: Ints, ring: Floats) -> Floats:
        a, d = self.points[edges[:, 0]][:, None], np.diff(self.points[edges], axis=1)
        side = np.roll(ring, -1, axis=0) - ring
        turn = d[..., 0] * side[:, 1] - d[..., 1] * side[:, 0]
        gap = ring - a
        with np.errstate(divide="ignore", invalid="ignore"):
            along = (gap[..., 0] * side[:, 1] - gap[..., 1] * side[:, 0]) / turn
            other = (gap[..., 0] * d[..., 1] - gap[..., 1] * d[..., 0]) / turn
            crosses = (along >= 0) & (along <= 1) & (other >= 0) & (other <= 1)
        z0, z1 = self.elevations[edges[:, 0]][:, None], self.elevations[edges[:, 1]][:, None]
        heights: Floats = (z0 + np.where(crosses, along, 0.0) * (z1 - z0))[crosses]
        return heights


def _interpolate(points: Floats, elevations: Floats, triangles: Ints, places: Floats) -> Floats:
    found = np.full(len(places), np.nan)
    if not len(triangles):
        return found
    a = points[triangles[:, 0]]
    u, v = points[triangles[:, 1]] - a, points[triangles[:, 2]] - a
    double = u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
    z = elevations[triangles]
    for i, place in enumerate(places):
        w = place - a
        second = (w[:, 0] * v[:, 1] - w[:, 1] * v[:, 0]) / double
        third = (u[:, 0] * w[:, 1] - u[:, 1] * w[:, 0]) / double
        least = np.minimum(np.minimum(second, third), 1 - second - third)
        best = int(least.argmax())
        if least[best] >= -_EDGE:
            s, t = second[best], third[best]
            found[i] = z[best, 0] + s * (z[best, 1] - z[best, 0]) + t * (z[best, 2] - z[best, 0])
    return found
