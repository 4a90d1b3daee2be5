"""Bars of the footings: runs, laps, corners, steps, dowels, and the room they need."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.errors import ComputationError
from staking.order.bars.bars_in_footing import dowel_length, room_needed
from staking.order.bars.footing_bars import (
    cut_lists,
    lapped,
    steel_items,
    steel_notices,
    steel_pieces,
)
from staking.order.bars.laps import bar_name, diameter, mass_per_length
from staking.order.bars.straights import find_straights
from staking.order.order_request import SteelAsked
from staking.order.wall_levels import Levels
from staking.plan import Existing
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
STEEL = SteelAsked(bars=2, size=4, cover=3 * INCH, lap=30 * INCH, stock=20 * FOOT)


def close(value: float) -> object:
    return pytest.approx(value, rel=0, abs=1e-9)


def by_what(pieces) -> Counter[str]:
    counts: Counter[str] = Counter()
    for piece in pieces:
        counts[piece.what] += piece.count
    return counts


def test_a_rectangle_has_bars_along_it_and_at_its_corners() -> None:
    plan = jobs.rectangle(16, 12)
    pieces = steel_pieces(plan, jobs.level(plan), STEEL)
    assert by_what(pieces) == {"along the footing": 8, "corner bars": 8}
    # 16 ft and 6 in of footing past each corner, less 3 in of cover at each end.
    assert pieces[0].length == close(16 * FOOT + 6 * INCH)
    assert pieces[-1].length == close(60 * INCH)


@settings(deadline=None)
@given(st.floats(0.5, 60.0), st.floats(0.1, 2.0), st.floats(4.0, 12.0))
def test_lapped_lengths_add_up_to_the_run_and_its_laps(run, lap, stock) -> None:
    found = lapped(run, lap, stock)
    count = sum(n for _, n in found)
    assert sum(length * n for length, n in found) == close(run + (count - 1) * lap)
    assert all(lap <= length <= stock + 1e-9 for length, _ in found if count > 1)


def test_a_run_a_hair_longer_than_the_stock_is_lapped_once() -> None:
    assert sum(n for _, n in lapped(6.2, 0.762, 6.096)) == 2


@pytest.mark.parametrize(
    ("run", "lap", "stock", "message"),
    [(-0.1, 0.5, 6, "too short for a bar"), (7.0, 6.0, 6.0, "as long as the bars")],
)
def test_what_cannot_be_lapped_is_said(run, lap, stock, message) -> None:
    with pytest.raises(ComputationError, match=message):
        lapped(run, lap, stock)


def test_bars_run_through_a_wall_split_in_two() -> None:
    whole = jobs.rectangle(30, 12)
    split = jobs.building([(0, 0), (14, 0), (30, 0), (30, 12), (0, 12)])
    runs = find_straights(jobs.level(split))
    assert [run.name for run in runs.runs] == ["A-C", "C-D", "D-E", "E-A"]
    assert len(runs.corners) == 4
    assert [
        (piece.what, round(piece.length, 6), piece.count)
        for piece in steel_pieces(split, jobs.level(split), STEEL)
    ] == [
        (piece.what, round(piece.length, 6), piece.count)
        for piece in steel_pieces(whole, jobs.level(whole), STEEL)
    ]


def stepped(levels: Levels) -> Levels:
    """Wall A-B stepping down 8 in at 8 ft, the low level dug back to 7 ft; B-C low as well."""
    first, second, *rest = levels.stretches
    low = first.bottom - 8 * INCH
    high = replace(first, end=8 * FOOT, dig_end=7 * FOOT)
    under = replace(first, start=8 * FOOT, dig_start=7 * FOOT, bottom=low)
    return replace(levels, stretches=(high, under, replace(second, bottom=low), *rest))


def test_bars_stop_at_a_step_and_step_bars_lap_both() -> None:
    plan = jobs.rectangle(16, 12)
    pieces = steel_pieces(plan, stepped(jobs.level(plan)), STEEL)
    (step,) = (piece for piece in pieces if piece.what == "step bars" and piece.where == "A-B")
    assert (step.length, step.count) == (close(68 * INCH), 2)
    high, low = (piece for piece in pieces if piece.where == "A-B" and piece is not step)
    assert high.length == close(8 * FOOT + 6 * INCH - 6 * INCH)
    # The lower bars run on under the upper footing to the end of the overlap.
    assert low.length == close(9 * FOOT + 6 * INCH - 6 * INCH)


def test_dowels_stand_at_corners_and_no_farther_apart_than_asked() -> None:
    plan = jobs.rectangle(16, 13)
    steel = replace(STEEL, dowels=4 * FOOT)
    pieces = [p for p in steel_pieces(plan, jobs.level(plan), steel) if p.what == "dowels"]
    # Four spaces a wall, three dowels between; A's and B's corner dowels are A-B's, C's is B-C's,
    # D's is D-A's, the first by name of the walls that meet there.
    assert [piece.count for piece in pieces] == [5, 4, 3, 4]
    # A hook of 12 diameters, 7 in of footing above the cover, a lap of 30 in.
    assert {round(p.length / INCH, 6) for p in pieces} == {6 + 7 + 30}
    assert dowel_length(replace(steel, dowel_length=1.0), 0.3) == 1.0


def test_a_run_beside_a_standing_building_has_a_dowel_at_each_end() -> None:
    plan = jobs.rectangle(16, 12)
    home = plan.buildings[0]
    walls = (replace(home.walls[0], existing=Existing()), *home.walls[1:])
    plan = replace(plan, buildings=(replace(home, walls=walls),))
    steel = replace(STEEL, dowels=4 * FOOT)
    pieces = steel_pieces(plan, jobs.level(plan), steel)
    assert by_what(pieces)["dowels"] == 3 + 4 + 3 + 1
    assert by_what(pieces)["corner bars"] == 2 * 2


def test_a_dowel_is_cut_by_the_footing_it_stands_in() -> None:
    # Beside a standing building: B-C on 12 in of footing, D-A on 10, C-D on 8. At C the concrete is
    # 12 in thick, at D 10, and each free end has its own wall's.
    plan = jobs.rectangle(16, 12)
    home = plan.buildings[0]
    thick = {"B-C": 12, "C-D": 8, "D-A": 10}
    walls = tuple(
        replace(wall, existing=Existing())
        if wall.name == "A-B"
        else replace(wall, footing=replace(wall.footing, thickness=thick[wall.name] * INCH))
        for wall in home.walls
    )
    plan = replace(plan, buildings=(replace(home, walls=walls),))
    steel = replace(STEEL, dowels=4 * FOOT)
    pieces = [p for p in steel_pieces(plan, jobs.level(plan), steel) if p.what == "dowels"]
    # 12 ft: three spaces, two dowels between, and both corners; 16 ft: three between.
    found = {piece.where: (piece.count, round(piece.length / INCH, 6)) for piece in pieces}
    # A hook of 6 in, the footing above 3 in of cover, a lap of 30 in.
    assert found == {"B-C": (4, 45.0), "C-D": (3, 41.0), "D-A": (4, 43.0)}


def test_the_room_bars_need() -> None:
    # Two No. 4 bars an inch apart in 3 in of cover, and 1 1/2 in above them.
    assert room_needed(STEEL) == (close(8 * INCH), close(5 * INCH))
    assert room_needed(replace(STEEL, size=6, bars=1)) == (close(6.75 * INCH), close(5.75 * INCH))


def test_bars_are_weighed_as_bought() -> None:
    plan = jobs.rectangle(16, 12)
    lists = cut_lists(steel_pieces(plan, jobs.level(plan), STEEL), STEEL.stock)
    bars, weight = steel_items(lists)
    assert weight.quantity / 0.45359237 == pytest.approx(
        bars.quantity * 20 * 0.668, rel=0, abs=1e-6
    )


@pytest.mark.parametrize(("lap", "kinds"), [(24, ["short-lap"]), (30, [])])
def test_a_lap_under_the_published_one_is_told(lap, kinds) -> None:
    told = steel_notices(replace(STEEL, lap=lap * INCH), ())
    assert [each.kind for each in told] == kinds


@pytest.mark.parametrize(
    ("size", "kilograms"),
    [(10, 0.617), (12, 0.888), (16, 1.58), (20, 2.47), (25, 3.85), (32, 6.31)],
)
def test_a_bar_made_by_the_millimetre_weighs_what_tables_of_bars_print(size, kilograms) -> None:
    # Nominal weights, kg/m: EN 10080, from memory.
    assert mass_per_length(size) == kilograms
    assert diameter(size) == close(size / 1000)


def test_bars_are_named_as_they_are_bought() -> None:
    assert [bar_name(size) for size in (4, 8, 10, 12)] == ["No. 4", "No. 8", "10 mm", "12 mm"]
    plan = jobs.rectangle(16, 12)
    pieces = steel_pieces(plan, jobs.level(plan), replace(STEEL, size=12, stock=6.0))
    bars, weight = steel_items(cut_lists(pieces, 6.0))
    assert (bars.what, bars.price) == ("bars 12 mm", "bar 12 mm")
    assert weight.what == "weight of the bars 12 mm"


def test_more_concrete_is_due_over_a_twenty_millimetre_bar_than_over_a_sixteen() -> None:
    thin, thick = (room_needed(replace(STEEL, size=size))[1] for size in (16, 20))
    assert thick - thin == close(0.004 + 0.5 * INCH)
