"""Squaring a rectangle by its diagonals and by 3-4-5, without a job."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.tolerances import ON_LINE


@frozen
class RightTriangle:
    """A right triangle of sides 3, 4 and 5 times one length, m.

    `short` is taped along the shorter side of the rectangle, `long` along the longer one.
    """

    short: float
    long: float
    across: float


@frozen
class SideSlide:
    """What sliding a side along its own line does to the diagonals, m.

    `side` is the length of the side that slides, `by` how far, and `difference` what the longer
    diagonal then has over the shorter.
    """

    side: float
    by: float
    difference: float


def diagonal(width: float, length: float) -> float:
    """Return the diagonal of a rectangle.

    Parameters
    ----------
    width, length
        The sides, m.

    Returns
    -------
    float
        The diagonal, m.

    References
    ----------
    Pythagoras: Euclid, Elements, book I, proposition 47.
    """
    return math.hypot(width, length)


def fitting_triangles(width: float, length: float, step: float) -> tuple[RightTriangle, ...]:
    """Return the 3-4-5 triangles that fit in a corner of a rectangle, the largest first.

    Parameters
    ----------
    width, length
        The sides, m.
    step
        What the triangles are whole multiples of, m: 3, 4 and 5 times 1, 2, 3 ... `step`.

    Returns
    -------
    tuple[RightTriangle, ...]
        Empty where not even the smallest fits. The 4 lies along the longer side, which never fits
        less than the 3 would.
    """
    short, long = sorted((width, length))
    most = math.floor(min(short / 3.0, long / 4.0) / step + ON_LINE)
    return tuple(
        RightTriangle(short=3.0 * k * step, long=4.0 * k * step, across=5.0 * k * step)
        for k in range(most, 0, -1)
    )


def slide(side: float, depth: float, by: float) -> SideSlide:
    """Return how far the diagonals differ when one side slides along its own line.

    Parameters
    ----------
    side
        The side that slides, m.
    depth
        How far it is from the opposite side, m; it stays that.
    by
        How far it slides, m.

    Returns
    -------
    SideSlide
        The difference of the diagonals ``d1`` and ``d2`` of the parallelogram:
        ``d1**2 - d2**2 = 4 * side * by``.
    """
    longer = math.hypot(side + by, depth)
    shorter = math.hypot(side - by, depth)
    return SideSlide(side=side, by=by, difference=4.0 * side * by / (longer + shorter))
