from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import least_squares

from staking.errors import ComputationError
from staking.network.fitted import Measurement
from staking.network.solve import best_fit, solve
from staking.network.unfixed import NotFixedError

ERROR = 0.003
SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)])
PAIRS = list(itertools.combinations(range(4), 2))


def taped(
    points: NDArray[np.float64],
    pairs: list[tuple[int, int]],
    noise: NDArray[np.float64] | float = 0.0,
    error: NDArray[np.float64] | float = ERROR,
) -> list[Measurement]:
    noises = np.broadcast_to(noise, len(pairs))
    errors = np.broadcast_to(error, len(pairs))
    return [
        Measurement(
            from_name=f"P{i}",
            to_name=f"P{j}",
            distance=math.dist(points[i], points[j]) + float(out),
            standard_error=float(sigma),
        )
        for (i, j), out, sigma in zip(pairs, noises, errors, strict=True)
    ]


def apart(rng: np.random.Generator, count: int) -> NDArray[np.float64]:
    """Corners at least a metre from each other, as corners of a building are."""
    while True:
        points = rng.uniform(0, 25, (count, 2))
        if min(math.dist(a, b) for a, b in itertools.combinations(points, 2)) >= 1:
            return points


def names(points: NDArray[np.float64]) -> list[str]:
    return [f"P{i}" for i in range(len(points))]


@pytest.mark.parametrize("seed", range(200))
def test_a_random_network_agrees_with_another_solver(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 10))
    points = apart(rng, count)
    pairs = list(itertools.combinations(range(count), 2))
    # any set of all but a few pairs is rigid in general position
    kept = rng.permutation(len(pairs))[: max(len(pairs) - 1, 2 * count - 2)]
    pairs = [pairs[k] for k in kept]
    errors = rng.uniform(0.001, 0.006, len(pairs))
    measured = taped(points, pairs, rng.normal(0, errors), errors)
    found = solve(names(points), points, measured)
    distance = np.array([m.distance for m in measured])
    first, second = np.array(pairs).T

    # the reference holds the first point and the direction to the second, and is told so by three
    # equations that a rigid network can always satisfy
    def misfit(x: NDArray[np.float64]) -> NDArray[np.float64]:
        at = x.reshape(-1, 2)
        step = at[second] - at[first]
        base = points[1] - points[0]
        turn = (at[1] - at[0]) @ np.array([-base[1], base[0]]) / np.hypot(*base)
        return np.concatenate([
            (np.hypot(*step.T) - distance) / errors,
            (at[0] - points[0]) / ERROR,
            [turn / ERROR],
        ])

    other = least_squares(misfit, points.ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15, method="lm")
    at = other.x.reshape(-1, 2)
    expected = np.hypot(*(at[second] - at[first]).T)
    got = np.array([each.adjusted for each in found.adjusted])
    np.testing.assert_allclose(got, expected, rtol=1e-9, atol=0)

    # covariances: the pseudo-inverse of the weighted normal matrix at the reference's solution
    fitted = best_fit(at, points)
    rows = np.zeros((len(pairs), 2 * count))
    for row, (i, j) in enumerate(pairs):
        way = (fitted[j] - fitted[i]) / math.dist(fitted[i], fitted[j]) / errors[row]
        rows[row, 2 * i : 2 * i + 2], rows[row, 2 * j : 2 * j + 2] = -way, way
    reference = np.linalg.pinv(rows, rcond=1e-10)
    covariance = reference @ reference.T
    np.testing.assert_allclose(
        found.covariance, covariance, rtol=0, atol=1e-6 * np.abs(covariance).max()
    )


def test_exact_distances_give_back_the_plan() -> None:
    found = solve(names(SQUARE), SQUARE, taped(SQUARE, PAIRS))
    np.testing.assert_allclose(found.coordinates, SQUARE, rtol=0, atol=1e-9)
    assert found.redundancy == 1
    assert found.variance_factor == pytest.approx(0.0, rel=0, abs=1e-12)


def test_redundancy_numbers_add_up_to_the_redundancy() -> None:
    points = np.array([(0, 0), (12, 0), (12, 8), (8, 8), (8, 11), (0, 11)], dtype=float)
    pairs = list(itertools.combinations(range(6), 2))
    found = solve(names(points), points, taped(points, pairs, 0.002))
    assert found.redundancy == 15 - 9
    total = sum(each.redundancy for each in found.adjusted)
    assert total == pytest.approx(found.redundancy, rel=0, abs=1e-9)


