"""The walls in profile on the sheet: several beside one another, two rows on a page, one key."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable

from staking.output.pictures.pdf_backend import POINTS_PER_MM, draw_picture
from staking.output.profile.on_paper.walls_in_rows import AIR
from staking.output.sheet.picture_block import PictureBlock

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.output.pictures.picture import Picture
    from staking.output.sheet.printed_job import PrintedJob


def profile_sheets(job: PrintedJob) -> Iterator[Flowable]:
    """Set every wall in profile, what holds for all of them once before them.

    Yields
    ------
    Flowable
        The key, and one for each row of walls, which no page break parts; nothing for a job
        without levels.
    """
    if job.profiles is None:
        return
    yield PictureBlock(job.profiles.key, job.column)
    for row in job.profiles.rows:
        yield _Row([picture for _, picture in row], job.column.width)


class _Row(Flowable):  # type: ignore[misc]
    """Pictures beside one another, their tops level, the last one at the page's edge."""

    def __init__(self, pictures: Sequence[Picture], width: float) -> None:
        super().__init__()
        self._pictures = pictures
        taken = sum(each.width for each in pictures)
        self._gap = (width - taken) / max(1, len(pictures) - 1)
        self.width = width * POINTS_PER_MM
        self.height = (max(each.height for each in pictures) + AIR) * POINTS_PER_MM

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the pictures."""
        x = 0.0
        for picture in self._pictures:
            self.canv.saveState()
            up = self.height - picture.height * POINTS_PER_MM
            self.canv.translate(x * POINTS_PER_MM, up)
            draw_picture(self.canv, picture)
            self.canv.restoreState()
            x += picture.width + self._gap
