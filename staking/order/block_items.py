"""The block, mortar, grout and bolts to order, with their arithmetic."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.kinds import Grout, OrderGroup
from staking.notices import Length, Notice, Severity, notice
from staking.order.mortar import mortar_items
from staking.order.order_request import BlockAsked, OrderAsked
from staking.order.order_results import (
    Bolts,
    CourseBlocks,
    Item,
    Piece,
    Share,
    Turned,
    Volume,
    Working,
    working,
)
from staking.order.ordered_by import Measured
from staking.plan import Sleeve
from staking.units import FOOT, INCH

_LIKE = 0.01
"""Block this near to 8 in thick counts as such, m: 200 mm block does (common practice, no
source)."""

GROUT_PER_BLOCK = 0.28 * FOOT**3
"""Grout to fill both cells of a nominal 8x8x16 in block, m3 (from memory)."""


def block_items(
    courses: Sequence[CourseBlocks], block: BlockAsked, asked: OrderAsked, cells: float
) -> tuple[Item, ...]:
    """Count the block of all walls, and what it is laid with.

    Parameters
    ----------
    courses
        Of every wall.
    block, asked
        Sizes, waste of mortar and of grout.
    cells
        How many block cells are filled, counted course by course.

    Returns
    -------
    tuple of Item
        Stretchers, corner blocks, halves, mortar, grout.
    """
    items: list[Item] = []
    laid = 0.0
    for thickness in sorted({round(each.thickness, 6) for each in courses}):
        own = [each for each in courses if round(each.thickness, 6) == thickness]
        items += _of_thickness(own, Length(thickness), block)
        laid += sum(each.blocks + each.halves / 2 for each in own)
    items += mortar_items(laid, block, asked.mortar, asked.mortar_waste)
    if cells > 0:
        items.append(_grout(cells, block, asked.waste))
    return tuple(item for item in items if item.quantity > 0)


def sleeve_items(sleeves: Sequence[Sleeve]) -> tuple[Item, ...]:
    """Add a spare block for every pipe through a wall of block.

    Returns
    -------
    tuple of Item
        One, or none without pipes; a block cut round a pipe breaks easily (common practice, no
        source).
    """
    count = len(sleeves)
    if not count:
        return ()
    told = working("pipes through walls: {n} x 1 spare block to cut = {n}", n=count)
    return (_count("blocks to cut round pipes", count, "block", told, ()),)


def _grout(cells: float, block: BlockAsked, waste: float) -> Item:
    # The rule is for a block 16 in long and 8 in high: a cell goes with the face.
    each = GROUT_PER_BLOCK / 2 * (block.length * block.height) / (128 * INCH**2)
    gross = cells * each * (1 + waste)
    return Item(
        group=OrderGroup.BLOCK,
        what="grout for filled cells",
        quantity=gross,
        measured=Measured.BULK,
        arithmetic=working(
            "{cells} cells x {each} + {waste} waste = {gross}, up to the quarter",
            cells=cells,
            each=Volume(each),
            waste=Share(waste),
            gross=Turned(gross),
        ),
        price="grout",
        up=True,
    )


def _of_thickness(
    courses: Sequence[CourseBlocks], thickness: Length, block: BlockAsked
) -> list[Item]:
    stretchers = sum(each.stretchers for each in courses)
    cuts = sum(each.cuts for each in courses)
    corners = sum(each.corners for each in courses)
    halves = sum(each.halves for each in courses)
    total = working(
        "{stretchers} stretchers + {cuts} to be cut = {total}",
        stretchers=stretchers,
        cuts=cuts,
        total=stretchers + cuts,
    )
    sizes = (
        ("thickness", thickness),
        ("height", Length(block.height)),
        ("length", Length(block.length)),
    )
    corner = working("one where a wall runs through a corner = {count}", count=corners)
    half = working("at openings, steps and ends = {count}", count=halves)
    return [
        _count("blocks", stretchers + cuts, "block", total, sizes),
        _count("corner blocks", corners, "corner block", corner, sizes),
        _count("half blocks", halves, "half block", half, sizes),
    ]


def _count(
    what: str, count: int, price: str, arithmetic: Working, sizes: tuple[tuple[str, Length], ...]
) -> Item:
    return Item(
        group=OrderGroup.BLOCK,
        what=what,
        quantity=float(count),
        measured=Measured.COUNT,
        counted="blocks",
        arithmetic=arithmetic,
        price=price,
        sizes=sizes,
    )


def filled_cells(
    courses: Sequence[CourseBlocks],
    block: BlockAsked,
    pieces: Sequence[Piece],
    bolts: Sequence[Bolts],
) -> float:
    """Count the cells that are filled, course by course.

    Parameters
    ----------
    courses, block
        Of all walls, and which cells are filled.
    pieces, bolts
        Dowels, in whose cells grout stands over the wall's whole height; bolts, over two courses.

    Returns
    -------
    float
        Cells: two a block.
    """
    whole = sum(each.blocks + each.halves / 2 for each in courses)
    if block.grout is Grout.ALL:
        return 2 * whole
    if block.grout is Grout.NO:
        return 0.0
    # On a stepped wall a dowel stands in as many courses as the wall has on average.
    laid: dict[str, list[float]] = {}
    for each in courses:
        laid.setdefault(each.wall, []).append(each.blocks + each.halves / 2)
    heights = {wall: _mean_height(rows) for wall, rows in laid.items() if max(rows) > 0}
    tallest = max(heights.values(), default=0.0)
    dowels = sum(
        math.ceil(piece.count * heights.get(piece.where, tallest) - 1e-9)
        for piece in pieces
        if piece.what == "dowels"
    )
    anchored = sum(2 * len(each.stations) for each in bolts)
    return float(dowels + anchored)


def _mean_height(rows: Sequence[float]) -> float:
    # In courses. Corners leave out up to a block of every other course: that is no lower wall.
    longest = max(rows)
    return math.fsum(1.0 if row >= longest - 1 else row / longest for row in rows)


def grout_notices(block: BlockAsked | None, widths: Sequence[float]) -> tuple[Notice, ...]:
    """Say that the grout rule is for 8 inch block alone.

    Returns
    -------
    tuple of Notice
        ``grout-width`` where a wall has another thickness.
    """
    if block is None or block.grout is Grout.NO:
        return ()
    others = sorted({round(w, 6) for w in widths if abs(w - 8 * INCH) > _LIKE})
    if not others:
        return ()
    return (
        notice(
            "grout-width",
            "grout is counted by the rule for block 8 in (203 mm) thick; a wall of {width} takes "
            "another amount, ask the block's maker",
            Severity.WARNING,
            width=Length(others[-1]),
        ),
    )
