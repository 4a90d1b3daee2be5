"""A page on its side with one drawing, and beside it what is read with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reportlab.platypus import Flowable, PageBreak

from staking.output.pictures.lettering import BOLD_FACE, FACE, printable
from staking.output.pictures.pdf_backend import BLACK, POINTS_PER_MM, draw_picture, ink
from staking.output.sheet.two_columns import TwoColumns
from staking.output.sheet_drawings.plans_of_job import PartPicture, PlanRooms

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.output.pictures.picture import Picture
    from staking.output.sheet.page_sizes import PageColumn

BESIDE = 70.0
"""Width of what stands beside the drawing, mm."""
OVER_PART = 60.0
"""Width of what stands over a part of a plan, mm: four columns of it go beside one another."""
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
_NOTE_HIGH, _NOTE_LINE = 2.2, 3.8
"""Kept at the foot for what stands beside the scale bar, and the height of a line of it, mm."""
_SHORT = 40.0
"""Less height than this is not used, points."""
_UNDER = 0.55
"""What a plan that lies along the sheet has of its height; words have the rest."""
_KEY, _KEY_OF_ROWS, _KEY_TITLE = 36.0, 58.0, 9.0
"""Kept over a part of a plan for the key plan, of one row and of several, and of that for its
title, mm."""


def drawing_room(page: PageColumn) -> tuple[float, float]:
    """Give the room for the drawing of a page.

    Returns
    -------
    tuple of float
        Width and height, mm.
    """
    return page.width - BESIDE - _GAP - _EDGE, page.height - _TITLE - _EDGE


def plan_rooms(page: PageColumn) -> PlanRooms:
    """Give the rooms for a plan that is drawn beside words, under them, or in parts.

    Returns
    -------
    PlanRooms
        Width and height of each.
    """
    wide, high = page.width - _EDGE, page.height - _TITLE - _EDGE
    return PlanRooms(
        beside=drawing_room(page),
        under=(wide, _UNDER * high),
        part=(wide, high - _KEY - _GAP),
        key=(OVER_PART, _KEY - _KEY_TITLE),
        part_of_rows=(wide, high - _KEY_OF_ROWS - _GAP),
        key_of_rows=(OVER_PART, _KEY_OF_ROWS - _KEY_TITLE),
    )


class DrawingPage(Flowable):  # type: ignore[misc]
    """A drawing under its title, with pieces beside it, and over it, where it leaves room.

    Parameters
    ----------
    title
        What it is.
    scale
        What is said of its scale.
    picture
        The drawing; one too large for its room is made to fit and said to be to no scale.
    beside
        What stands beside it. What finds no room on the page is left in `rest`.
    page
        Where the content of a page on its side goes.
    note
        What stands at the foot of the drawing, beside its scale bar, line by line.
    across
        The width for which the pieces are made, mm.
    lies
        Whether the drawing has the whole width: the pieces then stand over it only.
    """

    def __init__(
        self,
        title: str,
        scale: str,
        picture: Picture,
        beside: Sequence[Flowable],
        page: PageColumn,
        note: str = "",
        across: float = BESIDE,
        *,
        lies: bool = False,
    ) -> None:
        super().__init__()
        whole = (page.width - _EDGE, page.height - _TITLE - _EDGE)
        room = [each + _EDGE for each in (whole if lies else drawing_room(page))]
        self._lies = lies
        self._shrunk = min(1.0, room[0] / picture.width, room[1] / picture.height)
        self._title = title
        self._note = tuple(note.split("\n")) if note else ()
        self._scale = f"scale {scale}" if self._shrunk == 1.0 else "to no scale"
        self._picture = picture
        self.width, self.height = page.width * POINTS_PER_MM, page.height * POINTS_PER_MM - 0.5
        self._across = across
        self._placed: list[tuple[Flowable, float, float]] = []
        self.rest = self._place(list(beside))

    def _place(self, pieces: list[Flowable]) -> list[Flowable]:
        # Fills one free place after the other; what is left finds no room.
        across = self._across * POINTS_PER_MM
        whole = sum(each.wrap(across, self.height)[1] + _AIR for each in pieces)
        for x, top, high in self._free(whole):
            while pieces:
                tall = pieces[0].wrap(across, high)[1]
                if tall > high:
                    # A later, lower piece does not overtake: what is read together stays so.
                    parts = pieces[0].split(across, high) if high > _SHORT else []
                    if len(parts) < 2:
                        break
                    pieces[:1] = parts
                    tall = parts[0].wrap(across, high)[1]
                self._placed.append((pieces.pop(0), x, top - tall))
                top -= tall + _AIR
                high -= tall + _AIR
        return pieces

    def _free(self, whole: float) -> list[tuple[float, float, float]]:
        # Left edge, top and height of each place: at the right; where that does not suffice for
        # all, between it and the drawing first; then over the drawing.
        mm = POINTS_PER_MM
        top = self.height - _TITLE * mm
        right = self.width - self._across * mm
        places = [] if self._lies else [(right, top, top)]
        wide, tall = (
            each * self._shrunk * mm for each in (self._picture.width, self._picture.height)
        )
        step = (self._across + _GAP) * mm
        foot = _NOTE_HIGH + _NOTE_LINE * max(len(self._note), 1)
        if self._lies:
            right = self.width + _GAP * mm
        elif whole > top and right - wide - _GAP * mm >= step:
            right -= step
            places.insert(0, (right, top, top - foot * mm))
        over = top - tall - _GAP * mm
        x = 0.0
        while over > _SHORT and x + self._across * mm <= right:
            places.append((x, top, over))
            x += step
        return places

    def after(self, page: PageColumn) -> Iterator[Flowable]:
        """Give what found no room on the page, for the next one, in two columns."""
        if self.rest:
            yield PageBreak()
            yield TwoColumns(self.rest, page.width * POINTS_PER_MM, _BETWEEN)

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw the title, the drawing and what stands beside it."""
        canvas, mm = self.canv, POINTS_PER_MM
        canvas.setFillColor(ink(BLACK))
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
        canvas.setFillColor(ink(BLACK))
        canvas.setFont(FACE, 8.5)
        for up, line in enumerate(reversed(self._note)):
            canvas.drawString(_NOTE_AT * mm, (1.5 + _NOTE_LINE * up) * mm, printable(line))
        for piece, x, y in self._placed:
            piece.wrap(self._across * mm, self.height)
            piece.drawOn(canvas, x, y)


