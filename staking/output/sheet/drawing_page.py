"""A page on its side with one drawing, and beside it what is read with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, PageBreak

from staking.output.pictures.lettering import BOLD_FACE, FACE, printable
from staking.output.pictures.pdf_backend import POINTS_PER_MM, draw_picture
from staking.output.sheet.two_columns import TwoColumns

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.output.pictures.picture import Picture
    from staking.output.sheet.page_sizes import PageColumn

BESIDE = 68.0
"""Width of what stands beside the drawing, mm."""
_GAP = 5.0
"""Between the drawing and what stands beside it, mm."""
_TITLE = 9.0
"""Height of the title with the scale, mm."""
_EDGE = 3.0
"""What a drawing may take beside what it shows, mm."""
_NOTE_AT = 64.0
"""Where the sentence at the foot of the drawing begins, past the scale bar, mm."""
_BETWEEN = 20.0
"""Between two columns of what found no room beside the drawing, points."""
_AIR = 5.0
"""Under each piece beside the drawing, points."""


def drawing_room(page: PageColumn) -> tuple[float, float]:
    """Give the room for the drawing of a page.

    Returns
    -------
    tuple of float
        Width and height, mm.
    """
    return page.width - BESIDE - _GAP - _EDGE, page.height - _TITLE - _EDGE


def half_width(page: PageColumn) -> float:
    """Give the width of a column of what finds no room beside a drawing, points.

    Returns
    -------
    float
        Half the page but for the air between.
    """
    return (page.width * POINTS_PER_MM - _BETWEEN) / 2


class DrawingPage(Flowable):  # type: ignore[misc]
    """A drawing under its title, with pieces beside it from the top down.

    Parameters
    ----------
    title
        What it is.
    scale
        What is said of its scale.
    picture
        The drawing; one too large for its room is made to fit and said to be to no scale.
    beside
        What stands beside it. What finds no room there is left in `rest`.
    page
        Where the content of a page on its side goes.
    note
        A sentence at the foot of the drawing, beside its scale bar.
    """

    def __init__(
        self,
        title: str,
        scale: str,
        picture: Picture,
        beside: Sequence[Flowable],
        page: PageColumn,
        note: str = "",
    ) -> None:
        super().__init__()
        room = [each + _EDGE for each in drawing_room(page)]
        self._shrunk = min(1.0, room[0] / picture.width, room[1] / picture.height)
        self._title = title
        self._note = note
        self._scale = f"scale {scale}" if self._shrunk == 1.0 else "to no scale"
        self._picture = picture
        self.width, self.height = page.width * POINTS_PER_MM, page.height * POINTS_PER_MM - 0.5
        self._left = (page.width - BESIDE) * POINTS_PER_MM
        self._beside: list[Flowable] = []
        self.rest: list[Flowable] = []
        free = self.height - _TITLE * POINTS_PER_MM
        for piece in beside:
            high = piece.wrap(BESIDE * POINTS_PER_MM, free)[1]
            if self.rest or high > free:
                self.rest.append(piece)
                continue
            self._beside.append(piece)
            free -= high + _AIR

    def after(self, page: PageColumn) -> Iterator[Flowable]:
        """Give what found no room beside the drawing, for the next page, in two columns."""
        if self.rest:
            yield PageBreak()
            yield TwoColumns(self.rest, page.width * POINTS_PER_MM, _BETWEEN)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the title, the drawing and what stands beside it."""
        canvas, mm = self.canv, POINTS_PER_MM
        canvas.setFillColor("#000000")
        canvas.setFont(BOLD_FACE, 13)
        base = self.height - 5.0 * mm
        title = printable(self._title)
        canvas.drawString(0, base, title)
        start = canvas.stringWidth(title, BOLD_FACE, 13) + 4 * mm
        canvas.setFont(FACE, 11)
        canvas.drawString(start, base, printable(self._scale))
        canvas.saveState()
        if self._shrunk < 1.0:
            canvas.scale(self._shrunk, self._shrunk)
        draw_picture(canvas, self._picture)
        canvas.restoreState()
        if self._note:
            canvas.setFillColor("#000000")
            canvas.setFont(FACE, 8.5)
            canvas.drawString(_NOTE_AT * mm, 1.5 * mm, printable(self._note))
        top = self.height - _TITLE * mm
        for piece in self._beside:
            high = piece.wrap(BESIDE * mm, top)[1]
            piece.drawOn(canvas, self._left, top - high)
            top -= high + _AIR
