"""Times the adjustment of a large network beside a general least-squares solver.

``python tests/benchmarks/adjustment.py``, or with the others by ``run_all.py``.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

import numpy as np
from numpy.typing import NDArray
from timing import interleaved_seconds, say

from staking.network.fitted import Measurement
from staking.network.solve import solve

Floats = NDArray[np.float64]

ERROR = 0.003


def network(count: int, distances: int) -> tuple[Floats, list[Measurement]]:
    """Return invented corners, and the distances of their nearest pairs as a tape reads them."""
    rng = np.random.default_rng(12)
    points = rng.uniform(0, 120, (count, 2))
    first, second = np.triu_indices(count, k=1)
    length = np.hypot(*(points[second] - points[first]).T)
    # to the nearest neighbours first, so that every corner is tied and no tape is too long
    order = np.argsort(length, kind="stable")[:distances]
    read = length[order] + rng.normal(0, ERROR, distances)
    measured = [
        Measurement(from_name=f"P{i}", to_name=f"P{j}", distance=float(d), standard_error=ERROR)
        for i, j, d in zip(first[order], second[order], read, strict=True)
    ]
    return points, measured


def time_adjustment(count: int = 200, distances: int = 2000) -> None:
    """The whole of `solve`, covariances included, beside scipy's with the analytic Jacobian."""
    from scipy.optimize import least_squares

    points, measured = network(count, distances)
    names = [f"P{i}" for i in range(count)]
    first = np.array([int(m.from_name[1:]) for m in measured])
    second = np.array([int(m.to_name[1:]) for m in measured])
    read = np.array([m.distance for m in measured])
    rows = np.arange(distances)

    # the first corner's two coordinates and the second's y are held: the shape alone is left
    def full(free: Floats) -> Floats:
        return np.concatenate((points[0], free[:1], points[1, 1:], free[1:])).reshape(-1, 2)

    def misfit(free: Floats) -> Floats:
        step = full(free)[second] - full(free)[first]
        return np.asarray((np.hypot(step[:, 0], step[:, 1]) - read) / ERROR)

    def slopes(free: Floats) -> Floats:
        at = full(free)
        step = at[second] - at[first]
        way = step / np.hypot(step[:, 0], step[:, 1])[:, None] / ERROR
        table = np.zeros((distances, 2 * count))
        for axis in (0, 1):
            table[rows, 2 * first + axis] = -way[:, axis]
            table[rows, 2 * second + axis] = way[:, axis]
        return np.delete(table, (0, 1, 3), axis=1)

    start = np.delete(points.ravel(), (0, 1, 3))
    ours, theirs, bare = interleaved_seconds(
        (
            lambda: solve(names, points, measured),
            lambda: least_squares(misfit, start, slopes),
            # the Fortran one: coordinates alone, and ours are with all covariances
            lambda: least_squares(misfit, start, slopes, method="lm"),
        ),
        rounds=5,
    )
    what = f"adjusting {count} corners, {distances:,} distances / least_squares"
    say(what, ours / theirs, 0.5)
    say(f"{what}, lm", ours / bare, None)


if __name__ == "__main__":
    time_adjustment()
