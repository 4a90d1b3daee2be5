"""The dearest filling of one bar: a knapsack, by branch and bound."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from staking.frozen import frozen

_LEAST = 1e-9
"""A filling dearer by less is not dearer."""

_FEW = 8
"""Where no more pieces than this have room, their number bounds what they are worth, too."""

_MOST_LOOKS = 40_000
"""Branches looked at before the best filling so far is taken, with a bound on what it misses."""


@dataclass(slots=True)
class Effort:
    """What may still be spent on a list of bars, in branches looked at.

    Counted, not timed, so that every machine gives the same list.
    """

    left: int

    @property
    def spent(self) -> bool:
        """Whether nothing is left."""
        return self.left <= 0


@frozen
class Filling:
    """The dearest filling found.

    Parameters
    ----------
    numbers
        How many of each length lie in the bar.
    worth
        Their prices added up.
    limit
        No filling is worth more: `worth` where the search ended by itself.
    """

    numbers: tuple[int, ...]
    worth: float
    limit: float


def dearest(
    prices: Sequence[float],
    sizes: Sequence[int],
    numbers: Sequence[int],
    room: int,
    effort: Effort,
) -> Filling:
    """Fill a bar with what is worth most.

    Parameters
    ----------
    prices, sizes, numbers
        Of each length: what one is worth, how long it is, how many there are.
    room
        What the bar holds.
    effort
        The number of branches that may still be looked at; it goes down with each.

    Returns
    -------
    Filling
        Exact to rounding; a piece without a price is left out.

    References
    ----------
    S. Martello, P. Toth, Knapsack Problems (Wiley, 1990), chapter 3: lengths in the order of
    price by length, a branch left where filling up with parts of the next does not do better.
    """
    order = [i for i in range(len(sizes)) if prices[i] > _LEAST and numbers[i] > 0]
    order.sort(key=lambda i: (-prices[i] / sizes[i], i))
    search = _FillingSearch(
        [prices[i] for i in order], [sizes[i] for i in order], [numbers[i] for i in order]
    )
    search.look(0, room, 0.0)
    found = [0] * len(sizes)
    for i, taken in search.kept:
        found[order[i]] = taken
    effort.left -= search.looks
    limit = search.best if search.looks < _MOST_LOOKS else search.relaxed(0, room, 0.0)
    return Filling(numbers=tuple(found), worth=search.best, limit=limit)


class _FillingSearch:
    """Depth-first over lengths in the order of price by length."""

    def __init__(self, prices: list[float], sizes: list[int], numbers: list[int]) -> None:
        self.prices, self.sizes, self.numbers = prices, sizes, numbers
        self.best = 0.0
        self.kept: tuple[tuple[int, int], ...] = ()
        self.taken: list[tuple[int, int]] = []
        self.looks = 0
        self.least = list(sizes)
        for i in range(len(sizes) - 2, -1, -1):
            self.least[i] = min(sizes[i], self.least[i + 1])
        self.dearest: list[list[float]] = []
        top: list[float] = []
        for price, number in zip(reversed(prices), reversed(numbers), strict=True):
            top = sorted([*top, *[price] * min(number, _FEW)])[-_FEW:]
            self.dearest.append([0.0, *accumulate(reversed(top))])
        self.dearest.reverse()
        # How long all pieces before each length are together, and what they are worth.
        self.lengths = [0, *accumulate(n * s for n, s in zip(numbers, sizes, strict=True))]
        self.worths = [0.0, *accumulate(n * p for n, p in zip(numbers, prices, strict=True))]
        self.each = [p / s for p, s in zip(prices, sizes, strict=True)]

    def relaxed(self, at: int, left: int, worth: float) -> float:
        """Bound the worth of any filling from there on, as if the last piece could be cut."""
        reach = self.lengths[at] + left
        i = bisect_right(self.lengths, reach) - 1
        worth += self.worths[i] - self.worths[at]
        if i == len(self.sizes):
            return worth
        return worth + (reach - self.lengths[i]) * self.each[i]

    def hopeless(self, at: int, left: int, worth: float) -> bool:
        """Tell whether no filling from there on can be better than the best found."""
        pieces = left // self.least[at]
        dearest = self.dearest[at]
        if pieces < len(dearest) and worth + dearest[pieces] <= self.best + _LEAST:
            return True
        return self.relaxed(at, left, worth) <= self.best + _LEAST

    def look(self, at: int, left: int, worth: float) -> None:
        """Fill the room that is left with lengths from place `at` in the list on."""
        self.looks += 1
        if worth > self.best + _LEAST:
            self.best, self.kept = worth, tuple(self.taken)
        for i in range(at, len(self.sizes)):
            if left < self.least[i] or self.looks >= _MOST_LOOKS:
                return
            size = self.sizes[i]
            if size > left:
                continue
            if self.hopeless(i, left, worth):
                return
            for take in range(min(self.numbers[i], left // size), 0, -1):
                self.taken.append((i, take))
                self.look(i + 1, left - take * size, worth + take * self.prices[i])
                self.taken.pop()
