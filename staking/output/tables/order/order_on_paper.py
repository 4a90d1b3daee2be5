"""The order as it stands on its sheet: as in the terminal, what is long drawn together.

Bars of one place and the courses of one wall stand in one row; order.json has them one by one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.order.bars.laps import bar_name
from staking.output.blocks import Column, Table
from staking.output.tables.order.drain_table import drain_arms_table, drain_to_dig_table
from staking.output.tables.order.fill_and_forms import fill_table, forms_table
from staking.output.tables.order.order_tables import (
    bolts_table,
    costs_table,
    cuts_table,
    everything_table,
    first_table,
    levels_table,
    loads_table,
    rest_table,
)
from staking.output.tables.order.order_words import OrderWords
from staking.output.wording import Words, safe

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.laid_out.layout_value import Layout
    from staking.order.order_results import Ordered, Piece


_TIE = "\N{NO-BREAK SPACE}"
"""Keeps what belongs together on one line."""


@frozen
class OrderOnPaper:
    """The tables of the order's sheet.

    Parameters
    ----------
    narrow
        Tables that stand in half the width.
    rest
        What they leave out, without its arithmetic, where there is no room for that.
    everything
        Every item with its arithmetic, in the whole width.
    """

    narrow: tuple[Table, ...]
    rest: Table
    everything: Table


def order_on_paper(layout: Layout, ordered: Ordered) -> OrderOnPaper:
    """Set out an order for its sheet.

    Parameters
    ----------
    layout, ordered
        The layout, and its order.

    Returns
    -------
    OrderOnPaper
        The trucks, the bars and the block first.
    """
    words, sums = Words(layout.options), OrderWords(layout.options)
    narrow = (
        first_table(ordered, words, sums),
        loads_table(ordered, sums),
        levels_table(ordered, words, sums),
        _bars(ordered, words),
        *(cuts_table(each, words) for each in ordered.cut_lists),
        _blocks(ordered),
        bolts_table(ordered, words),
        drain_arms_table(ordered, words),
        drain_to_dig_table(layout, ordered, words),
        fill_table(ordered, words, sums),
        forms_table(ordered, words),
        costs_table(ordered),
    )
    return OrderOnPaper(
        narrow=tuple(each for each in narrow if each.rows),
        rest=rest_table(ordered, words, sums),
        everything=everything_table(ordered, words, sums),
    )


def _bars(ordered: Ordered, words: Words) -> Table:
    # What is of one length in one row, or what lies at one place where that takes fewer.
    rows = []
    for what, size in dict.fromkeys((each.what, each.size) for each in ordered.pieces):
        own = [each for each in ordered.pieces if (each.what, each.size) == (what, size)]
        name = f"{what}, {bar_name(size)}"
        lengths = dict.fromkeys(words.length(each.length) for each in own)
        places = dict.fromkeys(each.where for each in own)
        if len(lengths) < len(places):
            for length in lengths:
                alike = [each for each in own if words.length(each.length) == length]
                count = sum(each.count for each in alike)
                rows.append((f"{name}: {_where(alike)}", _pieces(count, length)))
            continue
        for where in places:
            here = sorted((e for e in own if e.where == where), key=lambda each: -each.length)
            pieces = ", ".join(_pieces(each.count, words.length(each.length)) for each in here)
            rows.append((f"{name}: {safe(where)}", pieces))
    return Table(
        title="Bars to cut and bend",
        columns=(Column(heading="bar"), Column(heading="pieces")),
        rows=tuple(rows),
    )


def _where(pieces: Sequence[Piece]) -> str:
    counts: dict[str, int] = {}
    for each in pieces:
        counts[each.where] = counts.get(each.where, 0) + each.count
    if len(counts) == 1:
        return safe(next(iter(counts)))
    return ", ".join(f"{safe(where)}{_TIE}{count}" for where, count in counts.items())


def _pieces(count: int, length: str) -> str:
    return f"{count} x {length}".replace(" ", _TIE)


def _blocks(ordered: Ordered) -> Table:
    rows = []
    for wall in dict.fromkeys(each.wall for each in ordered.blocks):
        own = [each for each in ordered.blocks if each.wall == wall]
        counts = (
            len({each.course for each in own}),
            sum(each.stretchers for each in own),
            sum(each.corners for each in own),
            sum(each.halves for each in own),
            sum(each.cuts for each in own),
        )
        rows.append((safe(wall), *map(str, counts)))
    names = ("courses", "stretchers", "corners", "halves", "cut")
    return Table(
        title="Block by wall",
        columns=(Column(heading="wall"), *(Column(heading=each, right=True) for each in names)),
        rows=tuple(rows),
    )
