"""What is dug for a drain beside the footing's trench, by hand and against a grid.

No published example digs a drain beside a stepped footing; the figures are worked out here.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay

from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.volume import level_facets, surface_facets
from staking.order.dig import dig_items, dug_out
from staking.order.drain.beside_footings import drain_lines
from staking.order.drain.drain_dig import DrainBottom, DrainDig, drain_volume, level_bottoms
from staking.order.drain.whole_drain import drain_of
from staking.order.hauled.haul_items import haul_items
from staking.order.hauled.haul_off import HaulOff
from staking.order.order_request import DrainAsked, OrderAsked
from staking.order.trench import FacetsOf
from staking.order.wall_levels import flat_levels
from staking.plan import Dig, Plan
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
BOX = [(0, 0), (36, 0), (36, 24), (0, 24)]
ELL = [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]


def beside(plan: Plan, dig: Dig, ground: FacetsOf, lower: float = 0.0) -> float:
    """What a trench of 12" beside the footing takes, its bottom so far under the footing's, ft3."""
    levels = flat_levels(plan, build_network(plan), dig, None)
    bottoms = [
        DrainBottom(
            strand=each.strand,
            start=each.start,
            end=each.end,
            from_level=each.from_level - lower,
            to_level=each.to_level - lower,
        )
        for each in level_bottoms(drain_lines(plan, levels, 6 * INCH))
    ]
    return drain_volume(bottoms, jobs.in_ground(plan, levels, dig), ground) / FOOT**3


@pytest.mark.parametrize(
    ("dig", "lower", "cubic_feet"),
    [
        # Footing 37' by 25' outside; with the strip 39' by 27': 1053 - 925 = 128 sq ft, 3' deep.
        (Dig(depth=3 * FOOT), 0.0, 384.0),
        # An over-dig of 6" takes the inner half, 38' by 26' less 37' by 25': 65 sq ft left.
        (Dig(depth=3 * FOOT, overdig=6 * INCH), 0.0, 195.0),
        (Dig(depth=3 * FOOT, overdig=12 * INCH), 0.0, 0.0),
        # 6" under the footing's bottom, beside a trench dug that deep: 3 1/2' x 65 sq ft, and 6" of
        # the 63 sq ft under the over-dig.
        (Dig(depth=3 * FOOT, overdig=6 * INCH), 6 * INCH, 3.5 * 65 + 31.5),
        # The footing's stone of 6" is dug as deep as that; only what lies beside it is left.
        (Dig(depth=3.5 * FOOT, base=6 * INCH, overdig=6 * INCH), 6 * INCH, 3.5 * 65),
    ],
)
def test_beside_an_upright_trench_in_level_ground(
    dig: Dig, lower: float, cubic_feet: float
) -> None:
    found = beside(jobs.building(BOX), dig, lambda _: level_facets(0.0), lower)
    assert found == pytest.approx(cubic_feet, rel=0, abs=1e-5)


def test_beside_sloping_sides_the_outer_side_moves_out() -> None:
    # 3' deep with sides of 1 in 1. To the footing's own trench belong 37' by 25' at the bottom and
    # 43' by 31' at the ground, with the drain 39' by 27' and 45' by 33': two frustums by Simpson.
    def frustum(a: float, b: float) -> float:
        return 3 / 6 * (a * b + 4 * (a + 3) * (b + 3) + (a + 6) * (b + 6))

    found = beside(jobs.building(BOX), Dig(depth=3 * FOOT, bank=1.0), lambda _: level_facets(0.0))
    assert found == pytest.approx(frustum(39, 27) - frustum(37, 25), rel=0, abs=1e-5)


@pytest.mark.parametrize("points", [BOX, ELL, ELL[::-1]], ids=["box", "L", "clockwise"])
@pytest.mark.parametrize("bank", [0.0, 0.5])
def test_on_rough_ground_it_is_what_a_fine_grid_finds(points: list, bank: float) -> None:
    random = np.random.default_rng(5)
    at = np.vstack((random.uniform(-6, 18, (60, 2)), [(-9, -9), (21, -9), (21, 21), (-9, 21)]))
    high = 0.2 + 0.03 * at[:, 0] - 0.02 * at[:, 1] + random.uniform(-0.1, 0.1, len(at))
    surface = GroundSurface(at, high, Delaunay(at).simplices)
    facets = surface_facets(surface)
    plan = jobs.building(points)
    found = beside(plan, Dig(depth=1.0, bank=bank), lambda _: facets)
    # Distances out from the footing's edge, square to the sides: corners are mitred.
    step = 0.01
    xs, ys = np.arange(-2.5, 14, step), np.arange(-2.5, 12.5, step)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2) + step / 2
    x, y = grid.T
    half = 6 * INCH
    out = np.maximum.reduce([-half - x, x - 36 * FOOT - half, -half - y, y - 24 * FOOT - half])
    if points is not BOX:
        wing = [-half - x, x - 24 * FOOT - half, -half - y, y - 32 * FOOT - half]
        out = np.minimum(out, np.maximum.reduce(wing))
    near = (out > 0) & (out < 1.5)
    ground = LinearNDInterpolator(Delaunay(at), high)(grid[near])
    off = out[near]

    def dug(edge: float) -> float:
        side = -1.0 + np.maximum(off - edge, 0.0) / (bank or 1e-9)
        return float(np.maximum(ground - side, 0.0).sum() * step * step / FOOT**3)

    assert found == pytest.approx(dug(12 * INCH) - dug(0.0), rel=0.003, abs=0)


