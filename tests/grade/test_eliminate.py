"""Costs of stretches added over the corners they share, against every choice of levels."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from staking.grade.stepping.eliminate import Factor, least_totals, only_levels
from staking.grade.stepping.stretch import NEVER

RINGS = (
    ((0, 1), (1, 2), (2, 3), (0, 3)),
    ((0, 1), (1, 2), (0, 2), (2, 3)),
    ((0, 1), (1, 2, 4), (2, 3), (0, 3, 4)),
    ((0,), (0, 1), (2, 3)),
)
"""Corners of each stretch: round a building, with a tail, with a choice at a junction, parted."""


def some_factors(rng: np.random.Generator) -> list[Factor]:
    """Costs with so many numbers of steps each as it has; a third of all is not allowed."""
    found = []
    sizes = rng.integers(2, 5, 5)
    for nodes in RINGS[int(rng.integers(len(RINGS)))]:
        cost = rng.integers(0, 9, (*sizes[list(nodes)], int(rng.integers(1, 5))))
        cost[rng.random(cost.shape) < 1 / 3] = NEVER
        found.append(Factor(nodes, cost.astype(np.int64)))
    return found


def every_choice(factors: list[Factor]) -> tuple[dict[int, int], dict[int, int]]:
    """The least sum by number of steps, and by the first corner's level for any number."""
    sizes = {
        n: size
        for factor in factors
        for n, size in zip(factor.nodes, factor.cost.shape, strict=False)
    }
    by_count: dict[int, int] = {}
    by_level: dict[int, int] = {}
    for levels in itertools.product(*(range(size) for size in sizes.values())):
        at = dict(zip(sizes, levels, strict=True))
        costs = [factor.cost[tuple(at[n] for n in factor.nodes)].tolist() for factor in factors]
        for counts in itertools.product(*(range(len(each)) for each in costs)):
            own = [each[count] for each, count in zip(costs, counts, strict=True)]
            if max(own) < NEVER:
                by_count[sum(counts)] = min(by_count.get(sum(counts), NEVER), sum(own))
                by_level[at[0]] = min(by_level.get(at[0], NEVER), sum(own))
    return by_count, by_level


@pytest.mark.parametrize("seed", range(40))
def test_each_number_of_steps_has_the_least_sum_of_every_choice_of_levels(seed: int) -> None:
    factors = some_factors(np.random.default_rng(seed))
    best, _ = every_choice(factors)
    for counts in (2, 3, 5, 20):
        found = least_totals(factors, {}, counts=counts).tolist() + [NEVER] * 20
        for count in range(counts - 1):
            assert found[count] == best.get(count, NEVER)
        more = [cost for count, cost in best.items() if count >= counts - 1]
        assert found[counts - 1] == min(more, default=NEVER)


@pytest.mark.parametrize("seed", range(40))
def test_one_corner_is_kept_apart_and_the_only_best_levels_are_found(seed: int) -> None:
    factors = [
        Factor(each.nodes, each.cost.min(axis=-1, keepdims=True))
        for each in some_factors(np.random.default_rng(seed))
    ]
    best, by_level = every_choice(factors)
    levels = least_totals(factors, {}, kept=0)[:, 0].tolist()
    assert levels == [by_level.get(level, NEVER) for level in range(len(levels))]
    least, only = only_levels(factors)
    assert least == best.get(0, NEVER)
    if only is not None:
        at = [factor.cost[(*(only[n] for n in factor.nodes), 0)] for factor in factors]
        assert sum(at) == least
