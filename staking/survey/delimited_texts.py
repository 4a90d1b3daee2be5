"""A column of texts that grows block by block without touching what it holds."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from staking.points import Texts


class TextColumn:
    """Texts gathered into one growing array.

    A text is taken over while it is still near the processor: going through a million of them
    again at the end would cost as much as cutting them out of the lines.
    """

    def __init__(self) -> None:
        self._held: Texts = np.empty(0, dtype=object)
        self._count = 0

    def extend(self, texts: Sequence[str]) -> None:
        """Take over texts, in order."""
        end = self._count + len(texts)
        if end > len(self._held):
            # In place, so that no text held already is touched.
            self._held.resize(max(end, 2 * len(self._held)), refcheck=False)
        self._held[self._count : end] = texts
        self._count = end

    def give(self) -> Texts:
        """Return all of them, and let go of them."""
        whole, self._held = self._held, np.empty(0, dtype=object)
        whole.resize(self._count, refcheck=False)
        self._count = 0
        return whole
