"""The parts of a drawing as they are inked on paper: lines and words in millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from itertools import pairwise

from staking.frozen import frozen
from staking.output.drawing.layers import LINETYPES, LayerLook
from staking.output.drawn.dimension_lines import dimension_lines
from staking.output.drawn.drawn_parts import (
    BY_LAYER,
    ChainPart,
    CirclePart,
    DrawnPart,
    LinePart,
    Look,
    MeasuredPart,
    TextPart,
)
from staking.output.pictures.lettering import line_width
from staking.output.pictures.picture_parts import BLACK, FINEST, Lettering, Stroke
from staking.plan import Point

COLOURS = {
    1: "#ff0000",
    3: "#00ff00",
    4: "#00ffff",
    5: "#0000ff",
    6: "#ff00ff",
    7: BLACK,
    8: "#808080",
    9: "#c0c0c0",
    10: "#ff0000",
    30: "#ff7f00",
    32: "#a55200",
    34: "#7f3f00",
    92: "#00a500",
    94: "#007f00",
    140: "#00bfff",
    200: "#bf00ff",
}
"""The drawings' colour indexes as they are inked on white paper; 7 is what shows on it."""
_DIMENSION_WIDTH = 0.25
"""Of a dimension's lines, mm; its ticks are as wide as its layer says."""
_FEWEST = 32
"""Pieces of a circle at least."""
_DEFAULT: LayerLook = (7, 25, "Continuous", "")
"""How a layer looks that nobody described."""


@frozen
class OnPaper:
    """How a space lies on paper.

    Parameters
    ----------
    scale
        Millimetres on paper for one unit.
    origin
        The space's point that lies at `to`.
    to
        Where on paper, mm.
    turn
        How the space is turned on paper, rad anticlockwise.
    room
        Lower left and upper right of what is seen of it, mm; None for all.
    """

    scale: float
    origin: Point = (0.0, 0.0)
    to: Point = (0.0, 0.0)
    turn: float = 0.0
    room: tuple[Point, Point] | None = None

    def at(self, points: Iterable[Point]) -> tuple[Point, ...]:
        """Give where points lie on paper, mm.

        Returns
        -------
        tuple of Point
            Whether seen or not.
        """
        cos, sin = math.cos(self.turn) * self.scale, math.sin(self.turn) * self.scale
        (x0, y0), (x1, y1) = self.origin, self.to
        return tuple(
            (x1 + cos * (x - x0) - sin * (y - y0), y1 + sin * (x - x0) + cos * (y - y0))
            for x, y in points
        )


def inked(
    parts: Iterable[DrawnPart],
    looks: Mapping[str, LayerLook],
    on_paper: OnPaper,
    pattern: float,
) -> tuple[list[Stroke], list[Lettering]]:
    """Ink the parts of a space.

    Parameters
    ----------
    parts
        The parts.
    looks
        The layers by their names.
    on_paper
        How the space lies on paper. A line is cut at the edge of what is seen, and words that
        begin outside it are left out whole.
    pattern
        Units of the space for 1 mm of a linetype's pattern.

    Returns
    -------
    tuple of list
        Lines and words in the order of the parts; points and what programs list are not inked.
    """
    inker = _Inker(looks, on_paper, pattern * on_paper.scale)
    for part in parts:
        match part:
            case LinePart():
                inker.stroke((part.start, part.end), part.look)
            case ChainPart():
                inker.stroke(part.points, part.look, closed=part.closed)
            case CirclePart():
                inker.circle(part)
            case TextPart():
                inker.write(part)
            case MeasuredPart():
                inker.dimension(part, pattern)
    return inker.strokes, inker.words


