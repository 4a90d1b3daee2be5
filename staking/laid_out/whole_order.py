"""What is bought for a layout, worked out in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from staking.frozen import frozen
from staking.grade.stepping.wall_network import join_walls
from staking.laid_out.in_ground import in_ground
from staking.laid_out.layout_value import Layout
from staking.notices import Length, Notice, Severity, notice
from staking.order.bars.footing_bars import cut_lists, steel_items, steel_notices, steel_pieces
from staking.order.block import course_blocks, wall_thicknesses
from staking.order.block_items import block_items, filled_cells, grout_notices, sleeve_items
from staking.order.bolts import bolt_item, bolt_notices, short_plates, wall_bolts
from staking.order.bond import bond_notices
from staking.order.concrete_items import (
    bank_notices,
    footing_items,
    pier_items,
    slab_items,
    wall_items,
    wide_notices,
)
from staking.order.drain.arms_on_plan import DrainOnPlan
from staking.order.drain.drain_notices import due_notices
from staking.order.drain.whole_drain import Drain, drain_of
from staking.order.footing_in_ground import FootingInGround, footing_in_ground
from staking.order.forms.count_forms import forms_of
from staking.order.forms.form_items import form_items, form_notices
from staking.order.loads import load_notices, pour_levels, pour_of
from staking.order.mortar import mortar_notices
from staking.order.order_request import FormsAsked, OrderAsked
from staking.order.order_results import (
    Bolts,
    CourseBlocks,
    CutList,
    DrainLevels,
    Item,
    Ordered,
    Piece,
    Pour,
    PourLevel,
)
from staking.order.prices import bought
from staking.order.supplies import supply_items
from staking.order.wall_levels import Levels, flat_levels, graded_levels, height_notices
from staking.plan import Plan, reversed_name


def order_of(layout: Layout, asked: OrderAsked | None) -> Ordered:
    """Work out the order of a layout.

    Parameters
    ----------
    layout
        The layout.
    asked
        What the job asks of its order; None takes the defaults, and that is said.

    Returns
    -------
    Ordered
        Items, loads, bars, block, bolts, and the notices.
    """
    assumed = asked is None
    asked = OrderAsked() if asked is None else asked
    plan, dig = layout.plan, layout.options.dig
    levels = _levels(layout, asked)
    footing = footing_in_ground(plan, levels, dig, layout.footing_bands)
    notices = list(_assumed(layout, asked, without_section=assumed))
    if layout.grade is not None:
        courses = None if asked.block is None else asked.block.courses
        notices += height_notices(levels, courses, asked.wall_height)
    concrete, pours, poured, net = _concrete(layout, footing, asked)
    notices += [*bank_notices(dig), *wide_notices(plan, dig)]
    walls = _walls(plan, levels, asked)
    drain = _drain(layout, levels, asked)
    dug = in_ground(layout, footing, asked, net, drain)
    forms = forms_of(footing, asked.forms or FormsAsked())
    notices += [*walls.notices, *dug.notices, *form_notices(forms, asked=asked.forms is not None)]
    notices += [*drain.notices, *load_notices(pours, asked)]
    in_trench = (*dug.items, *drain.items, *form_items(forms))
    items = (*concrete, *walls.items, *in_trench, *_supplies(layout))
    return Ordered(
        graded=layout.grade is not None,
        items=items,
        pours=pours,
        levels=poured,
        pieces=walls.pieces,
        cut_lists=walls.lists,
        blocks=walls.laid,
        bolts=walls.bolts,
        costs=costs_of(items, asked.prices, metric=is_metric(layout)),
        notices=tuple(dict.fromkeys(notices)),
        drain=DrainLevels(
            stations=drain.stations,
            outlets=drain.outlets,
            runs=drain.runs,
            on_plan=drain.on_plan,
        ),
        fill=dug.fill,
        haul=dug.haul,
        forms=forms,
    )


def drain_on_plan_of(layout: Layout, asked: OrderAsked) -> DrainOnPlan:
    """Say where the drain lies, without the rest of the order.

    Parameters
    ----------
    layout
        The layout.
    asked
        What the job asks of its order.

    Returns
    -------
    DrainOnPlan
        As the order has it; empty where no drain is ordered.
    """
    return _drain(layout, _levels(layout, asked), asked).on_plan


def _drain(layout: Layout, levels: Levels, asked: OrderAsked) -> Drain:
    graded = layout.grade
    due = due_notices(graded, layout.plan, asked=asked.drain is not None)
    if asked.drain is None:
        return Drain(notices=due)
    benchmark = None if graded is None else graded.benchmark_level
    return drain_of(layout.plan, levels, asked.drain, benchmark, graded=graded is not None)


@frozen
class _InWalls:
    """Steel, block and bolts: how they are cut and laid, what is bought, and the notices."""

    pieces: tuple[Piece, ...]
    lists: tuple[CutList, ...]
    laid: tuple[CourseBlocks, ...]
    bolts: tuple[Bolts, ...]
    items: tuple[Item, ...]
    notices: tuple[Notice, ...]


def _walls(plan: Plan, levels: Levels, asked: OrderAsked) -> _InWalls:
    notices: list[Notice] = []
    pieces, lists, steel = _steel(plan, levels, asked)
    if asked.steel is not None:
        notices += steel_notices(asked.steel, lists)
    bolts: tuple[Bolts, ...] = ()
    if asked.bolt_spacing is not None:
        bolts = wall_bolts(plan, levels, asked.bolt_spacing)
        notices += [*bolt_notices(bolts, asked.bolt_spacing), *short_plates(plan, levels)]
    laid, block = _block(plan, levels, asked, pieces, bolts, notices)
    if laid:
        notices += grout_notices(asked.block, _widths(plan))
        notices += mortar_notices(asked.mortar)
    return _InWalls(
        pieces=pieces,
        lists=lists,
        laid=laid,
        bolts=bolts,
        items=(*steel, *block, *bolt_item(bolts)),
        notices=tuple(notices),
    )


def _supplies(layout: Layout) -> tuple[Item, ...]:
    return supply_items(
        layout.plan,
        layout.strings,
        layout.boards,
        layout.hubs,
        layout.dig if layout.digs_wider else layout.footing,
        () if layout.grade is None else layout.grade.lower,
    )


def is_metric(layout: Layout) -> bool:
    """Say whether the job buys by the cubic metre, not the cubic yard.

    Returns
    -------
    bool
        True for jobs in m and mm.
    """
    return layout.options.unit in {"m", "mm"}


def costs_of(
    items: Sequence[Item], prices: Sequence[tuple[str, float]], *, metric: bool
) -> tuple[tuple[str, float], ...]:
    """Price the items.

    Parameters
    ----------
    items
        What is ordered.
    prices
        By the items' price names, for the unit each is ordered in: a cubic metre, a metre, a
        kilogram, or one.
    metric
        Whether what is ordered up to a quarter goes by cubic metres.

    Returns
    -------
    tuple of tuple
        What and its cost, of every item with a price.
    """
    known = dict(prices)
    return tuple(
        (item.what, bought(item, metric=metric) * known[item.price])
        for item in items
        if item.price in known
    )


def _levels(layout: Layout, asked: OrderAsked) -> Levels:
    dig = layout.options.dig
    if layout.grade is not None:
        return graded_levels(layout.grade, dig)
    courses = asked.block.courses if asked.block is not None else None
    return flat_levels(layout.plan, join_walls(layout.plan, layout.footing_bands), dig, courses)


def _assumed(layout: Layout, asked: OrderAsked, *, without_section: bool) -> tuple[Notice, ...]:
    told = []
    if without_section:
        told.append(
            notice(
                "no-order-section",
                "the job has no order section: 5 % waste, trucks of 9 cu yd (6.88 m3), no steel "
                "and no block are taken",
                Severity.NOTE,
            )
        )
    if layout.grade is None:
        depth = layout.options.dig.depth
        if depth > 0:
            text = "without a grade section the footings are level and dug {depth} deep all round"
        else:
            text = "without a grade section and without dig: depth: no digging is worked out"
        told.append(notice("level-footing", text, Severity.NOTE, depth=Length(depth)))
    if asked.block is not None and layout.grade is None and asked.block.courses is None:
        told.append(
            notice(
                "no-wall-height",
                "nothing says how high the walls are: add courses: under block:, or a grade "
                "section, to have the block counted",
            )
        )
    if layout.grade is not None and asked.pier is None and layout.plan.pads:
        told.append(
            notice(
                "no-piers",
                "no pier: is given under order:, so piers on the pads are not ordered",
                Severity.NOTE,
            )
        )
    return tuple(told)


def _concrete(
    layout: Layout, footing: FootingInGround, asked: OrderAsked
) -> tuple[tuple[Item, ...], tuple[Pour, ...], tuple[PourLevel, ...], float]:
    metric = is_metric(layout)
    levels = footing.levels
    cast = footing_items(footing, asked.waste)
    groups = [("footings", cast)]
    cast_walls = asked.block is None and (asked.wall_height is not None or levels.course)
    if cast_walls:
        groups.append(("walls", wall_items(footing, asked.wall_height, asked.waste)))
    groups.append(("piers", pier_items(levels, asked)))
    groups.append(("slab", slab_items(footing, asked.waste)))
    items: list[Item] = []
    pours = []
    for what, group in groups:
        items += group
        # Loads add up to what is ordered, up to the quarter.
        ordered = [bought(item, metric=metric) for item in group if item.price == "concrete"]
        pours += [pour_of(what, volume, asked) for volume in ordered if volume > 0]
    net = sum(item.quantity for item in cast[:-1])
    poured = pour_levels(footing, asked)
    return tuple(items), tuple(pours), poured, net


def _steel(
    plan: Plan, levels: Levels, asked: OrderAsked
) -> tuple[tuple[Piece, ...], tuple[CutList, ...], tuple[Item, ...]]:
    if asked.steel is None:
        return (), (), ()
    pieces = steel_pieces(plan, levels, asked.steel)
    lists = cut_lists(pieces, asked.steel.stock)
    return pieces, lists, steel_items(lists)


def _block(
    plan: Plan,
    levels: Levels,
    asked: OrderAsked,
    pieces: Sequence[Piece],
    bolts: Sequence[Bolts],
    notices: list[Notice],
) -> tuple[tuple[CourseBlocks, ...], tuple[Item, ...]]:
    block = asked.block
    if block is None:
        return (), ()
    if levels.course is not None and abs(levels.course - block.height) > 1e-6:
        notices.append(
            notice(
                "course-height",
                "grade: has courses of {course} and block: of {height}; courses are counted as "
                "grade: has them",
                course=Length(levels.course),
                height=Length(block.height),
            )
        )
        block = replace(block, height=levels.course)
    courses = course_blocks(plan, levels, block)
    if not courses:
        return (), ()
    notices += bond_notices(levels.network, wall_thicknesses(plan), block.length / 2)
    cells = filled_cells(courses, block, pieces, bolts)
    laid = {each.wall for each in courses}
    pipes = [each for each in plan.sleeves if laid & {each.wall, reversed_name(each.wall)}]
    return courses, (*block_items(courses, block, asked, cells), *sleeve_items(pipes))


def _widths(plan: Plan) -> list[float]:
    return list(wall_thicknesses(plan).values())
