"""What scanned points are worth: against errors that were put in, which are then the true ones."""

from __future__ import annotations

import numpy as np
import pytest

from staking.grade.terrain.scanned_ground import one_height_a_place, scan_worth

SQUARE = [(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)]


def cloud(seed: int, spread: float, reach: float = 30.0, step: float = 0.5) -> tuple:
    chance = np.random.default_rng(seed)
    count = int((2 * reach / step) ** 2)
    points = chance.uniform(-reach, reach, (count, 2))
    heights = 100 + 0.15 * points[:, 0] - 0.08 * points[:, 1] + chance.normal(0, spread, count)
    return points, heights


@pytest.mark.parametrize("spread", [0.01, 0.05, 0.3])
def test_the_scatter_is_the_error_of_single_heights(spread: float) -> None:
    worth = scan_worth(*cloud(1, spread), [SQUARE])
    assert worth.scatter is not None
    # The median of some 900 normal errors is good to about 4 in 100.
    assert worth.scatter == pytest.approx(spread, rel=0.1)
    assert worth.good_to == pytest.approx(2 * spread, rel=0.1)


def test_shrubs_and_a_slope_do_not_count_as_scatter() -> None:
    points, heights = cloud(2, 0.03)
    plain = scan_worth(points, heights, [SQUARE]).scatter
    shrubs = heights.copy()
    shrubs[::40] += 0.8
    tilted = heights + 0.5 * points[:, 0]
    assert plain is not None
    assert scan_worth(points, shrubs, [SQUARE]).scatter == pytest.approx(plain, rel=0.5)
    assert scan_worth(points, tilted, [SQUARE]).scatter == pytest.approx(plain, abs=1e-9, rel=0)


def test_points_under_the_footing_and_their_distance() -> None:
    # A lattice a metre apart, shifted by a quarter: 10 times 8 of them lie in the square, 16 times
    # 14 in the box 3 m round it.
    x, y = np.meshgrid(np.arange(-20, 30) + 0.25, np.arange(-20, 30) + 0.25)
    points = np.column_stack((x.ravel(), y.ravel()))
    worth = scan_worth(points, np.zeros(len(points)), [SQUARE])
    assert worth.under == 80
    assert worth.spacing == pytest.approx(1.0, abs=1e-9, rel=0)
    assert worth.farthest == pytest.approx(np.hypot(0.25, 0.25), abs=1e-9, rel=0)
    assert worth.scatter == pytest.approx(0.0, abs=1e-9)


def test_few_points_have_no_scatter() -> None:
    points = np.array([(0.0, 0.0), (9.0, 1.0), (4.0, 7.0)])
    worth = scan_worth(points, np.zeros(3), [SQUARE])
    assert (worth.scatter, worth.good_to, worth.under) == (None, None, 2)
    # From (10, 8) to (9, 1), the nearest, and to (4, 7): the root of 37.
    assert worth.farthest == pytest.approx(np.sqrt(37), abs=1e-9, rel=0)


def test_points_in_one_place_become_one_with_the_mean_of_their_heights() -> None:
    points = np.array([(5.0, 1.0), (2.0, 2.0), (5.0, 1.0), (2.0, 2.0), (2.0, 2.0), (0.0, 0.0)])
    places, levels = one_height_a_place(points, np.array([1.0, 2.0, 3.0, 4.0, 9.0, 7.0]))
    assert places.tolist() == [[0, 0], [2, 2], [5, 1]]
    assert levels.tolist() == [7, 5, 2]
    nothing = one_height_a_place(np.empty((0, 2)), np.empty(0))
    assert [len(each) for each in nothing] == [0, 0]
