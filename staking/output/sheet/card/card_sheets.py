"""The cards: for every corner, inside corner, interior line and row of pads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.output.sheet.card.pages_of_cards import card_flowables

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

    from staking.output.sheet.printed_job import PrintedJob


def card_sheets(job: PrintedJob) -> Iterator[Flowable]:
    """Fill the cards.

    Yields
    ------
    Flowable
        One for each card, or for two side by side.
    """
    yield from card_flowables(job.sheets, job.column)
