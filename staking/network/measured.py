"""Measured distances as arrays, and the equations that they make."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking.network.fitted import Measurement
from staking.network.geometry import Floats, Indices
from staking.tolerances import SAME_POINT


class MeasuredRows:
    """The measurements as arrays: ends, distances and standard errors."""

    def __init__(self, names: Sequence[str], measurements: Sequence[Measurement]) -> None:
        at = {name: place for place, name in enumerate(names)}
        self.first: Indices = np.array([at[m.from_name] for m in measurements], dtype=np.intp)
        self.second: Indices = np.array([at[m.to_name] for m in measurements], dtype=np.intp)
        self.distance = np.array([m.distance for m in measurements], dtype=float)
        self.error = np.array([m.standard_error for m in measurements], dtype=float)

    def at(self, points: Floats) -> tuple[Floats, Floats]:
        """Give lengths and unit directions from first to second at some coordinates."""
        step = points[self.second] - points[self.first]
        length = np.hypot(step[:, 0], step[:, 1])
        apart = np.where(length > SAME_POINT, length, 1.0)
        return length, np.where((length > SAME_POINT)[:, None], step / apart[:, None], 0.0)

    def normal(self, vectors: Floats, count: int) -> Floats:
        """Sum up the normal matrix of rows whose vectors are already weighted, shape (2n, 2n)."""
        blocks = vectors[:, :, None] * vectors[:, None, :]
        size = 2 * count
        total = np.zeros(size * size)
        for rows, columns, sign in (
            (self.first, self.first, 1.0),
            (self.second, self.second, 1.0),
            (self.first, self.second, -1.0),
            (self.second, self.first, -1.0),
        ):
            for i in (0, 1):
                for j in (0, 1):
                    place = (2 * rows + i) * size + 2 * columns + j
                    total += np.bincount(place, sign * blocks[:, i, j], minlength=size * size)
        return total.reshape(size, size)

    def gather(self, vectors: Floats, values: Floats, count: int) -> Floats:
        """Multiply the rows, transposed, by values, shape (2n,)."""
        parts = vectors * values[:, None]
        columns = [
            np.bincount(self.second, parts[:, i], minlength=count)
            - np.bincount(self.first, parts[:, i], minlength=count)
            for i in (0, 1)
        ]
        return np.column_stack(columns).ravel()

    def design(self, vectors: Floats, count: int) -> Floats:
        """Lay the rows out in full, shape (m, 2n)."""
        rows = np.zeros((len(self.first), 2 * count))
        at = np.arange(len(self.first))
        for axis in (0, 1):
            rows[at, 2 * self.first + axis] = -vectors[:, axis]
            rows[at, 2 * self.second + axis] = vectors[:, axis]
        return rows


def inner_constraints(points: Floats) -> Floats:
    """Give the motions that no distance can show.

    Parameters
    ----------
    points
        x and y, m, shape ``(n, 2)``.

    Returns
    -------
    array
        Two shifts and a turn, orthonormal, shape ``(2n, 3)``; ``(2n, 2)`` for a single point.
    """
    count = len(points)
    away = points - points.mean(axis=0)
    motions = np.zeros((2 * count, 3))
    motions[0::2, 0] = motions[1::2, 1] = 1 / np.sqrt(count)
    size = float(np.linalg.norm(away))
    if size <= SAME_POINT:
        return motions[:, :2]
    motions[0::2, 2], motions[1::2, 2] = -away[:, 1] / size, away[:, 0] / size
    return motions
