"""Where words go on a drawing: each takes the place that spoils least of what is there.

A label comes with its variants, best first; earlier labels have the choice. The same labels
always give the same drawing.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, pairwise

from staking.output.drawing.drawn_words import Box, Segment, Variant, extent
from staking.plan import Point

_CROSSING = 3
_CROSSING_LOT = 6
_STRIKING = 10
_CROWDING = 2
_THROUGH = 30
_COVERING = 100
_BAD = (_THROUGH, 10)
"""Who found only places that spoil this much chooses first another time."""
_FULL = 24
"""A square of a huge plan that holds this many boxes or lines is crowded, whatever else comes."""
_HELD = 20_000
"""How many boxes or lines, times the labels, a square keeps of a plan that is not huge."""
_TRIES = 8_000
"""How many places are tried for all labels together, so that a huge plan takes no longer."""
_HUGE = 200
"""More labels than this are placed in one go."""
_FEWEST = 4
"""How many are tried for a label at least."""


_Bounds = tuple[float, float, float, float]


class _PlacedWords:
    """What is placed already, by squares of ground so that far labels cost nothing."""

    def __init__(self, cell: float, full: int) -> None:
        self._cell = cell
        self._full = full
        self._boxes: dict[tuple[int, int], list[tuple[_Bounds, Box]]] = defaultdict(list)
        self._lines: dict[tuple[int, int], list[tuple[_Bounds, Segment, int]]] = defaultdict(list)

    def add_box(self, box: Box) -> None:
        entry = (_bounds(box.corners), box)
        for key in self._cells(entry[0]):
            if len(self._boxes[key]) < self._full:
                self._boxes[key].append(entry)

    def add_line(self, line: Segment, weight: int) -> None:
        entry = (_bounds(line), line, weight)
        for key in self._cells_of_line(line):
            if len(self._lines[key]) < self._full:
                self._lines[key].append(entry)

    def cost(self, variant: Variant, limit: float) -> float:
        # How much of what is placed the variant would spoil: text worst, then lines. Counting
        # stops at `limit`, as nothing is gained by knowing how bad a bad place is.
        cost: float = variant.penalty
        for box in variant.boxes:
            bounds = _bounds(box.corners)
            keys = list(self._cells(bounds))
            for other in self._near_boxes(keys, bounds):
                cost += _COVERING * box.covers(other)
                if cost >= limit:
                    return cost
            for line, weight in self._near_lines(keys, bounds):
                cost += weight * box.meets(line)
            if cost >= limit:
                return cost
        room = variant.dimension.text.height if variant.dimension else 0.0
        for i, line in enumerate(variant.lines):
            bounds = _bounds(line)
            keys = list(self._cells_of_line(line))
            for other in self._near_boxes(keys, bounds):
                cost += _THROUGH * other.meets(line)
            if cost >= limit:
                return cost
            if room and i == 0:
                x1, y1, x2, y2 = bounds
                wide = (x1 - room, y1 - room, x2 + room, y2 + room)
                for placed, weight in self._near_lines(keys, wide):
                    cost += _CROWDING * (weight == _STRIKING and _crowds(line, placed, room))
        return cost

    def _near_boxes(self, keys: list[tuple[int, int]], bounds: _Bounds) -> list[Box]:
        found = {
            id(entry): entry[1]
            for key in keys
            for entry in self._boxes.get(key, ())
            if _touch(entry[0], bounds)
        }
        return list(found.values())

    def _near_lines(
        self, keys: list[tuple[int, int]], bounds: _Bounds
    ) -> list[tuple[Segment, int]]:
        found = {
            id(entry): entry[1:]
            for key in keys
            for entry in self._lines.get(key, ())
            if _touch(entry[0], bounds)
        }
        return list(found.values())

    def _cells_of_line(self, line: Segment) -> Iterator[tuple[int, int]]:
        # Cells along a line, piece by piece so that a long slant does not claim its square.
        (x1, y1), (x2, y2) = line
        if min(abs(x2 - x1), abs(y2 - y1)) < self._cell:
            return self._cells(_bounds(line))
        pieces = math.ceil(max(abs(x2 - x1), abs(y2 - y1)) / self._cell)
        stops = [
            (x1 + (x2 - x1) * i / pieces, y1 + (y2 - y1) * i / pieces) for i in range(pieces + 1)
        ]
        keys = {key for ends in pairwise(stops) for key in self._cells(_bounds(ends))}
        return iter(sorted(keys))

    def _cells(self, bounds: _Bounds) -> Iterator[tuple[int, int]]:
        x1, y1, x2, y2 = (math.floor(each / self._cell) for each in bounds)
        return ((i, j) for i in range(x1, x2 + 1) for j in range(y1, y2 + 1))


def _bounds(points: Sequence[Point]) -> _Bounds:
    (x1, y1), (x2, y2) = extent(points)
    return (x1, y1, x2, y2)


def _touch(first: _Bounds, second: _Bounds) -> bool:
    return (
        first[0] <= second[2]
        and first[2] >= second[0]
        and first[1] <= second[3]
        and first[3] >= second[1]
    )


def place(
    labels: Iterable[Iterable[Variant]],
    lines: Iterable[Segment],
    boxes: Iterable[Box],
    cell: float,
    lot: Iterable[Segment] = (),
) -> tuple[Variant, ...]:
    """Choose one variant for each label.

    Parameters
    ----------
    labels
        The variants of each label, by rising penalty and made only as far as they are asked
        for; earlier labels have the choice.
    lines
        What text should not cross where that can be helped.
    boxes
        What text must not cover.
    cell
        Side of the squares that neighbours are looked up by, m: several text heights.
    lot
        Strings, property and buried lines, which text should cross last: rather it stands
        farther off.

    Returns
    -------
    tuple of Variant
        One for each label, in the same order.
    """
    wanted = [_Made(variants) for variants in labels]
    drawn = [*((line, _CROSSING) for line in lines), *((line, _CROSSING_LOT) for line in lot)]
    covered = list(boxes)
    order = list(range(len(wanted)))
    chosen, costs = _in_order(wanted, order, drawn, covered, cell)
    for bad in _BAD if len(wanted) <= _HUGE else ():
        # Who found nothing good chooses first the next time; the best of all is kept.
        again = sorted(order, key=lambda i: (costs[i] < bad, i))
        if again == order:
            continue
        other, others = _in_order(wanted, again, drawn, covered, cell)
        if sum(others) < sum(costs):
            chosen, costs = other, others
    return tuple(chosen)


class _Made:
    """The variants of a label, made as far as they were asked for and kept for another time."""

    def __init__(self, variants: Iterable[Variant]) -> None:
        self._rest = iter(variants)
        self._made: list[Variant] = []

    def __iter__(self) -> Iterator[Variant]:
        yield from self._made
        for variant in self._rest:
            self._made.append(variant)
            yield variant


def _in_order(
    wanted: list[_Made],
    order: list[int],
    lines: list[tuple[Segment, int]],
    boxes: list[Box],
    cell: float,
) -> tuple[list[Variant], list[float]]:
    # The variant of each label and what it spoils, chosen one after the other.
    count = max(len(wanted), 1)
    tries = max(_TRIES // count, _FEWEST)
    taken = _PlacedWords(cell, max(_HELD // count, _FULL))
    for line, weight in lines:
        taken.add_line(line, weight)
    for box in boxes:
        taken.add_box(box)
    chosen, costs = [Variant()] * len(wanted), [0.0] * len(wanted)
    for i in order:
        best, least = Variant(), math.inf
        for variant in islice(wanted[i], tries):
            if least <= variant.penalty:
                break
            cost = taken.cost(variant, least)
            if cost < least:
                best, least = variant, cost
        for box in best.boxes:
            taken.add_box(box)
        for line in best.lines:
            taken.add_line(line, _STRIKING)
        chosen[i], costs[i] = best, 0.0 if math.isinf(least) else least
    return chosen, costs


def _crowds(line: Segment, other: Segment, room: float) -> bool:
    # Whether two lines run side by side nearer than `room`, m; crossing each other is not harm.
    (x1, y1), (x2, y2) = line
    run = math.hypot(x2 - x1, y2 - y1)
    if run == 0:
        return False
    along = ((x2 - x1) / run, (y2 - y1) / run)
    places = [
        (
            (x - x1) * along[0] + (y - y1) * along[1],
            (y - y1) * along[0] - (x - x1) * along[1],
        )
        for x, y in other
    ]
    (first, off), (last, other_off) = sorted(places)
    near = abs(off) < room and abs(other_off) < room
    return near and last - first > room and first < run - room and last > room
