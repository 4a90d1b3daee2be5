"""Half a page for one corner, set as one piece that no page break parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.output.blocks import Listing
from staking.output.pictures.lettering import BOLD_FACE, CAP_HEIGHT, FACE, line_width, printable
from staking.output.pictures.pdf_backend import POINTS_PER_MM, draw_picture
from staking.output.sheet.card.corner_sketch import Sketch
from staking.output.sheet.sheet_tables import TITLE_SIZE, listing, natural_width, table

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.output.blocks import Block
    from staking.output.sheet.card.corner_card import CornerSheet

_SIZES = ((9.2, False), (8.4, False), (7.6, False), (8.4, True), (7.6, True))
"""Sizes of the text, points, and whether boards give way to what stands beside them: the first at
which all of it fits half a page."""
_SKETCH = 54.0
"""Width and height of the sketch, mm."""
_GAP = 4.0
"""Between the two columns, and under each block, mm."""
_GIVES = 0.72
"""What boards may be narrowed to for the sake of what stands beside them."""
_FAINTEST = 5.0
"""Letters smaller than this are left out, points."""
_TITLE = 8.0
"""Height of the title line, mm."""


class CornerBlock(Flowable):  # type: ignore[misc]
    """One corner: the sketch with its levels on the left, boards, paint and tapes on the right.

    Parameters
    ----------
    layout
        The layout.
    corner
        What is said of the corner.
    width, height
        The room, mm; a corner with more to say takes more height.
    mark
        The layout's mark: a card may be cut off from its page.
    """

    def __init__(
        self, layout: Layout, corner: CornerSheet, width: float, height: float, mark: str
    ) -> None:
        super().__init__()
        self._corner = corner
        sketch = Sketch(layout, corner, _SKETCH, _SKETCH)
        self._scale = f"layout {mark}   sketch {sketch.scale}"
        self._sketch = sketch.draw()
        self._right = _SKETCH + _GAP
        wide = (width - self._right) * POINTS_PER_MM
        for self._text, self._gives in _SIZES:
            needed = self._lay_out(wide)
            if needed <= height * POINTS_PER_MM:
                break
        self.width = width * POINTS_PER_MM
        # A hair under the half, so that two always go on one page.
        self.height = max(height * POINTS_PER_MM - 0.1, needed)

    def _lay_out(self, wide: float) -> float:
        # Makes every piece and tells how high all of it is, points.
        corner = self._corner
        self._under = [self._made(each, _SKETCH * POINTS_PER_MM) for each in corner.narrow]
        self._nails, self._beside = self._top(wide)
        self._wide = [self._made(each, wide) for each in corner.wide]
        self._upper = max(_height(self._nails), _height(self._beside))
        self._from = self._wide_of_nails() if self._nails else 0.0
        left = _height(self._under) + (_SKETCH + _GAP / 2) * POINTS_PER_MM
        return max(left, self._upper + _height(self._wide)) + _TITLE * POINTS_PER_MM

    def _top(self, wide: float) -> tuple[list[Flowable], list[Flowable]]:
        # Beside the boards where there is room, else under them.
        corner = self._corner
        nails = [] if corner.nails is None else [self._made(corner.nails, wide)]
        self._nails = nails
        needed = max((natural_width(each, self._text) for each in corner.beside), default=0.0)
        tight = self._gives and self._wide_of_nails() + needed > wide if nails else False
        if tight and corner.nails is not None:
            least = _GIVES * self._wide_of_nails()
            room = max(least, wide - needed) - _GAP * POINTS_PER_MM
            nails = self._nails = [self._made(corner.nails, room)]
        room = wide - (self._wide_of_nails() if nails else 0.0)
        if needed <= room:
            return nails, [self._made(each, room) for each in corner.beside]
        nails = self._nails = [] if corner.nails is None else [self._made(corner.nails, wide)]
        return [], [*nails, *(self._made(each, wide) for each in corner.beside)]

    def _wide_of_nails(self) -> float:
        # With its title, which may be wider, and the air beside it, points.
        nails = self._corner.nails
        title = "" if nails is None else nails.title
        wide = line_width(title, self._text * TITLE_SIZE * CAP_HEIGHT, BOLD_FACE)
        return max(wide, *(_size(each)[0] for each in self._nails)) + _GAP * POINTS_PER_MM

    def _made(self, block: Block, width: float) -> Flowable:
        if isinstance(block, Listing):
            return listing(block, width, self._text)
        # A table to write in takes all the room there is.
        return table(block, width, self._text, fill=block.columns[-1].blank, tight=True)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def split(self, *_: float) -> list[Flowable]:
        """Refuse to be parted."""
        return []

    def draw(self) -> None:
        """Draw title, sketch and tables."""
        canvas, corner, mm = self.canv, self._corner, POINTS_PER_MM
        top = self.height
        canvas.setFillColor("#000000")
        base = top - 4.6 * mm
        title = printable(corner.title)
        canvas.setFont(BOLD_FACE, 13)
        canvas.drawString(0, base, title)
        canvas.setFont(FACE, 9)
        canvas.drawRightString(self.width, base, self._scale)
        start = line_width(title, 13 * CAP_HEIGHT, BOLD_FACE) + 4 * mm
        end = self.width - line_width(self._scale, 9 * CAP_HEIGHT) - 4 * mm
        # Long names take smaller letters; the sketch's arrows say the same.
        named = printable(corner.neighbours)
        size = min(9.0, 9.0 * (end - start) / max(line_width(named, 9 * CAP_HEIGHT), 1.0))
        if size >= _FAINTEST:
            canvas.setFont(FACE, size)
            canvas.drawString(start, base, named)
        canvas.setLineWidth(0.6)
        canvas.setStrokeColor("#000000")
        canvas.line(0, base - 1.6 * mm, self.width, base - 1.6 * mm)
        below = top - _TITLE * mm
        self._draw_sketch(0.0, below - _SKETCH * mm)
        self._stack(self._under, 0.0, below - (_SKETCH + _GAP / 2) * mm)
        self._stack(self._nails, self._right * mm, below)
        self._stack(self._beside, self._right * mm + self._from, below)
        self._stack(self._wide, self._right * mm, below - self._upper)

    def _draw_sketch(self, x: float, y: float) -> None:
        canvas, side = self.canv, _SKETCH * POINTS_PER_MM
        canvas.saveState()
        canvas.setLineWidth(0.4)
        canvas.rect(x, y, side, side, stroke=1, fill=0)
        clip = canvas.beginPath()
        clip.rect(x, y, side, side)
        canvas.clipPath(clip, stroke=0, fill=0)
        draw_picture(canvas, self._sketch, x / POINTS_PER_MM, y / POINTS_PER_MM)
        canvas.restoreState()

    def _stack(self, column: list[Flowable], x: float, top: float) -> None:
        for each in column:
            height = _size(each)[1]
            each.drawOn(self.canv, x, top - height)
            top -= height + _GAP / 2 * POINTS_PER_MM


def _size(piece: Flowable) -> tuple[float, float]:
    width, height = piece.wrap(0, 0)
    return width, height


def _height(column: list[Flowable]) -> float:
    # Of pieces under one another, each with the air under it, points.
    return sum(_size(each)[1] + _GAP / 2 * POINTS_PER_MM for each in column)
