"""What is said beside the levels: deep trenches, grade at the wall's top, sleeves, pads."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.notices.cover import grade_notices
from staking.grade.stepped_footing import Inside
from staking.grade.stepping.built_steps import as_built, sleeve_notices
from staking.grade.stepping.cells import SiteGround
from staking.grade.stepping.cheapest import GradeRequest, step_footings
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import build_network
from staking.grade.trench_depth import deep_stretches
from staking.plan import Pad, Sleeve
from tests.grade import slopes

FOOT = 0.3048
INCH = 0.0254


def slope(**changes: object) -> GradeRequest:
    """Invented: 24' x 16', falling an eighth along the long walls, frost at 42 inches."""
    request = slopes.requested(
        plan=slopes.outline(slopes.rectangle(24, 16)),
        site=SiteGround(existing=slopes.plane(lambda x, y: 100 * FOOT - x / 8)),
        rules=GradeRules(frost_depth=42 * INCH, in_ground=0, strip=0, corner_run=32 * INCH),
        top_of_wall=102 * FOOT,
    )
    return slopes.changed(request, **changes)  # type: ignore[arg-type]


def test_a_trench_is_deep_from_the_highest_ground_over_each_cell() -> None:
    request = slope()
    profile = step_footings(request).walls[0]
    strand = build_network(request.plan).strand("A-B")
    deep = deep_stretches(profile, strand, request.site, base=4 * INCH)
    assert [one.limit / FOOT for one in deep] == pytest.approx([4] * len(deep), abs=1e-9)
    # Bottom 95' 10" under the first stretch, 4" of stone, ground at most 100' 0 3/4" at A.
    assert deep[0].start == pytest.approx(0, abs=1e-9)
    assert deep[0].deepest / INCH == pytest.approx(54.75, abs=1e-6)
    assert deep_stretches(profile, strand, request.site, base=0.0)[0].deepest / INCH == (
        pytest.approx(50.75, abs=1e-6)
    )


def test_a_trench_is_deepest_where_the_lower_level_is_dug_into_the_bank() -> None:
    request = slope()
    profile = step_footings(request).walls[0]
    strand = build_network(request.plan).strand("A-B")
    built = as_built(profile, strand, request.rules)
    plain = deep_stretches(profile, strand, request.site)
    deep = deep_stretches(profile, strand, request.site, built=built)
    # The face at 5' 4", 10" of overlap to 4' 6"; the cell there starts at 4' 0" on ground 99' 6"
    # and is dug to 95' 2".
    assert built[0].dig_to / INCH == pytest.approx(54, abs=1e-6)
    assert not any(one.start / INCH < 50 < one.end / INCH for one in plain)
    (there,) = [one for one in deep if one.start / INCH < 50 < one.end / INCH]
    assert there.deepest / INCH == pytest.approx(52, abs=1e-6)


@pytest.mark.parametrize(
    ("fill", "veneer", "kinds"),
    [
        (10, False, []),
        (19, False, ["grade-near-top"]),
        (19, True, []),
        (30, False, ["grade-over-top"]),
    ],
)
def test_grade_near_the_top_of_the_wall(fill: float, veneer: bool, kinds: list[str]) -> None:
    # The footing's corner at A stands on ground 3/4" higher than the stake.
    request = slope(site=replace(slope().site, fill=(fill - 1.5) * INCH))
    profile = step_footings(request).walls[0]
    strand = build_network(request.plan).strand("A-B")
    told = grade_notices(profile, strand, request.site, veneer=veneer)
    assert [one.kind for one in told] == kinds


def test_grade_over_four_feet_above_the_inside_is_said() -> None:
    for below, kinds in ((3.9, []), (4.1, ["unbalanced"])):
        site = SiteGround(
            existing=slopes.plane(lambda x, y: 100 * FOOT),
            inside=Inside(grade=(100 - below) * FOOT, heated=True),
        )
        request = slope(site=site)
        profile = step_footings(request).walls[0]
        strand = build_network(request.plan).strand("A-B")
        assert [one.kind for one in grade_notices(profile, strand, site)] == kinds


def test_an_inside_over_the_top_of_the_wall_is_said() -> None:
    for over, kinds in ((-2, []), (3, ["inside-over-top"])):
        inside = Inside(grade=(102 * 12 + over) * INCH, heated=True)
        site = SiteGround(existing=slopes.plane(lambda x, y: 100 * FOOT), inside=inside)
        request = slope(site=site)
        profile = step_footings(request).walls[0]
        strand = build_network(request.plan).strand("A-B")
        assert [one.kind for one in grade_notices(profile, strand, site)] == kinds


def test_sleeves_through_a_footing_or_a_step_are_said() -> None:
    request = slope()
    profile = step_footings(request).walls[0]
    strand = build_network(request.plan).strand("A-B")
    built = as_built(profile, strand, request.rules)
    under = profile.levels[0].bottom
    cases = [
        (3.0, under + 2 * INCH, ["sleeve-footing"]),
        (3.0, under + 20 * INCH, []),
        (5.2, under - 4 * INCH, ["sleeve-step"]),
    ]
    for station, invert, kinds in cases:
        sleeve = Sleeve(wall="A-B", station=station * FOOT, invert=invert, size=4 * INCH)
        turned = replace(sleeve, wall="B-A", station=(24 - station) * FOOT)
        for one in (sleeve, turned):
            assert [told.kind for told in sleeve_notices(profile, built, (one,))] == kinds


def test_a_pad_has_its_own_level_and_pier() -> None:
    pad = Pad(
        name="P1",
        x=12 * FOOT,
        y=8 * FOOT,
        size=(2 * FOOT, 2 * FOOT),
        diameter=None,
        thickness=12 * INCH,
    )
    plan = replace(slope().plan, pads=(pad,))
    # Lowest ground under it 98' 4 1/2", less 42" of frost: 94' 10 1/2"; 102' less 12" and 10
    # courses is 94' 4", with 9 courses 95' 0".
    level = step_footings(slope(plan=plan)).pads[0]
    assert level.bottom / FOOT == pytest.approx(94 + 4 / 12, abs=1e-9)
    assert level.pier / INCH == pytest.approx(80, abs=1e-9)
    assert level.governs == "frost"
    warm = SiteGround(existing=slope().site.existing, inside=Inside(grade=99 * FOOT, heated=True))
    inside = step_footings(slope(plan=plan, site=warm)).pads[0]
    # Bearing alone: 98' 4 1/2" less nothing; 3 courses reach 99' 0", 4 reach 98' 4".
    assert inside.bottom / FOOT == pytest.approx(98 + 4 / 12, abs=1e-9)
    assert inside.governs == "bearing"


@pytest.mark.parametrize("mirror", [1, -1])
@pytest.mark.parametrize("upside_down", [1, -1])
@pytest.mark.parametrize("turn", [1, -1])
def test_a_pad_level_with_a_notchs_corner_is_inside_or_out_as_it_stands(
    mirror: int, upside_down: int, turn: int
) -> None:
    ell = [(0, 0), (24, 0), (24, 8), (12, 8), (12, 16), (0, 16)][::turn]
    corners = [(mirror * x, upside_down * y) for x, y in ell]
    pads = tuple(
        Pad(
            name=name,
            x=mirror * x * FOOT,
            y=upside_down * 8 * FOOT,
            size=(2 * FOOT, 2 * FOOT),
            diameter=None,
            thickness=12 * INCH,
        )
        for name, x in (("in", 6), ("out", 34), ("before", -10))
    )
    site = SiteGround(
        existing=slopes.plane(lambda x, y: 100 * FOOT), inside=Inside(grade=99 * FOOT, heated=True)
    )
    plan = replace(slopes.outline(corners), pads=pads)
    inside, *outside = step_footings(slope(plan=plan, site=site)).pads
    # Inside, bearing alone: 3 courses and 12" under 102' are 99'. Outside, 42" under 100' are
    # 96' 6": with 7 courses 96' 4".
    assert inside.bottom / FOOT == pytest.approx(99, abs=1e-9)
    assert [pad.bottom / FOOT for pad in outside] == pytest.approx([96 + 4 / 12] * 2, abs=1e-9)
