"""The walls in profile on the sheet: the profile drawing, cut into one piece a wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.output.picture import model_pictures
from staking.output.profile import profile_views
from staking.output.reportlab_backend import POINTS_PER_MM, draw_picture

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.output.picture import Picture
    from staking.output.sheet_frame import Column
    from staking.project import Layout

_AIR = 5.0
"""Under each profile, mm."""


def profile_flowables(layout: Layout, column: Column) -> Iterator[Flowable]:
    """Draw every wall in profile, at the largest scale at which each fits the page.

    Parameters
    ----------
    layout
        The layout; one without levels gives nothing.
    column
        Where the content of a page goes.

    Yields
    ------
    Flowable
        One for each wall, which no page break parts.
    """
    if layout.grade is None or not layout.grade.walls:
        return
    views = profile_views(layout, (column.width, column.height - _AIR))
    per_mm = (views[0].high[0] - views[0].low[0]) / views[0].width_mm
    windows = [(view.low, view.high) for view in views]
    for picture in model_pictures(views[0].document, per_mm, windows, colour=False):
        yield PictureBlock(picture, column.width, column.height)


class PictureBlock(Flowable):  # type: ignore[misc]
    """A picture at full size; one too large for the page is made to fit it."""

    def __init__(self, picture: Picture, width: float, height: float) -> None:
        super().__init__()
        self._picture = picture
        self._shrunk = min(1.0, width / picture.width, (height - _AIR) / picture.height)
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
