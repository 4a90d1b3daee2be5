"""A long plan along the sheet: a quarter turn changes no length by a bit, no turn a figure."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from staking.job.build import parse_job
from staking.laid_out.lying_plan import lying_plan
from staking.layout.dimension_strings import dimension_strings
from staking.output.drawing.drawn_words import extent
from staking.project.resolve import resolve


def lying(outline: str):
    text = (
        f'job: Row\nbuilding:\n  {outline}\n  wall: 8"\n  footing: {{width: 20", thickness: 10"}}\n'
    )
    layout = resolve(parse_job(text, "job.yaml")).layout
    return layout, lying_plan(layout, dimension_strings(layout.plan))


@pytest.mark.parametrize("size", ["12' x 35'", "24' x 36'", "35' x 12'"])
def test_a_plan_less_than_three_times_as_long_as_wide_stays(size):
    assert lying(f"rectangle: {size}")[1] is None


def test_a_plan_long_from_left_to_right_is_not_turned():
    layout, plan = lying("rectangle: 90' x 12'")
    assert plan is not None
    assert not plan.is_turned
    assert plan.layout is layout


def test_a_long_plan_turned_on_the_grid_lies_along_the_sheet_with_its_lengths():
    # A row of 90' by 12', turned 17 degrees.
    sides = "sides: [N 73 00 00 E 90', N 17 00 00 W 12', S 73 00 00 W 90', S 17 00 00 E 12']"
    layout, plan = lying(sides)
    assert plan is not None
    assert plan.is_turned
    (building,) = plan.layout.plan.buildings
    low, high = extent(building.ring)
    assert high[0] - low[0] == pytest.approx(90 * 0.3048, rel=0, abs=1e-9)
    assert high[1] - low[1] == pytest.approx(12 * 0.3048, rel=0, abs=1e-9)
    # What is written is never measured on what is turned.
    assert [each.whole.length for each in plan.dimensions] == [
        each.whole.length for each in dimension_strings(layout.plan)
    ]


def test_a_plan_long_upward_is_turned_clockwise_to_the_bit():
    layout, plan = lying("rectangle: 12' x 90'")
    assert plan is not None
    assert plan.is_turned
    (before,), (after,) = layout.plan.buildings, plan.layout.plan.buildings
    # What was up is right: 90' of it, and nothing else moved.
    assert [corner.point for corner in after.corners] == [
        (corner.y, -corner.x) for corner in before.corners
    ]
    assert after.is_anticlockwise == before.is_anticlockwise
    for old, new in zip(layout.boards, plan.layout.boards, strict=True):
        assert new.name == old.name
        assert math.dist(*new.ends) == math.dist(*old.ends)
        assert (new.x, new.y) == (old.y, -old.x)
    lengths = [math.dist(a, b) for ring in layout.footing.outlines for a, b in pairwise(ring)]
    turned = [math.dist(a, b) for ring in plan.layout.footing.outlines for a, b in pairwise(ring)]
    assert turned == lengths
    assert [each.whole.length for each in plan.dimensions] == [
        each.whole.length for each in dimension_strings(layout.plan)
    ]