class _Inker:
    """Keeps what is inked."""

    def __init__(self, looks: Mapping[str, LayerLook], on_paper: OnPaper, pattern: float) -> None:
        self._looks = looks
        self._on_paper = on_paper
        self._pattern = pattern
        self.strokes: list[Stroke] = []
        self.words: list[Lettering] = []

    def stroke(
        self,
        points: Sequence[Point],
        look: Look,
        *,
        closed: bool = False,
        width: float | None = None,
    ) -> None:
        colour, weight, linetype, _ = self._looks.get(look.like or look.layer, _DEFAULT)
        named = linetype if look.like or look.linetype == BY_LAYER else look.linetype
        scale = self._pattern * look.pattern
        dashes = tuple(abs(each) * scale for each in _dashes(named))
        for piece, whole in self._seen(self._on_paper.at(points), closed):
            self.strokes.append(
                Stroke(
                    layer=look.layer,
                    colour=COLOURS[colour],
                    width=weight / 100 if width is None else width,
                    dashes=dashes,
                    points=piece,
                    closed=whole,
                )
            )

    def circle(self, part: CirclePart) -> None:
        radius = part.radius * self._on_paper.scale
        flat = math.acos(max(1.0 - FINEST / radius, 0.0)) if radius > 0 else math.pi
        count = max(_FEWEST, 4 * math.ceil(math.pi / flat / 4))
        turns = (math.tau * at / count for at in range(count))
        x, y = part.centre
        ring = [(x + part.radius * math.cos(t), y + part.radius * math.sin(t)) for t in turns]
        self.stroke(ring, part.look, closed=True)

    def dimension(self, part: MeasuredPart, mm: float) -> None:
        extensions, ticks, own = dimension_lines(part, mm)
        look = Look(layer=part.layer)
        for line in extensions:
            self.stroke(line, look, width=_DIMENSION_WIDTH)
        for line in ticks:
            self.stroke(line, look)
        for line in own:
            self.stroke(line, look, width=_DIMENSION_WIDTH)
        self.write(part.text)

    def write(self, part: TextPart) -> None:
        # A caret and a space in a file stand for the caret alone.
        text = part.text.replace("^ ", "^")
        if not text.strip():
            return
        height = part.height * self._on_paper.scale
        turn = part.turn + self._on_paper.turn
        width = line_width(text, height)
        ((x, y),) = self._on_paper.at((part.at,))
        if not part.on_baseline:
            cos, sin = math.cos(turn), math.sin(turn)
            along, down = -(part.align + 1) / 2 * width, -height / 2
            x, y = x + along * cos - down * sin, y + along * sin + down * cos
        room = self._on_paper.room
        if room is not None and not _is_in((x, y), *room):
            return
        self.words.append(
            Lettering(
                layer=part.layer,
                colour=COLOURS[self._looks.get(part.layer, _DEFAULT)[0]],
                text=text,
                x=x,
                y=y,
                height=height,
                turn=math.remainder(turn, math.tau),
                width=width,
            )
        )

    def _seen(
        self, points: tuple[Point, ...], closed: bool
    ) -> list[tuple[tuple[Point, ...], bool]]:
        # What is seen of a line: all of it, or its pieces, none of which is closed.
        room = self._on_paper.room
        if len(points) < 2:
            return []
        if room is None or all(_is_in(point, *room) for point in points):
            return [(points, closed)]
        ring = (*points, points[0]) if closed else points
        pieces: list[list[Point]] = []
        for start, end in pairwise(ring):
            cut = _cut(start, end, *room)
            if cut is None:
                continue
            if pieces and pieces[-1][-1] == cut[0] == start:
                pieces[-1].append(cut[1])
            else:
                pieces.append([*cut])
        return [(tuple(piece), False) for piece in pieces]


@cache
def _dashes(linetype: str) -> tuple[float, ...]:
    return tuple(LINETYPES[linetype][1][1:]) if linetype in LINETYPES else ()


def _is_in(point: Point, low: Point, high: Point) -> bool:
    return low[0] <= point[0] <= high[0] and low[1] <= point[1] <= high[1]


def _cut(start: Point, end: Point, low: Point, high: Point) -> tuple[Point, Point] | None:
    # What of a line is inside an upright rectangle, by the part of its run at each side.
    first, last = 0.0, 1.0
    for i in (0, 1):
        run = end[i] - start[i]
        if run == 0.0:
            if not low[i] <= start[i] <= high[i]:
                return None
            continue
        near, far = sorted(((low[i] - start[i]) / run, (high[i] - start[i]) / run))
        first, last = max(first, near), min(last, far)
    if first >= last:
        return None

    def along(part: float) -> Point:
        if part in {0.0, 1.0}:
            return end if part else start
        return (
            start[0] + (end[0] - start[0]) * part,
            start[1] + (end[1] - start[1]) * part,
        )

    return along(first), along(last)
