"""The drain beside the footing: lengths, inverts, room and high points worked out by hand."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import pytest

from staking.grade.stepping.wall_network import build_network
from staking.order.drain.drain_stations import DrainPlace, DrainStation
from staking.order.drain.outlets import Reach
from staking.order.drain.whole_drain import Drain, drain_of
from staking.order.order_request import DrainAsked, OutletAsked
from staking.order.wall_levels import Levels, LevelStretch
from staking.plan import Existing, Plan
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
EIGHTH = INCH / 8 / FOOT


def feet(value: float) -> object:
    """A length in feet, to well under a sixteenth of an inch."""
    return pytest.approx(value * FOOT, abs=1e-7)


def stepped(plan: Plan, bottoms: Mapping[str, Sequence[tuple[float, float]]]) -> Levels:
    """Levels by hand: each wall's runs as the station in feet they start at and their bottom."""
    network = build_network(plan)
    stretches = []
    for strand in network.strands:
        runs = bottoms[strand.name]
        ends = [start * FOOT for start, _ in runs[1:]] + [strand.length]
        for (start, bottom), end in zip(runs, ends, strict=True):
            stretches.append(
                LevelStretch(
                    strand=strand,
                    start=start * FOOT,
                    end=end,
                    dig_start=start * FOOT,
                    dig_end=end,
                    top=bottom * FOOT + strand.footing.thickness,
                    bottom=bottom * FOOT,
                    dig=bottom * FOOT,
                    courses=6,
                )
            )
    return Levels(network=network, stretches=tuple(stretches), steps=(), pads=(), course=8 * INCH)


def level_at(plan: Plan, bottom: float) -> Levels:
    """All footings with their bottom at one elevation in feet."""
    names = [strand.name for strand in build_network(plan).strands]
    return stepped(plan, {name: [(0.0, bottom)] for name in names})


def drained(levels: Levels, plan: Plan, **asked: object) -> Drain:
    return drain_of(plan, levels, DrainAsked(**asked), None, graded=True)  # type: ignore[arg-type]


def to(x: float, y: float, level: float = 90.0) -> OutletAsked:
    return OutletAsked(at=(x * FOOT, y * FOOT), level=level * FOOT)


def rows(drain: Drain, arm: int) -> list[DrainStation]:
    return [each for each in drain.stations if each.arm == arm]


def quantity(drain: Drain, what: str) -> float:
    return next(item.quantity for item in drain.items if item.what.startswith(what))


def kinds(drain: Drain) -> list[str]:
    return [each.kind for each in drain.notices]


def test_a_rectangle_by_hand() -> None:
    # 36' x 24', footing 20" x 10" under an 8" wall: 6" past the face. The trench is 12" wide, its
    # near edge 6" from the footing, its middle 18" from the face: 39' x 27', 132' round, 66' each
    # way. The outlet lies square off A-B at 16'.
    plan = jobs.rectangle(36, 24)
    drain = drained(level_at(plan, 97.0), plan, outlet=to(16, -21, 95.0), beside=6 * INCH)
    # From 16' on A-B that is 17 1/2' to the line's corner at A, 27' to that at D, and 21 1/2'
    # along C-D.
    assert sum(arm.length for arm in drain.arms) == feet(132.0)
    assert [arm.length for arm in drain.arms] == [feet(66.0), feet(66.0)]
    assert all(arm.fall == pytest.approx(EIGHTH, abs=1e-12) for arm in drain.arms)
    high, low = rows(drain, 1)[0], rows(drain, 1)[-1]
    assert high.kind is DrainPlace.HIGH
    assert high.wall == "C-D"
    # The line's corner at D lies 1 1/2' past D: 21 1/2' from it is 20' from D, 16' from C.
    assert high.station == feet(16.0)
    # The crown level with the footing's top: 97' 10" less 4".
    assert high.invert == feet(97.5)
    # 66' at 1/8": 8 1/4" lower, 96' 9 3/4"; its trench 2" lower, 96' 7 3/4", 4 1/4" under the
    # footing: of 6" 1 3/4" of room is left.
    assert (low.wall, low.station) == ("A-B", feet(16.0))
    assert low.invert == feet(96 + 9.75 / 12)
    assert low.trench == feet(96 + 7.75 / 12)
    assert low.room == feet(1.75 / 12)
    # From y = -1 1/2' to -21' are 19 1/2', at 1/4" 4 7/8"; there is 1' 9 3/4" of fall.
    (outlet,) = drain.outlets
    assert outlet.length == feet(19.5)
    assert outlet.reach is Reach.GRAVITY
    assert quantity(drain, "perforated") == feet(132.0)
    # 4 corners and a tee.
    assert quantity(drain, "drain fittings") == 5
    # 12" x 12" less a pipe of 4.215": 1 - 0.0969 sq ft; 132' of it.
    stone = 132 * (1 - math.pi / 4 * 4.215**2 / 144)
    assert quantity(drain, "washed stone") == pytest.approx(stone * FOOT**3, abs=1e-6)
    assert quantity(drain, "filter") == pytest.approx(132 * FOOT**2, abs=1e-6)


