"""Networks of taped distances: what they hold rigid and how well they hold it.

Every figure here follows from where the points stand and which distances are taped, before any
tape is read. Covariances are by inner constraints: the points as a whole neither shift nor turn.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.network.tape_error import standard_error
from staking.plan import Tape
from staking.tolerances import SAME_POINT

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

RADIUS_95 = math.sqrt(-2 * math.log(0.05))
"""Standard deviations that hold 95 % of a plane's errors: 2.4477, chi-squared with 2 degrees."""

FREE = 1e-7
"""A motion that changes every taped distance by less than this share of itself is free."""

_MANY = 4
"""Distances to an unknown from which on the triangle of their rows is taken first."""


@frozen
class PairDistances:
    """Distances between n points; all of them in the order (0, 1), (0, 2) … (n - 2, n - 1).

    Parameters
    ----------
    count
        The number of points, n.
    first, second
        Indices of the two points, shape ``(p,)``.
    direction
        Unit vectors from first to second, shape ``(p, 2)``; zero where the points coincide.
    length
        The distances, m, shape ``(p,)``.
    error
        Their standard errors by the tape, m, shape ``(p,)``.
    unit_error
        The standard error that weighs 1, m: the greatest of them.
    weighted
        Directions over standard errors, times the unit error, shape ``(p, 2)``.
    """

    count: int
    first: Indices
    second: Indices
    direction: Floats
    length: Floats
    error: Floats
    unit_error: float
    weighted: Floats


def all_distances(points: Floats, tape: Tape) -> PairDistances:
    """Make the table of every distance between points.

    Parameters
    ----------
    points
        x and y, m, shape ``(n, 2)``.
    tape
        The tape they would be measured with.

    Returns
    -------
    PairDistances
        All ``n (n - 1) / 2`` of them.

    Examples
    --------
    >>> all_distances(np.array([[0.0, 0.0], [3.0, 4.0]]), Tape()).length
    array([5.])
    """
    first, second = np.triu_indices(len(points), k=1)
    return distances_between(points, first, second, tape)


def distances_between(points: Floats, first: Indices, second: Indices, tape: Tape) -> PairDistances:
    """Make a table of some of the distances between points.

    Parameters
    ----------
    points
        x and y, m, shape ``(n, 2)``.
    first, second
        Indices of the two points of each distance, shape ``(p,)``.
    tape
        The tape they would be measured with.

    Returns
    -------
    PairDistances
        One row for each pair, in their order.
    """
    step = points[second] - points[first]
    length = np.hypot(step[:, 0], step[:, 1])
    apart = length > SAME_POINT
    direction = np.where(apart[:, None], step / np.where(apart, length, 1.0)[:, None], 0.0)
    error = standard_error(tape, length)
    unit_error = float(error.max()) if error.size else 1.0
    return PairDistances(
        count=len(points),
        first=first,
        second=second,
        direction=direction,
        length=length,
        error=error,
        unit_error=unit_error,
        weighted=direction * (unit_error / error)[:, None],
    )


def design_rows(distances: PairDistances, which: Indices, *, weighted: bool) -> Floats:
    """Lay out the design matrix of some distances.

    Parameters
    ----------
    distances, which
        The table, and the rows of it that are taped, shape ``(m,)``.
    weighted
        Whether each row is divided by its standard error (in unit errors).

    Returns
    -------
    array
        Shape ``(m, 2n)``; the coordinates run x, y of point 0, x, y of point 1 …

    Notes
    -----
    The derivative of a distance by its far point is the unit vector toward it, by its near point
    the opposite: C. D. Ghilani, Adjustment Computations, chapter 14 (from memory).
    """
    vectors = (distances.weighted if weighted else distances.direction)[which]
    rows = np.zeros((len(which), 2 * distances.count))
    at = np.arange(len(which))
    for axis in (0, 1):
        rows[at, 2 * distances.first[which] + axis] = -vectors[:, axis]
        rows[at, 2 * distances.second[which] + axis] = vectors[:, axis]
    return rows


def free_motions(distances: PairDistances, which: Indices) -> Floats:
    """Find the motions of the points that change no taped distance.

    Parameters
    ----------
    distances, which
        The table, and the rows of it that are taped.

    Returns
    -------
    array
        An orthonormal basis, shape ``(2n, k)``. Two shifts and a turn are always free (of a single
        point only the shifts): the network is rigid when k is 3 (2 for a single point).
    """
    size = 2 * distances.count
    if not len(which):
        return np.eye(size)
    rows = design_rows(distances, which, weighted=False)
    if len(rows) > _MANY * size:
        # the triangle of so many rows has the same motions, and no square of as many rows
        rows = np.asarray(np.linalg.qr(rows).R)
    _, values, across = np.linalg.svd(rows)
    rank = int(np.count_nonzero(values > FREE))
    return np.ascontiguousarray(across[rank:].T)


