"""Ground cut away under a floor that lies lower than it, beside the trench."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.grade.terrain.volume import HalfPlane, area_above, covered_area, rings_of, volume_above
from staking.order.footing_in_ground import FootingInGround
from staking.order.trench import Bank, FacetsOf
from staking.plan import Point


@frozen
class FloorLevel:
    """How the ground under a floor is taken down.

    Parameters
    ----------
    level
        The underside of the slab's stone, or the grade inside, an elevation, m; None where nothing
        says it.
    strip
        Topsoil that is taken off under a slab, m.
    """

    level: float | None
    strip: float = 0.0


@frozen
class FloorCut:
    """What is taken out between the walls beside the trench's bottom, m3 in place.

    Parameters
    ----------
    area
        Floor over which the ground stands higher than its level, m2.
    volume
        What is cut away there down to that level, up to the ground as it is.
    over_trench
        What the trench takes over that level between the walls: it is not filled again.
    stripped
        Topsoil that neither trench nor cut takes.
    beside
        Floor beside the trench's bottom, m2, off which topsoil is taken; 0 where none is.
    strip_taken
        Topsoil off that floor which the cut or the trench's sloping sides take.
    """

    area: float
    volume: float
    over_trench: float
    stripped: float
    beside: float = 0.0
    strip_taken: float = 0.0


def floor_cut(
    footing: FootingInGround, banks: tuple[Bank, ...], facets_of: FacetsOf, to: FloorLevel
) -> FloorCut:
    """Work out what is taken out under a floor.

    Parameters
    ----------
    footing
        The footing with the floor between its walls.
    banks
        The sloping sides of its trench.
    facets_of
        The ground; on the floor beside the trench as under a pad.
    to
        How it is taken down.

    Returns
    -------
    FloorCut
        Exact on the ground's facets, as the trench is. What the trench and its sloping sides take
        is in neither volume.
    """
    import shapely

    bottom = shapely.union_all([piece.shape for piece in footing.pieces])
    under = _UnderFloor(rings_of(footing.floor.difference(bottom)), banks, facets_of, to.level)
    beside = taken = stripped = 0.0
    if to.strip > 0:
        beside = covered_area(under.rings, under.ground)
        taken = under.lowered(0.0) - under.lowered(to.strip)
        stripped = max(0.0, to.strip * beside - taken)
    if to.level is None:
        return FloorCut(
            area=0.0,
            volume=0.0,
            over_trench=0.0,
            stripped=stripped,
            beside=beside,
            strip_taken=taken,
        )
    plane = (0.0, 0.0, to.level)
    sloped = under.sloped()
    dug = math.fsum(
        volume_above(
            rings_of(piece.shape.intersection(footing.floor)), facets_of(piece.strand), plane
        )
        for piece in footing.pieces
    )
    return FloorCut(
        area=area_above(under.rings, under.ground, plane),
        volume=max(0.0, volume_above(under.rings, under.ground, plane) - sloped),
        over_trench=dug + sloped,
        stripped=stripped,
        beside=beside,
        strip_taken=taken,
    )


class _UnderFloor:
    """The floor beside the trench's bottom, and the sloping sides that reach over it."""

    def __init__(
        self,
        rings: list[list[Point]],
        banks: tuple[Bank, ...],
        facets_of: FacetsOf,
        level: float | None,
    ) -> None:
        self.rings = rings
        self.ground = facets_of(None)
        self._banks = [(side, facets_of(side.piece.strand)) for side in banks]
        self._level = level

    def sloped(self) -> float:
        """Give what the sloping sides take over the level, m3."""
        assert self._level is not None
        plane = (0.0, 0.0, self._level)
        total = 0.0
        for side, facets in self._banks:
            low, high = self._parted(side)
            # Where a side rises over the level all that it takes, else what stands over the level.
            total += volume_above(self.rings, facets, side.plane, high)
            total += volume_above(self.rings, facets, plane, low)
        return total

    def lowered(self, by: float) -> float:
        """Give what stands over the lower of level and sloping sides, these raised by `by`, m3."""
        total = 0.0
        if self._level is not None:
            total = volume_above(self.rings, self.ground, (0.0, 0.0, self._level + by))
        for side, facets in self._banks:
            low, _ = self._parted(side)
            p, q, r = side.plane
            total += volume_above(self.rings, facets, (p, q, r + by), low)
            if self._level is not None:
                total -= volume_above(self.rings, facets, (0.0, 0.0, self._level + by), low)
        return total

    def _parted(self, side: Bank) -> tuple[tuple[HalfPlane, ...], tuple[HalfPlane, ...]]:
        """Give the side's ground where it lies under the level, and where over it."""
        if self._level is None:
            return side.within, (*side.within, _NOWHERE)
        p, q, r = side.plane
        over = (p, q, r - self._level)
        return (*side.within, (-p, -q, -over[2])), (*side.within, over)


_NOWHERE = (0.0, 0.0, -1.0)
"""A half-plane without a point."""
