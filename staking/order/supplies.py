"""What a layout is set out with: stakes, hubs, boards, string and paint."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.footing.bands_and_outlines import Outline
from staking.grade.graded import LowerString
from staking.kinds import OrderGroup
from staking.layout.layout_parts import Board, Hub, String
from staking.notices import Length
from staking.order.order_results import Item, Working, working
from staking.order.ordered_by import Measured
from staking.plan import Plan
from staking.units import FOOT

STAKES_PER_BOARD = 2
"""Stakes that carry one straight batter board (common practice, no source)."""

TIE = 2 * FOOT
"""String to tie off at each end, m (common practice, no source)."""

ACROSS = 8 * FOOT
"""A board that spans a trench for a lower string, m (common practice, no source)."""

PAINT_REACH = 250 * FOOT
"""What one can of marking paint draws, m (common practice, no source)."""


def supply_items(
    plan: Plan,
    strings: Sequence[String],
    boards: Sequence[Board],
    hubs: Sequence[Hub],
    painted: Outline,
    lower: Sequence[LowerString] = (),
) -> tuple[Item, ...]:
    """Count what the layout takes.

    Parameters
    ----------
    plan, strings, boards, hubs
        The layout.
    painted
        The outline that is painted on the ground.
    lower
        Lower strings: their boards are nailed to the stakes of the boards above, but one across a
        trench has stakes of its own.

    Returns
    -------
    tuple of Item
        Corner stakes, board stakes, hubs, board stuff, nails, string and paint.
    """
    by_name = {each.name: each for each in boards}
    under = [by_name[name] for each in lower for name in each.boards if name is not None]
    across = sum(1 for each in lower if each.across is not None)
    nails = sum(len(each.marks) for each in (*boards, *under))
    nails += sum(len(by_name[next(filter(None, e.boards))].marks) for e in lower if e.across)
    items = [
        *_stakes(plan, boards, across),
        _count("hubs", len(hubs), "hubs", "hub", working("{n} on the layout", n=len(hubs))),
        *_boards(boards, under, across),
        _count("nails for marks", nails, "nails", "nail", working("{n} marks on boards", n=nails)),
        _string(strings, lower),
        _paint(painted),
    ]
    return tuple(item for item in items if item.quantity > 0)


def _stakes(plan: Plan, boards: Sequence[Board], across: int) -> tuple[Item, Item]:
    corners = sum(len(building.corners) for building in plan.buildings)
    pads, carrying = len(plan.pads), STAKES_PER_BOARD * (len(boards) + across)
    at_corners = working(
        "{corners} corners + {pads} pads = {n}", corners=corners, pads=pads, n=corners + pads
    )
    at_boards = working(
        "{boards} boards x {each} = {n}"
        if not across
        else "({boards} boards + {across} across the trench for lower strings) x {each} = {n}",
        boards=len(boards),
        across=across,
        each=STAKES_PER_BOARD,
        n=carrying,
    )
    return (
        _count("stakes for corners and pads", corners + pads, "stakes", "stake", at_corners),
        _count("stakes for batter boards", carrying, "stakes", "stake", at_boards),
    )


def _boards(boards: Sequence[Board], under: Sequence[Board], across: int) -> tuple[Item, Item]:
    """Board stuff, and that of lower strings by itself: their boards are of other lengths."""
    length = math.fsum(math.dist(*each.ends) for each in boards)
    lower = math.fsum(math.dist(*each.ends) for each in under) + across * ACROSS
    text = "{n} boards x {mean} on average = {length}"
    told, told_lower = (
        working(text, n=count, mean=Length(whole / max(count, 1)), length=Length(whole))
        for count, whole in ((len(boards), length), (len(under) + across, lower))
    )
    return (
        _length("batter board", length, "board", told),
        _length("batter board for lower strings", lower, "board", told_lower),
    )


def _string(strings: Sequence[String], lower: Sequence[LowerString]) -> Item:
    by_name = {each.name: each for each in strings}
    lengths = [each.length for each in strings]
    lengths += [by_name[e.string].length if e.across is None else e.across for e in lower]
    pulled = math.fsum(lengths)
    whole = pulled + 2 * TIE * len(lengths)
    told = working(
        "{length} from board to board + {n} x 2 x {tie} to tie = {string}",
        length=Length(pulled),
        n=len(lengths),
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
        group=OrderGroup.LAYOUT,
        what=what,
        quantity=float(count),
        measured=Measured.COUNT,
        counted=counted,
        arithmetic=arithmetic,
        price=price,
    )


def _length(what: str, length: float, price: str, arithmetic: Working) -> Item:
    return Item(
        group=OrderGroup.LAYOUT,
        what=what,
        quantity=length,
        measured=Measured.LENGTH,
        arithmetic=arithmetic,
        price=price,
    )