def test_a_pair_taped_twice_counts_twice() -> None:
    twice = solve(names(SQUARE), SQUARE, taped(SQUARE, [*PAIRS, (0, 2)]))
    assert twice.redundancy == 2


def test_distances_far_from_the_plan_still_fit() -> None:
    bent = SQUARE + np.array([(0, 0), (0.8, 0), (1.5, -0.6), (-0.7, 0.9)])
    found = solve(names(SQUARE), SQUARE, taped(bent, PAIRS))
    assert max(abs(each.residual) for each in found.adjusted) < 1e-9


def test_at_site_coordinates_no_digit_is_lost() -> None:
    far = SQUARE + np.array([650_000.0, 5_200_000.0])
    found = solve(names(SQUARE), far, taped(SQUARE, PAIRS, 0.001))
    near = solve(names(SQUARE), SQUARE, taped(SQUARE, PAIRS, 0.001))
    for one, other in zip(found.adjusted, near.adjusted, strict=True):
        assert one.residual == pytest.approx(other.residual, rel=0, abs=1e-8)


def test_four_sides_alone_ask_for_a_diagonal() -> None:
    sides = [(0, 1), (1, 2), (2, 3), (0, 3)]
    with pytest.raises(NotFixedError, match="tape P0-P2 next") as caught:
        solve(names(SQUARE), SQUARE, taped(SQUARE, sides))
    assert caught.value.tape_next == (("P0", "P2"),)
    assert caught.value.loose == ("P0", "P1", "P2", "P3")


def test_what_cannot_be_taped_is_not_asked_for() -> None:
    sides = [(0, 1), (1, 2), (2, 3), (0, 3)]
    with pytest.raises(NotFixedError, match="tape P1-P3 next"):
        solve(names(SQUARE), SQUARE, taped(SQUARE, sides), usable=[("P3", "P1"), ("P0", "P1")])
    with pytest.raises(NotFixedError, match="no pair within reach"):
        solve(names(SQUARE), SQUARE, taped(SQUARE, sides), usable=[("P0", "P1")])


def test_following_what_to_tape_next_fixes_the_shape() -> None:
    points = np.array([(0, 0), (12, 0), (12, 8), (8, 8), (8, 11), (0, 11)], dtype=float)
    sides = [(i, (i + 1) % 6) for i in range(6)]
    with pytest.raises(NotFixedError) as caught:
        solve(names(points), points, taped(points, sides))
    more = [(int(a[1:]), int(b[1:])) for a, b in caught.value.tape_next]
    assert len(more) == 3
    assert solve(names(points), points, taped(points, [*sides, *more])).redundancy == 0


def test_three_corners_in_line_are_not_fixed_by_their_distances() -> None:
    line = np.array([(0.0, 0.0), (5.0, 0.0), (10.0, 0.0)])
    with pytest.raises(NotFixedError, match="do not fix the shape"):
        solve(names(line), line, taped(line, [(0, 1), (1, 2), (0, 2)]))


def test_a_mirrored_start_is_refused() -> None:
    with pytest.raises(ComputationError, match="mirror image"):
        solve(names(SQUARE), SQUARE, taped(SQUARE, PAIRS), start=SQUARE * np.array([-1, 1]))


def test_swapped_names_never_pass_for_a_fit() -> None:
    swapped = SQUARE[[1, 0, 2, 3]]
    found = solve(names(SQUARE), SQUARE, taped(swapped, PAIRS))
    assert min(abs(each.standardised) for each in found.adjusted) > 100


def test_a_corner_that_comes_out_far_from_its_place_is_refused_with_the_pair_to_look_at() -> None:
    plan = np.array([(0.0, 0.0), (10.0, 0.0), (5.0, 3.0)])
    read = np.array([(0.0, 0.0), (10.0, 0.0), (6.0, 30.0)])
    with pytest.raises(ComputationError, match="first at P0-P2"):
        solve(names(plan), plan, taped(read, [(0, 1), (0, 2), (1, 2)]))


def test_one_reading_alone_is_spoken_of_as_one() -> None:
    with pytest.raises(NotFixedError, match=r"^1 reading does not fix the shape of 4 corners"):
        solve(names(SQUARE), SQUARE, taped(SQUARE, PAIRS[:1]))
