"""Wall, footing and projections where the lines run parallel all round the outline."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.units import INCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shapely.geometry.base import BaseGeometry

    from staking.outline.designers_drawing import Floats
    from staking.plan import Point

_ALIKE = INCH / 16
"""Offsets of all sides within this, m, are one size: it is what the tape is read to (common
practice, no source)."""
_PARALLEL = math.sin(math.radians(0.2))
_COVERED = 0.5
"""How much of a side has a line parallel to it before that line is its other face (common practice,
no source)."""
_FARTHEST = 4.0
"""A line farther off than this, m, is not a face of the same wall or footing (common practice, no
source)."""


@frozen
class FootingReadOff:
    """The footing as drawn, m: its width and how far it projects past the outside face."""

    width: float
    outside: float


def wall_read_off(corners: Sequence[Point], lines: BaseGeometry) -> float | None:
    """Read the wall's thickness off the line work of the walls.

    Parameters
    ----------
    corners
        The outline, anticlockwise, m.
    lines
        All lines of the walls' layers.

    Returns
    -------
    float or None
        The distance to the nearest parallel line inside, where it is one all round; m.
    """
    offsets = _offsets(corners, _segments(lines))
    found = [min((each for each in side if each > _ALIKE), default=None) for side in offsets]
    return _one_size(found)


def footing_read_off(corners: Sequence[Point], lines: BaseGeometry) -> FootingReadOff | None:
    """Read the footing's width and projection off the line work of the footings.

    Parameters
    ----------
    corners
        The outline of the walls, anticlockwise, m.
    lines
        All lines of the footings' layers.

    Returns
    -------
    FootingReadOff or None
        Where an edge runs parallel outside every side, and one inside, each at one distance.
    """
    offsets = _offsets(corners, _segments(lines))
    outside = _one_size([max((-e for e in side if e <= _ALIKE), default=None) for side in offsets])
    inside = _one_size([min((e for e in side if e > _ALIKE), default=None) for side in offsets])
    if outside is None or inside is None:
        return None
    return FootingReadOff(width=outside + inside, outside=outside)


def _one_size(found: Sequence[float | None]) -> float | None:
    sizes = [each for each in found if each is not None]
    if len(sizes) != len(found) or not sizes or max(sizes) - min(sizes) > _ALIKE:
        return None
    return float(np.median(sizes))


def _segments(lines: BaseGeometry) -> Floats:
    """Give every straight stretch as ``(n, 4)`` x, y of its ends, m."""
    import shapely

    parts = [shapely.get_coordinates(part) for part in shapely.get_parts(lines)]
    rows = [np.column_stack((part[:-1], part[1:])) for part in parts if len(part) > 1]
    return np.concatenate(rows) if rows else np.zeros((0, 4))


def _offsets(corners: Sequence[Point], segments: Floats) -> list[list[float]]:
    """Give, for each side, how far inside the parallel lines along it lie, m; outside negative."""
    ring = np.array(corners, dtype=float)
    found = []
    for start, end in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        length = math.dist(start, end)
        along = (end - start) / length
        inward = np.array((-along[1], along[0]))
        first, last = segments[:, :2] - start, segments[:, 2:] - start
        off = (first @ inward + last @ inward) / 2
        tilt = np.abs((last - first) @ inward)
        near = (tilt <= _PARALLEL * np.hypot(*(last - first).T)) & (np.abs(off) < _FARTHEST)
        low = np.minimum(first @ along, last @ along).clip(0.0, length)
        high = np.maximum(first @ along, last @ along).clip(0.0, length)
        covered: dict[int, float] = {}
        for key, stretch in zip(np.round(off[near] / _ALIKE), (high - low)[near], strict=True):
            covered[int(key)] = covered.get(int(key), 0.0) + float(stretch)
        means = {
            key: float(off[near][np.round(off[near] / _ALIKE) == key].mean()) for key in covered
        }
        found.append([means[key] for key in sorted(covered) if covered[key] >= _COVERED * length])
    return found
