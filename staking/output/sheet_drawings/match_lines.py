"""Match lines: where a plan too large for one sheet is cut, and what each part of it shows."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from string import ascii_uppercase
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.drawing.drawn_words import Segment, Variant
from staking.output.drawn.drawn_parts import ChainPart, CirclePart, DrawnPart, LinePart

if TYPE_CHECKING:
    from staking.plan import Point

_HAIR = 1e-3
"""A dimension may reach past a match line by so much, m: its wall may run a hair off the sheet."""
_SHIFT = 0.3
"""How far from its even place a match line may move to stay clear of corners and boards, in widths
of a part."""


@frozen
class PlanPart:
    """One part of a plan that is cut along match lines: an upright rectangle, m.

    Parameters
    ----------
    number
        From 1; from left to right, the upper row first.
    cell
        Which of the cells between the match lines it is, counted alike from 0.
    low, high
        Its lower left and upper right corner; endless on a side where nothing goes on.
    """

    number: int
    cell: int
    low: Point
    high: Point

    def holds(self, point: Point) -> bool:
        """Whether a point is this part's; every point is exactly one part's.

        Returns
        -------
        bool
            True where it is.
        """
        return all(self.low[i] <= point[i] < self.high[i] for i in (0, 1))

    def seen(self, line: Segment) -> Segment | None:
        """Cut a line to the part.

        Returns
        -------
        Segment or None
            What lies in it; None where nothing does.
        """
        (x1, y1), (x2, y2) = line
        first, last = 0.0, 1.0
        for i, (start, run) in enumerate(((x1, x2 - x1), (y1, y2 - y1))):
            if run == 0.0:
                if not self.low[i] <= start < self.high[i]:
                    return None
                continue
            enters, leaves = sorted(((self.low[i] - start) / run, (self.high[i] - start) / run))
            first, last = max(first, enters), min(last, leaves)
        if first >= last:
            return None

        def at(share: float) -> Point:
            # The ends themselves stay as they are, to the bit.
            ends = {0.0: line[0], 1.0: line[1]}
            return ends.get(share) or (x1 + (x2 - x1) * share, y1 + (y2 - y1) * share)

        return at(first), at(last)

    def kept(self, label: Iterable[Variant]) -> Iterator[Variant]:
        """Give the places of a word that lie in the part; where none does, its first, as bad.

        Yields
        ------
        Variant
            In the label's order.
        """
        first, found = None, False
        for variant in label:
            first = first or variant
            ground = [corner for box in variant.boxes for corner in box.corners]
            ground += [end for line in variant.lines for end in line]
            if all(
                self.low[i] - _HAIR <= point[i] <= self.high[i] + _HAIR
                for point in ground
                for i in (0, 1)
            ):
                found = True
                yield variant
        if not found and first is not None:
            yield first

    def own(self, labels: Iterable[tuple[Point, Iterable[Variant]]]) -> Iterator[Iterable[Variant]]:
        """Give the words of what lies in the part, held inside it.

        Parameters
        ----------
        labels
            The places of each word, with where that is which it names, m.

        Yields
        ------
        iterable of Variant
            Of each word of this part.
        """
        for named, label in labels:
            if self.holds(named):
                yield self.kept(label)


@frozen
class MatchLine:
    """A line along which a plan is cut.

    Parameters
    ----------
    name
        Its letter.
    axis
        0 for an upright line, 1 for a level one.
    at
        Its x or its y, m.
    """

    name: str
    axis: int
    at: float


@frozen
class Cut:
    """How a plan is cut into parts.

    Parameters
    ----------
    upright, level
        Where the match lines are: rising x, and rising y, m.
    blank
        The cells between them in which nothing stands, counted as one reads: they are no parts.
    """

    upright: tuple[float, ...]
    level: tuple[float, ...]
    blank: frozenset[int] = frozenset()

    @property
    def _numbers(self) -> dict[int, int]:
        # The number of each part by its cell.
        count = (len(self.upright) + 1) * (len(self.level) + 1)
        cells = [at for at in range(count) if at not in self.blank]
        return {cell: number for number, cell in enumerate(cells, start=1)}

    @property
    def parts(self) -> tuple[PlanPart, ...]:
        """The parts, the upper row first, each row from left to right."""
        xs = (-math.inf, *self.upright, math.inf)
        ys = (-math.inf, *self.level, math.inf)
        places = [
            ((left, low), (right, high))
            for low, high in reversed(list(pairwise(ys)))
            for left, right in pairwise(xs)
        ]
        return tuple(
            PlanPart(number=number, cell=cell, low=places[cell][0], high=places[cell][1])
            for cell, number in self._numbers.items()
        )

    @property
    def lines(self) -> tuple[MatchLine, ...]:
        """The match lines by their letters, the upright ones first."""
        places = [(0, at) for at in self.upright] + [(1, at) for at in self.level]
        return tuple(
            MatchLine(name=_letters(count), axis=axis, at=at)
            for count, (axis, at) in enumerate(places)
        )

    def beside(self, part: PlanPart) -> Iterator[tuple[MatchLine, int, int]]:
        """List the match lines round a part.

        Yields
        ------
        tuple
            The line, 1 where the part lies before it and -1 where past it, and the number of the
            part that goes on there.
        """
        across, numbers = len(self.upright) + 1, self._numbers
        for line in self.lines:
            step = 1 if line.axis == 0 else -across
            for side, edge in ((1, part.high), (-1, part.low)):
                other = numbers.get(part.cell + side * step)
                if edge[line.axis] == line.at and other is not None:
                    yield line, side, other


def cut_at(counts: tuple[int, int], reach: tuple[Point, Point], features: Sequence[Point]) -> Cut:
    """Cut a plan into parts of much the same size.

    Parameters
    ----------
    counts
        How many parts beside and over one another.
    reach
        Lower left and upper right corner of what is drawn, m.
    features
        What the match lines stay clear of: corners, boards, stakes, m.

    Returns
    -------
    Cut
        Each match line in the middle of the widest space near its even place.
    """
    places = []
    for axis, count in enumerate(counts):
        taken = sorted({point[axis] for point in features})
        wide = (reach[1][axis] - reach[0][axis]) / count
        even = [reach[0][axis] + wide * at for at in range(1, count)]
        places.append(tuple(_clear_of(taken, at, _SHIFT * wide) for at in even))
    return Cut(upright=places[0], level=places[1])


def _clear_of(taken: Sequence[float], even: float, shift: float) -> float:
    gaps = [
        (after - before, -abs((before + after) / 2 - even), (before + after) / 2)
        for before, after in pairwise(taken)
        if abs((before + after) / 2 - even) <= shift
    ]
    # Spaces that differ by less than a foot are alike: the nearest is taken.
    return max(gaps, key=lambda gap: (round(gap[0] / 0.3), gap[1]))[2] if gaps else even


def _letters(count: int) -> str:
    # A to Z, then AA, AB: as columns are lettered.
    word = ""
    count += 1
    while count:
        count, at = divmod(count - 1, len(ascii_uppercase))
        word = ascii_uppercase[at] + word
    return word


def cut_parts(parts: Iterable[DrawnPart], part: PlanPart, mm: float) -> Iterator[DrawnPart]:
    """Cut a drawing's lines to a part of the plan; a circle stays whole with its middle.

    Parameters
    ----------
    parts
        What is drawn, mm on paper.
    part
        The part of the plan.
    mm
        Ground that 1 mm on paper stands for, m.

    Yields
    ------
    DrawnPart
        What is seen.
    """
    low, high = (tuple(each / mm for each in corner) for corner in (part.low, part.high))
    window = PlanPart(
        number=part.number, cell=part.cell, low=(low[0], low[1]), high=(high[0], high[1])
    )
    for each in parts:
        if isinstance(each, LinePart):
            seen = window.seen((each.start, each.end))
            if seen is not None:
                yield LinePart(look=each.look, start=seen[0], end=seen[1])
        elif isinstance(each, ChainPart):
            yield from _seen_chain(each, window)
        elif isinstance(each, CirclePart) and window.holds(each.centre):
            yield each


def _seen_chain(chain: ChainPart, window: PlanPart) -> Iterator[ChainPart]:
    points = (*chain.points, chain.points[0]) if chain.closed else chain.points
    if all(window.holds(point) for point in points):
        yield chain
        return
    run: list[Point] = []
    for line in pairwise(points):
        seen = window.seen(line)
        if run and (seen is None or seen[0] != run[-1]):
            yield ChainPart(look=chain.look, points=tuple(run))
            run = []
        if seen is not None:
            run = [*(run or [seen[0]]), seen[1]]
    if run:
        yield ChainPart(look=chain.look, points=tuple(run))
