"""Published rules for stepped footings and for trenches, as printed.

- Ontario Building Code 2024, division B, 9.15.3.9: vertical rise between horizontal portions at
  most 600 mm, horizontal distance between risers at least 600 mm.
- NHBC Standards, 4.3.8 (nhbc-standards.co.uk): a step no higher than the foundation is thick;
  overlap in strips the largest of twice the step, the thickness (at most 500 mm) and 300 mm; in
  trench fill the larger of twice the step and 1 m.
- NZS 3604:2011, 6.11 and figure 6.12, as quoted in "Foundation walls: slopes"
  (underconstruction.placemakers.co.nz): overlap at least 450 mm; wall at most 2.0 m, 2.6 m at a
  step over at most 1.5 m.
- US Department of Agriculture, Agriculture Handbook 73, Wood-Frame House Construction (from
  memory): rise at most 3/4 of the run, run at least 24 in.
- Trenches: 29 CFR 1926.651(c)(2), a way out from a trench 4 ft deep; 1926.652(a)(1), protection
  from 5 ft on, and in a shallower one unless a competent person has looked and found no sign of a
  cave-in; none in stable rock.
"""

from __future__ import annotations

import pytest

from staking.errors import ComputationError
from staking.grade.notices.step_limits import height_notices
from staking.grade.stepped_footing import CellBounds
from staking.grade.stepping.course_levels import wall_profile
from staking.grade.stepping.step_rules import PRESETS, GradeRules, check_rise, overlap, preset
from staking.grade.stepping.wall_network import build_network
from staking.grade.trench_depth import PROTECTION, WAY_OUT
from tests.grade import slopes

INCH = 0.0254
MM = 0.001


@pytest.mark.parametrize(
    ("name", "rise_mm", "thickness_mm", "overlap_mm"),
    [
        ("NHBC strip", 100, 150, 300),
        ("NHBC strip", 200, 250, 400),
        ("NHBC strip", 150, 450, 450),
        ("NHBC strip", 150, 700, 500),
        ("NHBC strip", 300, 700, 600),
        ("NHBC trench fill", 300, 900, 1000),
        ("NHBC trench fill", 600, 900, 1200),
        ("New Zealand", 200, 200, 450),
    ],
)
def test_overlaps(name: str, rise_mm: float, thickness_mm: float, overlap_mm: float) -> None:
    reach = overlap(preset(name), rise_mm * MM, thickness_mm * MM)
    assert reach / MM == pytest.approx(overlap_mm, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "rise_mm", "thickness_mm"),
    [
        ("Ontario", 601, 250),
        ("NHBC strip", 251, 250),
        ("NHBC trench fill", 601, 600),
    ],
)
def test_rises_over_the_limit_are_refused(name: str, rise_mm: float, thickness_mm: float) -> None:
    with pytest.raises(ComputationError, match=f"A-B: {name}"):
        check_rise(preset(name), rise_mm * MM, thickness_mm * MM, "A-B")
    check_rise(preset(name), (rise_mm - 1) * MM, thickness_mm * MM, "A-B")


def test_runs_between_risers() -> None:
    ontario = GradeRules(frost_depth=1.2, min_run=0.2, rule=preset("Ontario"))
    assert ontario.run / MM == pytest.approx(600, abs=1e-9)
    practice = preset("united states practice")
    one = GradeRules(frost_depth=1.2, min_run=0.2, rule=practice)
    assert one.run / INCH == pytest.approx(24, abs=1e-9)
    three = GradeRules(frost_depth=1.2, min_run=0.2, max_step=3, rule=practice)
    assert three.run / INCH == pytest.approx(32, abs=1e-9)


@pytest.mark.parametrize(
    ("courses", "faces_mm", "told"),
    [
        # Courses of 200 mm over a wall of 6 m: 2.0 m is allowed anywhere.
        ([10], [], 0),
        ([11], [], 1),
        # 2.6 m over 1.5 m beside a step, not over 1.6 m, nor 2.8 m, nor between level ends.
        ([10, 13], [4500], 0),
        ([10, 13], [4400], 1),
        ([10, 14], [4500], 1),
        ([13, 10], [1500], 0),
        ([10, 12, 13], [4500, 5200], 0),
        ([10, 12, 13], [4300, 5200], 1),
        ([10, 11, 10, 11], [1000, 2000, 5000], 0),
    ],
)
def test_the_new_zealand_limits_of_a_wall_at_a_step(
    courses: list[int], faces_mm: list[float], told: int
) -> None:
    stations = [0.0, *(face * MM for face in faces_mm), 6.0]
    bounds = CellBounds(
        wall="A-B",
        top=10.0,
        thickness=0.2,
        edges=tuple(stations),
        frost=(9.0,) * len(courses),
        bearing=(9.0,) * len(courses),
        required=tuple(courses),
    )
    rules = GradeRules(frost_depth=0.3, course=200 * MM, rule=preset("New Zealand"))
    strand = build_network(slopes.outline([(0, 0), (6 / 0.3048, 0), (0, 9)])).strand("A-B")
    profile = wall_profile(strand, bounds, courses, rules)
    assert [one.kind for one in height_notices(profile, rules)] == ["wall-too-high"] * told
    assert height_notices(profile, GradeRules(frost_depth=0.3, course=0.2)) == ()


def test_without_a_rule_the_overlap_is_the_greater_of_six_inches_and_the_thickness() -> None:
    assert overlap(preset("none"), 8 * INCH, 4 * INCH) / INCH == pytest.approx(6, abs=1e-9)
    assert overlap(preset("none"), 8 * INCH, 10 * INCH) / INCH == pytest.approx(10, abs=1e-9)


def test_every_rule_has_a_source_and_an_unknown_one_is_refused() -> None:
    assert all(rule.source for rule in PRESETS)
    with pytest.raises(ComputationError, match="there is no step rule 'Utopia'"):
        preset("Utopia")


def test_trenches_four_and_five_feet_deep() -> None:
    feet = [limit / 0.3048 for limit in (WAY_OUT, PROTECTION)]
    assert feet == pytest.approx([4, 5], abs=1e-9)
