"""What is dug: exact against the ground, with sloping sides, stone, backfill and loads."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from shapely import Polygon, box, contains_xy, difference, set_precision, union
from shapely.affinity import rotate
from shapely.ops import unary_union

from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.ground_readings import GroundReadings
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.grade.terrain.triangulate import window_surface
from staking.grade.terrain.volume import (
    covered_area,
    ground_facets,
    level_facets,
    surface_facets,
    volume_above,
)
from staking.order.dig import bank_meets, dig_items, dug_out, stone_notices
from staking.order.hauled.haul_off import HaulOff
from staking.order.order_request import OrderAsked
from staking.order.order_results import Item
from staking.order.trench import (
    DigPiece,
    FacetsOf,
    banks_of,
    bottom_volume,
    missing_ground,
    volume_of_banks,
)
from staking.order.wall_levels import Levels, flat_levels
from staking.plan import Dig, Existing, Plan
from tests.order import jobs

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3
ELL = [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]


def hills() -> GroundSurface:
    """Invented ground of a hundred points, between 0 and about 1 m."""
    random = np.random.default_rng(7)
    at = random.uniform(-8.0, 20.0, (100, 2))
    at = np.vstack((at, [(-9, -9), (21, -9), (21, 21), (-9, 21)]))
    heights = 0.5 + 0.03 * at[:, 0] - 0.02 * at[:, 1] + random.uniform(-0.15, 0.15, len(at))
    return window_surface(at, heights, at)[0]


def sampled(plan: Plan, levels: Levels, dig: Dig, ground: GroundSurface, step: float) -> float:
    """The trench's volume by depths on a fine grid, banks by distance to each level's bottom.

    Banks of the outside corners are rounded there and mitred in the order, so plans are compared
    without banks, or where banks end upright.
    """
    pieces = jobs.in_ground(plan, levels, dig).pieces
    whole = unary_union([piece.shape for piece in pieces])
    x0, y0, x1, y1 = whole.bounds
    xs = np.arange(x0 + step / 2, x1, step)
    ys = np.arange(y0 + step / 2, y1, step)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    total = 0.0
    for piece in pieces:
        inside = grid[contains_xy(piece.shape, grid[:, 0], grid[:, 1])]
        depth = fast_heights(ground, inside) - piece.level
        total += float(np.maximum(depth, 0.0).sum()) * step * step
    return total


def fast_heights(ground: GroundSurface, places: np.ndarray) -> np.ndarray:
    from scipy.interpolate import LinearNDInterpolator
    from scipy.spatial import Delaunay

    return LinearNDInterpolator(Delaunay(ground.points), ground.elevations)(places)


def dig_and_haul(
    plan: Plan, levels: Levels, dig: Dig, asked: OrderAsked, facets: FacetsOf, concrete: float
) -> tuple[Item, ...]:
    """The items of a trench without a slab beside it."""
    dug = dug_out(jobs.in_ground(plan, levels, dig), facets, concrete)
    haul = HaulOff(
        dug=dug.whole, put_back=dug.put_back, under_slab=0.0, swell=asked.swell, truck=asked.haul
    )
    return dig_items(dug, haul, dig, asked)


def stepped(levels: Levels) -> Levels:
    first, second, *rest = levels.stretches
    low = -0.6
    high = replace(first, end=6.0, dig_end=5.6)
    under = replace(first, start=6.0, dig_start=5.6, dig=first.dig + low)
    return replace(levels, stretches=(high, under, replace(second, dig=first.dig + low), *rest))


def test_a_trench_in_hilly_ground_is_what_a_fine_grid_finds() -> None:
    plan = jobs.building(ELL)
    dig = Dig(depth=0.4, bucket=24 * INCH)
    levels = stepped(flat_levels(plan, build_network(plan), dig, None))
    ground = hills()
    facets = surface_facets(ground)
    exact = bottom_volume(jobs.in_ground(plan, levels, dig).pieces, lambda _: facets)
    grid = sampled(plan, levels, dig, ground, 0.01)
    assert exact == pytest.approx(grid, rel=0.001, abs=0)


def test_sloping_sides_of_a_pit_are_a_frustum_less_its_middle() -> None:
    # A trench round a rectangle, outside and inside slopes of 1 in level ground: by frustums of
    # pyramids, V = h (A + B + sqrt ...) being exact only for similar ends, by prismoids instead.
    plan = jobs.rectangle(36, 24)
    dig = Dig(depth=1.0, bank=1.0)
    levels = flat_levels(plan, build_network(plan), dig, None)
    pieces = jobs.in_ground(plan, levels, dig).pieces
    facets = level_facets(0.0)
    sides = volume_of_banks(banks_of(pieces, 1.0), 1.0, lambda _: facets)

    def prismoid(at: object) -> float:
        return (at(0.0) + 4 * at(0.5) + at(1.0)) / 6  # type: ignore[operator]

    half = 6 * INCH
    a, b = 36 * FOOT + 2 * half, 24 * FOOT + 2 * half
    outer = prismoid(lambda z: (a + 2 * z) * (b + 2 * z)) - a * b
    c, d = a - 2 * 20 * INCH, b - 2 * 20 * INCH
    inner = c * d - prismoid(lambda z: (c - 2 * z) * (d - 2 * z))
    assert sides == pytest.approx(outer + inner, rel=0, abs=1e-6)


@pytest.mark.parametrize("turn", [0.0, 17.0, 73.0, 197.0])
def test_the_sloping_sides_of_a_pit_of_two_levels_are_its_wedges_and_corners(turn: float) -> None:
    # A pit 1 m wide, 1.2 m deep over 3.2 m and 0.6 m over another 4.1 m, sides of 1/2 to 1: wedges
    # of bank x depth^2 / 2 along the sides and the ends, and at each of its four corners a square
    # of bank x depth that falls to both sides, bank^2 x depth^3 / 3. Where the levels meet in a
    # side it is cut square to it. Turned, the pieces meet a hair off the pit's own edges.
    bank, deep, high, first, second = 0.5, 1.2, 0.6, 3.174647829016488, 4.158187190

    def turned(shape: object) -> object:
        return set_precision(rotate(shape, turn, origin=(0, 0)), 1e-9)

    low = turned(box(0, 0, first, 1))
    rest = difference(turned(box(first - 0.3, 0, first + second, 1)), low, grid_size=1e-9)
    pieces = [
        DigPiece(name="A-B", strand=None, level=-deep, shape=low),
        DigPiece(name="A-B", strand=None, level=-high, shape=rest),
    ]
    sides = volume_of_banks(banks_of(pieces, bank), bank, lambda _: level_facets(0.0))
    wedges = bank / 2 * (deep**2 * (2 * first + 1) + high**2 * (2 * second + 1))
    corners = bank**2 / 3 * 2 * (deep**3 + high**3)
    assert sides == pytest.approx(wedges + corners, rel=0, abs=1e-6)


# Pits that cross: depth, west, south, east, north of each, and a turn at which they met a hair off
# one another and left a vertex near an inner corner, a spike, a gap or the tiniest of edges.
CROSSED = [
    (
        (1.4309403405324603, 2.9671479570429176, 0, 6.18684368126271, 1),
        (0.8587471852537263, 3.689299986661668, 0, 7.519370137656609, 1),
        (0.43584715758377324, 2.595898212547697, -2, 3.595898212547697, 0.5),
        224.2446101602927,
    ),
    (
        (1.405235521520554, 2.537897272612325, 0, 6.472563967423809, 1),
        (1.0047654793546186, 1.205679904245001, 0, 3.6282615255340747, 1),
        (0.9391833694221794, 3.15938411893137, -2, 4.15938411893137, 3),
        230.0953925520682,
    ),
    (
        (1.1696935519800735, 2.137491575160459, 0, 4.7996583146821346, 1),
        (0.5484560047375777, 1.3001151237304427, 0, 4.033890521232626, 1),
        (0.48447756594113356, 2.437858756350084, -2, 3.437858756350084, 3),
        195.4917789898678,
    ),
    (
        (1.4572962873712263, 2.9002603912465617, 0, 6.5565379526843195, 1),
        (0.9188532814904589, 3.576462008189626, -2, 4.576462008189626, 3),
        (0.35938273822769257, 0.6647870922992394, 0, 2.9306495685790304, 1),
        143.22797958525067,
    ),
]


@pytest.mark.parametrize(("low", "high", "last", "turn"), CROSSED)
def test_the_sloping_sides_of_pits_that_cross_stay_the_same_when_turned(
    low: tuple[float, ...], high: tuple[float, ...], last: tuple[float, ...], turn: float
) -> None:
    def sides(by: float) -> float:
        taken, pieces = Polygon(), []
        for depth, *ends in (low, high, last):
            own = set_precision(rotate(box(*ends), by, origin=(0, 0)), 1e-9)
            part = difference(own, taken, grid_size=1e-9)
            taken = union(taken, own, grid_size=1e-9)
            pieces.append(DigPiece(name="A-B", strand=None, level=-depth, shape=part))
        return volume_of_banks(banks_of(pieces, 0.5), 0.5, lambda _: level_facets(0.0))

    assert sides(turn) == pytest.approx(sides(0.0), rel=0, abs=1e-5)


def test_sloping_sides_in_a_hillside_are_what_a_fine_grid_finds() -> None:
    # Along straight sides; corners are mitred, so distances are measured square to each side.
    plan = jobs.rectangle(36, 24)
    dig = Dig(depth=0.3, bank=0.5)
    levels = flat_levels(plan, build_network(plan), dig, None)
    pieces = jobs.in_ground(plan, levels, dig).pieces
    ground = hills()
    facets = surface_facets(ground)
    exact = volume_of_banks(banks_of(pieces, 0.5), 0.5, lambda _: facets)
    half, reach, step = 6 * INCH, 40 * INCH, INCH / 2  # edges lie between cells
    x0, y0, x1, y1 = -half, -half, 36 * FOOT + half, 24 * FOOT + half
    xs = np.arange(x0 - reach, x1 + reach, step) + step / 2
    ys = np.arange(y0 - reach, y1 + reach, step) + step / 2
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    out = np.maximum.reduce([x0 - grid[:, 0], grid[:, 0] - x1, y0 - grid[:, 1], grid[:, 1] - y1])
    within = -out - 20 * INCH
    away = np.maximum(out, within)
    near = (away > 0) & (away < reach)
    depth = fast_heights(ground, grid[near]) + 0.3 - away[near] / 0.5
    assert exact == pytest.approx(float(np.maximum(depth, 0).sum()) * step * step, rel=0.001, abs=0)


def test_ground_below_the_dig_is_no_negative_volume() -> None:
    ring = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)]
    # Ground rising from -1 to 1 along x: only half of it stands above 0.
    tilted = GroundSurface(
        np.array(ring), np.array([-1.0, 1.0, 1.0, -1.0]), np.array([(0, 1, 2), (0, 2, 3)])
    )
    assert volume_above([ring], surface_facets(tilted), (0, 0, 0)) == pytest.approx(0.5, abs=1e-12)


def test_a_ring_with_a_hole_and_one_that_is_not_convex() -> None:
    outer = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (1.0, 1.0), (1.0, 4.0), (0.0, 4.0)]
    hole = [(0.25, 0.25), (0.25, 0.75), (0.75, 0.75), (0.75, 0.25)]
    facets = surface_facets(
        GroundSurface(
            np.array([(-1.0, -1.0), (9.0, -1.0), (-1.0, 9.0)]),
            np.array([0.0, 1.0, 0.0]),
            np.array([(0, 1, 2)]),
        )
    )
    # The ground is (x + 1) / 10 high.
    area, moment = 7 - 0.25, 4 * 2.0 + 3 * 0.5 - 0.25 * 0.5
    assert volume_above([outer, hole], facets, (0, 0, 0)) == pytest.approx(
        (area + moment) / 10, rel=0, abs=1e-12
    )
    assert covered_area([outer, hole], facets) == pytest.approx(area, rel=0, abs=1e-12)


def test_ground_that_is_not_known_is_measured() -> None:
    plan = jobs.rectangle(36, 24)
    levels = jobs.level(plan)
    pieces = jobs.in_ground(plan, levels).pieces
    half = surface_facets(
        GroundSurface(
            np.array([(-1.0, -1.0), (18 * FOOT, -1.0), (18 * FOOT, 9.0), (-1.0, 9.0)]),
            np.zeros(4),
            np.array([(0, 1, 2), (0, 2, 3)]),
        )
    )
    whole = sum(piece.area for piece in pieces)
    assert missing_ground(pieces, lambda _: half) == pytest.approx(whole / 2, rel=0, abs=1e-4)


def test_what_is_dug_is_put_back_or_carted() -> None:
    plan = jobs.rectangle(36, 24)
    dig = Dig(depth=1.0, base=0.1)
    levels = flat_levels(plan, build_network(plan), dig, None)
    facets = level_facets(0.0)
    asked = OrderAsked(swell=0.25, haul=5.0)
    area = 2 * (36 + 24) * FOOT * 20 * INCH - 4 * 8 * INCH * 20 * INCH
    concrete = area * 10 * INCH
    items = {
        item.what: item.quantity
        for item in dig_and_haul(plan, levels, dig, asked, lambda _: facets, concrete)
    }
    assert items["trench, in place"] == pytest.approx(area, rel=0, abs=1e-6)
    assert items["stone under the footings, in place"] == pytest.approx(area / 10, rel=0, abs=1e-6)
    walls = area * 8 / 20 * (1.0 - 0.1 - 10 * INCH)
    filled = area - concrete - area / 10 - walls
    assert items["backfill, in place"] == pytest.approx(filled, rel=0, abs=1e-6)
    spoil = (area - filled) * 1.25
    assert items["spoil to cart, loose"] == pytest.approx(spoil, rel=0, abs=1e-6)
    assert items["loads of spoil"] == math.ceil(spoil / 5.0)


def test_without_a_depth_nothing_is_dug() -> None:
    plan = jobs.rectangle(36, 24)
    assert (
        dig_and_haul(plan, jobs.level(plan), Dig(), OrderAsked(), lambda _: level_facets(0), 1)
        == ()
    )


def test_stone_that_was_not_dug_for_is_told() -> None:
    assert [n.kind for n in stone_notices(Dig(), OrderAsked(stone=0.1))] == ["stone-depth"]
    assert stone_notices(Dig(base=0.1), OrderAsked(stone=0.1)) == ()
    assert stone_notices(Dig(base=0.1), OrderAsked()) == ()


def test_banks_that_meet_inside_are_told() -> None:
    assert [n.kind for n in bank_meets((1, 0))] == ["banks-meet"]
    assert bank_meets((1, 1)) == ()


def test_a_surface_wound_either_way_is_the_same_ground() -> None:
    ground = hills()
    turned = GroundSurface(ground.points, ground.elevations, ground.triangles[:, ::-1])
    ring = [(0.0, 0.0), (9.0, 1.0), (8.0, 7.0), (1.0, 6.0)]
    assert volume_above([ring], surface_facets(turned), (0, 0, 0)) == pytest.approx(
        volume_above([ring], surface_facets(ground), (0, 0, 0)), rel=0, abs=1e-9
    )
    near = surface_facets(ground, ring)
    assert len(near) < len(surface_facets(ground))
    assert volume_above([ring], near, (0, 0, 0)) == pytest.approx(
        volume_above([ring], surface_facets(ground), (0, 0, 0)), rel=0, abs=1e-9
    )


def test_ground_beyond_readings_is_as_high_as_the_nearest() -> None:
    plan = jobs.rectangle(24, 16)
    places = np.array([corner.point for corner in plan.buildings[0].corners])
    heights = np.array([3.0, 2.0, 2.2, 3.1])
    readings = GroundReadings(along={}, strands=(), places=places, heights=heights, nearest=True)
    facets = ground_facets(readings, None, ())
    # Off the middle of B-C, and off the corner B, a pad of one square metre.
    for at, high in (((24 * FOOT + 3, 8 * FOOT), 2.1), ((24 * FOOT + 3, -3.0), 2.0)):
        x, y = at
        ring = [(x, y - 0.5), (x + 1, y - 0.5), (x + 1, y + 0.5), (x, y + 0.5)]
        assert covered_area([ring], facets) == pytest.approx(1.0, rel=0, abs=1e-9)
        assert volume_above([ring], facets, (0, 0, 0)) == pytest.approx(high, rel=0, abs=1e-9)
    # Where a pad stands half within, the volume is what sampling finds.
    x = 24 * FOOT
    ring = [(x - 0.5, 1.0), (x + 0.5, 1.0), (x + 0.5, 2.0), (x - 0.5, 2.0)]
    side = (np.arange(200) + 0.5) / 200
    across, along = np.meshgrid(side - 0.5, side)
    spots = np.column_stack((x + across.ravel(), 1 + along.ravel()))
    found = volume_above([ring], facets, (0, 0, 0))
    assert found == pytest.approx(float(readings.at(spots).mean()), rel=0, abs=1e-5)


def test_a_survey_is_taken_as_far_as_the_trench_goes() -> None:
    random = np.random.default_rng(3)
    at = np.vstack((
        random.uniform(-20, 30, (400, 2)),
        [(-25, -25), (35, -25), (35, 35), (-25, 35)],
    ))
    heights = 0.05 * at[:, 0] + random.uniform(0, 0.2, len(at))
    footing = [(0.0, 0.0), (10.0, 0.0), (10.0, 7.0), (0.0, 7.0)]
    survey = surveyed_ground(at, heights, [footing])
    ring = [(-4.0, -4.0), (14.0, -4.0), (14.0, 11.0), (-4.0, 11.0)]
    whole = GroundSurface(*window_surface_of_all(at, heights))
    assert volume_above([ring], ground_facets(survey, None, ring), (0, 0, -3)) == pytest.approx(
        volume_above([ring], surface_facets(whole), (0, 0, -3)), rel=0, abs=1e-6
    )


def window_surface_of_all(at: np.ndarray, heights: np.ndarray) -> tuple[np.ndarray, ...]:
    from scipy.spatial import Delaunay

    return at, heights, Delaunay(at).simplices


def test_nothing_is_sloped_toward_a_standing_building() -> None:
    # A trench 20" wide and 1 m deep along three sides of a rectangle, sloped 1 to 1: each side's
    # cross section is half a square metre, and the two outside corners add a third each, the
    # inside ones take a third each off.
    plan = jobs.rectangle(36, 24)
    home = plan.buildings[0]
    walls = (*home.walls[:3], replace(home.walls[3], existing=Existing()))
    plan = replace(plan, buildings=(replace(home, walls=walls),))
    dig = Dig(depth=1.0, bank=1.0)
    levels = flat_levels(plan, build_network(plan), dig, None)
    facets = level_facets(0.0)
    items = dig_and_haul(plan, levels, dig, OrderAsked(), lambda _: facets, 0.0)
    sides = next(i.quantity for i in items if i.what.startswith("sloping sides"))
    half = 6 * INCH
    outer = 2 * (36 * FOOT + half) + 24 * FOOT + 2 * half
    inner = outer - 4 * 20 * INCH
    assert sides == pytest.approx((outer + inner) / 2 + 2 / 3 - 2 / 3, rel=0, abs=1e-6)


@pytest.mark.parametrize("degrees", [17, 90, 180, 270])
def test_banks_of_a_stepped_trench_are_the_same_whichever_way_it_runs(degrees: float) -> None:
    # Two levels that meet half-way along a straight trench 1 m wide, 4 m and 6 m long, 1 m and
    # 2 m deep in level ground, sides of 1 in 1. Each long side takes d^2 / 2 a metre: 4 x 1 x
    # 1/2 + 6 x 4 x 1/2 = 14 m3, both sides 28; each end takes w d^2 / 2 = 1/2 and 2; and every
    # corner, whose two sides meet on its halving line, takes d^3 / 3: twice 1/3 and twice 8/3.
    from shapely import affinity
    from shapely.geometry import box

    level, turn = level_facets(0.0), {"angle": degrees, "origin": (0, 0)}
    pieces = [
        DigPiece(
            name=name,
            strand=None,
            level=-depth,
            shape=affinity.rotate(box(low, 0, high, 1), **turn),
        )
        for name, depth, low, high in (("deep", 2.0, 4, 10), ("shallow", 1.0, 0, 4))
    ]
    sides = volume_of_banks(banks_of(pieces, 1.0), 1.0, lambda _: level)
    assert sides == pytest.approx(28 + 0.5 + 2 + 2 / 3 + 16 / 3, rel=0, abs=1e-6)


def test_a_side_runs_up_to_a_standing_building_that_lies_askew() -> None:
    # A trench 1 m deep in level ground, sides of 1 in 1, its right end along a building that runs
    # at 45 degrees: d off its edge, where a side is still 1 - d high, the long sides end at the
    # building's line, the lower one d short of its corner and the upper one d past it. At the left
    # end they meet the end's own side on the lines that halve the corners, d past each:
    # the integrals of (1 - d) (10 - d + d), (1 - d) (11 + 2 d) and (1 - d) (1 + 2 d) from 0 to 1.
    piece = DigPiece(
        name="askew",
        strand=None,
        level=-1.0,
        shape=Polygon([(0, 0), (10, 0), (11, 1), (0, 1)]),
    )
    level = level_facets(0.0)
    sides = banks_of([piece], 1.0, [((10.0, 0.0), (11.0, 1.0))])
    taken = {
        (round(side.edge[0][0]), round(side.edge[0][1])): volume_of_banks(
            [side], 1.0, lambda _: level
        )
        for side in sides
    }
    assert taken == {
        (0, 0): pytest.approx(5.0, rel=0, abs=1e-9),
        (11, 1): pytest.approx(11 / 2 + 1 / 3, rel=0, abs=1e-9),
        (0, 1): pytest.approx(1 / 2 + 1 / 3, rel=0, abs=1e-9),
    }
