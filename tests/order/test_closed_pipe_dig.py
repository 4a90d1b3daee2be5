"""What is dug for the closed pipe from a drain to its outlet, by hand and against a grid.

No published example digs one; the figures are worked out here.
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
from staking.order.drain.closed_pipe_dig import ClosedPipe, closed_pipes, pipe_dig
from staking.order.drain.drain_dig import DrainBottom, DrainDig, level_bottoms
from staking.order.drain.whole_drain import drain_of
from staking.order.hauled.haul_off import HaulOff
from staking.order.order_request import DrainAsked, OrderAsked, OutletAsked
from staking.order.wall_levels import flat_levels
from staking.output.tables.order.order_words import OrderWords
from staking.plan import Dig, Options, Plan
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
BOX = [(0, 0), (36, 0), (36, 24), (0, 24)]


def drained(plan: Plan, dig: Dig) -> tuple[DrainBottom, ...]:
    """A drain's trench 12" wide beside the footing, its bottom level with the footing's."""
    levels = flat_levels(plan, build_network(plan), dig, None)
    return level_bottoms(drain_lines(plan, levels, 6 * INCH))


def pipe(start: tuple[float, float], end: tuple[float, float], high: float, low: float):
    """A 4" pipe between places and levels in feet."""
    return ClosedPipe(
        start=(start[0] * FOOT, start[1] * FOOT),
        end=(end[0] * FOOT, end[1] * FOOT),
        from_level=high * FOOT,
        to_level=low * FOOT,
        outside=4.215 * INCH,
    )


def test_away_from_a_wall_the_drains_own_trench_is_not_dug_twice() -> None:
    # The drain's middle line is 12" out from the face and its trench to 18". The pipe starts on
    # it at 2' 6" under level ground and ends 19' on at the ground, falling 1" in a foot of the
    # way; of its trench the first 6" lie in the drain's. The rest is 18 1/2' x 12" with a mean
    # depth of half of 18.5 / 19 x 2.5'.
    plan, dig = jobs.building(BOX), Dig(depth=3 * FOOT)
    way = pipe((12, -1), (12, -20), -2.5, 0.0)
    found = pipe_dig([way], drained(plan, dig), jobs.in_ground(plan, dig=dig), flat)
    assert found.length / FOOT == pytest.approx(19, rel=0, abs=1e-9)
    assert found.volume / FOOT**3 == pytest.approx(18.5 * 2.5 * 18.5 / 19 / 2, rel=0, abs=1e-6)
    assert found.unknown == pytest.approx(0.0, abs=1e-9)
    # A round of 4.215" takes 0.0969 sq ft of it.
    assert found.kept / FOOT**3 == pytest.approx(19 * 0.0969, rel=0, abs=0.001)


def flat(_: object) -> object:
    """Level ground at 0."""
    return level_facets(0.0)


def test_two_pipes_to_one_outlet_share_what_lies_in_both() -> None:
    # Two ways 12" wide, square to each other, 4' deep all along: where they meet in a corner
    # each has half of the 12" square about the outlet, of which a quarter lies in both.
    plan, dig = jobs.building(BOX), Dig(depth=1 * FOOT)
    ways = [pipe((60, 0), (80, 0), -4, -4), pipe((80, -20), (80, 0), -4, -4)]
    found = pipe_dig(ways, (), jobs.in_ground(plan, dig=dig), flat)
    assert found.volume / FOOT**3 == pytest.approx((20 + 20 - 0.25) * 4, rel=0, abs=1e-6)


def test_with_sloping_sides_a_way_in_the_open_is_a_trapezoid() -> None:
    # 3' deep and 12" wide with sides of 1 in 2: 12" and 4' at the ground, 7 1/2 sq ft.
    plan, dig = jobs.building(BOX), Dig(depth=1 * FOOT, bank=0.5)
    way = pipe((100, 0), (120, 0), -3, -3)
    found = pipe_dig([way], (), jobs.in_ground(plan, dig=dig), flat)
    assert found.volume / FOOT**3 == pytest.approx(20 * 3 * (1 + 4) / 2, rel=0, abs=1e-6)


