"""Nails on batter boards as surveyed: how far each slides, and where the strings cross."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from staking.frozen import frozen
from staking.kinds import StringKind
from staking.layout.layout_parts import Board, String
from staking.lines import cross, intersect_lines
from staking.measure.rounding import whole_steps
from staking.network.geometry import Floats
from staking.plan import Plan, Point

FACE = "outside face"
"""The mark that holds a wall's string."""

_STEPS = 30
_CONVERGED = 1e-11


@frozen
class Nail:
    """A nail as planned, m: `way` is the unit vector along its board, positive as its offsets.

    `wall_string` says that its string is a wall's, whose offsets count away from the building;
    elsewhere they count to the right of from-to.
    """

    name: str
    board: str
    string: str
    mark: str
    wall: str
    x: float
    y: float
    way: Point
    wall_string: bool


@frozen
class NailSlide:
    """How far a surveyed nail slides along its board to its planned line, m.

    `distance` is the full slide, positive along the nail's way; `rounded` the same in whole steps.
    """

    nail: Nail
    distance: float
    rounded: float
    allowed: float

    @property
    def good(self) -> bool:
        """Whether the nail stands within what is allowed."""
        return abs(self.distance) <= self.allowed


def planned_nails(
    names: Sequence[str], strings: Sequence[String], boards: Sequence[Board]
) -> tuple[Nail, ...]:
    """List the nails of a layout.

    Parameters
    ----------
    names
        A name for every mark, board by board.
    strings, boards
        The layout's.

    Returns
    -------
    tuple of Nail
        In the order of the names.
    """
    kinds = {string.name: string.kind for string in strings}
    marks = [(board, mark) for board in boards for mark in board.marks]
    ways = {board.name: _way(board) for board in boards}
    return tuple(
        Nail(
            name=name,
            board=board.name,
            string=board.string,
            mark=mark.mark,
            wall=mark.wall,
            x=mark.x,
            y=mark.y,
            way=ways[board.name],
            wall_string=kinds[board.string] is StringKind.WALL,
        )
        for name, (board, mark) in zip(names, marks, strict=True)
    )


def _way(board: Board) -> Point:
    # from the least offset to the greatest; a board with one nail has only its ends
    least = min(board.marks, key=lambda mark: mark.offset, default=None)
    most = max(board.marks, key=lambda mark: mark.offset, default=None)
    if least is not None and most is not None and most.offset - least.offset > 1e-6:
        start, end = (least.x, least.y), (most.x, most.y)
    else:
        start, end = board.ends
    size = math.dist(start, end)
    return ((end[0] - start[0]) / size, (end[1] - start[1]) / size)


def slide_of(nail: Nail, here: Point, allowed: float, step: float) -> NailSlide:
    """Say how far a nail slides.

    Parameters
    ----------
    nail
        As planned.
    here
        Where it was found, x and y on the building grid, m.
    allowed
        What it may be off by, m.
    step
        What slides are rounded to, m.

    Returns
    -------
    NailSlide
        Only the distance along the board counts: where along the string the board stands does
        not matter.
    """
    off = (here[0] - nail.x) * nail.way[0] + (here[1] - nail.y) * nail.way[1]
    size = whole_steps(-off, step) * step + 0.0
    return NailSlide(nail=nail, distance=-off, rounded=size, allowed=allowed)


def crossings(
    plan: Plan, strings: Sequence[String], found: Mapping[str, tuple[Nail, Point]]
) -> dict[str, Point]:
    """Find where the strings between surveyed nails cross over the corners.

    Parameters
    ----------
    plan
        The plan.
    strings
        The layout's.
    found
        Surveyed nails by name: as planned, and x and y, m.

    Returns
    -------
    dict
        x and y, m, by corner, where both nails of both its strings were surveyed.
    """
    faces = {(nail.board, nail.wall): here for nail, here in found.values() if nail.mark == FACE}
    lines: dict[str, tuple[Point, Point]] = {}
    for string in strings:
        start, end = string.boards
        if string.kind is not StringKind.WALL or start is None or end is None:
            continue
        ends = [
            next((here for (board, _), here in faces.items() if board == name), None)
            for name in (start, end)
        ]
        if ends[0] is not None and ends[1] is not None:
            for wall in string.walls:
                lines[wall] = (ends[0], ends[1])
    crossed = {}
    for building in plan.buildings:
        for i, corner in enumerate(building.corners):
            before, after = building.walls[i - 1].name, building.walls[i].name
            if before in lines and after in lines:
                point = _cross(lines[before], lines[after])
                if point is not None:
                    crossed[corner.name] = point
    return crossed


def _cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> Point | None:
    a, b = np.array(one), np.array(other)
    u, v = a[1] - a[0], b[1] - b[0]
    if abs(float(cross(u, v))) < 1e-3 * np.hypot(*u) * np.hypot(*v):
        return None
    x, y = intersect_lines(a[0], u, b[0], v).tolist()
    return (x, y)


def fit_to_lines(here: Floats, plan: Floats, ways: Floats, start: float) -> tuple[Floats, Floats]:
    """Turn and shift points so that they lie as near as can be to lines.

    Parameters
    ----------
    here
        The points as surveyed, m, shape ``(n, 2)``.
    plan
        A point on the line of each, m, shape ``(n, 2)``.
    ways
        Unit vectors square to the lines, shape ``(n, 2)``. A point that is to come to its own
        place stands twice, with two ways.
    start
        The turn to begin with, rad anticlockwise.

    Returns
    -------
    tuple
        ``(2, 3)``: a point ``(x, y, 1)`` times its transpose is the point moved; and how far off
        its line each point is left, m.

    Notes
    -----
    Gauss-Newton on a turn and two shifts (derived). Directions that the lines leave free are not
    moved in: the step is the shortest that serves.
    """
    middle, turn = here.mean(axis=0), start
    local = here - middle
    shift = plan.mean(axis=0)
    for _ in range(_STEPS):
        c, s = math.cos(turn), math.sin(turn)
        turned = local @ np.array([[c, s], [-s, c]])
        off = ((turned + shift - plan) * ways).sum(axis=1)
        swing = np.column_stack((-turned[:, 1], turned[:, 0]))
        design = np.column_stack((ways, (swing * ways).sum(axis=1)))
        step = np.linalg.lstsq(design, -off, rcond=1e-9)[0]
        shift, turn = shift + step[:2], turn + float(step[2])
        if np.abs(step).max() < _CONVERGED:
            break
    c, s = math.cos(turn), math.sin(turn)
    matrix = np.array([[c, -s], [s, c]])
    moved = local @ matrix.T + shift
    return (
        np.column_stack((matrix, shift - matrix @ middle)),
        np.asarray(((moved - plan) * ways).sum(axis=1)),
    )
