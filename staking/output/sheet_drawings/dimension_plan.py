"""The plan of the sheet of dimensions: walls, footing and dig edges, and every dimension."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
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
from staking.output.sheet_drawings.match_lines import PlanPart
from staking.output.sheet_drawings.paper_drawing import (
    SAID,
    TAPED,
    NumberedNames,
    PaperDrawing,
    largest_scale,
    overlaps,
)
from staking.output.wording import Words
from staking.plan import Plan, Point, Show

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
    is_clear: bool = True
    """Whether no word lies on another one and all of it is within its room."""


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


def named_points(plan: Plan) -> list[Point]:
    """List where the corners and pads are, in the order of their names' labels.

    Returns
    -------
    list of Point
        m.
    """
    corners = [corner.point for building in plan.buildings for corner in building.corners]
    return corners + [pad.point for pad in plan.pads]


def ground_of(words: Iterable[Variant]) -> list[Point]:
    """List the corners of all words and the ends of their lines.

    Returns
    -------
    list of Point
        m.
    """
    found: list[Point] = []
    for each in words:
        found += [corner for box in each.boxes for corner in box.corners]
        found += [point for line in each.lines for point in line]
    return found


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
    return ScaledPicture(
        picture=picture, scale=scale, ratio=ratio, is_clear=is_clear(words, picture, room)
    )


def is_clear(words: Iterable[Variant], picture: Picture, room: tuple[float, float]) -> bool:
    """Tell whether a drawing can be read.

    Parameters
    ----------
    words
        Its words as they are placed.
    picture, room
        The drawing, and the width and height of the paper for it, mm.

    Returns
    -------
    bool
        Whether no word lies on another one and all of it is within its room, but for its air.
    """
    air = 2 * _AIR + 0.5
    return (
        overlaps(words) == 0 and picture.width <= room[0] + air and picture.height <= room[1] + air
    )


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
        self._seats_at: dict[float, tuple[Seat, ...]] = {}
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
        dimensions: Labels = [
            label
            for string, seat in zip(self._strings, self._seats(mm), strict=True)
            for label in _dimensions(string, seat, self._length, mm)
        ]
        return dimensions + [label for _, label in self._said(mm)]

    def _seats(self, mm: float) -> tuple[Seat, ...]:
        # Kept by scale: every part of a plan that is cut asks for them.
        if mm not in self._seats_at:
            rings = [building.ring for building in self._layout.plan.buildings]
            self._seats_at[mm] = seats(
                self._strings,
                [corner for ring in rings for corner in ring],
                [side for ring in rings for side in ring_lines(ring)],
                _ROW * mm,
            )
        return self._seats_at[mm]

    def _said(self, mm: float) -> list[tuple[Point, Iterable[Variant]]]:
        # The words that are no dimensions, each with the middle of what it names.
        layout = self._layout
        named = [
            (side.start, side.end)
            for building in layout.plan.buildings
            for side in building.sides
            if side.wall.existing is not None
        ]
        named += [(line.start, line.end) for line in layout.plan.interior]
        labels = name_labels(layout, SAID * mm, self._names)
        for sleeve, quad in sleeves(layout.plan):
            named.append((quad[3], quad[2]))
            labels.append(
                beside(f"sleeve {self._length(sleeve.size)}", quad[3], quad[2], 0.0, TAPED * mm)
            )
        for opening, quad in openings(layout.plan):
            words = f"drop {self._length(opening.drop)}"
            named.append((quad[3], quad[2]))
            labels.append(beside(words, quad[3], quad[2], 0.0, TAPED * mm))
        middles = [((x1 + x2) / 2, (y1 + y2) / 2) for (x1, y1), (x2, y2) in named]
        return list(zip(middles, labels, strict=True))

    @property
    def points(self) -> list[Point]:
        """What must lie on the paper, m."""
        return [point for line in self.lines for point in line]

    def points_within(self, part: PlanPart) -> list[Point]:
        """List the ends of what is seen in one part of the plan, m."""
        return [end for line in self.lines for end in part.seen(line) or ()]

    def features(self, mm: float) -> list[Point]:
        """List what a match line stays clear of: corners, pads, dimension lines, m."""
        found = [*self._layout.plan.corner_points.values()]
        found += [pad.point for pad in self._layout.plan.pads]
        for string, seat in zip(self._strings, self._seats(mm), strict=True):
            off = seat.reach + (_FIRST + TAPED) * mm
            for part in (*string.parts, string.whole):
                for x, y in (part.start, part.end):
                    found.append((x + string.out[0] * off, y + string.out[1] * off))
        return found

    def crowded(self, mm: float) -> float:
        """Tell what share of the walls is shorter on paper than the words of its length."""
        short = [
            text_width(self._length(each.whole.length), TAPED) + 1.5 > each.whole.length / mm
            for each in self._strings
        ]
        return sum(short) / max(len(short), 1)

    def words_within(self, part: PlanPart, mm: float) -> tuple[Variant, ...]:
        """Place the words of one part of the plan, all of them within it.

        A length whose line runs on past the part is said with what it is the length of.

        Returns
        -------
        tuple of Variant
            As they are placed.
        """
        labels: Labels = [
            part.kept(label)
            for string, seat in zip(self._strings, self._seats(mm), strict=True)
            for label in _dimensions(string, seat, self._length, mm, (part, self._names))
        ]
        labels += part.own(self._said(mm))
        labels += part.own(
            zip(
                named_points(self._layout.plan),
                corner_labels(self._layout, TAPED * mm, self._names),
                strict=True,
            )
        )
        pads = [pad for pad in self._layout.plan.pads if part.holds(pad.point)]
        boxes = [Box(x=pad.x, y=pad.y, width=0.2 * mm, height=0.2 * mm) for pad in pads]
        lines = [seen for line in self.lines if (seen := part.seen(line)) is not None]
        return place(labels, lines, boxes)

    def words(self, mm: float) -> tuple[tuple[Variant, ...], list[Point]]:
        """Place every word where a millimetre on paper is `mm` m."""
        plan = self._layout.plan
        labels = self.labels(mm) + corner_labels(self._layout, TAPED * mm, self._names)
        boxes = [Box(x=pad.x, y=pad.y, width=0.2 * mm, height=0.2 * mm) for pad in plan.pads]
        return place(labels, self.lines, boxes), self.points


@frozen
class _Stretch:
    """What is seen of a dimension's line, m, and whether it ends there."""

    start: Point
    end: Point
    length: float
    ends: tuple[bool, bool] = (True, True)


