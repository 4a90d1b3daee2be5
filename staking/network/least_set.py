"""The fewest distances that let every stake be known to within a wanted radius."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.network.design import choose_distances
from staking.network.geometry import (
    RADIUS_95,
    Floats,
    Indices,
    PairDistances,
    covariance,
    design_rows,
    free_motions,
    is_rigid,
    predicted_variances,
    radii95,
)

MOST_SETS = 60_000
"""Sets of one size that are all looked at; with more of them the answer is not proved least."""

ALL_AT_ONCE = 800
"""With more usable distances the search starts from a choice of them, not from all."""

MOST_EXCHANGES = 400
"""Distances that are tried in the place of two others: fewer where there are many corners."""

EXCHANGE_WORK = 500_000
"""Numbers gone through in all tries together: about a second's work."""

UNCHECKED = 1e-6
"""Leaving out a distance with a lesser redundancy number would leave a corner free."""

TIE = 1e-9
"""Figures nearer than this share are the same."""

BATCH = 4096


@frozen
class LeastSet:
    """The fewest distances found for a wanted radius.

    Parameters
    ----------
    wanted
        The 95 % radius that no stake is to pass, m.
    taken
        Rows of the table of distances, ascending; empty where the radius is out of reach.
    radii
        The 95 % radius of each corner with them, m; empty where out of reach.
    at_least
        No set of fewer distances than this reaches the radius: a proof, not a guess.
    usable
        How many distances can be taped at all.
    whole
        The greatest radius with every one of them, m; None where even they do not fix the shape.
    """

    wanted: float
    taken: tuple[int, ...]
    radii: tuple[float, ...]
    at_least: int
    usable: int
    whole: float | None

    @property
    def reached(self) -> bool:
        """Whether the wanted radius can be reached."""
        return bool(self.radii)

    @property
    def exact(self) -> bool:
        """Whether it is proved that no fewer distances do."""
        return self.reached and len(self.taken) <= self.at_least


def least_set(distances: PairDistances, usable: NDArray[np.bool_], wanted: float) -> LeastSet:
    """Find few distances with which every corner's 95 % radius is at most a wanted one.

    Parameters
    ----------
    distances
        The table of distances.
    usable
        Which of them can be taped, shape ``(p,)``.
    wanted
        The radius, m, above zero.

    Returns
    -------
    LeastSet
        The set, its radii, and how many distances are needed at least.

    Notes
    -----
    Distances are left out one after another, each time the one that harms the worst corner least;
    then one is put in where two can go for it. A distance without which all others do not reach the
    radius is in every set, since more distances never make a radius greater. Where the sets with
    one distance fewer are few enough they are all looked at: then the answer is the least.
    Otherwise `at_least` is the greatest of three bounds (derived in docs/methods.md): 2n - 3, the
    distances in every set, and ``(2n - 3)^2 / (4 n q)``, with q the wanted variance.
    """
    rows = np.flatnonzero(usable)
    motions = free_motions(distances, rows)
    nothing = LeastSet(wanted=wanted, taken=(), radii=(), at_least=0, usable=len(rows), whole=None)
    if distances.count < 2 or not is_rigid(motions):
        return nothing
    goal = (wanted / RADIUS_95 / distances.unit_error) ** 2 * (1 + TIE)
    full = _ChosenDistances(distances, rows, covariance(distances, rows, motions))
    whole = float(radii95(distances, full.cofactor).max())
    if full.worst() > goal:
        return LeastSet(
            wanted=wanted, taken=(), radii=(), at_least=0, usable=len(rows), whole=whole
        )
    kept = np.flatnonzero(full.worst_without() > goal)
    forced = rows[kept]
    taken = _few(distances, usable, goal, full)
    if len(rows) <= ALL_AT_ONCE:
        taken = _exchanged(distances, rows, taken, goal)
    bound = max(2 * distances.count - 3, len(forced), _by_trace(distances, rows, goal))
    taken, bound = _proved(distances, rows, forced, taken, bound, goal)
    chosen = np.array(taken, dtype=np.intp)
    final = covariance(distances, chosen, free_motions(distances, chosen))
    return LeastSet(
        wanted=wanted,
        taken=tuple(sorted(taken)),
        radii=tuple(radii95(distances, final).tolist()),
        at_least=bound,
        usable=len(rows),
        whole=whole,
    )


