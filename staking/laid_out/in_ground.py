"""What an order digs, fills and carts away."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from staking.footing.footing_outline import merge
from staking.frozen import frozen
from staking.grade.graded import Graded
from staking.grade.held_outward import HeldOutward, held_outward
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.volume import Facet, ground_facets, level_facets, lies_alike
from staking.laid_out.layout_value import Layout
from staking.notices import Area, Notice, Severity, notice
from staking.order.dig import Dug, bank_meets, dig_items, dug_out, stone_notices
from staking.order.drain.closed_pipe_dig import pipe_dig
from staking.order.drain.drain_dig import DrainDig, drain_volume
from staking.order.drain.whole_drain import Drain
from staking.order.footing_in_ground import FootingInGround
from staking.order.hauled.haul_off import HaulOff
from staking.order.hauled.put_back import InsideLevel
from staking.order.order_request import OrderAsked
from staking.order.order_results import Item
from staking.order.trench import FacetsOf, missing_ground
from staking.order.under_slab.bought_fill import BoughtFill
from staking.order.under_slab.fill_items import fill_items
from staking.order.under_slab.fill_notices import fill_notices, unused_notices
from staking.order.under_slab.floor_cut import FloorLevel
from staking.order.under_slab.slab_fill import EARTH_IN_PLACE, slab_fill
from staking.plan import Point
from staking.tolerances import ON_LINE

_UNKNOWN = 0.001
"""Ground over less than this, m2, is rounding at the survey's edge."""


@frozen
class InGround:
    """What is dug, filled and carted away.

    Parameters
    ----------
    fill
        What is filled inside the walls; None without a slab.
    haul
        What is carted away; None where no digging is worked out.
    items
        All of it with its arithmetic.
    """

    fill: BoughtFill | None
    haul: HaulOff | None
    items: tuple[Item, ...]
    notices: tuple[Notice, ...]


def in_ground(
    layout: Layout,
    footing: FootingInGround,
    asked: OrderAsked,
    concrete: float,
    drain: Drain,
) -> InGround:
    """Work out what is dug, filled and carted away.

    Parameters
    ----------
    layout, footing
        The layout and its footing.
    asked
        What the job asks of its order.
    concrete
        Footing concrete without waste, m3.
    drain
        The drain beside the footing; its trench may reach past the footing's.

    Returns
    -------
    InGround
        Volumes, items and notices.
    """
    plan, dig = layout.plan, layout.options.dig
    ground = ground_of(layout, drain.reached)
    dug = dug_for(layout, footing, ground, concrete, drain)
    fill = _fill(layout, footing, asked, ground, dug)
    haul = HaulOff(
        dug=dug.whole,
        put_back=dug.put_back,
        under_slab=0.0 if fill is None or fill.slab is None else fill.slab.earth_in_place,
        swell=asked.swell,
        truck=asked.haul,
        under_floor=dug.under_floor,
        for_drain=dug.drain.whole,
    )
    items = [*dig_items(dug, haul, dig, asked)]
    told = list(unused_notices(asked.fill, slab=plan.slab is not None))
    if fill is not None:
        items += fill_items(fill)
        told += fill_notices(fill)
    told += [*_floor_notices(layout, dug), *_pipe_notices(dug)]
    told += [*stone_notices(dig, asked), *_dig_notices(layout, footing, ground)]
    return InGround(
        fill=fill,
        haul=haul if dug.whole > ON_LINE else None,
        items=tuple(items),
        notices=tuple(told),
    )


def dug_for(
    layout: Layout, footing: FootingInGround, ground: FacetsOf, concrete: float, drain: Drain
) -> Dug:
    """Work out all that is dug: the trench, what goes under the floor, and the drain's trench.

    Parameters
    ----------
    layout, footing
        The layout, and its footing at the levels that it has or could have.
    ground
        The ground along each wall, as far as footing and drain reach.
    concrete
        Footing concrete without waste, m3.
    drain
        The drain beside the footing.

    Returns
    -------
    Dug
        In place.
    """
    closed = pipe_dig(drain.closed, drain.bottoms, footing, ground)
    own = DrainDig(
        length=math.fsum(math.dist(each.start, each.end) for each in drain.bottoms),
        volume=drain_volume(drain.bottoms, footing, ground) if drain.bottoms else 0.0,
        kept=drain.kept + closed.kept,
        pipe_length=closed.length,
        pipe_volume=closed.volume,
        pipe_unknown=closed.unknown,
    )
    return dug_out(footing, ground, concrete, _inside(layout), _floor_level(layout), own)


