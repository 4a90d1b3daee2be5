"""What stands on every page of the sheets: the job, the date, the page's number."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from staking.output.pictures.lettering import BOLD_FACE, FACE, line_width, printable
from staking.output.pictures.pdf_backend import BLACK, POINTS_PER_MM, ink
from staking.output.sheet.page_sizes import FOOT, HEAD, MARGIN

if TYPE_CHECKING:
    import datetime as dt

    from staking.kinds import SheetKind


# What a page holds is written as it is packed: letters alone take a quarter more and long to write.
rl_config.useA85 = 0


class SheetBegins(Flowable):  # type: ignore[misc]
    """Takes no room: says which sheet begins on this page, for its head and its bookmark.

    Parameters
    ----------
    kind
        Which sheet.
    title
        What it is called.
    """

    def __init__(self, kind: SheetKind, title: str) -> None:
        super().__init__()
        self._kind = kind
        self._title = title

    def wrap(self, *_: float) -> tuple[float, float]:
        """Give the size: none."""
        return 0.0, 0.0

    def draw(self) -> None:
        """Tell the canvas."""
        self.canv.begin_sheet(self._kind, self._title)


class CountedCanvas(Canvas):  # type: ignore[misc]
    """A canvas that writes head and foot last, when the number of pages is known."""

    job = ""
    revised: dt.date | None = None
    mark = ""

    def __init__(self, *arguments: Any, **named: Any) -> None:
        super().__init__(*arguments, **named)
        self._finished: list[dict[str, Any]] = []
        self._begun: dict[int, list[tuple[SheetKind, str]]] = {}
        self._referred: list[tuple[int, SheetKind, float, float, float]] = []

    def refer_to(self, kind: SheetKind, x: float, y: float, size: float) -> None:
        """Leave word that the number of a sheet's first page goes to the left of a place.

        Parameters
        ----------
        kind
            The sheet.
        x, y, size
            The place on this page and the size of the figure, points.
        """
        self._referred.append((self._pageNumber, kind, x, y, size))

    def begin_sheet(self, kind: SheetKind, title: str) -> None:
        """Say that a sheet begins on this page."""
        self._begun.setdefault(self._pageNumber, []).append((kind, title))

    def showPage(self) -> None:  # noqa: N802 - the library's own name
        """Put a page aside."""
        self._finished.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Finish every page and write them all."""
        count = len(self._finished)
        for at, page in enumerate(self._finished, start=1):
            self.__dict__.update(page)
            self._finish(at, count)
            Canvas.showPage(self)
        super().save()

    def _finish(self, at: int, count: int) -> None:
        width, height = (each / POINTS_PER_MM for each in self._pagesize)
        for kind, title in self._begun.get(at, ()):
            self.bookmarkPage(kind.value)
            self.addOutlineEntry(printable(title), kind.value)
        before = [page for page in self._begun if page <= at]
        # Sheets that share a page are both named; on the pages after them the last one is.
        begun = self._begun[max(before)] if before else []
        sheet = ", ".join(title for _, title in (begun if at in self._begun else begun[-1:]))
        pages = {kind: page for page, begins in self._begun.items() for kind, _ in begins}
        for page, kind, x, level, size in self._referred:
            if page == at and kind in pages:
                self.setFillColor(ink(BLACK))
                self.setFont(FACE, size)
                self.drawRightString(x, level, f"page {pages[kind]}")
        of = f"page {at} of {count}"
        revised = "revised ____________" if self.revised is None else f"revised {self.revised}"
        mark = f"layout {self.mark}" if self.mark else ""
        y = height - MARGIN - 3.5
        self._say(printable(self.job), MARGIN, y, 3.0, BOLD_FACE, most=0.7 * (width - 2 * MARGIN))
        self._say(printable(sheet), width - MARGIN, y, 2.2, right=True)
        self.setStrokeColor(ink(BLACK))
        self.setLineWidth(0.6)
        self.setDash([])
        for level in (height - MARGIN - HEAD + 2.5, MARGIN + FOOT - 2.5):
            self.line(
                MARGIN * POINTS_PER_MM,
                level * POINTS_PER_MM,
                (width - MARGIN) * POINTS_PER_MM,
                level * POINTS_PER_MM,
            )
        self._say(f"{mark}   {revised}".strip(), MARGIN, MARGIN, 2.2)
        self._say(of, width - MARGIN, MARGIN, 2.2, right=True)

    def _say(
        self,
        words: str,
        x: float,
        y: float,
        height: float,
        face: str = FACE,
        *,
        right: bool = False,
        most: float = 0.0,
    ) -> None:
        width = line_width(words, height, face)
        if most and width > most:
            height *= most / width
        self.setFillColor(ink(BLACK))
        self.setFont(face, height / 0.718 * POINTS_PER_MM)
        draw = self.drawRightString if right else self.drawString
        draw(x * POINTS_PER_MM, y * POINTS_PER_MM, words)
