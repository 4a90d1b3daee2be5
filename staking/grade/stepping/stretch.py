"""One stretch between two corners or junctions: the cheapest steps for every pair of end levels.

Costs are whole numbers, so that ties are ties: nanometres of wall for each course, times
`SCALE`, plus the number of steps. The cheapest therefore also has the fewest steps.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.frozen import frozen

Costs = npt.NDArray[np.int64]
Floats = npt.NDArray[np.float64]

NANO = 1e9
SCALE = 1024
"""More than the steps of any footing, so that they never weigh against a nanometre."""

NEVER = 1 << 61
"""The cost of what is not allowed; two of them still fit a 64-bit integer."""

REACHED = 1e-6
"""A distance short by less than this, m, is kept."""


@frozen(eq=False)
class CellStretch:
    """The cells between two nodes.

    Parameters
    ----------
    start, end
        Node numbers.
    edges
        Stations of the cells' ends, m, ``(k + 1,)``.
    least
        The smallest level allowed in each cell, ``(k,)``.
    may, must
        Whether a step is allowed at each end of a cell, and whether one has to stand there,
        ``(k + 1,)``.
    """

    strand: int
    start: int
    end: int
    edges: Floats
    least: Costs
    may: npt.NDArray[np.bool_]
    must: npt.NDArray[np.bool_]


@frozen(eq=False)
class CostTable:
    """What the rest of a stretch costs from each place on it, for every level and end level.

    Parameters
    ----------
    to_go
        Least costs by level, end level and number of steps, ``(rows, levels, levels, counts)``:
        in row 0 of the whole stretch, in each other row of what is left after a step was made.
        There are no more counts than the stretch can have steps.
    rows
        The row of each edge at which a step may stand; 0 for the start.
    cells, banned
        For each level, what the cells before each edge cost at that level, and how many of them
        do not allow it, ``(k + 1, levels)``.
    following
        For each edge the first one at which the next step may stand.
    """

    to_go: Costs
    rows: dict[int, int]
    cells: Costs
    banned: Costs
    following: list[int]


@frozen(kw_only=False, eq=False)
class _Halts:
    # The places of one stretch where something is decided, counted from its end: place 0 is the
    # end, the last one is the start.
    edges: list[int]
    following: list[int]
    must: list[bool]
    next_halt: list[int]
    may_skip: list[bool]


def solve_stretches(
    parts: Sequence[CellStretch],
    levels: Costs,
    steps: tuple[int, int],
    min_run: float,
    counts: int = 1,
) -> list[CostTable]:
    """Find the least cost between every pair of end levels of every stretch.

    Parameters
    ----------
    parts
        The stretches.
    levels
        The levels there are, ``(n,)``, ascending without gaps.
    steps
        What one step costs, in the whole numbers of this module, and by how many levels it may
        change.
    min_run
        Least distance between steps, m.
    counts
        How many numbers of steps to keep apart at most: 0, 1 … and in the last place that many or
        more. A stretch that can have fewer steps has a table of so many.

    Returns
    -------
    list of CostTable
        For each stretch; ``to_go[0]`` is its own table, start level by end level.

    Notes
    -----
    Dynamic programming from the ends, all stretches side by side: at each edge either the level
    is kept or a step is made, after which it is kept over `min_run`. Where numbers of steps are
    kept apart each stretch goes by itself, so that a short one's table is no wider than it must be.
    """
    if counts > 1:
        return [
            _tables([part], levels, steps, min_run, min(counts, most_steps(part, min_run) + 1))[0]
            for part in parts
        ]
    return _tables(parts, levels, steps, min_run, counts)


def most_steps(stretch: CellStretch, min_run: float) -> int:
    """Count how many steps a stretch can have at most.

    Parameters
    ----------
    stretch
        The stretch.
    min_run
        Least distance between steps, m.

    Returns
    -------
    int
        With each step as soon after the one before as the run allows. In any other way no step
        stands before its equal in this one, so that there is no room for more of them.
    """
    halts = _halts(stretch, min_run)
    places = halts.edges[-2:0:-1]
    found, at = 0, 0
    while at < len(places):
        found += 1
        at = bisect_left(places, halts.following[places[at]])
    return found


def _tables(
    parts: Sequence[CellStretch],
    levels: Costs,
    steps: tuple[int, int],
    min_run: float,
    counts: int,
) -> list[CostTable]:
    halts = [_halts(part, min_run) for part in parts]
    cells, banned, offset = _before(parts, levels)
    most, size, every = max(len(each.edges) for each in halts), len(levels), np.arange(len(parts))
    here = np.zeros((len(parts), most), dtype=np.intp)
    after = np.zeros_like(here)
    must, never = np.zeros(here.shape, dtype=bool), np.ones(here.shape, dtype=bool)
    for i, each in enumerate(halts):
        count = len(each.edges)
        here[i, :count] = each.edges
        here[i] += offset[i]
        after[i, :count], must[i, :count] = each.next_halt, each.must
        never[i, :count] = np.logical_not(each.may_skip)
    keeping = _spent(cells, banned, here[:, 1:], here[:, :-1])
    running = _spent(cells, banned, here, np.take_along_axis(here, after, axis=1))
    running[never] = NEVER
    # Row `k` of `free` is the cost from place k on, free to step there or not; `to_go` has room
    # for levels that are not there on both sides, so that a step is a shift.
    reach = min(steps[1], size)
    free = np.full((most, len(parts), size, size, counts), NEVER, dtype=np.int64)
    room = np.full((most, len(parts), size + 2 * reach, size, counts), NEVER, dtype=np.int64)
    to_go = room[:, :, reach : reach + size]
    free[0, :, np.arange(size), np.arange(size), 0] = 0
    keeping, running = keeping[..., None, None], running[..., None, None]
    forced = [bool(place.any()) for place in must.T]
    for k in range(1, most):
        np.add(free[after[:, k], every], running[:, k], out=to_go[k])
        made = _step(room[k], steps[0], reach)
        keep = free[k - 1] + keeping[:, k - 1]
        np.minimum(keep, made, out=keep)
        if forced[k]:
            keep[must[:, k]] = made[must[:, k]]
        np.minimum(keep, NEVER, out=free[k])
    tables = []
    for i, each in enumerate(halts):
        start = len(each.edges) - 1
        whole = free[start - 1, i] + keeping[i, start - 1]
        part = slice(int(offset[i]), int(offset[i]) + len(parts[i].least) + 1)
        tables.append(
            CostTable(
                to_go=np.concatenate((
                    np.minimum(whole, NEVER)[None],
                    to_go[start - 1 : 0 : -1, i],
                )),
                rows={edge: row for row, edge in enumerate(reversed(each.edges[1:]))},
                cells=cells[part],
                banned=banned[part],
                following=each.following,
            )
        )
    return tables


def _halts(stretch: CellStretch, min_run: float) -> _Halts:
    stations, must = stretch.edges.tolist(), stretch.must.tolist()
    count = len(stations) - 1
    following, near = [], 0
    for edge, station in enumerate(stations):
        while near <= count and stations[near] < station + min_run - REACHED:
            near += 1
        following.append(max(near, edge + 1))
    # Only where a step may stand does anything have to be decided.
    may = stretch.may.tolist()
    ascending = [0, *(edge for edge in range(1, count) if may[edge]), count]
    passed = [0, *accumulate(map(int, must))]
    next_halt, may_skip = [0], [False]
    for edge in ascending[-2::-1]:
        place = bisect_left(ascending, min(following[edge], count))
        next_halt.append(len(ascending) - 1 - place)
        # Over the run after a step no other may stand, so none may have to.
        may_skip.append(passed[ascending[place]] == passed[edge + 1])
    return _Halts(
        edges=ascending[::-1],
        following=following,
        must=[must[edge] for edge in ascending[::-1]],
        next_halt=next_halt,
        may_skip=may_skip,
    )


def _before(
    parts: Sequence[CellStretch], levels: Costs
) -> tuple[Costs, Costs, npt.NDArray[np.intp]]:
    # Cost, and number of cells too high, before each edge by level, one stretch after another,
    # and where each stretch begins.
    lengths, least, offset = [], [], [0]
    nothing = np.zeros(1, dtype=np.int64)
    for part in parts:
        lengths += [np.rint(np.diff(part.edges) * NANO).astype(np.int64) * SCALE, nothing]
        least += [part.least, nothing - 1]
        offset.append(offset[-1] + len(part.least) + 1)
    shape = (offset[-1] + 1, len(levels))
    cells, banned = np.zeros(shape, dtype=np.int64), np.zeros(shape, dtype=np.int64)
    np.cumsum(np.concatenate(lengths)[:, None] * levels, axis=0, out=cells[1:])
    np.cumsum(np.concatenate(least)[:, None] > levels, axis=0, out=banned[1:])
    return cells, banned, np.array(offset[:-1], dtype=np.intp)


def _spent(
    cells: Costs, banned: Costs, start: npt.NDArray[np.intp], end: npt.NDArray[np.intp]
) -> Costs:
    # The cost of keeping each level from one edge to another.
    spent = cells[end] - cells[start]
    spent[banned[end] > banned[start]] = NEVER
    return spent


def _step(room: Costs, step: int, reach: int) -> Costs:
    # The cost before a step of at most `reach` levels, from the costs after it; the second axis
    # is the level, with as much room on both sides.
    size = room.shape[1] - 2 * reach
    if not reach:
        return np.full_like(room, NEVER)
    best: Costs = np.minimum(room[:, reach - 1 : reach - 1 + size], room[:, reach + 1 :][:, :size])
    for change in range(2, reach + 1):
        np.minimum(best, room[:, reach - change :][:, :size], out=best)
        np.minimum(best, room[:, reach + change :][:, :size], out=best)
    best += step
    if best.shape[-1] > 1:
        counted = np.full_like(best, NEVER)
        counted[..., 1:] = best[..., :-1]
        np.minimum(counted[..., -1], best[..., -1], out=counted[..., -1])
        return counted
    return best


def trace(
    stretch: CellStretch,
    table: CostTable,
    ends: tuple[int, int],
    steps: tuple[int, int],
    count: int | None = None,
) -> list[int]:
    """Give the cheapest levels between two end levels.

    Parameters
    ----------
    stretch, table
        From `solve_stretches`.
    ends
        Places in `levels` of the levels at both ends.
    steps
        As there.
    count
        How many steps to make, from a table that keeps their numbers apart; None for the cheapest
        of a table that does not.

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
    cells = len(stretch.least)
    here, last = ends
    at, nearest, found = 0, 1, []
    while True:
        best: tuple[int, int] | None = None
        for k, level in _options(stretch, table, (at, nearest, here), last, steps, count):
            if level > here:
                best = (k, level)
                break
            if best is None or best[0] < k:
                best = (k, level)
        if best is None:
            raise ComputationError("there are no steps between these levels")
        found += [here] * (best[0] - at)
        at, here = best
        if at == cells:
            return found
        nearest = table.following[at]
        count = None if count is None else count - 1


