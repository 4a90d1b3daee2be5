"""What is dug under each run: how deep, with which bank, and beside which footings."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from staking.footing.bands import dig_bands
from staking.footing.footing_outline import merge
from staking.grade.neighbours import undercuts
from staking.grade.run_digs import RunDig, beside, pad_digs, run_digs, stepped_dig_bands
from staking.grade.stepped_footing import SteppedFooting
from staking.grade.stepping.built_steps import as_built
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import GradeRequest, step_footings
from staking.grade.stepping.wall_network import Network, build_network
from staking.plan import Dig, Existing, Pad, Plan
from tests.grade import slopes
from tests.grade.test_steps import FOOT, INCH, slope_24_by_16


def dug(
    request: GradeRequest, base: float = 0.0
) -> tuple[Network, SteppedFooting, tuple[RunDig, ...]]:
    network, stepped = build_network(request.plan), step_footings(request)
    found: list[RunDig] = []
    for strand, profile in zip(network.strands, stepped.walls, strict=True):
        built = as_built(profile, strand, request.rules, base)
        found += run_digs(strand, profile, built, request.site, base)
    found += pad_digs(request.network, stepped.pads, request.site, base)
    return network, stepped, tuple(found)


def with_pad(**changes: float) -> GradeRequest:
    pad = Pad(
        name="P1", x=30 * FOOT, y=6 * FOOT, size=(2 * FOOT, 2 * FOOT), diameter=None, thickness=FOOT
    )
    request = slope_24_by_16()
    return slopes.changed(request, plan=replace(request.plan, pads=(replace(pad, **changes),)))


def test_the_lower_dig_runs_under_the_upper_run_and_is_deeper_for_it() -> None:
    _, _, digs = dug(slope_24_by_16())
    second = [each for each in digs if each.wall == "A-B"][1]
    # Riser at 5' 4", 10" of overlap; the ground falls an eighth: 99' 5 1/4" over the cell there.
    assert second.start == pytest.approx(4.5 * FOOT, rel=0, abs=1e-9)
    assert second.end == pytest.approx(32 * FOOT / 3, rel=0, abs=1e-9)
    assert second.level == pytest.approx((95 + 2 / 12) * FOOT, rel=0, abs=1e-9)
    assert second.depth == pytest.approx((100 - 4 / 8 - 95 - 2 / 12) * FOOT, rel=0, abs=1e-9)
    rising = next(each for each in digs if each.wall == "C-D")
    assert rising.end == pytest.approx((2 + 8 / 12 + 10 / 12) * FOOT, rel=0, abs=1e-9)


def test_stone_under_the_footing_is_dug_as_well() -> None:
    _, _, plain = dug(slope_24_by_16())
    _, _, stone = dug(slope_24_by_16(), 4 * INCH)
    for one, other in zip(plain, stone, strict=True):
        assert other.depth - one.depth == pytest.approx(4 * INCH, rel=0, abs=1e-9)
        assert other.bottom == one.bottom


def test_without_a_bank_the_depth_makes_no_strip_wider() -> None:
    request = slope_24_by_16()
    network, _, digs = dug(request)
    dig = Dig(overdig=6 * INCH)
    assert stepped_dig_bands(request.plan, dig, network, digs) == dig_bands(request.plan, dig)[0]


def test_with_a_bank_the_strips_lie_between_those_of_the_least_and_the_greatest_depth() -> None:
    request = with_pad()
    network, _, digs = dug(request)
    dig = Dig(bank=1.0)
    area = merge(stepped_dig_bands(request.plan, dig, network, digs)).area
    depths = sorted(each.depth for each in digs)
    least, most = (
        merge(dig_bands(request.plan, replace(dig, depth=depth))[0]).area
        for depth in (depths[0], depths[-1])
    )
    assert least < area < most


def test_unlike_depths_leave_no_slit_at_the_corners() -> None:
    request = slope_24_by_16()
    network, _, digs = dug(request)
    for turn in (0.0, 17.0, 163.0):
        plan = turned(request.plan, turn)
        strands = build_network(plan)
        found = merge(stepped_dig_bands(plan, Dig(bank=1.0), strands, digs))
        assert (len(found.outlines), len(found.holes)) == (1, 1)
        # No ring runs back along itself: a slit to a corner is 5' there and 5' back.
        for ring, sides in ((found.outlines[0], 24 + 1 + 16 + 1 + 2 * 9), (found.holes[0], 0)):
            ends = (*ring[1:], ring[0])
            around = sum(math.dist(a, b) for a, b in zip(ring, ends, strict=True))
            most = 2 * sides * FOOT if sides else 2 * (24 + 16 - 2 * (14 / 12 + 3.8) * 2) * FOOT
            assert around < most + 4 * FOOT
    assert network.strands


def turned(plan: Plan, degrees: float) -> Plan:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    (building,) = plan.buildings
    corners = tuple(
        replace(each, x=each.x * c - each.y * s, y=each.x * s + each.y * c)
        for each in building.corners
    )
    return replace(plan, buildings=(replace(building, corners=corners),))


def test_one_depth_all_round_gives_the_plain_strips() -> None:
    request = slope_24_by_16(site=SiteGround(existing=slopes.plane(lambda x, y: 98 * FOOT)))
    network, _, digs = dug(request)
    dig = Dig(bank=0.5, overdig=3 * INCH, depth=digs[0].depth)
    stepped = merge(stepped_dig_bands(request.plan, dig, network, digs))
    assert stepped.area == pytest.approx(
        merge(dig_bands(request.plan, dig)[0]).area, rel=0, abs=1e-9
    )


def test_a_pad_too_near_a_deeper_wall_is_undercut_and_one_far_off_is_not() -> None:
    def found(request: GradeRequest) -> set[tuple[str, str]]:
        network, stepped, digs = dug(request)
        both = beside(request.plan, Dig(), network, digs, stepped)
        return {(each.dig, each.footing) for each in undercuts(*both)[0]}

    # Bottoms at 96' 6" and 95' 10": 8" apart in height asks for 8"/tan 30 = 13.9"; there are 6".
    near = with_pad(x=-2 * FOOT, thickness=2 * INCH)
    assert found(near) == {("D-A", "pad P1")}
    assert found(with_pad(x=-8 * FOOT, thickness=2 * INCH)) == set()


def test_a_pad_under_a_wall_is_cast_with_it() -> None:
    request = with_pad(x=24 * FOOT)
    network, stepped, digs = dug(request)
    digs_beside, _ = beside(request.plan, Dig(), network, digs, stepped)
    parts = {each.name: each.part for each in digs_beside}
    assert parts["pad P1"] == parts["B-C"]


def test_an_old_footing_stands_toward_us_from_its_side() -> None:
    request = slope_24_by_16()
    plan: Plan = request.plan
    (building,) = plan.buildings
    old = Existing(footing_bottom=96 * FOOT, footing_out=6 * INCH)
    walls = (*building.walls[:3], replace(building.walls[3], existing=old))
    request = slopes.changed(
        request, plan=replace(plan, buildings=(replace(building, walls=walls),))
    )
    network, stepped, digs = dug(request)
    _, footings = beside(request.plan, Dig(), network, digs, stepped)
    (line,) = (each for each in footings if each.name.startswith("the old footing"))
    assert line.stands
    assert not any(each.stands for each in footings if each is not line)
    assert {round(x / INCH, 6) for x, _ in line.ring} == {6.0}
    assert line.level == 96 * FOOT
