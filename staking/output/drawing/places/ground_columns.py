"""Boxes and lines on the ground as columns of numbers, and which of them meet.

Boxes are arrays of ten rows, one column a box: the left, low, right and high end of what it
reaches, its middle's x and y, half its width and half its height, the cosine and the sine of its
turn. Lines are arrays of eight rows: the same four, and x and y of both ends. Lengths in m.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.lines import Array
from staking.output.drawing.drawn_words import (
    AIR_BESIDE,
    LINE_HEIGHT,
    Box,
    Segment,
    Text,
    text_width,
)

Truths = npt.NDArray[np.bool_]
Counts = npt.NDArray[np.intp]

REACH = 4
"""How many rows, the first, tell what a box or a line reaches."""
BOX_ROWS, LINE_ROWS = 10, 8

_FLAT = 1e-12
"""A run, m, under this is none."""


def word_columns(texts: Sequence[Text]) -> Array:
    """Give the ground of words, as `Text.box` gives that of one.

    Parameters
    ----------
    texts
        ``n`` words.

    Returns
    -------
    Array
        Boxes, ``(10, n)``.
    """
    found = np.array(
        [
            (each.x, each.y, text_width(each.text, each.height), each.height, each.turn, each.align)
            for each in texts
        ],
        dtype=float,
    ).reshape(-1, 6)
    x, y, width, height, turn, align = found.T
    cos, sin = np.cos(turn), np.sin(turn)
    shift = align * width / -2
    half = ((width + AIR_BESIDE * height) / 2, LINE_HEIGHT * height / 2)
    return _boxes(x + shift * cos, y + shift * sin, *half, cos, sin)


def box_columns(boxes: Sequence[Box]) -> Array:
    """Write boxes as columns.

    Parameters
    ----------
    boxes
        ``n`` boxes.

    Returns
    -------
    Array
        ``(10, n)``.
    """
    found = np.array(
        [(each.x, each.y, each.width, each.height, each.turn) for each in boxes], dtype=float
    ).reshape(-1, 5)
    x, y, width, height, turn = found.T
    return _boxes(x, y, width / 2, height / 2, np.cos(turn), np.sin(turn))


def line_columns(lines: Sequence[Segment]) -> Array:
    """Write lines as columns.

    Parameters
    ----------
    lines
        ``n`` lines, m.

    Returns
    -------
    Array
        ``(8, n)``.
    """
    ends = np.array(lines, dtype=float).reshape(-1, 4).T
    made = np.empty((LINE_ROWS, ends.shape[1]))
    np.minimum(ends[:2], ends[2:], out=made[:2])
    np.maximum(ends[:2], ends[2:], out=made[2:REACH])
    made[REACH:] = ends
    return made


def _boxes(x: Array, y: Array, half: Array, tall: Array, cos: Array, sin: Array) -> Array:
    wide, high = abs(cos), abs(sin)
    across, up = half * wide + tall * high, half * high + tall * wide
    return np.array((x - across, y - up, x + across, y + up, x, y, half, tall, cos, sin))


def touching(some: Array, others: Array) -> tuple[Counts, Counts]:
    """Find which of some things reach as far as which of others.

    Parameters
    ----------
    some, others
        Boxes or lines, ``(4 or more, n)`` and ``(4 or more, m)``.

    Returns
    -------
    tuple of Counts
        ``(k,)`` places in the first and ``(k,)`` in the second.
    """
    left, low, right, high = some[:REACH, :, None]
    found = left <= others[2]
    found &= right >= others[0]
    found &= low <= others[3]
    found &= high >= others[1]
    own, there = found.nonzero()
    return own, there


def touching_all(some: Array, others: Array) -> Counts:
    """Find which of others lie where some things taken together reach.

    Parameters
    ----------
    some, others
        Boxes or lines, ``(4 or more, n)`` with at least one and ``(4 or more, m)``.

    Returns
    -------
    Counts
        ``(k,)`` places in the second.
    """
    found = others[0] <= some[2].max()
    found &= others[2] >= some[0].min()
    found &= others[1] <= some[3].max()
    found &= others[3] >= some[1].min()
    return np.flatnonzero(found)


def meet(boxes: Array, lines: Array) -> Truths:
    """Tell whether each line enters its box, as `Box.meets`.

    Parameters
    ----------
    boxes, lines
        ``(10, n)`` and ``(8, n)``.

    Returns
    -------
    Truths
        ``(n,)``.
    """
    x, y, half, tall, cos, sin = boxes[REACH:]
    x1, y1, x2, y2 = lines[REACH:]
    x1, y1, x2, y2 = x1 - x, y1 - y, x2 - x, y2 - y
    low, high = np.zeros(len(x)), np.ones(len(x))
    for start, end, reach in (
        (x1 * cos + y1 * sin, x2 * cos + y2 * sin, half),
        (y1 * cos - x1 * sin, y2 * cos - x2 * sin, tall),
    ):
        run = end - start
        flat = abs(run) < _FLAT
        if flat.any():
            # All of such a line lies between the two sides, or none of it.
            low[flat & (abs(start) > reach)] = np.inf
            run = np.where(flat, 1.0, run)
            start, reach = np.where(flat, 0.0, start), np.where(flat, np.inf, reach)
        first, second = (-reach - start) / run, (reach - start) / run
        np.maximum(low, np.minimum(first, second), out=low)
        np.minimum(high, np.maximum(first, second), out=high)
    found: Truths = low <= high
    return found


def cover(boxes: Array, others: Array) -> Truths:
    """Tell whether each two boxes share ground, as `Box.covers`.

    Parameters
    ----------
    boxes, others
        ``(10, n)`` each.

    Returns
    -------
    Truths
        ``(n,)``.
    """
    cos = abs(boxes[8] * others[8] + boxes[9] * others[9])
    sin = abs(boxes[8] * others[9] - boxes[9] * others[8])
    found: Truths = _overlap_along(boxes, others, cos, sin)
    found &= _overlap_along(others, boxes, cos, sin)
    return found


def _overlap_along(boxes: Array, others: Array, cos: Array, sin: Array) -> Truths:
    # Whether the shadows of two boxes on the axes of the first lie over one another.
    x, y, half, tall, own_cos, own_sin = boxes[REACH:]
    other_x, other_y, other_half, other_tall = others[REACH : REACH + 4]
    dx, dy = other_x - x, other_y - y
    found: Truths = abs(dx * own_cos + dy * own_sin) < half + other_half * cos + other_tall * sin
    found &= abs(dy * own_cos - dx * own_sin) < tall + other_half * sin + other_tall * cos
    return found


def crowd(lines: Array, others: Array, room: Array) -> Truths:
    """Tell whether two lines run side by side too near; crossing each other is not harm.

    Parameters
    ----------
    lines, others
        ``(8, n)`` each.
    room
        ``(n,)`` how near each two may come, m.

    Returns
    -------
    Truths
        ``(n,)``.
    """
    x1, y1, x2, y2 = lines[REACH:]
    x3, y3, x4, y4 = others[REACH:]
    dx, dy = x2 - x1, y2 - y1
    run = np.hypot(dx, dy)
    whole = np.where(run > 0, run, 1.0)
    u, v = dx / whole, dy / whole
    one, other = (x3 - x1) * u + (y3 - y1) * v, (x4 - x1) * u + (y4 - y1) * v
    first, last = np.minimum(one, other), np.maximum(one, other)
    found: Truths = (abs((y3 - y1) * u - (x3 - x1) * v) < room) & (run > 0)
    found &= abs((y4 - y1) * u - (x4 - x1) * v) < room
    found &= (last - first > room) & (first < run - room) & (last > room)
    return found
