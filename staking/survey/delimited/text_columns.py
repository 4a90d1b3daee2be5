"""Columns gathered block by block without touching what is held already."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.points import Array, Texts


class TextColumn:
    """Texts gathered into one growing array.

    A text is taken over while it is still near the processor: going through a million of them
    again at the end would cost as much as cutting them out of the lines.
    """

    def __init__(self) -> None:
        self._held: Texts = np.empty(0, dtype=object)
        self._count = 0

    def extend(self, texts: Sequence[str]) -> Texts:
        """Take over texts, in order, and show them as they are held; not to be kept."""
        end = self._count + len(texts)
        if end > len(self._held):
            # In place, so that no text held already is touched.
            self._held.resize(max(end, 2 * len(self._held)), refcheck=False)
        held = self._held[self._count : end]
        held[:] = texts
        self._count = end
        return held

    def give(self) -> Texts:
        """Return all of them, and let go of them."""
        whole, self._held = self._held, np.empty(0, dtype=object)
        whole.resize(self._count, refcheck=False)
        self._count = 0
        return whole


def joined(parts: list[npt.NDArray[np.int64]]) -> npt.NDArray[np.int64]:
    """Join whole numbers into one array and let go of the parts.

    Returns
    -------
    numpy.ndarray
        ``(n,)``.
    """
    whole = np.concatenate(parts) if parts else np.empty(0, dtype=np.int64)
    parts.clear()
    return whole


def scaled(parts: list[Array], factor: float) -> Array:
    """Join numbers into one array, each multiplied by `factor`, and let go of the parts.

    Returns
    -------
    numpy.ndarray
        ``(n,)``.
    """
    whole = np.empty(sum(map(len, parts)))
    at = 0
    for part in parts:
        np.multiply(part, factor, out=whole[at : at + len(part)])
        at += len(part)
    parts.clear()
    return whole
