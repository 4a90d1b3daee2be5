"""The sketch of one corner: walls, footing edges, strings, boards, and arrows to its neighbours."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from staking.lines import direction
from staking.output.drawing.drawn_words import Box, Segment, Text, Variant, scales
from staking.output.drawing.label_places import place
from staking.output.drawing.plan_labels import around, beside
from staking.output.drawing.plan_shapes import ring_lines, wall_quads
from staking.output.pictures.lettering import line_width
from staking.output.pictures.picture import Picture
from staking.output.pictures.picture_parts import Lettering, Stroke
from staking.output.sheet.card.corner_card import CornerSheet, strings_over
from staking.output.wording import Words

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.plan import Point

_HEIGHT = 2.0
"""Height of the words, mm."""
_BORDER = 1.5
"""Air between the sketch's edge and its words, mm."""
_LARGEST, _SMALLEST = 24, 240
"""The scales a sketch may have."""
_NEAR = 3.5
"""Boards and hubs farther from the corner than this do not make the sketch smaller, m."""
_ROUND = 0.9
"""What is seen all round the corner at least, m."""
_STRING = (7.0, 1.0, 0.4, 1.0)
_DIG = (3.0, 1.2)


class Sketch:
    """Draws one corner at the largest scale that shows its boards.

    Parameters
    ----------
    layout
        The layout.
    sheet
        The corner.
    width, height
        Room, mm.
    """

    def __init__(self, layout: Layout, sheet: CornerSheet, width: float, height: float) -> None:
        self._layout = layout
        self._sheet = sheet
        self._size = (width, height)
        self._boards = [each for each in layout.boards if each.name in sheet.boards]
        self._corner, self._ends = self._find()
        self._choose_scale()
        self._strokes: list[Stroke] = []
        self._lines: list[Segment] = []

    def _find(self) -> tuple[Point, tuple[tuple[str, Point], ...]]:
        # The corner and its neighbours with their names.
        for building in self._layout.plan.buildings:
            if (building.name or "") != self._sheet.building:
                continue
            for at, corner in enumerate(building.corners):
                if corner.name == self._sheet.name:
                    after = building.corners[(at + 1) % len(building.corners)]
                    before = building.corners[at - 1]
                    return corner.point, ((after.name, after.point), (before.name, before.point))
        raise KeyError(self._sheet.name)

    def _choose_scale(self) -> None:
        own = [board for board in self._boards if board.end == self._sheet.name]
        points = [self._corner, *(end for board in own for end in board.ends)]
        points += [(hub.x, hub.y) for hub in self._layout.hubs if hub.corner == self._sheet.name]
        points = [each for each in points if math.dist(each, self._corner) <= _NEAR]
        x, y = self._corner
        points += [(x - _ROUND, y - _ROUND), (x + _ROUND, y + _ROUND)]
        for _, end in self._ends:
            # Enough of each wall to see which way it runs.
            along = direction(self._corner, end)
            far = min(math.dist(self._corner, end), 1.5)
            points.append((self._corner[0] + along[0] * far, self._corner[1] + along[1] * far))
        xs, ys = [x for x, _ in points], [y for _, y in points]
        centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        steps = [s for s in scales(self._layout.options.show) if _LARGEST <= s[0] <= _SMALLEST]
        for self.ratio, self.scale in steps:
            mm = self.ratio / 1000
            room = [(each - 12 * _HEIGHT / 2) * mm for each in self._size]
            if max(xs) - min(xs) <= room[0] and max(ys) - min(ys) <= room[1]:
                break
        self._mm = self.ratio / 1000
        width, height = self._size
        self._view = Box(x=centre[0], y=centre[1], width=width * self._mm, height=height * self._mm)

    def draw(self) -> Picture:
        """Draw it.

        Returns
        -------
        Picture
            Lines that may run past its edges, to be clipped there, and words that do not.
        """
        layout, name = self._layout, self._sheet.name
        for ring in (*layout.footing.outlines, *layout.footing.holes):
            self._ring(ring, 0.3)
        if layout.digs_wider:
            for ring in (*layout.dig.outlines, *layout.dig.holes):
                self._ring(ring, 0.25, _DIG)
        for building in layout.plan.buildings:
            for quad, standing in wall_quads(building):
                if standing:
                    self._line(quad[0], quad[1], 0.6, _DIG)
                else:
                    self._ring(quad, 0.6)
        for string, _ in strings_over(layout, name):
            self._line(string.start, string.end, 0.18, _STRING)
        for board in self._boards:
            self._line(*board.ends, 0.7)
            along = direction(*board.ends)
            for mark in board.marks:
                reach = 0.8 * self._mm
                self._line(
                    (mark.x + along[1] * reach, mark.y - along[0] * reach),
                    (mark.x - along[1] * reach, mark.y + along[0] * reach),
                    0.3,
                )
        self._hubs()
        arrows = list(self._arrows())
        words = self._words(arrows)
        return Picture(
            width=self._size[0],
            height=self._size[1],
            strokes=tuple(self._strokes),
            fills=(),
            words=tuple(self._lettering(text) for text in words),
        )

    def _arrows(self) -> Iterator[tuple[str, Point, Point]]:
        # From the corner along the outside face to the sketch's edge, with a head there.
        for name, end in self._ends:
            along = direction(self._corner, end)
            low, high = 0.0, math.dist(self._corner, end)
            for _ in range(40):
                far = (low + high) / 2
                low, high = (far, high) if self._seen(self._along(along, far), 2.5) else (low, far)
            tip = self._along(along, low)
            for turn in (math.radians(160), -math.radians(160)):
                cos, sin = math.cos(turn), math.sin(turn)
                barb = (along[0] * cos - along[1] * sin, along[0] * sin + along[1] * cos)
                reach = 3.5 * self._mm
                self._line(tip, (tip[0] + barb[0] * reach, tip[1] + barb[1] * reach), 0.6)
            yield name, self._corner, tip

    def _along(self, along: Point, far: float) -> Point:
        return (self._corner[0] + along[0] * far, self._corner[1] + along[1] * far)

    def _hubs(self) -> None:
        half = 0.9 * self._mm
        for hub in self._layout.hubs:
            if hub.corner == self._sheet.name:
                x, y = hub.x, hub.y
                square = ((x - half, y - half), (x + half, y - half), (x + half, y + half))
                self._ring((*square, (x - half, y + half)), 0.25)

    def _words(self, arrows: Sequence[tuple[str, Point, Point]]) -> list[Text]:
        height = _HEIGHT * self._mm
        length = Words(self._layout.options).length
        inward = math.atan2(
            sum(direction(self._corner, end)[1] for _, end in self._ends),
            sum(direction(self._corner, end)[0] for _, end in self._ends),
        )
        reach = 1.2 * self._mm
        labels = [
            self._kept(
                around(self._sheet.name, self._corner, reach, 1.5 * height, inward + math.pi)
            )
        ]
        for name, start, tip in arrows:
            far = math.dist(self._corner, dict(self._ends)[name])
            words = f"to {name}  {length(far)}"
            labels.append(self._kept(beside(words, start, tip, 0.0, height)))
        for board in self._boards:
            if self._seen((board.x, board.y), 0.0):
                away = math.atan2(board.y - self._corner[1], board.x - self._corner[0])
                labels.append(
                    self._kept(
                        around(f"board {board.name}", (board.x, board.y), reach, height, away)
                    )
                )
        for hub in self._layout.hubs:
            if hub.corner == self._sheet.name and self._seen((hub.x, hub.y), 0.0):
                away = math.atan2(hub.y - self._corner[1], hub.x - self._corner[0])
                labels.append(
                    self._kept(around("hub", (hub.x, hub.y), reach, height, away + math.pi / 2))
                )
        chosen = place(labels, self._lines, [], 4 * height)
        return [text for variant in chosen for text in variant.texts]

    def _kept(self, variants: Iterator[Variant]) -> Iterator[Variant]:
        # Only places inside the sketch.
        for variant in variants:
            if all(self._seen(spot, _BORDER) for box in variant.boxes for spot in box.corners):
                yield variant

    def _seen(self, spot: Point, air: float) -> bool:
        x, y = self._view.local(spot)
        edge = air * self._mm
        return abs(x) <= self._view.width / 2 - edge and abs(y) <= self._view.height / 2 - edge

    def _paper(self, point: Point) -> Point:
        x, y = self._view.local(point)
        return (x / self._mm + self._size[0] / 2, y / self._mm + self._size[1] / 2)

    def _line(self, start: Point, end: Point, width: float, dashes: tuple[float, ...] = ()) -> None:
        self._stroke((start, end), width, dashes, closed=False)
        if self._reaches((start, end)) and self._view.meets((start, end)):
            self._lines.append((start, end))

    def _ring(self, points: Sequence[Point], width: float, dashes: tuple[float, ...] = ()) -> None:
        self._stroke(points, width, dashes, closed=True)
        if self._reaches(points):
            self._lines += [line for line in ring_lines(tuple(points)) if self._view.meets(line)]

    def _reaches(self, points: Sequence[Point]) -> bool:
        # Whether the points' own upright box comes into the sketch: most of a large plan does not.
        half_width, half_height = self._view.width / 2, self._view.height / 2
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return (
            min(xs) <= self._view.x + half_width
            and max(xs) >= self._view.x - half_width
            and min(ys) <= self._view.y + half_height
            and max(ys) >= self._view.y - half_height
        )

    def _stroke(
        self, points: Sequence[Point], width: float, dashes: tuple[float, ...], *, closed: bool
    ) -> None:
        if not self._reaches(points):
            return
        self._strokes.append(
            Stroke(
                layer="sketch",
                colour="#000000",
                width=width,
                dashes=dashes,
                points=tuple(map(self._paper, points)),
                closed=closed,
            )
        )

    def _lettering(self, text: Text) -> Lettering:
        x, y = self._paper((text.x, text.y))
        height = text.height / self._mm
        width = line_width(text.text, height)
        cos, sin = math.cos(text.turn), math.sin(text.turn)
        along, down = -(text.align + 1) / 2 * width, -height / 2
        return Lettering(
            layer="sketch",
            colour="#000000",
            text=text.text,
            x=x + along * cos - down * sin,
            y=y + along * sin + down * cos,
            height=height,
            turn=text.turn,
            width=width,
        )
