"""The cards for the page: the same values and words as those on paper, as JSON for the script."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from staking.laid_out.cards import Card, CardKind, CardLevel, cards
from staking.output.page.step_data import view_of
from staking.output.sheet.card.card_words import card_words
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Check
    from staking.output.blocks import Table
    from staking.output.page.page_plan import PlanFrame
    from staking.output.sheet.card.card_words import CardWords
    from staking.project.sheets import Sheets

_NEAR = 6.5
"""Boards and hubs of a corner that are farther off stand outside its picture, m."""


def cards_data(sheets: Sheets, tapes: Sequence[Check], frame: PlanFrame) -> list[dict[str, Any]]:
    """Set out every card.

    Parameters
    ----------
    sheets
        What is shown of the job.
    tapes
        What the page takes readings of, in its order.
    frame
        Where the building grid lies in the picture.

    Returns
    -------
    list of dict
        Corners in the plan's order, then interior lines, then pads. `at` is where a tap opens the
        card: a spot for a corner, two ends for a line, the spots of pads. A level is its words,
        its elevation in m and what is added to the reading on the benchmark. A tape has its words,
        its length, what it may be out by, how far out of level its ends may be on a slope, and its
        place among the tapes, None where the page takes no reading of it.
    """
    places = {_key(each): place for place, each in enumerate(tapes)}
    return [
        _card(sheets.layout, card, card_words(sheets, card, numbered=False), places, frame)
        for card in cards(sheets.layout)
    ]


def _card(
    layout: Layout,
    card: Card,
    said: CardWords,
    places: dict[tuple[str, str, str, str], int],
    frame: PlanFrame,
) -> dict[str, Any]:
    words = Words(layout.options)
    parts = (said.nails, said.paint, said.stations, said.steps, said.kept)
    sloping = layout.grade is not None
    taped = () if said.tapes is None else said.tapes.rows
    return {
        "title": said.title,
        "name": card.name,
        "kind": card.kind.value,
        "at": [[round(each, 1) for each in frame.at(point)] for point in card.points],
        "view": _view(card, frame),
        "levels": [_level(layout, each, words) for each in card.levels],
        "tables": [_table(each) for each in parts if each is not None],
        "tapes": [
            [*row[:3], row[3] if sloping else "", places.get(_key(tape.check))]
            for row, tape in zip(taped, card.tapes, strict=True)
        ],
        "said": list(said.said),
    }


def _key(check: Check) -> tuple[str, str, str, str]:
    return (check.kind.value, check.at or "", check.from_name, check.to_name)


def _view(card: Card, frame: PlanFrame) -> list[float]:
    corner = card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}
    near = _NEAR if corner else math.inf
    beside = [end for board in card.boards for end in board.ends]
    beside += [hub.point for hub in card.hubs]
    kept = [each for each in beside if min(math.dist(each, p) for p in card.points) <= near]
    return view_of([*card.points, *kept], frame, 1.0)


def _level(layout: Layout, each: CardLevel, words: Words) -> list[Any]:
    of = safe(each.of)
    if each.start is not None and each.end is not None:
        of = f"from {words.length(each.start)} to {words.length(each.end)}"
    added = ""
    if each.add is not None and layout.grade is not None:
        added = words.added(each.add, layout.grade.rod)
    what = " ".join(part for part in (each.what, of) if part)
    return [what, round(each.level, 6), words.level(each.level), added]


def _table(block: Table) -> dict[str, Any]:
    return {
        "heads": [each.heading for each in block.columns],
        "rows": [list(r) for r in block.rows],
    }
