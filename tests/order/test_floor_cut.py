"""What is cut away under a floor that lies lower than the ground, against grids and by hand.

No published example cuts a floor into triangles; the grids integrate in a way of their own, and the
planes are worked out beside their tests.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay
from shapely import contains_xy, union_all
from shapely.geometry import Polygon

from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.volume import level_facets, surface_facets
from staking.order.dig import Dug, dig_items, dug_out
from staking.order.hauled.haul_items import haul_items
from staking.order.hauled.haul_off import HaulOff
from staking.order.hauled.put_back import InsideLevel
from staking.order.order_request import OrderAsked
from staking.order.trench import FacetsOf
from staking.order.under_slab.floor_cut import FloorLevel
from staking.order.wall_levels import Levels, flat_levels
from staking.plan import Dig, Plan, Slab
from tests.order import jobs
from tests.order.slab_grounds import BOX, GROUNDS, cells_of, floor_of, ground, with_slab

FOOT, INCH = jobs.FOOT, jobs.INCH


def lowered(plan: Plan, dig: Dig, to: float) -> Levels:
    """Its footings, all dug to one elevation."""
    levels = flat_levels(plan, build_network(plan), dig, None)
    move = to + dig.depth
    return replace(
        levels,
        stretches=tuple(
            replace(run, top=run.top + move, bottom=run.bottom + move, dig=run.dig + move)
            for run in levels.stretches
        ),
    )


def cut_by(plan: Plan, dig: Dig, to: float, facets: FacetsOf, floor: float) -> Dug:
    inside = None if plan.slab is None else InsideLevel(under_stone=floor)
    footing = jobs.in_ground(plan, lowered(plan, dig, to), dig)
    return dug_out(footing, facets, 0.0, inside, FloorLevel(level=floor))


@pytest.mark.parametrize("name", GROUNDS)
def test_the_cut_is_what_a_fine_grid_finds(name: str) -> None:
    # Beside a trench with upright sides, from the slab's stone at 30 m up to the ground as it is.
    plan, surface = GROUNDS[name]
    dig = Dig(depth=1.5)
    found = cut_by(plan, dig, 28.5, lambda _: surface_facets(surface), 30.0).cut
    assert found is not None
    bottom = union_all([Polygon(band.hull) for band in jobs.in_ground(plan).drawn])
    beside = floor_of(plan).difference(bottom)
    grid, cell = cells_of(beside, 0.01)
    grid = grid[contains_xy(beside, grid[:, 0], grid[:, 1])]
    over = LinearNDInterpolator(Delaunay(surface.points), surface.elevations)(grid) - 30.0
    share = beside.area / (len(over) * cell)
    deep = np.maximum(over, 0.0).sum() * cell * share
    assert found.volume == pytest.approx(deep, rel=0.001, abs=1e-3)
    assert found.area == pytest.approx((over > 0).sum() * cell * share, rel=0, abs=0.02)


@pytest.mark.parametrize("floor", [29.4, 30.0, 30.5])
def test_beside_sloping_sides_only_what_they_leave_is_cut(floor: float) -> None:
    # A trench of 1 1/2 m with sides of 1 in 2 round a rectangle in rough ground: between the walls
    # all that stands over the floor is dug, whether for the trench or under the floor.
    plan, surface = with_slab(BOX), ground(11, (0.02, -0.03), 0.2)
    dig = Dig(depth=1.5, bank=0.5)
    dug = cut_by(plan, dig, 29.0, lambda _: surface_facets(surface), floor)
    assert dug.cut is not None
    inside = floor_of(plan)
    grid, cell = cells_of(inside, 0.01)
    grid = grid[contains_xy(inside, grid[:, 0], grid[:, 1])]
    over = LinearNDInterpolator(Delaunay(surface.points), surface.elevations)(grid) - floor
    all_of_it = np.maximum(over, 0.0).sum() * cell
    # Of that the trench takes what stands over its sides: along the walls, half a metre out for 1 m
    # up, from the footing's inner edge 14" (20" less 6") inside the walls' outside faces.
    low, high = np.array([0.0, 0.0]), np.array([36 * FOOT, 24 * FOOT])
    away = np.minimum(grid - low, high - grid).min(axis=1) - 14 * INCH
    side = 29.0 + np.maximum(away, 0.0) / 0.5
    taken = np.maximum(over + floor - np.maximum(side, floor), 0.0).sum() * cell
    assert dug.cut.over_trench == pytest.approx(taken, rel=0.001, abs=2e-3)
    assert dug.cut.volume == pytest.approx(all_of_it - taken, rel=0.001, abs=5e-3)


def test_a_floor_in_a_plane_slope_by_hand() -> None:
    # Ground 99' + x/20 round a floor whose stone begins at 99' 6": it stands higher from x = 10'.
    # Between the footings' inner edges, 1' 2" inside the faces of 36' by 24': x from 10' to
    # 34' 10", 24 5/6' long and 21 2/3' wide; (24 5/6)^2 / 40 x 21 2/3 = 334.0428 cu ft over
    # 24 5/6 x 21 2/3 = 538.0556 sq ft.
    plan = replace(jobs.rectangle(36, 24), slab=Slab(top=100 * FOOT, thickness=0.0762, base=0.0762))
    points = np.array([(-20.0, -20.0), (30.0, -20.0), (30.0, 30.0), (-20.0, 30.0)])
    slope = GroundSurface(points, 99 * FOOT + points[:, 0] / 20, Delaunay(points).simplices)
    facets = surface_facets(slope)
    found = cut_by(plan, Dig(depth=1.0), 96 * FOOT, lambda _: facets, 99.5 * FOOT).cut
    assert found is not None
    assert found.volume / FOOT**3 == pytest.approx((24 + 5 / 6) ** 2 / 40 * (21 + 2 / 3), abs=1e-6)
    assert found.volume / FOOT**3 == pytest.approx(334.0428, rel=0, abs=5e-5)
    assert found.area / FOOT**2 == pytest.approx(538.0556, rel=0, abs=5e-5)


def test_the_cut_is_dug_and_carted_and_never_put_back() -> None:
    # Level ground 2' over the stone of a floor in 36' by 24'; a trench 20" wide and 5' deep.
    #   beside the trench  33 2/3 x 21 2/3 = 729.4444 sq ft x 2 = 1458.8889 cu ft
    #   the trench         37 x 25 - 729.4444 = 195.5556 sq ft x 5 = 977.7778 cu ft
    #   outside the walls  37 x 25 - 36 x 24 = 61 sq ft x (5' - 10") = 254.1667 cu ft, put back
    #   carted             1458.8889 + 977.7778 - 254.1667 = 2182.5 cu ft in the ground
    plan = replace(jobs.rectangle(36, 24), slab=Slab(top=0.0, thickness=0.0, base=0.0))
    dig = Dig(depth=5 * FOOT)
    dug = cut_by(plan, dig, -5 * FOOT, lambda _: level_facets(0.0), -2 * FOOT)
    haul = HaulOff(
        dug=dug.whole,
        put_back=dug.put_back,
        under_slab=0.0,
        swell=0.25,
        truck=1.0,
        under_floor=dug.under_floor,
    )
    assert dug.under_floor / FOOT**3 == pytest.approx(1458.8889, rel=0, abs=5e-5)
    assert dug.trench / FOOT**3 == pytest.approx(977.7778, rel=0, abs=5e-5)
    assert haul.in_place / FOOT**3 == pytest.approx(2182.5, rel=0, abs=5e-5)
    row = next(each for each in dig_items(dug, haul, dig, OrderAsked()) if "floor" in each.what)
    assert (row.what, row.price) == ("cut under the floor beside the trench, in place", "dig")
    assert row.quantity == dug.under_floor
    assert "under the floor" in haul_items(haul)[0].arithmetic.text


def test_without_a_slab_the_trench_is_filled_to_the_grade_inside() -> None:
    # The same with a grade inside 2' under the ground and no slab: between the walls, 34 2/3 by
    # 22 2/3 less the 33 2/3 by 21 2/3 beside the trench, 785.7778 - 729.4444 = 56.3333 sq ft of
    # trench stand open 2' high, 112.6667 cu ft. The wall takes 78.2222 sq ft x (5' - 10").
    plan = jobs.rectangle(36, 24)
    dug = cut_by(plan, Dig(depth=5 * FOOT), -5 * FOOT, lambda _: level_facets(0.0), -2 * FOOT)
    assert dug.left_open / FOOT**3 == pytest.approx(112.6667, rel=0, abs=5e-5)
    wall = (36 * 24 - (34 + 2 / 3) * (22 + 2 / 3)) * (5 - 10 / 12)
    assert dug.put_back / FOOT**3 == pytest.approx(977.7778 - wall - 112.6667, rel=0, abs=1e-4)


def test_a_floor_over_the_ground_cuts_nothing() -> None:
    plan = replace(jobs.rectangle(36, 24), slab=Slab(top=1.0, thickness=0.1, base=0.1))
    dug = cut_by(plan, Dig(depth=1.0), -1.0, lambda _: level_facets(0.0), 0.8)
    assert dug.under_floor == 0.0
    haul = HaulOff(dug=dug.whole, put_back=0.0, under_slab=0.0, swell=0.25, truck=1.0)
    items = dig_items(dug, haul, Dig(depth=1.0), OrderAsked())
    assert not any("floor" in each.what for each in items)
    assert math.isclose(dug.whole, dug.trench)


@pytest.mark.parametrize("floor", [None, 29.4, 30.0, 30.5])
@pytest.mark.parametrize("bank", [0.0, 0.5])
def test_topsoil_is_what_trench_and_cut_leave_of_it(floor: float | None, bank: float) -> None:
    # 150 mm are taken off all over the floor, or as much more as the cut or the trench takes.
    plan, surface = with_slab(BOX), ground(11, (0.02, -0.03), 0.2)
    dig = Dig(depth=1.5, bank=bank)
    footing = jobs.in_ground(plan, lowered(plan, dig, 29.0), dig)
    facets = surface_facets(surface)
    to = FloorLevel(level=floor, strip=0.15)
    dug = dug_out(footing, lambda _: facets, 0.0, InsideLevel(), to)
    assert dug.cut is not None
    inside = floor_of(plan)
    grid, cell = cells_of(inside, 0.01)
    grid = grid[contains_xy(inside, grid[:, 0], grid[:, 1])]
    away = np.minimum(grid, np.array([36 * FOOT, 24 * FOOT]) - grid).min(axis=1) - 14 * INCH
    kept = away > 0
    high = LinearNDInterpolator(Delaunay(surface.points), surface.elevations)(grid[kept])
    side = 29.0 + away[kept] / (bank or 1e-9)
    deepest = np.minimum(side, np.inf if floor is None else floor)
    # Beside upright sides the cells at the edges weigh as much as they cover of 33 2/3' by 21 2/3'.
    share = 1.0 if bank else (33 + 2 / 3) * (21 + 2 / 3) * FOOT**2 / (kept.sum() * cell)
    left = np.maximum(0.15 - np.maximum(high - deepest, 0.0), 0.0).sum() * cell * share
    assert dug.cut.stripped == pytest.approx(left, rel=0.001, abs=2e-3)
    assert dug.under_floor == dug.cut.volume + dug.cut.stripped
    # The order's line: the floor beside the trench's bottom, 33 2/3' by 21 2/3', times its depth.
    assert dug.cut.beside == pytest.approx((33 + 2 / 3) * (21 + 2 / 3) * FOOT**2, abs=1e-9)
    assert 0.15 * dug.cut.beside == pytest.approx(dug.cut.stripped + dug.cut.strip_taken, abs=1e-9)


def test_topsoil_of_a_level_lot_is_its_depth_over_the_floor() -> None:
    # 33 2/3' by 21 2/3' beside a trench with upright sides, 6" deep: 364.7222 cu ft.
    plan = replace(jobs.rectangle(36, 24), slab=Slab(top=2.0, thickness=0.1, base=0.1))
    dig = Dig(depth=1.0)
    footing = jobs.in_ground(plan, lowered(plan, dig, -1.0), dig)
    to = FloorLevel(level=1.8, strip=0.5 * FOOT)
    dug = dug_out(footing, lambda _: level_facets(0.0), 0.0, InsideLevel(), to)
    assert dug.under_floor / FOOT**3 == pytest.approx(364.7222, rel=0, abs=5e-5)
