"""Draws metres of the building grid in another unit, placed on site or not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Dimension, Text, Variant
from staking.output.drawn.drawn_parts import (
    BY_LAYER,
    ChainPart,
    CirclePart,
    DrawnPart,
    LinePart,
    Look,
    MeasuredPart,
    NamePart,
    PointPart,
    ShadingPart,
    TextPart,
)
from staking.plan import Point
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane

if TYPE_CHECKING:
    from staking.site.building_on_lot import BuildingOnLot
    from staking.site.site_results import Placement
    from staking.units import Unit

_SQUARE = 1e-6
"""Lengths, m, and angles, rad, under this count as nothing."""

HUB, STAKE, SURVEYED = "hub", "stake", "surveyed"
"""Markers: a hub's square, a corner stake's cross in a circle, a surveyed point's triangle."""


@frozen
class Grid:
    """Where the building grid lies in model space.

    Parameters
    ----------
    scale
        Drawing units per metre.
    placement
        How the building is placed; None where model space is the building grid itself.
    plane
        How the lot's plane, on which it is placed, and the survey's coordinates go together.
    """

    scale: float
    placement: Placement | None = None
    plane: GroundPlane = AS_SURVEYED

    @property
    def turn(self) -> float:
        """From model space's x to the building grid's, rad anticlockwise."""
        return 0.0 if self.placement is None else self.placement.turn

    @property
    def size(self) -> float:
        """Drawing units between two points a metre apart on the ground."""
        return self.scale * (1.0 if self.placement is None else self.plane.factor)

    def at(self, point: Point) -> Point:
        """Take a point of the building grid, m, to model space.

        Returns
        -------
        Point
            x and y, drawing units; easting and northing where the building is placed.
        """
        if self.placement is None:
            return (point[0] * self.scale, point[1] * self.scale)
        northing, easting = self.plane.point_back(self.placement.point_on_site(point))
        return (easting * self.scale, northing * self.scale)


def drawn_level(elevation: float, *, flat: bool) -> float | None:
    """Give the height at which a point is drawn, for `Pen.marker`.

    Parameters
    ----------
    elevation
        The point's, m; not-a-number where it is not known.
    flat
        Whether nothing in the drawing has an elevation.

    Returns
    -------
    float or None
        m; nothing in a flat drawing. None for a point without an elevation among others that have
        one: at a height of nothing it would lie thousands of feet under them.
    """
    if not math.isnan(elevation):
        return elevation
    return 0.0 if flat else None


def grid_of(site: BuildingOnLot | None, unit: Unit) -> Grid:
    """Say where the building grid lies in a drawing.

    Parameters
    ----------
    site
        The lot with the building placed; None for a drawing on the building grid itself.
    unit
        The drawing's.

    Returns
    -------
    Grid
        For a pen.
    """
    if site is None:
        return Grid(scale=1 / unit.metres)
    return Grid(scale=1 / unit.metres, placement=site.placement, plane=site.plane)


