"""Cut bars of one length into pieces from the fewest bars as bought.

The cutting-stock problem with one stock length: a search that fills one bar after another, the
longest piece left first, within what may be wasted if a given number of bars is to do.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache

from staking.errors import ComputationError
from staking.order.bars.fillings import Effort
from staking.order.bars.patterns import dive, relax
from staking.order.order_results import CutList, Stick

EXACT = 60
"""Up to this many pieces, whole bars apart, more effort is spent."""

_STEP = 0.001 / 320
"""Lengths, m, are counted in this, the longest of which millimetre and 1/64" are whole numbers.

Pieces and bars are rounded alike: a piece as long as the bar fits in every unit, and two pieces
that make up a bar fit into it.
"""

_LONG, _SHORT = 8_000_000, 500_000
"""Branches looked at for the relaxation and its cuttings, by `EXACT`."""

_SEARCHED, _GLANCED = 1_500_000, 100_000
"""Fillings looked at after that, by `EXACT`, before the best cutting so far is taken, its gap told.

Counted, not timed, so that every machine gives the same list.
"""

_NEARLY = 1e-6
"""What prices may be off by, in bars."""

_DIVES = 10
"""Cuttings made from the relaxation, each beginning with another of its patterns."""


def cut_list(size: int, stock: float, pieces: Sequence[tuple[float, int]]) -> CutList:
    """Cut pieces from the fewest bars.

    Parameters
    ----------
    size
        The bar's number.
    stock
        Length of a bar as bought, m.
    pieces
        Length, m, and how many.

    Returns
    -------
    CutList
        `fewest` equals `bars` where it is proved that no cutting needs fewer; else it is the
        bound that was reached.

    Raises
    ------
    ComputationError
        Where a piece is longer than the stock.

    References
    ----------
    S. Martello, P. Toth, Knapsack Problems (Wiley, 1990), chapter 8: the bound L2. The other
    bound and the patterns: `staking.order.bars.patterns`.
    """
    return _cut(size, stock, tuple(sorted(pieces)))


@lru_cache(maxsize=128)
def _cut(size: int, stock: float, pieces: tuple[tuple[float, int], ...]) -> CutList:
    # Jobs that differ in level or place alone have the same bars.
    room = round(stock / _STEP)
    counts: Counter[int] = Counter()
    for length, count in pieces:
        counts[round(length / _STEP)] += count
    if counts and max(counts) > room:
        raise ComputationError(
            "a bar to be cut is longer than the bars as bought; order longer stock"
        )
    bins, fewest = fewest_bins(counts, room)
    patterns = Counter(tuple(sorted(each, reverse=True)) for each in bins)
    sticks = [
        Stick(
            count=count,
            pieces=tuple(_metres(part) for part in pattern),
            left=max(0.0, stock - sum(map(_metres, pattern))),
        )
        for pattern, count in sorted(patterns.items(), reverse=True)
    ]
    return CutList(size=size, stock=stock, bars=len(bins), fewest=fewest, sticks=tuple(sticks))


def fewest_bins(counts: Counter[int], room: int) -> tuple[list[tuple[int, ...]], int]:
    """Pack lengths into the fewest bins.

    Parameters
    ----------
    counts
        How many there are of each length; whole numbers.
    room
        What a bin holds.

    Returns
    -------
    tuple
        What lies in each bin, and a number of bins that no packing goes below.
    """
    full: list[tuple[int, ...]] = [(length,) for length in counts.elements() if length == room]
    rest = Counter({length: n for length, n in counts.items() if length != room and n > 0})
    if not rest:
        return full, len(full)
    best = first_fit(rest, room)
    bound = _bound(sorted(rest.elements(), reverse=True), room)
    if bound < len(best):
        best, bound = _by_patterns(rest, room, best, bound)
    if bound == len(best):
        return full + best, len(full) + bound
    short = rest.total() <= EXACT
    effort = Effort(_LONG if short else _SHORT)
    prices = relax(rest, room, effort, to_the_end=True).prices
    search = _BinSearch(room, _SEARCHED if short else _GLANCED, prices)
    while bound < len(best):
        found = search.pack(tuple(sorted(rest.items(), reverse=True)), bound)
        if found is not None:
            best = found
        elif search.spent:
            break
        else:
            bound += 1
    return full + best, len(full) + min(bound, len(best))


def _by_patterns(
    rest: Counter[int], room: int, best: list[tuple[int, ...]], bound: int
) -> tuple[list[tuple[int, ...]], int]:
    # A better bound, and a cutting made from the relaxation.
    effort = Effort(_LONG if rest.total() <= EXACT else _SHORT)
    bound = min(max(bound, relax(rest, room, effort).bound), len(best))
    for first in range(_DIVES):
        if bound == len(best) or effort.spent:
            break
        best = dive(rest, room, effort, len(best) - 1, first) or best
    return best, bound


def _metres(length: int) -> float:
    return length * _STEP


def first_fit(counts: Counter[int], room: int) -> list[tuple[int, ...]]:
    """Pack lengths one after another, the longest first, each into the first bin with room.

    Parameters
    ----------
    counts
        How many there are of each length; whole numbers.
    room
        What a bin holds.

    Returns
    -------
    list of tuple
        What lies in each bin.
    """
    bins: list[list[int]] = []
    left: list[int] = []
    for length in sorted(counts.elements(), reverse=True):
        for i, space in enumerate(left):
            if length <= space:
                bins[i].append(length)
                left[i] -= length
                break
        else:
            bins.append([length])
            left.append(room - length)
    return [tuple(each) for each in bins]


def _bound(lengths: list[int], room: int) -> int:
    # Martello and Toth's L2: for each limit, long pieces stand alone, the middling ones need a
    # bin each, and the short ones fill what room those leave.
    best = math.ceil(sum(lengths) / room)
    for limit in {length for length in lengths if 2 * length <= room} | {0}:
        alone = sum(1 for length in lengths if length > room - limit)
        middle = [length for length in lengths if room - limit >= length and 2 * length > room]
        short = sum(length for length in lengths if 2 * length <= room and length >= limit)
        spare = len(middle) * room - sum(middle)
        best = max(best, alone + len(middle) + max(0, math.ceil((short - spare) / room)))
    return best


Counts = tuple[tuple[int, int], ...]


class _BinSearch:
    """Depth-first filling of a given number of bins."""

    def __init__(self, room: int, effort: int, prices: Mapping[int, float]) -> None:
        self.room = room
        self.prices = prices
        self.effort = effort
        self.each = {length: price / length for length, price in prices.items()}
        self.spent = False
        self.failed: dict[Counts, int] = {}

    def pack(self, counts: Counts, bins: int) -> list[tuple[int, ...]] | None:
        """Fill at most `bins` bins; None where that cannot be done, or the effort is spent."""
        if not counts:
            return []
        waste = bins * self.room - sum(length * n for length, n in counts)
        # No bin is worth more than 1: what all are worth short of that is given, too.
        short = bins + _NEARLY - sum(self.prices[length] * n for length, n in counts)
        if waste < 0 or short < 0 or self.failed.get(counts, -1) >= bins:
            return None
        if self.effort <= 0:
            self.spent = True
            return None
        lengths = [length for length, n in counts for _ in range(n)]
        if _bound(lengths, self.room) > bins:
            self.failed[counts] = bins
            return None
        longest = counts[0][0]
        due = 1 - short - self.prices[longest]
        for fill in self._fills(_less(counts, (longest,)), self.room - longest, waste, due):
            one = (longest, *fill)
            rest = self.pack(_less(counts, one), bins - 1)
            if rest is not None:
                return [one, *rest]
            if self.spent:
                return None
        if self.effort <= 0:
            self.spent = True
            return None
        self.failed[counts] = bins
        return None

    def _fills(
        self, counts: Counts, space: int, waste: int, due: float
    ) -> Iterator[tuple[int, ...]]:
        # Ways to fill what the longest piece leaves so that nothing more fits, the dearest and
        # then the fullest first.
        usable = [(length, n) for length, n in counts if length <= space]
        usable.sort(key=lambda each: -self.each[each[0]])
        if not usable:
            if space <= waste and due <= 0:
                yield ()
            return
        for length, _ in usable:
            if length == space:
                # One piece that fills the room exactly is as good as any other filling.
                if self.prices[length] >= due:
                    yield (length,)
                return
        found = {
            fill
            for fill in self._subsets(usable, space, space - waste, due)
            if not any(
                length <= space - sum(fill) and n > fill.count(length) for length, n in usable
            )
        }
        worth = {fill: round(sum(self.prices[p] for p in fill), 6) for fill in found}
        yield from sorted(found, key=lambda fill: (-worth[fill], -sum(fill), len(fill), fill))

    def _most(self, counts: Sequence[tuple[int, int]], space: int) -> float:
        # What a space is worth at most: dearest by length first, the last piece cut in parts.
        worth = 0.0
        for length, n in counts:
            if length * n > space:
                return worth + space * self.each[length]
            worth += n * self.prices[length]
            space -= length * n
        return worth

    def _subsets(
        self, counts: Sequence[tuple[int, int]], space: int, least: int, due: float
    ) -> Iterator[tuple[int, ...]]:
        # Subsets whose sum lies between `least` and `space`, worth what is due.
        self.effort -= 1
        if self.effort <= 0 or sum(length * n for length, n in counts) < least:
            return
        if due > 0 and self._most(counts, space) < due:
            return
        if not counts:
            yield ()
            return
        (length, n), rest = counts[0], counts[1:]
        for take in range(min(n, space // length), -1, -1):
            left = due - take * self.prices[length]
            for more in self._subsets(rest, space - take * length, least - take * length, left):
                yield (*(length,) * take, *more)


def _less(counts: Counts, taken: Sequence[int]) -> Counts:
    gone = Counter(taken)
    return tuple((length, n - gone[length]) for length, n in counts if n > gone[length])
