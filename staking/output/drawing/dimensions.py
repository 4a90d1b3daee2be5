"""The dimensions of a plan: every wall once, every interior line and pad located once."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from operator import itemgetter
from typing import TYPE_CHECKING

from staking.lines import direction
from staking.output.drawing.drawn_words import (
    Dimension,
    Segment,
    Text,
    Variant,
    text_width,
    upright,
)
from staking.output.drawing.layers import DIMENSION_GAP, EXTENSION
from staking.plan import InteriorLine, Pad, Point

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout

Labels = list[Iterable[Variant]]
_SQUARE = 1e-6
"""Lines whose directions' sine or cosine is under this are parallel or square to each other."""


def dimension_labels(layout: Layout, length: Callable[[float], str], height: float) -> Labels:
    """Every dimension of the plan with the places it may take.

    Parameters
    ----------
    layout
        The layout.
    length
        Writes a length, m, as text.
    height
        Text height on the ground, m.

    Returns
    -------
    list
        The variants of each dimension: walls, then interior lines, then pads.
    """
    labels: Labels = []
    for building in layout.plan.buildings:
        for side in building.sides:
            wall = side.wall
            out = 0.0 if wall.existing else max(wall.footing.outside, 0.0)
            inside = 0.0 if wall.existing else wall.footing.inside
            first = out + 2.4 * height
            rows = (first, first + 2.6 * height, -inside - height, -inside - 3.6 * height)
            labels.append(
                _linear(side.start, side.end, side.along, side.outward, rows, length, height)
            )
    labels.extend(_interior(layout, length, height))
    labels.extend(_pads(layout, length, height))
    return labels


def _interior(
    layout: Layout, length: Callable[[float], str], height: float
) -> Iterator[Iterator[Variant]]:
    # Stations of interior lines along what they start on; of their ends too where skew.
    for line in layout.plan.interior:
        run = direction(line.start, line.end)
        for point, on, last in ((line.start, line.start_on, False), (line.end, line.end_on, True)):
            found = _carrier(layout, line, on)
            if found is None:
                continue
            origin, end, near, inward = found
            along = direction(origin, end)
            if not last and abs(run[0] * along[0] + run[1] * along[1]) < _SQUARE:
                square = True
            elif not last:
                square = False
            elif square:
                continue
            if math.dist(origin, point) < _SQUARE:
                continue
            rows = (near + height, near + 3.6 * height, -near - height, -near - 3.6 * height)
            yield _linear(origin, point, along, inward, rows, length, height)


def _carrier(
    layout: Layout, line: InteriorLine, on: str
) -> tuple[Point, Point, float, Point] | None:
    # The wall or line an end lies on: its ends, how far its footing reaches, a normal inward.
    building = layout.plan.buildings[line.building]
    for side in building.sides:
        if on in side.wall.names:
            return side.start, side.end, side.wall.footing.inside, side.inward
    for other in layout.plan.interior:
        if other.name == on:
            along = direction(other.start, other.end)
            return other.start, other.end, other.footing.width / 2, (-along[1], along[0])
    return None


def _pads(
    layout: Layout, length: Callable[[float], str], height: float
) -> Iterator[Iterator[Variant]]:
    # Each pad by x and y from the nearest corner; a row's others from the one before.
    corners = [corner.point for each in layout.plan.buildings for corner in each.corners]
    before: dict[str, Pad] = {}
    seen: set[tuple[str, Point, float]] = set()
    for pad in layout.plan.pads:
        half = max(pad.size) / 2 if pad.size else (pad.diameter or 0.0) / 2
        rows = tuple(
            side * (half + extra * height) for extra in (1.0, 2.6, 4.2, 6.2) for side in (1.0, -1.0)
        )
        previous = before.get(pad.row) if pad.row else None
        if pad.row:
            before[pad.row] = pad
        if previous is not None:
            along = direction(previous.point, pad.point)
            normal = (-along[1], along[0])
            yield _linear(previous.point, pad.point, along, normal, rows, length, height)
            continue
        origin = min(corners, key=lambda point: (math.dist(point, pad.point), point))
        dx, dy = pad.x - origin[0], pad.y - origin[1]
        for name, run, along, normal in (
            ("x", dx, (1.0, 0.0), (0.0, math.copysign(1.0, -dy))),
            ("y", dy, (0.0, 1.0), (math.copysign(1.0, dx), 0.0)),
        ):
            key = (name, origin, round(run, 4))
            if abs(run) < _SQUARE or key in seen:
                continue
            seen.add(key)
            yield _linear(origin, pad.point, along, normal, rows, length, height)


def _linear(
    start: Point,
    end: Point,
    along: Point,
    normal: Point,
    rows: Sequence[float],
    length: Callable[[float], str],
    height: float,
) -> Iterator[Variant]:
    # A dimension in each row (counted from its end along the normal) and text place.
    run = (end[0] - start[0]) * along[0] + (end[1] - start[1]) * along[1]
    words = length(abs(run))
    width = text_width(words, height) + 0.6 * height
    turn = upright(math.atan2(along[1], along[0]))
    up = (-math.sin(turn), math.cos(turn))
    rise = (0.5 + DIMENSION_GAP) * height
    beyond = width / 2 + 0.8 * height
    edge = min(0.5, width / 2 / abs(run))
    parts = [
        (run * part, int(part != 0.5))
        for part in (0.5, 0.42, 0.58, edge, 1 - edge, 0.3, 0.7)
        if abs(run) * (0.5 - abs(part - 0.5)) >= 0.49 * width
    ]
    parts += [(run + math.copysign(beyond, run), 5), (-math.copysign(beyond, run), 5)]
    tried = sorted(
        ((2 * i + worse, row, part) for i, row in enumerate(rows) for part, worse in parts),
        key=itemgetter(0),
    )
    for penalty, row, part in tried:
        last = (end[0] + normal[0] * row, end[1] + normal[1] * row)
        first = (last[0] - along[0] * run, last[1] - along[1] * run)
        text = Text(
            text=words,
            x=first[0] + along[0] * part + up[0] * rise,
            y=first[1] + along[1] * part + up[1] * rise,
            height=height,
            turn=turn,
        )
        lines: tuple[Segment, ...] = (
            (first, last),
            (_clear(start, first, height), _beyond(start, first, height)),
            (_clear(end, last, height), _beyond(end, last, height)),
        )
        yield Variant(
            lines=lines,
            dimension=Dimension(start=start, end=end, base=last, turn=turn, text=text),
            penalty=penalty,
        )


def _beyond(start: Point, end: Point, height: float) -> Point:
    # Where an extension line ends: a little past the dimension's line.
    run = math.dist(start, end)
    part = 1.0 + EXTENSION * height / run if run else 1.0
    return (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part)


def _clear(start: Point, end: Point, height: float) -> Point:
    # Where an extension line begins: off the stake's marker it measures from.
    run = math.dist(start, end)
    part = min(0.6 * height / run, 1.0) if run else 0.0
    return (start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part)
