"""What words that are placed already leave to those that come: what each further place spoils."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from itertools import accumulate, pairwise

import numpy as np

from staking.lines import Array
from staking.output.drawing.drawn_words import Variant
from staking.output.drawing.places.ground_columns import (
    BOX_ROWS,
    LINE_ROWS,
    REACH,
    Counts,
    cover,
    crowd,
    meet,
    touching,
    touching_all,
)

STRIKING, THROUGH, COVERING, CROWDING = 10, 30, 100, 2
"""What it costs to be struck by a line of another word, to run through one, to cover one, and to
run side by side with a line of one."""
_NEAR = 400
"""So many boxes or lines near the places of a label are looked at: who has more is crowded."""
_PAIRS = 5_000
"""So many pairs are looked at without asking first what lies near."""
_NONE: Counts = np.zeros(0, dtype=np.intp)


class Owned:
    """Boxes or lines as columns, each of one of several owners, owner after owner.

    Parameters
    ----------
    columns
        ``(rows, n)``.
    counts
        How many are each owner's.
    """

    def __init__(self, columns: Array, counts: Iterable[int]) -> None:
        self.columns = columns
        self.ends = list(accumulate(counts, initial=0))
        """Where the columns of each owner end, after a first 0."""

    @cached_property
    def owners(self) -> Counts:
        """Whose each is, ``(n,)``."""
        count = len(self.ends) - 1
        return np.repeat(np.arange(count), np.diff(self.ends))

    def of(self, start: int, end: int) -> Owned:
        """Give those of the owners from `start` to before `end`."""
        first, last = self.ends[start], self.ends[end]
        counts = (after - before for before, after in pairwise(self.ends[start : end + 1]))
        return Owned(self.columns[:, first:last], counts)

    def summed(self, values: Array | Counts) -> Array:
        """Add up a value of each, ``(n,)``, for every owner."""
        sums = np.zeros(len(self.ends) - 1)
        np.add.at(sums, self.owners, values)
        return sums

    def counted(self, some: Counts) -> Counts:
        """Count for every owner which of these are its."""
        return np.bincount(self.owners[some], minlength=len(self.ends) - 1)


class PlacesOfLabel:
    """Some places that one label may take: what stands at each, in arrays.

    Parameters
    ----------
    variants
        ``n`` of them.
    fixed
        ``(n,)`` what each spoils of what is on the drawing before words are placed.
    boxes, lines
        The ground of their words and their lines, each place an owner.
    """

    def __init__(self, variants: list[Variant], fixed: Array, boxes: Owned, lines: Owned) -> None:
        self.variants = variants
        self.fixed = fixed
        self.boxes = boxes
        self.lines = lines
        measured = [
            (lines.ends[at], each.dimension.text.height)
            for at, each in enumerate(variants)
            if each.dimension is not None and each.lines
        ]
        self.measured = [at for at, _ in measured]
        self.rooms = [room for _, room in measured]
        """The lines that dimensions are written along, and how near another may come, m."""


def together(parts: Sequence[PlacesOfLabel]) -> PlacesOfLabel:
    """Put the places of one label together that were made in parts.

    Returns
    -------
    PlacesOfLabel
        All of them.
    """
    return PlacesOfLabel(
        [variant for part in parts for variant in part.variants],
        np.concatenate([part.fixed for part in parts]),
        _joined([part.boxes for part in parts]),
        _joined([part.lines for part in parts]),
    )


def _joined(parts: Sequence[Owned]) -> Owned:
    return Owned(
        np.hstack([part.columns for part in parts]),
        [after - before for part in parts for before, after in pairwise(part.ends)],
    )


class PlacedWords:
    """The words and lines that are placed already."""

    def __init__(self) -> None:
        self._boxes = _Growing(BOX_ROWS)
        self._lines = _Growing(LINE_ROWS)

    def add(self, places: PlacesOfLabel, at: int) -> None:
        """Keep what stands at one of a label's places."""
        self._boxes.add(places.boxes.of(at, at + 1).columns)
        self._lines.add(places.lines.of(at, at + 1).columns)

    def costs(self, places: PlacesOfLabel) -> Array:
        """Tell what each place would spoil, of the drawing and of what is placed.

        Returns
        -------
        Array
            ``(n,)``.
        """
        found = places.fixed.copy()
        boxes, lines = places.boxes.columns, places.lines.columns
        own, held = self._boxes.near(boxes)
        if len(own):
            own = own[cover(boxes[:, own], held)]
            found += COVERING * places.boxes.counted(own)
        own, held = self._lines.near(boxes)
        if len(own):
            own = own[meet(boxes[:, own], held)]
            found += STRIKING * places.boxes.counted(own)
        own, held = self._boxes.near(lines)
        if len(own):
            own = own[meet(held, lines[:, own])]
            found += THROUGH * places.lines.counted(own)
        if places.measured:
            found += CROWDING * self._crowded(places)
        return found

    def _crowded(self, places: PlacesOfLabel) -> Counts:
        measured, room = np.array(places.measured), np.array(places.rooms)
        lines = places.lines.columns[:, measured]
        wide = lines[:REACH].copy()
        wide[:2] -= room
        wide[2:] += room
        own, held = self._lines.near(wide)
        if len(own):
            own = own[crowd(lines[:, own], held, room[own])]
        return places.lines.counted(measured[own])


class _Growing:
    """Columns that more are added to."""

    def __init__(self, rows: int) -> None:
        self._held = np.empty((rows, 64))
        self._count = 0

    def add(self, columns: Array) -> None:
        """Add columns after those that are there."""
        end = self._count + columns.shape[1]
        if end > self._held.shape[1]:
            wider = np.empty((self._held.shape[0], 2 * end))
            wider[:, : self._count] = self._held[:, : self._count]
            self._held = wider
        self._held[:, self._count : end] = columns
        self._count = end

    def near(self, asked: Array) -> tuple[Counts, Array]:
        """Find what lies where the asked reach: which of the asked, and the columns for each."""
        count = asked.shape[1]
        held = self._held[:, : self._count]
        if not count or not self._count:
            return _NONE, held
        if count * self._count > _PAIRS:
            held = held[:, touching_all(asked, held)[:_NEAR]]
        own, there = touching(asked, held)
        return own, held[:, there] if len(own) else held
