"""How far builders' manuals set batter boards back, and what they must carry.

Sources
-------
- US Navy, NAVEDTRA 14069, Engineering Aid Basic, chapter 14 (engineeringtraining.tpub.com/14069,
  page 509): 3 to 4 ft outside each corner.
- US Army, FM 5-426, Carpentry, chapter 4: 3 or 4 ft (the distance is from memory).
- Canada Mortgage and Housing Corporation, Canadian Wood-Frame House Construction (lehal.net):
  at least 1.2 m (4 ft) beyond the excavation line.
- F. E. Kidder, Building Construction and Superintendence, part I, chapter I (chestofbooks.com): 6
  to 10 ft, by the ground; the board wide enough for the inside and outside wall lines and the
  footing.

The manuals' feet count from the corner or from the excavation; both are looked at. The plan is
invented.
"""

import pytest

from staking.footing.bands import dig_bands
from staking.layout.boards import lay_out
from staking.plan import BoardRules, Building, Corner, Dig, Footing, Options, Plan, Wall

FOOT = 0.3048


def house():
    names = "ABCD"
    points = [(0, 0), (40 * FOOT, 0), (40 * FOOT, 28 * FOOT), (0, 28 * FOOT)]
    # 8" wall on a 16" footing.
    footing = Footing(width=16 / 12 * FOOT, thickness=8 / 12 * FOOT, outside=4 / 12 * FOOT)
    walls = tuple(
        Wall(start=a, end=b, thickness=8 / 12 * FOOT, footing=footing)
        for a, b in zip(names, "BCDA", strict=True)
    )
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    return Plan(job="house", buildings=(Building(name=None, corners=corners, walls=walls),))


def boards_of(**given):
    options = Options(**given)
    bands, _ = dig_bands(house(), options.dig)
    return lay_out(house(), options, bands).boards


def test_the_stand_off_not_asked_for_is_the_manuals_three_to_four_feet():
    # NAVEDTRA 14069 and FM 5-426.
    assert 3 * FOOT <= BoardRules().stand_off <= 4 * FOOT


@pytest.mark.parametrize("feet", [3, 4])
def test_boards_stand_at_the_manuals_distance_outside_the_corner(feet):
    # NAVEDTRA 14069: the distance counts from the corner; the footing's clearance is turned off.
    rules = BoardRules(stand_off=feet * FOOT, clearance=0.0)
    for board in boards_of(boards=rules):
        x = max(-board.x, board.x - 40 * FOOT, 0.0)
        y = max(-board.y, board.y - 28 * FOOT, 0.0)
        assert max(x, y) == pytest.approx(feet * FOOT, abs=1e-9)


@pytest.mark.parametrize("dig", [Dig(), Dig(overdig=0.6), Dig(bank=1.0, depth=1.1)])
def test_boards_stand_1_2_m_beyond_the_excavation_line(dig):
    # CMHC: counted from the edge of the excavation, however wide it is dug.
    for board in boards_of(dig=dig):
        assert board.clear >= 1.2


@pytest.mark.parametrize("feet", [6, 10])
def test_boards_stand_six_to_ten_feet_out_where_the_ground_asks_it(feet):
    # Kidder.
    for board in boards_of(boards=BoardRules(stand_off=feet * FOOT)):
        assert board.stand_off == pytest.approx(feet * FOOT, abs=1e-9)


def test_a_board_is_wide_enough_for_both_wall_lines_and_the_footing():
    # Kidder: south board lines at the outside face, 8" inside it, and 4" past each face.
    board = next(b for b in boards_of() if (b.string, b.end) == ("A-B", "A"))
    low, high = sorted(y for _, y in board.ends)
    marks = {mark.mark: mark.y for mark in board.marks}
    assert marks == pytest.approx(
        {
            "outside face": 0.0,
            "inside face": 8 / 12 * FOOT,
            "outer footing edge": -4 / 12 * FOOT,
            "inner footing edge": 12 / 12 * FOOT,
        },
        abs=1e-9,
    )
    assert low < min(marks.values())
    assert max(marks.values()) < high
