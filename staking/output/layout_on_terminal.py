"""The tables of a layout as the terminal shows them: short, since paper and page have the rest."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from staking.kinds import StringLine
from staking.output.blocks import Block, BlockTopic, Column, Table
from staking.output.tables.layout_tables import layout_blocks
from staking.output.wording import Words
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Sequence

    from staking.laid_out.layout_value import Layout
    from staking.layout.nail_patterns import BoardNail, BoardsAlike, NailPattern
    from staking.project.sheets import Sheets

_ELSEWHERE = frozenset({BlockTopic.CAUTIONS, BlockTopic.ACCURACY, BlockTopic.CORNERS_ON_GRID})
"""Blocks that stand on paper and page alone, or in another table's note or columns."""
_PLACE_COLUMNS = 4
"""Columns of the boards' table that say where a board stands; the others say its nails."""


def terminal_blocks(sheets: Sheets) -> tuple[Block, ...]:
    """Set out a layout for the terminal.

    Parameters
    ----------
    sheets
        What is shown of the job.

    Returns
    -------
    tuple of Table or Listing
        As `layout_blocks` has them, in the order one works, with one line for a corner, a
        boundary line or a board, the nails once for all boards that have the same, how near the
        stakes come as a sentence, and without the cautions, which the last lines name.
    """
    layout = sheets.layout
    words = Words(layout.options)
    alike = None if sheets.values is None else sheets.values.boards
    blocks = layout_blocks(layout)
    on_grid = _of_topic(blocks, BlockTopic.CORNERS_ON_GRID)
    shown: list[Block] = []
    for block in blocks:
        match block:
            case Table(topic=BlockTopic.CORNERS) if on_grid is not None:
                shown.append(_side_by_side(block, on_grid))
            case Table(topic=BlockTopic.CLEARANCES):
                shown.append(_line_by_line(block))
            case Table(topic=BlockTopic.CHECKS):
                shown.append(replace(block, note=_near(layout, words)))
            case Table(topic=BlockTopic.BOARDS) if alike is not None:
                shown += (_places(block), _nails(alike, words))
            case Table(topic=BlockTopic.WALL_PAINT):
                shown.append(_painted_alike(block))
            case _ if block.topic not in _ELSEWHERE:
                shown.append(block)
    return tuple(shown)


def _of_topic(blocks: Sequence[Block], topic: BlockTopic) -> Table | None:
    return next((b for b in blocks if isinstance(b, Table) and b.topic is topic), None)


def _side_by_side(plan: Table, grid: Table) -> Table:
    # The corners once, with their places on the plan and on the survey's grid.
    return Table(
        title=plan.title,
        columns=(*plan.columns, *grid.columns[1:]),
        rows=tuple(
            (*on_plan, *on_grid[1:]) for on_plan, on_grid in zip(plan.rows, grid.rows, strict=True)
        ),
        # How lengths on the grid differ from those on the ground is a notice already.
        note=f"Northing and easting are {grid.title.removeprefix('Corners ')}.",
    )


def _line_by_line(clearances: Table) -> Table:
    # One row for each line of the boundary, with what the wall, the footing and the eave keep.
    parts = tuple(dict.fromkeys(row[1] for row in clearances.rows))
    lines: dict[str, dict[str, tuple[str, ...]]] = {}
    for line, part, *said in clearances.rows:
        lines.setdefault(line, {})[part] = tuple(said)
    columns = clearances.columns
    return replace(
        clearances,
        columns=(
            columns[0],
            *(Column(heading=each, right=True) for each in parts),
            *columns[3:],
        ),
        rows=tuple(
            (
                line,
                *(of[part][0] if part in of else "" for part in parts),
                next(iter(of.values()))[1],
                _kept({part: said[2] for part, said in of.items()}),
            )
            for line, of in lines.items()
        ),
    )


def _kept(parts: dict[str, str]) -> str:
    said = set(parts.values())
    if len(said) == 1:
        return said.pop()
    return ", ".join(f"{part} {kept}" for part, kept in parts.items() if kept != "yes")


def _painted_alike(walls: Table) -> Table:
    # Walls with the same figures stand in one row.
    alike: dict[tuple[str, ...], list[str]] = {}
    for name, *figures in walls.rows:
        alike.setdefault(tuple(figures), []).append(name)
    return replace(
        walls, rows=tuple((", ".join(names), *figures) for figures, names in alike.items())
    )


def _near(layout: Layout, words: Words) -> str:
    within: dict[str, list[str]] = {}
    for each in layout.accuracy:
        near = "not fixed" if each.radius95 is None else words.fine(each.radius95)
        within.setdefault(near, []).append(each.corner)
    if not within:
        return ""
    said = "; ".join(f"{', '.join(corners)} {near}" for near, corners in within.items())
    return f"How near each stake comes with this tape, 19 times in 20: {said}."


def _places(boards: Table) -> Table:
    return replace(
        boards,
        title="Boards",
        columns=boards.columns[:_PLACE_COLUMNS],
        rows=tuple(row[:_PLACE_COLUMNS] for row in boards.rows if row[0]),
    )


def _nails(alike: BoardsAlike, words: Words) -> Table:
    rows: list[tuple[str, ...]] = []
    for pattern in alike.patterns:
        lead = ", ".join(pattern.boards)
        # From the outermost to the innermost; on a centre line from left to right.
        outward = pattern.line is StringLine.OUTSIDE_FACE
        for nail in pattern.nails if outward else reversed(pattern.nails):
            rows.append((lead, _name(nail), _offset(nail, pattern, words)))
            lead = ""
    return Table(
        title="Nails, in order across the board",
        columns=(
            Column(heading="boards"),
            Column(heading="nail"),
            Column(heading="from string", right=True),
        ),
        rows=tuple(rows),
    )


def _name(nail: BoardNail) -> str:
    return f"{nail.mark} {', '.join(nail.walls)}" if nail.walls else nail.mark


def _offset(nail: BoardNail, pattern: NailPattern, words: Words) -> str:
    if abs(nail.offset) < ON_LINE:
        return "on it"
    sides = ("out", "in") if pattern.line is StringLine.OUTSIDE_FACE else ("right", "left")
    return f"{words.length(abs(nail.offset))} {sides[nail.offset < 0]}"