def test_the_fall_that_fits_is_used_beside_the_footing() -> None:
    # The same with the trench right beside the footing: 64' each way take 8" at 1/8". The pipe
    # may lie 6" over the footing's bottom at most and 2" at least: 4" in 64', a sixteenth a foot.
    plan = jobs.rectangle(36, 24)
    drain = drained(level_at(plan, 97.0), plan, outlet=to(16, -21, 95.0))
    assert [arm.fall * FOOT / INCH for arm in drain.arms] == [pytest.approx(4 / 64)] * 2
    assert rows(drain, 1)[-1].invert == feet(97 + 2 / 12)
    assert rows(drain, 1)[-1].room == feet(0.0)
    # 4" farther out the 8" would fit.
    said = next(each for each in drain.notices if each.kind == "drain-fall")
    values = dict(said.values)
    assert values["fall"].metres == pytest.approx(4 * INCH)
    assert values["asked"].metres == pytest.approx(8 * INCH)
    assert values["beside"].metres == pytest.approx(4 * INCH)
    assert "P2604.4" in said.text


def test_a_run_of_136_feet_would_undermine_a_footing_10_inches_thick() -> None:
    # 100' x 32': the line runs 102' x 34', 272' round, 136' each way. At 1/8" that is 17", and
    # under 10" of footing there are 4": 4" in 136', 1/34" a foot; 13" farther out 17" would fit.
    plan = jobs.rectangle(100, 32)
    drain = drained(level_at(plan, 97.0), plan, outlet=to(50, -30))
    assert [arm.length for arm in drain.arms] == [feet(136.0)] * 2
    assert [arm.fall * FOOT / INCH for arm in drain.arms] == [pytest.approx(1 / 34)] * 2
    assert min(each.room for each in drain.stations) == feet(0.0)
    said = dict(next(each for each in drain.notices if each.kind == "drain-fall").values)
    assert said["asked"].metres == pytest.approx(17 * INCH)
    assert said["beside"].metres == pytest.approx(13 * INCH)


def test_an_l_by_hand() -> None:
    # 30' x 30' with a corner of 12' x 12' cut out at the north-east: 120' round; 1' out all round
    # 8' more, the inside corner giving back what it takes: 128'.
    points = [(0, 0), (30, 0), (30, 18), (18, 18), (18, 30), (0, 30)]
    plan = jobs.building(points)
    drain = drained(level_at(plan, 97.0), plan, outlet=to(-40, -1))
    assert [arm.length for arm in drain.arms] == [feet(64.0)] * 2
    # From the line's corner at A, -1, -1: 32' to B's, 20' to C's, then 12' back along C-D to
    # its corner at D, 19, 19, which is the 64th foot: the high point stands at corner D.
    high = rows(drain, 1)[0]
    assert high.place == (feet(19.0), feet(19.0))
    assert high.corner == "D"
    assert quantity(drain, "drain fittings") == 4 + 1
    corners = [each.corner for each in drain.stations if each.kind is DrainPlace.CORNER]
    assert sorted(corners) == ["B", "C", "E", "F"]


