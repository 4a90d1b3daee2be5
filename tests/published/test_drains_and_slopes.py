"""Drains beside footings, water at walls and setbacks from slopes, beside their clauses.

- Stone, pipe and filter: International Residential Code 2015, R405.1, read at
  thebuildingcodeforum.com: pipe on 2 in of stone with 6 in over it; stone alone 12 in past the
  footing and 6 in over its top. The clause gives no fall.
- A trench beside a footing: International Residential Code 2018, P2604.4, page 645: not below a
  plane that falls 45 degrees from the outside bottom edge.
- A closed pipe to the outlet, 1/4 in a foot: Green Building Advisor, read in a summary.
- Grade at walls: International Residential Code 2015, R401.3 (codes.iccsafe.org): 6 in within
  10 ft. Top of wall over grade, 6 in, and 4 in behind veneer: 2009, R404.1.6 (evstudio.com).
- Slopes: International Residential Code 2018, R403.1.7 (codeoperative.net) and its figure, as read
  in a county's summary of the California Residential Code and at almostanarchitect.com.

The inverts, the outlets and the stone of the worked drain are computed by hand from these rules.
"""

from __future__ import annotations

import math

import pytest

from staking.grade.beyond_walls import FALL, OUT
from staking.grade.notices.cover import TOP_CLEAR, VENEER_CLEAR
from staking.grade.slope_setback import FACE_MOST, FACE_SHARE, STEEP, TOE_MOST, TOE_SHARE
from staking.grade.stepping.wall_network import build_network
from staking.order.drain.beside_footings import drain_lines
from staking.order.drain.falling_arms import DrainRoom, fall_of
from staking.order.drain.outlets import OUTLET_FALL
from staking.order.drain.pipe_and_stone import (
    OVER_PIPE,
    PAST_FOOTING,
    UNDER_PIPE,
    outside_diameter,
)
from staking.order.drain.whole_drain import drain_of
from staking.order.order_request import DrainAsked
from staking.order.wall_levels import Levels, flat_levels
from staking.plan import Dig, Plan
from tests.order import jobs

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3


def printed(value: float, digits: int) -> object:
    return pytest.approx(value, rel=0, abs=0.5 * 10**-digits + 1e-9)


def test_the_figures_of_the_clauses() -> None:
    assert (UNDER_PIPE, OVER_PIPE, PAST_FOOTING) == (2 * INCH, 6 * INCH, 12 * INCH)
    assert (OUT, FALL) == (10 * FOOT, 6 * INCH)
    assert (TOP_CLEAR, VENEER_CLEAR) == (6 * INCH, 4 * INCH)
    assert (STEEP, TOE_SHARE, FACE_SHARE) == (1 / 3, 1 / 2, 1 / 3)
    assert (TOE_MOST, FACE_MOST) == (15 * FOOT, 40 * FOOT)
    assert pytest.approx(INCH / 4 / FOOT) == OUTLET_FALL
    assert outside_diameter(4 * INCH) == pytest.approx(4.215 * INCH)


def at(plan: Plan, bottom: float) -> Levels:
    """Footings on level ground with their bottom at an elevation in feet."""
    return flat_levels(plan, build_network(plan), Dig(depth=-bottom * FOOT), None)


def test_the_worked_drain() -> None:
    # Footing bottom 97.00, 8 in thick; the drain 120 ft round, half of it 60 ft at 1/8 in:
    # 97.333 at the high point, 0.625 lower 96.708, its trench 96.541, 0.459 under the footing: so
    # the trench's near edge stands 5 1/2 in out. The line is 4 + 5 1/2 + 6 in from the face, so
    # the building is 30 ft by 24 ft 10 in: 54.8333 + 4 x 15.5 / 12 = 60.
    plan = jobs.rectangle(30, 24 + 10 / 12, under=jobs.footing(16, 8))
    asked = DrainAsked(beside=5.5 * INCH)
    (line,) = drain_lines(plan, at(plan, 97.0), asked.beside + PAST_FOOTING / 2)
    assert line.length / FOOT == pytest.approx(120.0, abs=1e-9)
    room = DrainRoom(size=4 * INCH, under=UNDER_PIPE, beside=asked.beside)
    for arm in fall_of(line, room, asked.fall, (15 * FOOT, -40 * FOOT)):
        assert arm.lacking == 0.0
        assert arm.high.from_invert / FOOT == printed(97.333, 3)
        assert arm.low.to_invert / FOOT == printed(96.708, 3)
        trench = arm.low.to_invert - UNDER_PIPE
        # The trench is printed 96.541, cut off from 96.5417; under the footing 0.459 likewise.
        assert trench / FOOT == pytest.approx(96.541, abs=1e-3)
        assert 97.0 - trench / FOOT == pytest.approx(0.459, abs=1e-3)
        assert room.lowest(arm.low.piece) == pytest.approx(arm.low.to_invert, abs=1e-9)
        # 40 ft of closed pipe at 1/4 in are 10 in.
        assert (arm.low.to_invert - 40 * FOOT * OUTLET_FALL) / FOOT == printed(95.875, 3)
    # A sixteenth of an inch nearer and the fall does not fit any more.
    near = DrainRoom(size=4 * INCH, under=UNDER_PIPE, beside=asked.beside - INCH / 16)
    assert all(arm.lacking > 0 for arm in fall_of(line, near, asked.fall, None))
    # Perforated pipe laid level, with the same closed pipe: 97.333 - 0.833 = 96.50.
    assert printed(96.50, 2) == (97 + 4 / 12) - 40 * OUTLET_FALL


def test_the_worked_stone() -> None:
    # An 8 in footing that projects 4 in, 12 in past and 6 in over, with a pipe of 4.215 in in it:
    # 14/12 x 1 - 0.097 + 4 x 6 / 144 = 1.236 sq ft, 120 ft of it and four corners of 14/12 sq ft
    # are 153.0 cu ft. The hand counts the projection along the footing's edge; measured along its
    # middle it is 4 x 4 x 4 / 144 x 6 / 12 = 0.2 cu ft less.
    plan = jobs.rectangle(35 + 4 / 12, 23 + 4 / 12, under=jobs.footing(16, 8))
    drain = drain_of(plan, at(plan, 97.0), DrainAsked(size=None), None, graded=True)
    stone = drain.items[0].quantity / FOOT**3
    pipe = math.pi / 4 * (4.215 / 12) ** 2
    assert pipe == printed(0.097, 3)
    by_hand = 120 * (14 / 12 + 4 * 6 / 144) + 4 * 14 / 12
    assert by_hand - 120 * pipe == printed(153.0, 1)
    assert (by_hand - 120 * pipe) / 27 == printed(5.67, 2)
    assert stone == pytest.approx(by_hand - 4 * 4 * 4 / 144 * 6 / 12, abs=1e-6)
