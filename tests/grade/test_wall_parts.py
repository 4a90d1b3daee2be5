"""Wall tops, sleeves, openings, slab, strings, the dig and fixed steps against one another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.graded import GradedWall
from staking.grade.notices.dig_and_bond import bond_notices, dig_notices
from staking.grade.notices.levels_without_ground import loose_level_notices
from staking.grade.notices.wall_parts import WallParts, part_notices, sleeve_faults
from staking.grade.stepped_footing import Inside, WallSteps
from staking.grade.stepping.step_rules import GradeRules
from staking.plan import Existing, Opening, Plan, Slab, Sleeve
from staking.units import Unit
from tests.grade import slopes
from tests.grade.graded import graded

FOOT = 0.3048
INCH = 0.0254

PLAN = slopes.outline(slopes.rectangle(24, 16))
RULES = GradeRules(frost_depth=30 * INCH)


def shed(top: float = 102.0) -> tuple[GradedWall, ...]:
    """Level ground at 100 feet; a footing of 10 inches, its bottom at or under 97' 6"."""
    request = slopes.requested(
        plan=PLAN,
        site=slopes.site(slopes.plane(lambda _x, _y: 100 * FOOT)),
        rules=RULES,
        top_of_wall=top * FOOT,
    )
    return graded(request).walls


# 102' less 10" less 6 courses of 8" is 97' 2", and of 5 it is 97' 10", which is too high.
WALLS = shed()


def parts(
    *,
    walls: tuple[GradedWall, ...] = WALLS,
    openings: tuple[Opening, ...] = (),
    sleeves: tuple[Sleeve, ...] = (),
    slab: float | None = None,
    inside: float | None = None,
    string: float | None = None,
) -> WallParts:
    made = None if slab is None else Slab(top=slab * FOOT, thickness=4 * INCH, base=0.0)
    return WallParts(
        plan=replace(PLAN, openings=openings, sleeves=sleeves, slab=made),
        walls=walls,
        inside=None if inside is None else Inside(grade=inside * FOOT),
        string=None if string is None else string * FOOT,
        unit=Unit.FT,
    )


def kinds(given: WallParts) -> list[str]:
    return [each.kind for each in part_notices(given)]


def test_the_footing_of_the_shed_is_where_its_sums_put_it() -> None:
    (level,) = WALLS[0].profile.levels
    assert level.bottom == pytest.approx((97 + 2 / 12) * FOOT, rel=0, abs=1e-9)


@pytest.mark.parametrize(("top", "said"), [(106.0, []), (106.1, ["top-over-ground"])])
def test_a_top_over_six_feet_out_of_the_highest_grade_is_said(top: float, said: list[str]) -> None:
    assert kinds(parts(walls=shed(top))) == said
    assert kinds(replace(parts(walls=shed(top)), is_top_over_ground=True)) == []


@pytest.mark.parametrize(
    ("slab", "inside", "said"),
    [
        (101.7, None, []),
        (103.0, None, []),
        (103.1, None, ["slab-over-wall"]),
        (100.0, None, []),
        (99.9, None, ["slab-under-ground"]),
        (99.0, 98.6, []),  # a basement, whose ground inside is given
        (97.0, 97.2, ["slab-under-ground", "inside-over-slab"]),
        (101.7, 101.8, ["inside-over-slab"]),
        (101.7, 97.1, ["inside-under-footing"]),
    ],
)
def test_the_slab_against_ground_wall_and_footing(
    slab: float, inside: float | None, said: list[str]
) -> None:
    assert kinds(parts(slab=slab, inside=inside)) == said


@pytest.mark.parametrize(("raised", "said"), [(4.9, 0), (5.1, 4), (-5.1, 4)])
def test_finished_grade_far_off_the_ground_is_said_wall_by_wall(raised: float, said: int) -> None:
    walls = tuple(
        replace(each, ground=replace(each.ground, finished=each.ground.existing + raised * FOOT))
        for each in shed(112.0)
    )
    given = replace(parts(walls=walls), is_top_over_ground=True)
    assert kinds(given) == []
    assert kinds(replace(given, has_finished_points=True)) == ["finished-off"] * said


@pytest.mark.parametrize("wall", ["A-B", "B-A"])
@pytest.mark.parametrize(
    ("drop", "slab", "said"),
    [
        (26, None, []),  # 102' less 26" is 2" under the grade of 100'
        (26.1, None, ["sill-under-grade"]),
        (8, 101.5, []),
        # The underside of a slab at 102' 6" is 102' 2", that of the sill 101' 8" and 101' 7".
        (4, 102.5, []),
        (5, 102.5, ["opening-under-slab"]),
    ],
)
def test_openings_against_grade_and_slab(
    wall: str, drop: float, slab: float | None, said: list[str]
) -> None:
    opening = Opening(wall=wall, start=4 * FOOT, width=9 * FOOT, drop=drop * INCH)
    assert kinds(parts(openings=(opening,), slab=slab)) == said


