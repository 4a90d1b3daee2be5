"""Sheet 2, Lot: the building between the lines of its lot, and the tapes to the first stakes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.output.blocks import Block, BlockTopic, Column, Listing, Table
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.drawing_page import BESIDE, DrawingPage, drawing_room
from staking.output.sheet.sheet_tables import listing, table
from staking.output.sheet_drawings.lot_plan import lot_picture
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.tables.site_tables import site_blocks
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.laid_out.layout_value import Layout
    from staking.laid_out.lot_figures import LotFigures
    from staking.output.sheet.printed_job import PrintedJob

_TAPED = 11.0
"""Size of what is taped, points."""
_SAID = 9.0
"""Size of other words, points."""
_BESIDE = (
    BlockTopic.CLEARANCES,
    BlockTopic.KEPT_OFF,
    BlockTopic.HAND_DIG,
    BlockTopic.RESIDUALS,
)
"""What the tables of the lot have that is read beside its drawing."""
_DRAWN = (
    "Property lines are the survey's; a licensed surveyor answers for them. Bearings: its grid.",
    "Dash dot dot: property line. Dashed: setback. Short dashes: eaves. Hatched: dig by hand.",
)


def lot_sheet(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the sheet of the lot.

    Yields
    ------
    Flowable
        The page with the lot, and what finds no room beside it; nothing where the building is
        not placed.
    """
    layout, values = job.sheets.layout, job.sheets.values
    if values is None or values.lot is None:
        return
    drawn = lot_picture(layout, values.lot, drawing_room(job.whole))
    width = BESIDE * POINTS_PER_MM
    beside = [
        listing(each, width, _SAID if each.title == "Names" else _TAPED, tight=True)
        if isinstance(each, Listing)
        else table(each, width, _TAPED, tight=True)
        for each in _beside(job, values.lot)
    ]
    page = DrawingPage("Lot", drawn.scale, drawn.picture, beside, job.whole, "\n".join(_DRAWN))
    yield page
    yield from page.after(job.whole)


def _beside(job: PrintedJob, figures: LotFigures) -> Iterator[Block]:
    layout = job.sheets.layout
    words = Words(layout.options)
    names = NumberedNames(layout.plan)
    if figures.arcs:
        yield Table(
            title="First: two tapes to each stake",
            columns=(
                Column(heading="stake"),
                Column(heading="from"),
                Column(heading="tape", right=True),
            ),
            rows=tuple(
                (names(each.stake), safe(each.known), words.length(each.distance))
                for each in figures.arcs
            ),
        )
    yield from _clear(layout, words)
    if layout.site is not None and layout.site.buried:
        yield Listing(
            title="Buried lines",
            lines=tuple(
                f"{safe(each.name)}: "
                + (
                    f"dig by hand {words.length(each.hand_dig)} each side"
                    if each.hand_dig
                    else "have it marked"
                )
                for each in layout.site.buried
            ),
        )
    if (fall := figures.fall) is not None:
        said = (
            f"It falls {words.length(fall.drop)} from {names(fall.highest)} to "
            f"{names(fall.lowest)}, the way the arrow in the building points."
        )
        yield Listing(title="Ground", lines=(said,))
    if names.numbered:
        yield Listing(
            title="Names",
            lines=tuple(f"{number} is {safe(name)}" for number, name in names.numbered),
        )


_SHORT_TITLES = {BlockTopic.HAND_DIG: "Hand-dig, from first corner"}
"""Titles that must take one line beside a drawing."""
_SHORT_HEADS = {"setback": "least"}
"""Headings that must be short beside a drawing."""


def _clear(layout: Layout, words: Words) -> Iterator[Table]:
    # What stands clear of the lines and of what is kept off, and what is dug by hand.
    for block in site_blocks(layout, words):
        if isinstance(block, Table) and block.topic in _BESIDE and block.rows:
            yield replace(
                block,
                title=_SHORT_TITLES.get(block.topic, block.title),
                columns=tuple(
                    replace(each, heading=_SHORT_HEADS.get(each.heading, each.heading))
                    for each in block.columns
                ),
            )
