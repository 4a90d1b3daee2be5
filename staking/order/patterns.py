"""How few bars must do: the linear relaxation of the cutting-stock problem, pattern by pattern."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

_ROUNDING = 1e-7
"""What the linear programme may be off by itself, in bars."""

_MOST_TURNS = 150
"""Patterns taken into the basis before the bound reached so far is taken."""

_MARKS = 2_400
"""A bar is divided into at most so many marks to look for its dearest filling."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """The relaxation: a bound, and what its solution uses of each pattern.

    Parameters
    ----------
    bound
        No cutting has fewer bars.
    patterns
        Pieces in a bar, and how many bars are cut so, parts of bars among them.
    """

    bound: int
    patterns: tuple[tuple[tuple[int, ...], float], ...]


def relax(counts: Counter[int], room: int) -> Relaxed:
    """Solve the relaxation in which bars may be cut in parts.

    Parameters
    ----------
    counts
        How many there are of each length; whole numbers, each shorter than the room.
    room
        What a bar holds.

    Returns
    -------
    Relaxed
        The bound and the solution.

    Notes
    -----
    Column generation: the basis' prices are put to a knapsack, whose best filling enters. At
    whatever turn it ends, prices times demand over the best filling's worth is a bound
    (Farley's), so that rounding and an early end err to the safe side.

    References
    ----------
    P. C. Gilmore, R. E. Gomory, A Linear Programming Approach to the Cutting-Stock Problem,
    Operations Research 9 (1961) 849-859. A. A. Farley, A Note on Bounding a Class of Linear
    Programming Problems, Including Cutting Stock Problems, Operations Research 38 (1990) 922-923.
    """
    sizes = sorted(counts, reverse=True)
    demand = np.array([counts[size] for size in sizes], dtype=float)
    basis = np.diag([float(min(room // size, counts[size])) for size in sizes])
    prices = np.zeros(len(sizes))
    for _ in range(_MOST_TURNS):
        prices = np.maximum(np.linalg.solve(basis.T, np.ones(len(sizes))), 0.0)
        filling = _dearest(prices, sizes, counts, room)
        if prices @ filling <= 1 + _ROUNDING:
            break
        step = np.linalg.solve(basis, filling)
        amounts = np.linalg.solve(basis, demand)
        ratios = np.where(step > 1e-9, amounts / np.where(step > 1e-9, step, 1.0), np.inf)
        basis[:, int(np.argmin(ratios))] = filling
    amounts = np.linalg.solve(basis, demand)
    patterns = tuple(
        (tuple(s for s, n in zip(sizes, column, strict=True) for _ in range(round(n))), amount)
        for column, amount in zip(basis.T.tolist(), amounts.tolist(), strict=True)
        if amount > _ROUNDING
    )
    best = float(prices @ demand) / max(_worth(prices, sizes, counts, room), 1.0)
    return Relaxed(bound=math.ceil(best - _ROUNDING), patterns=patterns)


def dive(counts: Counter[int], room: int) -> list[tuple[int, ...]]:
    """Make a cutting of whole bars from the relaxation.

    Parameters
    ----------
    counts, room
        As in `relax`.

    Returns
    -------
    list of tuple
        Bars: the pattern used most is cut, and what is left is relaxed anew.
    """
    left = Counter(counts)
    bars: list[tuple[int, ...]] = []
    while left:
        pattern, amount = max(relax(left, room).patterns, key=lambda each: (each[1], each[0]))
        for _ in range(max(1, math.floor(amount + _ROUNDING))):
            own = []
            for length in pattern:
                if left[length] > 0:
                    left[length] -= 1
                    own.append(length)
            if own:
                bars.append(tuple(own))
        left = +left
    return bars


def _mark(sizes: list[int], room: int) -> int:
    # What a mark is long: so much that all lengths are whole marks, or that there are not too
    # many of them.
    scale = math.gcd(room, *sizes)
    return scale if room // scale <= _MARKS else math.ceil(room / _MARKS)


def _dearest(prices: Floats, sizes: list[int], counts: Counter[int], room: int) -> Floats:
    # The dearest filling of a bar but for marks: pieces are rounded up, so that they do fit.
    mark = _mark(sizes, room)
    up = [-(-size // mark) for size in sizes]
    return _fill(prices, up, [counts[size] for size in sizes], room // mark)[1]


def _worth(prices: Floats, sizes: list[int], counts: Counter[int], room: int) -> float:
    # What no filling of a bar is worth more than: pieces are rounded down, the bar up.
    mark = _mark(sizes, room)
    down = [size // mark for size in sizes]
    return _fill(prices, down, [counts[size] for size in sizes], -(-room // mark))[0]


def _fill(prices: Floats, marks: list[int], numbers: list[int], room: int) -> tuple[float, Floats]:
    # The bounded knapsack by tables: the worth of every mark, piece by piece.
    worth = np.zeros(room + 1)
    kept: list[tuple[int, Flags]] = []
    for i, (mark, number) in enumerate(zip(marks, numbers, strict=True)):
        for _ in range(min(number, room // mark) if prices[i] > 0 else 0):
            better = worth[: room + 1 - mark] + prices[i] > worth[mark:]
            if not better.any():
                break
            raised = worth.copy()
            raised[mark:][better] = (worth[: room + 1 - mark] + prices[i])[better]
            worth = raised
            kept.append((i, better))
    filling = np.zeros(len(marks))
    at = room
    for i, better in reversed(kept):
        if at >= marks[i] and better[at - marks[i]]:
            filling[i] += 1
            at -= marks[i]
    return float(worth[room]), filling
