"""What a layout is set out with: stakes, hubs, boards, string and paint."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.footing.bands_and_outlines import Outline
from staking.layout.layout_parts import Board, Hub, String
from staking.notices import Length
from staking.order.order_results import Item, Measured, Working, working
from staking.plan import Plan
from staking.units import FOOT

STAKES_PER_BOARD = 2
"""Stakes that carry one straight batter board (common practice, no source)."""

TIE = 2 * FOOT
"""String to tie off at each end, m (common practice, no source)."""

PAINT_REACH = 250 * FOOT
"""What one can of marking paint draws, m (common practice, no source)."""


def supply_items(
    plan: Plan,
    strings: Sequence[String],
    boards: Sequence[Board],
    hubs: Sequence[Hub],
    painted: Outline,
) -> tuple[Item, ...]:
    """Count what the layout takes.

    Parameters
    ----------
    plan, strings, boards, hubs
        The layout.
    painted
        The outline that is painted on the ground.

    Returns
    -------
    tuple of Item
        Corner stakes, board stakes, hubs, board stuff, nails, string and paint.
    """
    nails = sum(len(each.marks) for each in boards)
    items = [
        *_stakes(plan, boards),
        _count("hubs", len(hubs), "hubs", "hub", working("{n} on the layout", n=len(hubs))),
        _boards(boards),
        _count("nails for marks", nails, "nails", "nail", working("{n} marks on boards", n=nails)),
        _string(strings),
        _paint(painted),
    ]
    return tuple(item for item in items if item.quantity > 0)


def _stakes(plan: Plan, boards: Sequence[Board]) -> tuple[Item, Item]:
    corners = sum(len(building.corners) for building in plan.buildings)
    pads, carrying = len(plan.pads), STAKES_PER_BOARD * len(boards)
    at_corners = working(
        "{corners} corners + {pads} pads = {n}", corners=corners, pads=pads, n=corners + pads
    )
    at_boards = working(
        "{boards} boards x {each} = {n}", boards=len(boards), each=STAKES_PER_BOARD, n=carrying
    )
    return (
        _count("stakes for corners and pads", corners + pads, "stakes", "stake", at_corners),
        _count("stakes for batter boards", carrying, "stakes", "stake", at_boards),
    )


def _boards(boards: Sequence[Board]) -> Item:
    length = math.fsum(math.dist(*each.ends) for each in boards)
    told = working(
        "{n} boards x {mean} on average = {length}",
        n=len(boards),
        mean=Length(length / max(len(boards), 1)),
        length=Length(length),
    )
    return _length("batter board", length, "board", told)


def _string(strings: Sequence[String]) -> Item:
    pulled = math.fsum(each.length for each in strings)
    whole = pulled + 2 * TIE * len(strings)
    told = working(
        "{length} from board to board + {n} x 2 x {tie} to tie = {string}",
        length=Length(pulled),
        n=len(strings),
        tie=Length(TIE),
        string=Length(whole),
    )
    return _length("string", whole, "string", told)


def _paint(painted: Outline) -> Item:
    around = math.fsum(
        math.dist(a, b)
        for ring in (*painted.outlines, *painted.holes)
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True)
    )
    cans = max(1, math.ceil(around / PAINT_REACH - 1e-9))
    told = working(
        "{around} of line / {reach} a can = {n}, rounded up",
        around=Length(around),
        reach=Length(PAINT_REACH),
        n=cans,
    )
    return _count("marking paint", cans, "cans", "paint", told)


def _count(what: str, count: int, counted: str, price: str, arithmetic: Working) -> Item:
    return Item(
        group="layout",
        what=what,
        quantity=float(count),
        measured=Measured.COUNT,
        counted=counted,
        arithmetic=arithmetic,
        price=price,
    )


def _length(what: str, length: float, price: str, arithmetic: Working) -> Item:
    return Item(
        group="layout",
        what=what,
        quantity=length,
        measured=Measured.LENGTH,
        arithmetic=arithmetic,
        price=price,
    )
