from __future__ import annotations

import numpy as np

from staking.network.geometry import all_distances
from staking.network.rectangles import largest_rectangle
from staking.plan import Tape


def diagonals(points: list[tuple[float, float]], area: float) -> set[tuple[int, int]] | None:
    array = np.array(points)
    table = all_distances(array, Tape(length=1000.0))
    found = largest_rectangle(array, table, np.arange(len(table.length)), area)
    return found and {(int(table.first[row]), int(table.second[row])) for row in found}


TEE = [(0, 0), (20, 0), (20, 8), (14, 8), (14, 15), (6, 15), (6, 8), (0, 8)]


def test_the_body_of_a_tee_is_squared_first() -> None:
    assert diagonals(TEE, 160.0 + 56.0) == {(0, 2), (1, 7)}


def test_a_rectangle_under_half_the_area_is_not_taken() -> None:
    assert diagonals(TEE, 2 * 160.0 + 1.0) is None
    assert diagonals(TEE, 2 * 160.0) == {(0, 2), (1, 7)}


def test_an_ell_has_no_rectangle_of_corners() -> None:
    assert diagonals([(0, 0), (12, 0), (12, 8), (8, 8), (8, 11), (0, 11)], 120.0) is None


def test_equal_rectangles_go_to_the_first_by_name() -> None:
    # every other corner of a regular octagon forms one of two equal squares
    angles = np.arange(8) * np.pi / 4
    octagon = np.column_stack([np.cos(angles), np.sin(angles)]) * 10.0
    assert diagonals(octagon.tolist(), 282.84) == {(0, 4), (2, 6)}


def test_a_rectangle_askew_to_the_walls_counts_too() -> None:
    # in a plus sign the square on the slant, 80, is larger than either arm, 48
    plus = [(4, 0), (8, 0), (8, 4), (12, 4), (12, 8), (8, 8), (8, 12), (4, 12), (4, 8), (0, 8)]
    plus += [(0, 4), (4, 4)]
    assert diagonals(plus, 80.0) == {(0, 6), (3, 9)}


def test_a_leaning_parallelogram_is_no_rectangle() -> None:
    assert diagonals([(0, 0), (10, 0), (10.5, 6), (0.5, 6), (0.2, 3)], 60.0) is None


def test_fewer_than_two_diagonals_form_none() -> None:
    array = np.array([(0.0, 0.0), (1.0, 0.0)])
    assert largest_rectangle(array, all_distances(array, Tape()), np.arange(1), 0.0) is None
