"""The sketch on a card: walls, footing edges, strings, boards, hubs, buried lines, neighbours."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from staking.laid_out.cards import Card, CardKind
from staking.lines import direction
from staking.output.drawing.drawn_words import Box, Segment, Variant, scales
from staking.output.drawing.lot_shapes import buried_on_plan
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import around, beside
from staking.output.pictures.sketch_pen import SketchPen
from staking.output.sheet.card.plan_of_cards import EdgeKind, PlanOfCards
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.wording import Words

if TYPE_CHECKING:
    from staking.layout.layout_parts import Board
    from staking.output.pictures.picture import Picture
    from staking.plan import Point

_WORDS, _FIGURE = 2.1, 2.82
"""Heights of a capital, mm: words, and what is taped."""
_BORDER = 1.0
"""Air between the sketch's edge and its words, mm."""
_ROOM = 14.0
"""What words take of the sketch's width and height, mm."""
_LARGEST, _SMALLEST = 24, 2400
"""The scales a sketch may have."""
_NEAR = 6.5
"""Boards and hubs farther off than this stand outside the sketch, and an arrow shows the way, m."""
_COARSE = 130
"""At a smaller scale than one in so many a footing's edges run into its wall."""
_ROUND = 0.9
"""What is seen all round the place at least, m."""
_STRING = (7.0, 1.0, 0.4, 1.0)
_DIG = (3.0, 1.2)
_BURIED = (2.0, 0.8)


_RISES = (1.0, 2.0, 3.0, 4.5, 6.0, 8.0)
"""How far beside its arrow a neighbour's name may stand, text heights."""


def _worse(variants: Iterator[Variant]) -> Iterator[Variant]:
    # The name without its distance, which the tapes have too, where both find no room.
    for variant in variants:
        yield replace(variant, penalty=variant.penalty + 4)


