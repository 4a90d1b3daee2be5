"""What is on a drawing before words are placed: how much of it each place of a word would spoil.

All places asked about at once are held against all lines and boxes at once, in arrays: the lines of
a plan do not change while its words find their places.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from shapely import STRtree

Truths = npt.NDArray[np.bool_]
Counts = npt.NDArray[np.intp]

_FLAT = 1e-12
"""A run, m, or a sine under this is none."""


class WordRows:
    """The ground of many words at once, as `Text.box` gives that of one.

    Parameters
    ----------
    texts
        ``n`` words. `rows` are ``(n, 6)``: the boxes' middle, half their width and height, cosine
        and sine of their turn; `low` and `high` are ``(n, 2)``, the corners of what they reach.
    """

    def __init__(self, texts: Sequence[Text]) -> None:
        found = np.array(
            [
                (each.x, each.y, text_width(each.text, each.height), each.height, each.turn,
                 each.align)
                for each in texts
            ],
            dtype=float,
        ).reshape(-1, 6)  # fmt: skip
        cos, sin = np.cos(found[:, 4]), np.sin(found[:, 4])
        width, height = found[:, 2], found[:, 3]
        shift = -found[:, 5] * width / 2
        self.rows: Array = np.column_stack((
            found[:, 0] + shift * cos,
            found[:, 1] + shift * sin,
            (width + AIR_BESIDE * height) / 2,
            LINE_HEIGHT * height / 2,
            cos,
            sin,
        ))
        self.low, self.high = _bounds(self.rows)


class LastingGround:
    """Lines and boxes that stay as they are.

    Parameters
    ----------
    lines
        Lines, m, each with what it costs a word that it runs through.
    boxes
        What is covered, m.
    """

    def __init__(self, lines: Sequence[tuple[Segment, int]], boxes: Sequence[Box]) -> None:
        self._lines = np.array([line for line, _ in lines], dtype=float).reshape(-1, 2, 2)
        self._weights = np.array([weight for _, weight in lines], dtype=float)
        self._boxes = _rows(boxes)
        self._line_tree = _tree(self._lines.min(axis=1), self._lines.max(axis=1))
        self._box_tree = _tree(*_bounds(self._boxes))

    def under_words(self, words: WordRows, covering: float) -> Array:
        """Tell what words spoil of what lies under them.

        Parameters
        ----------
        words
            ``n`` of them.
        covering
            What it costs to cover a box.

        Returns
        -------
        Array
            ``(n,)`` the costs of the lines that run through each and of the boxes it covers.
        """
        rows = words.rows
        own, line = _near(self._line_tree, words.low, words.high)
        struck = _meet(rows[own], self._lines[line]) * self._weights[line]
        spoilt = np.bincount(own, weights=struck, minlength=len(rows))
        own, box = _near(self._box_tree, words.low, words.high)
        covered = _cover(rows[own], self._boxes[box])
        return spoilt + covering * np.bincount(own, weights=covered, minlength=len(rows))

    def struck_by(self, lines: Sequence[Segment]) -> Counts:
        """Count the boxes that lines run through.

        Parameters
        ----------
        lines
            ``n`` of them, m.

        Returns
        -------
        Counts
            ``(n,)``.
        """
        ends = np.array(lines, dtype=float).reshape(-1, 2, 2)
        own, box = _near(self._box_tree, ends.min(axis=1), ends.max(axis=1))
        met = _meet(self._boxes[box], ends[own])
        return np.bincount(own[met], minlength=len(ends))


def _rows(boxes: Sequence[Box]) -> Array:
    # x, y, half width, half height, cosine, sine
    found = np.array(
        [(each.x, each.y, each.width, each.height, each.turn) for each in boxes], dtype=float
    ).reshape(-1, 5)
    turn = found[:, 4]
    return np.column_stack((found[:, :2], found[:, 2:4] / 2, np.cos(turn), np.sin(turn)))


def _bounds(rows: Array) -> tuple[Array, Array]:
    centre, half, cos, sin = rows[:, :2], rows[:, 2:4], abs(rows[:, 4:5]), abs(rows[:, 5:6])
    reach = np.hstack((
        half[:, :1] * cos + half[:, 1:] * sin,
        half[:, :1] * sin + half[:, 1:] * cos,
    ))
    return centre - reach, centre + reach


def _tree(low: Array, high: Array) -> STRtree:
    from shapely import STRtree, box

    return STRtree(box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))


def _near(tree: STRtree, low: Array, high: Array) -> tuple[Array, Array]:
    # Which of the asked and which in the tree may touch.
    from shapely import box

    own, there = tree.query(box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    return own, there


def _local(rows: Array, points: Array) -> tuple[Array, Array]:
    dx, dy = points[:, 0] - rows[:, 0], points[:, 1] - rows[:, 1]
    return dx * rows[:, 4] + dy * rows[:, 5], dy * rows[:, 4] - dx * rows[:, 5]


def _meet(rows: Array, lines: Array) -> Truths:
    # Whether each line enters its box, as `Box.meets`.
    starts = _local(rows, lines[:, 0])
    ends = _local(rows, lines[:, 1])
    low, high = np.zeros(len(rows)), np.ones(len(rows))
    inside = np.ones(len(rows), dtype=bool)
    for i in (0, 1):
        start, run, half = starts[i], ends[i] - starts[i], rows[:, 2 + i]
        flat = abs(run) < _FLAT
        steps = np.where(flat, 1.0, run)
        first, second = (-half - start) / steps, (half - start) / steps
        inside &= ~flat | (abs(start) <= half)
        low = np.where(flat, low, np.maximum(low, np.minimum(first, second)))
        high = np.where(flat, high, np.minimum(high, np.maximum(first, second)))
    return np.logical_and(inside, low <= high)


def _cover(rows: Array, others: Array) -> Truths:
    # Whether each two boxes share ground, as `Box.covers`.
    cos = abs(rows[:, 4] * others[:, 4] + rows[:, 5] * others[:, 5])
    sin = abs(rows[:, 4] * others[:, 5] - rows[:, 5] * others[:, 4])
    return np.logical_and(
        _overlap_along(rows, others, cos, sin), _overlap_along(others, rows, cos, sin)
    )


def _overlap_along(rows: Array, others: Array, cos: Array, sin: Array) -> Truths:
    # Whether the shadows of two boxes on the axes of the first lie over one another.
    x, y = _local(rows, others[:, :2])
    width = rows[:, 2] + others[:, 2] * cos + others[:, 3] * sin
    height = rows[:, 3] + others[:, 2] * sin + others[:, 3] * cos
    return np.logical_and(abs(x) < width, abs(y) < height)
