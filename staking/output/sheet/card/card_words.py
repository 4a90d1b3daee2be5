"""What a card says, as tables and sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.laid_out.cards import Card, CardKind, CardLevel
from staking.layout.marks import dig_growth
from staking.notices import NoticeKind, Severity
from staking.output.blocks import Column, Table
from staking.output.sheet.sheet_tables import SHORT_READINGS
from staking.output.tables.layout_tables import offset_words
from staking.output.tables.notice_listings import sentence
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Check, Mark, String
    from staking.notices import Notice
    from staking.plan import Footing, Pad
    from staking.project.sheets import Sheets

_ELSEWHERE = frozenset({
    NoticeKind.BOARD_TIER,
    NoticeKind.TRENCH_WAY_OUT,
    NoticeKind.TRENCH_PROTECTION,
    NoticeKind.READINGS_APART,
})
"""Notices whose matter a card's tables or the lists tell already, or that clash with nothing."""
_SHORT = 11
"""A string's name of more letters is left to the sheet of boards."""
_TITLES = {
    CardKind.CORNER: "Corner",
    CardKind.INSIDE_CORNER: "Inside corner",
    CardKind.INTERIOR_LINE: "Interior line",
    CardKind.PADS: "Pads",
}


@frozen
class CardWords:
    """What stands on a card beside its sketch.

    Parameters
    ----------
    title
        What stands on top.
    small
        Tables that fit beside or under the sketch.
    wide
        Tables that take the width of the card.
    said
        Sentences.
    """

    title: str
    small: tuple[Table, ...]
    wide: tuple[Table, ...]
    said: tuple[str, ...]


def card_words(sheets: Sheets, card: Card) -> CardWords:
    """Put a card into words.

    Parameters
    ----------
    sheets
        What is shown of the job.
    card
        The card.

    Returns
    -------
    CardWords
        Tables without rows left out.
    """
    layout, words = sheets.layout, Words(sheets.layout.options)
    of = f" of {safe(card.building)}" if card.building else ""
    small = (
        _levels(layout, card, words),
        _kept(sheets, card, words),
        _paint(layout, card, words),
        _stations(layout, card, words),
    )
    wide = (_nails(layout, card, words), _steps(card, words), _tapes(card, words))
    return CardWords(
        title=f"{_TITLES[card.kind]} {safe(card.name)}{of}",
        small=tuple(each for each in small if each is not None),
        wide=tuple(each for each in wide if each is not None),
        said=tuple(dict.fromkeys((*_again(layout, card, words), *_notices(layout, card, words)))),
    )


def _table(headings: Sequence[str], rows: Sequence[tuple[str, ...]], *, left: int = 1) -> Table:
    # A table whose title is its first heading; figures to the right.
    return Table(
        title="",
        columns=tuple(Column(heading=text, right=at >= left) for at, text in enumerate(headings)),
        rows=tuple(rows),
    )


def _levels(layout: Layout, card: Card, words: Words) -> Table | None:
    graded = layout.grade
    if graded is None or not card.levels:
        return None

    def told(each: CardLevel) -> str:
        return words.level(each.level) if each.add is None else words.added(each.add, graded.rod)

    known = graded.benchmark_level is not None
    if card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}:
        rows = [
            (" ".join(part for part in (each.what, safe(each.of)) if part), told(each))
            for each in card.levels
        ]
        return _table(("Levels", "add to the benchmark" if known else "level"), rows)
    # A run or a pad a row.
    pairs = list(zip(card.levels[::2], card.levels[1::2], strict=True))
    runs = []
    for top, dig in pairs:
        name = safe(top.of)
        if top.start is not None and top.end is not None:
            name = f"{words.length(top.start)} to {words.length(top.end)}"
        runs.append((name, told(top), told(dig)))
    heads = ("Add to the benchmark" if known else "Levels", pairs[0][0].what, pairs[0][1].what)
    return _table(heads, runs)


