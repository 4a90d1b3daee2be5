"""How cards are put on pages: four of a rectangle, else two, else one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from staking.laid_out.cards import Card, cards
from staking.output.pictures.pdf_backend import POINTS_PER_MM
from staking.output.sheet.card.card_block import CardBlock, CardPair, CardShape
from staking.output.sheet.card.card_words import card_words
from staking.output.sheet.card.plan_of_cards import PlanOfCards

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

    from staking.output.sheet.page_sizes import PageColumn
    from staking.project.sheets import Sheets

_BETWEEN = 5.0
"""Between two cards side by side, mm."""
_HALVES = ((56.0, False), (50.0, False), (44.0, False), (54.0, True), (46.0, True), (38.0, True))
"""How a card of half a page is tried: the sketch's side, mm, and whether it is narrow."""
_SMALL_SKETCHES = (44.0, 40.0, 36.0)
"""Sides of a narrow card's sketch, mm."""
_MOST_OF_PAGE = 0.7
"""A card that takes more of a page than this has it to itself."""
_LARGE_SKETCH = 90.0
"""Side of the sketch of a card that takes a whole page, mm."""


def card_flowables(sheets: Sheets, column: PageColumn) -> Iterator[Flowable]:
    """Set every card.

    Parameters
    ----------
    sheets
        What is shown of the job.
    column
        The room of a page.

    Yields
    ------
    Flowable
        One for each card, or for two that stand side by side.
    """
    waiting = list(cards(sheets.layout))
    plan = PlanOfCards(sheets.layout)
    single: list[CardBlock] = []
    while waiting:
        found = _four(sheets, waiting[:4], column, plan)
        if found:
            yield from _stacked(single, column)
            single = []
            yield CardPair(found[:2], _BETWEEN)
            yield CardPair(found[2:], _BETWEEN)
            waiting = waiting[4:]
        else:
            single.append(_card(sheets, waiting.pop(0), column, plan))
    yield from _stacked(single, column)


def _stacked(blocks: Sequence[CardBlock], column: PageColumn) -> Iterator[Flowable]:
    # As many as fit go on one page, two at most where there is a corner among them. Each has its
    # even part of the page where that suffices, so that the paper may be cut for clipboards.
    whole = column.height * POINTS_PER_MM - 0.5
    waiting = list(blocks)
    while waiting:
        group = [waiting.pop(0)]
        while waiting and sum(each.needed for each in (*group, waiting[0])) <= whole:
            if len(group) == 2 and any(each.is_corner for each in (*group, waiting[0])):
                # The last pads or lines share the page of two corners rather than take their own.
                last = all(not each.is_corner for each in waiting)
                if not last or sum(each.needed for each in (*group, *waiting)) > whole:
                    break
            group.append(waiting.pop(0))
        part = whole / max(len(group), 2)
        spare = (whole - sum(each.needed for each in group)) / len(group)
        even = all(each.needed <= part for each in group)
        for each in group:
            each.height = part if even else each.needed + spare
            yield each


def _four(
    sheets: Sheets, four: Sequence[Card], column: PageColumn, plan: PlanOfCards
) -> list[CardBlock]:
    # Four cards of a rectangle on one page, or none where they do not all fit it.
    if len(four) < 4 or not all(each.in_rectangle for each in four):
        return []
    if len({each.building for each in four}) > 1:
        return []
    for sketch in _SMALL_SKETCHES:
        shape = CardShape(
            width=(column.width - _BETWEEN) / 2, height=0.0, sketch=sketch, narrow=True
        )
        blocks = [CardBlock(plan, each, card_words(sheets, each), shape) for each in four]
        rows = (blocks[:2], blocks[2:])
        tall = sum(max(each.needed for each in row) for row in rows)
        if all(each.unbroken for each in blocks) and tall < column.height * POINTS_PER_MM:
            return blocks
    return []


def _card(sheets: Sheets, card: Card, column: PageColumn, plan: PlanOfCards) -> CardBlock:
    # In half a page, else as low as it can be, else with a large sketch on a page of its own.
    said = card_words(sheets, card)
    lowest: CardBlock | None = None
    for sketch, narrow in _HALVES:
        shape = CardShape(
            width=column.width, height=column.height / 2, sketch=sketch, narrow=narrow
        )
        block = CardBlock(plan, card, said, shape)
        if block.fits:
            return block
        if block.unbroken and (lowest is None or block.needed < lowest.needed):
            lowest = block
    if lowest is not None and lowest.needed < _MOST_OF_PAGE * column.height * POINTS_PER_MM:
        return lowest
    whole = CardShape(width=column.width, height=column.height, sketch=_LARGE_SKETCH, narrow=True)
    return CardBlock(plan, card, said, whole)
