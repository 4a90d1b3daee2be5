"""Room for overlaps, on walls made up step by step."""

from __future__ import annotations

import pytest

from staking.grade.notices.step_limits import overlap_notices
from staking.grade.stepped_footing import CellBounds
from staking.grade.stepping.course_levels import wall_profile
from staking.grade.stepping.step_rules import GradeRules, preset
from staking.grade.stepping.wall_network import build_network
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254


@pytest.mark.parametrize(
    ("faces", "courses", "said"),
    [
        # Twice the rise of 8" is 16", and the bank lies where the footing is higher.
        ([16], [8, 9], []),
        ([8], [8, 9], [(8, 8, "corner_run")]),
        ([8], [9, 8], []),
        ([280], [9, 8], [(280, 8, "corner_run")]),
        ([96, 104], [8, 9, 10], [(104, 8, "min_run")]),
        ([96, 104], [10, 9, 8], [(96, 8, "min_run")]),
        ([96, 104], [9, 8, 9], [(96, 8, "min_run"), (104, 8, "min_run")]),
        ([96, 104], [8, 9, 8], []),
        # Two courses at once ask for 32".
        ([30], [8, 10], [(30, 30, "corner_run")]),
    ],
)
def test_a_step_without_room_for_its_overlap_is_said(
    faces: list[float], courses: list[int], said: list[tuple[float, float, str]]
) -> None:
    strand = build_network(slopes.outline(slopes.rectangle(24, 16))).strand("A-B")
    bounds = CellBounds(
        wall="A-B",
        top=31.0,
        thickness=10 * INCH,
        edges=(0.0, *(face * INCH for face in faces), 24 * FOOT),
        frost=(30.0,) * len(courses),
        bearing=(30.0,) * len(courses),
        required=tuple(courses),
    )
    rules = GradeRules(frost_depth=1.0, rule=preset("NHBC strip"))
    profile = wall_profile(strand, bounds, courses, rules)
    found = [dict(one.values) for one in overlap_notices(profile, rules)]
    places = [(one["station"].metres / INCH, one["room"].metres / INCH) for one in found]  # type: ignore[union-attr]
    assert places == [pytest.approx(pair[:2], abs=1e-6) for pair in said]
    assert [one["key"] for one in found] == [pair[2] for pair in said]