def test_it_is_dug_and_its_stone_and_pipe_are_carted() -> None:
    # 384 cu ft beside a trench 3' deep, of which 128' of middle line x 12" x 12" stay stone and
    # pipe: backfill 384 - 128 = 256 cu ft more, and 128 cu ft more are carted.
    plan, dig = jobs.building(BOX), Dig(depth=3 * FOOT)
    footing = jobs.in_ground(plan, dig=dig)
    drain = DrainDig(length=128 * FOOT, volume=384 * FOOT**3, kept=128 * FOOT**3)
    alone = dug_out(footing, lambda _: level_facets(0.0), 0.0)
    dug = dug_out(footing, lambda _: level_facets(0.0), 0.0, drain=drain)
    assert (dug.whole - alone.whole) / FOOT**3 == pytest.approx(384, rel=0, abs=1e-6)
    assert (dug.put_back - alone.put_back) / FOOT**3 == pytest.approx(256, rel=0, abs=1e-6)
    haul = HaulOff(
        dug=dug.whole,
        put_back=dug.put_back,
        under_slab=0.0,
        swell=0.25,
        truck=1.0,
        for_drain=drain.volume,
    )
    items = dig_items(dug, haul, dig, OrderAsked())
    row = next(each for each in items if each.what.startswith("drain trench"))
    assert (row.quantity, row.price) == (drain.volume, "dig")
    assert "for the drain" in haul_items(haul)[0].arithmetic.text


def test_the_trench_lies_under_the_pipe_all_the_way_down() -> None:
    # Its bottoms follow the pipe: 2" under its invert at the high point and at the low one.
    plan = jobs.building(BOX)
    drain = drain_of(plan, jobs.level(plan, dig=Dig(depth=1.0)), DrainAsked(), None, graded=True)
    levels = [each.from_level for each in drain.bottoms] + [each.to_level for each in drain.bottoms]
    trenches = [each.trench for each in drain.stations]
    assert max(levels) == pytest.approx(max(trenches), rel=0, abs=1e-9)
    assert min(levels) == pytest.approx(min(trenches), rel=0, abs=1e-9)
    for own in drain.bottoms:
        # Anticlockwise: the building lies to the left of every piece.
        ux, uy = own.end[0] - own.start[0], own.end[1] - own.start[1]
        middle = (18 * FOOT - own.start[0], 12 * FOOT - own.start[1])
        assert ux * middle[1] - uy * middle[0] > 0


@pytest.mark.parametrize("mirrored", [False, True])
def test_round_short_jogs_the_trench_of_a_falling_pipe_goes_on_anticlockwise(
    mirrored: bool,
) -> None:
    # Sides of 2' and 3' between long ones: each piece ends where another begins, and round the
    # building the pieces enclose what lies within the drain's middle line, 12" out.
    jogs = [(0, 0), (20, 0), (20, 3), (22, 3), (22, 6), (36, 6), (36, 24), (0, 24)]
    plan = jobs.building([(36 - x, y) for x, y in reversed(jogs)] if mirrored else jogs)
    levels = flat_levels(plan, build_network(plan), Dig(depth=3 * FOOT), None)
    bottoms = drain_of(plan, levels, DrainAsked(), None, graded=True).bottoms
    starts = sorted((round(each.start[0], 6), round(each.start[1], 6)) for each in bottoms)
    assert starts == sorted((round(each.end[0], 6), round(each.end[1], 6)) for each in bottoms)
    twice = sum(b.start[0] * b.end[1] - b.start[1] * b.end[0] for b in bottoms)
    within = 36 * 24 - 14 * 6 - 2 * 3  # of the walls; 120' round them, eight square corners
    assert twice / 2 / FOOT**2 == pytest.approx(within + 120 * 1 + 4 * 1, rel=0, abs=1e-6)
