"""The choice of what to tape: few distances that fix the shape and check one another."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.network.geometry import (
    Floats,
    PairDistances,
    covariance,
    design_rows,
    free_motions,
    hold,
    is_rigid,
    loose_covariance,
    predicted_variances,
)

LEAST_REDUNDANCY = 0.1
"""A reading whose redundancy number is less is poorly checked by the others (common practice, no
source)."""

PRIOR = 100.0
"""Prior standard deviation of a coordinate, in unit errors, while the shape is not yet fixed."""

BLOCK = 64
"""How many rank-one updates are gathered before the covariance is written."""

TIE = 1e-9
"""Variances nearer than this share are the same: the first pair by name is taken."""


@frozen
class Choice:
    """The distances to tape.

    Parameters
    ----------
    taken
        Rows of the table of distances, in the order taken.
    redundancy
        The redundancy number of each, 0 (unchecked) to 1, in the same order.
    cofactor
        The covariance of the coordinates by inner constraints, shape ``(2n, 2n)``, in squared unit
        errors.
    motions
        The motions still free, shape ``(2n, k)``.
    """

    taken: tuple[int, ...]
    redundancy: tuple[float, ...]
    cofactor: Floats
    motions: Floats

    @property
    def rigid(self) -> bool:
        """Whether the distances fix the shape."""
        return is_rigid(self.motions)

    @property
    def poorly_checked(self) -> tuple[int, ...]:
        """Rows of the table whose redundancy number is under 0.1, in the order taken."""
        return tuple(
            row
            for row, number in zip(self.taken, self.redundancy, strict=True)
            if number < LEAST_REDUNDANCY - TIE
        )


def choose_distances(
    distances: PairDistances, first: tuple[int, ...], usable: NDArray[np.bool_]
) -> Choice:
    """Add to given distances until the shape is fixed and every reading is checked.

    Parameters
    ----------
    distances
        The table of all distances, its points sorted by name.
    first
        Rows of the table that are taped in any case.
    usable
        Which rows may be added, shape ``(p,)``.

    Returns
    -------
    Choice
        The given distances, then the added ones: the network is rigid with every redundancy number
        at least 0.1, or no usable pair is left.

    Notes
    -----
    The pair with the largest predicted variance, over that of its own reading, raises the
    determinant of the normal matrix most (D-optimal: V. V. Fedorov, Theory of Optimal Experiments,
    1972; from memory). Until the shape is fixed the covariance is that of a loose prior, then the
    exact one; in between both follow by rank-one updates (Sherman and Morrison).
    """
    taken = list(first)
    given = np.array(sorted(first), dtype=np.intp)
    untaken = usable.copy()
    untaken[given] = False
    motions = free_motions(distances, given)
    rigid = is_rigid(motions)
    start = _exact(distances, taken, motions) if rigid else _loose(distances, taken)
    running = _Running(distances, start)
    while untaken.any():
        if rigid and (running.variance[taken] <= 1 - LEAST_REDUNDANCY + TIE).all():
            break
        row = _most_uncertain(running.variance, untaken)
        taken.append(row)
        untaken[row] = False
        if not rigid:
            motions = hold(motions, _unweighted_row(distances, row))
            rigid = is_rigid(motions)
            if rigid:
                running = _Running(distances, _exact(distances, taken, motions))
                continue
        running.add(row)
    if not rigid:
        running = _Running(distances, _exact(distances, taken, motions))
    return Choice(
        taken=tuple(taken),
        redundancy=tuple(1 - float(running.variance[row]) for row in taken),
        cofactor=running.cofactor(),
        motions=motions,
    )


def _exact(distances: PairDistances, taken: list[int], motions: Floats) -> Floats:
    return covariance(distances, np.array(sorted(taken), dtype=np.intp), motions)


def _loose(distances: PairDistances, taken: list[int]) -> Floats:
    return loose_covariance(distances, np.array(sorted(taken), dtype=np.intp), PRIOR)


def _most_uncertain(variance: Floats, untaken: NDArray[np.bool_]) -> int:
    open_rows = np.flatnonzero(untaken)
    values = variance[open_rows]
    largest = values.max()
    return int(open_rows[np.argmax(values >= largest - TIE * abs(largest))])


def _unweighted_row(distances: PairDistances, row: int) -> Floats:
    return np.asarray(design_rows(distances, np.array([row], dtype=np.intp), weighted=False)[0])


class _Running:
    """The covariance and all predicted variances, kept up to date by rank-one updates.

    The updates are gathered and folded into the covariance in blocks: writing the whole matrix at
    each of them would cost more than all the rest.
    """

    def __init__(self, distances: PairDistances, cofactor: Floats) -> None:
        self.distances = distances
        self.variance = predicted_variances(distances, cofactor)
        self._cofactor = cofactor
        self._gains = np.empty((BLOCK, len(cofactor)))
        self._count = 0

    def cofactor(self) -> Floats:
        gains = self._gains[: self._count]
        self._cofactor = self._cofactor - gains.T @ gains
        self._count = 0
        return self._cofactor

    def add(self, row: int) -> None:
        if self._count == BLOCK:
            self.cofactor()
        first, second, weighted = (
            self.distances.first,
            self.distances.second,
            self.distances.weighted,
        )
        near, far, vector = 2 * first[row], 2 * second[row], weighted[row]
        # symmetric, so its rows serve as its columns
        gain = vector @ (self._cofactor[far : far + 2] - self._cofactor[near : near + 2])
        gains = self._gains[: self._count]
        gain -= ((gains[:, far : far + 2] - gains[:, near : near + 2]) @ vector) @ gains
        gain /= np.sqrt(1 + self.variance[row])
        self._gains[self._count] = gain
        self._count += 1
        x, y = gain[0::2].copy(), gain[1::2].copy()
        across = weighted[:, 0] * (x[second] - x[first])
        across += weighted[:, 1] * (y[second] - y[first])
        self.variance -= across**2


def loose_points(distances: PairDistances, motions: Floats) -> tuple[int, ...]:
    """Name the points that can still move against the rest.

    Parameters
    ----------
    distances
        The table.
    motions
        The motions still free, shape ``(2n, k)``.

    Returns
    -------
    tuple of int
        Points outside the largest part that moves as one; none when the shape is fixed.
    """
    if is_rigid(motions) or distances.count < 2:
        return ()
    moved = motions.reshape(distances.count, 2, -1)
    stretch = np.einsum(
        "pi,pik->pk", distances.direction, moved[distances.second] - moved[distances.first]
    )
    fixed = np.eye(distances.count, dtype=bool)
    together = np.linalg.norm(stretch, axis=1) < 1e-6
    fixed[distances.first, distances.second] = together
    fixed[distances.second, distances.first] = together
    part: list[int] = []
    for point in np.argsort(-fixed.sum(axis=1), kind="stable").tolist():
        if fixed[point, part].all():
            part.append(point)
    return tuple(sorted(set(range(distances.count)) - set(part)))
