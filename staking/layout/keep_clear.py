"""What the strings and boards of a plan have to keep clear of, gathered once."""

from __future__ import annotations

import numpy as np

from staking.footing.bands_and_outlines import Band
from staking.frozen import frozen
from staking.layout.obstacles import Array, Hulls, Indices, Stretch, in_frame, inside_stretches
from staking.lines import nearest_shares
from staking.plan import Plan, Point
from staking.tolerances import SAME_POINT


@frozen(kw_only=False, eq=False)
class StandingSides:
    """The sides against standing buildings: ends and outward unit normals, ``(k, 2)``, m."""

    start: Array
    end: Array
    outward: Array

    def faced(self, point: Point, direction: Point) -> bool:
        """Tell whether a ray from a point on such a side goes to the standing building.

        Returns
        -------
        bool
            Also True where it runs along that building's face.
        """
        if not len(self.start):
            return False
        _, gap = nearest_shares(np.array(point), self.start, self.end)
        on_side = np.hypot(gap[:, 0], gap[:, 1]) <= SAME_POINT
        toward = self.outward @ np.array(direction) >= -1e-9
        return bool((on_side & toward).any())

    def met(self, origin: Point, direction: Point) -> list[float]:
        """Find where a line meets such sides.

        Returns
        -------
        list of float
            Places along the line, m from `origin`, both ends of a side that lies in the line.
        """
        if not len(self.start):
            return []
        s0, t0 = in_frame(self.start, origin, direction)
        s1, t1 = in_frame(self.end, origin, direction)
        on0, on1 = np.abs(t0) <= SAME_POINT, np.abs(t1) <= SAME_POINT
        proper = ~on0 & ~on1 & (t0 * t1 < 0)
        rise = np.where(proper, t1 - t0, 1.0)
        crossing = s0 - t0 * (s1 - s0) / rise
        return [float(s) for s in np.concatenate((s0[on0], s1[on1], crossing[proper]))]


@frozen(kw_only=False, eq=False)
class LineHindrances:
    """What a whole line meets; places along it count from its origin, m.

    Parameters
    ----------
    inside
        Where it runs inside each building it crosses, one list a building.
    kept_off
        Where it runs inside shapes to stay clear of, with their names.
    met
        Where it meets sides against standing buildings.
    dig, edges
        Which dug bands, and which edges, may lie in the strip along it that was asked for.
    """

    inside: tuple[list[Stretch], ...]
    kept_off: list[tuple[str, Stretch]]
    met: list[float]
    dig: Indices
    edges: Indices


@frozen(kw_only=False, eq=False)
class InTheWay:
    """Everything in the way.

    Parameters
    ----------
    buildings
        How many of the rings are buildings' outlines; those come first.
    shapes
        Names of the other rings, which no string may enter.
    ring
        For each edge the ring it belongs to.
    standing
        The sides against standing buildings.
    dig
        What is dug.
    edges
        The edges of all rings, which no board may cross.
    """

    buildings: int
    shapes: tuple[str, ...]
    ring: Indices
    standing: StandingSides
    dig: Hulls
    edges: Hulls

    @classmethod
    def of(cls, plan: Plan, dig_bands: tuple[Band, ...]) -> InTheWay:
        """Gather what is in the way on a plan.

        Returns
        -------
        InTheWay
            The outlines, shapes, sides and dig of the plan.
        """
        rings = [building.ring for building in plan.buildings]
        rings += [shape.corners for shape in plan.stay_clear]
        edges = [(ring[i - 1], ring[i]) for ring in rings for i in range(len(ring))]
        return cls(
            buildings=len(plan.buildings),
            shapes=tuple(shape.name for shape in plan.stay_clear),
            ring=np.repeat(np.arange(len(rings)), [len(ring) for ring in rings]),
            standing=_standing(plan),
            dig=Hulls.of([band.hull for band in dig_bands]),
            edges=Hulls.of(edges),
        )

    def look_along(self, origin: Point, direction: Point, span: Stretch) -> LineHindrances:
        """Look both ways along a line.

        Parameters
        ----------
        origin, direction
            A point of the line, m, and its unit direction.
        span
            How wide a strip matters, m to the left of the line, the lesser first; it holds 0.

        Returns
        -------
        LineHindrances
            What the line and the strip meet.
        """
        edges = self.edges.near_line(origin, direction, span)
        inside: list[list[Stretch]] = []
        kept_off: list[tuple[str, Stretch]] = []
        rings = self.ring[edges]
        for ring in sorted(set(rings.tolist())):
            mine = edges[rings == ring]
            a, b = self.edges.vertices[2 * mine], self.edges.vertices[2 * mine + 1]
            stretches = inside_stretches(a, b, origin, direction)
            if ring < self.buildings:
                inside.append(stretches)
            else:
                name = self.shapes[ring - self.buildings]
                kept_off += [(name, stretch) for stretch in stretches]
        return LineHindrances(
            inside=tuple(inside),
            kept_off=kept_off,
            met=self.standing.met(origin, direction),
            dig=self.dig.near_line(origin, direction, span),
            edges=edges,
        )

    @property
    def has_barriers(self) -> bool:
        """True where a string could run into something between two of its walls."""
        return len(self.standing.start) > 0 or bool(self.shapes)


def _standing(plan: Plan) -> StandingSides:
    start: list[Point] = []
    end: list[Point] = []
    outward: list[Point] = []
    for building in plan.buildings:
        for side in building.sides:
            if side.wall.existing is not None:
                start.append(side.start)
                end.append(side.end)
                outward.append(side.outward)
    return StandingSides(
        np.array(start, dtype=np.float64).reshape(-1, 2),
        np.array(end, dtype=np.float64).reshape(-1, 2),
        np.array(outward, dtype=np.float64).reshape(-1, 2),
    )
