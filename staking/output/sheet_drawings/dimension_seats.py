"""Where each string of dimensions is drawn: beside its wall, or past the building's far side."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.layout.dimension_strings import DimensionPart, DimensionString
    from staking.plan import Point

_IN_LINE = 0.005
"""A corner no farther from an extension line than this lies on it, m."""
_FAR = 1.0
"""What it costs to stand away from the wall."""
_OVER_DIMENSION, _OVER_EXTENSION, _EXTENSIONS, _OVER_WALL, _BESIDE = 4.0, 2.0, 0.25, 3.0, 8.0
"""What it costs to cross a dimension line, to cross the line to one, to have two of those cross,
to cross a wall, and to lie along another dimension line."""

_Lines = NDArray[np.float64]
"""Lines, m: shape ``(n, 2, 2)``."""


@frozen
class Seat:
    """Where a string of dimensions stands.

    Parameters
    ----------
    reach
        How far from the wall the rows begin to count, m.
    feet
        Where the lines to a dimension begin, m from the wall, by the point they run from.
    """

    reach: float
    feet: tuple[tuple[Point, float], ...]

    def foot(self, point: Point) -> float:
        """Give where the line from a point of the wall begins, m from the wall."""
        return next(foot for each, foot in self.feet if each == point)


def seats(
    strings: Sequence[DimensionString],
    corners: Sequence[Point],
    walls: Sequence[tuple[Point, Point]],
    row: float,
    rows: int = 2,
) -> tuple[Seat, ...]:
    """Choose the seat of each string so that its lines cross the fewest others.

    Parameters
    ----------
    strings
        The dimensions, in order; earlier ones have the choice.
    corners
        The corners of all buildings, m.
    walls
        Their outside faces, m.
    row
        From the footing's edge to the first row, and from row to row, m.
    rows
        How many rows a string with parts takes.

    Returns
    -------
    tuple of Seat
        In the strings' order.
    """
    faces = np.array(walls, dtype=np.float64).reshape(-1, 2, 2)
    far = np.array(corners, dtype=np.float64).reshape(-1, 2)
    dimensions, extensions = np.zeros((0, 2, 2)), np.zeros((0, 2, 2))
    chosen: list[Seat] = []
    for string in strings:
        best: tuple[float, Seat, _Lines, _Lines] | None = None
        for at, seat in enumerate(_candidates(string, far)):
            own, legs = _drawn(string, seat, row, rows)
            cost = (
                _FAR * at
                + _OVER_DIMENSION * _crossings(own, dimensions)
                + _OVER_EXTENSION * (_crossings(own, extensions) + _crossings(legs, dimensions))
                + _EXTENSIONS * _crossings(legs, extensions)
                + _OVER_WALL * (_crossings(own, faces) + _crossings(legs, faces))
                + _BESIDE * _along_one_another(own, dimensions, 0.8 * row)
            )
            if best is None or cost < best[0]:
                best = (cost, seat, own, legs)
            if at == 0 and cost == 0.0:
                break
        if best is not None:
            chosen.append(best[1])
            dimensions = np.concatenate([dimensions, best[2]])
            extensions = np.concatenate([extensions, best[3]])
    return tuple(chosen)


def _points(string: DimensionString) -> tuple[Point, ...]:
    parts: tuple[DimensionPart, ...] = (string.whole, *string.parts)
    return tuple(dict.fromkeys(point for part in parts for point in (part.start, part.end)))


def _candidates(string: DimensionString, corners: NDArray[np.float64]) -> Iterator[Seat]:
    # Beside the wall; past the last corner that way, where there is one past it. The second is
    # worked out only where it is asked for: most strings cross nothing beside their wall.
    points = _points(string)
    yield Seat(reach=string.reach, feet=tuple((point, string.reach) for point in points))
    (x, y), (u, v) = string.whole.start, string.out
    cx, cy = corners[:, 0], corners[:, 1]
    far = float(((cx - x) * u + (cy - y) * v).max(initial=-np.inf))
    if not string.of or far <= string.reach:
        return
    feet = []
    for px, py in points:
        in_line = np.abs((cx - px) * v - (cy - py) * u) < _IN_LINE
        ahead = ((cx - px) * u + (cy - py) * v)[in_line]
        feet.append(((px, py), float(ahead.max(initial=0.0)) + string.reach))
    yield Seat(reach=far + string.reach, feet=tuple(feet))


def _drawn(string: DimensionString, seat: Seat, row: float, rows: int) -> tuple[_Lines, _Lines]:
    # The dimension lines and the lines that run to them.
    out = np.array(string.out)
    last = seat.reach + row * (rows if string.parts else 1)
    levels = [seat.reach + row, *([last] if string.parts else [])]
    start, end = np.array(string.whole.start), np.array(string.whole.end)
    own = np.array([(start + out * level, end + out * level) for level in levels])
    legs = np.array([
        (np.array(point) + out * seat.foot(point), np.array(point) + out * last)
        for point in _points(string)
    ])
    return own, legs


def _near(some: _Lines, others: _Lines, room: float = 0.0) -> _Lines:
    # Those of the others that come within `room`, m, of what some take together: of a large plan
    # they are few, and only these are looked at one by one.
    if not len(some):
        return others[:0]
    low, high = some.min(axis=(0, 1)) - room, some.max(axis=(0, 1)) + room
    start, end = others[:, 0], others[:, 1]
    reach = (np.maximum(start, end) >= low) & (np.minimum(start, end) <= high)
    near: _Lines = others[reach[:, 0] & reach[:, 1]]
    return near


def _crossings(some: _Lines, others: _Lines) -> int:
    # How many pairs cross; lines that only touch at their ends do not.
    others = _near(some, others)
    if not len(others):
        return 0
    a, b = some[:, None, 0], some[:, None, 1]
    c, d = others[None, :, 0], others[None, :, 1]
    first, second = b - a, d - c
    area = first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]
    gap = c - a
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (gap[..., 0] * second[..., 1] - gap[..., 1] * second[..., 0]) / area
        s = (gap[..., 0] * first[..., 1] - gap[..., 1] * first[..., 0]) / area
    long = np.hypot(first[..., 0], first[..., 1])
    other = np.hypot(second[..., 0], second[..., 1])
    # Nearly along one another is no crossing.
    inside = np.abs(area) > 1e-6 * long * other
    for share, run in ((t, long), (s, other)):
        edge = _IN_LINE / np.maximum(run, _IN_LINE)
        inside &= (share > edge) & (share < 1 - edge)
    return int(np.count_nonzero(inside))


def _along_one_another(some: _Lines, others: _Lines, room: float) -> int:
    # How many pairs run side by side nearer than `room`, m, and past more than that of each other.
    found = 0
    others = _near(some, others, room)
    for (x1, y1), (x2, y2) in some:
        run = math.hypot(x2 - x1, y2 - y1)
        if not len(others) or run == 0:
            continue
        u, v = (x2 - x1) / run, (y2 - y1) / run
        dx, dy = others[..., 0] - x1, others[..., 1] - y1
        along, off = dx * u + dy * v, dy * u - dx * v
        shared = np.minimum(along.max(axis=1), run) - np.maximum(along.min(axis=1), 0.0)
        near = (np.abs(off) < room).all(axis=1)
        found += int(np.count_nonzero(near & (shared > 0.1 * room)))
    return found
