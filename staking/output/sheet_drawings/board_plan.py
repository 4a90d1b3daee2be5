"""The plan of boards, strings, hubs and check diagonals, and one board from the front."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from staking.kinds import CheckKind, StringLine
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import Box, Segment, Text, Variant, scales, upright
from staking.output.drawing.pen import HUB, STAKE
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import Labels, around, corner_labels
from staking.output.drawing.plan_shapes import interior_quad, ring_lines, solids, wall_quads
from staking.output.pictures.lettering import line_width
from staking.output.sheet_drawings.dimension_plan import (
    BAR_ROOM,
    ScaledPicture,
    finished,
    is_clear,
    named_points,
)
from staking.output.sheet_drawings.match_lines import PlanPart
from staking.output.sheet_drawings.paper_drawing import (
    SAID,
    TAPED,
    NumberedNames,
    PaperDrawing,
    largest_scale,
)
from staking.output.wording import Words

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.layout.nail_patterns import BoardFront
    from staking.plan import Options, Point

ON_STRING = 0.0005
"""A nail no farther from its string than this holds the string, m."""
_STAKE = 2.2
"""Size of a stake's or a hub's marker, mm."""
MOST_DRAWN = 10
"""More diagonals than this are not drawn: the table has them."""
_BLANK = "reads ________"
"""Where a tape's reading is written."""
_CLEAR = 1.1
"""Between a diagonal and what stands over or under it, mm."""
_BOARD_HIGH = 6.0
"""How high the board is drawn, mm; its height is not to scale."""
_PITCH = 5.0
"""From the words of one nail to those of the next, mm."""


def diagonals(layout: Layout) -> tuple[Check, ...]:
    """List the diagonals that are taped between corners.

    Returns
    -------
    tuple of Check
        In the layout's order.
    """
    return tuple(each for each in layout.checks if each.kind is CheckKind.DIAGONAL)


def board_picture(layout: Layout, room: tuple[float, float]) -> ScaledPicture:
    """Draw boards, strings and diagonals at the largest scale at which their words find room.

    Parameters
    ----------
    layout
        The layout.
    room
        Width and height of the paper for it, mm.

    Returns
    -------
    ScaledPicture
        No larger than the room, but where no scale is small enough.
    """
    shown = BoardPlan(layout)
    ratio, scale, words, (low, high) = largest_scale(
        scales(layout.options.show), (room[0], room[1] - BAR_ROOM), shown.words, shown.points
    )
    paper = PaperDrawing(ratio)
    shown.draw_walls(paper)
    shown.draw(paper)
    picture = finished(paper, words, (low, high), layout.options.show)
    return ScaledPicture(
        picture=picture, scale=scale, ratio=ratio, is_clear=is_clear(words, picture, room)
    )


