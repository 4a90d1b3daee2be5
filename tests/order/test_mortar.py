"""Mortar by what a bag holds: bags, the sand that cement is mixed with, and what is said of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.order.mortar import mortar_items, mortar_notices
from staking.order.order_request import BlockAsked, MortarAsked, MortarKind, MortarType
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
BLOCK = BlockAsked()
CEMENT = MortarAsked()
PREBLENDED = MortarAsked(kind=MortarKind.PREBLENDED, type=None)


def test_masonry_cement_is_mixed_with_sand_that_is_ordered() -> None:
    # 1,000 block and a tenth, 35 a bag: 31.43, so 32 bags; 3 cu ft of sand a bag: 96, 3.56 cu yd.
    bags, sand = mortar_items(1000, BLOCK, CEMENT, 0.10)
    assert bags.what == "masonry cement, type S, 80 lb (36 kg) bags, to be mixed with sand"
    assert bags.quantity == 32
    assert sand.what == "mason's sand for the mortar, loose"
    assert sand.quantity / FOOT**3 == pytest.approx(96.0, abs=1e-9)
    assert sand.quantity / jobs.YARD3 == pytest.approx(3.56, rel=0, abs=0.005)
    assert sand.up


def test_preblended_mortar_has_its_sand_in_the_bag() -> None:
    # 1,100 at 12 1/2 a bag is 88 bags; at the 13 that a maker states 84.6, so 85.
    (bags,) = mortar_items(1000, BLOCK, PREBLENDED, 0.10)
    assert bags.what == "preblended mortar, 80 lb (36 kg) bags, the sand is in the bag"
    assert bags.quantity == 88
    (bags,) = mortar_items(1000, BLOCK, replace(PREBLENDED, block_per_bag=13.0), 0.10)
    assert bags.quantity == 85


def test_500_block_take_what_publishers_print() -> None:
    # Block-Laying Basics (hitpages.com): 15 bags for 500. Data sheet of Quikrete
    # Mortar Mix No. 1102: 13 a bag, so 39 bags.
    assert mortar_items(500, BLOCK, CEMENT, 0.0)[0].quantity == 15
    stated = replace(PREBLENDED, block_per_bag=13.0)
    assert mortar_items(500, BLOCK, stated, 0.0)[0].quantity == 39


def test_a_bag_goes_as_far_as_the_joints_are_long() -> None:
    # Joints a quarter longer: 28 to a bag; 246 blocks and a tenth are 9.66 bags.
    long = replace(BLOCK, length=20 * INCH, height=10 * INCH)
    assert mortar_items(246, long, CEMENT, 0.10)[0].quantity == 10


def test_no_block_takes_no_mortar() -> None:
    assert mortar_items(0, BLOCK, CEMENT, 0.10) == ()


def test_which_mortar_a_code_allows_is_said() -> None:
    assert [each.kind for each in mortar_notices(CEMENT)] == ["mortar-shaking"]
    assert "R606.2.8.3" in mortar_notices(CEMENT)[0].text
    assert [each.kind for each in mortar_notices(PREBLENDED)] == ["mortar-bag"]
    assert mortar_notices(replace(PREBLENDED, block_per_bag=13.0)) == ()
    weak = mortar_notices(replace(CEMENT, type=MortarType.N))
    assert [each.kind for each in weak] == ["mortar-type", "mortar-shaking"]
