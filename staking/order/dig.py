"""Digging, stone and backfill, with their arithmetic."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.footing.bands import footing_bands
from staking.grade.stepping.wall_network import Strand, build_network
from staking.grade.terrain.volume import volume_above
from staking.kinds import FootingKind, ItemRole, OrderGroup
from staking.notices import Area, Length, Notice, notice
from staking.order.concrete import trench_bottom, wall_plan
from staking.order.order_request import OrderAsked
from staking.order.order_results import Bulk, Carried, Item, Share, Turned, working
from staking.order.ordered_by import Measured
from staking.order.shape_areas import stretch_ring
from staking.order.trench import (
    Edge,
    FacetsOf,
    bank_volume,
    bottom_volume,
    dig_pieces,
    edge_length,
    rings_of,
)
from staking.order.wall_levels import Levels
from staking.plan import Dig, Plan
from staking.tolerances import ON_LINE


def dig_items(
    plan: Plan,
    levels: Levels,
    dig: Dig,
    asked: OrderAsked,
    facets_of: FacetsOf,
    concrete: float,
) -> tuple[Item, ...]:
    """Work out what is dug, carted and put back.

    Parameters
    ----------
    plan, levels
        The building and its footings.
    dig, asked
        How it is dug, swell, stone and the dump truck.
    facets_of
        The ground along each wall.
    concrete
        Footing concrete in the trench, without waste, m3.

    Returns
    -------
    tuple of Item
        Trench, stone, backfill, spoil to cart and its loads; nothing where no depth is known.
    """
    pieces = dig_pieces(levels, trench_bottom(plan, dig))
    bottom = bottom_volume(pieces, facets_of)
    area = sum(piece.area for piece in pieces)
    items = list(_stone(area, dig, asked))
    if bottom <= ON_LINE:
        return tuple(items)
    sides = bank_volume(pieces, dig.bank, facets_of, _standing(plan))
    dug = bottom + sides
    items = [*_trench(bottom, sides, area, edge_length(pieces), dig), *items]
    stone = area * dig.base
    wall = _wall_in_trench(plan, levels, facets_of)
    filled = max(0.0, dug - concrete - stone - wall)
    backfill = _bulk(
        "backfill, in place",
        filled,
        "{dug} dug - {concrete} footing"
        + (" - {stone} stone" if stone > 0 else "")
        + " - {wall} wall = {filled}",
        dug=Carried(dug),
        concrete=Carried(concrete),
        stone=Carried(stone),
        wall=Carried(wall),
        filled=Bulk(filled),
    )
    return (*items, backfill, *_spoil(dug, filled, asked))


def _spoil(dug: float, filled: float, asked: OrderAsked) -> tuple[Item, Item]:
    spoil = (dug - filled) * (1 + asked.swell)
    loads = math.ceil(spoil / asked.haul - 1e-9)
    return (
        _bulk(
            "spoil to cart, loose",
            spoil,
            "({dug} dug - {filled} put back) + {swell} swell = {spoil}",
            role=ItemRole.SPOIL,
            dug=Carried(dug),
            filled=Carried(filled),
            swell=Share(asked.swell),
            spoil=Bulk(spoil),
        ),
        Item(
            group=OrderGroup.DIG,
            what="loads of spoil",
            quantity=float(loads),
            measured=Measured.COUNT,
            counted="loads",
            arithmetic=working(
                "{spoil} / {haul} = {loads}, rounded up",
                spoil=Carried(spoil),
                haul=Carried(asked.haul),
                loads=loads,
            ),
            price="haul",
        ),
    )


def _standing(plan: Plan) -> list[Edge]:
    # The sides against standing buildings.
    found = []
    for building in plan.buildings:
        found += [
            (side.start, side.end) for side in building.sides if side.wall.existing is not None
        ]
    return found


def _bulk(
    what: str,
    quantity: float,
    text: str,
    /,
    price: str = "",
    up: bool = False,
    role: ItemRole | None = None,
    **figures: object,
) -> Item:
    return Item(
        group=OrderGroup.DIG,
        what=what,
        quantity=quantity,
        measured=Measured.BULK,
        arithmetic=working(text, **figures),  # type: ignore[arg-type]
        price=price,
        up=up,
        role=role,
    )


def _trench(bottom: float, sides: float, area: float, edge: float, dig: Dig) -> tuple[Item, ...]:
    upright = sides <= 0
    found = [
        _bulk(
            "trench, in place" if upright else "trench over its bottom, in place",
            bottom,
            "bottom {area} x {depth} mean depth = {volume}",
            price="dig" if upright else "",
            area=Area(area),
            depth=Length(bottom / area),
            volume=Turned(bottom),
        )
    ]
    if upright:
        return tuple(found)
    found += [
        _bulk(
            "sloping sides of the trench, in place",
            sides,
            "{edge} of edge x {section} mean section = {volume}, {bank} out for 1 down",
            edge=Length(edge),
            section=Area(sides / edge),
            bank=dig.bank,
            volume=Turned(sides),
        ),
        _bulk(
            "trench, in place",
            bottom + sides,
            "{bottom} + {sides} = {volume}",
            price="dig",
            bottom=Carried(bottom),
            sides=Carried(sides),
            volume=Bulk(bottom + sides),
        ),
    ]
    return tuple(found)


def _stone(area: float, dig: Dig, asked: OrderAsked) -> tuple[Item, ...]:
    thick = asked.stone if asked.stone is not None else dig.base
    if thick <= 0:
        return ()
    return (
        _bulk(
            "stone under the footings, in place",
            area * thick,
            "trench bottom {area} x {thick} = {volume}, up to the quarter",
            price="stone",
            up=True,
            area=Area(area),
            thick=Length(thick),
            volume=Turned(area * thick),
        ),
    )


def stone_notices(dig: Dig, asked: OrderAsked) -> tuple[Notice, ...]:
    """Say when the stone ordered is not the stone that is dug for.

    Returns
    -------
    tuple of Notice
        ``stone-depth``.
    """
    if asked.stone is None or abs(asked.stone - dig.base) <= ON_LINE:
        return ()
    return (
        notice(
            "stone-depth",
            "{stone} of stone is ordered, and base: under dig: leaves room for {base}; "
            "make them agree, so that the trench is dug for the stone",
            stone=Length(asked.stone),
            base=Length(dig.base),
        ),
    )


def _wall_in_trench(plan: Plan, levels: Levels, facets_of: FacetsOf) -> float:
    # What the wall takes of the trench between its footing's top and the ground.
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    walls = build_network(wall_plan(plan))
    hulls = {band.name: band.hull for band in footing_bands(wall_plan(plan))[0]}
    taken = unary_union([])
    parts: list[float] = []
    ordered = sorted(
        levels.stretches,
        key=lambda s: (
            s.strand.kind is not FootingKind.WALL,
            round(s.top, 9),
            sorted(s.strand.name.split("-")),
        ),
    )
    for stretch in ordered:
        strand: Strand = walls.strand(stretch.strand.name)
        ring = stretch_ring(strand, hulls[strand.name], stretch.start, stretch.end)
        if not ring:
            continue
        shape = Polygon(ring).difference(taken)
        taken = taken.union(Polygon(ring))
        parts.append(
            volume_above(rings_of(shape), facets_of(stretch.strand), (0.0, 0.0, stretch.top))
        )
    return math.fsum(parts)


def bank_meets(holes: Sequence[int]) -> tuple[Notice, ...]:
    """Say that banks meet across the building.

    Parameters
    ----------
    holes
        How many islands of ground the trench's bottom leaves standing, and how many its top.

    Returns
    -------
    tuple of Notice
        ``banks-meet``.
    """
    if holes[0] <= holes[1]:
        return ()
    return (
        notice(
            "banks-meet",
            "the sloping sides of the trench meet inside the building; dig the whole inside, and "
            "take the volume of the sides as too great",
        ),
    )
