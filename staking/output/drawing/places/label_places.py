"""Where words go on a drawing: each takes the place that spoils least of what is there.

A label comes with its variants, best first; earlier labels have the choice. The same labels
always give the same drawing.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

import numpy as np

from staking.output.drawing.drawn_words import Box, Segment, Variant
from staking.output.drawing.places.ground_columns import line_columns, word_columns
from staking.output.drawing.places.lasting_ground import LastingGround
from staking.output.drawing.places.placed_words import (
    COVERING,
    THROUGH,
    Owned,
    PlacedWords,
    PlacesOfLabel,
    together,
)

_CROSSING = 3
_CROSSING_LOT = 6
_BAD = (THROUGH, 10)
"""Who found only places that spoil this much chooses first another time."""
_TRIES = 8_000
"""How many places are tried for all labels together, so that a huge plan takes no longer."""
_HUGE = 200
"""More labels than this are placed in one go."""
_FEWEST = 4
"""How many are tried for a label at least."""
_FIRST, _NEXT = 3, 12
"""How many places of a label are made at first, as most take one of these, and later at least: to
hold places against the ground costs much the same for few as for many."""


def place(
    labels: Iterable[Iterable[Variant]],
    lines: Iterable[Segment],
    boxes: Iterable[Box],
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
    found = _in_order(wanted, order)
    assert found is not None
    chosen, costs = found
    for bad in _BAD if len(wanted) <= _HUGE else ():
        # Who found nothing good chooses first the next time; the best of all is kept.
        again = sorted(order, key=lambda i: (costs[i] < bad, i))
        if again == order:
            continue
        other = _in_order(wanted, again, less_than=sum(costs))
        if other is not None:
            chosen, costs = other
    return tuple(chosen)


class _MadePlaces:
    """The places of labels, made as far as they are asked for and kept for another time."""

    def __init__(self, labels: Iterable[Iterable[Variant]], ground: LastingGround) -> None:
        self._rest = [iter(variants) for variants in labels]
        self._made: list[list[PlacesOfLabel]] = [[] for _ in self._rest]
        self._counts = [0] * len(self._rest)
        self._ground = ground
        self._most = max(_TRIES // max(len(self._rest), 1), _FEWEST)
        self._make_for_ground()

    def __len__(self) -> int:
        return len(self._rest)

    def of(self, label: int) -> Iterator[PlacesOfLabel]:
        """Give the places of a label that are tried, some at a time, by rising penalty."""
        at = 0
        made = self._made[label]
        while True:
            if at == len(made):
                self._make([label], max(_NEXT, self._counts[label]))
            if at == len(made):
                return
            yield made[at]
            at += 1

    def least(self, label: int) -> float:
        """Give what a label spoils at least, whatever else is placed."""
        made = self._made[label]
        if not made:
            return 0.0
        # A place that is not made yet spoils as much as its penalty, which only rises.
        most = float(made[-1].variants[-1].penalty)
        return min(most, *(each.least for each in made))

    def _make_for_ground(self) -> None:
        # What the ground alone spoils of a label's places tells that more of them will be asked
        # for: those of all such labels are made together.
        short, count = list(range(len(self._rest))), _FIRST
        while short:
            before = [len(made) for made in self._made]
            self._make(short, count)
            short = [
                i
                for i in short
                if len(self._made[i]) > before[i]
                and min(each.least for each in self._made[i])
                > self._made[i][-1].variants[-1].penalty
            ]
            count *= 2
        self._made = [[together(made)] if len(made) > 1 else made for made in self._made]

    def _make(self, labels: Sequence[int], count: int) -> None:
        # So many more places of each label, held against the ground all at once.
        fresh = [
            (i, list(islice(self._rest[i], min(count, self._most - self._counts[i]))))
            for i in labels
        ]
        variants = [variant for _, each in fresh for variant in each]
        if not variants:
            return
        words = [each.words for each in variants]
        boxes = Owned.counted(
            word_columns([text for each in words for text in each]), map(len, words)
        )
        lines = Owned.counted(
            line_columns([line for variant in variants for line in variant.lines]),
            (len(variant.lines) for variant in variants),
        )
        fixed = np.array([variant.penalty for variant in variants], dtype=float)
        fixed += boxes.summed(self._ground.under_words(boxes.columns, COVERING))
        fixed += THROUGH * lines.summed(self._ground.struck_by(lines.columns))
        start = 0
        for i, each in fresh:
            end = start + len(each)
            if each:
                self._made[i].append(
                    PlacesOfLabel(
                        each, fixed[start:end], boxes.of(start, end), lines.of(start, end)
                    )
                )
            self._counts[i] += len(each)
            start = end


def _in_order(
    wanted: _MadePlaces, order: list[int], less_than: float = math.inf
) -> tuple[list[Variant], list[float]] | None:
    # The variant of each label and what it spoils, chosen one after the other; None as soon as
    # all together can no more spoil less than that.
    taken = PlacedWords()
    chosen, costs = [Variant()] * len(wanted), [0.0] * len(wanted)
    leasts = [wanted.least(i) for i in order]
    in_all = sum(leasts)
    for i, at_least in zip(order, leasts, strict=True):
        best, least = None, math.inf
        for places in wanted.of(i):
            if places.least >= least:
                continue
            found = taken.costs(places)
            at = int(found.argmin())
            if found[at] < least:
                best, least = (places, at), float(found[at])
            if least <= places.variants[-1].penalty:
                break
        if best is None:
            continue
        taken.add(*best)
        chosen[i], costs[i] = best[0].variants[best[1]], least
        in_all += least - at_least
        if in_all >= less_than:
            return None
    return chosen, costs
