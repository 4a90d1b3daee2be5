"""Tables onto a stream: drawn on a terminal, plain aligned columns into a pipe.

The drawing library is loaded only where a person is looking; a pipe gets the same cells.
"""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING, TextIO

from staking.output.blocks import Block, Listing, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

WIDTH = 80
_GAP = "  "
_NARROWEST = 12
"""A wrapped column is not squeezed below this many characters."""


_WITHIN = re.compile(
    r"(?<=\d') (?=\d)|(?<=\d) (?=\d+/\d)"
    r"|(?<=\d) (?=(?:sq |cu )?(?:ft|in|yd|mm?|lb)\b)|(?<=\d (?:sq|cu)) (?=(?:ft|in|yd)\b)"
)
"""The blanks within a length, an area or a volume, where no line should end."""
_TIE = "\u00a0"


def print_blocks(blocks: Iterable[Block], stream: TextIO) -> None:
    """Print tables and lists.

    Parameters
    ----------
    blocks
        What to print, in order.
    stream
        Where to; colour and rules only where it is a terminal.
    """
    if stream.isatty():
        _draw(blocks, stream)
        return
    for block in blocks:
        stream.write("\n".join(plain(block)) + "\n\n")
    # What follows on the other stream must not overtake it.
    stream.flush()


def plain(block: Block, width: int = WIDTH) -> list[str]:
    """Set a table or list in plain lines.

    Parameters
    ----------
    block
        What to set.
    width
        Characters to a line; cells are wrapped to keep within it.

    Returns
    -------
    list of str
        The lines, without trailing blanks.

    Examples
    --------
    >>> plain(Listing(title="Noted", lines=("dig by hand.",)))
    ['Noted', '- dig by hand.']
    """
    if isinstance(block, Listing):
        lines = [block.title]
        for text in block.lines:
            lines += wrapped(text, width, "- ", "  ")
        return lines
    lines = [*wrapped(block.title, width), *_rows(block, width)]
    if block.note:
        lines += wrapped(block.note, width)
    return lines


def wrapped(
    text: str, width: int, first: str = "", rest: str = "", *, break_long: bool = True
) -> list[str]:
    """Wrap a sentence, and leave a length such as 36' 6 1/2" on one line.

    Parameters
    ----------
    text
        The sentence.
    width
        Characters to a line.
    first, rest
        What the first line and the others begin with.
    break_long
        Whether a word longer than a line is broken, which a path is not.

    Returns
    -------
    list of str
        The lines.
    """
    lines = textwrap.wrap(
        _WITHIN.sub(_TIE, text),
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=break_long,
    )
    return [line.replace(_TIE, " ") for line in lines]


def _rows(table: Table, width: int) -> list[str]:
    headings = tuple(column.heading for column in table.columns)
    widths = _widths((headings, *table.rows), width)
    lines: list[str] = []
    for row in (headings, *table.rows):
        cells = [wrapped(cell, room) or [""] for cell, room in zip(row, widths, strict=True)]
        for at in range(max(map(len, cells))):
            parts = []
            for cell, room, column in zip(cells, widths, table.columns, strict=True):
                text = cell[at] if at < len(cell) else ""
                parts.append(text.rjust(room) if column.right else text.ljust(room))
            lines.append(_GAP.join(parts).rstrip())
        if row is headings:
            lines.append(_GAP.join("-" * room for room in widths))
    return lines


def _widths(rows: Sequence[tuple[str, ...]], width: int) -> list[int]:
    # Every column gets the room it asks for; what is too much is taken from the widest.
    widths = [max(1, *map(len, column)) for column in zip(*rows, strict=True)]
    room = width - len(_GAP) * (len(widths) - 1)
    while sum(widths) > room and max(widths) > _NARROWEST:
        ordered = sorted(widths, reverse=True)
        widest = ordered[0]
        at = widths.index(widest)
        runner_up = ordered[1] if len(ordered) > 1 else 0
        widths[at] = max(_NARROWEST, min(widest - 1, runner_up), widest - (sum(widths) - room))
    return widths


def _draw(blocks: Iterable[Block], stream: TextIO) -> None:
    from rich import box
    from rich.console import Console
    from rich.table import Table as Drawn
    from rich.text import Text

    console = Console(file=stream, highlight=False, markup=False, emoji=False)
    for block in blocks:
        if isinstance(block, Listing):
            console.print(Text(block.title, style="bold"))
            for line in plain(block, min(console.width, 100))[1:]:
                console.print(Text(line))
            console.print()
            continue
        drawn = Drawn(
            box=box.SIMPLE_HEAD,
            show_edge=False,
            pad_edge=False,
            padding=(0, 1, 0, 0),
        )
        for column in block.columns:
            drawn.add_column(Text(column.heading), justify="right" if column.right else "left")
        headings = tuple(column.heading for column in block.columns)
        widths = _widths((headings, *block.rows), console.width - 2)
        for row in block.rows:
            cells = ("\n".join(wrapped(*each)) for each in zip(row, widths, strict=True))
            drawn.add_row(*map(Text, cells))
        console.print(Text(block.title, style="bold"))
        console.print(drawn)
        if block.note:
            console.print(Text(block.note))
        console.print()