def _dimensions(
    string: DimensionString,
    seat: Seat,
    write: Callable[[float], str],
    mm: float,
    within: tuple[PlanPart, NumberedNames] | None = None,
) -> Iterator[list[Variant]]:
    # The parts in the first row, the whole past them; crowded parts stand farther out.
    rows = [seat.reach / mm + _FIRST + _ROW * at for at in range(6)]
    tight = any(
        text_width(write(part.length), TAPED) + 1.5 > part.length / mm for part in string.parts
    )
    if not string.parts:
        start = 0
    elif tight:
        start = 2
    else:
        start = 1
    if not string.of:
        start += 2
    past = rows[start : start + 3] or rows[-1:]
    for part, places in [*((each, rows[:1]) for each in string.parts), (string.whole, past)]:
        said, seen = (
            write(part.length),
            _Stretch(start=part.start, end=part.end, length=part.length),
        )
        if within is not None:
            cut = _seen(part, within[0])
            if cut is None:
                continue
            if not all(cut.ends):
                longer = f"{within[1](string.of)}: {said}" if string.of else f"{said} in all"
                if part is string.whole and _has_room(longer, cut, mm):
                    said = longer
                elif not _has_room(said, cut, mm) and not within[0].holds(_middle(part)):
                    continue
            seen = cut
        yield list(_variants(seen, string, seat, said, places, mm))


def _seen(part: DimensionPart, within: PlanPart) -> _Stretch | None:
    seen = within.seen((part.start, part.end))
    if seen is None:
        return None
    ends = (seen[0] == part.start, seen[1] == part.end)
    length = part.length if all(ends) else math.dist(*seen)
    return _Stretch(start=seen[0], end=seen[1], length=length, ends=ends)


def _has_room(said: str, seen: _Stretch, mm: float) -> bool:
    return text_width(said, TAPED) + 1.5 <= seen.length / mm


def _middle(part: DimensionPart) -> Point:
    return ((part.start[0] + part.end[0]) / 2, (part.start[1] + part.end[1]) / 2)


def _variants(
    part: _Stretch,
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
        for point, foot, is_end in zip(
            (first, last), (part.start, part.end), part.ends, strict=True
        ):
            if not is_end:
                continue
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
