"""The plan that the sketches of all cards are cut from: each sketch shows a few sides of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import StrEnum
from itertools import groupby, pairwise
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.output.drawing.plan_shapes import interior_quad, pad_quad, wall_quads

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.output.drawing.drawn_words import Box
    from staking.plan import Point


class EdgeKind(StrEnum):
    """What an edge on a sketch is of."""

    FOOTING = "footing"
    DIG = "dig"
    WALL = "wall"
    STANDING = "standing"
    INTERIOR = "interior"
    PAD = "pad"


@frozen
class EdgeSeen:
    """Sides of one shape that follow one another, m, and whether they close round it."""

    kind: EdgeKind
    points: tuple[Point, ...]
    closed: bool


class PlanOfCards:
    """What is the same for all cards of a job: the sides of its shapes, and its mark.

    Parameters
    ----------
    layout
        The layout.
    """

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self.mark = layout.mark
        self._shapes = list(_shapes(layout))
        sides = [
            (*start, *end, shape, side)
            for shape, (_, points) in enumerate(self._shapes)
            for side, (start, end) in enumerate(pairwise(_round(points)))
        ]
        found = np.array(sides, dtype=float).reshape(-1, 6)
        self._low = np.minimum(found[:, :2], found[:, 2:4])
        self._high = np.maximum(found[:, :2], found[:, 2:4])
        self._of = found[:, 4:].astype(int)

    def near(self, view: Box) -> Iterator[EdgeSeen]:
        """Find what comes into a sketch.

        Parameters
        ----------
        view
            What the sketch shows, upright, m.

        Yields
        ------
        EdgeSeen
            Sides that may run past the sketch's edge.
        """
        x, y = view.x, view.y
        here = (self._high >= (x - view.width / 2, y - view.height / 2)).all(axis=1)
        here &= (self._low <= (x + view.width / 2, y + view.height / 2)).all(axis=1)
        for shape, rows in groupby(self._of[here].tolist(), key=lambda row: row[0]):
            kind, points = self._shapes[shape]
            for first, last in _runs([side for _, side in rows], len(points)):
                if len(points) > 2 and last - first == len(points) - 1:
                    yield EdgeSeen(kind=kind, points=points, closed=True)
                    continue
                chain = tuple(points[at % len(points)] for at in range(first, last + 2))
                yield EdgeSeen(kind=kind, points=chain, closed=False)


def _shapes(layout: Layout) -> Iterator[tuple[EdgeKind, tuple[Point, ...]]]:
    plan = layout.plan
    for kind, outline in ((EdgeKind.FOOTING, layout.footing), (EdgeKind.DIG, layout.dig)):
        if kind is EdgeKind.DIG and not layout.digs_wider:
            continue
        for ring in (*outline.outlines, *outline.holes):
            yield kind, tuple(ring)
    for building in plan.buildings:
        for quad, standing in wall_quads(building):
            # Of a standing wall only the face is known.
            yield (EdgeKind.STANDING, quad[:2]) if standing else (EdgeKind.WALL, tuple(quad))
    for line in plan.interior:
        yield EdgeKind.INTERIOR, tuple(interior_quad(plan, line))
    for pad in plan.pads:
        yield EdgeKind.PAD, tuple(pad_quad(pad))


def _round(points: tuple[Point, ...]) -> tuple[Point, ...]:
    # To the first point again, where they are more than the ends of a line.
    return (*points, points[0]) if len(points) > 2 else points


def _runs(sides: Sequence[int], count: int) -> list[tuple[int, int]]:
    # First and last of sides that follow one another round a shape of so many; the last may be
    # counted past the end, where a run goes through the first side.
    runs: list[tuple[int, int]] = []
    for side in sides:
        if runs and runs[-1][1] == side - 1:
            runs[-1] = (runs[-1][0], side)
        else:
            runs.append((side, side))
    if len(runs) > 1 and runs[0][0] == 0 and runs[-1][1] == count - 1:
        _, through = runs.pop(0)
        first, _ = runs.pop()
        runs.append((first, count + through))
    return runs
