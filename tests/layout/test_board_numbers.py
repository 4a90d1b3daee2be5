"""Board numbers: the order in which one comes to the boards walking round the footing.

Every expected order is walked by hand on the drawing in the test's own words; the demo's is
measured along the footing's ring by shapely.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import shapely

from staking.footing.bands import footing_bands
from staking.footing.footing_outline import merge
from staking.kinds import StringKind
from staking.layout.board_numbers import BoardSpot, walking_order
from staking.layout.boards import StringsAndBoards, lay_out
from staking.plan import (
    Building,
    Corner,
    Existing,
    Footing,
    InteriorLine,
    Options,
    Pad,
    Plan,
    StayClear,
    Wall,
)
from staking.project.layout import load_job
from staking.project.resolve import resolve

FIXTURES = Path(__file__).parents[2] / "fixtures"
FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)

Places = list[tuple[float, float]]


def building(places: Places, names: str = "ABCDEFGH", standing: tuple[str, ...] = ()) -> Building:
    own = names[: len(places)]
    after = own[1:] + own[0]
    return Building(
        name=own,
        corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(own, places, strict=True)),
        walls=tuple(
            Wall(
                start=a,
                end=b,
                thickness=0.2,
                footing=FOOTING,
                existing=Existing() if f"{a}-{b}" in standing else None,
            )
            for a, b in zip(own, after, strict=True)
        ),
    )


def laid(*buildings: Building, **more) -> StringsAndBoards:
    plan = Plan(job="numbers", buildings=buildings, **more)
    bands, _ = footing_bands(plan)
    return lay_out(plan, Options(), bands, merge(bands))


def walked(found: StringsAndBoards) -> list[str]:
    """Each board's string and the corner it stands beyond, in the order of the numbers."""
    assert [board.name for board in found.boards] == [
        str(number) for number in range(1, len(found.boards) + 1)
    ]
    return [f"{board.string} at {board.end}" for board in found.boards]


BOX: Places = [(0, 0), (10, 0), (10, 6), (0, 6)]
ROUND_THE_BOX = [
    "A-D at A", "B-C at B", "A-B at B", "C-D at C", "B-C at C", "A-D at D", "C-D at D", "A-B at A",
]  # fmt: skip


def turned(places: Places, degrees: float) -> Places:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [(c * x - s * y + 300, s * x + c * y - 40) for x, y in places]


def test_the_walk_begins_beside_the_first_wall_and_ends_where_it_began() -> None:
    # from A's outer corner along the south side: first the board below A, last the one west of A
    assert walked(laid(building(BOX))) == ROUND_THE_BOX


def test_a_clockwise_outline_is_walked_anticlockwise_from_the_same_corner() -> None:
    # A, D, C, B is the same box drawn the other way round; strings have sorted names
    clockwise = building([BOX[0], BOX[3], BOX[2], BOX[1]], "ADCB")
    assert walked(laid(clockwise)) == ROUND_THE_BOX


@pytest.mark.parametrize("degrees", [17, 90, 123, 180, 270])
def test_turning_the_building_changes_no_number(degrees: float) -> None:
    assert walked(laid(building(turned(BOX, degrees)))) == ROUND_THE_BOX


def test_strings_name_the_same_boards_as_the_boards_name_strings() -> None:
    found = laid(building(BOX))
    by_name = {board.name: board for board in found.boards}
    for string in found.strings:
        for end, name in zip((string.start, string.end), string.boards, strict=True):
            assert name is not None
            assert by_name[name].string == string.name
            assert (by_name[name].x, by_name[name].y) == pytest.approx(end, abs=1e-9)


def test_the_walk_begins_at_the_corner_that_the_job_names_first() -> None:
    # the same box named from its north-east corner
    north_east = [BOX[2], BOX[3], BOX[0], BOX[1]]
    assert walked(laid(building(north_east))) == ROUND_THE_BOX


def test_a_jog_of_three_inches_keeps_the_walk_in_order() -> None:
    jog = 3 * 0.0254
    places = [(0, 0), (5, 0), (5, jog), (10, jog), (10, 6), (0, 6)]
    found = laid(building(places))
    bands, _ = footing_bands(Plan(job="jog", buildings=(building(places),)))
    assert_walked_in_order(found, merge(bands).outlines[0], (-0.15, -0.15))


def test_a_side_against_a_standing_building_ends_the_walk() -> None:
    # D-A stands: strings A-B and C-D end on it at A and D, with no board there
    found = laid(building(BOX, standing=("D-A",)))
    assert walked(found) == ["B-C at B", "A-B at B", "C-D at C", "B-C at C"]


def test_a_footing_in_two_parts_is_walked_part_by_part() -> None:
    # between two standing buildings: A-B first, C-D after it; no string has a board
    found = laid(building(BOX, standing=("B-C", "D-A")))
    assert walked(found) == []