def test_a_stepped_rectangle_by_hand() -> None:
    # 24' x 16' on a slope down along x: bottoms 97' 4" at A-D, one step of 8" at 12' on both long
    # walls, 96' 8" at B-C. The line runs 26' x 18' from -1, -1 to 25, 17.
    plan = jobs.rectangle(24, 16)
    high, low = 97 + 4 / 12, 96 + 8 / 12
    levels = stepped(
        plan,
        {
            "A-B": [(0, high), (12, low)],
            "B-C": [(0, low)],
            "C-D": [(0, low), (12, high)],
            "D-A": [(0, high)],
        },
    )
    drain = drained(levels, plan, outlet=to(60, 8, 94.0))
    # High in the middle of D-A, low in the middle of B-C; each arm 9 + 13 along the high level,
    # then 13 + 9 along the low one. 22' at 1/8" are 2 3/4", and 4" is the room: it fits.
    assert [arm.length for arm in drain.arms] == [feet(44.0)] * 2
    assert all(arm.fall == pytest.approx(EIGHTH, abs=1e-12) for arm in drain.arms)
    assert "drain-fall" not in kinds(drain)
    first = rows(drain, 1)
    assert [each.kind for each in first] == [
        DrainPlace.HIGH,
        DrainPlace.CORNER,
        DrainPlace.STEP,
        DrainPlace.BELOW_STEP,
        DrainPlace.CORNER,
        DrainPlace.LOW,
    ]
    assert [each.corner for each in first] == [None, "A", None, None, "B", None]
    start, turn, step, below, last, end = first
    # 97' 4" + 10" - 4" = 97' 10"; after 9' 1 1/8" lower, after 22' 2 3/4" lower.
    assert (start.invert, start.station) == (feet(97 + 10 / 12), feet(8.0))
    assert turn.invert == feet(97 + 8.875 / 12)
    assert (step.invert, step.station) == (feet(97 + 7.25 / 12), feet(12.0))
    # Over the line of 45 degrees: 97' 7 1/4" - 2" - 97' 4" = 1 1/4".
    assert step.room == feet(1.25 / 12)
    # Below the step 96' 8" + 6" = 97' 2", a drop of 5 1/4"; 13' and 9' on 1 5/8" and 1 1/8".
    assert below.invert == feet(97 + 2 / 12)
    assert last.invert == feet(97 + 0.375 / 12)
    assert end.invert == feet(96 + 11.25 / 12)
    # 88' of line and two drops of 5 1/4"; 4 corners, 2 fittings at each of 2 steps, a tee.
    assert quantity(drain, "perforated") == feet(88 + 10.5 / 12)
    assert quantity(drain, "drain fittings") == 4 + 4 + 1


def test_a_valley_has_a_low_point_of_its_own() -> None:
    # High at both ends of a long building, low between: a drain beside the footing cannot run up.
    plan = jobs.rectangle(48, 16)
    high, low = 97 + 4 / 12, 96 + 8 / 12
    levels = stepped(
        plan,
        {
            "A-B": [(0, high), (16, low), (32, high)],
            "B-C": [(0, high)],
            "C-D": [(0, high), (16, low), (32, high)],
            "D-A": [(0, high)],
        },
    )
    drain = drained(levels, plan, outlet=to(24, -30))
    assert len(drain.arms) == 4
    lows = [(each.low.wall, each.low.station) for each in drain.outlets]
    assert lows == [("A-B", feet(24.0)), ("C-D", feet(24.0))]
    assert "drain-low-points" in kinds(drain)
    assert "drain-under-building" in kinds(drain)
    for arm in range(1, 5):
        inverts = [each.invert for each in rows(drain, arm)]
        assert inverts == sorted(inverts, reverse=True)
    assert all(each.room >= -1e-9 for each in drain.stations)


def test_a_side_on_a_standing_building_has_no_drain() -> None:
    # 36' x 24' with D-A against a standing building: 1' outside three walls, 37' + 26' + 37'.
    plan = jobs.rectangle(36, 24)
    (house,) = plan.buildings
    walls = (*house.walls[:-1], replace(house.walls[-1], existing=Existing()))
    plan = replace(plan, buildings=(replace(house, walls=walls),))
    drain = drained(level_at(plan, 97.0), plan, outlet=to(60, 12, 90.0))
    assert sum(arm.length for arm in drain.arms) == feet(100.0)
    # Both arms start where the standing building ends them and meet in the middle of B-C.
    assert [arm.length for arm in drain.arms] == [feet(50.0)] * 2
    assert [rows(drain, i)[0].place for i in (1, 2)] == [
        (feet(0.0), feet(-1.0)),
        (feet(0.0), feet(25.0)),
    ]
    assert (drain.outlets[0].low.wall, drain.outlets[0].low.station) == ("B-C", feet(12.0))


