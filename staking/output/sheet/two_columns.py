"""Narrow tables set in two columns, so that a job takes less paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

if TYPE_CHECKING:
    from collections.abc import Sequence

_AIR = 8.0
"""Under each table, points."""
_STEP = 12.0
"""Heights tried, points apart."""
_SHORT = 200.0
"""Less room than this at the foot of a page is left, points."""
_WHOLE = 160.0
"""A table no higher than this is not parted, points."""


class TwoColumns(Flowable):  # type: ignore[misc]
    """Tables that follow on one another down the left column and then down the right one.

    Parameters
    ----------
    pieces
        The tables.
    width, gap
        Of both columns together, and between them, points.
    """

    def __init__(self, pieces: Sequence[Flowable], width: float, gap: float) -> None:
        super().__init__()
        self._pieces = list(pieces)
        self._gap = gap
        self._column = (width - gap) / 2
        self.width = width
        self._placed: list[list[Flowable]] = []

    def wrap(self, _: float, most: float) -> tuple[float, float]:
        """Find the least height at which all of it fits; too high where none does."""
        whole = sum(self._high(each) + _AIR for each in self._pieces)
        end = min(most, whole + _STEP)
        height = min(whole / 2, end)
        while True:
            self._placed, rest = self._fill(height)
            if not rest:
                self.height = max(
                    sum(self._high(each) + _AIR for each in column) - _AIR
                    for column in self._placed
                )
                return self.width, self.height
            if height >= end:
                return self.width, most + 1.0
            height = min(height + _STEP, end)

    def split(self, _: float, most: float) -> list[Flowable]:
        """Put on a page what it holds, and keep the rest."""
        if most < _SHORT:
            return []
        placed, rest = self._fill(most)
        if not placed[0] or not rest:
            return []
        first = _Placed(placed, self.width, self._column + self._gap, most)
        return [first, TwoColumns(rest, self.width, self._gap)]

    def draw(self) -> None:
        """Draw both columns."""
        _draw(self.canv, self._placed, self._column + self._gap, self.height)

    def _high(self, piece: Flowable) -> float:
        return float(piece.wrap(self._column, 1e6)[1])

    def _fill(self, height: float) -> tuple[list[list[Flowable]], list[Flowable]]:
        rest = list(self._pieces)
        placed: list[list[Flowable]] = []
        for _ in range(2):
            column: list[Flowable] = []
            room = height
            while rest:
                high = self._high(rest[0])
                if high <= room:
                    column.append(rest.pop(0))
                    room -= high + _AIR
                    continue
                parts = rest[0].split(self._column, room) if high > _WHOLE else []
                if len(parts) > 1:
                    column.append(parts[0])
                    rest[:1] = parts[1:]
                break
            placed.append(column)
        return placed, rest


class _Placed(Flowable):  # type: ignore[misc]
    """Two columns that fill a page."""

    def __init__(
        self, columns: list[list[Flowable]], width: float, right: float, height: float
    ) -> None:
        super().__init__()
        self._columns = columns
        self._right = right
        self.width, self.height = width, height - 0.01

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw both columns."""
        _draw(self.canv, self._columns, self._right, self.height)


def _draw(canvas: object, columns: list[list[Flowable]], right: float, top: float) -> None:
    for x, column in zip((0.0, right), columns, strict=True):
        y = top
        for piece in column:
            height = piece.wrap(right, 1e6)[1]
            piece.drawOn(canvas, x, y - height)
            y -= height + _AIR
