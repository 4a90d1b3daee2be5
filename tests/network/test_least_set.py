from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from numpy.typing import NDArray

from staking.network.geometry import PairDistances, all_distances
from staking.network.least_set import LeastSet, least_set
from staking.plan import Tape

INCH = 0.0254
FOOT = 0.3048
TAPE = Tape(error=INCH / 8)
RECTANGLE = np.array([(0, 0), (36, 0), (36, 24), (0, 24)]) * FOOT
WING = np.array([(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]) * FOOT
COMB = np.array([(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (12, 32), (12, 20), (0, 20)]) * FOOT


def found(
    points: NDArray[np.float64], wanted: float, usable: NDArray[np.bool_] | None = None
) -> tuple[PairDistances, LeastSet]:
    distances = all_distances(points - points.mean(axis=0), TAPE)
    if usable is None:
        usable = np.ones(len(distances.length), dtype=bool)
    return distances, least_set(distances, usable, wanted)


def worst_radius(points: NDArray[np.float64], pairs: list[tuple[int, int]], error: float) -> float:
    """The greatest 95 % radius by the pseudo-inverse of the normal matrix, written out anew."""
    normal = np.zeros((2 * len(points),) * 2)
    for i, j in pairs:
        row = np.zeros(2 * len(points))
        way = (points[j] - points[i]) / math.dist(points[i], points[j])
        row[2 * i : 2 * i + 2], row[2 * j : 2 * j + 2] = -way, way
        normal += np.outer(row, row)
    values = np.linalg.eigvalsh(normal)
    if np.count_nonzero(values > 1e-9 * values[-1]) < 2 * len(points) - 3:
        return math.inf
    inverse = np.linalg.pinv(normal, rcond=1e-9, hermitian=True)
    blocks = [inverse[2 * i : 2 * i + 2, 2 * i : 2 * i + 2] for i in range(len(points))]
    return 2.447746830680816 * error * math.sqrt(max(np.linalg.eigvalsh(b)[-1] for b in blocks))


@pytest.mark.parametrize("inches", [1 / 2, 3 / 8, 1 / 4, 3 / 16])
@pytest.mark.parametrize("points", [RECTANGLE, WING[:5]], ids=["rectangle", "five corners"])
def test_no_set_of_fewer_distances_reaches_the_radius(
    points: NDArray[np.float64], inches: float
) -> None:
    """Against every set there is."""
    pairs = list(itertools.combinations(range(len(points)), 2))
    wanted = inches * INCH
    sizes = [
        size
        for size in range(2 * len(points) - 3, len(pairs) + 1)
        for kept in itertools.combinations(pairs, size)
        if worst_radius(points, list(kept), INCH / 8) <= wanted
    ]
    _, answer = found(points, wanted)
    assert answer.reached == bool(sizes)
    if sizes:
        assert len(answer.taken) == min(sizes)
        assert answer.exact


def test_the_radii_are_those_of_the_set_and_keep_the_radius() -> None:
    distances, answer = found(WING, INCH / 4)
    pairs = [(int(distances.first[r]), int(distances.second[r])) for r in answer.taken]
    greatest = worst_radius(WING, pairs, INCH / 8)
    assert max(answer.radii) == pytest.approx(greatest, rel=0, abs=1e-9)
    assert greatest <= INCH / 4


def test_a_workshop_with_a_wing_needs_eleven_of_fifteen_for_a_quarter_inch() -> None:
    _, answer = found(WING, INCH / 4)
    assert (len(answer.taken), answer.exact, answer.usable) == (11, True, 15)


def test_out_of_reach_says_what_all_of_them_give() -> None:
    _, answer = found(WING, INCH / 8)
    assert not answer.reached
    pairs = list(itertools.combinations(range(6), 2))
    assert answer.whole == pytest.approx(worst_radius(WING, pairs, INCH / 8), rel=0, abs=1e-9)


def test_more_corners_give_few_distances_and_a_bound_that_holds() -> None:
    distances, answer = found(COMB, 0.3 * INCH)
    assert 2 * 8 - 3 <= answer.at_least <= len(answer.taken) < answer.usable
    pairs = [(int(distances.first[r]), int(distances.second[r])) for r in answer.taken]
    assert worst_radius(COMB, pairs, INCH / 8) <= 0.3 * INCH
    # none of them can be left out
    for pair in pairs:
        rest = [each for each in pairs if each != pair]
        assert worst_radius(COMB, rest, INCH / 8) > 0.3 * INCH


def test_distances_that_cannot_be_taped_are_not_taken() -> None:
    usable = np.ones(15, dtype=bool)
    usable[[1, 7]] = False
    _, answer = found(WING, INCH / 2, usable)
    assert answer.reached
    assert not {1, 7} & set(answer.taken)


def test_what_cannot_be_fixed_has_no_radius() -> None:
    usable = np.ones(6, dtype=bool)
    usable[[1, 4]] = False
    _, answer = found(RECTANGLE, INCH, usable)
    assert (answer.reached, answer.whole) == (False, None)


def test_turning_and_mirroring_change_nothing() -> None:
    turn = math.radians(17)
    turned = WING @ np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    here, there = found(WING, INCH / 4)[1], found(turned * (-1, 1) + (300, 700), INCH / 4)[1]
    assert here.taken == there.taken
    assert here.radii == pytest.approx(there.radii, rel=0, abs=1e-9)


def test_very_many_distances_start_from_a_choice_of_them() -> None:
    rng = np.random.default_rng(8)
    points = rng.uniform(0, 40, (45, 2))
    distances, answer = found(points, 0.3 * INCH)
    pairs = [(int(distances.first[r]), int(distances.second[r])) for r in answer.taken]
    assert answer.usable == 990
    assert answer.at_least <= len(pairs) < 400
    assert worst_radius(points, pairs, INCH / 8) <= 0.3 * INCH * (1 + 1e-6)
