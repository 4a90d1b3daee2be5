"""How few bars must do: the linear relaxation of the cutting-stock problem, pattern by pattern."""

from __future__ import annotations

import math
from collections import Counter
from itertools import count

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.order.bars.fillings import Effort, dearest

Floats = npt.NDArray[np.float64]

_ROUNDING = 1e-7
"""What the linear programme may be off by itself, in bars."""

_LINEAR = 100
"""So many numbers of the basis are worked through while one branch of a filling is looked at."""

_RENEWED = 40
"""The basis is inverted anew after so many patterns, so that rounding does not grow."""


@frozen
class Relaxed:
    """The relaxation: a bound, and what its solution uses of each pattern.

    Parameters
    ----------
    bound
        No cutting has fewer bars.
    patterns
        The pieces in a bar, and how many bars are cut in that way, parts of bars included; the
        pattern used most comes first.
    prices
        What a piece of each length is worth, in bars: no filling of a bar is worth more than 1.
    """

    bound: int
    prices: dict[int, float]
    patterns: tuple[tuple[tuple[int, ...], float], ...]


def relax(counts: Counter[int], room: int, effort: Effort, *, to_the_end: bool = False) -> Relaxed:
    """Solve the relaxation in which bars may be cut in parts.

    Parameters
    ----------
    counts
        How many there are of each length; whole numbers, each no longer than the room.
    room
        What a bar holds.
    effort
        What may be spent; the bound reached by then is taken.
    to_the_end
        Whether to go on when the bound is known, for the best prices.

    Returns
    -------
    Relaxed
        The bound and the solution.

    Notes
    -----
    Column generation: the basis' prices are put to a knapsack, whose best filling enters. At
    whatever turn it ends, prices times demand over the best filling's worth is a bound
    (Farley's), so that rounding and an early end err to the safe side; it ends where that bound,
    rounded up, has reached the solution's own.

    References
    ----------
    P. C. Gilmore, R. E. Gomory, A Linear Programming Approach to the Cutting-Stock Problem,
    Operations Research 9 (1961) 849-859. A. A. Farley, A Note on Bounding a Class of Linear
    Programming Problems, Including Cutting Stock Problems, Operations Research 38 (1990) 922-923.
    """
    sizes = sorted(counts, reverse=True)
    numbers = [counts[size] for size in sizes]
    demand = np.array(numbers, dtype=float)
    basis = np.diag([float(min(room // size, n)) for size, n in zip(sizes, numbers, strict=True)])
    inverse = np.linalg.inv(basis)
    best, safe = 0.0, np.zeros(len(sizes))
    for turn in count(1):
        if turn % _RENEWED == 0:
            inverse = np.linalg.inv(basis)
        effort.left -= len(sizes) ** 2 // _LINEAR
        prices = np.maximum(inverse.sum(axis=0), 0.0)
        filling = dearest(prices.tolist(), sizes, numbers, room, effort)
        amounts = inverse @ demand
        told = float(prices @ demand) / max(filling.limit, 1.0)
        if told > best:
            best, safe = told, prices / max(filling.limit, 1.0)
        reached = _up(best) >= _up(float(amounts.sum())) and not to_the_end
        if reached or filling.worth <= 1 + _ROUNDING or effort.spent:
            break
        column = np.array(filling.numbers, dtype=float)
        leaves = _leaving(inverse @ column, amounts)
        basis[:, leaves] = column
        inverse = _entered(inverse, column, leaves)
    used = [
        (tuple(s for s, n in zip(sizes, column, strict=True) for _ in range(round(n))), amount)
        for column, amount in zip(basis.T.tolist(), (inverse @ demand).tolist(), strict=True)
        if amount > _ROUNDING
    ]
    used.sort(key=lambda each: (each[1], each[0]), reverse=True)
    return Relaxed(
        bound=_up(best),
        prices=dict(zip(sizes, safe.tolist(), strict=True)),
        patterns=tuple(used),
    )


def _up(bars: float) -> int:
    return math.ceil(bars - _ROUNDING)


def _leaving(step: Floats, amounts: Floats) -> int:
    # The pattern that is used up first as the new one comes in.
    ratios = np.full(len(step), np.inf)
    np.divide(amounts, step, out=ratios, where=step > 1e-9)
    return int(np.argmin(ratios))


def _entered(inverse: Floats, column: Floats, at: int) -> Floats:
    # The basis' inverse with one column replaced.
    step = inverse @ column
    row = inverse[at] / step[at]
    step[at] = 0.0
    found = inverse - np.outer(step, row)
    found[at] = row
    return found


def dive(
    counts: Counter[int], room: int, effort: Effort, most: int | None = None, first: int = 0
) -> list[tuple[int, ...]] | None:
    """Make a cutting of whole bars from the relaxation.

    Parameters
    ----------
    counts, room, effort
        As in `relax`.
    most
        How many bars the cutting may have; None for any number.
    first
        The place, among the patterns used most, of the one that is cut first.

    Returns
    -------
    list of tuple or None
        The bars: the pattern used most is cut, and the relaxation is solved anew for the rest. None
        where that comes to more bars than `most`, or the effort is spent.
    """
    left = +Counter(counts)
    bars: list[tuple[int, ...]] = []
    while left:
        relaxed = relax(left, room, effort)
        if effort.spent or (most is not None and len(bars) + relaxed.bound > most):
            return None
        for pattern, amount in _taken(relaxed, 0 if bars else first):
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


def _taken(relaxed: Relaxed, first: int) -> list[tuple[tuple[int, ...], float]]:
    # The pattern that is cut next, and those that the relaxation itself cuts whole.
    chosen = relaxed.patterns[min(first, len(relaxed.patterns) - 1)]
    whole = [each for each in relaxed.patterns if each[1] >= 1 - _ROUNDING and each is not chosen]
    return [chosen] if first else [chosen, *whole]