class BoardPlan:
    """What is drawn of the plan of boards, with its words at any scale.

    Parameters
    ----------
    layout
        The layout.
    is_cut
        Whether it is drawn in parts, which no diagonal crosses: the table has them.
    """

    def __init__(self, layout: Layout, *, is_cut: bool = False) -> None:
        self._layout = layout
        self._names = NumberedNames(layout.plan)
        self._length = Words(layout.options).length
        drawn = () if is_cut else diagonals(layout)
        places = {c.name: c.point for b in layout.plan.buildings for c in b.corners}
        self._diagonals = [
            (check, (places[check.from_name], places[check.to_name]))
            for check in (drawn if len(drawn) <= MOST_DRAWN else ())
        ]
        self.lines: list[Segment] = [
            side
            for ring in (*layout.footing.outlines, *layout.footing.holes)
            for side in ring_lines(ring)
        ]
        for building in layout.plan.buildings:
            for quad, _ in wall_quads(building):
                self.lines += [(quad[0], quad[1]), (quad[2], quad[3])]
        self.strings: list[Segment] = [(each.start, each.end) for each in layout.strings]
        self.strings += [line for _, line in self._diagonals]

    def draw_walls(self, paper: PaperDrawing) -> None:
        """Draw walls and footing edges, thin under the boards."""
        layout, pen = self._layout, paper.pen
        for building in layout.plan.buildings:
            for quad, is_existing in wall_quads(building):
                pen.line(quad[0], quad[1], layers.DIMENSIONS,
                         "STK_DASHED" if is_existing else "BYLAYER")  # fmt: skip
        for line in layout.plan.interior:
            pen.ring(interior_quad(layout.plan, line), layers.DIMENSIONS)
        for ring in (*layout.footing.outlines, *layout.footing.holes):
            pen.ring(ring, layers.DIMENSIONS, "STK_STAY")

    def draw(self, paper: PaperDrawing) -> None:
        """Draw strings, boards, stakes, hubs and diagonals."""
        layout, pen = self._layout, paper.pen
        for string in layout.strings:
            pen.line(string.start, string.end, layers.STRINGS)
        for board in layout.boards:
            pen.line(*board.ends, layers.STEPS)
        size = _STAKE * paper.mm
        for building in layout.plan.buildings:
            for corner in building.corners:
                pen.marker(corner.point, STAKE, size, layers.TITLE)
        for hub in layout.hubs:
            pen.marker((hub.x, hub.y), HUB, size, layers.TITLE)
        for _, (start, end) in self._diagonals:
            pen.line(start, end, layers.OPENINGS, "STK_DASHED")

    def labels(self, mm: float) -> Labels:
        """List the boards' numbers, the diagonals' lengths and the names of corners and pads.

        Returns
        -------
        list
            The variants of each where a millimetre on paper is `mm` m.
        """
        layout = self._layout
        labels: Labels = [self._number(board.ends, board.name, mm) for board in layout.boards]
        for check, (start, end) in self._diagonals:
            labels.append(_taped(self._length(check.distance), start, end, mm))
        return labels + corner_labels(layout, TAPED * mm, self._names)

    def boxes(self, mm: float) -> list[Box]:
        """List what no word may cover: stakes and hubs."""
        return solids(self._layout, _STAKE * mm)

    @property
    def points(self) -> list[Point]:
        """What must lie on the paper, m."""
        layout = self._layout
        points = [point for line in self.lines for point in line]
        points += [point for board in layout.boards for point in board.ends]
        points += [point for string in layout.strings for point in (string.start, string.end)]
        return points + [(hub.x, hub.y) for hub in layout.hubs]

    def points_within(self, part: PlanPart) -> list[Point]:
        """List the ends of what is seen in one part of the plan, m."""
        lines = [*self.lines, *self.strings, *(board.ends for board in self._layout.boards)]
        seen = [end for line in lines for end in part.seen(line) or ()]
        hubs = [(hub.x, hub.y) for hub in self._layout.hubs]
        return seen + [hub for hub in hubs if part.holds(hub)]

    def features(self, mm: float) -> list[Point]:
        """List what a match line stays clear of: corners, boards, hubs, pads, m."""
        layout = self._layout
        found = [*layout.plan.corner_points.values()]
        found += [point for board in layout.boards for point in board.ends]
        found += [(board.x + side * TAPED * mm, board.y) for board in layout.boards
                  for side in (-1, 1)]  # fmt: skip
        found += [(hub.x, hub.y) for hub in layout.hubs]
        return found + [pad.point for pad in layout.plan.pads]

    def words_within(self, part: PlanPart, mm: float) -> tuple[Variant, ...]:
        """Place the words of one part of the plan, all of them within it.

        Returns
        -------
        tuple of Variant
            As they are placed.
        """
        named = [(board.x, board.y) for board in self._layout.boards]
        named += [_middle(line) for _, line in self._diagonals]
        named += named_points(self._layout.plan)
        labels = part.own(zip(named, self.labels(mm), strict=True))
        boxes = [box for box in self.boxes(mm) if part.holds((box.x, box.y))]
        lines, strings = (
            [seen for line in every if (seen := part.seen(line)) is not None]
            for every in (self.lines, self.strings)
        )
        return place(labels, lines, boxes, strings)

    def words(self, mm: float) -> tuple[tuple[Variant, ...], list[Point]]:
        """Place every word where a millimetre on paper is `mm` m."""
        boxes = self.boxes(mm)
        placed = place(self.labels(mm), self.lines, boxes, self.strings)
        return placed, self.points

    def _number(self, ends: tuple[Point, Point], name: str, mm: float) -> Iterator[Variant]:
        return around(name, _middle(ends), 1.2 * mm, TAPED * mm, 0.0)


