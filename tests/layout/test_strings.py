"""Which lines get a string, and what the boards at their ends carry. Invented plans."""

import pytest

from staking.footing.bands_and_outlines import Band
from staking.kinds import FootingKind
from staking.layout.boards import lay_out
from staking.plan import (
    Building,
    Corner,
    Dig,
    Existing,
    Footing,
    InteriorLine,
    Options,
    Pad,
    Plan,
    StayClear,
    Wall,
)

STRIP = Footing(width=0.6, thickness=0.3, outside=0.2)


def outline(*points, name=None, first="A", existing=()):
    names = [chr(ord(first) + i) for i in range(len(points))]
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    walls = []
    for start, end in zip(names, names[1:] + names[:1], strict=True):
        standing = Existing() if f"{start}-{end}" in existing else None
        walls.append(Wall(start=start, end=end, thickness=0.2, footing=STRIP, existing=standing))
    return Building(name=name, corners=corners, walls=tuple(walls))


def rectangle(**more):
    building = outline((0, 0), (10, 0), (10, 6), (0, 6))
    return Plan(job="shed", buildings=(building,), **more)


def notch(**more):
    """A U open to the north: its two legs end on one line."""
    building = outline((0, 0), (30, 0), (30, 9), (20, 9), (20, 3), (10, 3), (10, 9), (0, 9))
    return Plan(job="court", buildings=(building,), **more)


def strings_of(plan, dig=None, bands=()):
    options = Options(dig=dig or Dig())
    return lay_out(plan, options, tuple(bands)).strings


def test_every_wall_of_a_rectangle_gets_one_string_named_from_the_corner_that_sorts_first():
    strings = strings_of(rectangle())
    assert [(s.name, s.walls) for s in strings] == [
        ("A-B", ("A-B",)),
        ("A-D", ("D-A",)),
        ("B-C", ("B-C",)),
        ("C-D", ("C-D",)),
    ]


def test_walls_on_one_line_share_a_string_that_passes_all_their_corners():
    string = next(s for s in strings_of(notch()) if "C-D" in s.walls)
    assert (string.name, string.walls) == ("C-H", ("C-D", "G-H"))
    first = string.passes[0].from_start
    assert [(p.name, round(p.from_start - first, 9)) for p in string.passes] == [
        ("C", 0.0),
        ("D", 10.0),
        ("G", 20.0),
        ("H", 30.0),
    ]


@pytest.mark.parametrize(("out", "shared"), [(0.0004, True), (0.0006, False)])
def test_walls_share_a_string_within_half_a_millimetre(out, shared):
    building = outline(
        (0, 0), (30, 0), (30, 9), (19, 9), (19, 3), (10, 3), (10, 9 + out), (0, 9 + out)
    )
    strings = strings_of(Plan(job="court", buildings=(building,)))
    assert any(s.walls == ("C-D", "G-H") for s in strings) is shared


def test_a_shape_to_stay_clear_of_between_two_walls_parts_their_string():
    tree = StayClear(name="oak", corners=((14, 8), (16, 8), (16, 10), (14, 10)))
    laid = lay_out(notch(stay_clear=(tree,)), Options(), ())
    walls = [s.walls for s in laid.strings]
    assert ("C-D",) in walls
    assert ("G-H",) in walls
    parted = [n for n in laid.notices if n.kind == "string-parted"]
    assert [dict(n.values)["what"] for n in parted] == ["oak"]


def test_an_existing_side_has_no_string():
    building = outline((0, 0), (10, 0), (10, 6), (0, 6), existing=("D-A",))
    strings = strings_of(Plan(job="lean-to", buildings=(building,)))
    assert [s.name for s in strings] == ["A-B", "B-C", "C-D"]


def test_marks_are_measured_from_the_outside_face_away_from_the_building():
    laid = lay_out(rectangle(), Options(), ())
    board = laid.boards[0]
    assert {(m.mark, round(m.offset, 9)) for m in board.marks} == {
        ("outside face", 0.0),
        ("inside face", -0.2),
        ("outer footing edge", 0.2),
        ("inner footing edge", -0.4),
    }
    # The south wall faces south, so away from the building is down the page.
    assert {(m.mark, round(m.y, 9)) for m in board.marks} == {
        ("outside face", 0.0),
        ("inside face", 0.2),
        ("outer footing edge", -0.2),
        ("inner footing edge", 0.4),
    }


def test_a_wider_dig_adds_its_two_lines_to_the_boards():
    # 0.1 over-dig, and a bank of 1/2 at 0.8 deep: 0.1 + 0.4 past each edge.
    laid = lay_out(rectangle(), Options(dig=Dig(overdig=0.1, bank=0.5, depth=0.8)), ())
    lines = [m.offset for m in laid.boards[0].marks if m.mark == "dig line"]
    assert lines == pytest.approx([0.7, -0.9], abs=1e-12)


def test_a_wide_bucket_widens_a_narrow_footing_alone():
    laid = lay_out(rectangle(), Options(dig=Dig(bucket=0.5)), ())
    assert not [m for m in laid.boards[0].marks if m.mark == "dig line"]


