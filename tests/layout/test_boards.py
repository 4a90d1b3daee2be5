"""Where boards stand. Invented plans; expected places are worked by hand in the comments."""

import math
from dataclasses import replace

import numpy as np
import pytest

from staking.footing.bands_and_outlines import Band
from staking.kinds import FootingKind
from staking.layout.boards import lay_out
from staking.layout.obstacles import Hulls, first_clear, inside_stretches, last_clear
from staking.plan import (
    BoardRules,
    Building,
    Corner,
    Dig,
    Existing,
    Footing,
    InteriorLine,
    Options,
    Plan,
    StayClear,
    Wall,
)

FOOT = 0.3048
STRIP = Footing(width=0.6, thickness=0.3, outside=0.2)


def outline(*points, existing=(), first="A"):
    names = [chr(ord(first) + i) for i in range(len(points))]
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    walls = []
    for start, end in zip(names, names[1:] + names[:1], strict=True):
        standing = Existing() if f"{start}-{end}" in existing else None
        walls.append(Wall(start=start, end=end, thickness=0.2, footing=STRIP, existing=standing))
    return Building(name=None, corners=corners, walls=tuple(walls))


def box(x0, y0, x1, y1, name="band"):
    return Band(name=name, kind=FootingKind.WALL, hull=((x0, y0), (x1, y0), (x1, y1), (x0, y1)))


def bands_of_box(x0, y0, x1, y1):
    """Four square-cornered bands of STRIP under a rectangle's walls."""
    o, i = 0.2, 0.4
    return (
        box(x0 - o, y0 - o, x1 + o, y0 + i),
        box(x1 - i, y0 - o, x1 + o, y1 + o),
        box(x0 - o, y1 - i, x1 + o, y1 + o),
        box(x0 - o, y0 - o, x0 + i, y1 + o),
    )


SHED = Plan(job="shed", buildings=(outline((0, 0), (10, 0), (10, 6), (0, 6)),))
SHED_BANDS = bands_of_box(0, 0, 10, 6)
ELL = Plan(job="ell", buildings=(outline((0, 0), (12, 0), (12, 5), (7, 5), (7, 9), (0, 9)),))
ELL_BANDS = (
    box(-0.2, -0.2, 12.2, 0.4),
    box(11.6, -0.2, 12.2, 5.2),
    box(6.6, 4.6, 12.2, 5.2),
    box(6.6, 4.6, 7.2, 9.2),
    box(-0.2, 8.6, 7.2, 9.2),
    box(-0.2, -0.2, 0.4, 9.2),
)


def board_at(laid, string, end):
    return next(b for b in laid.boards if (b.string, b.end) == (string, end))


def kinds(laid):
    return [n.kind for n in laid.notices]


def test_a_board_keeps_the_clearance_from_the_footing_and_that_is_said_once():
    laid = lay_out(SHED, Options(), SHED_BANDS)
    # Footing 0.2 past the corner, then 4 ft.
    for board in laid.boards:
        assert board.stand_off == pytest.approx(0.2 + 4 * FOOT, abs=1e-9)
        assert board.clear == pytest.approx(4 * FOOT, abs=1e-9)
    assert kinds(laid) == ["boards-clear-of-dig"]
    assert dict(laid.notices[0].values)["boards"] == "1 to 8"


def test_boards_are_numbered_in_string_order_start_before_end():
    laid = lay_out(SHED, Options(), SHED_BANDS)
    assert [(b.name, b.string, b.end) for b in laid.boards] == [
        ("1", "A-B", "A"), ("2", "A-B", "B"), ("3", "A-D", "A"), ("4", "A-D", "D"),
        ("5", "B-C", "B"), ("6", "B-C", "C"), ("7", "C-D", "C"), ("8", "C-D", "D"),
    ]  # fmt: skip
    assert [s.boards for s in laid.strings] == [("1", "2"), ("3", "4"), ("5", "6"), ("7", "8")]


def test_a_longer_stand_off_is_kept_as_asked():
    rules = BoardRules(stand_off=2.5)
    laid = lay_out(SHED, Options(boards=rules), SHED_BANDS)
    assert {round(b.stand_off, 9) for b in laid.boards} == {2.5}
    assert laid.notices == ()


def test_a_deep_dig_moves_boards_out_to_its_depth():
    laid = lay_out(SHED, Options(dig=Dig(depth=2.0)), SHED_BANDS)
    assert {round(b.clear, 9) for b in laid.boards} == {2.0}


def test_a_board_is_square_to_its_string_and_reaches_six_inches_past_its_marks():
    board = board_at(lay_out(SHED, Options(), SHED_BANDS), "A-B", "A")
    assert board.x == pytest.approx(-1.4192, abs=1e-9)
    # Marks from y = -0.2 (outer edge) to y = 0.4 (inner edge).
    assert sorted(y for _, y in board.ends) == pytest.approx([-0.3524, 0.5524], abs=1e-9)
    assert {round(x, 9) for x, _ in board.ends} == {round(board.x, 9)}