def test_a_jog_shorter_than_the_line_stands_out_is_cut_across() -> None:
    # A jog of 7" in the south wall: the line 1' out follows it, 7" more in the whole of 120'.
    points = [(0, 0), (18, 0), (18, 7 / 12), (36, 7 / 12), (36, 24), (0, 24)]
    plan = jobs.building(points)
    drain = drained(level_at(plan, 97.0), plan, outlet=to(16, -21), beside=6 * INCH)
    assert sum(arm.length for arm in drain.arms) == feet(120 + 8 * 1.5)


def test_an_outlet_too_high_takes_a_sump_and_one_nearly_so_is_flat() -> None:
    plan = jobs.rectangle(36, 24)
    levels = level_at(plan, 97.0)
    # The low invert is 97' 2"; 20' to the outlet at 1/4" are 5": 96' 9" is the highest.
    for level, reach, kind in (
        (96.75, Reach.GRAVITY, "drain-gravity"),
        (96.80, Reach.FLAT, "drain-flat"),
        (97.20, Reach.SUMP, "drain-sump"),
    ):
        drain = drained(levels, plan, outlet=to(16, -21, level))
        assert drain.outlets[0].reach is reach
        assert kind in kinds(drain)
    assert quantity(drain, "sump") == 1
    assert not [item for item in drain.items if item.what.startswith("closed")]
    # 97.2 + 5" - 97' 2" = 5.4" too low.
    assert drain.outlets[0].lacking == feet(97.2 + 5 / 12 - 97 - 2 / 12)
    nowhere = drained(levels, plan)
    assert nowhere.outlets[0].reach is Reach.UNKNOWN
    assert "drain-nowhere" in kinds(nowhere)


def test_a_footing_too_thin_for_pipe_and_stone_is_not_undermined() -> None:
    # 5" of footing: 2" of stone and 4" of pipe stand 1" over its top, and there is no fall.
    plan = jobs.rectangle(36, 24, under=jobs.footing(20, 5))
    drain = drained(level_at(plan, 97.0), plan, outlet=to(16, -21))
    assert all(arm.fall == 0.0 for arm in drain.arms)
    assert all(each.room == feet(0.0) for each in drain.stations)
    said = dict(next(each for each in drain.notices if each.kind == "drain-high").values)
    assert said["over"].metres == pytest.approx(1 * INCH)


def test_stone_alone_by_hand() -> None:
    # 36' x 24', 10" thick, 6" past the face. 12" past a footing of 37' x 25': its middle runs
    # 38' x 26', 128', 12" wide and 16" high: 170.667 cu ft. Over the projection, 37' x 25' less
    # 36' x 24', 61 sq ft, 6": 30.5 cu ft.
    plan = jobs.rectangle(36, 24)
    drain = drained(level_at(plan, 97.0), plan, size=None)
    volume = 128 * 16 / 12 + 61 / 2
    assert quantity(drain, "washed stone") == pytest.approx(volume * FOOT**3, abs=1e-6)
    assert drain.stations == ()
    assert kinds(drain) == ["drain-stone"]


def test_without_levels_only_what_it_takes_is_worked_out() -> None:
    plan = jobs.rectangle(36, 24)
    drain = drain_of(plan, level_at(plan, 0.0), DrainAsked(outlet=to(16, -21)), None, graded=False)
    assert quantity(drain, "perforated") == feet(128.0)
    assert drain.stations == ()
    assert kinds(drain) == ["drain-no-levels"]


def test_what_is_added_to_the_benchmark_is_for_the_trench() -> None:
    plan = jobs.rectangle(36, 24)
    asked = DrainAsked(outlet=to(16, -21))
    drain = drain_of(plan, level_at(plan, 97.0), asked, 100 * FOOT, graded=True)
    # High: 97' 6" less 2" of stone is 97' 4"; 2' 8" under a benchmark at 100'.
    assert drain.stations[0].add == feet(2 + 8 / 12)
