"""The whole network: corners eliminated one after another, those with fewest neighbours first."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.grade.stepping.stretch import NEVER

Costs = npt.NDArray[np.int64]


@frozen(kw_only=False, eq=False)
class Factor:
    """A cost that depends on the levels of some nodes.

    It has one axis for each of these nodes, in the order of their numbers.

    A choice at a junction counts as a node, whose levels are the choices. The last axis is the
    number of steps.
    """

    nodes: tuple[int, ...]
    cost: Costs


def least_totals(
    factors: list[Factor],
    chosen: dict[int, int],
    kept: int | None = None,
    record: list[tuple[int, Factor]] | None = None,
) -> Costs:
    """Find the least sum of all factors.

    Parameters
    ----------
    factors
        The costs.
    chosen
        Levels already settled, by node.
    kept
        A node, not among those, whose levels are to be kept apart.
    record
        A list to which every node is added when it is eliminated, with the costs from which its
        best level was chosen.

    Returns
    -------
    ndarray
        The sum by number of steps, ``(counts,)``, or by the kept node's level and number of
        steps, ``(levels, counts)``; `NEVER` where nothing is allowed.

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
            total = summed(total, reduced.cost)
    while any(factor.nodes != (kept,) for factor in live):
        node = next_node(live, kept)
        touching = [factor for factor in live if node in factor.nodes]
        live = [factor for factor in live if node not in factor.nodes]
        nodes = tuple(sorted({n for factor in touching for n in factor.nodes}))
        cost = np.full((1,) * len(nodes) + (counts,), NEVER, dtype=np.int64)
        cost[..., 0] = 0
        for factor in touching:
            sizes = dict(zip(factor.nodes, factor.cost.shape, strict=False))
            shape = [sizes.get(n, 1) for n in nodes]
            cost = summed(cost, factor.cost.reshape([*shape, counts]))
        if record is not None:
            record.append((node, Factor(nodes, cost)))
        cost = cost.min(axis=nodes.index(node))
        rest = tuple(n for n in nodes if n != node)
        if rest:
            live.append(Factor(rest, cost))
        else:
            total = summed(total, cost)
    for factor in live:
        total = summed(total, factor.cost)
    return total


def only_levels(factors: list[Factor]) -> tuple[int, dict[int, int] | None]:
    """Find the least sum and the levels that give it, where they are the only ones.

    Parameters
    ----------
    factors
        The costs, with all numbers of steps taken together.

    Returns
    -------
    tuple
        The sum, and the level of every node; None for these where nothing is allowed or several
        levels give the same sum.
    """
    record: list[tuple[int, Factor]] = []
    least = int(least_totals(factors, {}, record=record)[0])
    levels: dict[int, int] = {}
    for node, factor in reversed(record):
        costs = _settle(factor, levels).cost[:, 0]
        best = int(costs.argmin())
        if costs[best] >= NEVER or np.count_nonzero(costs == costs[best]) > 1:
            return least, None
        levels[node] = best
    return least, levels


def summed(first: Costs, second: Costs) -> Costs:
    """Add costs and count their steps together.

    Parameters
    ----------
    first, second
        Costs that go together but for their last axis, the number of steps, of which the last
        place stands for that many or more.

    Returns
    -------
    ndarray
        The least sums, by number of steps.
    """
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


def next_node(live: list[Factor], kept: int | None = None) -> int:
    """Choose the node that is minimised out next.

    Parameters
    ----------
    live
        What is left of the costs.
    kept
        A node that stays to the last.

    Returns
    -------
    int
        The one that shares costs with the fewest others; ties by node number.
    """
    neighbours: dict[int, set[int]] = {}
    for factor in live:
        for node in factor.nodes:
            neighbours.setdefault(node, set()).update(factor.nodes)
    neighbours.pop(-1 if kept is None else kept, None)
    return min(neighbours, key=lambda node: (len(neighbours[node]), node))
