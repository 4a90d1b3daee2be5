"""Digging, stone and backfill, with their arithmetic."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.volume import rings_of, volume_above
from staking.kinds import FootingKind, OrderGroup
from staking.notices import Area, Length, Notice, notice
from staking.order.drain.drain_dig import NO_DRAIN, DrainDig
from staking.order.footing_in_ground import FootingInGround
from staking.order.hauled.haul_items import haul_items
from staking.order.hauled.haul_off import HaulOff
from staking.order.hauled.put_back import (
    InsideLevel,
    PartOfTrench,
    TrenchDug,
    trench_inside,
    trench_outside,
)
from staking.order.order_request import OrderAsked
from staking.order.order_results import Bulk, Carried, Item, Turned, working
from staking.order.ordered_by import Measured
from staking.order.shape_areas import stretch_ring
from staking.order.trench import FacetsOf, bottom_volume, edge_length, volume_of_banks
from staking.order.under_slab.floor_cut import FloorCut, FloorLevel, floor_cut
from staking.plan import Dig
from staking.tolerances import ON_LINE


@frozen(eq=False)
class Dug:
    """What is dug, and what stands in the trench again; m3 in place.

    Parameters
    ----------
    area, edge
        Of the trench's bottom, m2, and how long the edge round it is, m.
    bottom, sides
        Over the bottom, and what sloping sides add.
    concrete, stone, wall
        Footing, the stone under it, and the wall up to the ground.
    outside, inside
        The trench's two parts where a slab lies inside, which is not filled with earth; else None.
    cut
        What is taken out under the floor beside the trench; None where nothing is.
    drain
        What the drain's trench takes beyond this one, and what of it stays stone and pipe.
    """

    area: float
    edge: float
    bottom: float
    sides: float
    concrete: float
    stone: float
    wall: float
    outside: PartOfTrench | None = None
    inside: PartOfTrench | None = None
    cut: FloorCut | None = None
    drain: DrainDig = NO_DRAIN

    @property
    def trench(self) -> float:
        """All of the trench, m3."""
        return self.bottom + self.sides

    @property
    def under_floor(self) -> float:
        """What is taken out under the floor beside it, topsoil included, m3."""
        return 0.0 if self.cut is None else self.cut.volume + self.cut.stripped

    @property
    def left_open(self) -> float:
        """What of the trench stands open over a floor without a slab, m3."""
        return 0.0 if self.cut is None or self.outside is not None else self.cut.over_trench

    @property
    def whole(self) -> float:
        """All that is dug, m3."""
        return self.trench + self.under_floor + self.drain.whole

    @property
    def put_back(self) -> float:
        """Earth that goes back beside the walls, m3: outside alone where a slab lies inside."""
        if self.outside is not None:
            room = self.outside.room
        else:
            room = self.trench - self.left_open - self.concrete - self.stone - self.wall
        return max(0.0, max(0.0, room) + self.drain.whole - self.drain.kept)


def dug_out(
    footing: FootingInGround,
    facets_of: FacetsOf,
    concrete: float,
    inside: InsideLevel | None = None,
    floor: FloorLevel | None = None,
    drain: DrainDig = NO_DRAIN,
) -> Dug:
    """Work out the trench and what stands in it.

    Parameters
    ----------
    footing
        The footing and its trench.
    facets_of
        The ground along each wall.
    concrete
        Footing concrete in the trench, without waste, m3.
    inside
        How high it is filled inside the walls under a slab; None without a slab.
    floor
        How the ground inside the walls is taken down; None where it stays.
    drain
        What the drain's trench takes beyond this one.

    Returns
    -------
    Dug
        All in place, before it swells.
    """
    pieces, dig = footing.pieces, footing.dig
    bottom = bottom_volume(pieces, facets_of)
    area = sum(piece.area for piece in pieces)
    some = bottom > ON_LINE
    banks = footing.banks if some else ()
    sides = volume_of_banks(banks, dig.bank, facets_of)
    outer = inner = None
    if some and inside is not None:
        trench = TrenchDug(footing=footing, banks=banks, sides=sides, facets_of=facets_of)
        outer = trench_outside(trench)
        inner = trench_inside(trench, inside)
    return Dug(
        area=area,
        edge=edge_length(pieces) if some else 0.0,
        bottom=bottom,
        sides=sides,
        concrete=concrete,
        stone=area * dig.base,
        wall=_wall_in_trench(footing, facets_of) if some else 0.0,
        outside=outer,
        inside=inner,
        cut=None if floor is None else floor_cut(footing, banks, facets_of, floor),
        drain=drain,
    )


def dig_items(dug: Dug, haul: HaulOff, dig: Dig, asked: OrderAsked) -> tuple[Item, ...]:
    """Set out what is dug, carted and put back.

    Parameters
    ----------
    dug, haul
        The trench, and what of it is carted away.
    dig, asked
        How it is dug, and the stone.

    Returns
    -------
    tuple of Item
        Trench, stone, backfill, spoil to cart and its loads; nothing where no depth is known.
    """
    items = list(_stone(dug.area, dig, asked))
    if dug.whole <= ON_LINE:
        return tuple(items)
    if dug.bottom > ON_LINE:
        items = [*_trench(dug.bottom, dug.sides, dug.area, dug.edge, dig), *items]
    return (
        *items,
        *_under_floor(dug),
        *_beside_trench(dug.drain),
        _backfill(dug),
        *haul_items(haul),
    )


def _under_floor(dug: Dug) -> tuple[Item, ...]:
    cut = dug.cut
    if cut is None:
        return ()
    found = []
    if cut.stripped > ON_LINE:
        found.append(_topsoil(cut))
    if cut.volume <= ON_LINE:
        return tuple(found)
    return (
        *found,
        _bulk(
            "cut under the floor beside the trench, in place",
            cut.volume,
            "{area} of floor x {depth} mean depth = {volume}",
            price="dig",
            area=Area(cut.area),
            depth=Length(cut.volume / cut.area),
            volume=Turned(cut.volume),
        ),
    )


def _topsoil(cut: FloorCut) -> Item:
    whole = cut.stripped + cut.strip_taken
    text = "{area} of floor x {strip} = {whole}"
    if cut.strip_taken > ON_LINE:
        text += " - {taken} in the cut or the sloping sides = {left}"
    return _bulk(
        "topsoil off the floor beside the trench, in place",
        cut.stripped,
        text,
        price="dig",
        area=Area(cut.beside),
        strip=Length(whole / cut.beside),
        whole=Turned(whole),
        taken=Carried(cut.strip_taken),
        left=Bulk(cut.stripped),
    )


def _beside_trench(drain: DrainDig) -> tuple[Item, ...]:
    return tuple(
        _bulk(
            what,
            volume,
            "{length} x {section} mean section = {volume}",
            price="dig",
            length=Length(length),
            section=Area(volume / length),
            volume=Turned(volume),
        )
        for what, length, volume in (
            ("drain trench beside the footing's, in place", drain.length, drain.volume),
            ("closed pipe's trench to the outlet, in place", drain.pipe_length, drain.pipe_volume),
        )
        if volume > ON_LINE
    )


def _backfill(dug: Dug) -> Item:
    part = dug.outside
    drained = " + {own} drain trench" if dug.drain.volume > ON_LINE else ""
    drained += " + {pipe} closed pipe's trench" if dug.drain.pipe_volume > ON_LINE else ""
    drained += " - {kept} drain's stone and pipe" if dug.drain.kept > 0 else ""
    if part is not None:
        return _bulk(
            "backfill outside the walls, in place",
            dug.put_back,
            "{dug} dug outside them - {concrete} footing"
            + (" - {stone} stone" if part.stone > 0 else "")
            + drained
            + " = {filled}",
            own=Carried(dug.drain.volume),
            pipe=Carried(dug.drain.pipe_volume),
            kept=Carried(dug.drain.kept),
            dug=Carried(part.dug),
            concrete=Carried(part.concrete),
            stone=Carried(part.stone),
            filled=Bulk(dug.put_back),
        )
    return _bulk(
        "backfill, in place",
        dug.put_back,
        "{dug} dug - {concrete} footing"
        + (" - {stone} stone" if dug.stone > 0 else "")
        + " - {wall} wall"
        + (" - {open} over the floor inside" if dug.left_open > ON_LINE else "")
        + drained
        + " = {filled}",
        own=Carried(dug.drain.volume),
        pipe=Carried(dug.drain.pipe_volume),
        kept=Carried(dug.drain.kept),
        open=Carried(dug.left_open),
        dug=Carried(dug.trench),
        concrete=Carried(dug.concrete),
        stone=Carried(dug.stone),
        wall=Carried(dug.wall),
        filled=Bulk(dug.put_back),
    )


def _bulk(
    what: str,
    quantity: float,
    text: str,
    /,
    price: str = "",
    up: bool = False,
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


def _wall_in_trench(footing: FootingInGround, facets_of: FacetsOf) -> float:
    # What the wall takes of the trench between its footing's top and the ground.
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    taken = unary_union([])
    parts: list[float] = []
    ordered = sorted(
        footing.levels.stretches,
        key=lambda s: (
            s.strand.kind is not FootingKind.WALL,
            round(s.top, 9),
            sorted(s.strand.name.split("-")),
        ),
    )
    for stretch in ordered:
        strand: Strand = footing.walls.strand(stretch.strand.name)
        ring = stretch_ring(strand, strand.hull, stretch.start, stretch.end)
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