class CardSketch:
    """Draws one card's place at the largest scale that shows its boards and hubs.

    Parameters
    ----------
    plan
        What all cards' sketches are cut from.
    card
        What it is about.
    width, height
        Room, mm.
    """

    def __init__(self, plan: PlanOfCards, card: Card, width: float, height: float) -> None:
        self._plan, self._layout, self._card = plan, plan.layout, card
        self._shown = NumberedNames(plan.layout.plan)
        self.ratio, self.scale, view = self._window(width, height)
        self._mm = self.ratio / 1000
        self._pen = SketchPen("sketch", view, self._mm)

    def _window(self, width: float, height: float) -> tuple[int, str, Box]:
        card = self._card
        x = sum(point[0] for point in card.points) / len(card.points)
        y = sum(point[1] for point in card.points) / len(card.points)
        points = list(card.points)
        corner = card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}
        near = _NEAR if corner else math.inf
        points += [end for board in card.boards for end in board.ends if self._near(end, near)]
        points += [hub.point for hub in card.hubs if self._near(hub.point, near)]
        points += [(x - _ROUND, y - _ROUND), (x + _ROUND, y + _ROUND)]
        if card.staked_by:
            points += [each.point for each in card.neighbours]
        if corner:
            for each in card.neighbours:
                # Enough of each wall to see which way it runs.
                along = direction(card.points[0], each.point)
                far = min(each.distance, 1.5)
                points.append((x + along[0] * far, y + along[1] * far))
        xs, ys = [px for px, _ in points], [py for _, py in points]
        centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
        spread = (max(xs) - min(xs), max(ys) - min(ys))
        steps = [s for s in scales(self._layout.options.show) if _LARGEST <= s[0] <= _SMALLEST]
        ratio, scale = next(
            (
                (ratio, scale)
                for ratio, scale in steps
                if all(
                    far <= (room - _ROOM) * ratio / 1000
                    for far, room in zip(spread, (width, height), strict=True)
                )
            ),
            steps[-1],
        )
        mm = ratio / 1000
        return ratio, scale, Box(x=centre[0], y=centre[1], width=width * mm, height=height * mm)

    def _near(self, point: Point, limit: float) -> bool:
        return min(math.dist(point, each) for each in self._card.points) <= limit

    def draw(self) -> Picture:
        """Draw it.

        Returns
        -------
        Picture
            Lines that may run past its edges, to be clipped there, and words that do not.
        """
        self._draw_plan()
        self._draw_lot()
        for board in self._card.boards:
            self._draw_board(board)
        half = 0.9 * self._mm
        for hub in self._card.hubs:
            x, y = hub.point
            self._pen.ring(
                ((x - half, y - half), (x + half, y - half), (x + half, y + half),
                 (x - half, y + half)), 0.25,
            )  # fmt: skip
        # Only places inside the sketch.
        labels = [self._pen.kept(each, _BORDER) for each in self._labels(list(self._arrows()))]
        taken: list[Box] = []
        # Every line weighs as much as a string: a word rather stands farther off than on it.
        lines = self._pen.lines
        for variant in place(labels, [], [], lot=lines):
            boxes = variant.boxes
            if any(box.covers(other) for box in boxes for other in taken):
                continue
            taken += boxes
            for text in variant.texts:
                self._pen.write(text)
        return self._pen.picture()

    def _draw_plan(self) -> None:
        layout, pen = self._layout, self._pen
        small = self.ratio > _COARSE
        wall = 0.3 if small else 0.6
        looks: dict[EdgeKind, tuple[float, tuple[float, ...]]] = {
            EdgeKind.FOOTING: (0.3, ()),
            EdgeKind.DIG: (0.25, _DIG),
            EdgeKind.WALL: (wall, ()),
            EdgeKind.STANDING: (wall, _DIG),
            EdgeKind.INTERIOR: (min(wall, 0.4), ()),
            EdgeKind.PAD: (0.3, ()),
        }
        for edge in self._plan.near(pen.view):
            if not (small and edge.kind is EdgeKind.FOOTING):
                draw = pen.ring if edge.closed else pen.chain
                draw(edge.points, *looks[edge.kind])
        for string in layout.strings:
            if string.name in self._card.strings:
                pen.line(string.start, string.end, 0.18, _STRING)
        for start, end in self._pad_tapes():
            pen.line(start, end, 0.18)

    def _pad_tapes(self) -> list[Segment]:
        # From each corner to the pad that is staked from there.
        corners, pads = self._layout.plan.corner_points, self._layout.plan.pads
        places = {pad.name: pad.point for pad in pads}
        return [(corners[each.corner], places[each.pad]) for each in self._card.staked_by]

    def _draw_lot(self) -> None:
        site = self._layout.site
        if site is None or site.placement is None:
            return
        for _, points, strips in buried_on_plan(site):
            for start, end in itertools.pairwise(points):
                self._pen.line(start, end, 0.5, _BURIED)
            for strip in strips:
                self._pen.ring(strip, 0.18, (0.8, 0.8))

    def _draw_board(self, board: Board) -> None:
        pen = self._pen
        pen.line(*board.ends, 0.7)
        along = direction(*board.ends)
        reach = 0.8 * self._mm
        for mark in board.marks:
            pen.line(
                (mark.x + along[1] * reach, mark.y - along[0] * reach),
                (mark.x - along[1] * reach, mark.y + along[0] * reach),
                0.3,
            )

    def _arrows(self) -> Iterator[tuple[str, Segment, float]]:
        # From the corner along the outside face to the sketch's edge, with a head there.
        if self._card.kind not in {CardKind.CORNER, CardKind.INSIDE_CORNER}:
            return
        here = self._card.points[0]
        for each in self._card.neighbours:
            along = direction(here, each.point)
            tip = self._out(here, along, each.distance)
            self._pen.arrow(tip, along, 0.0, 3.5, 0.6)
            yield f"to {self._shown(each.name)}", (here, tip), each.distance

    def _out(self, here: Point, along: Point, far: float) -> Point:
        low, high = 0.0, far
        for _ in range(40):
            middle = (low + high) / 2
            spot = (here[0] + along[0] * middle, here[1] + along[1] * middle)
            low, high = (middle, high) if self._pen.seen(spot, 2.5) else (low, middle)
        return (here[0] + along[0] * low, here[1] + along[1] * low)

    def _labels(self, arrows: list[tuple[str, Segment, float]]) -> Iterator[Iterator[Variant]]:
        card, mm = self._card, self._mm
        small, large = _WORDS * mm, _FIGURE * mm
        length = Words(self._layout.options).length
        reach = 1.2 * mm
        names = [card.name] if len(card.points) == 1 else []
        if card.kind is CardKind.PADS:
            names = list(card.walls)
        for name, point in zip(names, card.points, strict=False):
            yield around(self._shown(name), point, reach, large, self._outward())
        for each in card.neighbours if card.staked_by else ():
            yield around(self._shown(each.name), each.point, reach, large, math.pi / 4)
        if card.kind is CardKind.INTERIOR_LINE:
            start, end = card.points
            yield beside(self._shown(card.name), start, end, 2.0 * mm, large, (1.0, 2.0, 3.0))
        for words, line, far in arrows:
            whole = beside(f"{words}  {length(far)}", *line, 0.0, large, _RISES)
            yield itertools.chain(whole, _worse(beside(words, *line, 0.0, small, _RISES)))
        for board in card.boards:
            yield self._far_or_near(f"board {board.name}", (board.x, board.y), small)
        for hub in card.hubs:
            yield self._far_or_near("hub", hub.point, small)
        site = self._layout.site
        if site is not None and site.placement is not None:
            for name, points, _ in buried_on_plan(site):
                for start, end in itertools.pairwise(points):
                    line_seen = self._part_seen(start, end)
                    if line_seen is not None:
                        yield beside(name, *line_seen, 0.0, small, (1.0, 2.0, 3.0, 5.0))
                        break

    def _part_seen(self, start: Point, end: Point) -> Segment | None:
        # The part of a line that lies in the sketch.
        count = 200
        shares = [
            i / count
            for i in range(count + 1)
            if self._pen.seen(
                (
                    start[0] + (end[0] - start[0]) * i / count,
                    start[1] + (end[1] - start[1]) * i / count,
                ),
                0.0,
            )
        ]
        if len(shares) < 2:
            return None
        first, last = (
            (start[0] + (end[0] - start[0]) * each, start[1] + (end[1] - start[1]) * each)
            for each in (shares[0], shares[-1])
        )
        return first, last

    def _far_or_near(self, name: str, point: Point, height: float) -> Iterator[Variant]:
        # Beside what is seen; an arrow shows the way to what stands outside the sketch.
        here = self._card.points[0]
        reach = 1.2 * self._mm
        away = math.atan2(point[1] - here[1], point[0] - here[0])
        if self._pen.seen(point, 0.0):
            return around(name, point, reach, height, away)
        along = direction(here, point)
        tip = self._out(here, along, math.dist(here, point))
        self._pen.arrow(tip, along, 4.0, 1.6, 0.3)
        return around(f"{name}, that way", tip, reach, height, away + math.pi)

    def _outward(self) -> float:
        here = self._card.points[0]
        ways = [direction(here, each.point) for each in self._card.neighbours]
        if len(self._card.points) > 1 or not ways:
            return math.pi / 4
        return math.atan2(sum(way[1] for way in ways), sum(way[0] for way in ways)) + math.pi
