"""Which tops and places are weighed, what the top must keep, and which row is marked."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from staking.kinds import FootingKind
from staking.notices import Severity, notice
from staking.plan import Options
from staking.site.site_request import PlaceByBearing
from staking.units import FOOT, INCH
from staking.weigh.candidates import (
    Candidate,
    candidates_of,
    moved_place,
    places_of,
    tops_of,
)
from staking.weigh.finer_places import SearchStep, first_step, round_about
from staking.weigh.floor_limits import limit_notices
from staking.weigh.weigh_request import (
    DoorAsked,
    FloorLimits,
    MoveAsked,
    SewerAsked,
    TopsAsked,
    WeighAsked,
)
from staking.weigh.weighed import Weighed, best_row, cheapest_rows, least_rows, weigh_notices
from staking.weigh.weighed_row import WeighColumn, WeighFigures, WeighRow

PLACE = PlaceByBearing(corner="A", wall="A-B", northing=100.0, easting=50.0, azimuth=6.2)


def levels(
    top: float, *walls: tuple[str, float, tuple[float, ...]], runs_off: tuple[float, ...] = ()
) -> SimpleNamespace:
    """Levels as far as they are read here: each wall's name, top and finished grade.

    `runs_off` are the lowest tops that let water run off, wall by wall.
    """
    return SimpleNamespace(
        water=[SimpleNamespace(top=each) for each in runs_off],
        request=SimpleNamespace(top_of_wall=top, rules=SimpleNamespace(course=8 * INCH)),
        walls=[
            SimpleNamespace(
                strand=SimpleNamespace(kind=FootingKind.WALL),
                profile=SimpleNamespace(wall=name, bounds=SimpleNamespace(top=own)),
                ground=SimpleNamespace(finished=np.array(grade)),
            )
            for name, own, grade in walls
        ],
    )


def feet(*values: float) -> tuple[float, ...]:
    return tuple(value * FOOT for value in values)


def test_tops_run_from_the_lowest_by_half_courses():
    asked = TopsAsked(lowest=102 * FOOT, highest=103 * FOOT)
    graded = levels(103 * FOOT)
    found = tops_of(asked, graded, veneer=False)
    assert found == pytest.approx(feet(102, 102 + 4 / 12, 102 + 8 / 12, 103), rel=0, abs=1e-9)
    found = tops_of(replace(asked, step=5 * INCH), graded, veneer=False)
    assert found == pytest.approx(feet(102, 102 + 5 / 12, 102 + 10 / 12), rel=0, abs=1e-9)


def test_without_a_range_tops_start_six_inches_over_the_highest_grade():
    # Highest grade 101' 4": 101' 10" is clear of it; half courses from 103' 0" down: 102' 0".
    graded = levels(103 * FOOT, ("A-B", 103 * FOOT, feet(99, 101 + 4 / 12)))
    found = tops_of(None, graded, veneer=False)
    assert found[0] == pytest.approx(102 * FOOT, rel=0, abs=1e-9)
    assert len(found) == 13
    assert found[-1] - found[0] == pytest.approx(6 * 8 * INCH, rel=0, abs=1e-9)
    assert any(abs(top - 103 * FOOT) < 1e-9 for top in found)
    # Behind veneer four inches do: 101' 8".
    assert tops_of(None, graded, veneer=True)[0] == pytest.approx(
        (101 + 8 / 12) * FOOT, rel=0, abs=1e-9
    )


def test_without_a_range_tops_start_where_water_runs_off():
    # Ten feet out the ground asks for 103' 1" at one wall: half courses from 103' 0" up: 103' 4".
    wall = ("A-B", 103 * FOOT, feet(99, 101 + 4 / 12))
    graded = levels(103 * FOOT, wall, runs_off=feet(100, 103 + 1 / 12))
    found = tops_of(None, graded, veneer=False)
    # The job's own top is among them, though water would stand there.
    assert found[:2] == pytest.approx(feet(103, 103 + 4 / 12), rel=0, abs=1e-9)
    assert len(found) == 14


def test_places_reach_as_far_as_they_may_and_the_place_as_written_comes_first():
    move = MoveAsked(north=5 * FOOT, turn=math.radians(3))
    found = places_of(move)
    north = sorted({each[0] / FOOT for each in found})
    assert north == pytest.approx([-5, -4, -2, 0, 2, 4, 5], rel=0, abs=1e-9)
    assert sorted({round(math.degrees(each[2]), 9) for each in found}) == [-3, 0, 3]
    assert {each[1] for each in found} == {0.0}
    rows = candidates_of(WeighAsked(move=move), (1.0, 2.0))
    assert len(rows) == 7 * 3 * 2
    assert rows[0].stays
    assert [row.top for row in rows[:2]] == [1.0, 2.0]


def test_a_move_turns_clockwise_about_the_placed_corner():
    moved = moved_place(PLACE, Candidate(top=0.0, north=2.0, east=-1.0, turn=0.5))
    assert (moved.northing, moved.easting) == (102.0, 49.0)
    assert moved.azimuth == pytest.approx((6.2 + 0.5) % (2 * math.pi), rel=0, abs=1e-12)
    assert moved_place(PLACE, Candidate(top=9.0)) is PLACE


def test_the_search_is_finer_about_the_best_place_and_never_leaves_the_reach():
    move = MoveAsked(north=2 * FOOT, east=2 * FOOT, turn=math.radians(3))
    step = first_step(move)
    assert step.move == pytest.approx(FOOT, rel=0, abs=1e-12)
    best = Candidate(top=1.0, north=2 * FOOT)
    near = round_about(best, step, move)
    assert len(near) == 5
    assert max(each.north for each in near) <= 2 * FOOT + 1e-9
    assert {each.top for each in near} == {1.0}
    assert step.half.half.move == pytest.approx(3 * INCH, rel=0, abs=1e-12)
    assert not step.half.half.is_done
    assert step.half.half.half.is_done
    assert SearchStep(move=1 * INCH, turn=0.0).is_done


@pytest.mark.parametrize(
    ("limits", "least"),
    [
        (FloorLimits(lowest=102 * FOOT), 102.0),
        # 101' 6" and 12", and 2 percent of 50' is 12" more (IRC R403.1.7.3).
        (FloorLimits(gutter=101.5 * FOOT), 102.5),
        (FloorLimits(gutter=101.5 * FOOT, gutter_run=50 * FOOT), 103.5),
        # 94' 3", 60' at 1/4" a foot are 15": 95' 6"; with 8' under the top 103' 6".
        (
            FloorLimits(
                sewer=SewerAsked(invert=94.25 * FOOT, run=60 * FOOT, fall=1 / 48, below=8 * FOOT)
            ),
            103.5,
        ),
    ],
)
def test_a_top_keeps_what_it_has_to_be_over(limits, least):
    assert limit_notices(limits, levels(least * FOOT)) == ()
    broken = limit_notices(limits, levels(least * FOOT - INCH / 16))
    assert [each.severity for each in broken] == [Severity.BROKEN]


def test_a_top_keeps_under_its_highest_and_within_the_risers_of_a_door():
    top = 104 * FOOT
    assert not limit_notices(FloorLimits(highest=top), levels(top))
    assert (
        limit_notices(FloorLimits(highest=top), levels(top + INCH / 16))[0].kind == "top-too-high"
    )
    # Three risers of 7 3/4" are 23 1/4".
    door = FloorLimits(doors=(DoorAsked(wall="B-A", risers=3),))
    grade = top - 23.25 * INCH
    assert not limit_notices(door, levels(top, ("A-B", top, (grade, top)), ("B-C", top, (0.0,))))
    lower = levels(top, ("A-B", top, (grade - INCH / 16, top)))
    assert [each.kind for each in limit_notices(door, lower)] == ["risers"]


def row(area: float, cost: float | None, *, broken: bool = False, dug: float = 1.0) -> WeighRow:
    figures = WeighFigures(
        steps=2, wall_area=area, blocks=10.0, concrete=1.0, dug=dug, fill=0.0, hauled=0.0,
        deepest=1.0, exposed=1.0, high_boards=0, cost=cost,
    )  # fmt: skip
    why = (notice("top-too-low", "it is too low", Severity.BROKEN),) if broken else ()
    return WeighRow(candidate=Candidate(top=area), figures=figures, broken=why)


def test_broken_rows_are_neither_least_nor_best():
    none = WeighRow(
        candidate=Candidate(top=0.0), figures=None, broken=row(1.0, 1.0, broken=True).broken
    )
    rows = [row(1.0, 5.0, broken=True), none, row(3.0, 20.0), row(2.0, 30.0), row(3.0, 20.0)]
    least = dict(least_rows(rows))
    assert least == {WeighColumn.WALL_AREA: (3,), WeighColumn.COST: (2, 4)}
    assert best_row(rows) == 2
    assert cheapest_rows(rows, 2) == (2, 4)
    assert cheapest_rows(rows, 9) == (2, 4, 3)
    weighed = Weighed(
        job="Invented", options=Options(), own=Candidate(top=1.0), rows=tuple(rows),
        least=least_rows(rows), best=best_row(rows),
    )  # fmt: skip
    assert weighed.is_least(4, WeighColumn.COST)
    assert not weighed.is_least(0, WeighColumn.COST)
    assert best_row(rows[:2]) is None
    assert {each.kind for each in weigh_notices(rows[:2], WeighAsked())} == {
        "weigh-none-stands",
        "weigh-priced",
    }


def test_without_prices_no_row_is_best():
    rows = [row(1.0, None), row(2.0, None)]
    assert best_row(rows) is None
    gutter = WeighAsked(limits=FloorLimits(gutter=1.0))
    kinds = [each.kind for each in weigh_notices(rows, gutter)]
    assert kinds == ["weigh-unpriced", "weigh-gutter-run"]
