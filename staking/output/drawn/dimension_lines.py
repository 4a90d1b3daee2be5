"""The lines of a dimension as the drawing's style has them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.output.drawing.layers import (
    EXTENSION,
    EXTENSION_BEGINS,
    MAIN_HEIGHT,
    TICK_SIZE,
)

if TYPE_CHECKING:
    from staking.output.drawn.drawn_parts import MeasuredPart
    from staking.plan import Point

Line = tuple["Point", "Point"]


def dimension_lines(dimension: MeasuredPart, mm: float) -> tuple[tuple[Line, ...], ...]:
    """Give the lines that a dimension is drawn with.

    Parameters
    ----------
    dimension
        The dimension.
    mm
        Drawing units for 1 mm on paper.

    Returns
    -------
    tuple of tuple
        The two extension lines; the two ticks across the ends of the dimension's line; that line.
    """
    along = (math.cos(dimension.turn), math.sin(dimension.turn))
    base = dimension.base

    def onto(point: Point) -> Point:
        run = (point[0] - base[0]) * along[0] + (point[1] - base[1]) * along[1]
        return (base[0] + along[0] * run, base[1] + along[1] * run)

    ends = (onto(dimension.start), onto(dimension.end))
    measured = (dimension.start, dimension.end)
    extensions = tuple(
        _extension(point, end, along, mm) for point, end in zip(measured, ends, strict=True)
    )
    half = TICK_SIZE * mm
    slant = ((along[0] - along[1]) * half, (along[1] + along[0]) * half)
    ticks = tuple(((x - slant[0], y - slant[1]), (x + slant[0], y + slant[1])) for x, y in ends)
    return extensions, ticks, ((ends[0], ends[1]),)


def _extension(point: Point, end: Point, along: Point, mm: float) -> Line:
    # From a little off what is measured to a little past the dimension's line.
    dx, dy = end[0] - point[0], end[1] - point[1]
    run = math.hypot(dx, dy)
    way = (dx / run, dy / run) if run > 1e-12 else (-along[1], along[0])
    off, past = EXTENSION_BEGINS * mm, EXTENSION * MAIN_HEIGHT * mm
    return (
        (point[0] + way[0] * off, point[1] + way[1] * off),
        (end[0] + way[0] * past, end[1] + way[1] * past),
    )