def _middle(line: Segment) -> Point:
    (x1, y1), (x2, y2) = line
    return ((x1 + x2) / 2, (y1 + y2) / 2)


def _taped(length: str, start: Point, end: Point, mm: float) -> Iterator[Variant]:
    # The length over the diagonal, and under it a line to write what the tape reads.
    turn = upright(math.atan2(end[1] - start[1], end[0] - start[0]))
    up = (-math.sin(turn), math.cos(turn))
    for worse, part in enumerate((0.5, 0.44, 0.56, 0.38, 0.62, 0.33, 0.67, 0.28, 0.72, 0.22, 0.78)):
        x = start[0] + (end[0] - start[0]) * part
        y = start[1] + (end[1] - start[1]) * part
        for side in (1, -1):
            texts = []
            for text, tall, off in ((length, TAPED, side), (_BLANK, SAID, -side)):
                rise = off * (0.5 * tall + _CLEAR) * mm
                texts.append(
                    Text(text=text, x=x + rise * up[0], y=y + rise * up[1], height=tall * mm,
                         turn=turn)
                )  # fmt: skip
            yield Variant(texts=tuple(texts), penalty=worse // 2)


def front_picture(
    front: BoardFront, line: StringLine, options: Options, width: float
) -> ScaledPicture:
    """Draw one board as it is seen from the building, its nails to scale along it.

    Parameters
    ----------
    front
        The board.
    line
        What its string follows.
    options
        How lengths are written.
    width
        Of the paper for it, mm.

    Returns
    -------
    ScaledPicture
        True to scale along the board; its height is not.
    """
    length = Words(options).length
    sides = ("out", "in") if line is StringLine.OUTSIDE_FACE else ("right", "left")
    said = []
    for _, nail in front.nails:
        where = "string"
        if abs(nail.offset) >= ON_STRING:
            where = f"{length(abs(nail.offset))} {sides[nail.offset < 0]}"
        said.append((where, str(nail.mark)))
    wide = [line_width(where, TAPED) + 1.5 + line_width(mark, SAID) for where, mark in said]
    stations = [station for station, _ in front.nails]

    def taken(ratio: int) -> float:
        # What the board takes of the width with the words that begin at its nails, mm.
        ends = [station * 1000 / ratio + 1.5 + each
                for station, each in zip(stations, wide, strict=True)]  # fmt: skip
        return max(front.length * 1000 / ratio, *ends) + 2.0

    ratio, scale = next(
        (each for each in scales(options.show) if taken(each[0]) <= width),
        scales(options.show)[-1],
    )
    paper = PaperDrawing(ratio)
    pen, mm = paper.pen, paper.mm
    high = _BOARD_HIGH * mm
    pen.ring([(0, 0), (front.length, 0), (front.length, high), (0, high)], layers.WALL)
    for x in (0.06 * front.length, 0.94 * front.length):
        half = 1.2 * mm
        pen.chain([(x - half, 0), (x - half, -7 * mm), (x, -9 * mm), (x + half, -7 * mm),
                   (x + half, 0)], layers.FOOTING)  # fmt: skip
    # The first nail's words stand highest, so that no line to a nail crosses the words of another.
    for at, (station, (where, mark)) in enumerate(zip(stations, said, strict=True)):
        level = high + (3.0 + _PITCH * (len(said) - 1 - at)) * mm
        pen.line((station, high - 2 * mm), (station, high + 1 * mm), layers.STEPS)
        pen.line((station, high + 1 * mm), (station, level + 0.5 * TAPED * mm), layers.DIMENSIONS)
        x = station + 1.5 * mm
        pen.text(Text(text=where, x=x, y=level, height=TAPED * mm, align=-1))
        x += (line_width(where, TAPED) + 1.5) * mm
        pen.text(Text(text=mark, x=x, y=level, height=SAID * mm, align=-1))
    top = high + (3.0 + _PITCH * len(said)) * mm
    picture = paper.picture((-mm, -10 * mm), ((width - 1.0) * mm, top))
    return ScaledPicture(picture=picture, scale=scale, ratio=ratio)