def _greatest(xx: Floats, yy: Floats, xy: Floats) -> Floats:
    # the larger eigenvalue of each corner's 2 by 2 block, then of the worst corner
    return np.asarray(((xx + yy) / 2 + np.hypot((xx - yy) / 2, xy)).max(axis=-1))


class _ChosenDistances:
    """Some distances and the covariance they give, kept up to date as they come and go."""

    def __init__(self, distances: PairDistances, rows: Indices, cofactor: Floats) -> None:
        self.distances = distances
        self.rows = rows
        self.cofactor = cofactor
        self._design = design_rows(distances, rows, weighted=True)
        self._gains = self._design @ cofactor

    def worst(self) -> float:
        """Give the greatest variance of any corner, in squared unit errors."""
        blocks = self.cofactor
        xx, yy, xy = np.diag(blocks)[0::2], np.diag(blocks)[1::2], np.diag(blocks, 1)[0::2]
        return float(_greatest(xx, yy, xy))

    def worst_without(self) -> Floats:
        """Give the same without each distance in turn; infinite where the shape comes loose."""
        left = 1 - (self._gains * self._design).sum(axis=1)
        loose = left <= UNCHECKED
        gain = self._gains / np.sqrt(np.where(loose, 1.0, left))[:, None]
        x, y = gain[:, 0::2], gain[:, 1::2]
        own = self.cofactor
        xx, yy, xy = np.diag(own)[0::2], np.diag(own)[1::2], np.diag(own, 1)[0::2]
        found = _greatest(xx + x * x, yy + y * y, xy + x * y)
        return np.where(loose, np.inf, found)

    def remove(self, place: int) -> None:
        """Take one distance out."""
        gain = self._gains[place]
        gain = gain / math.sqrt(1 - float(gain @ self._design[place]))
        self.cofactor = self.cofactor + np.outer(gain, gain)
        self._gains += np.outer(self._design @ gain, gain)
        self.rows = np.delete(self.rows, place)
        self._design = np.delete(self._design, place, axis=0)
        self._gains = np.delete(self._gains, place, axis=0)

    def thin_out(self, goal: float) -> tuple[int, ...]:
        """Take out one distance after another while the worst corner stays within the goal."""
        while True:
            worst = self.worst_without()
            least = float(worst.min())
            if least > goal:
                return tuple(self.rows.tolist())
            self.remove(int(np.flatnonzero(worst <= least * (1 + TIE))[0]))


def _network(distances: PairDistances, rows: Sequence[int]) -> _ChosenDistances:
    which = np.array(sorted(rows), dtype=np.intp)
    return _ChosenDistances(
        distances, which, covariance(distances, which, free_motions(distances, which))
    )


def _few(
    distances: PairDistances, usable: NDArray[np.bool_], goal: float, full: _ChosenDistances
) -> tuple[int, ...]:
    if len(full.rows) <= ALL_AT_ONCE:
        return full.thin_out(goal)
    choice = choose_distances(distances, (), usable)
    grown = _grown(distances, usable, choice.taken, choice.cofactor, goal)
    return _network(distances, grown).thin_out(goal)


def _grown(
    distances: PairDistances,
    usable: NDArray[np.bool_],
    taken: tuple[int, ...],
    cofactor: Floats,
    goal: float,
) -> list[int]:
    # add what helps the worst corner most until all are within the goal
    rows, left = list(taken), usable.copy()
    left[rows] = False
    first, second, vector = distances.first, distances.second, distances.weighted
    while left.any():
        xx, yy, xy = np.diag(cofactor)[0::2], np.diag(cofactor)[1::2], np.diag(cofactor, 1)[0::2]
        spread = (xx + yy) / 2 + np.hypot((xx - yy) / 2, xy)
        at = int(np.argmax(spread))
        if spread[at] <= goal:
            break
        own = cofactor[2 * at : 2 * at + 2].reshape(2, -1, 2)
        pull = np.einsum("kpi,pi->pk", own[:, second] - own[:, first], vector)
        pull /= np.sqrt(1 + predicted_variances(distances, cofactor))[:, None]
        x, y = pull[:, 0], pull[:, 1]
        after = (xx[at] - x * x + yy[at] - y * y) / 2
        after += np.hypot((xx[at] - x * x - yy[at] + y * y) / 2, xy[at] - x * y)
        after[~left] = np.inf
        row = int(np.argmin(after))
        rows.append(row)
        left[row] = False
        line = design_rows(distances, np.array([row], dtype=np.intp), weighted=True)[0]
        gain = cofactor @ line
        cofactor = cofactor - np.outer(gain, gain) / (1 + float(gain @ line))
    return rows


