"""Sheet 3, Dimensions: walls, footing and dig edges with their dimensions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.output.pictures.pdf_backend import draw_picture

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.output.pictures.picture import Picture
    from staking.output.sheet.printed_job import PrintedJob


def dimensions_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of the dimensions.

    Yields
    ------
    Flowable
        In order.
    """
    yield _WholePaper(job.plan, job.whole.x, job.whole.y)


class _WholePaper(Flowable):  # type: ignore[misc]
    """A picture of the whole paper."""

    def __init__(self, picture: Picture, left: float, under: float) -> None:
        super().__init__()
        self._picture, self._left, self._under = picture, left, under

    def wrap(self, _: float, most: float) -> tuple[float, float]:
        """Take all the room."""
        return 1.0, most

    def draw(self) -> None:
        """Draw it from the paper's corner."""
        draw_picture(self.canv, self._picture, -self._left, -self._under)
