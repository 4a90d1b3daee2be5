"""The cheapest footing with each number of steps, exactly.

The corners are minimised out as for the cheapest of all, numbers of steps kept apart, and what was
added to what is remembered: from a total with so many steps the levels of the corners, and how many
steps each stretch makes, are found by going back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.grade.stepping.eliminate import Factor, minimised, next_node, sum_at, summed
from staking.grade.stepping.joined_stretches import Part
from staking.grade.stepping.stretch import NEVER, CostTable, trace

Costs = npt.NDArray[np.int64]

_MOST_WAYS = 200
"""Of equally cheap ways at most so many are looked at for the one that the rule for ties takes."""

Levels = dict[int, int]
Counts = dict[int, int]


@frozen(eq=False)
class _Sum:
    """What is left of some costs when a node is minimised out of them.

    `part` numbers the stretch whose own cost it is; else `node` is minimised out of the sum of
    `added`.
    """

    left: Factor
    part: int | None = None
    node: int | None = None
    added: tuple[_Sum, ...] = ()


def counted_levels(
    names: Sequence[str],
    parts: Sequence[Part],
    tables: Sequence[dict[tuple[int, int], CostTable]],
    factors: Sequence[Factor],
    steps: tuple[int, int],
    under: int,
) -> tuple[list[list[int]] | None, ...]:
    """Find the cheapest levels for each number of steps.

    Parameters
    ----------
    names
        The walls' names, by their number.
    parts, tables, factors
        As `staking.grade.stepping.joined_stretches.solve_parts` gives them, with numbers of steps
        kept apart.
    steps
        As there.
    under
        Numbers of steps that are asked for: those under this one, which are kept apart there.

    Returns
    -------
    tuple
        For none, one, two … steps, under so many: for each part the places of
        its cells' levels, or None where no footing has so many. Of equally cheap ones that with
        the greater level at the first cell in which they differ, walls by name.
    """
    sums = _eliminated(factors, under + 1)
    total = _whole([each.left.cost for each in sums], under + 1)
    order = sorted(range(len(parts)), key=lambda i: names[parts[i].stretch.strand])
    found: list[list[list[int]] | None] = []
    for count in range(under):
        if count >= len(total) or total[count] >= NEVER:
            found.append(None)
            continue
        ways = [
            _traced(parts, tables, levels, counts, steps)
            for levels, counts in islice(_shared(sums, {}, count, under + 1), _MOST_WAYS)
        ]
        found.append(max(ways, key=lambda way: [way[i] for i in order]))
    return tuple(found)


def _eliminated(factors: Sequence[Factor], kept_apart: int) -> list[_Sum]:
    live = [_Sum(left=factor, part=i) for i, factor in enumerate(factors)]
    while any(each.left.nodes for each in live):
        node = next_node([each.left for each in live])
        added = tuple(each for each in live if node in each.left.nodes)
        live = [each for each in live if node not in each.left.nodes]
        left = minimised([each.left for each in added], node, kept_apart)
        live.append(_Sum(left=left, node=node, added=added))
    return live


def _whole(costs: Sequence[Costs], kept_apart: int) -> Costs:
    total = costs[0]
    for cost in costs[1:]:
        total = summed(total, cost, kept_apart)
    return total


def _shared(
    sums: Sequence[_Sum], levels: Levels, count: int, kept_apart: int
) -> Iterator[tuple[Levels, Counts]]:
    # Every way in which some sums together make so many steps at the least cost.
    vectors = [_at(each.left, levels) for each in sums]
    for split in _splits(vectors, count, kept_apart):
        yield from _each(list(zip(sums, split, strict=True)), levels, kept_apart)


def _each(
    shares: Sequence[tuple[_Sum, int]], levels: Levels, kept_apart: int
) -> Iterator[tuple[Levels, Counts]]:
    if not shares:
        yield levels, {}
        return
    (first, count), *rest = shares
    for chosen, counts in _back(first, levels, count, kept_apart):
        for others, more in _each(rest, chosen, kept_apart):
            yield others, {**counts, **more}


def _back(
    one: _Sum, levels: Levels, count: int, kept_apart: int
) -> Iterator[tuple[Levels, Counts]]:
    if one.node is None:
        if one.part is not None:
            yield levels, {one.part: count}
        return
    least = int(_at(one.left, levels)[count])
    costs = sum_at([each.left for each in one.added], levels, kept_apart)[:, count]
    for level in np.flatnonzero(costs == least)[::-1].tolist():
        yield from _shared(one.added, {**levels, one.node: level}, count, kept_apart)


def _at(factor: Factor, levels: Levels) -> Costs:
    cost: Costs = factor.cost[tuple(levels[node] for node in factor.nodes)]
    return cost


def _splits(vectors: Sequence[Costs], count: int, kept_apart: int) -> Iterator[tuple[int, ...]]:
    # Every way in which so many steps are shared out at the least sum.
    if len(vectors) == 1:
        yield (count,)
        return
    before, last = vectors[:-1], vectors[-1]
    rest = _whole(before, kept_apart)
    shares = range(max(0, count - len(rest) + 1), min(count + 1, len(last)))
    least = min(int(rest[count - own]) + int(last[own]) for own in shares)
    for own in shares:
        if rest[count - own] + last[own] == least:
            for split in _splits(before, count - own, kept_apart):
                yield (*split, own)


def _traced(
    parts: Sequence[Part],
    tables: Sequence[dict[tuple[int, int], CostTable]],
    levels: Levels,
    counts: Counts,
    steps: tuple[int, int],
) -> list[list[int]]:
    found = []
    for i, part in enumerate(parts):
        before, after = (0 if gap is None else levels[gap] for gap in part.gaps)
        ends = (levels[part.stretch.start], levels[part.stretch.end])
        chosen = (before, after)
        found.append(trace(part.variants[chosen], tables[i][chosen], ends, steps, counts[i]))
    return found