def _exchanged(
    distances: PairDistances, rows: Indices, taken: tuple[int, ...], goal: float
) -> tuple[int, ...]:
    # one in for two out, as long as it finds any
    tries = 0
    most = min(MOST_EXCHANGES, EXCHANGE_WORK // (2 * distances.count * len(taken)))
    better = True
    while better:
        better = False
        for row in sorted(set(rows.tolist()) - set(taken)):
            tries += 1
            if tries > most:
                return taken
            found = _network(distances, (*taken, row)).thin_out(goal)
            if len(found) < len(taken):
                taken, better = found, True
                break
    return taken


def _by_trace(distances: PairDistances, rows: Indices, goal: float) -> int:
    # (2n - 3)^2 <= trace N trace N+, and trace N+ <= 2 n goal
    n = distances.count
    needed = (2 * n - 3) ** 2 / (2 * n * goal)
    weights = np.sort(2 * (distances.weighted[rows] ** 2).sum(axis=1))[::-1]
    return int(np.searchsorted(np.cumsum(weights), needed * (1 - TIE))) + 1


def _proved(
    distances: PairDistances,
    rows: Indices,
    forced: Indices,
    taken: tuple[int, ...],
    bound: int,
    goal: float,
) -> tuple[tuple[int, ...], int]:
    free = np.setdiff1d(rows, forced)
    while len(taken) > bound:
        if math.comb(len(free), len(taken) - 1 - len(forced)) > MOST_SETS:
            return taken, bound
        found = _best_of_size(distances, forced, free, len(taken) - 1, goal)
        if found is None:
            bound = len(taken)
        else:
            taken = found
    if math.comb(len(free), len(taken) - len(forced)) <= MOST_SETS:
        # of several sets of the least size the one with the least radius
        taken = _best_of_size(distances, forced, free, len(taken), goal) or taken
    return taken, bound


def _best_of_size(
    distances: PairDistances, forced: Indices, free: Indices, size: int, goal: float
) -> tuple[int, ...] | None:
    n2 = 2 * distances.count
    design = design_rows(distances, free, weighted=True)
    outer = (design[:, :, None] * design[:, None, :]).reshape(len(free), n2 * n2)
    every = np.concatenate((forced, free))
    motions = free_motions(distances, every)
    fixed = design_rows(distances, forced, weighted=True)
    # the speck keeps the matrix of a loose set regular: its variances come out enormous
    base = (fixed.T @ fixed + motions @ motions.T + 1e-10 * np.eye(n2)).ravel()
    kept = motions @ motions.T
    best, least = None, goal
    sets = itertools.combinations(range(len(free)), size - len(forced))
    while batch := list(itertools.islice(sets, BATCH)):
        which = np.array(batch, dtype=np.intp).reshape(len(batch), -1)
        member = np.zeros((len(batch), len(free)))
        np.put_along_axis(member, which, 1.0, axis=1)
        found = np.linalg.inv((member @ outer + base).reshape(-1, n2, n2)) - kept
        at = np.arange(distances.count)
        blocks = found.reshape(len(batch), distances.count, 2, distances.count, 2)[:, at, :, at, :]
        blocks = blocks.transpose(1, 0, 2, 3)
        worst = _greatest(blocks[..., 0, 0], blocks[..., 1, 1], blocks[..., 0, 1])
        place = int(np.argmin(np.where(worst > 0, worst, np.inf)))
        if 0 < worst[place] <= (least if best is None else least * (1 - TIE)):
            best, least = which[place], float(worst[place])
    if best is None:
        return None
    return tuple(sorted((*forced.tolist(), *free[best].tolist())))
