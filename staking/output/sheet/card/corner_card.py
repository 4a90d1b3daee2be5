"""What half a page says of one corner: its boards, its paint, its levels, its tapes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.grade.setting_out.slope_tape import slope_tapes
from staking.kinds import StringKind
from staking.notices import Severity
from staking.output.blocks import Block, BlockTopic, Column, Listing, Table
from staking.output.sheet.card.corner_levels import level_table, step_table
from staking.output.tables.layout_tables import offset_words
from staking.output.tables.notice_listings import sentence
from staking.output.tables.paint import paint_blocks
from staking.output.wording import Words, safe
from staking.units import INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Check, String
    from staking.notices import Notice
    from staking.plan import Building, Corner, Wall
    from staking.project.sheets import Sheets

_ELSEWHERE = frozenset({"board-tier", "trench-way-out", "trench-protection", "readings-apart"})
"""Notices whose matter a corner's tables or the lists tell already, or that clash with nothing."""
READINGS = ("before digging", "on the forms", "on the poured footing")
"""When a tape is read again: columns to write in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CornerSheet:
    """One corner's half page.

    Parameters
    ----------
    name, building
        The corner, and its building where there are several.
    title, neighbours
        What stands on top.
    narrow
        What stands under the sketch.
    nails, beside
        The boards with their nails, and what stands beside them where there is room.
    wide
        What stands under both.
    boards
        Names of the boards that hold its strings, for the sketch.
    """

    name: str
    building: str
    title: str
    neighbours: str
    narrow: tuple[Block, ...]
    nails: Table | None
    beside: tuple[Table, ...]
    wide: tuple[Block, ...]
    boards: tuple[str, ...]


def corner_sheets(sheets: Sheets) -> tuple[CornerSheet, ...]:
    """Set out every corner's half page.

    Parameters
    ----------
    sheets
        What is shown of the job.

    Returns
    -------
    tuple of CornerSheet
        In the plan's order.
    """
    layout = sheets.layout
    words = Words(layout.options)
    several = len(layout.plan.buildings) > 1
    return tuple(
        _corner(sheets, words, building, at, several)
        for building in layout.plan.buildings
        for at in range(len(building.corners))
    )


def _corner(
    sheets: Sheets, words: Words, building: Building, at: int, several: bool
) -> CornerSheet:
    layout = sheets.layout
    corner = building.corners[at]
    walls = (building.walls[at], building.walls[at - 1])
    others = (building.corners[(at + 1) % len(building.corners)], building.corners[at - 1])
    boards = boards_at(layout, corner.name)
    of = f" of {safe(building.name or '')}" if several and building.name else ""
    names = {corner.name, *(wall.name for wall in walls)}
    narrow = (level_table(layout, corner.name, walls, words), _kept(sheets, corner, words))
    beside = (
        _paint(layout, walls, words),
        step_table(layout, corner.name, walls, words),
    )
    wide = (
        _tapes(layout, corner.name, words),
        _on_building(layout, corner.name, words),
        _clashes(layout, names, {board.name for board in boards}, words),
    )
    return CornerSheet(
        name=corner.name,
        building=building.name or "",
        title=f"Corner {safe(corner.name)}{of}",
        neighbours=", ".join(
            f"{words.length(math.dist(corner.point, other.point))} to {other.name}"
            for other in others
        ),
        narrow=tuple(block for block in narrow if block is not None),
        nails=_boards(layout, boards, words),
        beside=tuple(block for block in beside if block is not None),
        wide=tuple(block for block in wide if block is not None),
        boards=tuple(board.name for board in boards),
    )


def boards_at(layout: Layout, corner: str) -> tuple[Board, ...]:
    """Find the boards that hold the strings over a corner.

    Parameters
    ----------
    layout
        The layout.
    corner
        Its name.

    Returns
    -------
    tuple of Board
        Those beyond the corner; of a string with none there, the nearest one.
    """
    by_name = {board.name: board for board in layout.boards}
    found: list[Board] = []
    for string, station in strings_over(layout, corner):
        ends = [by_name[name] for name in string.boards if name is not None]
        own = [board for board in ends if board.end == corner and board.string == string.name]
        if not own and ends:
            places = {string.boards[0]: 0.0, string.boards[1]: string.length}
            own = [min(ends, key=lambda board: abs(places[board.name] - station))]
        found += own
    return tuple(dict.fromkeys(found))


def strings_over(layout: Layout, corner: str) -> Iterator[tuple[String, float]]:
    """List the strings that pass a corner.

    Yields
    ------
    tuple
        The string, and how far the corner is from its start, m.
    """
    for string in layout.strings:
        if string.kind is not StringKind.WALL:
            continue
        for each in string.passes:
            if not each.is_pad and each.name == corner:
                yield string, each.from_start


def _boards(layout: Layout, boards: tuple[Board, ...], words: Words) -> Table | None:
    if not boards:
        return None
    strings = {string.name: string for string in layout.strings}
    columns = [_nails(board, strings[board.string], words) for board in boards]
    heights = list(zip(*(_heights(layout, board, words) for board in boards), strict=True))
    rows = [
        ("string", *(board.string for board in boards)),
        (
            "stands",
            *(
                f"{words.length(board.stand_off)} past "
                f"{'the far face' if board.far_face else board.end}"
                for board in boards
            ),
        ),
    ]
    for name, told in zip(("top above ground", "a lower string"), heights, strict=True):
        if any(told):
            rows.append((name, *told))
    names = [tuple(name for name, _ in column) for column in columns]
    if len(set(names)) == 1:
        rows += [(name, *(column[at][1] for column in columns)) for at, name in enumerate(names[0])]
    else:
        # Boards with other nails: each in its own order, names and offsets in one cell.
        longest = max(map(len, names))
        for at in range(longest):
            cells = [": ".join(column[at]) if at < len(column) else "" for column in columns]
            rows.append((f"nail {at + 1}", *cells))
    return Table(
        title="Boards, nails from the outside in",
        columns=(
            Column(heading=""),
            *(Column(heading=f"board {board.name}", right=True) for board in boards),
        ),
        rows=tuple(rows),
    )


def _nails(board: Board, string: String, words: Words) -> list[tuple[str, str]]:
    # From the outermost nail to the innermost.
    walls: dict[str, set[str]] = {}
    for mark in board.marks:
        walls.setdefault(mark.mark, set()).add(mark.wall)
    return [
        (
            f"{mark.mark} {mark.wall}" if len(walls[mark.mark]) > 1 else mark.mark,
            offset_words(mark, string, words),
        )
        for mark in sorted(board.marks, key=lambda mark: -mark.offset)
    ]


def _heights(layout: Layout, board: Board, words: Words) -> tuple[str, str]:
    # The board's top over the ground; how far under it a second, lower string is tied.
    for each in () if layout.grade is None else layout.grade.boards:
        if each.board == board.name:
            height = "" if each.height is None else words.length(each.height)
            tier = "" if each.tier is None else f"{words.length(each.top - each.tier)} under it"
            return height, tier
    return "", ""


def _paint(layout: Layout, walls: tuple[Wall, ...], words: Words) -> Table | None:
    names = {wall.name for wall in walls}
    for block in paint_blocks(layout, words):
        if isinstance(block, Table) and block.topic is BlockTopic.WALL_PAINT:
            rows = tuple(row for row in block.rows if row[0] in names)
            if rows:
                title = "Paint, square from the string"
                return Table(title=title, columns=block.columns, rows=rows)
    return None


def _tapes(layout: Layout, corner: str, words: Words) -> Table | None:
    checks = [
        each
        for each in layout.checks
        if corner in {each.from_name, each.to_name, each.at}
        and (each.at is None or each.at == corner)
    ]
    if not checks:
        return None
    sloping = layout.grade is not None
    rows = tuple(
        (
            _what(each.check, corner, words),
            words.length(each.check.distance),
            *((words.length(each.within),) if sloping else ()),
            words.allowed(each.check.allowed),
            *("" for _ in READINGS),
        )
        for each in slope_tapes(checks)
    )
    headings = ("what", "level", *(("level within",) if sloping else ()), "allowed +/-")
    note = (
        f"Held out of level by more than 'level within', it reads {words.length(INCH / 16)} too "
        "long or more."
    )
    return Table(
        title="Tape",
        columns=(
            *(Column(heading=each, right=each != "what") for each in headings),
            *(Column(heading=each, blank=True) for each in READINGS),
        ),
        rows=rows,
        note=note if sloping else "",
    )


def _what(check: Check, corner: str, words: Words) -> str:
    first, second = safe(check.from_name), safe(check.to_name)
    if check.legs is None:
        other = second if check.from_name == corner else first
        return f"{check.kind} to {other}"
    one, two = map(words.length, check.legs)
    return f"{check.kind}: {one} toward {first}, {two} toward {second}"


def _kept(sheets: Sheets, corner: Corner, words: Words) -> Table | None:
    # What is left to find the corner by when its stake is dug out.
    rows = [
        (f"hub on {hub.wall}", words.length(math.dist(corner.point, (hub.x, hub.y))))
        for hub in sheets.layout.hubs
        if hub.corner == corner.name
    ]
    if sheets.staked is not None and sheets.layout.site is not None:
        rows += [
            (f"tie to {safe(point)}", words.length(distance))
            for each in sheets.staked.ties
            if each.name == corner.name
            for point, distance in (
                (each.first, each.first_distance),
                (each.second, each.second_distance),
            )
        ]
    if not rows:
        return None
    return Table(
        title="Hubs and ties" if len(rows) > 2 else "Hubs",
        columns=(Column(heading=""), Column(heading="from the corner", right=True)),
        rows=tuple(rows),
    )


def _on_building(layout: Layout, corner: str, words: Words) -> Listing | None:
    # A string that is tied to a standing building has no board at that end.
    lines = [
        sentence(words.notice(each))
        for each in layout.notices
        if each.kind == "string-on-building" and dict(each.values).get("end") == corner
    ]
    return Listing(title="Without a board", lines=tuple(lines)) if lines else None


def _clashes(layout: Layout, names: set[str], boards: set[str], words: Words) -> Listing | None:
    lines = dict.fromkeys(
        sentence(words.notice(each))
        for each in layout.notices
        if each.severity is not Severity.NOTE
        and each.kind not in _ELSEWHERE
        and _touches(each, names, boards)
    )
    return Listing(title="Clashes", lines=tuple(lines)) if lines else None


def _touches(told: Notice, names: set[str], boards: set[str]) -> bool:
    for key, value in told.values:
        if not isinstance(value, str):
            continue
        parts = {part.strip() for part in value.replace(" and ", ",").split(",")}
        if parts & (boards if key.startswith("board") else names):
            return True
        # Stakes are named as "board 4" and "the hub of F on F-A", missing hubs as "F on F-A".
        for part in parts:
            words = part.removeprefix("the ").split()
            if words[:1] == ["board"] and words[1:2] and words[1] in boards:
                return True
            if words[:2] == ["hub", "of"] and words[2:3] and words[2] in names:
                return True
            if words[1:2] == ["on"] and words[0] in names:
                return True
    return False
