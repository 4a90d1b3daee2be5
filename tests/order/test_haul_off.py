"""What goes back and what is carted away, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.volume import level_facets
from staking.kinds import Casting
from staking.order.concrete_items import footing_items
from staking.order.dig import Dug, dug_out
from staking.order.hauled.haul_items import haul_items
from staking.order.hauled.haul_off import HaulOff
from staking.order.hauled.put_back import InsideLevel
from staking.order.wall_levels import StepFill, flat_levels
from staking.plan import Dig, Plan, Slab
from tests.order import jobs

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3


def trench(plan: Plan, dig: Dig, **changes: object) -> Dug:
    levels = replace(
        flat_levels(plan, build_network(plan), dig, None),
        **changes,  # type: ignore[arg-type]
    )
    footing = jobs.in_ground(plan, levels, dig)
    net = sum(item.quantity for item in footing_items(footing, 0.0)[:-1])
    inside = None if plan.slab is None else InsideLevel()
    return dug_out(footing, lambda _: level_facets(0.0), net, inside)


def slabbed(plan: Plan) -> Plan:
    return replace(plan, slab=Slab(top=None, thickness=4 * INCH, base=0.0))


def test_beside_a_slab_earth_goes_back_outside_alone() -> None:
    # 36' by 24', footing 20" by 10" in a trench 4' deep cut 12" wider each side, in forms:
    # the trench is 44" wide, its outer edge 18" outside the walls' outside face, its inner edge
    # 26" inside it, 18" inside the wall.
    #   outside  39 x 27 - 36 x 24 = 189 sq ft x 4 = 756 cu ft; the footing reaches 6" out:
    #            37 x 25 - 864 = 61 sq ft x 10/12 = 50.8333; put back 705.1667 cu ft
    #   under the wall  864 - 34 2/3 x 22 2/3 = 78.2222 sq ft
    #   inside   34 2/3 x 22 2/3 - 31 2/3 x 19 2/3 = 785.7778 - 622.7778 = 163 sq ft x 4 = 652;
    #            footing 785.7778 - 33 2/3 x 21 2/3 = 56.3333 sq ft x 10/12 = 46.9444;
    #            filled 605.0556 cu ft
    #   dug      (189 + 78.2222 + 163) x 4 = 1720.8889 cu ft
    #   hauled   1720.8889 - 705.1667 = 1015.7222 cu ft = 37.6193 cu yd in place
    #            x 1.25 = 47.0242 loose, 5 loads of 10
    dig = Dig(depth=4 * FOOT, overdig=12 * INCH, cast=Casting.FORMS)
    dug = trench(slabbed(jobs.rectangle(36, 24)), dig)
    assert dug.outside is not None
    assert dug.inside is not None
    assert dug.whole / FOOT**3 == pytest.approx(1720.8889, rel=0, abs=5e-5)
    assert dug.outside.room / FOOT**3 == pytest.approx(705.1667, rel=0, abs=5e-5)
    assert dug.inside.room / FOOT**3 == pytest.approx(605.0556, rel=0, abs=5e-5)
    assert dug.put_back == dug.outside.room
    haul = HaulOff(
        dug=dug.whole, put_back=dug.put_back, under_slab=0.0, swell=0.25, truck=10 * YARD3
    )
    assert haul.in_place / YARD3 == pytest.approx(37.6193, rel=0, abs=5e-5)
    assert haul.loose / YARD3 == pytest.approx(47.0242, rel=0, abs=6e-5)
    assert haul.loads == 5
    in_place, loose, loads = haul_items(haul)
    assert (in_place.quantity, loose.quantity, loads.quantity) == (haul.in_place, haul.loose, 5.0)


def test_without_a_slab_earth_goes_back_on_both_sides() -> None:
    # The same trench: outside 705.1667 and inside 605.0556 cu ft go back, 1310.2222 in all.
    dig = Dig(depth=4 * FOOT, overdig=12 * INCH, cast=Casting.FORMS)
    dug = trench(jobs.rectangle(36, 24), dig)
    assert dug.outside is None
    assert dug.put_back / FOOT**3 == pytest.approx(1310.2222, rel=0, abs=5e-5)


def test_the_three_parts_of_a_trench_make_the_whole() -> None:
    # Cast against earth, on stone, with sloping sides: what stands under the walls is the rest.
    plan = slabbed(jobs.building([(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]))
    dig = Dig(depth=3 * FOOT, bucket=24 * INCH, bank=0.5, base=4 * INCH)
    dug = trench(plan, dig)
    assert dug.outside is not None
    assert dug.inside is not None
    # Backfill of both sides is the room outside and the room inside.
    both = dug.whole - dug.concrete - dug.stone - dug.wall
    assert dug.outside.room + dug.inside.room == pytest.approx(both, rel=0, abs=1e-6)


def test_a_step_takes_its_concrete_on_both_sides() -> None:
    # A step's overlap of 10" by 8" rise under a 20" footing: 6" of it lies outside, 6" inside.
    plan = slabbed(jobs.rectangle(36, 24))
    dig = Dig(depth=4 * FOOT, cast=Casting.FORMS)
    step = StepFill(wall="A-B", station=4.0, overlap=10 * INCH, rise=8 * INCH, width=20 * INCH)
    plain, stepped = trench(plan, dig), trench(plan, dig, steps=(step,))
    for name in ("outside", "inside"):
        more = getattr(stepped, name).concrete - getattr(plain, name).concrete
        assert more / INCH**3 == pytest.approx(10 * 8 * 6, rel=0, abs=1e-3)


def test_earth_under_the_slab_is_not_carted() -> None:
    haul = HaulOff(dug=30.0, put_back=10.0, under_slab=5.0, swell=0.2, truck=6.0)
    assert (haul.in_place, haul.loose, haul.loads) == (15.0, 18.0, 3)
    assert "5 m3 laid under the slab" not in haul_items(haul)[0].arithmetic.text
    assert "{used} laid under the slab" in haul_items(haul)[0].arithmetic.text


def test_a_slab_beside_a_standing_building_is_filled_as_far_as_it_is_dug() -> None:
    # No wall stands and nothing is dug along D-A: its trench and backfill are gone with it.
    from staking.plan import Existing

    plan = slabbed(jobs.rectangle(36, 24))
    home = plan.buildings[0]
    walls = (*home.walls[:3], replace(home.walls[3], existing=Existing()))
    beside = replace(plan, buildings=(replace(home, walls=walls),))
    dug = trench(beside, Dig(depth=4 * FOOT, overdig=12 * INCH, cast=Casting.FORMS))
    assert dug.outside is not None
    assert dug.inside is not None
    #   outside  A-B and C-D 36 + 1.5 ft, B-C 24 ft, 18" wide: 2 x 37.5 x 1.5 + 24 x 1.5 = 148.5
    #            sq ft x 4; footing 6" wide: 2 x 36.5 x 0.5 + 24 x 0.5 = 48.5 x 10/12
    #   inside   from x = 0 to the wall at 35' 4": 35 1/3 x 22 2/3 - 33 5/6 x 19 2/3 sq ft x 4;
    #            footing: 35 1/3 x 22 2/3 - 34 5/6 x 21 2/3 sq ft x 10/12
    outside = 148.5 * 4 - 48.5 * 10 / 12
    floor = (35 + 1 / 3) * (22 + 2 / 3)
    inside = (floor - (33 + 5 / 6) * (19 + 2 / 3)) * 4
    inside -= (floor - (34 + 5 / 6) * (21 + 2 / 3)) * 10 / 12
    assert dug.outside.room / FOOT**3 == pytest.approx(outside, rel=0, abs=1e-4)
    assert dug.inside.room / FOOT**3 == pytest.approx(inside, rel=0, abs=1e-4)
