"""What is dug for the closed pipes from a drain's low points to its outlet."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from staking.frozen import frozen
from staking.grade.terrain.volume import (
    Facet,
    HalfPlane,
    Plane,
    covered_area,
    rings_of,
    volume_above,
)
from staking.lines import clip_ring
from staking.order.drain.drain_dig import DrainBottom, drain_trench, shape_of_cut, with_area
from staking.order.drain.outlets import DrainOutlet, Reach
from staking.order.drain.pipe_and_stone import PAST_FOOTING, outside_diameter
from staking.order.footing_in_ground import FootingInGround
from staking.order.trench import DEEPEST, MEETING_GRID, FacetsOf
from staking.plan import Plan, Point
from staking.tolerances import ON_LINE

_NOTHING = 1e-9
"""Less of a shape, m2, is where two only touch."""


@frozen
class ClosedPipe:
    """A closed pipe in a trench of its own, straight on the plan.

    Parameters
    ----------
    start, end
        The drain's low point and its outlet, m.
    from_level, to_level
        Elevation of the trench's bottom, which is the pipe's, there, m.
    outside
        The pipe's outside diameter, m.
    """

    start: Point
    end: Point
    from_level: float
    to_level: float
    outside: float

    @property
    def length(self) -> float:
        """On the plan, m."""
        return math.dist(self.start, self.end)


@frozen
class PipeDig:
    """What the closed pipes take.

    Parameters
    ----------
    length
        Of their trenches, m.
    volume
        Dug for them beside what footing and drain take, m3 in place.
    kept
        The pipes themselves, where no earth goes back, m3.
    unknown
        How much of the trenches' bottom has no known ground over it, m2.
    """

    length: float = 0.0
    volume: float = 0.0
    kept: float = 0.0
    unknown: float = 0.0


def closed_pipes(
    plan: Plan, outlets: Sequence[DrainOutlet], outlet: Point | None, size: float
) -> tuple[ClosedPipe, ...]:
    """Give the closed pipes whose trench is known.

    Parameters
    ----------
    plan
        The building.
    outlets, outlet
        The drain's low points, and where they are led, m.
    size
        The pipe's nominal size, m.

    Returns
    -------
    tuple of ClosedPipe
        Those that run by themselves to an outlet whose elevation is given, and under no building.
    """
    from shapely.geometry import LineString, Polygon

    if outlet is None:
        return ()
    houses = [Polygon(building.ring) for building in plan.buildings]
    found = []
    for each in outlets:
        if each.reach not in {Reach.GRAVITY, Reach.FLAT} or each.length <= ON_LINE:
            continue
        assert each.level is not None
        way = LineString([each.low.place, outlet])
        if all(way.intersection(house).length <= ON_LINE for house in houses):
            found.append(
                ClosedPipe(
                    start=each.low.place,
                    end=outlet,
                    from_level=each.low.invert,
                    to_level=each.level,
                    outside=outside_diameter(size),
                )
            )
    return tuple(found)


def pipe_dig(
    pipes: Sequence[ClosedPipe],
    bottoms: Sequence[DrainBottom],
    footing: FootingInGround,
    facets_of: FacetsOf,
) -> PipeDig:
    """Work out what is dug for the closed pipes.

    Parameters
    ----------
    pipes
        The pipes; their trenches are as wide as the drain's, with the pipe on the bottom.
    bottoms
        The drain's trench.
    footing
        The footing and its trench.
    facets_of
        The ground; that of a pad is taken along the pipes.

    Returns
    -------
    PipeDig
        Exact on the ground's facets. What the footing's trench, the drain's, and another pipe's
        take is not counted again. Where the footing's trench is sloped, so are both sides here.
    """
    if not pipes:
        return PipeDig()
    bank, ground = footing.dig.bank, facets_of(None)
    dug = _Dug(footing, bottoms)
    volume = unknown = 0.0
    for pipe in pipes:
        strip, sides = _trench(pipe, bank)
        volume += math.fsum(dug.lowered(ring, plane, ground) for ring, plane in (strip, *sides))
        unknown += max(0.0, pipe.length * PAST_FOOTING - covered_area([strip[0]], ground))
    kept = math.fsum(pipe.length * math.pi / 4 * pipe.outside**2 for pipe in pipes)
    return PipeDig(
        length=math.fsum(pipe.length for pipe in pipes),
        volume=volume,
        kept=min(kept, volume),
        unknown=unknown,
    )


_Cut = tuple[list[Point], Plane]
"""What is dug within a convex ring, anticlockwise, down to a plane."""


def _trench(pipe: ClosedPipe, bank: float) -> tuple[_Cut, list[_Cut]]:
    (x, y), (ex, ey), length = pipe.start, pipe.end, pipe.length
    ux, uy = (ex - x) / length, (ey - y) / length
    half, fall = PAST_FOOTING / 2, (pipe.to_level - pipe.from_level) / length

    def ring(near: float, far: float) -> list[Point]:
        # Between two distances to the left of the way.
        return [
            (px - uy * off, py + ux * off)
            for px, py, off in ((x, y, near), (ex, ey, near), (ex, ey, far), (x, y, far))
        ]

    level = (fall * ux, fall * uy, pipe.from_level - fall * (ux * x + uy * y))
    sides: list[_Cut] = []
    if bank > 0:
        reach = half + bank * DEEPEST
        p, q, r = level
        for way, span in ((1.0, (half, reach)), (-1.0, (-reach, -half))):
            # Off its edge a side rises by 1 for every `bank` out.
            a, b = -uy * way / bank, ux * way / bank
            c = -(a * x + b * y) - half / bank
            sides.append((ring(*span), (p + a, q + b, r + c)))
    return (ring(-half, half), level), sides


class _Dug:
    """What is dug so far: shapes that do not overlap, each down to a plane."""

    def __init__(self, footing: FootingInGround, bottoms: Sequence[DrainBottom]) -> None:
        self._taken: list[tuple[Any, Plane]] = []
        for piece in footing.pieces:
            self._lay(with_area(piece.shape), (0.0, 0.0, piece.level))
        for side in footing.banks:
            start, end = side.edge
            room = DEEPEST * footing.dig.bank + math.dist(start, end)
            self._lay(shape_of_cut(_within(start, room * 2, side.within)), side.plane)
        for _, ring, plane in drain_trench(bottoms, footing.dig.bank):
            self._lay(shape_of_cut(ring), plane)

    def lowered(self, ring: list[Point], plane: Plane, ground: Sequence[Facet]) -> float:
        """Dig within a ring down to a plane, and give what that takes, m3."""
        total = 0.0
        for shape, before in self._lay(shape_of_cut(ring), plane):
            rings = rings_of(shape)
            total += volume_above(rings, ground, plane)
            if before is not None:
                total -= volume_above(rings, ground, before)
        return total

    def _lay(self, shape: Any, plane: Plane) -> list[tuple[Any, Plane | None]]:
        # The parts of a shape that become deeper, each with what it was dug down to before.
        import shapely

        found: list[tuple[Any, Plane | None]] = []
        kept: list[tuple[Any, Plane]] = []
        rest = shape
        for other, before in self._taken:
            shared = _overlay(shapely.intersection, shape, other)
            if shared.area <= _NOTHING:
                kept.append((other, before))
                continue
            rest = _overlay(shapely.difference, rest, other)
            deeper = _lower_part(shared, plane, before)
            if deeper.area > _NOTHING:
                found.append((deeper, before))
                other = _overlay(shapely.difference, other, deeper)
            kept.append((other, before))
        if rest.area > _NOTHING:
            found.append((rest, None))
        self._taken = [*kept, *((part, plane) for part, _ in found)]
        return found


def _lower_part(shape: Any, plane: Plane, other: Plane) -> Any:
    # Where one plane lies under another.
    a, b, c = (high - low for high, low in zip(other, plane, strict=True))
    west, south, east, north = shape.bounds
    around = [(west, south), (east, south), (east, north), (west, north)]
    ring = clip_ring(around, a, b, c)
    import shapely

    return _overlay(shapely.intersection, shape, shape_of_cut(ring))


def _overlay(way: Callable[..., Any], one: Any, other: Any) -> Any:
    # On the grid every shape stays sound, whatever was cut off it before.
    return with_area(way(one, other, grid_size=MEETING_GRID))


def _within(at: Point, reach: float, within: Sequence[HalfPlane]) -> list[Point]:
    (x, y), r = at, reach
    ring = [(x - r, y - r), (x + r, y - r), (x + r, y + r), (x - r, y + r)]
    for side in within:
        ring = clip_ring(ring, *side)
    return ring