def pages_of_parts(
    title: str,
    parts: Sequence[PartPicture],
    pieces: Sequence[Flowable],
    page: PageColumn,
    note: str = "",
    across: float = BESIDE,
) -> Iterator[Flowable]:
    """Set a plan that is cut along match lines, a page for each part.

    Parameters
    ----------
    title
        What it is.
    parts
        Its parts.
    pieces
        What is read with it: on the first page as far as there is room, and so on.
    page
        Where the content of a page on its side goes.
    note
        What stands at the foot of each drawing.
    across
        The width for which the pieces are made, mm; at least `OVER_PART`.

    Yields
    ------
    Flowable
        The pages, and what finds no room on any of them.
    """
    rest = list(pieces)
    for part in parts:
        which = f"part {part.number} of {part.count}"
        titled, key = f"{title}, {which}", _KeyPlan(f"Key plan: {which}", part.key)
        drawn = part.drawn
        made = DrawingPage(
            titled, drawn.scale, drawn.picture, [key, *rest], page, note, across, lies=True
        )
        rest = made.rest
        yield made
        yield from made.after(page) if part is parts[-1] else [PageBreak()]


class _KeyPlan(Flowable):  # type: ignore[misc]
    """The key plan under its title."""

    def __init__(self, title: str, picture: Picture) -> None:
        super().__init__()
        self._title, self._picture = title, picture
        self.width = picture.width * POINTS_PER_MM
        self.height = (picture.height + _KEY_TITLE - 2.0) * POINTS_PER_MM

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Draw both."""
        canvas = self.canv
        draw_picture(canvas, self._picture)
        canvas.setFillColor(ink(BLACK))
        canvas.setFont(BOLD_FACE, 9)
        canvas.drawString(0, self.height - 4.0 * POINTS_PER_MM, printable(self._title))
