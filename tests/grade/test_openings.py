"""Openings over an invented slope whose steps stand at 5' 4", 10' 8", 16' 0" and 21' 4"."""

from __future__ import annotations

import pytest

from staking.grade.notices.openings import opening_notices
from staking.grade.stepping.built_steps import as_built
from staking.grade.stepping.cheapest import step_footings
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.plan import Opening
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254
RULES = GradeRules(frost_depth=42 * INCH, in_ground=0, strip=0, corner_run=32 * INCH)


def told(start: float, width: float, drop: float, wall: str = "A-B") -> list[str]:
    """Kinds of what is said of an opening in feet, dropped by inches."""
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=slopes.site(slopes.plane(lambda x, y: 100 * FOOT - x / 8)),
        rules=RULES,
        top_of_wall=102 * FOOT,
    )
    profile = step_footings(request).walls[0]
    built = as_built(profile, build_network(request.plan).strand("A-B"), RULES)
    opening = Opening(wall=wall, start=start * FOOT, width=width * FOOT, drop=drop * INCH)
    return [one.kind for one in opening_notices(profile, built, (opening,), RULES)]


@pytest.mark.parametrize(
    ("start", "width", "drop", "kinds"),
    [
        (1, 3, 8, []),
        (4, 3, 8, ["opening-step"]),
        (5 + 4 / 12, 3, 8, []),
        # The overlap of 10" under the first step is dug back to 4' 6".
        (1, 3.6, 8, ["opening-overlap"]),
        (1, 3, 10, ["opening-bond"]),
        (1, 3, 48, []),
        (1, 3, 56, ["opening-courses"]),
        (1, 3, 72, ["opening-footing"]),
        (1, 3, 0, []),
    ],
)
def test_an_opening_is_held_against_the_steps_and_the_courses_left(
    start: float, width: float, drop: float, kinds: list[str]
) -> None:
    assert told(start, width, drop) == kinds
    assert told(24 - start - width, width, drop, "B-A") == kinds
    assert told(start, width, drop, "B-C") == []
