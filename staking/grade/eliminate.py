"""The whole network: corners eliminated one after another, those with fewest neighbours first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from staking.grade.stretch import NEVER

Costs = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Factor:
    """A cost by the levels of some nodes, in ascending order of node, one axis each.

    The last axis is the number of steps.
    """

    nodes: tuple[int, ...]
    cost: Costs


def pair_factor(first: int, second: int, cost: Costs) -> Factor:
    """Make a factor of a stretch's table; a stretch from a node to itself is its diagonal.

    Returns
    -------
    Factor
        Axes in ascending order of node.
    """
    if first == second:
        return Factor((first,), np.diagonal(cost).T.copy())
    if first < second:
        return Factor((first, second), cost)
    return Factor((second, first), cost.transpose(1, 0, 2))


def least_totals(
    factors: list[Factor], size: int, chosen: dict[int, int], kept: int | None = None
) -> Costs:
    """Find the least sum of all factors.

    Parameters
    ----------
    factors
        The costs.
    size
        How many levels there are.
    chosen
        Levels already settled, by node.
    kept
        A node, not among those, whose levels are to be kept apart.

    Returns
    -------
    ndarray
        The sum by number of steps, ``(counts,)``, or by the kept node's level and number of
        steps, ``(size, counts)``; `NEVER` where nothing is allowed.

    Notes
    -----
    Variable elimination: the node that shares factors with the fewest others is minimised out
    first; ties by node number.
    """
    counts = factors[0].cost.shape[-1]
    total = np.full(counts, NEVER, dtype=np.int64)
    total[0] = 0
    live = []
    for factor in factors:
        reduced = _settle(factor, chosen)
        if reduced.nodes:
            live.append(reduced)
        else:
            total = _sum(total, reduced.cost)
    while any(factor.nodes != (kept,) for factor in live):
        node = _next(live, kept)
        touching = [factor for factor in live if node in factor.nodes]
        live = [factor for factor in live if node not in factor.nodes]
        nodes = tuple(sorted({n for factor in touching for n in factor.nodes}))
        cost = np.full((1,) * len(nodes) + (counts,), NEVER, dtype=np.int64)
        cost[..., 0] = 0
        for factor in touching:
            shape = [size if n in factor.nodes else 1 for n in nodes]
            cost = _sum(cost, factor.cost.reshape([*shape, counts]))
        cost = cost.min(axis=nodes.index(node))
        rest = tuple(n for n in nodes if n != node)
        if rest:
            live.append(Factor(rest, cost))
        else:
            total = _sum(total, cost)
    for factor in live:
        total = _sum(total, factor.cost)
    return total


def _sum(first: Costs, second: Costs) -> Costs:
    # Costs added and steps counted together; the last place stands for that many or more.
    counts = first.shape[-1]
    if counts == 1:
        plain: Costs = np.minimum(first + second, NEVER)
        return plain
    shape = np.broadcast_shapes(first.shape, second.shape)
    total = np.full(shape, NEVER, dtype=np.int64)
    for i in range(counts):
        moved = first[..., i, None] + second
        total[..., i:] = np.minimum(total[..., i:], moved[..., : counts - i])
        if i:
            over = moved[..., counts - i :].min(axis=-1)
            total[..., -1] = np.minimum(total[..., -1], over)
    return total


def _settle(factor: Factor, chosen: dict[int, int]) -> Factor:
    index = tuple(chosen.get(node, slice(None)) for node in factor.nodes)
    left = tuple(node for node in factor.nodes if node not in chosen)
    return Factor(left, np.asarray(factor.cost[index]))


def _next(live: list[Factor], kept: int | None) -> int:
    neighbours: dict[int, set[int]] = {}
    for factor in live:
        for node in factor.nodes:
            neighbours.setdefault(node, set()).update(factor.nodes)
    neighbours.pop(-1 if kept is None else kept, None)
    return min(neighbours, key=lambda node: (len(neighbours[node]), node))
