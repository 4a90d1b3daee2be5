from __future__ import annotations

import math

import numpy as np
import pytest

from staking.network.design import choose_distances, loose_points
from staking.network.geometry import all_distances
from staking.plan import Tape

TAPE = Tape(length=100.0, error=0.003)


def chosen(points: list[tuple[float, float]], first: tuple[int, ...], usable=None):
    table = all_distances(np.array(points), TAPE)
    flags = np.ones(len(table.length), dtype=bool) if usable is None else usable
    return table, choose_distances(table, first, flags)


def test_two_points_take_their_distance_and_are_fixed() -> None:
    _, choice = chosen([(0.0, 0.0), (5.0, 0.0)], ())
    assert choice.taken == (0,)
    assert choice.rigid
    assert choice.poorly_checked == (0,)


def test_one_point_or_none_needs_nothing() -> None:
    assert chosen([(1.0, 2.0)], ())[1].taken == ()
    table = all_distances(np.empty((0, 2)), TAPE)
    assert choose_distances(table, (), np.zeros(0, dtype=bool)).taken == ()


def test_a_triangle_is_fixed_but_nothing_checks_it() -> None:
    _, choice = chosen([(0.0, 0.0), (9.0, 0.0), (2.0, 7.0)], (0, 1, 2))
    assert choice.rigid
    assert choice.redundancy == pytest.approx([0.0, 0.0, 0.0], abs=1e-12)
    assert choice.poorly_checked == (0, 1, 2)


@pytest.mark.parametrize(
    ("squared", "poor"), [(0.44, ()), (0.40, ()), (0.36, (2, 3)), (0.04, (2, 3))]
)
def test_a_reading_that_shows_under_a_tenth_of_its_error_is_poorly_checked(
    squared: float, poor: tuple[int, ...]
) -> None:
    # A rectangle a by b with both diagonals d: its one state of self-stress pulls every line in
    # proportion to its length, so that with equal errors b shows b^2 / (2 a^2 + 2 b^2 + 2 d^2),
    # which is (b / d)^2 / 4. b is the side B-C, row 3 of the table, and A-D, row 2.
    b, a = math.sqrt(squared), math.sqrt(1 - squared)
    _, choice = chosen([(0.0, 0.0), (9 * a, 0.0), (9 * a, 9 * b), (0.0, 9 * b)], tuple(range(6)))
    assert dict(zip(choice.taken, choice.redundancy, strict=True))[3] == pytest.approx(
        squared / 4, rel=0, abs=1e-9
    )
    assert choice.poorly_checked == poor


def test_equal_variances_go_to_the_first_pair() -> None:
    # in a square both diagonals are as uncertain as each other
    _, choice = chosen([(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)], (0, 2, 3, 5))
    assert choice.taken == (0, 2, 3, 5, 1, 4)


def test_unusable_pairs_are_left_out_and_the_loose_corners_named() -> None:
    usable = np.zeros(6, dtype=bool)
    table, choice = chosen([(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)], (0, 2, 3, 5), usable)
    assert choice.taken == (0, 2, 3, 5)
    assert not choice.rigid
    assert loose_points(table, choice.motions) == (2, 3)


def test_a_rigid_network_has_no_loose_points() -> None:
    table, choice = chosen([(0.0, 0.0), (9.0, 0.0), (2.0, 7.0)], (0, 1, 2))
    assert loose_points(table, choice.motions) == ()


def test_the_first_pick_is_the_pair_with_the_largest_predicted_variance() -> None:
    rng = np.random.default_rng(4)
    angles = np.linspace(0, 2 * math.pi, 7, endpoint=False)
    points = np.column_stack([np.cos(angles), np.sin(angles)]) * rng.uniform(6, 12, (7, 1))
    table = all_distances(points, TAPE)
    sides = [
        row for row in range(len(table.length)) if (table.second[row] - table.first[row]) in (1, 6)
    ]
    rows = np.zeros((len(table.length), 14))
    for row, (i, j, d) in enumerate(zip(table.first, table.second, table.direction, strict=True)):
        rows[row, 2 * i : 2 * i + 2], rows[row, 2 * j : 2 * j + 2] = -d, d
    prior = np.linalg.inv(rows[sides].T @ rows[sides] + np.eye(14) / 100**2)
    predicted = np.einsum("pi,ij,pj->p", rows, prior, rows)
    predicted[sides] = -1
    choice = choose_distances(table, tuple(sides), np.ones(len(table.length), dtype=bool))
    assert choice.taken[len(sides)] == int(np.argmax(predicted))


def test_the_updated_covariance_stays_the_exact_one() -> None:
    rng = np.random.default_rng(7)
    table = all_distances(rng.uniform(0, 30, (12, 2)), TAPE)
    choice = choose_distances(table, (0, 1, 2), np.ones(len(table.length), dtype=bool))
    rows = np.zeros((len(choice.taken), 24))
    for place, row in enumerate(choice.taken):
        i, j, d = table.first[row], table.second[row], table.direction[row]
        rows[place, 2 * i : 2 * i + 2], rows[place, 2 * j : 2 * j + 2] = -d, d
    exact = np.linalg.pinv(rows.T @ rows)
    assert choice.cofactor == pytest.approx(exact, abs=1e-9)
    assert choice.redundancy == pytest.approx(1 - np.diag(rows @ exact @ rows.T), abs=1e-9)


def test_two_hundred_corners_are_all_checked_by_a_few_tapes_each() -> None:
    angles = np.linspace(0, 2 * math.pi, 200, endpoint=False)
    reach = np.random.default_rng(1).uniform(8, 14, 200)
    table = all_distances(np.column_stack([reach * np.cos(angles), reach * np.sin(angles)]), TAPE)
    gap = table.second - table.first
    sides = tuple(np.flatnonzero((gap == 1) | (gap == 199)).tolist())
    choice = choose_distances(table, sides, np.ones(len(table.length), dtype=bool))
    assert np.min(choice.redundancy) >= 0.1
    assert len(choice.redundancy) < 3 * 200
