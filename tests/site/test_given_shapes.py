"""Shapes through surveyed points that cross themselves, and setbacks left out or past the lot."""

from __future__ import annotations

import numpy as np
import pytest

from staking.errors import InputError
from staking.notices import Length
from staking.site.given_shapes import refuse_crossed_shapes, setback_notices
from staking.site.site_request import Setback, SiteAsked

SQUARE = np.array([(0.0, 0.0), (0.0, 30.0), (40.0, 30.0), (40.0, 0.0)])
NAMES = ["1", "2", "3", "4"]


def test_a_shape_named_across_is_refused_with_an_order_round_it() -> None:
    refuse_crossed_shapes({"barn": (NAMES, SQUARE)})
    crossed = SQUARE[[0, 2, 1, 3]]
    with pytest.raises(InputError) as caught:
        refuse_crossed_shapes({"barn": (["1", "3", "2", "4"], crossed), "shed": (NAMES, SQUARE)})
    (problem,) = caught.value.problems
    assert problem.message == "barn crosses itself: 1-3 and 2-4 meet"
    # Round it means round it: 1, 2, 3, 4 or the same backwards.
    assert problem.remedy in {
        f"name its points in order round it, such as {order}"
        for order in ("1, 2, 3, 4", "1, 4, 3, 2")
    }


def told(*setbacks: Setback, other: float | None = None) -> list[tuple[str, dict[str, object]]]:
    asked = SiteAsked(setbacks=setbacks, other_setback=other)
    return [(each.kind, dict(each.values)) for each in setback_notices(NAMES, SQUARE, asked)]


def test_setbacks_for_some_lines_name_the_lines_without() -> None:
    first = Setback(start="2", end="1", distance=5.0)
    assert told(first) == [("setbacks-left-out", {"given": "1-2", "without": "2-3, 3-4, 4-1"})]
    assert told(first, other=3.0) == []
    assert told(other=3.0) == []
    assert told() == []


def test_a_setback_may_be_as_deep_as_the_lot_and_no_deeper() -> None:
    # The lot reaches 40 from 1-2, which runs along the easting at northing 0.
    assert told(Setback(start="1", end="2", distance=40.0), other=1.0) == []
    assert told(Setback(start="1", end="2", distance=40.001), other=1.0) == [
        (
            "setback-fills-the-lot",
            {"setback": Length(40.001), "line": "1-2", "reach": Length(40.0)},
        )
    ]