class Pen:
    """Draws what is given in metres on the building grid, and keeps it as a drawing's parts.

    Parameters
    ----------
    grid
        Where the building grid lies in what is drawn.
    measured
        The text of a dimension that shows what it measures, as
        `staking.output.drawing.dimension_style.measured_words` gives it.
    """

    def __init__(self, grid: Grid, measured: str = "<>") -> None:
        self.grid = grid
        self.measured = measured
        self.at = grid.at
        self._parts: list[DrawnPart] = []

    @property
    def parts(self) -> tuple[DrawnPart, ...]:
        """What was drawn, in its order."""
        return tuple(self._parts)

    def take(self, parts: Iterable[DrawnPart]) -> None:
        """Add what is drawn already, in drawing units."""
        self._parts += parts

    def ring(self, points: Sequence[Point], layer: str, linetype: str = BY_LAYER) -> None:
        """Draw a closed line through `points`, m."""
        self.chain(points, layer, linetype, close=True)

    def chain(
        self, points: Sequence[Point], layer: str, linetype: str = BY_LAYER, close: bool = False
    ) -> None:
        """Draw one line through `points`, m."""
        look = Look(layer=layer, linetype=linetype)
        places = tuple(self.at(point) for point in points)
        self._parts.append(ChainPart(look=look, points=places, closed=close))

    def line(self, start: Point, end: Point, layer: str, linetype: str = BY_LAYER) -> None:
        """Draw a straight line, m."""
        self.sample(start, end, Look(layer=layer, linetype=linetype))

    def sample(self, start: Point, end: Point, look: Look) -> None:
        """Draw a straight line, m, that looks as told, whatever its layer."""
        self._parts.append(LinePart(look=look, start=self.at(start), end=self.at(end)))

    def circle(self, centre: Point, radius: float, layer: str) -> None:
        """Draw a circle, m."""
        self._parts.append(
            CirclePart(
                look=Look(layer=layer), centre=self.at(centre), radius=radius * self.grid.size
            )
        )

    def shading(self, points: Sequence[Point], layer: str, apart: float) -> None:
        """Fill a shape with slanting lines, `apart` m from one another."""
        ring = tuple(self.at(point) for point in points)
        self._parts.append(
            ShadingPart(layer=layer, ring=ring, apart=apart * self.grid.scale * math.sqrt(0.5))
        )

    def marker(
        self,
        point: Point,
        shape: str,
        size: float,
        layer: str = layers.CONTROL,
        elevation: float | None = 0.0,
    ) -> None:
        """Draw a point to snap to, `elevation` m high, with its marker `size` m across.

        Without an elevation the marker stands alone: a point would have to have one.
        """
        x, y = point
        if layer == layers.CONTROL and elevation is not None:
            place = (*self.at(point), elevation * self.grid.scale)
            self._parts.append(PointPart(layer=layer, place=place))
        half = size / 2
        if shape == HUB:
            square = ((-half, -half), (half, -half), (half, half), (-half, half))
            self.ring([(x + dx, y + dy) for dx, dy in square], layer)
        elif shape == STAKE:
            self.circle(point, 0.7 * half, layer)
            self.line((x - half, y), (x + half, y), layer)
            self.line((x, y - half), (x, y + half), layer)
        else:
            turns = (math.pi / 2 + math.tau * i / 3 for i in range(3))
            corners = [(x + half * math.cos(t), y + half * math.sin(t)) for t in turns]
            self.ring(corners, layer)

    def name(self, point: Point, height: float, layer: str, texts: tuple[str, str, str]) -> None:
        """Name a point, m, `height` drawing units high: name, elevation, description."""
        place = (*self.at(point), height)
        self._parts.append(NamePart(layer=layer, place=place, texts=texts))

    def text(self, text: Text, layer: str = layers.TEXT) -> None:
        """Draw one line of text."""
        self._parts.append(self._written(text, layer))

    def on_baseline(self, words: str, start: Point, height: float, layer: str) -> None:
        """Draw one line of text from the left end of its baseline, m, a capital `height` m high."""
        self._parts.append(
            TextPart(
                layer=layer,
                text=words,
                at=self.at(start),
                height=height * self.grid.scale,
                turn=self.grid.turn,
                on_baseline=True,
            )
        )

    def _written(self, text: Text, layer: str) -> TextPart:
        return TextPart(
            layer=layer,
            text=text.text,
            at=self.at((text.x, text.y)),
            height=text.height * self.grid.scale,
            turn=text.turn + self.grid.turn,
            align=text.align,
        )

    def variant(self, variant: Variant, layer: str = layers.TEXT) -> None:
        """Draw a placed label or dimension."""
        for text in variant.texts:
            self.text(text, layer)
        dimension = variant.dimension
        if dimension is None:
            for start, end in variant.lines:
                self.line(start, end, layer)
            return
        self._dimension(dimension)

    def _dimension(self, dimension: Dimension) -> None:
        turn = self.grid.turn
        self._parts.append(
            MeasuredPart(
                layer=layers.DIMENSIONS,
                start=self.at(dimension.start),
                end=self.at(dimension.end),
                base=self.at(dimension.base),
                turn=dimension.turn + turn,
                text=self._written(dimension.text, layers.DIMENSIONS),
                measured=self.measured,
                at_home=self._is_at_home(dimension),
                is_turned=bool(turn),
            )
        )

    def _is_at_home(self, dimension: Dimension) -> bool:
        # Whether the text stands where a drawing program puts it by itself: over the middle of
        # the line. Of a line that reads upside down in model space, or is measured from right to
        # left, they differ in which side is over it.
        along = (math.cos(dimension.turn), math.sin(dimension.turn))
        (x1, y1), (x2, y2), (x3, y3) = dimension.start, dimension.end, dimension.base
        half = ((x2 - x1) * along[0] + (y2 - y1) * along[1]) / 2
        off = (dimension.text.x - x3) * along[0] + (dimension.text.y - y3) * along[1] + half
        reads = math.remainder(dimension.turn + self.grid.turn, math.tau)
        upright = -math.pi / 2 + _SQUARE < reads < math.pi / 2 + _SQUARE
        return upright and half > 0 and abs(off) < _SQUARE
