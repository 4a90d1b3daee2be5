"""The order in tables: what to buy with its arithmetic, loads, bars, block and bolts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.kinds import OrderGroup
from staking.measure.rounding import decimal_text
from staking.notices import Length as LengthOf
from staking.order.bars.laps import bar_name
from staking.order.bought_first import bought_first
from staking.output.blocks import Block, Column, Listing, Table
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.tables.order.drain_table import drain_arms_table, drain_table
from staking.output.tables.order.fill_and_forms import fill_table, forms_table
from staking.output.tables.order.order_words import OrderWords, plain
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.order.order_results import CutList, Item, Ordered

_GROUPS = {
    OrderGroup.CONCRETE: "Concrete",
    OrderGroup.STEEL: "Steel",
    OrderGroup.BLOCK: "Block, mortar and bolts",
    OrderGroup.DIG: "Dig, stone and spoil",
    OrderGroup.DRAIN: "Drain beside the footing",
    OrderGroup.FORMS: "Forms",
    OrderGroup.LAYOUT: "To lay out with",
}

_SAID = {"footing, no corner counted twice": "footing, each corner counted once"}
"""Items that the tables call otherwise than order.json, whose names stay as they are."""

ORDER_CAUTION = (
    "Too little is worse than too much: check the trench's width and depth as dug before the "
    "trucks are called, and order from what is there."
)


def order_blocks(layout: Layout, ordered: Ordered) -> tuple[Block, ...]:
    """Set out an order as tables.

    Parameters
    ----------
    layout
        The layout it is for.
    ordered
        The order.

    Returns
    -------
    tuple of Table or Listing
        The trucks, the bars and the block first, the loads and the levels as they are poured; then
        everything group by group with its arithmetic, bars and how they are cut, block by wall and
        course, bolts, costs.
    """
    words, sums = Words(layout.options), OrderWords(layout.options)
    blocks: list[Block] = [
        first_table(ordered, words, sums),
        loads_table(ordered, sums),
        levels_table(ordered, words, sums),
        drain_arms_table(ordered, words),
        drain_table(layout, ordered, words),
        *(_items(group, title, ordered, words, sums) for group, title in _GROUPS.items()),
        fill_table(ordered, words, sums),
        forms_table(ordered, words),
        _pieces(ordered, words),
        *(cuts_table(each, words) for each in ordered.cut_lists),
        _courses(ordered),
        bolts_table(ordered, words),
        costs_table(ordered),
        Listing(title="Before you order", lines=(ORDER_CAUTION, *LAYOUT_CAUTIONS)),
    ]
    return tuple(b for b in blocks if (b.rows if isinstance(b, Table) else b.lines))


def first_table(ordered: Ordered, words: Words, sums: OrderWords) -> Table:
    """Set out what is ordered first: the trucks, the bars, the block and what goes with it."""
    rows = []
    for item in bought_first(ordered.items):
        quantity, unit = sums.quantity(item)
        rows.append((_what(item, words), quantity, unit))
    return Table(
        title="To order first: trucks, bars, block",
        columns=(
            Column(heading="what"),
            Column(heading="order", right=True),
            Column(heading="unit"),
        ),
        rows=tuple(rows),
    )


def rest_table(ordered: Ordered, words: Words, sums: OrderWords) -> Table:
    """Set out what is not ordered first, without its arithmetic."""
    first = bought_first(ordered.items)
    return Table(
        title="All else",
        columns=(
            Column(heading="what"),
            Column(heading="order", right=True),
            Column(heading="unit"),
        ),
        rows=tuple(
            (_what(item, words), *sums.quantity(item))
            for item in ordered.items
            if item not in first
        ),
    )


def everything_table(ordered: Ordered, words: Words, sums: OrderWords) -> Table:
    """Set out every item, group after group, with its arithmetic, in one table."""
    tables = [_items(group, title, ordered, words, sums) for group, title in _GROUPS.items()]
    return Table(
        title="Everything, and how it is worked out",
        columns=tables[0].columns,
        rows=tuple(row for each in tables for row in each.rows),
    )


def _items(
    group: OrderGroup, title: str, ordered: Ordered, words: Words, sums: OrderWords
) -> Table:
    rows = []
    for item in ordered.items:
        if item.group == group:
            quantity, unit = sums.quantity(item)
            what = _what(item, words)
            rows.append((what, quantity, unit, sums.arithmetic(item.arithmetic)))
    return Table(
        title=title,
        columns=(
            Column(heading="what"),
            Column(heading="order", right=True),
            Column(heading="unit"),
            Column(heading="how it is worked out"),
        ),
        rows=tuple(rows),
    )


def _what(item: Item, words: Words) -> str:
    # What is bought stands out from what only goes into it.
    sizes = " x ".join(words.length(v.metres) for _, v in item.sizes if isinstance(v, LengthOf))
    name = _SAID.get(item.what, item.what)
    what = f"{safe(name)}, {sizes}" if sizes else safe(name)
    return what if item.price else f"- {what}"


def loads_table(ordered: Ordered, sums: OrderWords) -> Table:
    """Set out the loads of each pour."""
    rows = tuple(
        (
            pour.what,
            sums.bulk(pour.volume),
            str(pour.count),
            sums.bulk(pour.truck),
            sums.bulk(pour.last),
            f"{plain(pour.minutes, 1)} min",
        )
        for pour in ordered.pours
    )
    return Table(
        title="Truck loads",
        columns=(
            Column(heading="pour"),
            Column(heading="ordered", right=True),
            Column(heading="loads", right=True),
            Column(heading="full", right=True),
            Column(heading="last", right=True),
            Column(heading="one by one", right=True),
        ),
        rows=rows,
    )


def levels_table(ordered: Ordered, words: Words, sums: OrderWords) -> Table:
    """Set out the levels in the order in which they are poured."""
    rows = tuple(
        (
            words.level(each.level) if ordered.graded else "level",
            ", ".join(map(safe, each.walls)),
            sums.bulk(each.volume),
            sums.bulk(each.total),
            str(each.load),
        )
        for each in ordered.levels
    )
    return Table(
        title="Pour from the low end up",
        columns=(
            Column(heading="bottom at"),
            Column(heading="under"),
            Column(heading="takes", right=True),
            Column(heading="poured then", right=True),
            Column(heading="in load", right=True),
        ),
        rows=rows if ordered.graded else (),
        note="Waste is in. The low levels first, so that nothing slumps off a step.",
    )


def _pieces(ordered: Ordered, words: Words) -> Table:
    rows = tuple(
        (
            piece.what,
            safe(piece.where),
            bar_name(piece.size),
            words.length(piece.length),
            str(piece.count),
        )
        for piece in ordered.pieces
    )
    return Table(
        title="Bars to cut and bend",
        columns=(
            Column(heading="bar"),
            Column(heading="where"),
            Column(heading="size"),
            Column(heading="length", right=True),
            Column(heading="pieces", right=True),
        ),
        rows=rows,
    )


def cuts_table(each: CutList, words: Words) -> Table:
    """Set out how bars of one size are cut."""
    # Ways to cut that read alike, their pieces unlike by less than is shown, stand in one row.
    counts: dict[tuple[str, str], int] = {}
    for stick in each.sticks:
        into = " + ".join(_grouped([words.length(piece) for piece in stick.pieces]))
        way = (into, words.length(stick.left))
        counts[way] = counts.get(way, 0) + stick.count
    rows = tuple((str(count), into, left) for (into, left), count in counts.items())
    best = "no cutting needs fewer" if each.proved else f"at least {each.fewest} are needed"
    return Table(
        title=f"Cut {each.bars} bars {bar_name(each.size)} of {words.length(each.stock)}: {best}",
        columns=(
            Column(heading="bars", right=True),
            Column(heading="into"),
            Column(heading="left", right=True),
        ),
        rows=rows,
    )


def _grouped(pieces: list[str]) -> list[str]:
    counts: dict[str, int] = {}
    for piece in pieces:
        counts[piece] = counts.get(piece, 0) + 1
    return [piece if n == 1 else f"{n} x {piece}" for piece, n in counts.items()]


def _courses(ordered: Ordered) -> Table:
    # Courses that read alike stand in one row.
    rows: list[tuple[str, list[int], tuple[str, ...]]] = []
    for each in ordered.blocks:
        cells = (str(each.stretchers), str(each.corners), str(each.halves), str(each.cuts))
        match = next((row for row in rows if row[0] == each.wall and row[2] == cells), None)
        if match is None:
            rows.append((each.wall, [each.course], cells))
        else:
            match[1].append(each.course)
    return Table(
        title="Block by wall and course, the top course first",
        columns=(
            Column(heading="wall"),
            Column(heading="courses"),
            Column(heading="stretchers", right=True),
            Column(heading="corners", right=True),
            Column(heading="halves", right=True),
            Column(heading="cut", right=True),
        ),
        rows=tuple((safe(wall), ", ".join(map(str, n)), *cells) for wall, n, cells in rows),
        note="Blocks in each of the courses named.",
    )


def bolts_table(ordered: Ordered, words: Words) -> Table:
    """Set out where the anchor bolts stand."""
    rows = tuple(
        (safe(each.wall), str(len(each.stations)), ", ".join(map(words.length, each.stations)))
        for each in ordered.bolts
    )
    return Table(
        title="Anchor bolts, from the wall's first corner or the line's start",
        columns=(
            Column(heading="wall"),
            Column(heading="bolts", right=True),
            Column(heading="at"),
        ),
        rows=rows,
        note="Where a plate is spliced, one more within 12 in (305 mm) each side of the joint.",
    )


def costs_table(ordered: Ordered) -> Table:
    """Set out what the price list comes to."""
    rows = [(safe(what), decimal_text(cost, 2)) for what, cost in ordered.costs]
    if rows:
        rows.append(("together", decimal_text(sum(cost for _, cost in ordered.costs), 2)))
    unpriced = ", ".join(_unpriced(ordered)) if rows else ""
    return Table(
        title="Costs by the price list",
        columns=(Column(heading="what"), Column(heading="cost", right=True)),
        rows=tuple(rows),
        note=f"No price for: {unpriced}." if unpriced else "",
    )


def _unpriced(ordered: Ordered) -> list[str]:
    # Bars are priced one by one or by weight: where either is priced the other is not missed.
    priced = {what for what, _ in ordered.costs}
    weighed = {item.what for item in ordered.items if item.price == "steel"}
    by_weight = bool(weighed & priced)
    missing = (
        item.price
        for item in ordered.items
        if item.price
        and item.quantity > 0
        and item.what not in priced | weighed
        and not (by_weight and item.group == OrderGroup.STEEL)
    )
    return list(dict.fromkeys(missing))