def _nails(layout: Layout, card: Card, words: Words) -> Table | None:
    if not card.boards:
        return None
    strings = {string.name: string for string in layout.strings}
    columns = [_board_nails(card, each, strings[each.string], words) for each in card.boards]
    heights = list(zip(*(_heights(layout, each, words) for each in card.boards), strict=True))
    rows = [
        (
            "stands",
            *(
                f"{words.length(board.stand_off)} past {_past(board, card)}"
                for board in card.boards
            ),
        )
    ]
    for name, told in zip(("top above ground", "lower string"), heights, strict=True):
        if any(told):
            rows.append((name, *told))
    names = [tuple(name for name, _ in column) for column in columns]
    if len(set(names)) == 1:
        rows += [(name, *(column[at][1] for column in columns)) for at, name in enumerate(names[0])]
    else:
        # Boards with other nails: each in its own order, names and offsets in one cell.
        for at in range(max(map(len, names))):
            cells = [": ".join(column[at]) if at < len(column) else "" for column in columns]
            rows.append((f"nail {at + 1}", *cells))
    heads = ("Nails, outside in", *map(_board_name, card.boards))
    return _table(heads, rows)


def _past(board: Board, card: Card) -> str:
    if board.far_face:
        return "the far face"
    return "here" if board.end == card.name and len(card.points) == 1 else board.end


def _board_name(board: Board) -> str:
    string = f", {board.string}" if len(board.string) <= _SHORT else ""
    return f"board {board.name}{string}"


