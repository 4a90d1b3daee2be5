"""A surface of triangles, its elevations, and its lowest and highest over pieces of ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.grade.stepping.cells import Patch
from staking.lines import cross, cross_within, meeting_shares

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_EDGE = 1e-9

_AT_ONCE = 4_000_000

_KEPT = 256
"""So many groups of patches are kept with their extremes before all are let go."""


@frozen(kw_only=False, eq=False)
class GroundSurface:
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
    _boxes: tuple[Floats, Floats] = field(init=False, repr=False)
    """Lowest and highest x and y of every triangle, ``(m, 2)`` each: every question needs them."""
    _found: dict[tuple[Patch, ...], tuple[Floats, Floats]] = field(init=False, repr=False)
    """Extremes found before: steps, cover and depth of a wall ask for those of the same cells."""

    def __post_init__(self) -> None:
        """Find the box of every triangle."""
        object.__setattr__(self, "_found", {})
        a, b, c = (self.points[self.triangles[:, i]] for i in range(3))
        boxes = (np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c))
        object.__setattr__(self, "_boxes", boxes)

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
        found = np.full(len(places), np.nan)
        if not len(self.triangles) or not len(places):
            return found
        place, number = _pairs(places - _EDGE, places + _EDGE, self._boxes)
        corners = self.triangles[number]
        a = self.points[corners[:, 0]]
        u, v = self.points[corners[:, 1]] - a, self.points[corners[:, 2]] - a
        w = places[place] - a
        double = cross(u, v)
        second, third = cross(w, v) / double, cross(u, w) / double
        least = np.minimum(np.minimum(second, third), 1 - second - third)
        inside = np.flatnonzero(least >= -_EDGE)
        # Of several triangles a place lies in the one it is deepest in.
        order = inside[np.lexsort((least[inside], place[inside]))]
        z = self.elevations[corners[order]]
        found[place[order]] = (
            z[:, 0] + second[order] * (z[:, 1] - z[:, 0]) + third[order] * (z[:, 2] - z[:, 0])
        )
        return found

    def lowest(self, patches: Sequence[Patch]) -> Floats:
        """Give the lowest elevation in each patch, m.

        Returns
        -------
        ndarray
            ``(k,)``.

        Raises
        ------
        ComputationError
            Where a patch leaves the surface.
        """
        return self.extremes(patches)[0]

    def highest(self, patches: Sequence[Patch]) -> Floats:
        """Give the highest elevation in each patch, m.

        Returns
        -------
        ndarray
            ``(k,)``.

        Raises
        ------
        ComputationError
            Where a patch leaves the surface.
        """
        return self.extremes(patches)[1]

    def extremes(self, patches: Sequence[Patch]) -> tuple[Floats, Floats]:
        """Give the lowest and the highest elevation in each patch, m.

        Parameters
        ----------
        patches
            Convex pieces of ground.

        Returns
        -------
        tuple of ndarray
            ``(k,)`` each.

        Raises
        ------
        ComputationError
            Where a patch leaves the surface.

        Notes
        -----
        A surface of plane triangles has its extremes over a convex patch at the patch's corners,
        at its own points within, and where edges of both cross.
        """
        asked = tuple(patches)
        if asked not in self._found:
            if len(self._found) >= _KEPT:
                self._found.clear()
            self._found[asked] = self._extremes(asked)
        low, high = self._found[asked]
        return low.copy(), high.copy()

    def _extremes(self, patches: tuple[Patch, ...]) -> tuple[Floats, Floats]:
        low, high = np.full(len(patches), np.inf), np.full(len(patches), -np.inf)
        if not patches:
            return low, high
        most = max(len(patch.ring) for patch in patches)
        # A ring is filled up with its last corner; the sides between such corners have no length.
        rings = np.array([
            (*patch.ring, *(patch.ring[-1:] * (most - len(patch.ring)))) for patch in patches
        ])
        at_corners = self.at(rings.reshape(-1, 2)).reshape(len(patches), most)
        for i in np.flatnonzero(np.isnan(at_corners).any(axis=1)).tolist():
            raise ComputationError(f"{patches[i].wall}: the footing leaves the surveyed ground")
        low, high = at_corners.min(axis=1), at_corners.max(axis=1)
        patch, triangle = _pairs(rings.min(axis=1) - _EDGE, rings.max(axis=1) + _EDGE, self._boxes)
        # The axes are the pair of a patch and a triangle, the triangle's corner or side, and the
        # ring's corner or side.
        ring, sides = rings[patch, None], (np.roll(rings, -1, axis=1) - rings)[patch, None]
        starts = self.triangles[triangle]
        for heights in (
            self._within(ring, sides, starts),
            self._crossings(ring, sides, starts, starts[:, [2, 0, 1]]),
        ):
            np.fmin.at(low, patch, np.fmin.reduce(heights, axis=(1, 2)))
            np.fmax.at(high, patch, np.fmax.reduce(heights, axis=(1, 2)))
        return low, high

    def _within(self, ring: Floats, sides: Floats, points: Ints) -> Floats:
        # Heights of points that lie within their rings, not-a-number for the others; (n, 3, 1).
        turn = cross(sides, self.points[points][:, :, None] - ring)
        within = (turn >= -_EDGE).all(axis=2) | (turn <= _EDGE).all(axis=2)
        # A ring without area has no inside.
        within &= (np.abs(turn) > _EDGE).any(axis=2)
        return np.where(within, self.elevations[points], np.nan)[:, :, None]

    def _crossings(self, ring: Floats, sides: Floats, starts: Ints, ends: Ints) -> Floats:
        # Heights where edges cross the sides of their rings, else not-a-number; (n, 3, sides).
        d = (self.points[ends] - self.points[starts])[:, :, None]
        a = self.points[starts][:, :, None]
        along, other = meeting_shares(a, d, ring, sides)
        crosses = cross_within(along, other)
        z0, z1 = self.elevations[starts][:, :, None], self.elevations[ends][:, :, None]
        return np.where(crosses, z0 + np.where(crosses, along, 0.0) * (z1 - z0), np.nan)


def _pairs(low: Floats, high: Floats, boxes: tuple[Floats, Floats]) -> tuple[Ints, Ints]:
    # Numbers of the boxes and of the triangles whose own boxes meet, boxes in order.
    least, most = boxes
    found = [(np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp))]
    chunk = max(_AT_ONCE // max(len(least), 1), 1)
    for start in range(0, len(low), chunk):
        part = slice(start, start + chunk)
        near = (least[:, 0] <= high[part, None, 0]) & (most[:, 0] >= low[part, None, 0])
        near &= (least[:, 1] <= high[part, None, 1]) & (most[:, 1] >= low[part, None, 1])
        box, triangle = np.nonzero(near)
        found.append((box + start, triangle))
    return np.concatenate([one for one, _ in found]), np.concatenate([two for _, two in found])
