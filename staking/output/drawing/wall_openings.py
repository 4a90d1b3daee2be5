"""Openings and pipe sleeves in the walls: their shapes and their words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from staking.lines import direction
from staking.output.drawing.drawn_words import Segment
from staking.output.drawing.plan_labels import Labels, beside
from staking.output.drawing.plan_shapes import Quad
from staking.plan import Opening, Plan, Point, Sleeve

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout


def openings(plan: Plan) -> Iterator[tuple[Opening, Quad]]:
    """Each opening between the faces of its wall.

    Yields
    ------
    tuple
        The opening; two points on the outside face and, going back, two on the inside face, m.
    """
    lines = _lines(plan)
    for opening in plan.openings:
        if opening.wall in lines:
            yield opening, _across(*lines[opening.wall], opening.start, opening.width)


def sleeves(plan: Plan) -> Iterator[tuple[Sleeve, Quad]]:
    """Each sleeve between the faces of its wall.

    Yields
    ------
    tuple
        The sleeve and its four points as an opening's, m.
    """
    lines = _lines(plan)
    for sleeve in plan.sleeves:
        if sleeve.wall in lines:
            start = sleeve.station - sleeve.size / 2
            yield sleeve, _across(*lines[sleeve.wall], start, sleeve.size)


def opening_lines(plan: Plan) -> tuple[Segment, ...]:
    """List the lines that show the openings: jambs and crossed diagonals.

    Returns
    -------
    tuple of Segment
        The lines, m.
    """
    ends = ((0, 3), (1, 2), (0, 2), (1, 3))
    return tuple((quad[i], quad[j]) for _, quad in openings(plan) for i, j in ends)


def opening_labels(layout: Layout, length: Callable[[float], str], height: float) -> Labels:
    """Write the width of each opening and the size of each sleeve along their walls.

    Parameters
    ----------
    layout
        The layout.
    length
        Writes a length, m, as text.
    height
        Text height on the ground, m.

    Returns
    -------
    list
        The variants of each text, inside the building first.
    """
    found = [(f"opening {length(each.width)}", quad) for each, quad in openings(layout.plan)]
    found += [(f"sleeve {length(each.size)}", quad) for each, quad in sleeves(layout.plan)]
    return [beside(words, quad[3], quad[2], 0.0, height) for words, quad in found]


def _lines(plan: Plan) -> dict[str, tuple[Point, Point, Point]]:
    # What may have an opening, by name: station 0 on the outside and on the inside face, and the
    # direction along.
    lines = {}
    for building in plan.buildings:
        for side in building.sides:
            start, (x, y), thick = side.start, side.inward, side.wall.thickness
            lines[side.wall.name] = (
                start,
                (start[0] + x * thick, start[1] + y * thick),
                side.along,
            )
    for line in plan.interior:
        along = direction(line.start, line.end)
        half = (-along[1] * line.thickness / 2, along[0] * line.thickness / 2)
        outer = (line.start[0] - half[0], line.start[1] - half[1])
        inner = (line.start[0] + half[0], line.start[1] + half[1])
        lines[line.name] = (outer, inner, along)
    return lines


def _across(outer: Point, inner: Point, along: Point, start: float, run: float) -> Quad:
    (x, y), end = along, start + run
    return (
        (outer[0] + x * start, outer[1] + y * start),
        (outer[0] + x * end, outer[1] + y * end),
        (inner[0] + x * end, inner[1] + y * end),
        (inner[0] + x * start, inner[1] + y * start),
    )
