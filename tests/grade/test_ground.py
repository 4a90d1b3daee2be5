from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator

from staking.errors import ComputationError
from staking.grade.stepping.cells import Patch
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.grade.terrain.triangulate import window_surface

FOOT = 0.3048
SQUARE = [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)]


def scattered(seed: int, count: int, reach: float = 60.0) -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(seed)
    points = rng.uniform(-reach, reach, (count, 2))
    heights = 30 - points[:, 0] / 9 + np.sin(points[:, 1] / 7) + rng.uniform(0, 0.1, count)
    return points, heights


def test_a_window_has_the_surface_of_the_whole_survey() -> None:
    points, heights = scattered(1, 5000)
    surface, numbers = window_surface(points, heights, np.array(SQUARE))
    assert len(numbers) < 1500
    places = np.random.default_rng(2).uniform((0, 0), (8, 6), (5000, 2))
    whole = LinearNDInterpolator(points, heights)(places)
    assert np.abs(surface.at(places) - whole).max() < 1e-9


def test_the_lowest_of_a_patch_is_below_every_point_of_it_and_is_reached() -> None:
    points, heights = scattered(3, 400, 12.0)
    ground = surveyed_ground(points, heights, [SQUARE]).surface
    patch = Patch(wall="A-B", start=0, end=1, ring=((1, 1), (5, 0.5), (6, 3), (2, 4)))
    x, y = np.meshgrid(np.linspace(0, 7, 300), np.linspace(0, 5, 300))
    places = np.column_stack((x.ravel(), y.ravel()))
    ring = np.array(patch.ring)
    side = np.roll(ring, -1, axis=0) - ring
    away = places[:, None] - ring
    within = (side[:, 0] * away[..., 1] - side[:, 1] * away[..., 0] >= 0).all(axis=1)
    dense = LinearNDInterpolator(points, heights)(places[within])
    low, high = ground.lowest([patch])[0], ground.highest([patch])[0]
    assert low <= dense.min() <= low + 0.01
    assert high - 0.01 <= dense.max() <= high


def test_turning_a_square_grid_changes_no_elevation() -> None:
    x, y = np.meshgrid(np.arange(-6.0, 16.0), np.arange(-6.0, 14.0))
    points = np.column_stack((x.ravel(), y.ravel()))
    heights = np.random.default_rng(4).uniform(0, 1, len(points))
    places = np.random.default_rng(5).uniform((0, 0), (8, 6), (300, 2))
    plain = window_surface(points, heights, np.array(SQUARE))[0].at(places)
    for angle in (0.3, 1.1, 2.9):
        turn = np.array([(np.cos(angle), np.sin(angle)), (-np.sin(angle), np.cos(angle))])
        turned = window_surface(points @ turn, heights, np.array(SQUARE) @ turn)[0]
        assert np.abs(turned.at(places @ turn) - plain).max() < 1e-9


def test_of_two_diagonals_on_one_circle_the_lower_is_taken() -> None:
    points = np.array([(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)])
    for heights, lowest in (([0, 1, 0, 1], 0.0), ([1, 0, 1, 0], 0.0)):
        surface = window_surface(points, np.array(heights, dtype=float), points)[0]
        assert surface.at(np.array([(4.0, 3.0)]))[0] == pytest.approx(lowest, abs=1e-9)


def test_outside_the_survey_is_an_error_with_how_far() -> None:
    points, heights = scattered(6, 100, 5.0)
    points = np.vstack((points, [(-5, -5), (5, -5), (5, 5), (-5, 5)]))
    heights = np.concatenate((heights, np.full(4, 30.0)))
    with pytest.raises(ComputationError, match=r"reaches 10\.4 ft \(3\.16 m\) outside"):
        surveyed_ground(points, heights, [SQUARE])


def test_points_in_one_line_make_no_surface() -> None:
    points = np.column_stack((np.arange(10.0), np.arange(10.0)))
    with pytest.raises(ComputationError, match="all in one line"):
        surveyed_ground(points, np.zeros(10), [SQUARE])


def test_two_elevations_at_one_place_are_refused() -> None:
    points, heights = scattered(7, 50)
    points = np.vstack((points, points[:1]))
    with pytest.raises(
        ComputationError,
        match=r"two elevations at one place .* ft \(.* m\) and .* ft \(.* m\); keep one",
    ):
        surveyed_ground(points, np.append(heights, heights[0] + 0.2), [SQUARE])


def test_a_point_a_foot_off_its_neighbours_is_named_alone() -> None:
    x, y = np.meshgrid(np.arange(-4.0, 14.0), np.arange(-4.0, 12.0))
    points = np.column_stack((x.ravel(), y.ravel()))
    heights = 10 - points[:, 0] / 6
    spike = int(np.flatnonzero((points == (3.0, 2.0)).all(axis=1))[0])
    heights[spike] += 0.5
    told = surveyed_ground(points, heights, [SQUARE]).notices
    assert [dict(notice.values)["point"] for notice in told] == [f"point {spike + 1}"]


def test_elevations_away_from_the_footing_are_those_of_the_whole_survey() -> None:
    points, heights = scattered(11, 5000)
    ground = surveyed_ground(points, heights, [SQUARE])
    places = np.random.default_rng(12).uniform(-70, 70, (400, 2))
    whole = LinearNDInterpolator(points, heights)(places)
    found = ground.at(places)
    assert np.isnan(found).sum() > 50
    assert (np.isnan(found) == np.isnan(whole)).all()
    assert np.nanmax(np.abs(found - whole)) < 1e-9


def test_points_without_elevation_and_repeated_points_are_passed_over() -> None:
    points, heights = scattered(13, 300, 20.0)
    more = np.vstack((points[:40], [(3.0, 3.0)], points))
    given = np.concatenate((heights[:40], [np.nan], heights))
    ground = surveyed_ground(more, given, [SQUARE])
    reference = surveyed_ground(points, heights, [SQUARE])
    places = np.array([(x, y) for x in (1.0, 4.0, 7.0) for y in (1.0, 5.0)])
    assert ground.at(places) == pytest.approx(reference.at(places).tolist(), abs=1e-9)
    more[40], given[40] = (4.0, 3.0), 40.0
    told = surveyed_ground(more, given, [SQUARE], [f"GS{i}" for i in range(341)]).notices
    assert [dict(one.values)["point"] for one in told] == ["point GS40"]