def _options(
    stretch: CellStretch,
    table: CostTable,
    state: tuple[int, int, int],
    last: int,
    steps: tuple[int, int],
    left: int | None,
) -> list[tuple[int, int]]:
    # Edges and levels of the next step on a cheapest way, by edge, the greater level first;
    # the stretch's end for none. `left` is how many steps are still to be made, where they count.
    at, nearest, here = state
    step, max_step = steps
    count, size = len(stretch.least), table.to_go.shape[1]
    target = int(table.to_go[table.rows[at], here, last, left or 0])
    banned, cells = table.banned[:, here].tolist(), table.cells[:, here].tolist()
    reached = range(min(here + max_step, size - 1), max(here - max_step, 0) - 1, -1)
    after: dict[int, list[int]] = {}
    if left != 0:
        rest = 0 if left is None else left - 1
        after = {
            level: table.to_go[:, level, last, rest].tolist() for level in reached if level != here
        }
    options = []
    for k in range(min(nearest, count), count + 1):
        if banned[k] > banned[at]:
            break
        spent = cells[k] - cells[at]
        if k == count:
            if here == last and spent == target and not left:
                options.append((k, here))
            break
        row = table.rows.get(k)
        if row is None:
            continue
        options += [
            (k, level) for level, costs in after.items() if spent + step + costs[row] == target
        ]
        if stretch.must[k]:
            break
    return options