@pytest.mark.parametrize("bank", [0.0, 0.5])
def test_on_rough_ground_it_is_what_a_fine_grid_finds(bank: float) -> None:
    # The depth of everything with the pipe less the depth without, on squares of 2 cm.
    random = np.random.default_rng(7)
    at = np.vstack((random.uniform(-14, 18, (80, 2)), [(-19, -19), (21, -19), (21, 21), (-19, 21)]))
    high = 0.2 + 0.03 * at[:, 0] - 0.02 * at[:, 1] + random.uniform(-0.1, 0.1, len(at))
    surface = GroundSurface(at, high, Delaunay(at).simplices)
    facets = surface_facets(surface)
    plan, dig = jobs.building(BOX), Dig(depth=1.0, bank=bank)
    way = pipe((20, -1), (30, -30), -1.0 / FOOT, -1.6 / FOOT)
    footing = jobs.in_ground(plan, dig=dig)
    found = pipe_dig([way], drained(plan, dig), footing, lambda _: facets)

    step = 0.02
    xs, ys = np.arange(0, 14, step), np.arange(-11, 4, step)
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2) + step / 2
    ground = LinearNDInterpolator(Delaunay(at), high)(grid)
    x, y = grid.T
    half = 6 * INCH
    out = np.maximum.reduce([-half - x, x - 36 * FOOT - half, -half - y, y - 24 * FOOT - half])
    # Footing and drain: from the outer edge of the drain's trench sides rise; within, no dig
    # lies nearer than the footing's inner edge, over which nothing of the pipe's comes.
    before = -1.0 + np.maximum(out - 12 * INCH, 0.0) / (bank or 1e-9)
    start, end = np.array(way.start), np.array(way.end)
    along = (end - start) / way.length
    away = (grid - start) @ along
    off = np.abs((grid - start) @ np.array([-along[1], along[0]]))
    after = way.from_level + (way.to_level - way.from_level) * away / way.length
    after = after + np.maximum(off - half, 0.0) / (bank or 1e-9)
    after = np.where((away >= 0) & (away <= way.length), after, np.inf)
    dug = np.maximum(ground - np.minimum(before, after), 0) - np.maximum(ground - before, 0)
    assert found.volume == pytest.approx(float(dug.sum()) * step**2, rel=0.003)
    assert found.volume > 1.0


@pytest.mark.parametrize("bank", [0.0, 0.5])
def test_turned_written_clockwise_and_mirrored_it_is_the_same(bank: float) -> None:
    random = np.random.default_rng(11)
    at = np.vstack((random.uniform(-14, 18, (80, 2)), [(-25, -25), (25, -25), (25, 25), (-25, 25)]))
    high = 0.2 + 0.03 * at[:, 0] + random.uniform(-0.1, 0.1, len(at))
    dig = Dig(depth=1.0, bank=bank)
    c, s = np.cos(np.radians(17)), np.sin(np.radians(17))
    found = []
    for turn, box in (
        (np.eye(2), BOX),
        (np.eye(2), BOX[::-1]),
        (np.array([(c, s), (-s, c)]), BOX),
        (np.array([(-1.0, 0.0), (0.0, 1.0)]), BOX),
    ):
        corners = [tuple((np.array(each) @ turn).tolist()) for each in box]
        ends = [tuple((np.array(each) @ turn).tolist()) for each in ((20, -1), (30, -30))]
        surface = GroundSurface(at @ turn, high, Delaunay(at @ turn).simplices)
        plan, facets = jobs.building(corners), surface_facets(surface)
        way = pipe(*ends, -1.0 / FOOT, -1.6 / FOOT)
        footing = jobs.in_ground(plan, dig=dig)
        found.append(pipe_dig([way], drained(plan, dig), footing, lambda _, f=facets: f).volume)
    assert found == pytest.approx([found[0]] * 4, rel=0, abs=1e-7)


ELL = [(0, 0), (31.5, 0), (31.5, 22.25), (21, 22.25), (21, 18.25), (0, 18.25)]
ASKEW = [(0, 0), (20, 0), (22, 16), (0, 16)]


