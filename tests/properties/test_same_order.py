"""A building takes the same order, line for line, however it is written and wherever it lies."""

from __future__ import annotations

import importlib.util
import math
import os
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from staking.errors import ComputationError
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.volume import Facet, level_facets
from staking.kinds import Casting
from staking.order.bars.footing_bars import cut_lists, steel_items, steel_pieces
from staking.order.block import course_blocks
from staking.order.block_items import block_items, filled_cells
from staking.order.bolts import bolt_item, wall_bolts
from staking.order.concrete_items import footing_items, slab_items
from staking.order.dig import dig_items, dug_out
from staking.order.footing_in_ground import FootingInGround, footing_in_ground
from staking.order.forms.count_forms import forms_of
from staking.order.forms.form_items import form_items
from staking.order.hauled.haul_off import HaulOff
from staking.order.hauled.put_back import InsideLevel
from staking.order.order_request import (
    BlockAsked,
    FillAsked,
    FormsAsked,
    OrderAsked,
    SteelAsked,
)
from staking.order.order_results import Item
from staking.order.under_slab.bought_fill import BoughtFill
from staking.order.under_slab.fill_items import fill_items
from staking.order.under_slab.floor_cut import FloorLevel
from staking.order.under_slab.slab_fill import slab_fill
from staking.order.wall_levels import flat_levels
from staking.output.tables.order.order_words import OrderWords
from staking.plan import Building, Dig, Opening, Options, Plan, Slab
from staking.units import FOOT, INCH, Unit


def _load_strategies():
    """The neighbouring module, which no import path leads to."""
    if "plan_strategies" not in sys.modules:
        path = Path(__file__).with_name("strategies.py")
        spec = importlib.util.spec_from_file_location("plan_strategies", path)
        module = importlib.util.module_from_spec(spec)
        sys.modules["plan_strategies"] = module
        spec.loader.exec_module(module)
    return sys.modules["plan_strategies"]


strategies = _load_strategies()

SEARCHED = bool(os.environ.get("STAKING_SEARCH"))
"""Whether more examples, drawn anew, are asked for."""
STEEL = SteelAsked(bars=2, cover=3 * INCH, lap=30 * INCH, dowels=48 * INCH, pad_bars=2)
ASKED = OrderAsked(steel=STEEL, block=BlockAsked(courses=12), fill=FillAsked(spoil=4 * INCH))
DIG = Dig(depth=48 * INCH, bucket=24 * INCH, base=4 * INCH, bank=0.5)
FLOOR = FloorLevel(level=-0.1, strip=4 * INCH)
FORMED = replace(DIG, cast=Casting.FORMS)
WORDS = (OrderWords(Options(unit="ft")), OrderWords(Options(unit="m")))


def order_of(plan: Plan, ground: tuple[Facet, ...] = level_facets(0.0)) -> list[Item]:
    """Everything that is bought for the footings, walls and dig of a plan in its ground."""
    levels = flat_levels(plan, build_network(plan), DIG, 12)
    footing = footing_in_ground(plan, levels, DIG)
    concrete = footing_items(footing, ASKED.waste)
    pieces = steel_pieces(plan, levels, STEEL)
    bolts = wall_bolts(plan, levels, 6 * FOOT)
    block = BlockAsked(courses=12)
    courses = course_blocks(plan, levels, block)
    cells = filled_cells(courses, block, pieces, bolts)
    return [
        *concrete,
        *slab_items(footing, ASKED.waste),
        *steel_items(cut_lists(pieces, STEEL.stock)),
        *block_items(courses, block, ASKED, cells),
        *bolt_item(bolts),
        *in_ground(footing, concrete[-2].quantity, ground),
        *form_items(forms_of(replace(footing, dig=FORMED), FormsAsked())),
    ]


