"""The room that footing and walls leave in the trench, outside the walls and inside them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from staking.frozen import frozen
from staking.grade.terrain.volume import HalfPlane, Plane, rings_of, volume_above
from staking.order.concrete import concrete_over
from staking.order.footing_in_ground import FootingInGround
from staking.order.trench import Bank, DigPiece, FacetsOf, bottom_volume


@frozen
class PartOfTrench:
    """What is dug on one side of the walls and what stands there again, m3, in place.

    Parameters
    ----------
    dug
        Up to the ground, or inside only up to what is filled there.
    concrete, stone
        Footing and the stone under it.
    """

    dug: float
    concrete: float
    stone: float

    @property
    def room(self) -> float:
        """What is left to fill, m3."""
        return max(0.0, self.dug - self.concrete - self.stone)


@frozen
class InsideLevel:
    """How high the trench is filled inside the walls.

    Parameters
    ----------
    under_stone
        Underside of the slab's stone, an elevation, m; None where it is not known, and the trench
        is filled to the ground.
    strip
        Topsoil that is taken off there, m.
    """

    under_stone: float | None = None
    strip: float = 0.0


@frozen(eq=False)
class TrenchDug:
    """The trench with its sloping sides.

    Parameters
    ----------
    footing
        The footing in it, and its bottom.
    banks, sides
        Its sloping sides, and their volume, m3.
    facets_of
        The ground along each wall.
    """

    footing: FootingInGround
    banks: tuple[Bank, ...]
    sides: float
    facets_of: FacetsOf


def trench_outside(trench: TrenchDug) -> PartOfTrench:
    """Give the trench outside the walls.

    Parameters
    ----------
    trench
        The whole trench.

    Returns
    -------
    PartOfTrench
        Up to the ground as it is.
    """
    footing = trench.footing
    building = footing.inside
    out = _parts(footing.pieces, building, beyond=True)
    # The sides' share inside is what is taken from the whole: outside they have no end.
    inside = _banks_over(trench, rings_of(building), 0.0, None)
    return PartOfTrench(
        dug=bottom_volume(out, trench.facets_of) + max(0.0, trench.sides - inside),
        concrete=concrete_over(footing, building, beyond=True),
        stone=math.fsum(piece.area for piece in out) * footing.dig.base,
    )


def trench_inside(trench: TrenchDug, to: InsideLevel) -> PartOfTrench:
    """Give the trench under the floor between the walls.

    Parameters
    ----------
    trench
        The whole trench.
    to
        How high it is filled there.

    Returns
    -------
    PartOfTrench
        What is dug counts from the trench's bottom and sides up to that level, or to the ground
        without its topsoil where that is lower.
    """
    footing = trench.footing
    floor = footing.floor
    within = _parts(footing.pieces, floor, beyond=False)
    dug = math.fsum(
        _filled(rings_of(p.shape), trench, p, (0.0, 0.0, p.level), (), to) for p in within
    )
    dug += _banks_over(trench, rings_of(floor), to.strip, to.under_stone)
    return PartOfTrench(
        dug=dug,
        concrete=concrete_over(footing, floor, beyond=False),
        stone=math.fsum(piece.area for piece in within) * footing.dig.base,
    )


def _parts(pieces: Sequence[DigPiece], shape: Any, *, beyond: bool) -> list[DigPiece]:
    # The pieces' parts within a shape, or beyond it.
    found = []
    for piece in pieces:
        part = piece.shape.difference(shape) if beyond else piece.shape.intersection(shape)
        if part.area > 0:
            found.append(
                DigPiece(name=piece.name, strand=piece.strand, level=piece.level, shape=part)
            )
    return found


def _banks_over(
    trench: TrenchDug, rings: list[list[tuple[float, float]]], strip: float, top: float | None
) -> float:
    to = InsideLevel(under_stone=top, strip=strip)
    return math.fsum(
        _filled(rings, trench, side.piece, side.plane, side.within, to) for side in trench.banks
    )


def _filled(
    rings: list[list[tuple[float, float]]],
    trench: TrenchDug,
    piece: DigPiece,
    plane: Plane,
    within: tuple[HalfPlane, ...],
    to: InsideLevel,
) -> float:
    # Between a plane below and the lower of the stripped ground and the fill's own top. Ground
    # over a plane raised by the topsoil is stripped ground over the plane.
    p, q, r = plane
    facets = trench.facets_of(piece.strand)
    if to.under_stone is None:
        return volume_above(rings, facets, (p, q, r + to.strip), within)
    # Where the plane lies under that top: whole, less what stands over the top.
    low = (-p, -q, to.under_stone - r)
    inside = (*within, low)
    whole = volume_above(rings, facets, (p, q, r + to.strip), inside)
    return whole - volume_above(rings, facets, (0.0, 0.0, to.under_stone + to.strip), inside)
