"""Where words go on a drawing: each takes the place that spoils least of what is there.

A label comes with its variants, best first; earlier labels have the choice. The same labels
always give the same drawing.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import islice, pairwise
from typing import TypeVar

import numpy as np

from staking.output.drawing.drawn_words import Box, Segment, Variant
from staking.output.drawing.lasting_ground import LastingGround, WordRows

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


_FIRST, _NEXT = 3, 12
"""How many places of a label are made at first, as most take one of these, and later at least: to
hold places against the ground costs much the same for few as for many."""

_Held = TypeVar("_Held", Box, Segment)
_Bounds = tuple[float, float, float, float]


class _PlacedWords:
    """What is placed already, by squares of ground so that far labels cost nothing."""

    def __init__(self, cell: float, full: int) -> None:
        self._cell = cell
        self._full = full
        self._boxes: dict[tuple[int, int], list[tuple[_Bounds, Box]]] = defaultdict(list)
        self._lines: dict[tuple[int, int], list[tuple[_Bounds, Segment]]] = defaultdict(list)

    def add(self, candidate: _Candidate) -> None:
        """Keep what stands at a place."""
        for entry in zip(candidate.bounds, candidate.boxes, strict=True):
            for key in self._cells(entry[0]):
                if len(self._boxes[key]) < self._full:
                    self._boxes[key].append(entry)
        for drawn in candidate.lines:
            for key in self._cells_of_line(drawn[1]):
                if len(self._lines[key]) < self._full:
                    self._lines[key].append(drawn)

    def cost(self, candidate: _Candidate, limit: float) -> float:
        # How much the candidate would spoil of what is placed, and of the ground: text worst, then
        # lines. Counting stops at `limit`, as nothing is gained by knowing how bad a bad place is.
        cost, variant = candidate.fixed, candidate.variant
        for bounds, box in zip(candidate.bounds, candidate.boxes, strict=True):
            keys = self._cells(bounds)
            for other in _near(self._boxes, keys, bounds):
                cost += _COVERING * box.covers(other)
                if cost >= limit:
                    return cost
            for line in _near(self._lines, keys, bounds):
                cost += _STRIKING * box.meets(line)
            if cost >= limit:
                return cost
        room = variant.dimension.text.height if variant.dimension else 0.0
        for i, (bounds, line) in enumerate(candidate.lines):
            keys = self._cells_of_line(line)
            for other in _near(self._boxes, keys, bounds):
                cost += _THROUGH * other.meets(line)
            if cost >= limit:
                return cost
            if room and i == 0:
                x1, y1, x2, y2 = bounds
                wide = (x1 - room, y1 - room, x2 + room, y2 + room)
                for placed in _near(self._lines, keys, wide):
                    cost += _CROWDING * _crowds(line, placed, room)
        return cost

    def _cells_of_line(self, line: Segment) -> list[tuple[int, int]]:
        # Cells along a line, piece by piece so that a long slant does not claim its square.
        (x1, y1), (x2, y2) = line
        if min(abs(x2 - x1), abs(y2 - y1)) < self._cell:
            return self._cells(_bounds(line))
        pieces = math.ceil(max(abs(x2 - x1), abs(y2 - y1)) / self._cell)
        stops = [
            (x1 + (x2 - x1) * i / pieces, y1 + (y2 - y1) * i / pieces) for i in range(pieces + 1)
        ]
        keys = {key for ends in pairwise(stops) for key in self._cells(_bounds(ends))}
        return sorted(keys)

    def _cells(self, bounds: _Bounds) -> list[tuple[int, int]]:
        cell, floor = self._cell, math.floor
        low, high = floor(bounds[1] / cell), floor(bounds[3] / cell) + 1
        return [
            (i, j)
            for i in range(floor(bounds[0] / cell), floor(bounds[2] / cell) + 1)
            for j in range(low, high)
        ]


def _near(
    held: dict[tuple[int, int], list[tuple[_Bounds, _Held]]],
    keys: list[tuple[int, int]],
    bounds: _Bounds,
) -> list[_Held]:
    # What is held in the squares and touches the bounds, each once.
    x1, y1, x2, y2 = bounds
    found = {}
    for key in keys:
        for entry in held.get(key, ()):
            left, low, right, high = entry[0]
            if left <= x2 and right >= x1 and low <= y2 and high >= y1:
                found[id(entry)] = entry[1]
    return list(found.values())


def _bounds(line: Segment) -> _Bounds:
    (x1, y1), (x2, y2) = line
    return (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))


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
    drawn = [*((line, _CROSSING) for line in lines), *((line, _CROSSING_LOT) for line in lot)]
    wanted = _MadePlaces(labels, LastingGround(drawn, list(boxes)))
    order = list(range(len(wanted)))
    chosen, costs = _in_order(wanted, order, cell)
    for bad in _BAD if len(wanted) <= _HUGE else ():
        # Who found nothing good chooses first the next time; the best of all is kept.
        again = sorted(order, key=lambda i: (costs[i] < bad, i))
        if again == order:
            continue
        other, others = _in_order(wanted, again, cell)
        if sum(others) < sum(costs):
            chosen, costs = other, others
    return tuple(chosen)


class _Candidate:
    """A place of a label: what stands there, and what it spoils of what is on the drawing."""

    def __init__(self, variant: Variant, bounds: list[_Bounds], fixed: float) -> None:
        self.variant = variant
        self.bounds = bounds
        self.fixed = fixed

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        return self.variant.boxes

    @cached_property
    def lines(self) -> list[tuple[_Bounds, Segment]]:
        return [(_bounds(line), line) for line in self.variant.lines]


class _MadePlaces:
    """The places of labels, made as far as they are asked for and kept for another time."""

    def __init__(self, labels: Iterable[Iterable[Variant]], ground: LastingGround) -> None:
        self._rest = [iter(variants) for variants in labels]
        self._made: list[list[_Candidate]] = [[] for _ in self._rest]
        self._ground = ground
        self.most = max(_TRIES // max(len(self._rest), 1), _FEWEST)
        self._make_for_ground()

    def _make_for_ground(self) -> None:
        # What the ground alone spoils of a label's places tells that more of them will be asked
        # for: those of all such labels are made together.
        short, count = list(range(len(self._rest))), _FIRST
        while short:
            before = {i: len(self._made[i]) for i in short}
            self._make(short, count)
            short = [
                i
                for i in short
                if before[i] < len(self._made[i]) < self.most
                and min(each.fixed for each in self._made[i]) > self._made[i][-1].variant.penalty
            ]
            count *= 2

    def __len__(self) -> int:
        return len(self._rest)

    def of(self, label: int) -> Iterator[_Candidate]:
        """Give the places of a label that are tried, in their order."""
        at = 0
        made = self._made[label]
        while True:
            if at == len(made) and at < self.most:
                self._make([label], max(_NEXT, at))
            if at == len(made):
                return
            yield made[at]
            at += 1

    def _make(self, labels: Iterable[int], count: int) -> None:
        # So many more places of each label, held against the ground all at once.
        fresh = [
            (i, variant)
            for i in labels
            for variant in islice(self._rest[i], min(count, self.most - len(self._made[i])))
        ]
        words = [variant.words for _, variant in fresh]
        rows = WordRows([text for own in words for text in own])
        spoilt = self._ground.under_words(rows, _COVERING).tolist()
        reach = list(map(tuple, np.hstack((rows.low, rows.high)).tolist()))
        struck = self._ground.struck_by([line for _, each in fresh for line in each.lines]).tolist()
        word = line = 0
        for (i, variant), own in zip(fresh, words, strict=True):
            after, last = word + len(own), line + len(variant.lines)
            fixed = variant.penalty + sum(spoilt[word:after]) + _THROUGH * sum(struck[line:last])
            self._made[i].append(_Candidate(variant, reach[word:after], fixed))
            word, line = after, last


def _in_order(
    wanted: _MadePlaces, order: list[int], cell: float
) -> tuple[list[Variant], list[float]]:
    # The variant of each label and what it spoils, chosen one after the other.
    count = max(len(wanted), 1)
    taken = _PlacedWords(cell, max(_HELD // count, _FULL))
    chosen, costs = [Variant()] * len(wanted), [0.0] * len(wanted)
    for i in order:
        best, least = _NOTHING, math.inf
        for each in wanted.of(i):
            if least <= each.variant.penalty:
                break
            cost = each.fixed if each.fixed >= least else taken.cost(each, least)
            if cost < least:
                best, least = each, cost
        taken.add(best)
        chosen[i], costs[i] = best.variant, 0.0 if math.isinf(least) else least
    return chosen, costs


_NOTHING = _Candidate(Variant(), [], 0.0)


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