def _inside(layout: Layout) -> InsideLevel | None:
    # Under a slab the trench is not filled with earth; up to where the slab's own fill begins.
    slab = layout.plan.slab
    if slab is None:
        return None
    if layout.grade is None:
        return InsideLevel()
    under = None if slab.top is None else slab.top - slab.thickness - slab.base
    return InsideLevel(under_stone=under, strip=layout.grade.request.rules.strip)


def _floor_level(layout: Layout) -> FloorLevel | None:
    # Down to the underside of the slab's stone; without a slab to the grade inside.
    if layout.grade is None:
        return None
    slab, inside = layout.plan.slab, layout.grade.request.site.inside
    if slab is not None:
        under = None if slab.top is None else slab.top - slab.thickness - slab.base
        return FloorLevel(level=under, strip=layout.grade.request.rules.strip)
    return None if inside is None else FloorLevel(level=inside.grade)


def _floor_notices(layout: Layout, dug: Dug) -> list[Notice]:
    told = []
    slab = layout.plan.slab
    if layout.grade is not None and slab is not None and slab.top is None:
        told.append(
            notice(
                "slab-no-top",
                "nothing says how high the slab lies: fill under it, and ground cut away for it, "
                "are not counted; write top: under slab, the elevation of its top",
            )
        )
    if dug.cut is not None and dug.cut.stripped > _UNKNOWN:
        told.append(
            notice(
                "topsoil-carted",
                "the topsoil under the slab is carted with the spoil; what of it you stack on the "
                "lot is less to cart",
                Severity.NOTE,
            )
        )
    return told


def _pipe_notices(dug: Dug) -> list[Notice]:
    unknown = dug.drain.pipe_unknown
    if unknown <= _UNKNOWN:
        return []
    return [
        notice(
            "drain-dig-unknown",
            "no ground is known over {area} of the closed pipe's trench to the outlet: what is dug "
            "there is not counted; survey its way, or give ground there",
            area=Area(unknown),
        )
    ]


def _fill(
    layout: Layout, footing: FootingInGround, asked: OrderAsked, ground: FacetsOf, dug: Dug
) -> BoughtFill | None:
    plan, graded = layout.plan, layout.grade
    if plan.slab is None:
        return None
    slab = None
    held: list[HeldOutward] = []
    if graded is not None and plan.slab.top is not None:
        slab = slab_fill(footing, ground(None), graded.request.rules.strip, asked.fill)
        filled = plan.slab.top - plan.slab.thickness
        for wall in graded.walls:
            found = held_outward(wall.profile, wall.strand, graded.request.site, filled)
            held += [] if found is None else [found]
    if slab is not None:
        # There is no more earth than is left of the trench.
        left = max(0.0, dug.whole - dug.put_back) * EARTH_IN_PLACE
        slab = replace(slab, earth=min(slab.earth, left))
    return BoughtFill(
        asked=asked.fill, slab=slab, trench=dug.inside, held=tuple(held), truck=asked.haul
    )


def ground_of(layout: Layout, around: Sequence[Point] = ()) -> FacetsOf:
    """Give the ground of a layout along every wall and under every pad.

    Parameters
    ----------
    layout
        The layout.
    around
        Places beyond its footing and dig outlines that it is wanted at too, m.

    Returns
    -------
    callable
        Level ground at 0 without a grade section.
    """
    graded: Graded | None = layout.grade
    if graded is None:
        flat = level_facets(0.0)
        return lambda strand: flat
    existing = graded.request.site.existing

    rings = (*layout.footing.outlines, *layout.dig.outlines)
    region = [*around, *(point for ring in rings for point in ring)]

    @cache
    def along(name: str | None) -> Sequence[Facet]:
        strand: Strand | None = None if name is None else graded.network.strand(name)
        return ground_facets(existing, strand, region)

    if lies_alike(existing):
        return lambda strand: along(None)
    return lambda strand: along(None if strand is None else strand.name)


def _dig_notices(layout: Layout, footing: FootingInGround, ground: FacetsOf) -> tuple[Notice, ...]:
    told: list[Notice] = []
    if footing.dig.bank > 0:
        told += bank_meets((len(merge(footing.trench).holes), len(layout.dig.holes)))
    missing = missing_ground(footing.pieces, ground)
    if missing > _UNKNOWN:
        told.append(
            notice(
                "ground-missing",
                "no ground is known over {area} of the trench: what is dug there is not counted",
                area=Area(missing),
            )
        )
    return tuple(told)
