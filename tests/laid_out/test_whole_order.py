"""The order of a layout from values: concrete and dig by arithmetic, costs, what is assumed."""

from __future__ import annotations

import pytest

from staking.laid_out.layout_value import Layout
from staking.laid_out.whole_layout import footing_strips, lay_out_whole
from staking.laid_out.whole_order import costs_of, is_metric, order_of
from staking.order.order_request import OrderAsked
from staking.order.order_results import Item, Ordered
from staking.plan import Dig, Options
from tests.order.jobs import FOOT, YARD3, rectangle


def layout(unit: str = "ft", depth: float = 0.0) -> Layout:
    plan, options = rectangle(24, 16), Options(unit=unit, dig=Dig(depth=depth))
    return lay_out_whole(plan, options, footing_strips(plan), None, None)


def named(ordered: Ordered, what: str) -> Item:
    return next(each for each in ordered.items if what in each.what)


# The footing's edges stand 6" outside the walls' outside faces and 14" inside: 25 by 17 ft less
# 21' 8" by 13' 8" is its area; 10" thick.
AREA = 25 * 17 - (21 + 8 / 12) * (13 + 8 / 12)
CONCRETE = AREA * 10 / 12


def test_the_footings_concrete_is_its_area_times_its_thickness() -> None:
    ordered = order_of(layout(), OrderAsked())
    assert not ordered.graded
    pour = next(each for each in ordered.pours if each.what == "footings")
    # 5 % more for waste, up to the quarter of a cubic yard
    yards = CONCRETE / 27 * 1.05
    quarters = -(-yards // 0.25) * 0.25
    assert pour.volume / YARD3 == pytest.approx(quarters, rel=0, abs=1e-9)


def test_the_dig_is_the_footings_area_times_its_depth() -> None:
    ordered = order_of(layout(depth=4 * FOOT), OrderAsked(swell=0.25))
    dug = AREA * 4
    assert any(
        each.quantity / FOOT**3 == pytest.approx(dug, rel=0, abs=1e-6) for each in ordered.items
    )


def test_without_an_order_section_the_defaults_hold_and_that_is_said() -> None:
    plain, assumed = order_of(layout(), OrderAsked()), order_of(layout(), None)
    assert plain.items == assumed.items
    said = {each.kind for each in assumed.notices} - {each.kind for each in plain.notices}
    assert said == {"no-order-section"}


def test_only_what_has_a_price_is_priced_for_what_is_bought() -> None:
    ordered = order_of(layout(), OrderAsked(prices=(("concrete", 100.0 / YARD3),)))
    ((_, cost),) = ordered.costs
    quarters = -(-CONCRETE / 27 * 1.05 // 0.25) * 0.25
    assert cost == pytest.approx(100.0 * quarters, rel=0, abs=1e-6)
    assert costs_of(ordered.items, (), metric=False) == ()


@pytest.mark.parametrize(
    ("unit", "metric"), [("ft", False), ("us-ft", False), ("in", False), ("m", True), ("mm", True)]
)
def test_jobs_in_metres_buy_by_the_cubic_metre(unit: str, metric: bool) -> None:
    assert is_metric(layout(unit)) is metric