def test_an_exact_fit_at_the_clearance_stays_at_the_stand_off():
    rules = BoardRules(stand_off=1.4192, clearance=1.2192)
    laid = lay_out(SHED, Options(boards=rules), SHED_BANDS)
    assert laid.notices == ()
    assert {round(b.stand_off, 12) for b in laid.boards} == {1.4192}


def test_a_string_from_an_inside_corner_runs_on_past_the_far_side():
    laid = lay_out(ELL, Options(), ELL_BANDS)
    board = board_at(laid, "C-D", "D")
    # C-D runs west at y = 5 from the inside corner D; the west face is at x = 0.
    assert (board.x, board.y) == pytest.approx((-0.2 - 4 * FOOT, 5.0), abs=1e-9)
    assert board.stand_off == pytest.approx(0.2 + 4 * FOOT, abs=1e-9)
    (told,) = (each for each in laid.notices if each.kind == "string-runs-on")
    assert dict(told.values)["string"] == "C-D, D-E"
    assert told.text.startswith("strings {string} run on across the building: ")


def test_a_board_may_stand_inside_where_that_is_allowed_and_six_feet_clear():
    big = Plan(
        job="hall",
        buildings=(outline((0, 0), (30, 0), (30, 15), (20, 15), (20, 30), (0, 30)),),
    )
    bands = (
        box(-0.2, -0.2, 30.2, 0.4), box(29.6, -0.2, 30.2, 15.2), box(19.6, 14.6, 30.2, 15.2),
        box(19.6, 14.6, 20.2, 30.2), box(-0.2, 29.6, 20.2, 30.2), box(-0.2, -0.2, 0.4, 30.2),
    )  # fmt: skip
    laid = lay_out(big, Options(boards=BoardRules(inside_boards=True)), bands)
    board = board_at(laid, "C-D", "D")
    # The bands at the inside corner reach 0.4 inside; 6 ft beyond.
    assert board.x == pytest.approx(20 - 0.4 - 6 * FOOT, abs=1e-9)
    assert board.clear == pytest.approx(6 * FOOT, abs=1e-9)


def test_a_small_building_has_no_room_for_boards_inside():
    # From D at (7, 3) down to the south band is 2.6 - 0.4 = 2.2 m, less than twice 6 ft.
    points = ((0, 0), (12, 0), (12, 3), (7, 3), (7, 9), (0, 9))
    bands = (
        box(-0.2, -0.2, 12.2, 0.4), box(11.6, -0.2, 12.2, 3.2), box(6.6, 2.6, 12.2, 3.2),
        box(6.6, 2.6, 7.2, 9.2), box(-0.2, 8.6, 7.2, 9.2), box(-0.2, -0.2, 0.4, 9.2),
    )  # fmt: skip
    plan = Plan(job="ell", buildings=(outline(*points),))
    laid = lay_out(plan, Options(boards=BoardRules(inside_boards=True)), bands)
    assert board_at(laid, "D-E", "D").y == pytest.approx(-0.2 - 4 * FOOT, abs=1e-9)


def test_the_string_ends_at_a_mark_on_the_standing_building():
    building = outline((0, 0), (10, 0), (10, 6), (0, 6), existing=("D-A",))
    laid = lay_out(Plan(job="lean-to", buildings=(building,)), Options(), SHED_BANDS[:3])
    south = laid.strings[0]
    assert south.boards == (None, "1")
    assert south.start == (0.0, 0.0)
    assert kinds(laid).count("string-on-building") == 2


def test_a_string_that_runs_on_to_a_standing_building_ends_there():
    points = ((0, 0), (12, 0), (12, 5), (7, 5), (7, 9), (0, 9))
    plan = Plan(job="ell", buildings=(outline(*points, existing=("F-A",)),))
    laid = lay_out(plan, Options(), ELL_BANDS[:5])
    string = next(s for s in laid.strings if s.name == "C-D")
    assert string.boards[1] is None
    assert string.end == pytest.approx((0.0, 5.0), abs=1e-9)


def test_a_string_ends_before_a_shape_to_stay_clear_of_and_the_board_comes_nearer():
    # 1.3 m past the corner stands a house; the clearance is turned down to leave room.
    house = StayClear(name="house", corners=((11.3, -3), (15, -3), (15, 3), (11.3, 3)))
    rules = BoardRules(stand_off=2.0, clearance=0.6)
    laid = lay_out(replace(SHED, stay_clear=(house,)), Options(boards=rules), SHED_BANDS)
    board = board_at(laid, "A-B", "B")
    assert board.stand_off == pytest.approx(1.3, abs=1e-6)
    assert "board-reduced" in kinds(laid)


