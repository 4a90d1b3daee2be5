"""The parts of a drawing: lines, circles, words and dimensions, in drawing units.

A drawing is made once, of these. The drawing file is written from them, and every picture of the
drawing is made from them.
"""

from __future__ import annotations

from staking.frozen import frozen
from staking.plan import Point

BY_LAYER = "BYLAYER"
"""The linetype of what is drawn as its layer is."""

Place = tuple[float, float, float]
"""x, y and z, drawing units."""


@frozen
class Look:
    """How a line looks.

    Parameters
    ----------
    layer
        The layer that it is on.
    linetype
        Its own linetype; else that of its layer.
    like
        The layer whose colour, weight and linetype it takes where it stands on another: a sample
        in a key. Empty for its own.
    pattern
        How many times as long the pattern of its linetype is as elsewhere in the drawing.
    """

    layer: str
    linetype: str = BY_LAYER
    like: str = ""
    pattern: float = 1.0


@frozen
class LinePart:
    """A straight line."""

    look: Look
    start: Point
    end: Point


@frozen
class ChainPart:
    """A line through points; its pattern runs on round the corners."""

    look: Look
    points: tuple[Point, ...]
    closed: bool = False


@frozen
class CirclePart:
    """A circle."""

    look: Look
    centre: Point
    radius: float


@frozen
class PointPart:
    """A point to snap to, which no picture shows."""

    layer: str
    place: Place


@frozen
class TextPart:
    """One line of text.

    `at` is the middle of its left end, its centre or the middle of its right end as `align` is
    -1, 0 or 1, and the left end of its baseline where `on_baseline`. `height` is a capital's;
    `turn` the reading direction, rad anticlockwise.
    """

    layer: str
    text: str
    at: Point
    height: float
    turn: float = 0.0
    align: int = 0
    on_baseline: bool = False


@frozen
class MeasuredPart:
    """A linear dimension: from `start` to `end` along `turn`, rad, its line through `base`.

    Parameters
    ----------
    layer
        The layer that it is on.
    start, end, base
        What is measured, and a point of the dimension's line.
    turn
        The line's direction, rad anticlockwise.
    text
        Its words, centred on their place.
    measured
        The words that a drawing program puts there once it measures anew.
    at_home
        Whether the words stand where a drawing program puts them by itself.
    is_turned
        Whether the direction of its words must be told.
    """

    layer: str
    start: Point
    end: Point
    base: Point
    turn: float
    text: TextPart
    measured: str
    at_home: bool
    is_turned: bool


@frozen
class NamePart:
    """A point's name, elevation and description, for programs to list; no picture shows it."""

    layer: str
    place: Place
    texts: tuple[str, str, str]


@frozen
class ShadingPart:
    """A shape filled with slanting lines, each `apart` from the next across and up."""

    layer: str
    ring: tuple[Point, ...]
    apart: float


DrawnPart = (
    LinePart | ChainPart | CirclePart | PointPart | TextPart | MeasuredPart | NamePart | ShadingPart
)