def test_two_walls_alike_on_one_string_are_marked_once():
    laid = lay_out(notch(), Options(), ())
    board = next(b for b in laid.boards if b.string == "C-H")
    assert [(m.mark, m.wall) for m in board.marks] == [
        ("outside face", "C-D"),
        ("inside face", "C-D"),
        ("outer footing edge", "C-D"),
        ("inner footing edge", "C-D"),
    ]


def test_buildings_back_to_back_on_one_line_have_marks_to_both_sides():
    low = outline((0, 0), (10, 0), (10, 5), (0, 5))
    high = outline((15, 5), (25, 5), (25, 9), (15, 9), first="E")
    laid = lay_out(Plan(job="pair", buildings=(low, high)), Options(), ())
    string = next(s for s in laid.strings if len(s.walls) == 2)
    assert string.walls == ("C-D", "E-F")
    board = next(b for b in laid.boards if b.string == string.name)
    inside = {m.wall: round(m.y, 9) for m in board.marks if m.mark == "inside face"}
    assert inside == {"C-D": 4.8, "E-F": 5.2}
    assert sum(m.mark == "outside face" for m in board.marks) == 2


def test_an_interior_line_is_marked_left_and_right_of_its_own_direction():
    line = InteriorLine(
        name="G", start=(4, 0), end=(4, 6), start_on="A-B", end_on="C-D", thickness=0.2,
        footing=Footing(width=0.5, thickness=0.2, outside=0.15),
    )  # fmt: skip
    laid = lay_out(rectangle(interior=(line,)), Options(), ())
    string = laid.strings[4]
    assert (string.name, string.line, string.kind) == ("G", "centre", "interior")
    board = next(b for b in laid.boards if b.string == "G")
    assert board.end == "G"
    # Going north, right is east.
    assert {m.mark: (round(m.offset, 9), round(m.x, 9)) for m in board.marks} == {
        "centre": (0.0, 4.0),
        "left face": (-0.1, 3.9),
        "right face": (0.1, 4.1),
        "left footing edge": (-0.25, 3.75),
        "right footing edge": (0.25, 4.25),
    }


def post(name, x, y, row=None, size=(0.5, 0.3), diameter=None, turn=0.0):
    return Pad(
        name=name, x=x, y=y, size=None if diameter else size, diameter=diameter,
        thickness=0.3, row=row, turn=turn,
    )  # fmt: skip


def test_a_row_of_pads_gets_a_string_under_its_own_name_with_stations():
    pads = tuple(post(f"Q{i}", 13.0, 1.0 + 2 * i, row="Q") for i in range(3))
    string = strings_of(rectangle(pads=pads))[4]
    assert (string.name, string.kind, string.walls) == ("Q", "pads", ("Q0", "Q1", "Q2"))
    first = string.passes[0].from_start
    stations = [(p.name, p.is_pad, round(p.from_start - first, 9)) for p in string.passes]
    assert stations == [("Q0", True, 0.0), ("Q1", True, 2.0), ("Q2", True, 4.0)]


def test_pads_on_a_line_parallel_to_a_wall_get_a_string_and_others_none():
    pads = (post("P", 13, 1), post("R", 13, 5), post("S", 15, 3))
    strings = strings_of(rectangle(pads=pads))
    assert [(s.name, s.walls) for s in strings[4:]] == [("P-R", ("P", "R"))]


def test_a_row_that_lies_on_a_longer_line_of_pads_is_served_by_that_line():
    pads = (post("Q1", 13, 1, row="Q"), post("Q2", 13, 3, row="Q"), post("R", 13, 5))
    assert [s.name for s in strings_of(rectangle(pads=pads))[4:]] == ["Q1-R"]


def test_pad_faces_are_marked_across_the_string_for_each_width():
    pads = (post("P", 13, 1), post("R", 13, 5, diameter=0.4))
    laid = lay_out(rectangle(pads=pads), Options(), ())
    board = next(b for b in laid.boards if b.string == "P-R")
    assert [(m.mark, m.wall, round(m.offset, 9)) for m in board.marks] == [
        ("centre", "P", 0.0),
        ("left face", "P", -0.25),
        ("right face", "P", 0.25),
        ("left face", "R", -0.2),
        ("right face", "R", 0.2),
    ]


def test_a_pad_askew_to_its_string_has_no_face_on_it():
    pads = (post("P", 13, 1, turn=0.3), post("R", 13, 5, turn=0.3))
    laid = lay_out(rectangle(pads=pads), Options(), ())
    board = next(b for b in laid.boards if b.string == "P-R")
    assert [m.mark for m in board.marks] == ["centre"]


def test_the_stand_off_at_a_pad_counts_from_its_far_face():
    pads = (post("P", 13, 1), post("R", 13, 5))
    laid = lay_out(rectangle(pads=pads), Options(), ())
    board = next(b for b in laid.boards if b.string == "P-R" and b.end == "P")
    # 4 ft past a face that lies 0.15 m past the centre at y = 1.
    assert board.y == pytest.approx(1 - 0.15 - 1.2192, abs=1e-9)
    assert board.stand_off == pytest.approx(1.2192, abs=1e-9)


def test_bands_passed_in_do_not_change_which_strings_there_are():
    band = Band(
        name="A-B",
        kind=FootingKind.WALL,
        hull=((-0.2, -0.2), (10.2, -0.2), (10.2, 0.4), (-0.2, 0.4)),
    )
    assert len(strings_of(rectangle(), bands=[band])) == 4
