"""Five corners with all pairs taped: how evenly they can be checked, and what that shows.

Ten distances fix seven unknowns, so the ten redundancy numbers add up to three: 0.3 each at best.
docs/methods.md says which outlines keep every one at 0.25 or more with no two test statistics
correlated over 0.8.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray

from staking.adjust.blunders import Sifted, sift
from staking.network.fitted import Measurement
from staking.network.solve import solve

INCH = 0.0254
FOOT = 0.3048
PAIRS = list(itertools.combinations(range(5), 2))
TRIPLES = list(itertools.combinations(range(5), 3))
ROUND = 2 * np.pi * np.arange(5) / 5
PENTAGON = 10 * np.column_stack((np.cos(ROUND), np.sin(ROUND)))
GABLE = np.array([(0.0, 0.0), (12.0, 0.0), (12.0, 8.0), (6.0, 11.0), (0.0, 8.0)])


def taped(
    points: NDArray[np.float64], noise: NDArray[np.float64], error: float
) -> list[Measurement]:
    return [
        Measurement(
            from_name="ABCDE"[i],
            to_name="ABCDE"[j],
            distance=math.dist(points[i], points[j]) + float(out),
            standard_error=error,
        )
        for (i, j), out in zip(PAIRS, noise, strict=True)
    ]


def evenness(points: NDArray[np.float64]) -> tuple[float, float]:
    """The least redundancy number, and the greatest correlation of two test statistics."""
    found = solve("ABCDE", points, taped(points, np.zeros(10), INCH / 8))
    apart = np.abs(found.correlation - np.eye(10))
    return min(each.redundancy for each in found.adjusted), float(apart.max())


def test_a_regular_pentagon_shares_its_redundancy_by_the_golden_ratio() -> None:
    """3/10 less and more by the root of five over fifty, derived from its symmetry."""
    found = solve("ABCDE", PENTAGON, taped(PENTAGON, np.zeros(10), INCH / 8))
    for (i, j), each in zip(PAIRS, found.adjusted, strict=True):
        sign = -1 if (j - i) % 5 in (1, 4) else 1
        expected = 0.3 + sign * math.sqrt(5) / 50
        assert each.redundancy == pytest.approx(expected, rel=0, abs=1e-9)


def test_a_regular_pentagon_is_checked_evenly_enough() -> None:
    least, greatest = evenness(PENTAGON)
    assert least == pytest.approx(0.2553, rel=0, abs=5e-5)
    assert greatest == pytest.approx(0.7894, rel=0, abs=5e-5)


def test_so_is_a_pentagon_within_half_a_percent_of_it() -> None:
    rng = np.random.default_rng(41)
    side = math.dist(PENTAGON[0], PENTAGON[1])
    for _ in range(100):
        least, greatest = evenness(PENTAGON + rng.uniform(-0.004, 0.004, (5, 2)) * side)
        assert least >= 0.25
        assert greatest <= 0.8


def test_no_five_corners_taken_at_random_are() -> None:
    rng = np.random.default_rng(42)
    tried = [evenness(each * 10) for each in rng.uniform(-1, 1, (400, 5, 2)) if spread(each)]
    assert len(tried) > 200
    assert not [1 for least, greatest in tried if least >= 0.25 and greatest <= 0.8]


def test_a_gable_end_is_not() -> None:
    least, greatest = evenness(GABLE)
    assert least < 0.25
    assert greatest > 0.8


def spread(points: NDArray[np.float64]) -> bool:
    """Whether no two corners lie close and no three nearly in line, as corners do not."""
    gaps = [math.dist(points[i], points[j]) for i, j in PAIRS]
    sides = [(points[j] - points[i], points[k] - points[i]) for i, j, k in TRIPLES]
    areas = [abs(float(u[0] * v[1] - u[1] * v[0])) for u, v in sides]
    return min(gaps) > 0.2 and min(areas) > 0.04


def read(
    points: NDArray[np.float64], error: float, rng: np.random.Generator, place: int, mistake: float
) -> Sifted:
    noise = rng.normal(0, error, 10)
    noise[place] += mistake
    return sift("ABCDE", points, taped(points, noise, error))


@pytest.mark.parametrize("mistake", [0.1, -0.1, FOOT, -FOOT])
def test_a_planted_mistake_among_five_corners_is_named_alone_with_its_size(mistake: float) -> None:
    rng = np.random.default_rng(43)
    good = 0
    for _ in range(100):
        place = int(rng.integers(10))
        found = read(PENTAGON, INCH / 8, rng, place, mistake)
        if len(found.suspects) == 1 and found.suspects[0].members == (place,):
            suspect = found.suspects[0]
            good += abs(suspect.size - mistake) <= 3 * suspect.size_error
    assert good >= 95


def test_good_readings_of_five_corners_are_left_in_peace() -> None:
    rng = np.random.default_rng(44)
    quiet = [not read(PENTAGON, INCH / 8, rng, 0, 0.0).suspects for _ in range(100)]
    assert sum(quiet) >= 90
