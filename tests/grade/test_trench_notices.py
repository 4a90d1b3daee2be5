"""Deep trenches and standing sides of a job without levels, and the same words with levels."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.notices.trench_notices import flat_stretches, trench_notices, without_levels
from staking.grade.trench_depth import DeepStretch
from staking.notices import Length
from staking.plan import Existing
from tests.grade import slopes

FOOT = 0.3048


@pytest.mark.parametrize(
    ("feet", "kinds"),
    [
        # 29 CFR 1926.651(c)(2): a way out at 4 feet or more; 1926.652(a)(1): protection at 5.
        (3.99, []),
        (4.0, ["trench-way-out"]),
        (4.99, ["trench-way-out"]),
        (5.0, ["trench-way-out", "trench-protection"]),
        (0.0, []),
    ],
)
def test_four_and_five_feet_are_said_of_one_depth_all_round(feet: float, kinds: list[str]) -> None:
    plan = slopes.outline(slopes.rectangle(24, 16), [("cross", (12, 0), (12, 16))])
    told = without_levels(plan, feet * FOOT)
    assert [each.kind for each in told] == kinds
    for each in told:
        values = dict(each.values)
        assert values["walls"] == "A-B, B-C, C-D, D-A, cross"
        assert values["deepest"] == Length(feet * FOOT)


def test_the_words_are_those_of_a_job_with_levels() -> None:
    plan = slopes.outline(slopes.rectangle(24, 16))
    by_levels = [
        DeepStretch(wall=wall, limit=limit, start=0.0, end=1.0, deepest=6 * FOOT)
        for limit in (4 * FOOT, 5 * FOOT)
        for wall in ("A-B", "B-C", "C-D", "D-A")
    ]
    assert without_levels(plan, 6 * FOOT) == trench_notices(by_levels)
    lengths = {each.wall: each.end for each in flat_stretches(plan, 6 * FOOT)}
    assert lengths == pytest.approx(
        {"A-B": 24 * FOOT, "B-C": 16 * FOOT, "C-D": 24 * FOOT, "D-A": 16 * FOOT}, abs=1e-9
    )


@pytest.mark.parametrize(
    ("old", "depth", "said"),
    [
        (Existing(), 0.9, "nothing is known of its footing"),
        (Existing(), 0.0, "a dig whose depth is not given comes beside"),
        (Existing(footing_bottom=29.3), 0.9, "without levels nothing says whether"),
    ],
)
def test_a_standing_side_without_levels_is_always_said(
    old: Existing, depth: float, said: str
) -> None:
    plan = slopes.outline(slopes.rectangle(24, 16))
    (building,) = plan.buildings
    walls = (*building.walls[:3], replace(building.walls[3], existing=old))
    plan = replace(plan, buildings=(replace(building, walls=walls),))
    (told,) = without_levels(plan, depth)
    assert told.kind == "old-footing-not-judged"
    assert said in told.text
    assert "D-A" in dict(told.values).values()
