"""Block by wall and course: bond at corners, openings, steps, and where the module breaks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.kinds import Grout
from staking.order.block import course_blocks, fill_span
from staking.order.block_items import block_items, filled_cells, grout_notices
from staking.order.bolts import (
    bolt_item,
    bolt_notices,
    bolt_stations,
    plates,
    short_plates,
    wall_bolts,
)
from staking.order.bond import bond_notices
from staking.order.order_request import BlockAsked, OrderAsked
from staking.order.order_results import Piece
from staking.plan import Footing, InteriorLine, Opening
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
BLOCK = BlockAsked()
ELL = [(0, 0), (32, 0), (32, 24), (20, 24), (20, 32), (0, 32)]


def counted(plan, courses: int = 2, block: BlockAsked = BLOCK):
    return course_blocks(plan, jobs.level(plan, courses), block)


def bond(plan):
    thickness = {wall.name: wall.thickness for each in plan.buildings for wall in each.walls}
    levels = jobs.level(plan)
    return bond_notices(levels.network, thickness, 8 * INCH)


@pytest.mark.parametrize(
    ("inches", "whole", "halves", "cuts"),
    [(0, 0, 0, 0), (16, 1, 0, 0), (24, 1, 1, 0), (8, 0, 1, 0), (20, 1, 0, 1), (160.01, 10, 0, 0)],
)
def test_a_stretch_is_laid_in_whole_blocks_halves_and_a_cut(inches, whole, halves, cuts) -> None:
    found = fill_span(0.0, inches * INCH, BLOCK.length)
    assert (found.whole, found.halves, found.cuts) == (whole, halves, cuts)


def test_a_stretch_between_joints_begins_with_a_half() -> None:
    found = fill_span(8 * INCH, 32 * INCH, BLOCK.length, half_first=True)
    assert (found.whole, found.halves, found.cuts) == (1, 1, 0)


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (32, 0), (32, 24), (0, 24)],
        [(0, 0), (32, 0), (32, 22), (0, 22)],
        [(0, 0), (30, 0), (30, 22), (0, 22)],
        ELL,
        [(0, 0), (36, 0), (36, 24), (14, 24), (14, 32), (0, 32)],
        [(0, 0), (12, 0), (12, 10), (22, 10), (22, 0), (34, 0), (34, 20), (0, 20)],
    ],
)
def test_a_plan_on_the_module_needs_no_half_and_no_cut(points) -> None:
    plan = jobs.building(points)
    found = counted(plan)
    assert sum(each.halves + each.cuts for each in found) == 0
    assert bond(plan) == ()
    # A corner's block belongs to one wall in one course and to the other in the next.
    assert [sum(each.corners for each in found if each.course == c) for c in (1, 2)] == [
        len(points)
    ] * 2


def test_a_corner_pointing_in_adds_what_a_corner_pointing_out_takes() -> None:
    around = 2 * (32 + 32) * 12 / 16
    for course in (1, 2):
        own = [each.blocks for each in counted(jobs.building(ELL)) if each.course == course]
        assert sum(own) == around - (5 - 1) / 2


def test_a_mirrored_plan_takes_the_same_block() -> None:
    mirrored = [(-x, y) for x, y in ELL]
    assert [replace(each, wall="") for each in counted(jobs.building(ELL), 3)] == [
        replace(each, wall="") for each in counted(jobs.building(mirrored), 3)
    ]


def test_an_opening_dropped_one_course_takes_its_blocks_out() -> None:
    opening = Opening(wall="A-B", start=4 * FOOT, width=8 * FOOT, drop=8 * INCH)
    plain, cut = (
        counted(jobs.rectangle(32, 24, openings=openings)) for openings in ((), (opening,))
    )
    first = next(each for each in cut if each.wall == "A-B" and each.course == 1)
    assert (first.stretchers + first.corners, first.halves, first.cuts) == (24 - 6, 0, 0)
    assert [e for e in cut if e.course == 2] == [e for e in plain if e.course == 2]


def test_jambs_take_halves_in_every_other_course() -> None:
    opening = Opening(wall="B-A", start=8 * FOOT, width=8 * FOOT, drop=16 * INCH)
    found = counted(jobs.rectangle(32, 24, openings=(opening,)))
    assert [each.halves for each in found if each.wall == "A-B"] == [0, 2]


def test_an_opening_dropped_part_of_a_course_has_its_blocks_cut() -> None:
    opening = Opening(wall="A-B", start=4 * FOOT, width=8 * FOOT, drop=4 * INCH)
    found = counted(jobs.rectangle(32, 24, openings=(opening,)))
    first = next(each for each in found if each.wall == "A-B" and each.course == 1)
    assert (first.blocks, first.cuts) == (24, 6)


def test_a_step_stands_on_the_bond() -> None:
    plan = jobs.rectangle(32, 24)
    levels = jobs.level(plan, 3)
    first, *rest = levels.stretches
    shallow = replace(first, end=8 * FOOT, courses=2)
    levels = replace(levels, stretches=(shallow, replace(first, start=8 * FOOT), *rest))
    found = [each for each in course_blocks(plan, levels, BLOCK) if each.wall == "A-B"]
    assert [each.blocks + each.halves / 2 for each in found] == [24, 23, 18]
    assert [each.halves for each in found] == [0, 0, 0]


def test_an_interior_wall_butts_between_the_others() -> None:
    line = InteriorLine(
        name="G",
        start=(12 * FOOT, 0),
        end=(12 * FOOT, 24 * FOOT),
        start_on="A-B",
        end_on="D-C",
        thickness=8 * INCH,
        footing=Footing(width=16 * INCH, thickness=8 * INCH, outside=4 * INCH),
    )
    found = [e for e in counted(jobs.rectangle(32, 24, interior=[line])) if e.wall == "G"]
    assert [(each.stretchers, each.corners, each.halves) for each in found] == [(17, 0, 0)] * 2


def test_a_wall_off_the_module_says_who_would_have_to_move() -> None:
    plan = jobs.rectangle(32.25, 24)
    told = [each for each in bond(plan) if each.kind == "off-module"]
    assert [dict(each.values)["wall"] for each in told] == ["A-B", "C-D"]
    values = dict(told[0].values)
    assert values["mover"] == "B-C"
    assert values["over"].metres == pytest.approx(3 * INCH, rel=0, abs=1e-6)
    assert values["under"].metres == pytest.approx(5 * INCH, rel=0, abs=1e-6)
    assert all(each.cuts == 1 for each in counted(plan) if each.wall in {"A-B", "C-D"})


def test_a_wall_that_breaks_the_bond_at_its_corners_is_told() -> None:
    kinds = [each.kind for each in bond(jobs.rectangle(32, 24, wall=12))]
    assert kinds == ["corner-bond"]
    skew = jobs.building([(0, 0), (32, 0), (40, 24), (0, 24)])
    assert "corner-angle" in [each.kind for each in bond(skew)]


def test_a_wall_between_two_bonds_takes_the_cheaper() -> None:
    # 12' 4" is 9 1/4 blocks: through at both ends 10 are bought, at one end 8 3/4, so 9, at none
    # 8 1/4, so 9. One end each is 36 a course, both and none by turns 2 x 10 + 2 x 9 = 38.
    side = 12 + 4 / 12
    found = counted(jobs.rectangle(side, side), 12)
    assert sum(2 * each.blocks + each.halves for each in found) == 2 * 12 * 36


def test_a_plate_of_8_inches_is_said_to_have_no_bolt() -> None:
    jog = [(0, 0), (24, 0), (24, 16), (8, 16), (8, 16 + 2 / 3), (0, 16 + 2 / 3)]
    plan = jobs.building(jog)
    assert [each.kind for each in short_plates(plan, jobs.level(plan))] == ["bolt-none"]
    assert short_plates(jobs.rectangle(24, 16), jobs.level(jobs.rectangle(24, 16))) == ()


def test_block_is_counted_by_thickness() -> None:
    found = counted(jobs.rectangle(32, 24), 3)
    items = {item.what: item for item in block_items(found, BLOCK, OrderAsked(), 0.0)}
    assert items["blocks"].quantity + items["corner blocks"].quantity == 3 * 82


def test_grout_fills_all_cells_or_those_with_bars() -> None:
    found = counted(jobs.rectangle(32, 24), 3)
    dowel = Piece(what="dowels", where="A-B", size=4, length=1.0, count=5)
    assert filled_cells(found, replace(BLOCK, grout=Grout.ALL), (), ()) == 2 * 246
    assert filled_cells(found, replace(BLOCK, grout=Grout.NO), (dowel,), ()) == 0
    assert filled_cells(found, BLOCK, (dowel,), ()) == 15
    (*_, grout) = block_items(
        found, replace(BLOCK, grout=Grout.ALL), OrderAsked(waste=0.05), 2 * 100
    )
    # 0.28 cu ft a block.
    assert grout.quantity / FOOT**3 == pytest.approx(100 * 0.28 * 1.05, rel=0, abs=1e-6)


def test_the_grout_rule_is_told_to_be_for_one_thickness() -> None:
    assert grout_notices(BLOCK, [8 * INCH]) == ()
    assert [n.kind for n in grout_notices(BLOCK, [8 * INCH, 12 * INCH])] == ["grout-width"]


def test_bolts_stop_at_openings() -> None:
    opening = Opening(wall="B-A", start=4 * FOOT, width=8 * FOOT, drop=8 * INCH)
    plan = jobs.rectangle(32, 24, openings=(opening,))
    assert plates("A-B", 32 * FOOT, plan.openings) == (
        (0.0, pytest.approx(20 * FOOT, rel=0, abs=1e-9)),
        (pytest.approx(28 * FOOT, rel=0, abs=1e-9), 32 * FOOT),
    )
    bolts = wall_bolts(plan, jobs.level(plan), 6 * FOOT)
    assert [each.wall for each in bolts] == ["A-B", "A-B", "B-C", "C-D", "D-A"]
    (item,) = bolt_item(bolts)
    assert item.quantity == sum(len(each.stations) for each in bolts) == 4 + 2 + 5 + 6 + 5


def test_bolts_of_an_inside_wall_stand_between_the_walls_it_runs_to() -> None:
    line = InteriorLine(
        name="G",
        start=(12 * FOOT, 0.0),
        end=(12 * FOOT, 24 * FOOT),
        start_on="A-B",
        end_on="C-D",
        thickness=8 * INCH,
        footing=jobs.footing(16, 8),
    )
    plan = jobs.rectangle(32, 24, interior=(line,))
    (bolts,) = [b for b in wall_bolts(plan, jobs.level(plan), 6 * FOOT) if b.wall == "G"]
    # The plate is 22' 8" long and starts 8" from the outside face: 20' 8" in four spaces.
    stations = [20, 82, 144, 206, 268]
    assert bolts.stations == pytest.approx([s * INCH for s in stations], rel=0, abs=1e-9)


def test_a_dowel_is_grouted_from_the_footing_to_the_top_whatever_its_wall_leads() -> None:
    # Courses of a wall are 17 and 18 blocks long by turns: all six stand in the dowel's way.
    found = counted(jobs.rectangle(24, 16), 6)
    dowels = [
        Piece(what="dowels", where=name, size=4, length=1.0, count=n)
        for name, n in (("A-B", 9), ("B-C", 6), ("C-D", 9), ("D-A", 6))
    ]
    assert filled_cells(found, BLOCK, dowels, ()) == 30 * 6


def test_a_plate_too_short_for_two_bolts_has_none() -> None:
    assert bolt_stations(7 * INCH) == ()
    # 8 in however the metres came out: two bolts would stand an inch apart.
    for length in (8 * INCH, 0.2032, 2 / 3 * FOOT, 203.2 / 1000, 8.000001 * INCH):
        assert bolt_stations(length) == ()
    assert len(bolt_stations(9 * INCH)) == 2


def test_bolts_wider_apart_than_the_code_are_told() -> None:
    plan = jobs.rectangle(32, 24)
    bolts = wall_bolts(plan, jobs.level(plan), 8 * FOOT)
    assert [n.kind for n in bolt_notices(bolts, 8 * FOOT)] == ["bolt-spacing"]
    assert bolt_notices(bolts, 6 * FOOT) == ()
