"""Fill, its loosening and the boards of forms against published figures.

- Loosening: US Army FM 5-434, Earthmoving Operations, load factors of sand (1.11 loose and 0.95
  compacted of 1.00 in place) and of common earth (1.25 and 0.90), from memory; an estimating text's
  example 9-3 for sand and gravel (1.15 and 0.95), as shown by issuhub.com.
- Depth of fill: International Residential Code, R506.2.1, 24 inches of sand or gravel and 8 inches
  of earth, as in a county's summary of the California Residential Code; exception and edition from
  memory.
- Boards: American Softwood Lumber Standard, PS 20-20 (NIST, October 2021), dressed dry sizes, as
  two tables of others give them.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.terrain.volume import level_facets
from staking.kinds import FillKind
from staking.notices import Severity
from staking.order.forms.lumber import BOARD_HEIGHTS, BOARD_THICKNESS, rows_high
from staking.order.order_request import LOOSE, FillAsked, OrderAsked
from staking.order.under_slab.bought_fill import BoughtFill
from staking.order.under_slab.fill_notices import fill_notices
from staking.order.under_slab.slab_fill import EARTH, EARTH_IN_PLACE, GRANULAR, slab_fill
from staking.plan import Slab
from tests.order import jobs

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3


def bought(deep: float, asked: FillAsked) -> BoughtFill:
    """A floor of 36' by 24' within its walls, filled so many inches on level ground."""
    plan = jobs.rectangle(36 + 16 / 12, 24 + 16 / 12)
    slab = Slab(top=deep * INCH, thickness=0.0, base=0.0)
    found = slab_fill(jobs.in_ground(replace(plan, slab=slab)), level_facets(0.0), 0.0, asked)
    return BoughtFill(asked=asked, slab=found, trench=None, held=(), truck=9 * YARD3)


def test_loosening_is_the_published_factors_to_the_percent() -> None:
    assert LOOSE[FillKind.SAND] == pytest.approx(1.11 / 0.95 - 1, rel=0, abs=0.005)
    assert LOOSE[FillKind.GRAVEL] == pytest.approx(1.15 / 0.95 - 1, rel=0, abs=0.005)
    assert EARTH_IN_PLACE == 0.90
    assert OrderAsked().swell == pytest.approx(1.25 - 1, rel=0, abs=1e-9)


def test_fourteen_inches_under_a_floor() -> None:
    # 24 x 36 ft, 14 in: 864 x 14/12 = 1,008 cu ft, 37.33 cu yd compacted; of sand 43.68 loose, of
    # sand and gravel 45.2, of earth 51.9; 43.68 / 9 = 4.85, 5 loads.
    sand = bought(14, FillAsked())
    assert sand.slab is not None
    assert sand.slab.floor / FOOT**2 == pytest.approx(864, rel=0, abs=1e-6)
    assert sand.slab.volume / FOOT**3 == pytest.approx(1008, rel=0, abs=1e-6)
    assert sand.slab.volume / YARD3 == pytest.approx(37.33, rel=0, abs=0.005)
    assert sand.under_slab / YARD3 == pytest.approx(43.68, rel=0, abs=0.005)
    assert sand.loads == 5
    gravel = bought(14, FillAsked(kind=FillKind.GRAVEL, loose=LOOSE[FillKind.GRAVEL]))
    assert gravel.under_slab / YARD3 == pytest.approx(45.2, rel=0, abs=0.05)
    # Earth compacted by 0.90 and loose by 1.25 of what it was in place: 1.389 loose.
    loose = sand.slab.volume / EARTH_IN_PLACE * (1 + OrderAsked().swell)
    assert loose / YARD3 == pytest.approx(51.9, rel=0, abs=0.05)


@pytest.mark.parametrize(
    ("deep", "asks", "severity"),
    [
        (8, "R506.2.1", None),
        (8 + 1 / 16, "may fill no more than 8 in", Severity.NOTE),
        (24, "may fill no more than 8 in", Severity.NOTE),
        (24 + 1 / 16, "more than that of clean sand or gravel", Severity.WARNING),
    ],
)
def test_the_depth_itself_is_allowed_and_the_least_more_is_said(
    deep: float, asks: str, severity: Severity | None
) -> None:
    assert (GRANULAR, EARTH) == (24 * INCH, 8 * INCH)
    (told,) = fill_notices(bought(deep, FillAsked()))
    assert (asks in told.text) == (severity is not None)
    assert told.severity is (severity or Severity.NOTE)


def test_boards_are_as_high_as_the_standard_has_them() -> None:
    inches = {name: height / INCH for name, height in BOARD_HEIGHTS.items()}
    assert inches == pytest.approx(
        {"2x4": 3.5, "2x6": 5.5, "2x8": 7.25, "2x10": 9.25, "2x12": 11.25}, rel=0, abs=1e-9
    )
    assert pytest.approx(1.5, rel=0, abs=1e-9) == BOARD_THICKNESS / INCH
    # An 8 in footing does not fit a 2x8 (7 1/4 in).
    assert rows_high(8 * INCH, BOARD_HEIGHTS["2x8"]) == 2
    assert rows_high(7.25 * INCH, BOARD_HEIGHTS["2x8"]) == 1
