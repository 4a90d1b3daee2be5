"""What is on a drawing before words are placed: how much of it each place of a word would spoil.

Many places are held against all lines and boxes at once, in arrays: the lines of a plan do not
change while its words find their places.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from staking.lines import Array
from staking.output.drawing.drawn_words import Box, Segment
from staking.output.drawing.places.ground_columns import (
    REACH,
    Counts,
    box_columns,
    cover,
    line_columns,
    meet,
    touching,
    touching_all,
)

if TYPE_CHECKING:
    from shapely import STRtree

_FEW, _PAIRS = 2_000, 40_000
"""So many pairs are looked at without asking first what lies near, and so many one by one; of more
those that touch are looked up in a tree."""


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
        self._lines = _Looked(line_columns([line for line, _ in lines]))
        self._weights = np.array([weight for _, weight in lines], dtype=float)
        self._boxes = _Looked(box_columns(boxes))

    def under_words(self, words: Array, covering: float) -> Array:
        """Tell what words spoil of what lies under them.

        Parameters
        ----------
        words
            The ground of ``n`` words, `word_columns`.
        covering
            What it costs to cover a box.

        Returns
        -------
        Array
            ``(n,)`` the costs of the lines that run through each and of the boxes it covers.
        """
        count = words.shape[1]
        spoilt = np.zeros(count)
        own, line = self._lines.near(words)
        if len(own):
            struck = meet(words[:, own], self._lines.columns[:, line]) * self._weights[line]
            spoilt += np.bincount(own, weights=struck, minlength=count)
        own, box = self._boxes.near(words)
        if len(own):
            covered = cover(words[:, own], self._boxes.columns[:, box])
            spoilt += covering * np.bincount(own[covered], minlength=count)
        return spoilt

    def struck_by(self, lines: Array) -> Counts:
        """Count the boxes that lines run through.

        Parameters
        ----------
        lines
            ``n`` of them, `line_columns`.

        Returns
        -------
        Counts
            ``(n,)``.
        """
        own, box = self._boxes.near(lines)
        if len(own):
            own = own[meet(self._boxes.columns[:, box], lines[:, own])]
        return np.bincount(own, minlength=lines.shape[1])


class _Looked:
    """Boxes or lines, by where they lie."""

    def __init__(self, columns: Array) -> None:
        self.columns = columns

    def near(self, asked: Array) -> tuple[Counts, Counts]:
        """Find which of the asked and which of these may touch."""
        count, held = asked.shape[1], self.columns.shape[1]
        if not count or not held:
            none = np.zeros(0, dtype=np.intp)
            return none, none
        if count * held <= _FEW:
            return touching(asked, self.columns)
        kept = touching_all(asked, self.columns)
        if count * len(kept) <= _PAIRS:
            own, there = touching(asked, self.columns[:, kept])
            return own, kept[there]
        from shapely import box

        own, there = self._tree.query(box(*asked[:REACH]))
        return own, there

    @cached_property
    def _tree(self) -> STRtree:
        from shapely import STRtree, box

        left, low, right, high = self.columns[:REACH]
        return STRtree(box(left, low, right, high))
