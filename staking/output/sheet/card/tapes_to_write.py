"""The tapes of a narrow card: each with its reading, and under it the boxes to write into."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.output.pictures.lettering import BOLD_FACE, CAP_HEIGHT, FACE, line_width, printable
from staking.output.pictures.pdf_backend import BLACK, ink
from staking.output.sheet.sheet_tables import broken

if TYPE_CHECKING:
    from staking.output.blocks import Table

_LABEL = 8.0
"""Size of the words in a box, points."""
_BOX = 14.0
"""Height of a box, points."""
_UNDER = 3.0
"""Air over and under a box, points."""
_LINE = 1.2
"""From one line to the next, of the size."""
_BETWEEN = 4.0
"""Between two columns of figures, points."""


class TapesToWrite(Flowable):  # type: ignore[misc]
    """A table of tapes whose columns to write in stand as boxes under each row.

    Parameters
    ----------
    block
        The table: what is taped first, then its figures, then the columns to write in.
    width
        The room, points.
    size
        Size of the figures, points.
    """

    def __init__(self, block: Table, width: float, size: float) -> None:
        super().__init__()
        self._size = size
        self._heads = [printable(each.heading) for each in block.columns if not each.blank]
        self._boxes = [printable(each.heading) for each in block.columns if each.blank]
        rows = [[printable(cell) for cell in row[: len(self._heads)]] for row in block.rows]
        self._wide = [
            max(
                line_width(self._heads[at], size * CAP_HEIGHT, BOLD_FACE),
                *(line_width(row[at], size * CAP_HEIGHT) for row in rows),
            )
            for at in range(1, len(self._heads))
        ]
        room = width - sum(self._wide) - _BETWEEN * len(self._wide)
        self._rows = [(broken(row[0], FACE, size, room), row[1:]) for row in rows]
        longest = max(
            line_width(word, size * CAP_HEIGHT) for row in rows for word in row[0].split()
        )
        self.broken = longest > room
        """Whether a name is broken over two lines."""
        self.width = width
        self.height = _LINE * size * (1 + sum(len(lines) for lines, _ in self._rows))
        self.height += len(self._rows) * (_BOX + _UNDER)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Write the rows and rule the boxes."""
        canvas, size = self.canv, self._size
        canvas.setFillColor(ink(BLACK))
        canvas.setStrokeColor(ink(BLACK))
        y = self.height - size
        canvas.setFont(BOLD_FACE, size)
        self._write(self._heads[0], self._heads[1:], y)
        canvas.setLineWidth(0.7)
        canvas.line(0, y - 2.2, self.width, y - 2.2)
        for lines, figures in self._rows:
            for at, words in enumerate(lines):
                y -= _LINE * size
                canvas.setFont(FACE, size)
                self._write(words, figures if at == 0 else (), y)
            y -= _BOX + _UNDER
            self._rule(y + 0.5)

    def _write(self, words: str, figures: list[str] | tuple[()], y: float) -> None:
        canvas, x = self.canv, self.width
        canvas.drawString(0, y, words)
        for text, wide in zip(reversed(figures), reversed(self._wide), strict=False):
            canvas.drawRightString(x, y, text)
            x -= wide + _BETWEEN

    def _rule(self, y: float) -> None:
        canvas, wide = self.canv, self.width / len(self._boxes)
        canvas.setLineWidth(0.5)
        canvas.setFont(FACE, _LABEL)
        for at, label in enumerate(self._boxes):
            canvas.rect(at * wide, y, wide, _BOX, stroke=1, fill=0)
            canvas.drawString(at * wide + 2.0, y + _BOX - _LABEL, label)
