"""A picture set on a page as one piece that no page break parts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.output.pictures.pdf_backend import POINTS_PER_MM, draw_picture

if TYPE_CHECKING:
    from staking.output.pictures.picture import Picture
    from staking.output.sheet.page_sizes import PageColumn

_AIR = 2.0
"""Under each picture, mm."""


class Whole(Flowable):  # type: ignore[misc]
    """A piece that no page break parts."""

    def __init__(self, piece: Flowable) -> None:
        super().__init__()
        self._piece = piece

    def wrap(self, width: float, high: float) -> tuple[float, float]:
        """Give the size, points."""
        self.width, self.height = self._piece.wrap(width, high)
        return self.width, self.height

    def split(self, *_: float) -> list[Flowable]:
        """Refuse to be parted."""
        return []

    def draw(self) -> None:
        """Draw the piece."""
        self._piece.drawOn(self.canv, 0, 0)


class TitledPicture(Flowable):  # type: ignore[misc]
    """A picture under its title, which stay together.

    Parameters
    ----------
    title, picture
        Both as pieces of a page.
    """

    def __init__(self, title: Flowable, picture: PictureBlock) -> None:
        super().__init__()
        self._title, self._picture = title, picture

    def wrap(self, width: float, high: float) -> tuple[float, float]:
        """Give the size, points."""
        wide, tall = self._title.wrap(width, high)
        self.width = max(wide, self._picture.width)
        self.height = tall + self._picture.height
        return self.width, self.height

    def split(self, *_: float) -> list[Flowable]:
        """Refuse to be parted."""
        return []

    def draw(self) -> None:
        """Draw both."""
        self._title.drawOn(self.canv, 0, self._picture.height)
        self._picture.drawOn(self.canv, 0, 0)


class PictureBlock(Flowable):  # type: ignore[misc]
    """A picture at full size; one too large for the page is made to fit it."""

    def __init__(self, picture: Picture, column: PageColumn) -> None:
        super().__init__()
        self._picture = picture
        most = (column.width / picture.width, (column.height - _AIR) / picture.height)
        self._shrunk = min(1.0, *most)
        self.width = picture.width * self._shrunk * POINTS_PER_MM
        self.height = (picture.height * self._shrunk + _AIR) * POINTS_PER_MM

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the picture."""
        self.canv.saveState()
        self.canv.translate(0, _AIR * POINTS_PER_MM)
        if self._shrunk < 1.0:
            self.canv.scale(self._shrunk, self._shrunk)
        draw_picture(self.canv, self._picture)
        self.canv.restoreState()
