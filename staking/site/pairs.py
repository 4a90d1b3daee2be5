"""Which two known points tapes are held at, for one stake after the other."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.layout.sight import is_in_sight
from staking.lines import Array
from staking.plan import Plan
from staking.site.site_results import Placement

Pair = tuple[int, int]

FLAT_SWING = math.radians(30)
"""Two tapes that meet at less than this, or within it of in line, fix a point poorly.

At 30 degrees the place is out by twice what it is at 90: errors grow by sqrt(2) / sin(swing).
Where to warn is common practice, no source.
"""

STEADY = math.radians(15)
"""As much nearer to a right angle must another pair meet before the tapes are carried over, rad.

At 75 degrees a place is out by 4 % more than at 90, which is less than carrying two tapes to
other points for every nail costs (common practice, no source).
"""

_CANDIDATES = 16
"""So many of the known points nearest to a stake are tried in pairs for it and those after it."""


def steady_pairs(lines: Array, far: Array, usable: NDArray[np.bool_]) -> tuple[Pair | None, ...]:
    """Choose for each stake two known points, the same for as many stakes in a row as serves them.

    Parameters
    ----------
    lines, far
        ``(m, c)``: direction of the line from each stake to each known point, rad from 0 up to
        half a turn, and its length, m.
    usable
        ``(m, c)``: whether a tape can be stretched along it.

    Returns
    -------
    tuple of tuple or None
        Indices of two known points, the lesser first; None where no two lines cross.

    Notes
    -----
    The place is out by ``sqrt(2) / sin(swing)`` times the tape's error, so the greatest sine is
    wanted. Directions are taken as lines, without their sense, and sorted; the best partner of
    each is then the nearest to a right angle from it, found without trying every pair. A pair
    serves where it meets no more than `STEADY` farther from square than the best one, and not
    flat where the best one does not.
    """
    best = [
        _best_pair(lines[row], far[row], np.flatnonzero(usable[row])) for row in range(len(far))
    ]
    return _steady(best, lines, far, usable)


def seen(plan: Plan, placement: Placement, stakes: Array, marks: Array) -> NDArray[np.bool_]:
    """Say between which stakes and known points nothing stands.

    Parameters
    ----------
    plan, placement
        What stands there, and where the building grid lies on the survey's.
    stakes
        On the building grid, ``(m, 2)``, m.
    marks
        The known points, ``(c, 2)`` northing and easting, m.

    Returns
    -------
    numpy.ndarray
        ``(m, c)``: False through a shape to stay clear of or a standing building.
    """
    ends = np.tile(placement.to_building(marks), (len(stakes), 1))
    clear = is_in_sight(plan, np.repeat(stakes, len(marks), axis=0), ends)
    return clear.reshape(len(stakes), len(marks))


def _best_pair(lines: Array, far: Array, there: NDArray[np.intp]) -> Pair | None:
    if len(there) < 2:
        return None
    order = there[np.lexsort((far[there], lines[there]))]
    ranked = lines[order]
    count = len(ranked)
    where = np.searchsorted(ranked, (ranked + math.pi / 2) % math.pi)
    partners = np.stack((where % count, (where - 1) % count))
    sines = np.abs(np.sin(ranked[partners] - ranked))
    best = sines.max()
    if best < 1e-6:
        return None
    alike = np.argwhere(sines > best - 1e-9)
    one, other = order[alike[:, 1]], order[partners[alike[:, 0], alike[:, 1]]]
    pick = (far[one] + far[other]).argmin()
    i, j = sorted((int(one[pick]), int(other[pick])))
    return i, j


def _steady(
    best: Sequence[Pair | None], lines: Array, far: Array, usable: NDArray[np.bool_]
) -> tuple[Pair | None, ...]:
    # From the first stake on, the pair that stays nearly as good as the best the longest; where
    # it no longer does, the next one is looked for from there.
    chosen: list[Pair | None] = []
    limits = [
        None if pair is None else _limit(float(lines[row, pair[0]] - lines[row, pair[1]]))
        for row, pair in enumerate(best)
    ]
    while len(chosen) < len(best):
        row = len(chosen)
        pair = best[row]
        if pair is None:
            chosen.append(None)
            continue
        near = np.flatnonzero(usable[row])
        if len(near) > _CANDIDATES:
            near = np.sort(near[np.argsort(far[row, near], kind="stable")[:_CANDIDATES]])
        pairs = np.concatenate(([pair], near[_couples(len(near))]))
        taken, runs = _longest(pairs, row, limits, lines, usable)
        chosen += [taken if best[at] else None for at in range(row, row + runs)]
    return tuple(chosen)


@functools.lru_cache(maxsize=_CANDIDATES)
def _couples(count: int) -> NDArray[np.intp]:
    return np.stack(np.triu_indices(count, 1), axis=1)


def _longest(
    pairs: NDArray[np.intp],
    row: int,
    limits: Sequence[float | None],
    lines: Array,
    usable: NDArray[np.bool_],
) -> tuple[Pair, int]:
    # The pair that serves the most stakes from `row` on, and how many; of several the one whose
    # tapes meet nearest to square at the worst of them.
    alive = np.arange(len(pairs))
    worst = np.ones(len(pairs))
    at = row
    while at < len(limits):
        limit = limits[at]
        if limit is not None:
            i, j = pairs[alive, 0], pairs[alive, 1]
            sines = np.abs(np.sin(lines[at, i] - lines[at, j]))
            good = usable[at, i] & usable[at, j] & (sines >= limit)
            if not good.any():
                break
            alive = alive[good]
            worst[alive] = np.minimum(worst[alive], sines[good])
        at += 1
    # The best pair of the first stake comes first, and stays among the equally good.
    pick = alive[worst[alive].argmax()]
    return (int(pairs[pick, 0]), int(pairs[pick, 1])), at - row


def _limit(apart: float) -> float:
    # The least sine that is nearly as good as that of lines so far apart, rad.
    square = abs(math.pi / 2 - abs(apart) % math.pi)
    nearly = math.cos(square + STEADY)
    flat = math.sin(FLAT_SWING)
    return min(max(nearly, flat), math.cos(square)) - 1e-12