def test_where_nothing_is_clear_there_is_no_board_and_it_is_said():
    house = StayClear(name="house", corners=((11.0, -3), (15, -3), (15, 3), (11.0, 3)))
    laid = lay_out(replace(SHED, stay_clear=(house,)), Options(), SHED_BANDS)
    string = laid.strings[0]
    assert string.boards == ("1", None)
    assert string.end == pytest.approx((10.0, 0.0))
    none = next(n for n in laid.notices if n.kind == "no-board")
    assert dict(none.values) == {"string": "A-B", "end": "B", "stopped_by": "house"}


def test_later_boards_yield_to_earlier_ones_by_six_inches():
    # Two parallel strings half a metre apart end at the same x: their boards would overlap.
    points = ((0, 0), (10, 0), (10, 5), (0, 5), (0, 0.5), (-0.5, 0.5), (-0.5, 0.3), (0, 0.3))
    plan = Plan(job="jog", buildings=(outline(*points),))
    laid = lay_out(plan, Options(), (*bands_of_box(0, 0, 10, 5),))
    ends = [b.ends for b in laid.boards]
    gaps = [Hulls.of([a]).distance(b, np.arange(1)) for i, a in enumerate(ends) for b in ends[:i]]
    assert min(gaps) == pytest.approx(0.1524, abs=1e-9)
    assert "board-moved" in kinds(laid)


def test_an_interior_line_that_ends_on_another_runs_on_outside():
    strip = Footing(width=0.4, thickness=0.2, outside=0.1)
    cross = InteriorLine(
        name="G", start=(4, 0), end=(4, 6), start_on="A-B", end_on="C-D", thickness=0.2,
        footing=strip,
    )  # fmt: skip
    stub = InteriorLine(
        name="H", start=(4, 3), end=(10, 3), start_on="G", end_on="B-C", thickness=0.2,
        footing=strip,
    )  # fmt: skip
    laid = lay_out(replace(SHED, interior=(cross, stub)), Options(), SHED_BANDS)
    west, east = (b for b in laid.boards if b.string == "H")
    assert (west.x, east.x) == pytest.approx((-0.2 - 4 * FOOT, 10.2 + 4 * FOOT), abs=1e-9)
    # A line has two ends, so its own name would not tell at which of them a board stands.
    assert (west.past, east.past) == ("G", "B-C")
    south, north = (b for b in laid.boards if b.string == "G")
    assert {south.past, north.past} == {"A-B", "C-D"}


@pytest.mark.parametrize("turn", [0.0, 0.4, 2.0])
def test_a_round_corner_of_the_clearance_is_met_exactly(turn):
    # A board from -1 to 1 across the ray and a square whose corner is at (5, 1.6): with 1.0 to
    # keep, it is 0.6 to the side, so 0.8 along is left.
    c, s = math.cos(turn), math.sin(turn)
    square = [(5, 1.6), (7, 1.6), (7, 3), (5, 3)]
    hull = tuple((x * c - y * s, x * s + y * c) for x, y in square)
    blocked = Hulls.of([hull]).blocked((0.0, 0.0), (c, s), (-1.0, 1.0), 1.0, np.arange(1))
    assert blocked == [pytest.approx((4.2, 7.8), abs=1e-9)]


def test_a_slanting_edge_is_met_where_it_touches_the_circle():
    # The edge from (0, 3) to (3, 0) lies sqrt(4.5) from the origin; a point board, 1.0 to keep:
    # along y = 0 the line is met at 3 - sqrt(2), past which the hull goes on to (9, 0).
    hull = ((0.0, 3.0), (3.0, 0.0), (9.0, 0.0), (9.0, 3.0))
    blocked = Hulls.of([hull]).blocked((0.0, 0.0), (1.0, 0.0), (0.0, 0.0), 1.0, np.arange(1))
    # There the foot of the distance is (3 - sqrt(0.5), sqrt(0.5)), which lies on the edge.
    assert blocked == [pytest.approx((3 - math.sqrt(2), 10.0), abs=1e-9)]


def test_walking_out_and_in_stop_at_the_first_free_place():
    blocked = [(1.0, 2.0), (1.5, 3.0), (3.0, 4.0), (6.0, 7.0)]
    assert first_clear(1.2, blocked) == 3.0
    assert last_clear(6.5, blocked) == 6.0
    assert last_clear(2.5, blocked) == 1.0


def test_a_line_along_an_edge_is_not_inside():
    ring = np.array([(0, 0), (12, 0), (12, 5), (7, 5), (7, 9), (0, 9)], dtype=float)
    along_step = inside_stretches(ring, np.roll(ring, -1, axis=0), (0.0, 5.0), (1.0, 0.0))
    assert along_step == [(0.0, 7.0)]
    assert inside_stretches(ring, np.roll(ring, -1, axis=0), (0.0, 9.0), (1.0, 0.0)) == []