@pytest.mark.parametrize(
    ("string", "said"), [(114.0, []), (90.0, []), (114.1, ["strings-off"]), (89.9, ["strings-off"])]
)
def test_boards_on_another_zero(string: float, said: list[str]) -> None:
    assert kinds(parts(string=string)) == said


def sleeve(invert: float, wall: str = "A-B", station: float = 6.0) -> Sleeve:
    return Sleeve(wall=wall, station=station * FOOT, invert=invert * FOOT, size=4 * INCH)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (sleeve(99.0), ""),
        (sleeve(101 + 8 / 12), ""),  # its crown at the wall's top
        (sleeve(101.7), "over the top of the wall"),
        (sleeve(97.0), ""),  # through the footing: said elsewhere, and in the wall's line
        (sleeve(96 + 10 / 12), "under the footing"),  # its crown at the footing's bottom
        (sleeve(90.0), "under the footing"),
        # B-A from its far end: 18' from B is 6' from A, within the opening from 4' to 13'.
        (sleeve(101.2, "B-A", 18.0), "over the sill of the opening there"),
        (sleeve(101.2, "B-A", 4.0), ""),
        (replace(sleeve(99.0), invert=None), ""),
    ],
)
def test_a_sleeve_stands_within_its_wall(given: Sleeve, message: str) -> None:
    opening = Opening(wall="A-B", start=4 * FOOT, width=9 * FOOT, drop=8 * INCH)
    openings = (opening,) if given.wall == "B-A" else ()
    found = sleeve_faults(parts(openings=openings, sleeves=(given,)), lambda m: f"{m / FOOT:.2f}")
    assert [message in each.message for each in found] == ([True] if message else [])


@pytest.mark.parametrize(
    ("given", "deepest", "frost", "raised", "said"),
    [
        (0.0, 4.0, 3.0, 0.0, []),
        (3.5, 4.0, 3.0, 0.0, []),
        (2.9, 4.0, 3.0, 0.0, ["dig-over-frost"]),
        (2.9, 3.5, 3.0, 0.2, []),  # grade is raised over the dig
        (5.0, 4.0, 3.0, 0.0, []),
        (5.1, 4.0, 3.0, 0.0, ["dig-and-levels"]),
        (3.1, 4.2, 3.0, 0.0, ["dig-and-levels"]),
    ],
)
def test_the_dig_against_frost_and_levels(
    given: float, deepest: float, frost: float, raised: float, said: list[str]
) -> None:
    found = dig_notices(given * FOOT, deepest * FOOT, frost * FOOT, raised * FOOT)
    assert [each.kind for each in found] == said


@pytest.mark.parametrize(
    ("wall", "inches", "said"),
    [
        ("A-B", 80, 0),
        ("A-B", 77, 1),
        ("B-A", 80, 0),  # 24' are 36 half blocks of 8": either end will do
        ("C-B", 100, 1),
        ("A-C", 77, 0),
    ],
)
def test_steps_stand_on_half_blocks(wall: str, inches: float, said: int) -> None:
    found = bond_notices([WallSteps(wall=wall, fixed=(inches * INCH,))], WALLS, RULES)
    assert [each.kind for each in found] == ["step-off-bond"] * said
    assert bond_notices([WallSteps(wall=wall, fixed=())], WALLS, RULES) == ()


def test_the_two_places_beside_a_step_off_the_bond() -> None:
    # 77" lie between 72" and 80", 9 and 10 half blocks of 8".
    (said,) = bond_notices([WallSteps(wall="A-B", fixed=(77 * INCH,))], WALLS, RULES)
    values = dict(said.values)
    beside = [round(values[key].metres / INCH, 6) for key in ("before", "after")]  # type: ignore[union-attr]
    assert beside == [72.0, 80.0]


def loose(plan: Plan, boards_at: float | None = None) -> list[str]:
    at = None if boards_at is None else boards_at * FOOT
    return [str(dict(e.values)["name"]) for e in loose_level_notices(plan, at, Unit.FT)]


def test_levels_of_a_job_without_ground_are_held_against_the_slab_or_the_boards() -> None:
    slab = Slab(top=102 * FOOT, thickness=4 * INCH, base=0.0)
    pipe = replace(PLAN, slab=slab, sleeves=(sleeve(98.5),))
    assert loose(pipe, 103.0) == []
    assert loose(pipe, 130.0) == ["the boards"]
    assert loose(replace(pipe, sleeves=(sleeve(104.1),))) == ["the sleeve on A-B"]
    assert loose(replace(pipe, sleeves=(sleeve(89.9),))) == ["the sleeve on A-B"]
    assert loose(replace(pipe, slab=None, sleeves=(sleeve(985.0),)), 103.0) == ["the sleeve on A-B"]
    assert loose(replace(pipe, slab=None, sleeves=(sleeve(985.0),))) == []
    (building,) = PLAN.buildings
    old = replace(building.walls[3], existing=Existing(footing_bottom=69 * FOOT))
    beside = replace(pipe, buildings=(replace(building, walls=(*building.walls[:3], old)),))
    assert loose(beside) == ["the old footing along D-A"]
