"""Draws metres of the building grid into a model space of another unit, placed on site or not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Dimension, Text, Variant
from staking.plan import Point
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane

if TYPE_CHECKING:
    from ezdxf.layouts.base import BaseLayout

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
        place = self.plane.back(self.placement.to_site(np.array([point])))
        ((northing, easting),) = place.tolist()
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
    """Draws what is given in metres on the building grid.

    Parameters
    ----------
    space
        Where to.
    grid
        Where the building grid lies there.
    measured
        The text of a dimension that shows what it measures, as
        `staking.output.drawing.dimension_style.measured_words` gives it.
    """

    def __init__(self, space: BaseLayout, grid: Grid, measured: str = "<>") -> None:
        self.space = space
        self.grid = grid
        self.measured = measured
        self.at = grid.at

    def ring(self, points: Sequence[Point], layer: str, linetype: str = "BYLAYER") -> None:
        """Draw a closed line through `points`, m."""
        self.chain(points, layer, linetype, close=True)

    def chain(
        self, points: Sequence[Point], layer: str, linetype: str = "BYLAYER", close: bool = False
    ) -> None:
        """Draw one line through `points`, m."""
        self.space.add_lwpolyline(
            [self.at(point) for point in points],
            close=close,
            # Patterns run on round the corners, as short sides would else show none.
            dxfattribs={"layer": layer, "linetype": linetype, "flags": 128},
        )

    def line(self, start: Point, end: Point, layer: str, linetype: str = "BYLAYER") -> None:
        """Draw a straight line, m."""
        self.space.add_line(
            self.at(start), self.at(end), dxfattribs={"layer": layer, "linetype": linetype}
        )

    def circle(self, centre: Point, radius: float, layer: str) -> None:
        """Draw a circle, m."""
        self.space.add_circle(self.at(centre), radius * self.grid.size, dxfattribs={"layer": layer})

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
            self.space.add_point(place, dxfattribs={"layer": layer})
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

    def text(self, text: Text, layer: str = layers.TEXT) -> None:
        """Draw one line of text."""
        from ezdxf.enums import TextEntityAlignment

        align = {
            -1: TextEntityAlignment.MIDDLE_LEFT,
            0: TextEntityAlignment.MIDDLE_CENTER,
            1: TextEntityAlignment.MIDDLE_RIGHT,
        }[text.align]
        self.space.add_text(
            text.text,
            height=text.height * self.grid.scale,
            rotation=math.degrees(text.turn + self.grid.turn),
            dxfattribs={"layer": layer, "style": layers.TEXT_STYLE},
        ).set_placement(self.at((text.x, text.y)), align=align)

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
        """Draw a dimension with its text as the job's other papers have it.

        The length stands in the drawing of the dimension alone. The dimension itself has none, so
        that a drawing program writes what it measures, by the style, as soon as a point is moved.
        """
        turn = self.grid.turn
        text = dimension.text
        drawn = self.space.add_linear_dim(
            base=self.at(dimension.base),
            p1=self.at(dimension.start),
            p2=self.at(dimension.end),
            angle=math.degrees(dimension.turn + turn),
            text=text.text,
            # Only a placed building needs its text's turn told: the sheet shows it upright.
            text_rotation=math.degrees(text.turn + turn) if turn else None,
            location=None if self._is_at_home(dimension) else self.at((text.x, text.y)),
            dimstyle=layers.DIMENSION_STYLE,
            dxfattribs={"layer": layers.DIMENSIONS},
        )
        drawn.render()
        drawn.dimension.dxf.text = self.measured

    def _is_at_home(self, dimension: Dimension) -> bool:
        # Whether the text stands where a drawing program puts it by itself: over the middle of
        # the line. Of a line that reads upside down in model space they differ in which side is
        # over it.
        along = (math.cos(dimension.turn), math.sin(dimension.turn))
        (x1, y1), (x2, y2), (x3, y3) = dimension.start, dimension.end, dimension.base
        half = ((x2 - x1) * along[0] + (y2 - y1) * along[1]) / 2
        off = (dimension.text.x - x3) * along[0] + (dimension.text.y - y3) * along[1] + half
        reads = math.remainder(dimension.turn + self.grid.turn, math.tau)
        upright = -math.pi / 2 + _SQUARE < reads < math.pi / 2 + _SQUARE
        return upright and abs(off) < _SQUARE
