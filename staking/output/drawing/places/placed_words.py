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
    ends
        Where the columns of each owner end, after a first 0.
    """

    def __init__(self, columns: Array, ends: list[int]) -> None:
        self.columns = columns
        self.ends = ends

    @classmethod
    def counted(cls, columns: Array, counts: Iterable[int]) -> Owned:
        """Make it from how many are each owner's."""
        return cls(columns, list(accumulate(counts, initial=0)))

    @cached_property
    def owners(self) -> Counts:
        """Whose each is, ``(n,)``."""
        return np.repeat(np.arange(len(self.ends) - 1), np.diff(self.ends))

    def of(self, start: int, end: int) -> Owned:
        """Give those of the owners from `start` to before `end`."""
        first, last = self.ends[start], self.ends[end]
        ends = [each - first for each in self.ends[start : end + 1]]
        made = Owned(self.columns[:, first:last], ends)
        made.owners = self.owners[first:last] - start
        return made

    def of_one(self, owner: int) -> Array:
        """Give the columns of one owner."""
        return self.columns[:, self.ends[owner] : self.ends[owner + 1]]

    def summed(self, values: Array | Counts) -> Array:
        """Add up a value of each, ``(n,)``, for every owner."""
        count = len(self.ends) - 1
        return np.asarray(np.bincount(self.owners, weights=values, minlength=count), dtype=float)

    def count(self, some: Counts) -> Counts:
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
        self.least = float(fixed.min())
        """What the best of them spoils of that."""
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
    return Owned.counted(
        np.hstack([part.columns for part in parts]),
        (after - before for part in parts for before, after in pairwise(part.ends)),
    )


class PlacedWords:
    """The words and lines that are placed already."""

    def __init__(self) -> None:
        self._boxes = _Growing(BOX_ROWS)
        self._lines = _Growing(LINE_ROWS)

    def add(self, places: PlacesOfLabel, at: int) -> None:
        """Keep what stands at one of a label's places."""
        self._boxes.add(places.boxes.of_one(at))
        self._lines.add(places.lines.of_one(at))

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
            found += COVERING * places.boxes.count(own)
        struck, striking = self._lines.near(boxes)
        through, held = self._boxes.near(lines)
        if len(struck) or len(through):
            met = meet(
                np.hstack((boxes[:, struck], held)), np.hstack((striking, lines[:, through]))
            )
            found += STRIKING * places.boxes.count(struck[met[: len(struck)]])
            found += THROUGH * places.lines.count(through[met[len(struck) :]])
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
        return places.lines.count(measured[own])


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
            return _NONE, held[:, :0]
        if count * self._count > _PAIRS:
            held = held[:, touching_all(asked, held)[:_NEAR]]
        own, there = touching(asked, held)
        return own, held[:, there]