def hold(motions: Floats, row: Floats) -> Floats:
    """Take out the one free motion that a further distance holds.

    Parameters
    ----------
    motions
        The free motions, shape ``(2n, k)``, orthonormal.
    row
        The further distance's unweighted row of the design matrix, shape ``(2n,)``.

    Returns
    -------
    array
        The motions still free: shape ``(2n, k - 1)``, or as given when the distance holds none.
    """
    along = row @ motions
    size = float(np.linalg.norm(along))
    if size <= FREE:
        return motions
    # a Householder reflection turns the held motion into the first column, which is dropped
    mirror = along / size
    mirror[0] += math.copysign(1.0, mirror[0])
    turned = motions - np.outer(motions @ mirror, mirror) * (2 / (mirror @ mirror))
    return np.ascontiguousarray(turned[:, 1:])


def is_rigid(motions: Floats) -> bool:
    """Say whether nothing but shifts and a turn is free.

    Parameters
    ----------
    motions
        The free motions, shape ``(2n, k)``.

    Returns
    -------
    bool
        True when the distances fix the shape.
    """
    return bool(motions.shape[1] <= 3)


def covariance(distances: PairDistances, which: Indices, motions: Floats) -> Floats:
    """Compute the covariance of the coordinates by inner constraints.

    Parameters
    ----------
    distances, which
        The table, and the rows of it that are taped.
    motions
        Their free motions G, shape ``(2n, k)``.

    Returns
    -------
    array
        Shape ``(2n, 2n)``, in squared unit errors: multiply by ``distances.unit_error ** 2``.

    Notes
    -----
    ``(N + G G')^-1 - G G'`` with orthonormal G, which is the pseudo-inverse of the normal matrix
    N: P. Meissl's inner constraints (from memory). Along motions that are free beyond shifts and a
    turn it says nothing.
    """
    rows = design_rows(distances, which, weighted=True)
    free = motions @ motions.T
    return np.asarray(np.linalg.inv(rows.T @ rows + free) - free)


def loose_covariance(distances: PairDistances, which: Indices, prior: float) -> Floats:
    """Compute the covariance of the coordinates under a loose prior.

    Parameters
    ----------
    distances, which
        The table, and the rows of it that are taped.
    prior
        The prior standard deviation of each coordinate, in unit errors.

    Returns
    -------
    array
        Shape ``(2n, 2n)``, in squared unit errors; exists for any set of distances.
    """
    rows = design_rows(distances, which, weighted=True)
    return np.asarray(np.linalg.inv(rows.T @ rows + np.eye(2 * distances.count) / prior**2))


def predicted_variances(distances: PairDistances, cofactor: Floats) -> Floats:
    """Predict the variance of every distance from the coordinates' covariance.

    Parameters
    ----------
    distances
        The table.
    cofactor
        The covariance, shape ``(2n, 2n)``, in squared unit errors.

    Returns
    -------
    array
        Shape ``(p,)``, each over the squared standard error of the distance itself. Of a taped
        distance it is 1 less its redundancy number.
    """
    n = distances.count
    blocks = cofactor.reshape(n, 2, n, 2)
    first, second, vector = distances.first, distances.second, distances.weighted
    relative = (
        blocks[first, :, first, :]
        + blocks[second, :, second, :]
        - blocks[first, :, second, :]
        - blocks[second, :, first, :]
    )
    return np.asarray(np.einsum("pi,pij,pj->p", vector, relative, vector))


def radii95(distances: PairDistances, cofactor: Floats) -> Floats:
    """Give the 95 % radius to expect at each point.

    Parameters
    ----------
    distances
        The table.
    cofactor
        The covariance by inner constraints, shape ``(2n, 2n)``, in squared unit errors.

    Returns
    -------
    array
        2.4477 times the semi-major axis of each point's error ellipse, m, shape ``(n,)``.

    Notes
    -----
    A priori: from the tape's standard error alone. The circle holds the 95 % ellipse.
    """
    n = distances.count
    blocks = cofactor.reshape(n, 2, n, 2)[np.arange(n), :, np.arange(n), :]
    greatest = np.linalg.eigvalsh(blocks)[:, -1]
    return np.asarray(RADIUS_95 * distances.unit_error * np.sqrt(np.maximum(greatest, 0.0)))
