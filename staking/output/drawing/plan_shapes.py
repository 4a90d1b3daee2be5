"""The shapes of a plan as points on the building grid, m: walls, pads, ticks, extents."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.lines import cross_of, direction
from staking.output.drawing.drawn_words import Box, Segment, extent
from staking.plan import Building, InteriorLine, Pad, Plan, Point
from staking.tolerances import STRAIGHT_RAD

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout

Quad = tuple[Point, Point, Point, Point]


@frozen
class _WallFace:
    """A wall's outside face: its first corner, direction, inward normal and thickness, m."""

    start: Point
    along: Point
    inward: Point
    thickness: float


def wall_quads(building: Building) -> Iterator[tuple[Quad, bool]]:
    """Each wall between its two faces, and whether it is a standing building's side.

    Parameters
    ----------
    building
        The building.

    Yields
    ------
    tuple
        Outside face from corner to corner, then the inside face back, m; the inside face ends
        where it meets the neighbours' inside faces, square where they are nearly in line. A
        standing side's inside face is its outside face.
    """
    sides = building.sides
    faces = []
    for side in sides:
        thick = 0.0 if side.wall.existing else side.wall.thickness
        faces.append(
            _WallFace(start=side.start, along=side.along, inward=side.inward, thickness=thick)
        )
    for i, side in enumerate(sides):
        before, here, after = faces[i - 1], faces[i], faces[(i + 1) % len(faces)]
        inner = (_inner(here, after, side.end), _inner(here, before, side.start))
        yield (side.start, side.end, *inner), bool(side.wall.existing)


def interior_quad(plan: Plan, line: InteriorLine) -> Quad:
    """Give an interior wall between its faces, from inside face to inside face.

    Returns
    -------
    tuple of Point
        Four points, m.
    """
    run = direction(line.start, line.end)
    first = _trim(plan, line, line.start_on, run)
    last = _trim(plan, line, line.end_on, run)
    half = (-run[1] * line.thickness / 2, run[0] * line.thickness / 2)
    start = (line.start[0] + run[0] * first, line.start[1] + run[1] * first)
    end = (line.end[0] - run[0] * last, line.end[1] - run[1] * last)
    return (
        (start[0] - half[0], start[1] - half[1]),
        (end[0] - half[0], end[1] - half[1]),
        (end[0] + half[0], end[1] + half[1]),
        (start[0] + half[0], start[1] + half[1]),
    )


def pad_quad(pad: Pad) -> Quad:
    """Give a square pad's corners.

    Returns
    -------
    tuple of Point
        Four points, anticlockwise, m.
    """
    width, depth = pad.size or (pad.diameter or 0.0,) * 2
    return Box(x=pad.x, y=pad.y, width=width, height=depth, turn=pad.turn).corners


def ring_lines(ring: tuple[Point, ...]) -> Iterator[Segment]:
    """List the sides of a closed ring.

    Returns
    -------
    iterator of Segment
        One for each point.
    """
    return zip(ring, (*ring[1:], ring[0]), strict=True)


def obstacles(layout: Layout) -> list[Segment]:
    """List every line that text should keep off.

    Returns
    -------
    list of Segment
        The lines, m.
    """
    lines = _set_out(layout)
    for shape in layout.plan.stay_clear:
        lines.extend(ring_lines(shape.corners))
    return lines


def _set_out(layout: Layout) -> list[Segment]:
    plan = layout.plan
    lines = [
        side
        for outline in {id(each): each for each in (layout.footing, layout.dig)}.values()
        for ring in (*outline.outlines, *outline.holes)
        for side in ring_lines(ring)
    ]
    for building in plan.buildings:
        for quad, _ in wall_quads(building):
            lines.extend(((quad[0], quad[1]), (quad[2], quad[3])))
    for line in plan.interior:
        lines.extend(ring_lines(interior_quad(plan, line)))
    lines.extend((string.start, string.end) for string in layout.strings)
    lines.extend(board.ends for board in layout.boards)
    return lines


def solids(layout: Layout, size: float) -> list[Box]:
    """Give what no text may cover: stakes' markers of `size` m, boards, pads.

    Returns
    -------
    list of Box
        One for each.
    """
    plan = layout.plan
    points = [(hub.x, hub.y) for hub in layout.hubs]
    points += [corner.point for building in plan.buildings for corner in building.corners]
    boxes = [Box(x=x, y=y, width=size, height=size) for x, y in points]
    for board in layout.boards:
        (x1, y1), (x2, y2) = board.ends
        boxes.append(
            Box(
                x=(x1 + x2) / 2,
                y=(y1 + y2) / 2,
                width=math.hypot(x2 - x1, y2 - y1),
                height=size / 2,
                turn=math.atan2(y2 - y1, x2 - x1),
            )
        )
    for pad in plan.pads:
        width, depth = pad.size or (pad.diameter or 0.0,) * 2
        boxes.append(Box(x=pad.x, y=pad.y, width=width, height=depth, turn=pad.turn))
    return boxes


def reach(layout: Layout) -> tuple[Point, Point]:
    """Find the least and greatest x and y of all that is set out.

    Returns
    -------
    tuple of Point
        Lower left and upper right, m, without text and shapes to stay clear of.
    """
    points = [point for line in _set_out(layout) for point in line]
    points += [(hub.x, hub.y) for hub in layout.hubs]
    return extent(points)


def _inner(here: _WallFace, other: _WallFace, corner: Point) -> Point:
    # Where a wall's inside face ends at a corner it shares with another wall.
    cross = here.along[0] * other.along[1] - here.along[1] * other.along[0]
    dot = here.along[0] * other.along[0] + here.along[1] * other.along[1]
    square = (
        corner[0] + here.inward[0] * here.thickness,
        corner[1] + here.inward[1] * here.thickness,
    )
    if abs(cross) < math.sin(STRAIGHT_RAD) and dot > 0:
        return square
    # Along the own inside face to where it is `other.thickness` inside the other's outside face.
    slope = here.along[0] * other.inward[0] + here.along[1] * other.inward[1]
    now = here.thickness * (here.inward[0] * other.inward[0] + here.inward[1] * other.inward[1])
    step = (other.thickness - now) / slope
    return (square[0] + here.along[0] * step, square[1] + here.along[1] * step)


def _trim(plan: Plan, line: InteriorLine, on: str, run: Point) -> float:
    # How far from its end an interior wall meets the near face of what it runs to, m.
    for side in plan.buildings[line.building].sides:
        if on in side.wall.names:
            thick = 0.0 if side.wall.existing else side.wall.thickness
            return _slant(thick, run, side.along)
    for other in plan.interior:
        if other.name == on:
            return _slant(other.thickness / 2, run, direction(other.start, other.end))
    return 0.0


def _slant(thickness: float, run: Point, along: Point) -> float:
    sine = abs(cross_of(run, along))
    return thickness / sine if sine > math.sin(STRAIGHT_RAD) else 0.0
