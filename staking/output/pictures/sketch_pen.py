"""Draws straight to paper, at a scale and turned as asked: sketches, the dig's plan, the steps."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from staking.output.drawing.drawn_words import Box, Segment, Text, Variant
from staking.output.drawing.places.ground_columns import word_columns
from staking.output.drawing.places.lasting_ground import LastingGround
from staking.output.drawing.places.placed_words import Owned
from staking.output.drawing.plan_shapes import ring_lines
from staking.output.pictures.lettering import line_width
from staking.output.pictures.picture import Picture
from staking.output.pictures.picture_parts import Fill, Lettering, Stroke
from staking.plan import Point

_BLACK = "#000000"


class SketchPen:
    """Keeps what is drawn in a window of the ground, and the lines that words keep off.

    Parameters
    ----------
    layer
        What the parts are grouped under.
    view
        The window, m.
    mm
        Metres of ground for 1 mm of paper.
    """

    def __init__(self, layer: str, view: Box, mm: float) -> None:
        self._layer = layer
        self.view = view
        self.mm = mm
        self.lines: list[Segment] = []
        self._strokes: list[Stroke] = []
        self._fills: list[Fill] = []
        self._words: list[Lettering] = []

    def line(
        self,
        start: Point,
        end: Point,
        width: float,
        dashes: tuple[float, ...] = (),
        *,
        kept_off: bool = True,
    ) -> None:
        """Draw a line, `width` mm wide; words keep off it where `kept_off`."""
        if not self._reaches((start, end)):
            return
        self._stroke((start, end), width, dashes, closed=False)
        if kept_off and self.view.meets((start, end)):
            self.lines.append((start, end))

    def chain(self, points: Sequence[Point], width: float, dashes: tuple[float, ...] = ()) -> None:
        """Draw a line through points, `width` mm wide, that words keep off."""
        if self._reaches(points):
            self._stroke(points, width, dashes, closed=False)
            self.lines += [line for line in pairwise(points) if self.view.meets(line)]

    def ring(self, points: Sequence[Point], width: float, dashes: tuple[float, ...] = ()) -> None:
        """Draw a closed ring, `width` mm wide, that words keep off."""
        if self._reaches(points):
            self._stroke(points, width, dashes, closed=True)
            self.lines += [line for line in ring_lines(tuple(points)) if self.view.meets(line)]

    def fill(self, points: Sequence[Point], colour: str) -> None:
        """Fill a shape."""
        if len(points) > 2 and self._reaches(points):
            self._fills.append(
                Fill(layer=self._layer, colour=colour, points=tuple(map(self.paper, points)))
            )

    def arrow(self, tip: Point, way: Point, length: float, head: float, width: float) -> None:
        """Draw an arrow that ends at `tip`, coming along `way`; `length` and `head` in mm."""
        foot = (tip[0] - way[0] * length * self.mm, tip[1] - way[1] * length * self.mm)
        self.line(foot, tip, width)
        for turn in (math.radians(155), -math.radians(155)):
            cos, sin = math.cos(turn), math.sin(turn)
            barb = (way[0] * cos - way[1] * sin, way[0] * sin + way[1] * cos)
            reach = head * self.mm
            self.line(tip, (tip[0] + barb[0] * reach, tip[1] + barb[1] * reach), width)

    def write(self, text: Text) -> None:
        """Write a line of text where it was placed."""
        x, y = self.paper((text.x, text.y))
        height = text.height / self.mm
        turn = text.turn - self.view.turn
        width = line_width(text.text, height)
        cos, sin = math.cos(turn), math.sin(turn)
        along, down = -(text.align + 1) / 2 * width, -height / 2
        self._words.append(
            Lettering(
                layer=self._layer,
                colour=_BLACK,
                text=text.text,
                x=x + along * cos - down * sin,
                y=y + along * sin + down * cos,
                height=height,
                turn=turn,
                width=width,
            )
        )

    def seen(self, spot: Point, air: float) -> bool:
        """Whether a point lies in the window, `air` mm inside its edge.

        Returns
        -------
        bool
            True where it does.
        """
        x, y = self.view.local(spot)
        edge = air * self.mm
        return abs(x) <= self.view.width / 2 - edge and abs(y) <= self.view.height / 2 - edge

    def holds(self, box: Box, air: float, foot: float = 0.0) -> bool:
        """Whether a box lies in the window whole, `air` mm inside its edge, over its lowest `foot`.

        Returns
        -------
        bool
            True where it does.
        """
        x, y = self.view.local((box.x, box.y))
        turn = box.turn - self.view.turn
        cos, sin = abs(math.cos(turn)), abs(math.sin(turn))
        across, up = self.view.width / 2, self.view.height / 2
        wide, high = (
            (box.width * cos + box.height * sin) / 2,
            (box.width * sin + box.height * cos) / 2,
        )
        edge = air * self.mm
        return (
            abs(x) + wide <= across - edge
            and y + high <= up - edge
            and y - high >= max(edge, foot * self.mm) - up
        )

    def kept(self, variants: Iterable[Variant], air: float, foot: float = 0.0) -> Iterator[Variant]:
        """Leave out the places of a label that are not whole in the window, as `holds`.

        Yields
        ------
        Variant
            The others, in order.
        """
        for variant in variants:
            for text in variant.words:
                if not self.holds(text.box, air, foot):
                    break
            else:
                yield variant

    def struck(self, labels: Sequence[Variant]) -> list[bool]:
        """Tell of each label whether a line that words keep off runs through a word of it.

        Returns
        -------
        list of bool
            In their order.
        """
        words = [each.words for each in labels]
        ground = LastingGround([(line, 1) for line in self.lines], ())
        columns = word_columns([text for each in words for text in each])
        boxes = Owned.counted(columns, map(len, words))
        struck: list[bool] = (boxes.summed(ground.under_words(boxes.columns, 0.0)) > 0).tolist()
        return struck

    def paper(self, point: Point) -> Point:
        """Give where a point lies on paper, mm from the lower left corner.

        Returns
        -------
        Point
            To the right and up.
        """
        x, y = self.view.local(point)
        return ((x + self.view.width / 2) / self.mm, (y + self.view.height / 2) / self.mm)

    def picture(self) -> Picture:
        """Give what was drawn.

        Returns
        -------
        Picture
            Lines that may run past its edges, to be clipped there.
        """
        return Picture(
            width=self.view.width / self.mm,
            height=self.view.height / self.mm,
            strokes=tuple(self._strokes),
            fills=tuple(self._fills),
            words=tuple(self._words),
        )

    def _reaches(self, points: Sequence[Point]) -> bool:
        # Whether the points' own box comes into the window: most of a large plan does not.
        locals_ = [self.view.local(point) for point in points]
        xs, ys = [x for x, _ in locals_], [y for _, y in locals_]
        half_width, half_height = self.view.width / 2, self.view.height / 2
        return (
            min(xs) <= half_width
            and max(xs) >= -half_width
            and min(ys) <= half_height
            and max(ys) >= -half_height
        )

    def _stroke(
        self, points: Sequence[Point], width: float, dashes: tuple[float, ...], *, closed: bool
    ) -> None:
        self._strokes.append(
            Stroke(
                layer=self._layer,
                colour=_BLACK,
                width=width,
                dashes=dashes,
                points=tuple(map(self.paper, points)),
                closed=closed,
            )
        )
