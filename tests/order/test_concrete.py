"""Concrete: classes, what a trench takes, steps, slab, loads and the order they are poured in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.kinds import Casting
from staking.notices import Length
from staking.order.concrete import dug_width, footing_classes, wall_parts
from staking.order.concrete_items import (
    bank_notices,
    footing_items,
    step_items,
    wall_items,
    wide_notices,
)
from staking.order.loads import load_notices, pour_levels, pour_of
from staking.order.order_request import OrderAsked
from staking.order.wall_levels import PadAt, StepFill
from staking.plan import Dig, Footing, InteriorLine, Opening, Pad, Slab
from tests.order import jobs

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3


def close(value: float) -> object:
    return pytest.approx(value, rel=0, abs=1e-9)


def test_t5_a_step_as_built() -> None:
    # By hand: overlap 16", width 20", rise 8" make 1.4815 cu ft.
    step = StepFill(
        wall="A-B", station=64 * INCH, overlap=16 * INCH, rise=8 * INCH, width=20 * INCH
    )
    (item,) = step_items([step], Dig(cast=Casting.FORMS))
    assert item.quantity / FOOT**3 == pytest.approx(1.4815, rel=0, abs=5e-5)


def test_steps_of_one_size_are_counted_together() -> None:
    step = StepFill(wall="A-B", station=1.0, overlap=0.3, rise=0.2, width=0.5)
    items = step_items([step, replace(step, station=2.0), replace(step, rise=0.4)], Dig())
    assert [item.quantity for item in items] == [close(2 * 0.03), close(0.06)]


def test_t9_a_trench_dug_wider_is_filled_to_its_width() -> None:
    # By hand: 100 ft of 20" x 10" footing take 5.144 cu yd, in a 24" trench 6.173.
    def volume(dig: Dig) -> float:
        return 100 * FOOT * dug_width(20 * INCH, dig) * 10 * INCH / YARD3

    assert volume(Dig(cast=Casting.FORMS, bucket=24 * INCH)) == pytest.approx(
        5.144, rel=0, abs=5e-4
    )
    assert volume(Dig(cast=Casting.EARTH, bucket=24 * INCH)) == pytest.approx(
        6.173, rel=0, abs=5e-4
    )
    assert volume(Dig(cast=Casting.EARTH, overdig=2 * INCH)) == pytest.approx(
        6.173, rel=0, abs=5e-4
    )


def test_a_wider_trench_costs_its_four_corners_once() -> None:
    plan = jobs.rectangle(36, 24)
    drawn, dug = (
        footing_classes(jobs.in_ground(plan, dig=Dig(cast=cast, bucket=24 * INCH)))[0].area
        for cast in (Casting.FORMS, Casting.EARTH)
    )
    middle = 2 * (36 + 24) * FOOT - 4 * 8 * INCH  # the walls' centre line
    assert drawn == close(middle * 20 * INCH)
    assert dug == close(middle * 24 * INCH)


def test_where_thicknesses_meet_the_thicker_takes_the_ground() -> None:
    line = InteriorLine(
        name="G",
        start=(12 * FOOT, 0),
        end=(12 * FOOT, 24 * FOOT),
        start_on="A-B",
        end_on="C-D",
        thickness=8 * INCH,
        footing=Footing(width=16 * INCH, thickness=8 * INCH, outside=4 * INCH),
    )
    plan = jobs.rectangle(36, 24, interior=[line])
    thick, thin = footing_classes(jobs.in_ground(plan))
    assert (thick.thickness, thin.thickness) == (close(10 * INCH), close(8 * INCH))
    assert thin.area == close((24 * FOOT - 2 * 14 * INCH) * 16 * INCH)
    assert (thick.width, thin.width) == (close(20 * INCH), close(16 * INCH))


def test_pads_are_in_their_own_class_and_have_no_width() -> None:
    plan = replace(
        jobs.rectangle(36, 24),
        pads=(Pad(name="P", x=15, y=3, size=(0.6, 0.6), diameter=None, thickness=0.3),),
    )
    first = footing_classes(jobs.in_ground(plan))[0]
    assert (first.area, first.width) == (close(0.36), None)


def test_no_waste_gives_the_geometry() -> None:
    plan = jobs.rectangle(36, 24)
    *parts, whole = footing_items(jobs.in_ground(plan), 0.0)
    assert whole.quantity == close(sum(part.quantity for part in parts))
    assert footing_items(jobs.in_ground(plan), 0.1)[-1].quantity == close(1.1 * whole.quantity)


def test_a_slab_lies_between_the_walls() -> None:
    plan = replace(jobs.rectangle(36, 24), slab=Slab(top=None, thickness=0.1, base=0.1))
    assert jobs.in_ground(plan).floor.area == close(
        (36 * FOOT - 16 * INCH) * (24 * FOOT - 16 * INCH)
    )


def test_cast_walls_leave_their_openings_out() -> None:
    plan = jobs.rectangle(
        36, 24, openings=[Opening(wall="B-A", start=4 * FOOT, width=9 * FOOT, drop=8 * INCH)]
    )
    levels = jobs.level(plan)
    (part,) = wall_parts(jobs.in_ground(plan, levels), 3 * FOOT)
    *_, opening, whole = wall_items(jobs.in_ground(plan, levels), 3 * FOOT, 0.0)
    assert opening.quantity == close(-9 * FOOT * (8 * INCH) ** 2)
    assert whole.quantity == close(part.area * 3 * FOOT + opening.quantity)


def test_a_bank_is_said_to_form_no_footing() -> None:
    assert [each.kind for each in bank_notices(Dig(bank=1.0))] == ["bank-forms"]
    assert bank_notices(Dig(bank=1.0, cast=Casting.FORMS)) == ()


def test_concrete_that_fills_a_trench_wider_than_the_footing_is_said() -> None:
    plan = jobs.rectangle(36, 24)
    (told,) = wide_notices(plan, Dig(overdig=6 * INCH))
    drawn = plan.buildings[0].walls[0].footing.width
    lengths = {name: value for name, value in told.values if isinstance(value, Length)}
    assert lengths["drawn"].metres == close(drawn)
    assert lengths["dug"].metres == close(drawn + 12 * INCH)
    assert wide_notices(plan, Dig(overdig=6 * INCH, cast=Casting.FORMS)) == ()
    assert wide_notices(plan, Dig()) == ()


@pytest.mark.parametrize(
    ("volume", "count", "last"), [(8.5, 1, 8.5), (9.0, 1, 9.0), (9.01, 2, 0.01), (27.0, 3, 9.0)]
)
def test_all_loads_are_full_but_the_last(volume, count, last) -> None:
    pour = pour_of("footings", volume, OrderAsked(truck=9.0, minutes_per_load=30.0))
    assert (pour.count, pour.last, pour.minutes) == (count, close(last), 30.0 * count)


def test_trucks_are_held_against_the_stated_limit() -> None:
    asked = OrderAsked(truck=9.0, minutes_per_load=30.0, discharge_limit=90.0)
    few, many = pour_of("footings", 27.0, asked), pour_of("slab", 34.0, asked)
    assert load_notices([few], asked) == ()
    (told,) = load_notices([few, many], asked)
    assert dict(told.values)["fit"] == "3 trucks"
    assert dict(told.values)["what"] == "slab"
    slow = replace(asked, minutes_per_load=100.0)
    assert "bigger crew" in load_notices([few], slow)[0].text


def test_a_last_truck_under_half_full_is_a_short_load() -> None:
    # 9.87 cu yd in trucks of 9: the second brings 0.87, a tenth.
    asked = OrderAsked(discharge_limit=90.0)
    told = load_notices([pour_of("footings", 9.87 * YARD3, asked)], asked)
    assert [(each.kind, dict(each.values)["percent"]) for each in told] == [("short-load", 10)]
    assert load_notices([pour_of("footings", 13.5 * YARD3, asked)], asked) == ()


def test_a_limit_nobody_stated_is_asked_for() -> None:
    asked = OrderAsked(discharge_limit=None)
    assert [n.kind for n in load_notices([pour_of("all", 5.0, asked)], asked)] == ["no-limit"]


def test_pouring_starts_at_the_lowest_level() -> None:
    plan = replace(
        jobs.rectangle(36, 24),
        pads=(Pad(name="P", x=15, y=3, size=(0.6, 0.6), diameter=None, thickness=0.3),),
    )
    levels = jobs.level(plan)
    lower = PadAt(pad=plan.pads[0], bottom=-2.0, dig=-2.0, pier=None)
    found = pour_levels(jobs.in_ground(plan, replace(levels, pads=(lower,))), OrderAsked(waste=0.0))
    assert [each.walls for each in found] == [("P",), ("A-B", "B-C", "C-D", "D-A")]
    assert found[0].volume == close(0.36 * 0.3)
    classes = footing_classes(jobs.in_ground(plan))
    assert found[-1].total == pytest.approx(sum(c.volume for c in classes), rel=0, abs=1e-7)
