"""The stretches joined into one problem, with the run between steps kept across junctions too.

Steps on both sides of a junction on one wall must keep the run between steps together. Where each
side's own distance from the junction does not see to that, the distance of the nearest step
before it is chosen among the few there are, and the nearest one after it keeps the rest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.grade.stepped_footing import CellBounds
from staking.grade.stepping.eliminate import Factor, least_totals, only_levels
from staking.grade.stepping.step_places import WallRun, stretches
from staking.grade.stepping.stretch import NEVER, CellStretch, CostTable, solve_stretches, trace
from staking.grade.stepping.wall_network import Network
from staking.tolerances import ON_LINE

Costs = npt.NDArray[np.int64]


@frozen(eq=False)
class Part:
    """A stretch and what may be chosen at the junctions it ends on.

    Parameters
    ----------
    stretch
        The stretch with every step that its distances from corners and junctions allow.
    gaps
        Which choice is made at its start and which at its end. Choices are numbered on from the
        last node; None at an end where nothing is to be chosen.
    variants
        The stretch as it is under each pair of choices, one at its start and one at its end.
    """

    stretch: CellStretch
    gaps: tuple[int | None, int | None]
    variants: dict[tuple[int, int], CellStretch]


def wall_parts(
    network: Network,
    bounds: Sequence[CellBounds],
    shifts: Sequence[int],
    runs: Sequence[WallRun],
    min_run: float,
) -> list[Part]:
    """Cut the walls at corners and junctions, and find what is to be chosen at junctions.

    Parameters
    ----------
    network, bounds, shifts, runs
        As for `staking.grade.stepping.step_places.stretches`.
    min_run
        Least distance between steps on one wall, m.

    Returns
    -------
    list of Part
        Walls in order, each from its first corner.
    """
    whole = stretches(network, bounds, shifts, runs)
    number = len(network.nodes)
    before: tuple[int | None, list[float]] = (None, [])
    found = []
    for i, stretch in enumerate(whole):
        after: tuple[int | None, list[float]] = (None, [])
        last = i + 1 == len(whole) or whole[i + 1].strand != stretch.strand
        if not last:
            splits = _splits(stretch, whole[i + 1], min_run)
            if splits:
                after = (number, splits)
                number += 1
        starts = [min_run - split for split in before[1]] or [0.0]
        ends = after[1] or [0.0]
        variants = {
            (a, b): _kept_clear(stretch, start, end)
            for (a, start), (b, end) in product(enumerate(starts), enumerate(ends))
        }
        found.append(Part(stretch=stretch, gaps=(before[0], after[0]), variants=variants))
        before = (None, []) if last else after
    return found


def _splits(left: CellStretch, right: CellStretch, min_run: float) -> list[float]:
    # Distances the last step before a junction may be told to keep, ascending; none where the
    # steps on both sides are always far enough apart.
    here = float(left.edges[-1])
    one, other = here - left.edges[left.may], right.edges[right.may] - here
    if not len(one) or not len(other) or one.min() + other.min() >= min_run - ON_LINE:
        return []
    most = min_run - float(other.min())
    return sorted({*one[one < most - ON_LINE].tolist(), most})


def _kept_clear(stretch: CellStretch, start: float, end: float) -> CellStretch:
    # The stretch without steps nearer than so much to its ends.
    if not (start or end):
        return stretch
    clear = stretch.edges >= stretch.edges[0] + start - ON_LINE
    clear &= stretch.edges <= stretch.edges[-1] - end + ON_LINE
    return replace(stretch, may=stretch.may & clear)


def solve_parts(
    parts: Sequence[Part],
    levels: Costs,
    steps: tuple[int, int],
    min_run: float,
    counts: int = 1,
) -> tuple[list[dict[tuple[int, int], CostTable]], list[Factor]]:
    """Work out every part's tables and the costs they put on nodes and choices.

    Parameters
    ----------
    parts
        The parts.
    levels, steps, min_run, counts
        As for `staking.grade.stepping.stretch.solve_stretches`.

    Returns
    -------
    tuple
        Tables by choice for each part, and a factor for each part.
    """
    flat = [variant for part in parts for variant in part.variants.values()]
    solved = iter(solve_stretches(flat, levels, steps, min_run, counts))
    tables = [{choice: next(solved) for choice in part.variants} for part in parts]
    factors = [_factor(part, table) for part, table in zip(parts, tables, strict=True)]
    return tables, factors


def _factor(part: Part, tables: dict[tuple[int, int], CostTable]) -> Factor:
    # Start level, end level, both choices, number of steps; the axes in ascending order of node.
    starts, ends = (max(choice[i] for choice in tables) + 1 for i in (0, 1))
    whole = {choice: table.to_go[0] for choice, table in tables.items()}
    levels = next(iter(whole.values())).shape[:2]
    counts = max(each.shape[2] for each in whole.values())
    cost = np.full((*levels, starts, ends, counts), NEVER, dtype=np.int64)
    for (a, b), own in whole.items():
        if not (part.stretch.must & ~part.variants[a, b].may).any():
            cost[:, :, a, b, : own.shape[2]] = own
    nodes = [part.stretch.start, part.stretch.end]
    for axis, gap in ((3, part.gaps[1]), (2, part.gaps[0])):
        if gap is None:
            cost = cost[:, :, :, 0] if axis == 3 else cost[:, :, 0]
    nodes += [gap for gap in part.gaps if gap is not None]
    if nodes[0] == nodes[1]:
        nodes, cost = nodes[1:], np.moveaxis(np.diagonal(cost), -1, 0)
    order = sorted(range(len(nodes)), key=lambda axis: nodes[axis])
    cost = cost.transpose(*order, len(nodes))
    return Factor(tuple(nodes[axis] for axis in order), cost)


def settle(
    network: Network,
    parts: Sequence[Part],
    tables: Sequence[dict[tuple[int, int], CostTable]],
    factors: list[Factor],
    steps: tuple[int, int],
) -> list[list[int]] | None:
    """Find the cheapest levels cell by cell, ties by the rule: walls by name, cells in order.

    Parameters
    ----------
    network, parts, tables, factors
        The problem.
    steps
        As for `staking.grade.stepping.stretch.solve_stretches`.

    Returns
    -------
    list of list of int or None
        For each part the places of its cells' levels; None where nothing is allowed.
    """
    best, only = only_levels(factors)
    if best >= NEVER:
        return None
    chosen = only or {}

    def fitting(node: int, also: dict[int, int]) -> list[int]:
        if node in chosen:
            total = int(least_totals(factors, {**chosen, **also})[0])
            return [chosen[node]] if total == best else []
        totals = least_totals(factors, {**chosen, **also}, node)[:, 0]
        return [int(level) for level in np.flatnonzero(totals == best)[::-1]]

    found: list[list[int]] = [[] for _ in parts]
    order = sorted(range(len(parts)), key=lambda i: network.strands[parts[i].stretch.strand].name)
    for i in order:
        part = parts[i]
        start, end = part.stretch.start, part.stretch.end
        if start not in chosen:
            chosen[start] = fitting(start, {})[0]
        gap_before, gap_after = part.gaps
        a = 0 if gap_before is None else chosen[gap_before]
        choices = sorted({b for one, b in part.variants if one == a})
        if gap_after is not None and gap_after in chosen:
            choices = [chosen[gap_after]]
        ways = []
        for b in choices:
            also = {} if gap_after is None or gap_after in chosen else {gap_after: b}
            ends = [chosen[end]] if end in chosen and not also else fitting(end, also)
            for level in ends:
                pair = (chosen[start], level)
                ways.append((trace(part.variants[a, b], tables[i][a, b], pair, steps), b, level))
        # Of choices with the same steps the greatest leaves the next stretch most freedom.
        found[i], b, chosen[end] = max(ways)
        if gap_after is not None:
            chosen[gap_after] = b
    return found
