"""Break lines: edges of the ground that no triangle may cross, cut where they meet."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NoReturn

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.lines import cross, cross_within, meeting_shares
from staking.tolerances import SAME_POINT
from staking.units import FOOT

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


@frozen(eq=False)
class BreakLine:
    """A named chain of points along an edge of the ground.

    Parameters
    ----------
    vertices
        x, y and elevation, ``(n, 3)``, m; a part without elevations (not-a-number) is passed
        over.
    """

    name: str
    vertices: Floats


@frozen(eq=False)
class Lined:
    """Points with break lines cut into them.

    Parameters
    ----------
    points, elevations
        ``(n, 2)`` and ``(n,)``, m: those given first, then those of the lines.
    sources
        For each point -1, or the number of the line it comes from, ``(n,)``.
    edges
        Pairs of points that are joined, the smaller number first, each once.
    """

    points: Floats
    elevations: Floats
    sources: Ints
    edges: tuple[tuple[int, int], ...]


class _Nodes:
    # Points so far; one place has one elevation.
    def __init__(self, points: Floats, elevations: Floats, lines: Sequence[BreakLine]) -> None:
        self.points, self.elevations = points, elevations
        self.sources = np.full(len(points), -1, dtype=np.intp)
        self.lines = lines

    def add(self, place: Floats, elevation: float, line: int) -> int:
        if len(self.points):
            away = np.abs(self.points - place).max(axis=1)
            near = int(away.argmin())
            if away[near] <= SAME_POINT:
                self.agree(near, elevation, line)
                return near
        self.points = np.vstack((self.points, place))
        self.elevations = np.append(self.elevations, elevation)
        self.sources = np.append(self.sources, line)
        return len(self.points) - 1

    def agree(self, node: int, elevation: float, line: int) -> None:
        there = float(self.elevations[node])
        if abs(there - elevation) > SAME_POINT:
            source = int(self.sources[node])
            other = "a surveyed point" if source < 0 else f"break line {self.lines[source].name}"
            _refuse(
                (other, there),
                (f"break line {self.lines[line].name}", elevation),
                self.points[node],
            )


def _refuse(one: tuple[str, float], other: tuple[str, float], place: Floats) -> NoReturn:
    raise ComputationError(
        f"two elevations at one place (x {place[0]:.3f} m, y {place[1]:.3f} m on the building "
        f"grid): {one[0]} is at {_said(one[1])} there and {other[0]} at {_said(other[1])}; "
        "correct one of them or leave it out"
    )


def _said(elevation: float) -> str:
    return f"{elevation / FOOT:.2f} ft ({elevation:.3f} m)"


def lay_lines(
    points: Floats,
    elevations: Floats,
    lines: Sequence[BreakLine],
    box: tuple[Floats, Floats],
) -> Lined:
    """Cut the break lines near a box at each other and at the points they run through.

    Parameters
    ----------
    points, elevations
        Surveyed points, no two at one place, ``(n, 2)`` and ``(n,)``, m.
    lines
        The break lines.
    box
        Lowest and highest x and y, m; segments that stay clear of it are left out.

    Returns
    -------
    Lined
        Points and the edges between them.

    Raises
    ------
    ComputationError
        Where two lines, or a line and a point, have two elevations at one place; it names both
        and gives both elevations.
    """
    starts, ends, owners = _segments(lines, box)
    nodes = _Nodes(points, elevations, lines)
    for i, owner in enumerate(owners):
        for end in (starts[i], ends[i]):
            nodes.add(end[:2], float(end[2]), owner)
    for i, j, along, other in _crossings(starts, ends):
        first = starts[i] + along * (ends[i] - starts[i])
        second = starts[j] + other * (ends[j] - starts[j])
        if abs(first[2] - second[2]) > SAME_POINT:
            _refuse(
                (f"break line {lines[owners[i]].name}", float(first[2])),
                (f"break line {lines[owners[j]].name}", float(second[2])),
                first[:2],
            )
        nodes.add(first[:2], float(first[2]), owners[i])
    edges: set[tuple[int, int]] = set()
    for i, owner in enumerate(owners):
        chain = _chain(nodes, starts[i], ends[i], owner)
        edges |= {(min(pair), max(pair)) for pair in pairwise(chain)}
    return Lined(
        points=nodes.points,
        elevations=nodes.elevations,
        sources=nodes.sources,
        edges=tuple(sorted(edges)),
    )


def _segments(
    lines: Sequence[BreakLine], box: tuple[Floats, Floats]
) -> tuple[Floats, Floats, list[int]]:
    starts, ends, owners = [np.empty((0, 3))], [np.empty((0, 3))], []
    for number, line in enumerate(lines):
        one, two = line.vertices[:-1], line.vertices[1:]
        low, high = np.minimum(one, two)[:, :2], np.maximum(one, two)[:, :2]
        kept = (low <= box[1]).all(axis=1) & (high >= box[0]).all(axis=1)
        kept &= ~np.isnan(one[:, 2] + two[:, 2])
        kept &= (high - low).max(axis=1, initial=0.0) > SAME_POINT
        starts.append(one[kept])
        ends.append(two[kept])
        owners += [number] * int(kept.sum())
    return np.vstack(starts), np.vstack(ends), owners


def _crossings(starts: Floats, ends: Floats) -> list[tuple[int, int, float, float]]:
    # Where segments cross within both: their numbers and the shares of their lengths.
    found = []
    low, high = np.minimum(starts, ends)[:, :2], np.maximum(starts, ends)[:, :2]
    way = (ends - starts)[:, :2]
    for i in range(len(starts) - 1):
        later = np.arange(i + 1, len(starts))
        near = (low[later] <= high[i]).all(axis=1) & (high[later] >= low[i]).all(axis=1)
        others = later[near]
        along, other = meeting_shares(starts[i, :2], way[i], starts[others, :2], way[others])
        found += [
            (i, int(others[k]), float(along[k]), float(other[k]))
            for k in np.flatnonzero(cross_within(along, other))
        ]
    return found


def _chain(nodes: _Nodes, start: Floats, end: Floats, line: int) -> list[int]:
    # The nodes on a segment from its start to its end.
    way = (end - start)[:2]
    length = float(np.hypot(*way))
    away = nodes.points - start[:2]
    along = (away @ way) / length
    off = np.abs(cross(away, way)) / length
    on = (off <= SAME_POINT) & (along >= -SAME_POINT) & (along <= length + SAME_POINT)
    numbers = np.flatnonzero(on)
    numbers = numbers[np.argsort(along[numbers], kind="stable")]
    for number in numbers.tolist():
        share = min(max(float(along[number]) / length, 0.0), 1.0)
        nodes.agree(number, float(start[2] + share * (end[2] - start[2])), line)
    return [int(number) for number in numbers]
