"""Ground cut away under a floor that lies lower than it, beside the trench."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.grade.terrain.volume import area_above, volume_above
from staking.order.footing_in_ground import FootingInGround
from staking.order.trench import Bank, DigPiece, FacetsOf, rings_of


@frozen
class FloorCut:
    """What is cut away between the walls down to one level.

    Parameters
    ----------
    level
        The underside of the slab's stone, or the grade inside, an elevation, m.
    area
        Floor beside the trench's bottom over which the ground stands higher, m2.
    volume
        What is cut away there up to the ground as it is, m3 in place. What the trench and its
        sloping sides take is not in it.
    over_trench
        What the trench takes over that level between the walls, m3: it is not filled again.
    """

    level: float
    area: float
    volume: float
    over_trench: float


def floor_cut(
    footing: FootingInGround, banks: tuple[Bank, ...], facets_of: FacetsOf, level: float
) -> FloorCut:
    """Work out what is cut away under a floor.

    Parameters
    ----------
    footing
        The footing with the floor between its walls.
    banks
        The sloping sides of its trench.
    facets_of
        The ground; on the floor beside the trench as under a pad.
    level
        Down to which it is cut, an elevation, m.

    Returns
    -------
    FloorCut
        Exact on the ground's facets, as the trench is.
    """
    import shapely

    floor, ground = footing.floor, facets_of(None)
    bottom = shapely.union_all([piece.shape for piece in footing.pieces])
    beside = rings_of(floor.difference(bottom))
    plane = (0.0, 0.0, level)
    sloped = math.fsum(_over(beside, side.piece, facets_of, side, level) for side in banks)
    dug = math.fsum(
        volume_above(rings_of(piece.shape.intersection(floor)), facets_of(piece.strand), plane)
        for piece in footing.pieces
    )
    return FloorCut(
        level=level,
        area=area_above(beside, ground, plane),
        volume=max(0.0, volume_above(beside, ground, plane) - sloped),
        over_trench=dug + sloped,
    )


def _over(
    rings: list[list[tuple[float, float]]],
    piece: DigPiece,
    facets_of: FacetsOf,
    side: Bank,
    level: float,
) -> float:
    # What a sloping side takes over the level: where it rises over it, what it takes at all.
    p, q, r = side.plane
    facets = facets_of(piece.strand)
    high = (p, q, r - level)
    low = (-p, -q, level - r)
    return volume_above(rings, facets, side.plane, (*side.within, high)) + volume_above(
        rings, facets, (0.0, 0.0, level), (*side.within, low)
    )
