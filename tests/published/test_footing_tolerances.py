"""Published tolerances of footings.

ACI 117-90, 3.3, top of footings, as reported by Concrete Construction, "Footing elevations"
(concreteconstruction.net). ACI 117M-10, section 3, location of edges, as reported by The
Constructor, "Tolerances for concrete foundations: ACI 117M" (theconstructor.org). Journal of Light
Construction, field guide, "Footings" (jlconline.com): straight and level 1/4 in in 20 ft. Widths
and thickness of ACI 117 are from memory.
"""

from __future__ import annotations

import math

import pytest

from staking.adjust.pour.poured_limits import (
    edge_limit,
    level_limit,
    thickness_limit,
    top_limit,
    width_limit,
)
from staking.kinds import Casting, WallMaterial

INCH = 0.0254
FOOT = 0.3048


def test_the_top_of_a_footing_under_masonry_is_within_half_an_inch() -> None:
    limit = top_limit(WallMaterial.MASONRY)
    assert (limit.less, limit.more) == pytest.approx((0.5 * INCH, 0.5 * INCH), rel=0, abs=1e-9)


def test_another_top_is_at_most_half_an_inch_high_and_two_low() -> None:
    limit = top_limit(WallMaterial.CONCRETE)
    assert (limit.less, limit.more) == pytest.approx((2 * INCH, 0.5 * INCH), rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("width", "carries", "allowed"),
    [
        (20 * INCH, WallMaterial.MASONRY, 0.4 * INCH),  # 2 % of 20 in
        (30 * INCH, WallMaterial.MASONRY, 0.5 * INCH),
        (20 * INCH, WallMaterial.CONCRETE, 0.5 * INCH),
        (60 * INCH, WallMaterial.CONCRETE, 1.2 * INCH),  # 2 % of 60 in
        (8 * FOOT, WallMaterial.CONCRETE, 2.0 * INCH),
    ],
)
def test_a_formed_edge_is_within_its_limit_both_ways(
    width: float, carries: WallMaterial, allowed: float
) -> None:
    limit = edge_limit(width, carries, Casting.FORMS)
    assert (limit.less, limit.more) == pytest.approx((allowed, allowed), rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("width", "cast", "more"),
    [
        (20 * INCH, Casting.FORMS, 2), (2 * FOOT, Casting.EARTH, 3), (3 * FOOT, Casting.EARTH, 6),
        (6 * FOOT, Casting.EARTH, 6), (7 * FOOT, Casting.EARTH, 12),
    ],
)  # fmt: skip
def test_a_footing_is_at_most_half_an_inch_narrow(width: float, cast: Casting, more: float) -> None:
    limit = width_limit(width, cast)
    assert (limit.less, limit.more) == pytest.approx((0.5 * INCH, more * INCH), rel=0, abs=1e-9)


def test_a_footing_is_at_most_five_percent_thin() -> None:
    limit = thickness_limit(10 * INCH)
    assert limit.less == pytest.approx(0.5 * INCH, rel=0, abs=1e-9)
    assert math.isinf(limit.more)


def test_a_footing_falls_at_most_a_quarter_inch_in_twenty_feet() -> None:
    assert level_limit(20 * FOOT).more == pytest.approx(0.25 * INCH, rel=0, abs=1e-9)
    assert level_limit(40 * FOOT).more == pytest.approx(0.5 * INCH, rel=0, abs=1e-9)


def test_every_limit_names_its_source() -> None:
    assert "ACI 117-90" in top_limit(WallMaterial.MASONRY).source
    assert "ACI 117M-10" in edge_limit(0.5, WallMaterial.MASONRY, Casting.EARTH).source
    assert "from memory" in width_limit(0.5, Casting.EARTH).source
    assert "from memory" in thickness_limit(0.3).source
    assert "field guide" in level_limit(1.0).source
