"""What must not change an order, and footing volumes known another way, on plans of any shape."""

from __future__ import annotations

import importlib.util
import sys
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staking.footing.bands import footing_bands
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.volume import level_facets
from staking.order.bars.cutting import cut_list
from staking.order.bars.footing_bars import steel_pieces
from staking.order.block import course_blocks
from staking.order.concrete import footing_classes
from staking.order.footing_in_ground import FootingInGround, footing_in_ground
from staking.order.order_request import BlockAsked, SteelAsked
from staking.order.trench import bottom_volume
from staking.order.wall_levels import flat_levels
from staking.plan import Dig


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
INCH = 0.0254
SQUARE = strategies.plans(strategies.RECTILINEAR, varied=False, inside=False)
STEEL = SteelAsked(bars=2, cover=3 * INCH, lap=30 * INCH, dowels=1.2)


def thicknesses(plan):
    found = {w.name: w.footing.thickness for b in plan.buildings for w in b.walls}
    found |= {line.name: line.footing.thickness for line in plan.interior}
    return found | {pad.name: pad.thickness for pad in plan.pads}


def in_ground(plan, dig) -> FootingInGround:
    return footing_in_ground(plan, flat_levels(plan, build_network(plan), dig, None), dig)


def volume(plan, dig=None) -> float:
    return sum(each.volume for each in footing_classes(in_ground(plan, dig or Dig())))


@settings(max_examples=200, deadline=None)
@given(strategies.plans(existing=True))
def test_footing_concrete_is_area_times_thickness_layer_by_layer(plan) -> None:
    deep = thicknesses(plan)
    bands = footing_bands(plan)[0]
    total, below = 0.0, 0.0
    for depth in sorted({deep[band.name] for band in bands}):
        layer = shapely.union_all([
            shapely.Polygon(band.hull) for band in bands if deep[band.name] >= depth
        ])
        total += (depth - below) * layer.area
        below = depth
    assert volume(plan) == pytest.approx(total, rel=0, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(strategies.plans(existing=True), strategies.TURNS, st.booleans())
def test_a_turned_or_mirrored_plan_takes_the_same_concrete(plan, turn, mirror) -> None:
    other = strategies.transform_plan(plan, turn, (3.0, -2.0), mirror)
    dig = Dig(bucket=0.7)
    assert volume(other, dig) == pytest.approx(volume(plan, dig), rel=0, abs=1e-6)
    assert in_ground(other, dig).floor.area == pytest.approx(
        in_ground(plan, dig).floor.area, rel=0, abs=1e-6
    )


@settings(max_examples=60, deadline=None)
@given(SQUARE)
def test_a_mirrored_plan_takes_the_same_block_and_bars(plan) -> None:
    other = strategies.transform_plan(plan, 0.0, (0.0, 0.0), True)

    def bought(each):
        levels = flat_levels(each, build_network(each), Dig(), 4)
        block = Counter(
            (b.course, b.stretchers, b.corners, b.halves, b.cuts)
            for b in course_blocks(each, levels, BlockAsked())
        )
        bars = Counter()
        for piece in steel_pieces(each, levels, STEEL):
            bars[piece.what, round(piece.length, 6)] += piece.count
        return block, bars

    assert bought(other) == bought(plan)


@settings(max_examples=60, deadline=None)
@given(strategies.plans(inside=False, varied=False), st.floats(0.2, 0.8))
def test_a_wall_split_at_a_straight_corner_changes_no_volume(plan, share) -> None:
    (home,) = plan.buildings
    first, second = home.corners[0], home.corners[1]
    middle = replace(
        first,
        name="Z9",
        x=first.x + share * (second.x - first.x),
        y=first.y + share * (second.y - first.y),
    )
    wall = home.walls[0]
    split = replace(
        home,
        corners=(first, middle, *home.corners[1:]),
        walls=(replace(wall, end="Z9"), replace(wall, start="Z9"), *home.walls[1:]),
    )
    other = replace(plan, buildings=(split,))
    dig = Dig(depth=1.0, bucket=0.7)
    assert volume(other) == pytest.approx(volume(plan), rel=0, abs=1e-6)

    def dug(each) -> float:
        facets = level_facets(0.0)
        return bottom_volume(in_ground(each, dig).pieces, lambda _: facets)

    assert dug(other) == pytest.approx(dug(plan), rel=0, abs=1e-4)


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(SQUARE)
def test_bars_never_exceed_the_stock_and_all_are_cut(plan) -> None:
    levels = flat_levels(plan, build_network(plan), Dig(), None)
    pieces = steel_pieces(plan, levels, STEEL)
    assert max(piece.length for piece in pieces) <= STEEL.stock + 1e-9
    found = cut_list(4, STEEL.stock, [(p.length, p.count) for p in pieces])
    assert all(sum(stick.pieces) <= STEEL.stock + 1e-9 for stick in found.sticks)
    cut = sum(stick.count * len(stick.pieces) for stick in found.sticks)
    assert cut == sum(piece.count for piece in pieces)
