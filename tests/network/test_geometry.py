from __future__ import annotations

import math

import numpy as np
import pytest

from staking.network.geometry import (
    RADIUS_95,
    all_distances,
    covariance,
    design_rows,
    free_motions,
    hold,
    is_rigid,
    predicted_variances,
    radii95,
)
from staking.plan import Tape

TAPE = Tape(length=100.0, error=0.003)
SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])
SIDES = np.array([0, 2, 3, 5])
ALL = np.arange(6)


def test_distances_run_by_first_then_second_point() -> None:
    table = all_distances(SQUARE, TAPE)
    assert table.first.tolist() == [0, 0, 0, 1, 1, 2]
    assert table.second.tolist() == [1, 2, 3, 2, 3, 3]
    assert table.length == pytest.approx([10, 14.142136, 10, 10, 14.142136, 10], abs=1e-6)


def test_points_in_one_place_have_no_direction() -> None:
    table = all_distances(np.array([[1.0, 1.0], [1.0, 1.0]]), TAPE)
    assert table.direction.tolist() == [[0.0, 0.0]]


def test_the_design_matrix_holds_the_slopes_of_the_distances() -> None:
    table = all_distances(SQUARE, TAPE)
    rows = design_rows(table, ALL, weighted=False)
    for column in range(8):
        nudged = SQUARE.copy().reshape(-1)
        nudged[column] += 1e-6
        slope = (all_distances(nudged.reshape(-1, 2), TAPE).length - table.length) / 1e-6
        assert rows[:, column] == pytest.approx(slope, abs=1e-6)


def test_four_sides_leave_a_shape_free_and_one_diagonal_holds_it() -> None:
    table = all_distances(SQUARE, TAPE)
    motions = free_motions(table, SIDES)
    assert motions.shape == (8, 4)
    assert not is_rigid(motions)
    diagonal = design_rows(table, np.array([1]), weighted=False)[0]
    held = hold(motions, diagonal)
    assert is_rigid(held)
    assert held.T @ held == pytest.approx(np.eye(3), abs=1e-12)
    rows = design_rows(table, np.array([0, 1, 2, 3, 5]), weighted=False)
    assert rows @ held == pytest.approx(np.zeros((5, 3)), abs=1e-12)


def test_a_distance_already_held_takes_out_no_motion() -> None:
    table = all_distances(SQUARE, TAPE)
    motions = free_motions(table, np.array([0, 1, 2, 3, 5]))
    assert hold(motions, design_rows(table, np.array([4]), weighted=False)[0]).shape == (8, 3)


def test_without_distances_everything_is_free() -> None:
    assert free_motions(all_distances(SQUARE, TAPE), np.array([], dtype=int)).shape == (8, 8)


def test_the_covariance_is_the_pseudo_inverse_of_the_normal_matrix() -> None:
    table = all_distances(SQUARE, TAPE)
    rows = design_rows(table, ALL, weighted=True)
    found = covariance(table, ALL, free_motions(table, ALL))
    assert found == pytest.approx(np.linalg.pinv(rows.T @ rows), abs=1e-10)


def test_a_square_with_both_diagonals_checks_sides_by_an_eighth_and_diagonals_by_a_quarter() -> (
    None
):
    # One state of self-stress: a force f in each side, root 2 times f in each diagonal. Redundancy
    # numbers are the squared shares: f^2 / 8 f^2 and 2 f^2 / 8 f^2.
    table = all_distances(SQUARE, TAPE)
    variance = predicted_variances(table, covariance(table, ALL, free_motions(table, ALL)))
    assert 1 - variance == pytest.approx([1 / 8, 1 / 4, 1 / 8, 1 / 8, 1 / 4, 1 / 8], abs=1e-12)


def test_the_radius_is_2_4477_times_the_semi_major_axis() -> None:
    assert pytest.approx(2.4477, abs=5e-5) == RADIUS_95
    # Two points share the error of their distance: each has s / 2 along it and none across.
    table = all_distances(np.array([[0.0, 0.0], [3.0, 4.0]]), TAPE)
    which = np.array([0])
    radii = radii95(table, covariance(table, which, free_motions(table, which)))
    assert radii == pytest.approx([2.44774683 * 0.0015] * 2, abs=1e-10)


def test_a_class_weighs_each_distance_by_its_own_error() -> None:
    points = np.array([[0.0, 0.0], [8.0, 0.0], [0.0, 25.0]])
    table = all_distances(points, Tape(error=None, grade="II"))
    found = covariance(table, np.arange(3), free_motions(table, np.arange(3)))
    # without redundancy a taped distance keeps its own standard error
    variance = predicted_variances(table, found)
    assert variance == pytest.approx([1.0, 1.0, 1.0], abs=1e-9)
    assert math.isclose(table.unit_error, table.error.max(), rel_tol=0, abs_tol=1e-15)
