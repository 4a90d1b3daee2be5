"""The concrete to order, item by item with its arithmetic."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.kinds import Casting, OrderGroup
from staking.notices import Area, Length, Notice, notice
from staking.order.concrete import (
    FootingClass,
    dug_width,
    footing_classes,
    wall_parts,
)
from staking.order.footing_in_ground import FootingInGround
from staking.order.order_request import OrderAsked
from staking.order.order_results import Bulk, Carried, Item, Share, Turned, working
from staking.order.ordered_by import Measured
from staking.order.wall_levels import Levels, StepFill
from staking.plan import Dig, Plan
from staking.tolerances import ON_LINE


def footing_items(footing: FootingInGround, waste: float) -> tuple[Item, ...]:
    """Work out the footings' concrete.

    Parameters
    ----------
    footing
        The footing with the strips that are cast.
    waste
        Share added.

    Returns
    -------
    tuple of Item
        One item for each thickness, one for all steps, and last the whole with its waste.
    """
    items = [_class_item(each) for each in footing_classes(footing)]
    items += step_items(footing.levels.steps, footing.dig)
    return (*items, _with_waste("footing concrete", OrderGroup.CONCRETE, items, waste))


def step_items(steps: Sequence[StepFill], dig: Dig) -> list[Item]:
    """Work out what the steps' overlaps take beyond the footing.

    Parameters
    ----------
    steps
        All steps.
    dig
        What the footing is cast against.

    Returns
    -------
    list of Item
        One for all steps of one size.
    """
    sizes: dict[tuple[float, float, float], int] = {}
    for step in steps:
        width = dug_width(step.width, dig)
        size = (round(step.overlap, 6), round(width, 6), round(step.rise, 6))
        sizes[size] = sizes.get(size, 0) + 1
    items = []
    for (overlap, width, rise), count in sorted(sizes.items()):
        volume = count * overlap * width * rise
        items.append(
            Item(
                group=OrderGroup.CONCRETE,
                what="steps, the overlap under the upper footing",
                quantity=volume,
                measured=Measured.BULK,
                arithmetic=working(
                    "{count} x {overlap} overlap x {width} x {rise} rise = {volume}",
                    count=count,
                    overlap=Length(overlap),
                    width=Length(width),
                    rise=Length(rise),
                    volume=Turned(volume),
                ),
            )
        )
    return items


def wall_items(footing: FootingInGround, height: float | None, waste: float) -> tuple[Item, ...]:
    """Work out walls cast in concrete, and what their openings leave out.

    Parameters
    ----------
    footing
        The footing and the walls on it.
    height
        Of all walls, m; None takes the courses.
    waste
        Share added.

    Returns
    -------
    tuple of Item
        One item for each height, one for the openings, and last the whole with its waste.
    """
    items = [
        Item(
            group=OrderGroup.CONCRETE,
            what="walls",
            quantity=part.area * part.height,
            measured=Measured.BULK,
            arithmetic=working(
                "plan area {area} x {height} high = {volume}",
                area=Area(part.area),
                height=Length(part.height),
                volume=Turned(part.area * part.height),
            ),
            sizes=(("height", Length(part.height)),),
        )
        for part in wall_parts(footing, height)
    ]
    plan = footing.plan
    thickness = {
        name: wall.thickness
        for building in plan.buildings
        for wall in building.walls
        for name in wall.names
    }
    thickness |= {line.name: line.thickness for line in plan.interior}
    for opening in plan.openings:
        thick = thickness[opening.wall]
        volume = -opening.width * opening.drop * thick
        items.append(
            Item(
                group=OrderGroup.CONCRETE,
                what=f"opening in {opening.wall}, not cast",
                quantity=volume,
                measured=Measured.BULK,
                arithmetic=working(
                    "{width} x {drop} drop x {thick} = {volume}, taken off",
                    width=Length(opening.width),
                    drop=Length(opening.drop),
                    thick=Length(thick),
                    volume=Turned(-volume),
                ),
            )
        )
    return (*items, _with_waste("wall concrete", OrderGroup.CONCRETE, items, waste))


def pier_items(levels: Levels, asked: OrderAsked) -> tuple[Item, ...]:
    """Work out the piers on the pads.

    Parameters
    ----------
    levels
        Where the pads are, and how high their piers are.
    asked
        The piers' diameter and the waste.

    Returns
    -------
    tuple of Item
        One for all piers; none where no height or diameter is known.
    """
    heights = [pad.pier for pad in levels.pads if pad.pier]
    if asked.pier is None or not heights:
        return ()
    area = math.pi * asked.pier**2 / 4
    volume = area * sum(heights)
    item = Item(
        group=OrderGroup.CONCRETE,
        what="piers on the pads",
        quantity=volume,
        measured=Measured.BULK,
        arithmetic=working(
            "3.1416 x {across} x {across} / 4 x {height} in all = {volume}",
            across=Length(asked.pier),
            height=Length(sum(heights)),
            volume=Turned(volume),
        ),
    )
    return (item, _with_waste("pier concrete", OrderGroup.CONCRETE, [item], asked.waste))


def slab_items(footing: FootingInGround, waste: float) -> tuple[Item, ...]:
    """Work out the slab between the walls and the stone under it.

    Parameters
    ----------
    footing
        The footing with the floor between its walls.
    waste
        Share added to the concrete.

    Returns
    -------
    tuple of Item
        The slab, the same with waste, and its stone base.
    """
    built = footing.plan.slab
    if built is None:
        return ()
    area = float(footing.floor.area)
    volume = area * built.thickness
    slab = Item(
        group=OrderGroup.CONCRETE,
        what="slab between the walls",
        quantity=volume,
        measured=Measured.BULK,
        arithmetic=working(
            "floor {area} x {thick} = {volume}",
            area=Area(area),
            thick=Length(built.thickness),
            volume=Turned(volume),
        ),
    )
    items = [slab, _with_waste("slab concrete", OrderGroup.CONCRETE, [slab], waste)]
    if built.base > 0:
        stone = area * built.base
        items.append(
            Item(
                group=OrderGroup.DIG,
                what="stone under the slab, in place",
                quantity=stone,
                measured=Measured.BULK,
                arithmetic=working(
                    "floor {area} x {thick} = {volume}, up to the quarter",
                    area=Area(area),
                    thick=Length(built.base),
                    volume=Turned(stone),
                ),
                price="stone",
                up=True,
            )
        )
    return tuple(items)


def wide_notices(plan: Plan, dig: Dig) -> tuple[Notice, ...]:
    """Say that concrete cast against earth fills a trench wider than the footing.

    Returns
    -------
    tuple of Notice
        ``cast-wide`` with the footing that grows most.
    """
    widths = [
        wall.footing.width
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is None
    ]
    widths += [line.footing.width for line in plan.interior]
    widths.sort(key=lambda each: each - dug_width(each, dig))
    if not widths or dug_width(widths[0], dig) - widths[0] <= ON_LINE:
        return ()
    return (
        notice(
            "cast-wide",
            "the footing is cast against earth and so as wide as its trench, {dug} where {drawn} "
            "is drawn; where it is formed, write cast: forms under dig",
            dug=Length(dug_width(widths[0], dig)),
            drawn=Length(widths[0]),
        ),
    )


def bank_notices(dig: Dig) -> tuple[Notice, ...]:
    """Say that a trench with sloping sides does not form a footing.

    Returns
    -------
    tuple of Notice
        ``bank-forms`` where the job has both.
    """
    if dig.cast is Casting.FORMS or dig.bank == 0:
        return ()
    return (
        notice(
            "bank-forms",
            "the trench has sloping sides and the footing is cast against earth: concrete is "
            "ordered for the width of the trench's bottom, and what runs up the bank comes on top",
        ),
    )


def _class_item(each: FootingClass) -> Item:
    # By length where the strips have one width, so that it can be taped over and redone.
    if each.width is None:
        text = "outline area {area} x {thick} = {volume}"
    else:
        text = "{length} mean length x {width} x {thick} = {volume}"
    return Item(
        group=OrderGroup.CONCRETE,
        what="footing, no corner counted twice",
        quantity=each.volume,
        measured=Measured.BULK,
        arithmetic=working(
            text,
            length=Length(each.area / (each.width or 1.0)),
            width=Length(each.width or 0.0),
            area=Area(each.area),
            thick=Length(each.thickness),
            volume=Turned(each.volume),
        ),
        sizes=(("thickness", Length(each.thickness)),),
    )


def _with_waste(what: str, price: str, items: Sequence[Item], waste: float) -> Item:
    net = sum(item.quantity for item in items)
    return Item(
        group=OrderGroup.CONCRETE,
        what=f"{what} to order",
        quantity=net * (1 + waste),
        measured=Measured.BULK,
        arithmetic=working(
            "{net} + {waste} waste = {gross}, up to the quarter",
            net=Carried(net),
            waste=Share(waste),
            gross=Bulk(net * (1 + waste)),
        ),
        price=price,
        up=True,
    )
