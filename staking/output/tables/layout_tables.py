"""The layout in tables, in the order the builder needs them.

A table here is a value: `output.terminal` prints it, in colour on a terminal and as plain
aligned columns into a pipe.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.kinds import StringKind
from staking.output.blocks import Block, BlockTopic, Column, Listing, Table
from staking.output.cautions import LAYOUT_CAUTIONS
from staking.output.tables.paint import paint_blocks
from staking.output.tables.site_tables import site_blocks
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Check, Mark, String
    from staking.plan import Point


def layout_blocks(layout: Layout) -> tuple[Block, ...]:
    """Set out a layout as tables.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of Table or Listing
        In the order one works: lot, stakes and tapes, hubs, boards, strings, paint; parts with
        nothing in them are left out.
    """
    words = Words(layout.options)
    blocks: list[Block] = [
        _corners(layout, words),
        *site_blocks(layout, words),
        checks_table("Tape these", layout.checks, words),
        _accuracy(layout, words),
        _hubs(layout, words),
        _boards(layout, words),
        _strings(layout, words),
        *paint_blocks(layout, words),
        Listing(title="Before you dig", lines=LAYOUT_CAUTIONS, topic=BlockTopic.CAUTIONS),
    ]
    return tuple(
        block for block in blocks if (block.rows if isinstance(block, Table) else block.lines)
    )


def checks_table(title: str, checks: tuple[Check, ...], words: Words) -> Table:
    """Set out what to tape.

    Parameters
    ----------
    title
        The table's title.
    checks
        The checks, in order.
    words
        The job's words.

    Returns
    -------
    Table
        Kind, from and to, what the tape reads, what it may be out by.
    """
    rows = tuple(
        (each.kind, _from_to(each, words), words.length(each.distance), words.allowed(each.allowed))
        for each in checks
    )
    return Table(
        title=title,
        topic=BlockTopic.CHECKS,
        columns=(
            Column(heading="what"),
            Column(heading="from - to"),
            Column(heading="tape reads", right=True),
            Column(heading="allowed +/-", right=True),
        ),
        rows=rows,
    )


def _from_to(check: Check, words: Words) -> str:
    first, second = safe(check.from_name), safe(check.to_name)
    if check.legs is None:
        return f"{first} - {second}"
    one, other = map(words.length, check.legs)
    return f"at {safe(check.at or '')}: {one} toward {first}, {other} toward {second}"


def _corners(layout: Layout, words: Words) -> Table:
    several = len(layout.plan.buildings) > 1
    rows = tuple(
        (
            *((safe(building.name or ""),) if several else ()),
            corner.name,
            words.length(corner.x),
            words.length(corner.y),
        )
        for building in layout.plan.buildings
        for corner in building.corners
    )
    return Table(
        title=f"{safe(layout.plan.job)}: corners at the outside face of the wall",
        topic=BlockTopic.CORNERS,
        columns=(
            *((Column(heading="building"),) if several else ()),
            Column(heading="corner"),
            Column(heading="x", right=True),
            Column(heading="y", right=True),
        ),
        rows=rows,
    )


def _strings(layout: Layout, words: Words) -> Table:
    def row(string: String) -> tuple[str, ...]:
        start, end = (f"board {board}" if board else "no board" for board in string.boards)
        passes = ", ".join(
            f"{each.name} at {words.length(each.from_start)}" for each in string.passes
        )
        return (string.name, string.line, start, end, words.length(string.length), passes)

    return Table(
        title="Strings",
        columns=(
            Column(heading="string"),
            Column(heading="along"),
            Column(heading="from"),
            Column(heading="to"),
            Column(heading="length", right=True),
            Column(heading="passes, from its start"),
        ),
        rows=tuple(map(row, layout.strings)),
    )


def _boards(layout: Layout, words: Words) -> Table:
    strings = {string.name: string for string in layout.strings}

    def rows(board: Board) -> Iterator[tuple[str, ...]]:
        string = strings[board.string]
        past = "the far face" if board.far_face else board.past
        place = f"{words.length(board.stand_off)} past {past}"
        lead = (board.name, board.string, place, words.length(board.clear))
        # From the outermost nail to the innermost; on a centre line from left to right.
        outward = string.kind is StringKind.WALL
        nails = sorted(board.marks, key=lambda mark: -mark.offset if outward else mark.offset)
        walls: dict[str, set[str]] = {}
        for mark in nails:
            walls.setdefault(mark.mark, set()).add(mark.wall)
        for mark in nails:
            # A face that several walls of the string share needs no name.
            of = f" {mark.wall}" if len(walls[mark.mark]) > 1 else ""
            yield (*lead, f"{mark.mark}{of}", offset_words(mark, string, words))
            lead = ("", "", "", "")
        if not nails:
            yield (*lead, "", "")

    return Table(
        title="Boards, with their nails in order across the board",
        topic=BlockTopic.BOARDS,
        columns=(
            Column(heading="board"),
            Column(heading="string"),
            Column(heading="stands"),
            Column(heading="clear of dig", right=True),
            Column(heading="nail"),
            Column(heading="from string", right=True),
        ),
        rows=tuple(row for board in layout.boards for row in rows(board)),
    )


def offset_words(mark: Mark, string: String, words: Words) -> str:
    """Say where a mark is on its board.

    Parameters
    ----------
    mark
        The mark.
    string
        The string of its board; its kind decides between out and in, right and left.
    words
        The job's words.

    Returns
    -------
    str
        ``6" out``; ``on it`` for the string itself.
    """
    if abs(mark.offset) < ON_LINE:
        return "on it"
    sides = ("out", "in") if string.kind is StringKind.WALL else ("right", "left")
    return f"{words.length(abs(mark.offset))} {sides[mark.offset < 0]}"


def _hubs(layout: Layout, words: Words) -> Table:
    corners: dict[str, Point] = {
        corner.name: corner.point
        for building in layout.plan.buildings
        for corner in building.corners
    }
    return Table(
        title="Hubs, kept when the corner stakes are dug out",
        columns=(
            Column(heading="corner"),
            Column(heading="on the line of"),
            Column(heading="from the corner", right=True),
            Column(heading="x", right=True),
            Column(heading="y", right=True),
        ),
        rows=tuple(
            (
                hub.corner,
                hub.wall,
                words.length(math.dist(corners[hub.corner], (hub.x, hub.y))),
                words.length(hub.x),
                words.length(hub.y),
            )
            for hub in layout.hubs
        ),
    )


def _accuracy(layout: Layout, words: Words) -> Table:
    return Table(
        title="How near each stake comes with this tape, 19 times in 20",
        topic=BlockTopic.ACCURACY,
        columns=(Column(heading="corner"), Column(heading="within", right=True)),
        rows=tuple(
            (each.corner, "not fixed" if each.radius95 is None else words.fine(each.radius95))
            for each in layout.accuracy
        ),
    )