@pytest.mark.parametrize("bank", [0.5, 1.0, 1.5])
@pytest.mark.parametrize("box", [BOX, ELL, ASKEW])
def test_beside_sloping_sides_of_any_shape_it_is_the_same_when_turned(
    box: list[tuple[float, float]], bank: float
) -> None:
    # Sides that meet on the lines that halve their corners are cut by several lines at one place.
    dig, ends = Dig(depth=1.0, bank=bank), ((10, -1), (4, -31))
    found = []
    for degrees in (0, 17, 45, 90, 213):
        c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        turn = np.array([(c, s), (-s, c)])
        plan = jobs.building([tuple((np.array(each) @ turn).tolist()) for each in box])
        way = pipe(*(tuple((np.array(e) @ turn).tolist()) for e in ends), -3.5, -3.75)
        footing = jobs.in_ground(plan, dig=dig)
        found.append(pipe_dig([way], drained(plan, dig), footing, flat).volume)
    assert found[0] > 1.0
    assert found == pytest.approx([found[0]] * len(found), rel=0, abs=1e-7)


def test_where_no_ground_is_known_it_is_said_how_much_of_the_way() -> None:
    # Ground ends at 15' out: of a way of 19' from 1' out 5' have none.
    plan, dig = jobs.building(BOX), Dig(depth=3 * FOOT)
    edge = np.array([(-9.0, -15 * FOOT), (20.0, -15 * FOOT), (20.0, 20.0), (-9.0, 20.0)])
    facets = surface_facets(GroundSurface(edge, np.zeros(4), Delaunay(edge).simplices))
    way = pipe((12, -1), (12, -20), -2.5, -2.5)
    found = pipe_dig([way], drained(plan, dig), jobs.in_ground(plan, dig=dig), lambda _: facets)
    assert found.unknown / FOOT**2 == pytest.approx(5.0, rel=0, abs=1e-6)
    assert found.volume / FOOT**3 == pytest.approx(13.5 * 2.5, rel=0, abs=1e-6)


def test_it_is_dug_filled_again_and_the_pipe_alone_carted() -> None:
    # 100 cu ft for the pipe, of which the pipe keeps 2, beside 384 for the drain, which keeps 128.
    drain = DrainDig(
        length=128 * FOOT,
        volume=384 * FOOT**3,
        kept=130 * FOOT**3,
        pipe_length=40 * FOOT,
        pipe_volume=100 * FOOT**3,
    )
    footing = jobs.in_ground(jobs.building(BOX), dig=Dig(depth=3 * FOOT))
    alone = dug_out(footing, flat, 0.0)
    dug = dug_out(footing, flat, 0.0, drain=drain)
    assert (dug.whole - alone.whole) / FOOT**3 == pytest.approx(484, rel=0, abs=1e-6)
    assert (dug.put_back - alone.put_back) / FOOT**3 == pytest.approx(354, rel=0, abs=1e-6)
    haul = HaulOff(
        dug=dug.whole, put_back=dug.put_back, under_slab=0.0, swell=0.25, truck=8.0,
        for_drain=drain.whole,
    )  # fmt: skip
    words = OrderWords(Options(unit="ft"))
    lines = {
        item.what: words.arithmetic(item.arithmetic)
        for item in dig_items(dug, haul, footing.dig, OrderAsked())
    }
    # 100 cu ft are 3.7037 cu yd, 384 are 14.2222, 130 are 4.8148.
    assert lines["closed pipe's trench to the outlet, in place"] == (
        "40 ft x 2.5 sq ft mean section = 100.00 cu ft / 27 = 3.70 cu yd"
    )
    assert (
        " + 14.2222 cu yd drain trench + 3.7037 cu yd closed pipe's trench - 4.8148 cu yd drain's"
        in lines["backfill, in place"]
    )


def test_only_a_pipe_that_runs_by_itself_and_round_no_building_is_dug() -> None:
    plan = jobs.building(BOX)
    levels = flat_levels(plan, build_network(plan), Dig(depth=3 * FOOT), None)

    def ways(at: tuple[float, float], level: float) -> int:
        outlet = OutletAsked(at=(at[0] * FOOT, at[1] * FOOT), level=level * FOOT)
        drain = drain_of(plan, levels, DrainAsked(outlet=outlet), None, graded=True)
        told = {each.kind for each in drain.notices}
        assert ("drain-dig" in told) == (not drain.closed)
        return len(drain.closed)

    assert ways((18, -40), -6.0) == 1
    assert ways((18, -40), 2.0) == 0  # a sump lifts the water
    assert closed_pipes(plan, (), None, 4 * INCH) == ()
