"""What is painted on the ground, measured from the strings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.layout.marks import dig_growth
from staking.output.blocks import Block, BlockTopic, Column, Listing, Table
from staking.plan import Footing
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.laid_out.layout_value import Layout
    from staking.output.wording import Words
    from staking.plan import Dig, Pad


def paint_blocks(layout: Layout, words: Words) -> tuple[Block, ...]:
    """Say which outline is painted first, and how far each line is from its string.

    Parameters
    ----------
    layout
        The layout.
    words
        The job's words.

    Returns
    -------
    tuple of Table or Listing
        What to do, the walls and interior lines, the pads.
    """
    footing, dig = words.area(layout.footing.area), words.area(layout.dig.area)
    if layout.digs_wider:
        first = (
            f"Paint the dig line first: it is what the machine follows ({dig}). The footing "
            f"edges ({footing}) are dropped from the strings once the trench is open."
        )
    else:
        first = f"Paint the footing edges: the trench is dug to them ({footing})."
    dig_rules = layout.options.dig
    rows = [
        _paint_row(wall.name, wall.footing, wall.footing.outside, ("out", "in"), dig_rules, words)
        for building in layout.plan.buildings
        for wall in building.walls
        if wall.existing is None
    ]
    rows += [
        _paint_row(
            line.name, line.footing, line.footing.width / 2, ("right", "left"), dig_rules, words
        )
        for line in layout.plan.interior
    ]
    headings = ("wall", *(("dig line", "") if layout.digs_wider else ()), "footing edge", "")
    columns = tuple(Column(heading=text, right=at > 0) for at, text in enumerate(headings))
    walls = Table(
        title="Measured square from the string, each side",
        topic=BlockTopic.WALL_PAINT,
        columns=columns,
        rows=tuple(row if layout.digs_wider else (row[0], *row[3:]) for row in rows),
        note="A wall's string is its outside face; an interior line's is its centre.",
    )
    return Listing(title="Paint", lines=(first,)), walls, _pads(layout, words)


def _paint_row(
    name: str,
    footing: Footing,
    plus: float,
    sides: tuple[str, str],
    dig: Dig,
    words: Words,
) -> tuple[str, ...]:
    minus, growth = plus - footing.width, dig_growth(footing, dig)
    return (
        name,
        *_each_side(plus + growth, minus - growth, sides, words),
        *_each_side(plus, minus, sides, words),
    )


def _each_side(plus: float, minus: float, sides: tuple[str, str], words: Words) -> tuple[str, str]:
    first, second = (
        f"{words.length(abs(each))} {sides[0] if each > 0 else sides[1]}"
        if abs(each) >= ON_LINE
        else "on it"
        for each in (plus, minus)
    )
    return (first, second)


def _pads(layout: Layout, words: Words) -> Table:
    def size(pad: Pad, dig: Dig | None) -> str:
        if pad.size is None:
            return f"{words.length(_dug(pad.diameter or 0.0, dig))} round"
        return " x ".join(words.length(_dug(each, dig)) for each in pad.size)

    wider = layout.digs_wider
    return Table(
        title="Pads, by their centres",
        columns=(
            Column(heading="pad"),
            Column(heading="x", right=True),
            Column(heading="y", right=True),
            *((Column(heading="dig", right=True),) if wider else ()),
            Column(heading="footing", right=True),
        ),
        rows=tuple(
            (
                pad.name,
                words.length(pad.x),
                words.length(pad.y),
                *((size(pad, layout.options.dig),) if wider else ()),
                size(pad, None),
            )
            for pad in layout.plan.pads
        ),
    )


def _dug(width: float, dig: Dig | None) -> float:
    if dig is None:
        return width
    return width + 2 * dig_growth(Footing(width=width, thickness=0.0, outside=0.0), dig)
