"""What one wall's profile is made of before it goes into a drawing file, and how it is seen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import FootingKind
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Segment, Text, extent
from staking.output.drawn.drawn_parts import Look
from staking.output.profile.profile_layers import CONCRETE
from staking.plan import Point

if TYPE_CHECKING:
    from staking.grade.stepping.wall_network import Strand
    from staking.output.drawing.pen import Pen


_SHADING = 1.2
"""Between the slanting lines in the footing, mm on paper."""


@frozen
class ProfileStroke:
    """A line through points, m; a circle of `radius` about its one point where that is given.

    `look` names the layer whose colour, weight and linetype it takes where it stands on another.
    """

    points: tuple[Point, ...]
    layer: str
    closed: bool = False
    linetype: str = "BYLAYER"
    radius: float = 0.0
    filled: bool = False
    look: str = ""

    @property
    def segments(self) -> tuple[Segment, ...]:
        """Its straight pieces, m."""
        points = (*self.points, self.points[0]) if self.closed else self.points
        return tuple(pairwise(points))


@frozen
class WallDrawing:
    """One wall's profile with all its words; m, y being the elevation.

    Parameters
    ----------
    name
        The wall or interior line.
    left
        Whether its first end is on the left.
    strokes, texts
        All there is to draw.
    low, high
        Lower left and upper right of its window, m.
    to_scale
        Whether its title names a scale; else it is drawn smaller to fit its sheet.
    """

    name: str
    left: bool
    strokes: tuple[ProfileStroke, ...]
    texts: tuple[Text, ...]
    low: Point
    high: Point
    to_scale: bool = True

    def moved(self, across: float) -> WallDrawing:
        """Shift it sideways, elevations staying true.

        Returns
        -------
        WallDrawing
            The same, `across` m to the right.
        """
        return replace(
            self,
            strokes=tuple(
                replace(each, points=tuple((x + across, y) for x, y in each.points))
                for each in self.strokes
            ),
            texts=tuple(replace(each, x=each.x + across) for each in self.texts),
            low=(self.low[0] + across, self.low[1]),
            high=(self.high[0] + across, self.high[1]),
        )


@frozen
class Seen:
    """From which side a wall is looked at: `left` where its first end is on the left.

    A wall of the outline is seen from outside the building. An interior line is seen with its
    first end on the left.
    """

    length: float
    left: bool

    @classmethod
    def of(cls, strand: Strand) -> Seen:
        """Find how a wall is seen.

        Returns
        -------
        Seen
            From outside, or from the right of an interior line.
        """
        along = (strand.end[0] - strand.start[0], strand.end[1] - strand.start[1])
        # Who faces the wall from outside has its first end on the left where outside lies to
        # the right of the way from first to last.
        turned = along[0] * strand.out[1] - along[1] * strand.out[0]
        return cls(length=strand.length, left=strand.kind is FootingKind.INTERIOR or turned < 0)

    def at(self, point: Point) -> Point:
        """Give where a station and elevation is drawn, m.

        Returns
        -------
        Point
            Across from the left end, and the elevation.
        """
        return (point[0] if self.left else self.length - point[0], point[1])

    def across(self, station: float) -> float:
        """Give where a station is drawn, m from the left end.

        Returns
        -------
        float
            Across.
        """
        return self.at((station, 0.0))[0]

    def chain(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Give where points are drawn, from left to right where they are in order of stations.

        Returns
        -------
        tuple of Point
            m.
        """
        return tuple(self.at(point) for point in points)


def spread(wanted: Sequence[float], room: Sequence[float]) -> list[float]:
    """Move places apart until each has its room, as little as that takes.

    Parameters
    ----------
    wanted
        Where they would best be, ascending, m.
    room
        How wide each is, m; neighbours stay half of both apart.

    Returns
    -------
    list of float
        In the same order, m; the sum of the squared moves is least.

    Notes
    -----
    With the room before each taken off this is a regression by a rising line, solved by pooling
    neighbours that are out of order.

    Examples
    --------
    >>> spread([0.0, 1.0, 10.0], [2.0, 2.0, 2.0])
    [-0.5, 1.5, 10.0]
    """
    before = [0.0, *accumulate((a + b) / 2 for a, b in pairwise(room))]
    pools: list[list[float]] = []
    for place, taken in zip(wanted, before, strict=True):
        pools.append([place - taken, 1.0])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            mean, count = pools.pop()
            last = pools[-1]
            total = last[1] + count
            last[0] = (last[0] * last[1] + mean * count) / total
            last[1] = total
    places = [mean for mean, count in pools for _ in range(int(count))]
    return [place + taken for place, taken in zip(places, before, strict=True)]


def bounds(strokes: Iterable[ProfileStroke], texts: Iterable[Text]) -> tuple[Point, Point]:
    """Find the extent of lines and words.

    Returns
    -------
    tuple of Point
        Lower left and upper right, m.
    """
    points = [point for each in strokes for point in each.points]
    points += [corner for each in texts for corner in each.box.corners]
    return extent(points)


def draw(pen: Pen, drawing: WallDrawing, mm: float) -> None:
    """Draw a wall's profile.

    Parameters
    ----------
    pen
        Draws the profiles.
    drawing
        The profile.
    mm
        What 1 mm on paper is on the ground, m.
    """
    for stroke in drawing.strokes:
        if stroke.filled:
            pen.shading(stroke.points, CONCRETE, _SHADING * mm)
        elif stroke.radius:
            pen.circle(stroke.points[0], stroke.radius, stroke.layer)
        elif stroke.look:
            look = Look(layer=stroke.layer, like=stroke.look)
            pen.sample(stroke.points[0], stroke.points[1], look)
        elif len(stroke.points) == 2:
            pen.line(stroke.points[0], stroke.points[1], stroke.layer, stroke.linetype)
        else:
            pen.chain(stroke.points, stroke.layer, stroke.linetype, close=stroke.closed)
    for text in drawing.texts:
        pen.text(text, layers.TEXT)
