"""Is a closed line a shape?"""

import pytest

from staking.errors import InputError
from staking.job.build import parse_job
from staking.job.building.closed_shapes import (
    first_clash,
    has_no_area,
    overlap,
    repeated,
    sides_meet,
    stretch_outside,
    strip,
)

SQUARE = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]
NOTCHED = [(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (4.0, 3.0), (4.0, 5.0), (0.0, 5.0)]


def shifted(shape, east):
    return [(x + east, y) for x, y in shape]


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        ("{}", "no corners make no outline; give at least three corners"),
        ("{A: [0, 0]}", "1 corner makes no outline; give at least three corners"),
        ("{A: [0, 0], B: [36', 0]}", "2 corners make no outline; give at least three corners"),
    ],
)
def test_fewer_than_three_corners_make_no_outline(corners, said):
    text = f'building: {{corners: {corners}, wall: 8", footing: {{width: 20", thickness: 10"}}}}\n'
    with pytest.raises(InputError) as caught:
        parse_job("job: Test barn\n" + text, "barn.yaml")
    assert str(caught.value) == f"barn.yaml, line 2, corners: {said}"


def test_corners_half_a_millimetre_apart_repeat_wherever_they_stand_in_the_list():
    assert repeated([*SQUARE, (0.0005, 0.0)]) == (0, 4)
    assert repeated([*SQUARE, (0.0, 0.0006), (0.0, 2.0)]) is None


def test_corners_in_one_line_have_no_area_however_long_the_line():
    assert has_no_area([(0.0, 0.0), (50.0, 50.0), (20.0, 20.0)])
    assert not has_no_area([(0.0, 0.0), (50.0, 0.0), (20.0, 0.002)])


def test_a_bow_tie_clashes_and_a_notched_shape_does_not():
    assert first_clash([(0, 0), (4, 4), (4, 0), (0, 4)]) == (0, 2)
    assert first_clash(NOTCHED) is None
    assert first_clash(NOTCHED[::-1]) is None


def test_a_wall_that_doubles_back_on_its_neighbour_clashes():
    assert first_clash([(0, 0), (6, 0), (6, 4), (6, 2), (0, 2)]) == (1, 2)


def test_a_corner_straight_through_is_no_clash():
    assert first_clash([(0, 0), (2, 0), (4, 0), (4, 4), (0, 4)]) is None


@pytest.mark.parametrize(
    ("start", "end", "how"),
    [
        ((0, 1), (6, 1), 1),
        ((2, 0), (2, 5), 1),
        ((6, 2), (2, 5), -1),
        ((5, 3), (4, 4), -1),
        ((0, 0), (3, 0), 0),
        ((0, 3), (6, 3), 0),
    ],
)
def test_a_line_stays_in_runs_along_a_side_or_leaves(start, end, how):
    assert stretch_outside(start, end, NOTCHED) == how


def test_shapes_side_by_side_do_not_meet_and_nested_ones_do():
    assert not sides_meet(SQUARE, shifted(SQUARE, 4.0))
    assert sides_meet(SQUARE, shifted(SQUARE, 3.9))
    assert sides_meet(SQUARE, [(1, 1), (2, 1), (2, 2)])
    assert sides_meet(SQUARE, SQUARE)


def test_shapes_that_cross_with_no_corner_in_either_do_meet():
    assert sides_meet(SQUARE, [(-1, 1), (5, 1), (5, 1.2), (-1, 1.2)])
    assert sides_meet(SQUARE, [(3, 0), (6, 0), (6, 3)])
    assert not sides_meet(SQUARE, [(4, 0), (6, 0), (6, 3)])


def test_convex_shapes_overlap_by_more_than_a_touch():
    assert overlap(SQUARE, [(3.9, 1), (8, 1), (8, 2)])
    assert not overlap(SQUARE, shifted(SQUARE, 4.0))


def test_a_strip_reaches_left_and_right_of_its_line():
    corners = strip((0, 0), (0, 10), left=2, right=1)
    assert sorted(corners) == [(-2, 0), (-2, 10), (1, 0), (1, 10)]
