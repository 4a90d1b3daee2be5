"""A drawing as it lies on paper: lines, fills and words in millimetres, taken from a DXF document.

The plan is drawn once, as a DXF document. Its sheet is read here through the drawing library's
own front end, so that what is printed, shown on a phone or saved as a picture is that drawing and
no second one. Text stays text.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.pictures.picture_parts import FINEST, Fill, Lettering, Stroke

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Layout as Space

    from staking.plan import Point

MM_PER_INCH = 25.4
BLACK = "#000000"
PALE = "#d4d4d4"
"""Colour of filled shapes where nothing else has a colour."""


@frozen
class Picture:
    """What lies on a paper `width` by `height` mm, fills under lines under words."""

    width: float
    height: float
    strokes: tuple[Stroke, ...]
    fills: tuple[Fill, ...]
    words: tuple[Lettering, ...]

    def without(self, layers: Iterable[str]) -> Picture:
        """Leave layers out.

        Returns
        -------
        Picture
            The rest.
        """
        out = frozenset(layers)
        return replace(
            self,
            strokes=tuple(each for each in self.strokes if each.layer not in out),
            fills=tuple(each for each in self.fills if each.layer not in out),
            words=tuple(each for each in self.words if each.layer not in out),
        )

    @property
    def black(self) -> Picture:
        """The same in black, what is filled pale, so that lines show on it."""
        return replace(
            self,
            strokes=tuple(replace(each, colour=BLACK) for each in self.strokes),
            fills=tuple(replace(each, colour=PALE) for each in self.fills),
            words=tuple(replace(each, colour=BLACK) for each in self.words),
        )

    @property
    def layers(self) -> tuple[str, ...]:
        """The layers with something on them, in drawing order."""
        every: tuple[Stroke | Fill | Lettering, ...]
        every = (*self.strokes, *self.fills, *self.words)
        return tuple(dict.fromkeys(each.layer for each in every))


def paper_picture(document: Drawing, *, colour: bool = True) -> Picture:
    """Take the sheet of a drawing as it is plotted at full size.

    Parameters
    ----------
    document
        The drawing; its first paper-space layout is taken.
    colour
        Whether layers keep their colours; else all is black.

    Returns
    -------
    Picture
        The whole paper.
    """
    paper = next(each for each in document.layouts if each.name != "Model")
    inches = paper.dxf.plot_paper_units == 0
    # The paper's size is kept in mm whatever the layout's own unit is.
    size = (paper.dxf.paper_width, paper.dxf.paper_height)
    return _picture(document, paper, MM_PER_INCH if inches else 1.0, (0.0, 0.0), size, colour)


def model_pictures(
    document: Drawing,
    per_mm: float,
    windows: Sequence[tuple[Point, Point]],
    *,
    colour: bool = True,
) -> tuple[Picture, ...]:
    """Take stretches of a drawing's model space to scale.

    Parameters
    ----------
    document
        The drawing.
    per_mm
        Drawing units that 1 mm on paper stands for.
    windows
        Each stretch's lower left and upper right corner, drawing units.
    colour
        Whether layers keep their colours; else all is black.

    Returns
    -------
    tuple of Picture
        One for each stretch, its lower left corner at the paper's; what reaches outside is left
        out whole.
    """
    whole = _picture(document, document.modelspace(), 1 / per_mm, (0.0, 0.0), (0.0, 0.0), colour)
    return tuple(_cut(whole, per_mm, low, high) for low, high in windows)


def _cut(whole: Picture, per_mm: float, low: Point, high: Point) -> Picture:
    left, under = low[0] / per_mm, low[1] / per_mm
    width, height = (high[0] - low[0]) / per_mm, (high[1] - low[1]) / per_mm

    def moved(points: tuple[Point, ...]) -> tuple[Point, ...]:
        return tuple((x - left, y - under) for x, y in points)

    def inside(points: Iterable[Point]) -> bool:
        return all(
            -FINEST <= x - left <= width + FINEST and -FINEST <= y - under <= height + FINEST
            for x, y in points
        )

    return Picture(
        width=width,
        height=height,
        strokes=tuple(
            replace(each, points=moved(each.points))
            for each in whole.strokes
            if inside(each.points)
        ),
        fills=tuple(
            replace(each, points=moved(each.points)) for each in whole.fills if inside(each.points)
        ),
        words=tuple(
            replace(each, x=each.x - left, y=each.y - under)
            for each in whole.words
            if inside([(each.x, each.y)])
        ),
    )


def _picture(
    document: Drawing,
    space: Space,
    scale: float,
    origin: Point,
    size: tuple[float, float],
    colour: bool,
) -> Picture:
    from ezdxf.addons.drawing.config import BackgroundPolicy, ColorPolicy, Configuration
    from ezdxf.addons.drawing.frontend import UniversalFrontend
    from ezdxf.addons.drawing.properties import RenderContext

    from staking.output.pictures.paper_backend import PicturePipeline

    pipeline = PicturePipeline(scale, origin)
    settings = Configuration(
        background_policy=BackgroundPolicy.WHITE,
        color_policy=ColorPolicy.COLOR,
        max_flattening_distance=FINEST / scale,
    )
    front = UniversalFrontend(RenderContext(document), pipeline, config=settings)
    # Hatching shifts its lines by chance, so that none runs along an edge: always by the same.
    state = random.getstate()
    random.seed(0)
    try:
        front.draw_layout(space)
    finally:
        random.setstate(state)
    kept = pipeline.kept
    picture = Picture(
        width=size[0],
        height=size[1],
        strokes=tuple(each for each in kept.strokes if len(each.points) > 1),
        fills=tuple(kept.fills),
        words=tuple(kept.words),
    )
    return picture if colour else picture.black
