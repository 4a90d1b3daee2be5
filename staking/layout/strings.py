"""Which lines get a string: walls that share a line, interior lines, and pads in a row.

A `BuildingLine` is a string before its boards: where it must run, which corners or pads it
passes, and what its boards carry. Its direction is its own, not the outline's, so that walking
the outline the other way round changes nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from staking.frozen import frozen
from staking.kinds import StringKind, StringLine
from staking.layout.keep_clear import InTheWay
from staking.layout.layout_parts import Pass
from staking.layout.marks import LineMark, interior_marks, wall_marks, without_repeats
from staking.layout.obstacles import to_the_left
from staking.notices import Notice, Severity, notice
from staking.plan import Dig, InteriorLine, Plan, Point, Side
from staking.tolerances import SAME_POINT


@frozen
class BuildingLine:
    """A string's line between its first and its last corner, m.

    Parameters
    ----------
    name, line, kind, walls
        As in `staking.layout.layout_parts.String`.
    origin, direction, length
        The first corner's place on the line, the unit direction to the last, and how far it is.
    ends
        Names of the first and the last corner, or of the interior line, or of the pads there.
    meets
        What a builder finds at each end: the corner or the pad, and where an interior line ends
        the wall or line that it ends on.
    beyond
        How far past each end the stand-off starts to count: to a pad's far face, else 0.
    passes
        Corners or pads on the line; `from_start` counts from `origin` here.
    marks
        What both boards carry.
    """

    name: str
    line: StringLine
    kind: StringKind
    walls: tuple[str, ...]
    origin: Point
    direction: Point
    length: float
    ends: tuple[str, str]
    meets: tuple[str, str]
    beyond: tuple[float, float] = (0.0, 0.0)
    passes: tuple[Pass, ...]
    marks: tuple[LineMark, ...]

    def at(self, station: float) -> Point:
        """Give the point of the line `station` from its origin, m.

        Returns
        -------
        Point
            x and y, m.
        """
        return (
            self.origin[0] + station * self.direction[0],
            self.origin[1] + station * self.direction[1],
        )


def wall_lines(plan: Plan, ground: InTheWay, dig: Dig) -> tuple[list[BuildingLine], list[Notice]]:
    """Find the strings of the walls.

    Walls whose two ends both lie within half a millimetre of the longest one's line share it. A
    shared line is parted where it would run through a shape to stay clear of or through a
    standing building.

    Parameters
    ----------
    plan
        The building.
    ground
        What is in the way on it.
    dig
        How the trench is dug, for the dig lines among the marks.

    Returns
    -------
    list of BuildingLine
        Ordered by the sorted names of their walls.
    list of Notice
        Lines that had to be parted.
    """
    faces = sorted(_faces(plan), key=lambda face: (-round(face.length, 6), face.wall.sorted_name))
    lines: list[BuildingLine] = []
    notices: list[Notice] = []
    keys: list[list[str]] = []
    for group in _shared(faces):
        first = group[0]
        direction = first.along
        parts = _parted(group, first.start, direction, ground, notices)
        for part in parts:
            lines.append(_line_of(part, first.start, direction, dig))
            keys.append(sorted(face.wall.sorted_name for face in part))
    order = sorted(range(len(lines)), key=lambda i: keys[i])
    return [lines[i] for i in order], notices


def interior_lines(plan: Plan, dig: Dig) -> list[BuildingLine]:
    """Find the strings of the interior lines: one each, on the centre line, from start to end.

    Parameters
    ----------
    plan
        The building.
    dig
        How the trench is dug, for the dig lines among the marks.

    Returns
    -------
    list of BuildingLine
        Ordered by name.
    """
    return [_interior(line, dig) for line in sorted(plan.interior, key=lambda line: line.name)]


def blocked_gap(
    ground: InTheWay, origin: Point, direction: Point, gap: tuple[float, float]
) -> str | None:
    """Tell what a string would run into between two places on its line.

    Parameters
    ----------
    ground
        What is in the way.
    origin, direction
        A point of the line, m, and its unit direction.
    gap
        From where to where, m from `origin`.

    Returns
    -------
    str or None
        In words what is in the way, or None.
    """
    if not ground.has_barriers:
        return None
    low, high = gap
    sight = ground.look_along(origin, direction, (-SAME_POINT, SAME_POINT))
    for name, (start, end) in sight.kept_off:
        if min(end, high) - max(start, low) > SAME_POINT:
            return name
    for place in sight.met:
        if low - SAME_POINT <= place <= high + SAME_POINT:
            return "the standing building"
    return None


def _faces(plan: Plan) -> list[Side]:
    return [side for each in plan.buildings for side in each.sides if side.wall.existing is None]


def _shared(faces: Sequence[Side]) -> list[list[Side]]:
    # Group faces by line, the longest of each group first.
    if not faces:
        return []
    start: NDArray[np.float64] = np.array([face.start for face in faces])
    end: NDArray[np.float64] = np.array([face.end for face in faces])
    left = np.arange(len(faces))
    groups: list[list[Side]] = []
    while left.size:
        first = faces[left[0]]
        along = first.along
        mine = np.abs(to_the_left(start, first.start, along)) <= SAME_POINT
        mine &= np.abs(to_the_left(end, first.start, along)) <= SAME_POINT
        mine[0] = True
        groups.append([faces[i] for i in left[mine]])
        left, start, end = left[~mine], start[~mine], end[~mine]
    return groups


def _along(point: Point, origin: Point, direction: Point) -> float:
    return (point[0] - origin[0]) * direction[0] + (point[1] - origin[1]) * direction[1]


def _parted(
    group: list[Side],
    origin: Point,
    direction: Point,
    ground: InTheWay,
    notices: list[Notice],
) -> list[list[Side]]:
    # Part a group where the string between two of its walls would be in the way of something.
    reach: list[tuple[float, float, Side]] = []
    for face in group:
        a = _along(face.start, origin, direction)
        b = _along(face.end, origin, direction)
        reach.append((min(a, b), max(a, b), face))
    reach.sort(key=lambda item: (item[0], item[1], item[2].wall.sorted_name))
    parts = [[reach[0][2]]]
    far = reach[0][1]
    for low, high, face in reach[1:]:
        what = None
        if low - far > SAME_POINT:
            what = blocked_gap(ground, origin, direction, (far, low))
        if what is None:
            parts[-1].append(face)
        else:
            walls = sorted((parts[-1][-1].wall.sorted_name, face.wall.sorted_name))
            notices.append(
                notice(
                    "string-parted",
                    "walls {first} and {second} lie on one line but get a string each, because "
                    "{what} stands between them",
                    severity=Severity.NOTE,
                    first=walls[0],
                    second=walls[1],
                    what=what,
                )
            )
            parts.append([face])
        far = max(far, high)
    return parts


def _line_of(faces: list[Side], origin: Point, direction: Point, dig: Dig) -> BuildingLine:
    stations: dict[str, float] = {}
    for face in faces:
        stations.setdefault(face.wall.start, _along(face.start, origin, direction))
        stations.setdefault(face.wall.end, _along(face.end, origin, direction))
    low, high = min(stations.values()), max(stations.values())
    first = min(name for name, place in stations.items() if place - low <= SAME_POINT)
    last = min(name for name, place in stations.items() if high - place <= SAME_POINT)
    if last < first:
        first, last = last, first
        direction = (-direction[0], -direction[1])
        stations = {name: -place for name, place in stations.items()}
        low, high = -high, -low
    passes = sorted(stations.items(), key=lambda item: (round(item[1], 3), item[0]))
    marks: list[LineMark] = []
    for face in sorted(faces, key=lambda face: face.wall.sorted_name):
        ahead = _along(face.end, face.start, direction) > 0
        # Going anticlockwise round a building, the ground away from it is on the right.
        marks += wall_marks(face.wall, dig, -1.0 if ahead == face.anticlockwise else 1.0)
    return BuildingLine(
        name=f"{first}-{last}",
        line=StringLine.OUTSIDE_FACE,
        kind=StringKind.WALL,
        walls=tuple(
            face.wall.name for face in sorted(faces, key=lambda face: face.wall.sorted_name)
        ),
        origin=(origin[0] + low * direction[0], origin[1] + low * direction[1]),
        direction=direction,
        length=high - low,
        ends=(first, last),
        meets=(first, last),
        passes=tuple(
            Pass(name=name, is_pad=False, from_start=place - low) for name, place in passes
        ),
        marks=without_repeats(marks),
    )


def _interior(line: InteriorLine, dig: Dig) -> BuildingLine:
    length = math.hypot(line.end[0] - line.start[0], line.end[1] - line.start[1])
    return BuildingLine(
        name=line.name,
        line=StringLine.CENTRE,
        kind=StringKind.INTERIOR,
        walls=(line.name,),
        origin=line.start,
        direction=((line.end[0] - line.start[0]) / length, (line.end[1] - line.start[1]) / length),
        length=length,
        ends=(line.name, line.name),
        meets=(line.start_on, line.end_on),
        passes=(),
        marks=interior_marks(line, dig),
    )
