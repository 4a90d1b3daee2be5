"""Break lines forced into a triangulation by turning the sides that cross them."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.lines import cross_of

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]
Side = tuple[int, int]

_FLAT = 1e-12
"""An area of a triangle, as a share of its sides' product, below which it is flat."""

_OVER = 1e-9
"""Angles opposite a side may sum to so much over half a turn before it is turned, rad."""


def constrain(points: Floats, triangles: Ints, edges: Iterable[Side]) -> Ints:
    """Make edges sides of triangles, the rest as near to Delaunay as they allow.

    Parameters
    ----------
    points
        ``(n, 2)``, m.
    triangles
        A Delaunay triangulation of them, anticlockwise, ``(m, 3)``.
    edges
        Pairs of points; no point lies between the ends of one, and no two cross.

    Returns
    -------
    ndarray
        The constrained Delaunay triangles, anticlockwise, ``(m, 3)``.

    Raises
    ------
    ComputationError
        Where an edge cannot be made a side.

    References
    ----------
    S. W. Sloan, A fast algorithm for generating constrained Delaunay triangulations, Computers &
    Structures 47 (1993), 441-450 (from memory).
    """
    mesh = _Mesh(points, triangles)
    firm = {(min(edge), max(edge)) for edge in edges}
    made: list[Side] = []
    for edge in sorted(firm):
        made += mesh.force(*edge)
    mesh.restore(made, firm)
    return mesh.triangles()


class _Mesh:
    # For each directed side (a, b) the third corner of the triangle on its left.
    def __init__(self, points: Floats, triangles: Ints) -> None:
        self.points: list[tuple[float, float]] = [(x, y) for x, y in points.tolist()]
        self.apex: dict[Side, int] = {}
        self.beside: dict[int, int] = {}
        for a, b, c in triangles.tolist():
            self._put(a, b, c)

    def _put(self, a: int, b: int, c: int) -> None:
        self.apex[a, b], self.apex[b, c], self.apex[c, a] = c, a, b
        self.beside[a], self.beside[b], self.beside[c] = b, c, a

    def turn(self, a: int, b: int, c: int) -> float:
        # The sine of the turn at b times the sides, scaled to the longer sides; 0 where flat.
        (ax, ay), (bx, by), (cx, cy) = self.points[a], self.points[b], self.points[c]
        ux, uy, vx, vy = bx - ax, by - ay, cx - ax, cy - ay
        double = cross_of((ux, uy), (vx, vy))
        return 0.0 if abs(double) <= _FLAT * math.hypot(ux, uy) * math.hypot(vx, vy) else double

    def flip(self, u: int, v: int) -> Side:
        c, d = self.apex.pop((u, v)), self.apex.pop((v, u))
        self._put(c, d, v)
        self._put(d, c, u)
        return c, d

    def convex(self, u: int, v: int) -> bool:
        c, d = self.apex[u, v], self.apex[v, u]
        return self.turn(d, v, c) > 0 and self.turn(c, u, d) > 0

    def force(self, a: int, b: int) -> list[Side]:
        # Turn every side that crosses a-b; gives the sides made.
        waiting = deque(self._crossing(a, b))
        made: list[Side] = []
        left = 20 * (len(waiting) + 2) ** 2
        while waiting:
            u, v = waiting.popleft()
            left -= 1
            if left < 0:
                raise ComputationError(
                    "break lines run too close to each other or to points to be told apart; "
                    "thin them out"
                )
            if not self.convex(u, v):
                waiting.append((u, v))
                continue
            c, d = self.flip(u, v)
            if len({a, b, c, d}) == 4 and self.turn(a, b, c) * self.turn(a, b, d) < 0:
                waiting.append((c, d))
            else:
                made.append((c, d))
        return made

    def _crossing(self, a: int, b: int) -> list[Side]:
        # Sides between a and b, from a on; none where a-b is a side or runs along the hull.
        wedge = self._wedge(a, b)
        found = []
        while wedge is not None:
            p, q = wedge
            found.append((p, q))
            ahead = self.apex.get((q, p))
            if ahead is None:
                return []
            if ahead == b:
                return found
            wedge = (ahead, q) if self.turn(a, b, ahead) < 0 else (p, ahead)
        return found

    def _wedge(self, a: int, b: int) -> Side | None:
        # The side opposite a, right end first, that a-b leaves a's triangles through.
        if (a, b) in self.apex or (b, a) in self.apex or a not in self.beside:
            return None
        first = self.beside[a]
        for forward in (True, False):
            p = first
            while True:
                q = self.apex.get((a, p) if forward else (p, a))
                if q is None:
                    break
                right, left = (p, q) if forward else (q, p)
                if self.turn(a, b, right) < 0 < self.turn(a, b, left):
                    return right, left
                p = q
                if p == first:
                    return None
        return None

    def restore(self, made: Iterable[Side], firm: set[Side]) -> None:
        # Turn the sides that are not Delaunay, but for the firm ones.
        waiting = list(made)
        while waiting:
            u, v = waiting.pop()
            if (min(u, v), max(u, v)) in firm or (u, v) not in self.apex or (v, u) not in self.apex:
                continue
            c, d = self.apex[u, v], self.apex[v, u]
            over = self._angle(u, c, v) + self._angle(v, d, u) - math.pi
            if over > _OVER and self.convex(u, v):
                self.flip(u, v)
                waiting += [(u, d), (d, v), (v, c), (c, u)]

    def _angle(self, a: int, b: int, c: int) -> float:
        # At b, from a to c.
        (ax, ay), (bx, by), (cx, cy) = self.points[a], self.points[b], self.points[c]
        ux, uy, vx, vy = ax - bx, ay - by, cx - bx, cy - by
        return math.atan2(abs(cross_of((ux, uy), (vx, vy))), ux * vx + uy * vy)

    def triangles(self) -> Ints:
        found = [(a, b, c) for (a, b), c in self.apex.items() if a < b and a < c]
        return np.array(found, dtype=np.intp).reshape(-1, 3)