def test_buildings_are_walked_in_turn() -> None:
    second = building([(40, 20), (50, 20), (50, 26), (40, 26)], "EFGH")
    moved = [each.translate(str.maketrans("ABCD", "EFGH")) for each in ROUND_THE_BOX]
    assert walked(laid(building(BOX), second)) == [*ROUND_THE_BOX, *moved]


def test_interior_lines_and_pads_come_after_the_outline() -> None:
    line = InteriorLine(
        name="G", start=(4, 0), end=(4, 6), start_on="A-B", end_on="C-D", thickness=0.2,
        footing=Footing(width=0.4, thickness=0.2, outside=0.1),
    )  # fmt: skip
    pads = tuple(
        Pad(name=f"P{i}", x=20.0, y=y, size=(0.6, 0.6), diameter=None, thickness=0.3, row="P")
        for i, y in enumerate((0.0, 3.0, 6.0), start=1)
    )
    order = walked(laid(building(BOX), interior=(line,), pads=pads))
    assert order[:8] == ROUND_THE_BOX
    # walking on: the south end of G, then east of the house the row's two ends, then G's north end
    assert order[8:] == ["G at G", "P at P1", "P at P3", "G at G"]


def test_boards_at_one_place_of_the_ring_come_by_the_nearer_and_then_by_string() -> None:
    plan = Plan(job="one place", buildings=(building(BOX),))
    footing = merge(footing_bands(plan)[0])
    # all three are nearest to B's outer corner (10.15, -0.15), at 5, 2 and 5 m
    spots = [
        BoardSpot(kind=StringKind.WALL, end="B", middle=(10.15 + 3, -0.15 - 4)),
        BoardSpot(kind=StringKind.WALL, end="B", middle=(10.15 + 1.2, -0.15 - 1.6)),
        BoardSpot(kind=StringKind.WALL, end="B", middle=(10.15 + 4, -0.15 - 3)),
    ]
    assert walking_order(plan, footing, spots) == [1, 0, 2]


def test_both_boards_of_a_sharp_corner_stand_at_one_place_and_keep_the_order_of_strings() -> None:
    # the strings run on past the same outer corner of the footing, equally far
    found = laid(building([(0, 0), (12, 0), (0, 7)]))
    assert [each for each in walked(found) if each.endswith("at B")] == ["A-B at B", "B-C at B"]


def assert_walked_in_order(
    found: StringsAndBoards, ring: tuple[tuple[float, float], ...], first: tuple[float, float]
) -> None:
    """Hold the numbers against the distance that shapely measures along the ring."""
    line = shapely.LinearRing(ring)
    assert line.is_ccw
    begin = line.project(shapely.Point(first))
    along = []
    for board in found.boards:
        x, y = (sum(each) / 2 for each in zip(*board.ends, strict=True))
        along.append((line.project(shapely.Point(x, y)) - begin) % line.length)
    assert along == sorted(along)


@pytest.mark.parametrize("name", ["orchard-workshop", "hillside-lot"])
def test_a_demo_is_walked_in_order_round_its_ring(name: str) -> None:
    layout = resolve(load_job(FIXTURES / name / "job.yaml")).layout
    own = boards_of_the_outline(layout)
    # the footing stands 6" out; its outer corner at A is the walk's first place
    assert_walked_in_order(own, layout.footing.outlines[0], (-0.1524, -0.1524))


def boards_of_the_outline(layout) -> StringsAndBoards:
    # the boards of the outline alone: G's come after them
    walls = {string.name for string in layout.strings if string.kind == "wall"}
    own = tuple(board for board in layout.boards if board.string in walls)
    assert [board.name for board in own] == [str(n) for n in range(1, len(own) + 1)]
    return StringsAndBoards(strings=layout.strings, boards=own, notices=())


def test_a_board_that_finds_no_place_takes_no_number() -> None:
    # a standing shed just east of B: A-B has no room there, so the numbers run on without it
    shed = StayClear(name="shed", corners=((10.4, -2), (13, -2), (13, 2), (10.4, 2)))
    found = laid(building(BOX), stay_clear=(shed,))
    assert "A-B at B" not in walked(found)
    assert {string.boards for string in found.strings if string.name == "A-B"} == {("7", None)}


def test_the_numbers_of_a_mirrored_box_follow_its_own_walk() -> None:
    mirrored = [(-x, y) for x, y in BOX]
    # A stands south-east now: the walk goes north from it, so D's corner comes before B's;
    # at each corner the board beyond the side just walked comes last
    assert walked(laid(building(mirrored))) == [
        "A-B at A", "C-D at D", "A-D at D", "B-C at C", "C-D at C", "A-B at B", "B-C at B",
        "A-D at A",
    ]  # fmt: skip
