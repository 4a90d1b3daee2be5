"""Line work on arrays."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from staking.lines import (
    Point,
    convex_hull,
    cross,
    cross_within,
    distances,
    drop_points_in_line,
    inside,
    intersect_lines,
    inverse,
    is_anticlockwise,
    left_of,
    meeting_shares,
    nearest_shares,
    place_in,
    signed_area,
    unit,
)


def rings_of(*rings):
    points = np.array([p for ring in rings for p in ring], dtype=float)
    starts = np.concatenate(([0], np.cumsum([len(r) for r in rings]))).astype(np.intp)
    return points, starts


def test_left_is_a_quarter_turn_anticlockwise():
    assert left_of(np.array([[1.0, 0.0], [0.0, 2.0]])).tolist() == [[0, 1], [-2, 0]]
    assert cross(np.array([1.0, 0.0]), np.array([0.0, 1.0])) == 1


def test_unit_vectors_have_length_one():
    assert unit(np.array([[3.0, 4.0]])).tolist() == [[0.6, 0.8]]


def test_area_is_positive_anticlockwise_and_negative_clockwise():
    ring = [(0, 0), (4, 0), (4, 3)]
    assert signed_area(ring) == 6
    assert signed_area(ring[::-1]) == -6


def test_area_of_fewer_than_three_points_is_none():
    assert signed_area([(0, 0), (1, 1)]) == 0


def test_area_far_from_the_origin_keeps_its_digits():
    ring = [(5e5 + x, 5e6 + y) for x, y in [(0, 0), (0.25, 0), (0.25, 0.5), (0, 0.5)]]
    assert signed_area(ring) == pytest.approx(0.125, rel=0, abs=1e-12)


def test_parallel_lines_meet_nowhere():
    a = np.array
    met = intersect_lines(a([0.0, 0.0]), a([1.0, 0.0]), a([0.0, 1.0]), a([2.0, 0.0]))
    assert np.isnan(met).all()


def test_lines_parallel_but_for_rounding_meet_nowhere_without_a_warning():
    a = np.array
    met = intersect_lines(a([0.0, 0.0]), a([1.0, 0.0]), a([0.0, 1.0]), a([1.0, 5e-324]))
    assert np.isnan(met).all()


def test_many_lines_are_intersected_at_once():
    points = np.zeros((3, 2))
    directions = np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 2.0]])
    others = np.array([[2.0, 0.0], [5.0, 7.0], [4.0, 3.0]])
    along = np.array([[0.0, 1.0], [0.0, 3.0], [1.0, 0.0]])
    met = intersect_lines(points, directions, others, along)
    assert met.tolist() == [[2, 2], [5, 0], [0, 3]]


@pytest.mark.parametrize(
    ("end", "degrees"), [((0, 1), 0), ((1, 0), 90), ((0, -1), 180), ((-1, 0), 270)]
)
def test_azimuths_run_clockwise_from_north(end, degrees):
    distance, azimuth = inverse((0, 0), end)
    assert distance == 1
    assert math.degrees(azimuth) == pytest.approx(degrees, rel=0, abs=1e-12)


def test_hull_of_points_in_line_is_its_ends():
    assert convex_hull([(0, 0), (1, 1), (2, 2)]) == ((0, 0), (2, 2))
    assert convex_hull([(1, 1), (1, 1)]) == ((1, 1),)


def test_points_in_line_go_and_corners_stay():
    square = [(0, 0), (1, 0), (2, 0), (3, 0), (3, 3), (1.5, 3), (0, 3)]
    points, starts = drop_points_in_line(*rings_of(square, [(9, 9), (8, 9), (8, 8)]))
    assert points.tolist() == [[0, 0], [3, 0], [3, 3], [0, 3], [9, 9], [8, 9], [8, 8]]
    assert starts.tolist() == [0, 4, 7]


def test_a_first_point_in_line_goes_as_well():
    points, _ = drop_points_in_line(*rings_of([(1, 0), (2, 0), (2, 2), (0, 2), (0, 0)]))
    assert sorted(points.tolist()) == [[0, 0], [0, 2], [2, 0], [2, 2]]


def test_repeated_points_go_but_for_one():
    ring = [(0, 0), (0, 1e-8), (2, 0), (2, 2), (2, 2), (2, 2), (0, 2)]
    points, _ = drop_points_in_line(*rings_of(ring))
    assert len(points) == 4


def test_a_spike_thinner_than_the_tolerance_goes():
    ring = [(0, 0), (2, 0), (2, 1), (5, 1 + 1e-9), (2, 1 + 2e-9), (2, 2), (0, 2)]
    points, _ = drop_points_in_line(*rings_of(ring))
    assert sorted(np.round(points, 6).tolist()) == [[0, 0], [0, 2], [2, 0], [2, 2]]


def test_a_ring_without_extent_goes_and_the_others_stay():
    flat = [(5, 5), (6, 5), (7, 5 + 1e-9)]
    points, starts = drop_points_in_line(*rings_of(flat, [(0, 0), (1, 0), (0, 1)]))
    assert points.tolist() == [[0, 0], [1, 0], [0, 1]]
    assert starts.tolist() == [0, 3]


def test_no_rings_are_no_rings():
    points, starts = drop_points_in_line(np.empty((0, 2)), np.zeros(1, dtype=np.intp))
    assert len(points) == 0
    assert starts.tolist() == [0]


def test_a_thousand_points_on_one_side_all_go():
    side = [(x / 1000, 0.0) for x in range(1001)]
    points, _ = drop_points_in_line(*rings_of([*side, (1, 1), (0, 1)]))
    assert len(points) == 4


SQUARE = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]


@pytest.mark.parametrize(
    ("point", "where"), [((2, 2), 1), ((0, 2), 0), ((4.0004, 2), 0), ((4.001, 2), -1), ((9, 0), -1)]
)
def test_a_point_is_inside_on_the_line_or_outside(point: Point, where: int) -> None:
    assert place_in(point, SQUARE, 0.0005) == where


def test_points_inside_a_ring_agree_with_a_polygon_library():
    numbers = np.random.default_rng(3)
    ring = np.array([[0, 0], [9, 1], [8, 9], [5, 3], [1, 8]], dtype=float)
    points = numbers.uniform(-1, 10, (500, 2))
    whole = shapely.Polygon(ring)
    assert inside(points, ring).tolist() == [whole.contains(shapely.Point(p)) for p in points]


def test_the_distance_of_points_from_stretches_is_to_the_nearest_end_or_square_to_it():
    far, part = distances(
        np.array([[3.0, 4.0], [-3, -4], [5, 7]]), np.array([[0.0, 0.0]]), np.array([[10.0, 0.0]])
    )
    assert far[:, 0].tolist() == pytest.approx([4, 5, 7], rel=0, abs=1e-12)
    assert part[:, 0].tolist() == pytest.approx([0.3, 0, 0.5], rel=0, abs=1e-12)


def test_nearest_places_and_meetings_agree_with_a_polygon_library() -> None:
    numbers = np.random.default_rng(5)
    starts, ends, others, stops = numbers.uniform(-5, 5, (4, 200, 2))
    share, away = nearest_shares(others, starts, ends)
    along, other = meeting_shares(starts, ends - starts, others, stops - others)
    lines = shapely.linestrings(np.stack((starts, ends), axis=1))
    second = shapely.linestrings(np.stack((others, stops), axis=1))
    far = shapely.distance(lines, shapely.points(others))
    assert np.hypot(*away.T).tolist() == pytest.approx(far.tolist(), rel=0, abs=1e-9)
    assert ((share >= 0) & (share <= 1)).all()
    assert cross_within(along, other).tolist() == shapely.intersects(lines, second).tolist()


def test_parallel_lines_meet_nowhere_within_their_ends() -> None:
    starts = np.array([[0.0, 0.0], [0.0, 0.0]])
    others = np.array([[0.0, 1.0], [0.5, 0.0]])
    way = np.array([2.0, 0.0])
    assert not cross_within(*meeting_shares(starts, way, others, way)).any()


def test_a_line_without_length_is_a_point() -> None:
    here, there = np.array([3.0, 4.0]), np.zeros(2)
    share, away = nearest_shares(here, there, there)
    assert (float(share), away.tolist()) == (0.0, [3.0, 4.0])


def test_which_way_round_a_ring_runs_is_told_far_from_the_origin() -> None:
    ring = [(x + 5e6, y + 5e6) for x, y in SQUARE]
    assert is_anticlockwise(ring)
    assert not is_anticlockwise(ring[::-1])


def test_a_point_level_with_a_corner_in_a_straight_side_or_at_a_tip_is_where_it_stands() -> None:
    # A side with a corner half-way up, and a tip on the other side, all at the point's height.
    ring = np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 1.0), (4.0, 2.0), (0.0, 2.0), (-1.0, 1.0)])
    points = np.array([(2.0, 1.0), (-0.5, 1.0), (5.0, 1.0), (-2.0, 1.0)])
    assert inside(points, ring).tolist() == [True, True, False, False]
    assert inside(points, ring[::-1]).tolist() == [True, True, False, False]
