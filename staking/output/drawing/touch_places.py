"""Where the walls, corners, lines and pads of a plan lie on the paper of its drawing."""

from __future__ import annotations

import math
from enum import StrEnum
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing.drawing_sheet import MARGIN, view_size
from staking.output.drawing.plan_shapes import interior_quad, pad_quad, wall_quads
from staking.plan import Point

if TYPE_CHECKING:
    from staking.output.drawing.plan_drawing import DrawnPlan

CORNER_MM = 3.2
"""Half the side of what is touched about a corner, mm on paper."""


class TouchKind(StrEnum):
    """What a place in the plan belongs to."""

    WALL = "wall"
    CORNER = "corner"
    INTERIOR = "interior"
    PAD = "pad"


@frozen
class TouchPlace:
    """A shape on the drawing's paper, mm from its lower left corner, and whose it is.

    Parameters
    ----------
    kind, name
        What it is, and its name in the job.
    building
        The number of its building, from 0; None where it stands in none alone.
    points
        The shape's corners in order.
    """

    kind: TouchKind
    name: str
    building: int | None
    points: tuple[Point, ...]


def touch_places(drawn: DrawnPlan) -> tuple[TouchPlace, ...]:
    """List what can be touched in the picture of a plan.

    Parameters
    ----------
    drawn
        The plan as it is drawn.

    Returns
    -------
    tuple of TouchPlace
        What lies over others last: walls, lines inside, pads, corners.
    """
    window = _Window(drawn)
    plan = drawn.layout.plan
    found = []
    for number, building in enumerate(plan.buildings):
        for side, (quad, _) in zip(building.sides, wall_quads(building), strict=True):
            shape = window.shape(quad)
            found.append(_place(TouchKind.WALL, side.wall.name, number, shape))
    for line in plan.interior:
        shape = window.shape(interior_quad(plan, line))
        found.append(_place(TouchKind.INTERIOR, line.name, None, shape))
    for pad in plan.pads:
        found.append(_place(TouchKind.PAD, pad.name, None, window.shape(pad_quad(pad))))
    for number, building in enumerate(plan.buildings):
        for corner in building.corners:
            ((x, y),) = window.shape([(corner.x, corner.y)])
            square = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
            ring = tuple((x + CORNER_MM * i, y + CORNER_MM * j) for i, j in square)
            found.append(_place(TouchKind.CORNER, corner.name, number, ring))
    return tuple(found)


def _place(
    kind: TouchKind, name: str, building: int | None, points: tuple[Point, ...]
) -> TouchPlace:
    return TouchPlace(kind=kind, name=name, building=building, points=points)


class _Window:
    """How the sheet's window shows model space: turned upright, at the drawing's scale."""

    def __init__(self, drawn: DrawnPlan) -> None:
        self.grid = drawn.grid
        view = view_size(drawn.sheet.paper)
        self.per_mm = drawn.sheet.per_mm
        self.centre = (MARGIN + view[0] / 2, MARGIN + view[1] / 2)
        self.target = drawn.sheet.centre
        self.turn = -(drawn.sheet.turn or 0.0)

    def shape(self, points: tuple[Point, ...] | list[Point]) -> tuple[Point, ...]:
        """Take points of the building grid, m, to the paper, mm."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        found = []
        for point in points:
            x, y = self.grid.at(point)
            x, y = (x - self.target[0]) / self.per_mm, (y - self.target[1]) / self.per_mm
            found.append((
                self.centre[0] + cos * x - sin * y,
                self.centre[1] + sin * x + cos * y,
            ))
        return tuple(found)
