"""The plan of the sheet of dimensions: walls, footing and dig edges, and every dimension."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing import layers
from staking.output.drawing.drawn_words import (
    Box,
    Segment,
    Text,
    Variant,
    scales,
    text_width,
    upright,
)
from staking.output.drawing.places.label_places import place
from staking.output.drawing.plan_labels import Labels, beside, corner_labels, name_labels
from staking.output.drawing.plan_shapes import interior_quad, pad_quad, ring_lines, wall_quads
from staking.output.drawing.wall_openings import opening_lines, openings, sleeves
from staking.output.pictures.picture import Picture
from staking.output.sheet_drawings.dimension_seats import Seat, seats
from staking.output.sheet_drawings.paper_drawing import (
    SAID,
    TAPED,
    NumberedNames,
    PaperDrawing,
    largest_scale,
)
from staking.output.wording import Words
from staking.plan import Point, Show

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.layout.dimension_strings import DimensionPart, DimensionString

_FIRST = 6.0
"""The first dimension line past the footing's edge, mm."""
_ROW = 6.0
"""Between two lines of dimensions, mm."""
_LEVEL = 4.4
"""Between a dimension's text in its place and one moved out of a crowded one, mm."""
_SLASH = 1.2
"""Half the length of the slash where a dimension line ends, mm."""
_AIR = 1.4
"""Round all that is drawn: half a stake's marker and a hair, mm."""
BAR_ROOM = 10.0
"""Height kept for the scale bar under the plan, mm."""


@frozen
class ScaledPicture:
    """A picture with the name of its scale and ground over paper."""

    picture: Picture
    scale: str
    ratio: int


def finished(
    paper: PaperDrawing,
    words: tuple[Variant, ...],
    reach: tuple[Point, Point],
    show: Show,
) -> Picture:
    """Write the words of a plan, with a bar of its scale under it.

    Parameters
    ----------
    paper
        The drawing, with all but its words.
    words
        The words as they are placed, with their lines.
    reach
        Lower left and upper right corner of it all, m.
    show
        How lengths are written.

    Returns
    -------
    Picture
        To scale.
    """
    for variant in words:
        for line in variant.lines:
            paper.pen.line(*line, layers.DIMENSIONS)
        for text in variant.texts:
            paper.pen.text(text)
    mm, (low, high) = paper.mm, reach
    low = (low[0], low[1] - BAR_ROOM * mm)
    paper.scale_bar((low[0] + 2 * mm, low[1] + mm), show)
    high = (max(high[0], low[0] + 60 * mm), high[1])
    air = _AIR * mm
    return paper.picture((low[0] - air, low[1] - mm), (high[0] + air, high[1] + air))


def dimension_picture(
    layout: Layout, strings: tuple[DimensionString, ...], room: tuple[float, float]
) -> ScaledPicture:
    """Draw the plan with its dimensions at the largest scale at which they find room.

    Parameters
    ----------
    layout
        The layout.
    strings
        Its dimensions.
    room
        Width and height of the paper for it, mm.

    Returns
    -------
    ScaledPicture
        No larger than the room, but where no scale is small enough.
    """
    shown = DimensionPlan(layout, strings)
    ratio, scale, words, (low, high) = largest_scale(
        scales(layout.options.show),
        (room[0], room[1] - BAR_ROOM),
        shown.words,
        [point for line in shown.lines for point in line],
    )
    paper = PaperDrawing(ratio)
    shown.draw(paper)
    picture = finished(paper, words, (low, high), layout.options.show)
    return ScaledPicture(picture=picture, scale=scale, ratio=ratio)