def in_ground(footing: FootingInGround, concrete: float, ground: tuple[Facet, ...]) -> list[Item]:
    """What is dug, filled inside with sand over some earth, and carted away, on level ground."""
    plan = footing.plan
    inside = None if plan.slab is None else InsideLevel(under_stone=0.5, strip=6 * INCH)
    dug = dug_out(footing, lambda _: ground, concrete, inside, FLOOR)
    raised = replace(plan, slab=None if plan.slab is None else replace(plan.slab, top=0.7))
    slab = slab_fill(replace(footing, plan=raised), ground, 6 * INCH, ASKED.fill)
    haul = HaulOff(
        dug=dug.whole,
        put_back=dug.put_back,
        under_slab=0.0 if slab is None else slab.earth_in_place,
        swell=ASKED.swell,
        truck=ASKED.haul,
    )
    fill = BoughtFill(asked=ASKED.fill, slab=slab, trench=dug.inside, held=(), truck=ASKED.haul)
    return [*dig_items(dug, haul, DIG, ASKED), *fill_items(fill)]


def printed(items: list[Item]) -> list[tuple[str, ...]]:
    """The order as it is printed, in yards and in metres: what, how much, unit, arithmetic."""
    return [
        (item.what, *words.quantity(item), words.arithmetic(item.arithmetic))
        for words in WORDS
        for item in items
    ]


def as_written(plan: Plan, unit: Unit, places: int) -> Plan:
    """The same plan as a job file in another unit would have it."""

    def read(metres: float) -> float:
        return float(f"{metres / unit.metres:.{places}f}") * unit.metres

    def building(each: Building) -> Building:
        return replace(
            each,
            corners=tuple(replace(c, x=read(c.x), y=read(c.y)) for c in each.corners),
            walls=tuple(
                replace(
                    wall,
                    thickness=read(wall.thickness),
                    footing=replace(
                        wall.footing,
                        width=read(wall.footing.width),
                        thickness=read(wall.footing.thickness),
                        outside=read(wall.footing.outside),
                    ),
                )
                for wall in each.walls
            ),
        )

    return replace(
        plan,
        buildings=tuple(building(each) for each in plan.buildings),
        interior=tuple(
            replace(
                line,
                start=(read(line.start[0]), read(line.start[1])),
                end=(read(line.end[0]), read(line.end[1])),
                thickness=read(line.thickness),
            )
            for line in plan.interior
        ),
        openings=tuple(
            replace(each, start=read(each.start), width=read(each.width), drop=read(each.drop))
            for each in plan.openings
        ),
    )


def ways(plan: Plan) -> dict[str, Plan]:
    """The plan as it is written, turned, mirrored and walked otherwise."""
    turn, shift = math.radians(17), (5.0, -3.0)
    return {
        "in feet": as_written(plan, Unit.FT, 9),
        "in inches": as_written(plan, Unit.IN, 8),
        "in metres": as_written(plan, Unit.M, 9),
        "in millimetres": as_written(plan, Unit.MM, 6),
        "turned": strategies.transform_plan(plan, turn, shift),
        "mirrored": strategies.transform_plan(plan, 0.0, (0.0, 0.0), True),
        "reversed": strategies.reverse_plan(plan),
        "all three": strategies.reverse_plan(strategies.transform_plan(plan, turn, shift, True)),
    }


def assert_one_order(plan: Plan) -> None:
    """Every way of writing the plan gives the order of the plan itself, or is refused as it is."""
    wanted = answer(plan)
    for way, other in ways(plan).items():
        assert answer(other) == wanted, way


def answer(plan: Plan) -> list[tuple[str, ...]] | None:
    """The order's lines; None where a wall is too short for its bars."""
    try:
        return printed(order_of(plan))
    except ComputationError as error:
        if "is too short for a bar in its cover" not in str(error):
            raise
        return None


