"""One stretch between two corners or junctions: the cheapest steps for every pair of end levels.

Costs are whole numbers, so that ties are ties: nanometres of wall for each course, times
`SCALE`, plus the number of steps. The cheapest therefore also has the fewest steps.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError

Costs = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

NANO = 1e9
SCALE = 1024
"""More than the steps of any footing, so that they never weigh against a nanometre."""

NEVER = 1 << 61
"""The cost of what is not allowed; two of them still fit a 64-bit integer."""

REACHED = 1e-6
"""A distance short by less than this, m, is kept."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stretch:
    """The cells between two nodes.

    Parameters
    ----------
    start, end
        Node numbers.
    first_cell
        The number of its first cell in its wall.
    edges
        Stations of the cells' ends, m, ``(k + 1,)``.
    least
        The smallest level allowed in each cell, ``(k,)``.
    may, must
        Whether a step may, and has to, stand at each end of a cell, ``(k + 1,)``.
    """

    strand: int
    start: int
    end: int
    first_cell: int
    edges: Floats
    least: Costs
    may: npt.NDArray[np.bool_]
    must: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Table:
    """Costs to go.

    Parameters
    ----------
    to_go
        Row ``j`` holds, for a step just made at edge ``j`` (0: the start), the least cost of the
        rest by level, end level and number of steps, ``(k + 1, levels, levels, counts)``.
    cells, banned
        Cost, and number of cells too high, before each edge by level, ``(k + 1, levels)``.
    following
        For each edge the first one at which the next step may stand.
    """

    to_go: Costs
    cells: Costs
    banned: Costs
    following: list[int]


def solve_stretch(
    stretch: Stretch, levels: Costs, steps: tuple[int, int], min_run: float, counts: int = 1
) -> Table:
    """Find the least cost between every pair of end levels.

    Parameters
    ----------
    stretch
        The cells.
    levels
        The levels there are, ``(n,)``, ascending without gaps.
    steps
        The cost of one step, in the module's whole numbers, and the levels it may change.
    min_run
        Least distance between steps, m.
    counts
        How many numbers of steps to keep apart: 0, 1 … and in the last place that many or more.

    Returns
    -------
    Table
        ``to_go[0]`` is the stretch's own table, start level by end level.

    Notes
    -----
    Dynamic programming from the end: at each edge either the level is kept or a step is made,
    after which it is kept over `min_run`.
    """
    count, size = len(stretch.least), len(levels)
    shape = (count + 1, size, size, counts)
    lengths = np.rint(np.diff(stretch.edges) * NANO).astype(np.int64) * SCALE
    cells = np.zeros((count + 1, size), dtype=np.int64)
    np.cumsum(lengths[:, None] * levels, axis=0, out=cells[1:])
    banned = np.zeros((count + 1, size), dtype=np.int64)
    np.cumsum(stretch.least[:, None] > levels, axis=0, out=banned[1:])
    passed = np.concatenate(([0], np.cumsum(stretch.must)))
    reach = stretch.edges + min_run - REACHED
    following = np.maximum(np.searchsorted(stretch.edges, reach), np.arange(count + 1) + 1).tolist()
    to_go = np.full(shape, NEVER, dtype=np.int64)
    # Row `k` of `free` is the cost from edge k on, free to step there or not.
    free = np.full(shape, NEVER, dtype=np.int64)
    free[count, np.arange(size), np.arange(size), 0] = 0
    must = stretch.must.tolist()
    # Only where a step may stand does anything have to be decided.
    halts = [0, *(np.flatnonzero(stretch.may[1:-1]) + 1).tolist(), count]
    for place in range(len(halts) - 2, -1, -1):
        j, onward = halts[place], halts[place + 1]
        keep = _add(free[onward], _spent(cells, banned, j, onward))
        # Over the run after a step no other may stand, so none may have to.
        k = onward if j == 0 else halts[bisect_left(halts, min(following[j], count))]
        if j == 0 or passed[k] == passed[j + 1]:
            to_go[j] = keep if k == onward else _add(free[k], _spent(cells, banned, j, k))
        if j == 0:
            break
        made = _step(to_go[j], *steps)
        free[j] = made if must[j] else np.minimum(keep, made)
    return Table(to_go=to_go, cells=cells, banned=banned, following=following)


def _spent(cells: Costs, banned: Costs, start: int, end: int) -> Costs:
    # The cost of keeping each level from one edge to another.
    spent: Costs = np.where(banned[end] > banned[start], NEVER, cells[end] - cells[start])
    return spent


def _step(after: Costs, step: int, max_step: int) -> Costs:
    # The cost before a step, from the costs after it.
    best: Costs = np.full_like(after, NEVER)
    for change in range(1, min(max_step, len(after) - 1) + 1):
        np.minimum(best[:-change], after[change:], out=best[:-change])
        np.minimum(best[change:], after[:-change], out=best[change:])
    best += step
    np.minimum(best, NEVER, out=best)
    if best.shape[2] > 1:
        counted = np.full_like(best, NEVER)
        counted[:, :, 1:] = best[:, :, :-1]
        counted[:, :, -1] = np.minimum(counted[:, :, -1], best[:, :, -1])
        return counted
    return best


def _add(rest: Costs, cost: Costs) -> Costs:
    total = rest + cost[:, None, None]
    np.minimum(total, NEVER, out=total)
    return total


def trace(
    stretch: Stretch, table: Table, ends: tuple[int, int], steps: tuple[int, int]
) -> list[int]:
    """Give the cheapest levels between two end levels.

    Parameters
    ----------
    stretch, table
        From `solve_stretch`.
    ends
        Places in `levels` of the levels at both ends.
    steps
        As there.

    Returns
    -------
    list of int
        For each cell the place of its level in `levels`; among equally cheap ones the greater
        at the first cell in which they differ.

    Raises
    ------
    ComputationError
        Where the table has no way between these levels.
    """
    count = len(stretch.least)
    here, last = ends
    at, nearest, found = 0, 1, []
    while True:
        best: tuple[int, int] | None = None
        for k, level in _options(stretch, table, (at, nearest, here), last, steps):
            if level > here:
                best = (k, level)
                break
            if best is None or best[0] < k:
                best = (k, level)
        if best is None:
            raise ComputationError("there are no steps between these levels")
        found += [here] * (best[0] - at)
        at, here = best
        if at == count:
            return found
        nearest = table.following[at]


def _options(
    stretch: Stretch,
    table: Table,
    state: tuple[int, int, int],
    last: int,
    steps: tuple[int, int],
) -> list[tuple[int, int]]:
    # Edges and levels of the next step on a cheapest way, by edge, the greater level first;
    # the stretch's end for none.
    at, nearest, here = state
    step, max_step = steps
    count, size = len(stretch.least), table.to_go.shape[1]
    target = table.to_go[at, here, last, 0]
    options = []
    for k in range(min(nearest, count), count + 1):
        if table.banned[k, here] > table.banned[at, here]:
            break
        spent = table.cells[k, here] - table.cells[at, here]
        if k == count:
            if here == last and spent == target:
                options.append((k, here))
            break
        if not stretch.may[k]:
            continue
        for level in range(min(here + max_step, size - 1), max(here - max_step, 0) - 1, -1):
            if level != here and spent + step + table.to_go[k, level, last, 0] == target:
                options.append((k, level))
        if stretch.must[k]:
            break
    return options
