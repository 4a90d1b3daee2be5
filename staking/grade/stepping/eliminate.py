"""The whole network: corners eliminated one after another, those with fewest neighbours first."""

from __future__ import annotations

from collections.abc import Sequence

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
    number of steps; it ends where no more can be made.
    """

    nodes: tuple[int, ...]
    cost: Costs


def least_totals(
    factors: list[Factor],
    chosen: dict[int, int],
    kept: int | None = None,
    record: list[tuple[int, list[Factor]]] | None = None,
    counts: int = 1,
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
        A list to which every node is added when it is eliminated, with the costs from whose sum
        its best level was chosen.
    counts
        How many numbers of steps are kept apart, the last of them that many or more.

    Returns
    -------
    ndarray
        The sum by number of steps, ``(counts,)`` or fewer, or by the kept node's level and number
        of steps, ``(levels, counts)``; `NEVER` where nothing is allowed.

    Notes
    -----
    Variable elimination: the node that shares factors with the fewest others is minimised out
    first; ties by node number.
    """
    total = np.zeros(1, dtype=np.int64)
    live = []
    for factor in factors:
        reduced = _settle(factor, chosen)
        if reduced.nodes:
            live.append(reduced)
        else:
            total = summed(total, reduced.cost, counts)
    while any(factor.nodes != (kept,) for factor in live):
        node = next_node(live, kept)
        touching = [factor for factor in live if node in factor.nodes]
        live = [factor for factor in live if node not in factor.nodes]
        if record is not None:
            record.append((node, touching))
        left = minimised(touching, node, counts)
        if left.nodes:
            live.append(left)
        else:
            total = summed(total, left.cost, counts)
    for factor in live:
        total = summed(total, factor.cost, counts)
    return total


def minimised(touching: Sequence[Factor], node: int, counts: int) -> Factor:
    """Minimise one node out of the costs that depend on it.

    Parameters
    ----------
    touching
        These costs.
    node
        The node.
    counts
        How many numbers of steps are kept apart.

    Returns
    -------
    Factor
        The least sum, of the other nodes' levels.

    Notes
    -----
    A level that one of the costs never allows is in no sum. Where numbers of steps are kept apart
    only levels are added that all of them allow: a corner at the low end of a slope has few.
    """
    nodes = tuple(sorted({n for factor in touching for n in factor.nodes}))
    rest = tuple(n for n in nodes if n != node)
    if counts == 1:
        return Factor(rest, _added(touching, nodes, counts).min(axis=nodes.index(node)))
    sizes, kept = _sizes(touching), _allowed(touching)
    fewer = [
        Factor(factor.nodes, factor.cost[np.ix_(*(kept[n] for n in factor.nodes))])
        for factor in touching
    ]
    total = _added(fewer, nodes, counts)
    cost = np.full((*(sizes[n] for n in rest), total.shape[-1]), NEVER, dtype=np.int64)
    if total.size:
        cost[np.ix_(*(kept[n] for n in rest))] = total.min(axis=nodes.index(node))
    return Factor(rest, cost)


def _sizes(factors: Sequence[Factor]) -> dict[int, int]:
    return {
        n: size
        for factor in factors
        for n, size in zip(factor.nodes, factor.cost.shape, strict=False)
    }


def _allowed(factors: Sequence[Factor]) -> dict[int, npt.NDArray[np.intp]]:
    # By node the levels that no cost forbids whatever the others' levels are.
    allowed = {n: np.ones(size, dtype=bool) for n, size in _sizes(factors).items()}
    for factor in factors:
        may = factor.cost.min(axis=-1) < NEVER
        for axis, n in enumerate(factor.nodes):
            allowed[n] &= may.any(axis=tuple(i for i in range(may.ndim) if i != axis))
    return {n: np.flatnonzero(each) for n, each in allowed.items()}


def _added(factors: Sequence[Factor], nodes: tuple[int, ...], counts: int) -> Costs:
    # The sum of costs, one axis for each node.
    total = np.zeros((1,) * (len(nodes) + 1), dtype=np.int64)
    for factor in factors:
        sizes = dict(zip(factor.nodes, factor.cost.shape, strict=False))
        shape = [*(sizes.get(n, 1) for n in nodes), factor.cost.shape[-1]]
        total = summed(total, factor.cost.reshape(shape), counts)
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
    record: list[tuple[int, list[Factor]]] = []
    least = int(least_totals(factors, {}, record=record)[0])
    levels: dict[int, int] = {}
    for node, touching in reversed(record):
        costs = sum_at(touching, levels, 1)[:, 0]
        best = int(costs.argmin())
        if costs[best] >= NEVER or np.count_nonzero(costs == costs[best]) > 1:
            return least, None
        levels[node] = best
    return least, levels


def sum_at(touching: Sequence[Factor], levels: dict[int, int], counts: int) -> Costs:
    """Add costs at given levels of all nodes but one.

    Parameters
    ----------
    touching
        Costs that all depend on that node.
    levels
        The other nodes' levels.
    counts
        How many numbers of steps are kept apart.

    Returns
    -------
    ndarray
        By the node's level and number of steps.
    """
    total = np.zeros((1, 1), dtype=np.int64)
    for factor in touching:
        total = summed(total, _settle(factor, levels).cost, counts)
    return total


def summed(first: Costs, second: Costs, counts: int) -> Costs:
    """Add costs and count their steps together.

    Parameters
    ----------
    first, second
        Costs that go together but for their last axis, the number of steps.
    counts
        How many numbers of steps are kept apart, the last of them that many or more.

    Returns
    -------
    ndarray
        The least sums, by number of steps, up to as many as both can have together.
    """
    if counts == 1:
        plain: Costs = np.minimum(first + second, NEVER)
        return plain
    if first.shape[-1] > second.shape[-1]:
        first, second = second, first
    shape = np.broadcast_shapes(first.shape[:-1], second.shape[:-1])
    many = min(counts, first.shape[-1] + second.shape[-1] - 1)
    total = np.full((*shape, many), NEVER, dtype=np.int64)
    for i in range(first.shape[-1]):
        moved = first[..., i, None] + second
        room = min(second.shape[-1], many - i)
        here = total[..., i : i + room]
        np.minimum(here, moved[..., :room], out=here)
        if room < second.shape[-1]:
            over = moved[..., room:].min(axis=-1)
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