class DimensionPlan:
    """What is drawn of the plan of dimensions, with its words at any scale.

    Parameters
    ----------
    layout
        The layout.
    strings
        Its dimensions.
    """

    def __init__(self, layout: Layout, strings: tuple[DimensionString, ...]) -> None:
        self._layout = layout
        self._strings = strings
        self._names = NumberedNames(layout.plan)
        self._length = Words(layout.options).length
        plan = layout.plan
        self.lines: list[Segment] = [
            side
            for outline in {id(each): each for each in (layout.footing, layout.dig)}.values()
            for ring in (*outline.outlines, *outline.holes)
            for side in ring_lines(ring)
        ]
        self.heavy: list[Segment] = []
        """The faces of walls."""
        for building in plan.buildings:
            for quad, _ in wall_quads(building):
                self.heavy += [(quad[0], quad[1]), (quad[2], quad[3])]
        for line in plan.interior:
            self.heavy += ring_lines(interior_quad(plan, line))
        self.lines += self.heavy
        self.lines += opening_lines(plan)

    def draw(self, paper: PaperDrawing) -> None:
        """Draw walls, edges, openings, sleeves and pads."""
        plan, pen = self._layout.plan, paper.pen
        for building in plan.buildings:
            for quad, is_existing in wall_quads(building):
                if is_existing:
                    pen.line(quad[0], quad[1], layers.WALL, "STK_DASHED")
                else:
                    pen.ring(quad, layers.WALL)
        for line in plan.interior:
            pen.ring(interior_quad(plan, line), layers.WALL)
        for layer, outline in (
            (layers.DIG, self._layout.dig),
            (layers.FOOTING, self._layout.footing),
        ):
            for ring in (*outline.outlines, *outline.holes):
                pen.ring(ring, layer)
        for pad in plan.pads:
            if pad.diameter is not None:
                pen.circle(pad.point, pad.diameter / 2, layers.PADS)
            else:
                pen.ring(pad_quad(pad), layers.PADS)
        for start, end in opening_lines(plan):
            pen.line(start, end, layers.OPENINGS)
        for _, quad in sleeves(plan):
            pen.ring(quad, layers.OPENINGS)

    def labels(self, mm: float) -> Labels:
        """List the dimensions and the words where a millimetre on paper is `mm` m.

        Returns
        -------
        list
            The variants of each; the corners' and pads' names are not among them.
        """
        layout = self._layout
        rings = [building.ring for building in layout.plan.buildings]
        placed = seats(
            self._strings,
            [corner for ring in rings for corner in ring],
            [side for ring in rings for side in ring_lines(ring)],
            _ROW * mm,
        )
        labels: Labels = [
            label
            for string, seat in zip(self._strings, placed, strict=True)
            for label in _dimensions(string, seat, self._length, mm)
        ]
        labels += name_labels(layout, SAID * mm, self._names)
        for sleeve, quad in sleeves(layout.plan):
            labels.append(
                beside(f"sleeve {self._length(sleeve.size)}", quad[3], quad[2], 0.0, TAPED * mm)
            )
        for opening, quad in openings(layout.plan):
            words = f"drop {self._length(opening.drop)}"
            labels.append(beside(words, quad[3], quad[2], 0.0, TAPED * mm))
        return labels

    def words(self, mm: float) -> tuple[tuple[Variant, ...], list[Point]]:
        """Place every word where a millimetre on paper is `mm` m."""
        plan = self._layout.plan
        labels = self.labels(mm) + corner_labels(self._layout, TAPED * mm, self._names)
        boxes = [Box(x=pad.x, y=pad.y, width=0.2 * mm, height=0.2 * mm) for pad in plan.pads]
        placed = place(labels, self.lines, boxes)
        return placed, [point for line in self.lines for point in line]


def _dimensions(
    string: DimensionString, seat: Seat, write: Callable[[float], str], mm: float
) -> Iterator[list[Variant]]:
    # The parts in the first row, the whole past them; crowded parts stand farther out.
    rows = [seat.reach / mm + _FIRST + _ROW * at for at in range(6)]
    tight = any(
        text_width(write(part.length), TAPED) + 1.5 > part.length / mm for part in string.parts
    )
    for part in string.parts:
        yield list(_variants(part, string, seat, write(part.length), rows[:1], mm))
    if not string.parts:
        start = 0
    elif tight:
        start = 2
    else:
        start = 1
    if not string.of:
        start += 2
    past = rows[start : start + 3] or rows[-1:]
    yield list(_variants(string.whole, string, seat, write(string.whole.length), past, mm))


def _variants(
    part: DimensionPart,
    string: DimensionString,
    seat: Seat,
    words: str,
    rows: list[float],
    mm: float,
) -> Iterator[Variant]:
    start, end = string.whole.start, string.whole.end
    run = math.dist(start, end)
    along = ((end[0] - start[0]) / run, (end[1] - start[1]) / run)
    out = string.out
    height, wide = TAPED * mm, text_width(words, TAPED) * mm
    turn = upright(math.atan2(along[1], along[0]))
    up = (-math.sin(turn), math.cos(turn))
    # The text stands over its line as it reads, whichever side of the wall the line is on.
    above = 1.0 if up[0] * out[0] + up[1] * out[1] > 0 else -1.0

    def at(point: Point, forward: float, outward: float) -> Point:
        return (
            point[0] + along[0] * forward + out[0] * outward,
            point[1] + along[1] * forward + out[1] * outward,
        )

    fits = wide + 1.5 * mm <= part.length
    for place_, row in enumerate(rows):
        off = row * mm
        first, last = at(part.start, 0, off), at(part.end, 0, off)
        slash = _SLASH * mm
        lines: list[Segment] = [(first, last)]
        for point, foot in ((first, part.start), (last, part.end)):
            lines.append((at(foot, 0, seat.foot(foot) + 1.0 * mm), at(point, 0, 1.2 * mm)))
            lines.append((at(point, -slash, -slash), at(point, slash, slash)))
        rise = (0.5 * TAPED + 1.0) * mm
        shifts = (0.0, 0.16, -0.16, 0.3, -0.3)
        for shift in shifts if fits else ():
            if abs(shift) * part.length + wide / 2 > part.length / 2 - 0.5 * mm and shift:
                continue
            spot = at(part.start, part.length * (0.5 + shift), off + above * rise)
            text = Text(text=words, x=spot[0], y=spot[1], height=height, turn=turn)
            yield Variant(
                texts=(text,), lines=tuple(lines), penalty=4 * place_ + int(10 * abs(shift))
            )
        if fits:
            continue
        for level in (1, 2, 3):
            for shift in (0.0, 1.0, -1.0, 2.0, -2.0):
                forward = part.length / 2 + shift * (wide / 2 + mm)
                mid = at(part.start, part.length / 2, off)
                lift = off + level * _LEVEL * mm + 0.5 * mm
                spot = at(part.start, forward, lift)
                foot = at(part.start, forward, lift - 0.75 * height)
                text = Text(text=words, x=spot[0], y=spot[1], height=height, turn=turn)
                yield Variant(
                    texts=(text,),
                    lines=(*lines, (mid, foot)),
                    penalty=4 * place_ + 2 * level + int(2 * abs(shift)),
                )