def _board_nails(card: Card, board: Board, string: String, words: Words) -> list[tuple[str, str]]:
    # From the outermost nail to the innermost.
    walls: dict[str, set[str]] = {}
    for mark in board.marks:
        walls.setdefault(mark.mark, set()).add(mark.wall)

    def named(mark: Mark) -> str:
        if len(walls[mark.mark]) == 1:
            return mark.mark
        if len(mark.wall) <= _SHORT:
            return f"{mark.mark} {mark.wall}"
        return mark.mark if mark.wall in card.walls else f"{mark.mark}, other wall"

    return [
        (named(mark), offset_words(mark, string, words))
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


def _paint(layout: Layout, card: Card, words: Words) -> Table | None:
    rows = []
    for name, footing, plus, sides in _footed(layout):
        if name not in card.walls:
            continue
        grown = dig_growth(footing, layout.options.dig) if layout.digs_wider else 0.0
        edges = (plus + grown, plus - footing.width - grown)
        rows.append((_wall(card, name), *(_off(each, sides, words) for each in edges)))
    if not rows:
        return None
    what = "dig line" if layout.digs_wider else "footing"
    return _table((f"Paint {what}", "", ""), rows)


def _wall(card: Card, name: str) -> str:
    # A wall of this corner; one whose name is long goes by its other end.
    if len(name) <= _SHORT:
        return safe(name)
    ends = [each for each in name.split("-") if each != card.name]
    return f"wall to {safe(ends[0])}" if len(ends) == 1 and "-" in name else safe(name)


def _footed(layout: Layout) -> Iterator[tuple[str, Footing, float, tuple[str, str]]]:
    for building in layout.plan.buildings:
        for wall in building.walls:
            if wall.existing is None:
                yield wall.name, wall.footing, wall.footing.outside, ("out", "in")
    for line in layout.plan.interior:
        yield line.name, line.footing, line.footing.width / 2, ("right", "left")


def _off(offset: float, sides: tuple[str, str], words: Words) -> str:
    if abs(offset) < ON_LINE:
        return "on it"
    return f"{words.length(abs(offset))} {sides[offset < 0]}"


def _steps(card: Card, words: Words) -> Table | None:
    rows = [
        (
            f"toward {each.toward}",
            f"{'down' if each.down else 'up'} {words.length(each.rise)}",
            words.length(each.face),
            words.length(each.dig_to),
        )
        for each in card.steps
    ]
    name = "First step"
    if card.kind is CardKind.INTERIOR_LINE:
        name = f"Steps, from {safe(card.neighbours[-1].name)}"
    return _table((name, "goes", "face at", "dig to"), rows) if rows else None


def _tapes(card: Card, words: Words) -> Table | None:
    rows = [
        (
            _what(each.check, card.name, words),
            words.length(each.check.distance),
            words.allowed(each.check.allowed),
            *("" for _ in SHORT_READINGS),
        )
        for each in card.tapes
    ]
    if not rows:
        return None
    return Table(
        title="",
        columns=(
            *(Column(heading=each, right=each != "Tape") for each in ("Tape", "level", "+/-")),
            *(Column(heading=each, blank=True) for each in SHORT_READINGS),
        ),
        rows=tuple(rows),
    )


def _what(check: Check, corner: str, words: Words) -> str:
    first, second = safe(check.from_name), safe(check.to_name)
    if check.legs is None:
        other = second if check.from_name == corner else first
        return f"{check.kind} to {other}"
    one, two = map(words.length, check.legs)
    square = check.kind is CheckKind.RIGHT_ANGLE
    return f"{'3-4-5' if square else check.kind}: {one} to {first}, {two} to {second}"


def _kept(sheets: Sheets, card: Card, words: Words) -> Table | None:
    # What is left to find the corner by when its stake is dug out.
    rows = [(f"hub on {_wall(card, hub.wall)}", words.length(hub.distance)) for hub in card.hubs]
    if sheets.staked is not None and sheets.layout.site is not None and card.hubs:
        rows += [
            (f"to {safe(point)}", words.length(distance))
            for each in sheets.staked.ties
            if each.name == card.name
            for point, distance in (
                (each.first, each.first_distance),
                (each.second, each.second_distance),
            )
        ]
    heading = "Hubs and ties" if len(rows) > len(card.hubs) else "Hubs"
    return _table((heading, "from here"), rows) if rows else None


def _stations(layout: Layout, card: Card, words: Words) -> Table | None:
    # Where each pad stands along its string, and what is dug and formed there.
    if card.kind is not CardKind.PADS:
        return None
    sizes = {pad.name: _pad_size(pad, words) for pad in layout.plan.pads}
    if not card.stations:
        return _table(("Pads", "footing"), [(safe(e), sizes[e]) for e in card.walls])
    rows = [(safe(e.name), words.length(e.distance), sizes[e.name]) for e in card.stations]
    start = f"from board {card.boards[0].name}" if card.boards else "from the string's start"
    return _table(("Pads", start, "footing"), rows)


def _pad_size(pad: Pad, words: Words) -> str:
    size = f"{words.length(pad.diameter or 0.0)} round"
    if pad.size is not None:
        size = " x ".join(map(words.length, pad.size))
    return f"{size}, {words.length(pad.thickness)} thick"


def _again(layout: Layout, card: Card, words: Words) -> Iterator[str]:
    # How its place is found again, and how deep things stand under the strings.
    if card.courses:
        told = " or ".join(map(str, card.courses))
        yield f"{told} courses from the footing up to the top of the wall."
    if card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}:
        strings = " and ".join(map(safe, card.strings))
        hub = "tape back from a hub in line with the wall's other corner" if card.hubs else ""
        plumb = f"plumb down where strings {strings} cross" if len(card.strings) > 1 else ""
        ways = ", or ".join(way for way in (hub, plumb) if way)
        if ways:
            yield f"Stake gone: {ways}."
    elif card.strings:
        where = "along it" if card.kind is CardKind.INTERIOR_LINE else "at each pad's station"
        yield f"Set again: pull string {' and '.join(card.strings)}, and plumb down {where}."


def _notices(layout: Layout, card: Card, words: Words) -> Iterator[str]:
    # A string tied to a standing building has no board at that end; what clashes here.
    names = {card.name, *card.walls}
    boards = {board.name for board in card.boards}
    for each in layout.notices:
        tied = (
            each.kind == NoticeKind.STRING_ON_BUILDING and dict(each.values).get("end") == card.name
        )
        clash = (
            each.severity is not Severity.NOTE
            and each.kind not in _ELSEWHERE
            and _touches(each, names, boards)
        )
        if tied or clash:
            yield sentence(words.notice(each))


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