@st.composite
def sheds(draw: st.DrawFn) -> Plan:
    """Square shapes in sixteenths, inches or blocks, with openings, lines and standing sides."""
    points = draw(strategies.RECTILINEAR)
    step = draw(st.sampled_from((INCH / 16, INCH, 4 * INCH, 8 * INCH)))
    rounded = [(round(x / step) * step, round(y / step) * step) for x, y in points]
    if all(a != b for a, b in zip(rounded, rounded[1:] + rounded[:1], strict=True)):
        points = rounded
    count = len(points)
    common = draw(strategies.wall_sizes())
    sizes = dict.fromkeys(
        range(count), draw(st.sampled_from((common, (8 * INCH, 20 * INCH, None))))
    )
    for i in draw(st.lists(st.integers(0, count - 1), max_size=2, unique=True)):
        sizes[i] = draw(strategies.wall_sizes())
    standing = draw(st.lists(st.integers(0, count - 1), max_size=count // 2, unique=True))
    building = strategies.make_building(points, walls=sizes, existing=standing)
    thick = draw(st.lists(st.sampled_from((8, 10, 12)), min_size=count, max_size=count))
    walls = tuple(
        replace(wall, footing=replace(wall.footing, thickness=t * INCH))
        for wall, t in zip(building.walls, thick, strict=True)
    )
    building = replace(building, walls=walls)
    openings = []
    for i in draw(st.lists(st.integers(0, count - 1), max_size=2, unique=True)):
        wall, (a, b) = walls[i], (points[i], points[(i + 1) % count])
        room = math.floor(math.dist(a, b) / INCH) - 24
        if wall.existing is None and room > 36:
            start = draw(st.integers(12, room - 24)) * INCH
            openings.append(
                Opening(
                    wall=wall.name,
                    start=start,
                    width=24 * INCH,
                    drop=draw(st.sampled_from((8, 12, 16))) * INCH,
                )
            )
    return Plan(
        job="Invented",
        buildings=(building,),
        openings=tuple(openings),
        interior=draw(strategies.interior_lines(building)) if not standing else (),
        slab=Slab(top=0.0, thickness=4 * INCH, base=4 * INCH),
    )


@settings(max_examples=60 if SEARCHED else 30, deadline=None)
@given(sheds())
def test_a_building_takes_one_order_in_every_unit_and_however_it_lies(plan) -> None:
    assert_one_order(plan)


@pytest.mark.parametrize("feet", [12 + 4 / 12, 8 + 8 / 12, 20 + 4 / 12, 12.0, 10 + 8 / 12])
def test_a_square_whose_walls_lie_between_two_bonds_takes_one_order(feet) -> None:
    side = feet * FOOT
    points = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)]
    assert_one_order(strategies.plan_of(points))


@pytest.mark.parametrize("jog", [3, 7, 8, 9, 12, 16, 30])
def test_a_short_jog_takes_one_order(jog) -> None:
    far, out = 24 * FOOT, jog * INCH
    points = [(0.0, 0.0), (far, 0.0), (far, 6.0), (4.0, 6.0), (4.0, 6.0 + out), (0.0, 6.0 + out)]
    assert_one_order(strategies.plan_of(points))


@settings(max_examples=40, deadline=None)
@given(
    sheds(),
    st.tuples(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2)),
    strategies.TURNS,
    st.tuples(st.floats(-500, 500), st.floats(-500, 500)),
)
def test_a_building_turned_with_its_slope_takes_one_order(plan, rise, turn, shift) -> None:
    c, s = math.cos(turn), math.sin(turn)
    p, q = c * rise[0] - s * rise[1], s * rise[0] + c * rise[1]
    slope = Facet(sides=(), plane=(*rise, 0.2))
    turned = Facet(sides=(), plane=(p, q, 0.2 - p * shift[0] - q * shift[1]))
    try:
        here = order_of(plan, (slope,))
    except ComputationError:
        assume(False)
    there = order_of(strategies.transform_plan(plan, turn, shift), (turned,))
    assert printed(there) == printed(here)
    # Nothing that was rounded on the way shows: a cubic millimetre is a billionth of a cubic metre.
    assert [each.quantity for each in there] == pytest.approx(
        [each.quantity for each in here], rel=0, abs=2e-9
    )
