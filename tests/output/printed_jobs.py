"""The jobs whose sheets are read back, each set and read once however many tests look at it."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from functools import cache, cached_property
from io import BytesIO
from pathlib import Path

from staking.kinds import SheetKind
from staking.laid_out.layout_value import Layout
from staking.output.sheet.sheet_pdf import write_sheet
from staking.project.layout import load_job
from staking.project.resolve import resolve
from staking.project.sheets import Sheets, prepare_sheets
from tests.output.card_reading import PaperCard, read_cards
from tests.output.pdf_reading import Page, read_pages

ROOT = Path(__file__).resolve().parents[2]
DEMOS = ("orchard-workshop", "boat-shed", "hillside-lot")
REVISED = dt.date(2031, 4, 5)
TITLES = (
    "Start here", "Lot", "Dimensions", "Boards and tapes", "Dig", "Cards", "Profiles",
    "Before you dig, before you pour", "Order of work", "Order",
)  # fmt: skip
"""What the sheets are called, in their order."""
ONLY = {"comb": (SheetKind.START, SheetKind.DIMENSIONS, SheetKind.BOARDS)}
"""What is printed of a job whose other sheets are many and like those of other jobs."""


@dataclass(frozen=True, eq=False)
class Printed:
    """A job with its sheets as they are printed."""

    name: str
    layout: Layout
    sheets: Sheets
    only: tuple[SheetKind, ...] | None = None

    @cached_property
    def written(self) -> bytes:
        """The PDF."""
        stream = BytesIO()
        write_sheet(self.sheets, stream, only=self.only)
        return stream.getvalue()

    @cached_property
    def pages(self) -> list[Page]:
        """Its pages."""
        return read_pages(self.written)

    @cached_property
    def cards(self) -> list[PaperCard]:
        """Its cards."""
        return list(read_cards(self.pages))

    def titled(self, title: str) -> list[Page]:
        """The pages of a sheet."""
        return titled(self.pages, title)


@cache
def printed(name: str) -> Printed:
    """A demo, or a job of the tests' own for the sheets."""
    path = ROOT / "fixtures" / name / "job.yaml"
    if name not in DEMOS:
        path = ROOT / "tests" / "data" / "jobs" / "sheets" / f"{name}.yaml"
    resolved = resolve(load_job(path))
    sheets = prepare_sheets(resolved, REVISED)
    return Printed(name=name, layout=resolved.layout, sheets=sheets, only=ONLY.get(name))


def titled(pages: list[Page], title: str) -> list[Page]:
    """The pages of a sheet, by what stands at the right of their heads."""
    found, begun = [], [""]
    for page in pages:
        heads = {word.text for word in page.words if word.y > page.height - 15 * 72 / 25.4}
        # Sheets that share a page are named one after the other.
        here = [
            each
            for each in TITLES
            if any(
                head == each or head.startswith(f"{each}, ") or head.endswith(f", {each}")
                for head in heads
            )
        ]
        begun = here or begun[-1:]
        if title in begun:
            found.append(page)
    assert found, title
    return found


def ratio_of(scale: str) -> float:
    """Ground over paper of a scale as it is written, by its own arithmetic."""
    if metric := re.fullmatch(r"scale 1:(\d+)", scale):
        return float(metric[1])
    if site := re.fullmatch(r"scale 1\" = (\d+)'", scale):
        return 12.0 * float(site[1])
    found = re.fullmatch(r"scale (\d+)(?:/(\d+))?\" = 1'-0\"", scale)
    assert found is not None, scale
    return 12.0 * float(found[2] or 1) / float(found[1])
