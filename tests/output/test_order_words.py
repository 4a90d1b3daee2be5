"""Quantities of an order in words."""

from __future__ import annotations

import pytest

from staking.notices import Area, Length
from staking.order.order_results import (
    Bulk,
    Carried,
    Item,
    Mass,
    Share,
    Turned,
    UnitMass,
    Volume,
    working,
)
from staking.order.ordered_by import Measured
from staking.output.tables.order.order_words import OrderWords, plain
from staking.plan import Options

FOOT = 0.3048
FEET, METRES = OrderWords(Options(unit="ft")), OrderWords(Options(unit="mm"))


@pytest.mark.parametrize(
    ("figure", "feet", "metres"),
    [
        (Length(2.5 * FOOT), "2.5 ft", "0.762 m"),
        (Length(5 / 3 * FOOT), "20 in / 12", "0.508 m"),
        (Length(0.0254 * 10.0625), "10.0625 in / 12", "0.2555875 m"),
        # A sixteenth that another unit's decimals leave a hair off, and a length that is none.
        (Length(0.0254 * 10.0625 + 5e-8), "10.0625 in / 12", "0.2555876 m"),
        (Length(0.0254 * 10.0625 + 2e-7), "0.8385423 ft", "0.2555877 m"),
        (Length(89 / 3 * FOOT), "29.66667 ft", "9.0424 m"),
        (Area(100 * FOOT**2), "100 sq ft", "9.290304 m2"),
        (Area(226.2222222 * FOOT**2), "226.2222 sq ft", "21.01673 m2"),
        (Volume(0.14 * FOOT**3), "0.14 cu ft", "0.003964359 m3"),
        (Carried(8.11138 * 27 * FOOT**3), "8.1114 cu yd", "6.2016 m3"),
        (Turned(54 * FOOT**3), "54.00 cu ft / 27 = 2.00 cu yd", "1.53 m3"),
        (Bulk(54 * FOOT**3), "2.00 cu yd", "1.53 m3"),
        (Mass(0.45359237), "1.0 lb", "0.5 kg"),
        (UnitMass(0.668 * 0.45359237 / FOOT), "0.668 lb/ft", "0.994094 kg/m"),
        (Share(0.05), "5 %", "5 %"),
        (12, "12", "12"),
        (0.5, "0.5", "0.5"),
        ("a\x1bb", "a?b", "a?b"),
    ],
)
def test_a_figure_is_written_for_a_calculator(figure, feet, metres) -> None:
    assert FEET.figure(figure) == feet
    assert METRES.figure(figure) == metres


def test_a_hair_over_a_quarter_is_seen_in_the_arithmetic() -> None:
    # 3.5037 reads as 3.50 to the hundredth, and is ordered as 3.75.
    assert FEET.figure(Bulk(3.5037 * 27 * FOOT**3)) == "3.5037 cu yd"
    assert FEET.figure(Bulk(3.5 * 27 * FOOT**3)) == "3.50 cu yd"
    assert METRES.figure(Bulk(2.251)) == "2.2510 m3"
    assert METRES.figure(Bulk(2.254)) == "2.2540 m3"
    assert METRES.figure(Bulk(2.249)) == "2.25 m3"


def ordered(quantity: float, *, up: bool) -> Item:
    return Item(
        group="concrete",
        what="concrete",
        quantity=quantity * 27 * FOOT**3,
        measured=Measured.BULK,
        arithmetic=working("{n}", n=1),
        up=up,
    )


@pytest.mark.parametrize(
    ("quantity", "written"),
    [(8.51, "8.75"), (8.75, "8.75"), (8.7537, "9.00"), (8.756, "9.00"), (8.75 + 1e-8, "8.75")],
)
def test_concrete_is_ordered_up_to_the_quarter(quantity, written) -> None:
    assert FEET.quantity(ordered(quantity, up=True)) == (written, "cu yd")


def test_what_only_goes_into_another_item_is_rounded_to_the_nearest() -> None:
    assert FEET.quantity(ordered(8.514, up=False)) == ("8.51", "cu yd")


@pytest.mark.parametrize(
    ("value", "text"), [(2.0, "2"), (2.50, "2.5"), (-0.0001, "0"), (100, "100")]
)
def test_a_number_has_no_trailing_zeros(value, text) -> None:
    assert plain(value, 2) == text


def test_a_volume_that_is_held_against_others_has_two_decimals_over_a_quarter_too() -> None:
    yards = 4.7525 * 27 * FOOT**3
    assert (FEET.bulk(yards), FEET.compared(yards)) == ("4.7525 cu yd", "4.75 cu yd")
    assert (METRES.bulk(6.2503), METRES.compared(6.2503)) == ("6.2503 m3", "6.25 m3")
    assert FEET.compared(8 * 27 * FOOT**3) == "8.00 cu yd"
