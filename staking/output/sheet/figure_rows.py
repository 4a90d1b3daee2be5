"""Sentences whose lengths stand in larger type than their words, broken into rows."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.output.pictures.lettering import FACE, points_wide, printable

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.pdfgen.canvas import Canvas

TAPED_SIZE = 11.0
"""Size of what is taped or read on the rod, points."""
_NEVER_BROKEN = re.compile(
    r"(?P<angle>\d+\xb0[ \xa0]?\d+'[ \xa0]?\d+(?:\.\d+)?\")"
    r"|(?<![\w/.])"
    r"(?:\d+'[ \xa0]\d+(?:[ \xa0]\d+/\d+)?\"|\d+(?:[ \xa0]\d+/\d+)?\"|\d+/\d+\"|\d+'"
    r"|\d+(?:\.\d+)?[ \xa0](?:mm|m|ft))"
    r"(?!\w)"
)
"""An angle, or a length as it is written anywhere in the package."""
_SPACING = 1.18
"""From one row to the next, of the size of its words."""
_LEAST_SPACING = 1.08
"""The same, of the size of its lengths: what stands between them is smaller."""


@frozen
class FigureRow:
    """One row: pieces of text, each with its size, points."""

    pieces: tuple[tuple[str, float], ...]

    @property
    def size(self) -> float:
        """The largest type in it, points."""
        return max(size for _, size in self.pieces)

    @property
    def height(self) -> float:
        """What it takes of the page, points."""
        least = min(size for _, size in self.pieces)
        return max(_SPACING * least, _LEAST_SPACING * self.size)

    def draw(self, canvas: Canvas, x: float, y: float) -> None:
        """Draw it from its left end on its baseline, points."""
        for text, size in self.pieces:
            words = text.strip(" ")
            if words:
                canvas.setFont(FACE, size)
                gap = points_wide(" ", size) * (len(text) - len(text.lstrip(" ")))
                canvas.drawString(x + gap, y, words)
            x += points_wide(text, size)


def figure_rows(
    words: str, size: float, room: float, large: float = TAPED_SIZE
) -> tuple[FigureRow, ...]:
    """Break a sentence into rows, its lengths larger than its words and never broken.

    Parameters
    ----------
    words
        The sentence.
    size
        Of its words, points.
    room
        The width of a row, points.
    large
        Size of its lengths, points; no smaller than its words.

    Returns
    -------
    tuple of FigureRow
        At least one.
    """
    space = points_wide(" ", size)
    rows: list[list[tuple[str, float]]] = [[]]
    filled = 0.0
    for unit in _units(printable(words), size, max(size, large), room):
        wide = sum(points_wide(text, each) for text, each in unit)
        if rows[-1] and filled + space + wide <= room + 0.01:
            rows[-1] += [(" ", size), *unit]
            filled += space + wide
            continue
        if rows[-1]:
            rows.append([])
        rows[-1] += unit
        filled = wide
    return tuple(FigureRow(pieces=tuple(_joined(row))) for row in rows if row) or (
        FigureRow(pieces=(("", size),)),
    )


def _units(words: str, size: float, large: float, room: float) -> Iterator[list[tuple[str, float]]]:
    # What stands between two places where a row may end: a word, or a length with what touches it.
    for parts in _parted(words):
        yield from _fitting([(text, large if is_large else size) for text, is_large in parts], room)


@lru_cache(maxsize=4096)
def _parted(words: str) -> tuple[tuple[tuple[str, bool], ...], ...]:
    # The units of a sentence: pieces of text, and whether each is a length. Kept, as one sentence
    # is tried in several sizes and widths.
    units: list[tuple[tuple[str, bool], ...]] = []
    unit: list[tuple[str, bool]] = []
    at = 0
    for found in (*_NEVER_BROKEN.finditer(words), None):
        before = words[at : len(words) if found is None else found.start()]
        first, *more = before.split(" ")
        if first:
            unit.append((first, False))
        for word in more:
            if unit:
                units.append(tuple(unit))
            unit = [(word, False)] if word else []
        if found is not None:
            unit.append((found[0], not found["angle"]))
            at = found.end()
    if unit:
        units.append(tuple(unit))
    return tuple(units)


def _fitting(unit: list[tuple[str, float]], room: float) -> Iterator[list[tuple[str, float]]]:
    # A word longer than a row is broken; a length never is.
    if len(unit) > 1 or points_wide(unit[0][0], unit[0][1]) <= room:
        yield unit
        return
    rest, size = unit[0]
    while rest:
        fit = next(
            (n for n in range(1, len(rest)) if points_wide(rest[: n + 1], size) > room),
            len(rest),
        )
        yield [(rest[:fit], size)]
        rest = rest[fit:]


def _joined(row: list[tuple[str, float]]) -> Iterator[tuple[str, float]]:
    # Neighbours of one size are one piece.
    text, size = row[0][0].replace("\xa0", " "), row[0][1]
    for more, other in ((each.replace("\xa0", " "), at) for each, at in row[1:]):
        if other == size:
            text += more
            continue
        yield text, size
        text, size = more, other
    yield text, size
