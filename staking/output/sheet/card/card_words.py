"""What a card says, as tables and sentences."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.laid_out.cards import Card, CardKind, CardLevel
from staking.layout.marks import dig_growth
from staking.notices import NoticeKind, Severity
from staking.output.blocks import Column, Table
from staking.output.sheet.sheet_tables import SHORT_READINGS
from staking.output.sheet_drawings.paper_drawing import NumberedNames
from staking.output.tables.layout_tables import offset_words
from staking.output.tables.notice_listings import notice_sentence
from staking.output.wording import Words, safe
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from staking.grade.graded import Graded
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
    NoticeKind.WATER_UPHILL,
    NoticeKind.SLOPE_ABOVE,
    NoticeKind.SLOPE_BELOW,
    NoticeKind.SLOPE_OVER_45,
})
"""Notices whose matter a card's tables or the lists tell already, or that clash with nothing."""
_NUMBER = re.compile(r"#\d+")
"""A number that stands for a long name."""
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
    levels, kept, paint, stations
        The levels to set; what the corner is found by again; what is painted; where pads stand.
    nails, steps, tapes
        The boards with their nails; steps of the footing; what is taped. Each table is None where
        it would have no row.
    said
        Sentences.
    """

    title: str
    levels: Table | None
    kept: Table | None
    paint: Table | None
    stations: Table | None
    nails: Table | None
    steps: Table | None
    tapes: Table | None
    said: tuple[str, ...]

    @property
    def small(self) -> tuple[Table, ...]:
        """Tables that fit beside or under the sketch."""
        found = (self.levels, self.kept, self.paint, self.stations)
        return tuple(each for each in found if each is not None)

    @property
    def wide(self) -> tuple[Table, ...]:
        """Tables that take the width of the card."""
        return tuple(each for each in (self.nails, self.steps, self.tapes) if each is not None)


class _CardNames:
    """Names as the sheets' plans write them, and which numbers a card has used."""

    def __init__(self, layout: Layout, own: str, *, numbered: bool) -> None:
        self._names = NumberedNames(layout.plan)
        self._numbered = numbered
        self._own = own
        self._used: set[str] = set()

    def __call__(self, text: str) -> str:
        """Write a name, or names among other words."""
        if not self._numbered:
            return safe(text)
        shown = self._names.within(text)
        self._used |= set(_NUMBER.findall(shown))
        return shown

    def told(self) -> Iterator[str]:
        """Say which names the numbers stand for that the card's title does not tell."""
        found = [
            f"{number} {safe(name)}"
            for number, name in self._names.numbered
            if number in self._used and name != self._own
        ]
        if found:
            yield f"{', '.join(found)}."


def card_words(sheets: Sheets, card: Card, *, numbered: bool = True) -> CardWords:
    """Put a card into words.

    Parameters
    ----------
    sheets
        What is shown of the job.
    card
        The card.
    numbered
        Whether long names stand as their numbers, as on the plans, with a sentence for them.

    Returns
    -------
    CardWords
        Complete.
    """
    layout, words = sheets.layout, Words(sheets.layout.options)
    own = "" if card.kind is CardKind.PADS else card.name
    names = _CardNames(layout, own, numbered=numbered)
    of = f" of {safe(card.building)}" if card.building else ""
    levels = _levels(layout, card, words, names)
    kept = _kept(sheets, card, words, names)
    paint = _paint(layout, card, words, names)
    stations = _stations(layout, card, words, names)
    nails = _nails(layout, card, words, names)
    steps = _steps(card, words, names)
    tapes = _tapes(card, words, names, sloping=layout.grade is not None)
    said = [*_again(layout, card, names), *_notices(layout, card, words)]
    kind = _TITLES[card.kind]
    if card.kind is CardKind.PADS and len(card.walls) == 1:
        kind = "Pad"
    return CardWords(
        title=f"{kind} {_titled(layout, card) if numbered else safe(card.name)}{of}",
        levels=levels,
        kept=kept,
        paint=paint,
        stations=stations,
        nails=nails,
        steps=steps,
        tapes=tapes,
        # the names that the tables used as numbers are known once they are made
        said=tuple(dict.fromkeys((*said, *names.told()))),
    )


def _titled(layout: Layout, card: Card) -> str:
    # A name that stands as a number on the plans has its number before it here.
    names = NumberedNames(layout.plan)
    number = names.within(card.name)
    if card.kind is CardKind.PADS:
        return number
    return safe(card.name) if number == card.name else f"{number} {safe(card.name)}"


def _table(headings: Sequence[str], rows: Sequence[tuple[str, ...]], *, left: int = 1) -> Table:
    # A table whose title is its first heading; figures to the right.
    return Table(
        title="",
        columns=tuple(Column(heading=text, right=at >= left) for at, text in enumerate(headings)),
        rows=tuple(rows),
    )


def _levels(layout: Layout, card: Card, words: Words, names: _CardNames) -> Table | None:
    graded = layout.grade
    if graded is None or not card.levels:
        return None

    def told(each: CardLevel) -> str:
        return words.level(each.level) if each.add is None else words.added(each.add, graded.rod)

    known = graded.benchmark_level is not None
    if card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}:
        rows = [
            (" ".join(part for part in (each.what, names(each.of)) if part), told(each))
            for each in card.levels
        ]
        return _table(("Levels", "add to the benchmark" if known else "level"), rows)
    # A run or a pad a row.
    pairs = list(zip(card.levels[::2], card.levels[1::2], strict=True))
    runs = []
    for top, dig in pairs:
        name = names(top.of)
        if top.start is not None and top.end is not None:
            name = f"{words.length(top.start)} to {words.length(top.end)}"
        runs.append((name, told(top), told(dig)))
    heads = ("Add to the benchmark" if known else "Levels", pairs[0][0].what, pairs[0][1].what)
    return _table(heads, runs)


def _nails(layout: Layout, card: Card, words: Words, names: _CardNames) -> Table | None:
    if not card.boards:
        return None
    strings = {string.name: string for string in layout.strings}
    columns = [_board_nails(each, strings[each.string], words, names) for each in card.boards]
    rows = [
        (
            "stands",
            *(
                f"{words.length(board.stand_off)} past {_past(board, card, names)}"
                for board in card.boards
            ),
        ),
        *_heights(layout, card, words),
    ]
    called = [tuple(name for name, _ in column) for column in columns]
    if len(set(called)) == 1:
        rows += [
            (name, *(column[at][1] for column in columns)) for at, name in enumerate(called[0])
        ]
    else:
        # Boards with other nails: each in its own order, names and offsets in one cell.
        for at in range(max(map(len, called))):
            cells = [": ".join(column[at]) if at < len(column) else "" for column in columns]
            rows.append((f"nail {at + 1}", *cells))
    heads = (f"board {board.name}, {names(board.string)}" for board in card.boards)
    return _table(("Nails, outside in", *heads), rows)


def _past(board: Board, card: Card, names: _CardNames) -> str:
    if board.far_face:
        return "the far face"
    return "here" if board.past == card.name and len(card.points) == 1 else names(board.past)


def _board_nails(
    board: Board, string: String, words: Words, names: _CardNames
) -> list[tuple[str, str]]:
    # From the outermost nail to the innermost.
    walls: dict[str, set[str]] = {}
    for mark in board.marks:
        walls.setdefault(mark.mark, set()).add(mark.wall)

    def named(mark: Mark) -> str:
        return mark.mark if len(walls[mark.mark]) == 1 else f"{mark.mark} {names(mark.wall)}"

    return [
        (named(mark), offset_words(mark, string, words))
        for mark in sorted(board.marks, key=lambda mark: -mark.offset)
    ]


def _heights(layout: Layout, card: Card, words: Words) -> Iterator[tuple[str, ...]]:
    # The level of a board's top where it is not that of all, how far over the ground it is; the
    # level of a second, lower string, and what is added for it to the reading on the benchmark.
    graded = layout.grade
    if graded is None or not card.heights:
        return
    stood = {each.board: each for each in card.heights}
    found = [stood.get(board.name) for board in card.boards]
    for name, cells in (
        (
            "top at",
            [
                None if each is None or _is_string(each.top, graded) else words.level(each.top)
                for each in found
            ],
        ),
        (
            "top above ground",
            [
                None if each is None or each.height is None else words.length(each.height)
                for each in found
            ],
        ),
        (
            "lower string at",
            [
                None if each is None or each.lower is None else words.level(each.lower)
                for each in found
            ],
        ),
        (
            "add for it",
            [
                None if each is None or each.add is None else words.added(each.add, graded.rod)
                for each in found
            ],
        ),
    ):
        if any(cells):
            yield (name, *(cell or "" for cell in cells))


def _is_string(top: float, graded: Graded) -> bool:
    # The sheet of boards tells the level that the strings and the tops of boards share.
    return graded.string is not None and abs(top - graded.string) < ON_LINE


def _paint(layout: Layout, card: Card, words: Words, names: _CardNames) -> Table | None:
    rows = []
    for name, footing, plus, sides in _footed(layout):
        if name not in card.walls:
            continue
        grown = dig_growth(footing, layout.options.dig) if layout.digs_wider else 0.0
        edges = (plus + grown, plus - footing.width - grown)
        rows.append((names(name), *(_off(each, sides, words) for each in edges)))
    if not rows:
        return None
    what = "dig line" if layout.digs_wider else "footing"
    return _table(("Paint", what, ""), rows)


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


def _steps(card: Card, words: Words, names: _CardNames) -> Table | None:
    rows = [
        (
            f"toward {names(each.toward)}",
            f"{'down' if each.down else 'up'} {words.length(each.rise)}",
            words.length(each.face),
            words.length(each.dig_to),
        )
        for each in card.steps
    ]
    name = "First step"
    if card.kind is CardKind.INTERIOR_LINE:
        name = f"Steps, from {names(card.neighbours[-1].name)}"
    return _table((name, "goes", "face at", "dig to"), rows) if rows else None


def _tapes(card: Card, words: Words, names: _CardNames, *, sloping: bool) -> Table | None:
    # On a slope each tape has how far out of level its ends may be.
    if not card.tapes:
        return None
    rows = []
    for each in card.tapes:
        within = "" if each.check.at is not None else words.length(each.within)
        rows.append((
            _what(each.check, card.name, words, names),
            words.length(each.check.distance),
            words.allowed(each.check.allowed),
            *((within,) if sloping else ()),
            *("" for _ in SHORT_READINGS),
        ))
    heads = ("Tape", "level", "+/-", *(("off level",) if sloping else ()))
    return Table(
        title="",
        columns=(
            *(Column(heading=each, right=each != "Tape") for each in heads),
            *(Column(heading=each, blank=True) for each in SHORT_READINGS),
        ),
        rows=tuple(rows),
    )


def _what(check: Check, corner: str, words: Words, names: _CardNames) -> str:
    first, second = names(check.from_name), names(check.to_name)
    if check.legs is None:
        other = second if check.from_name == corner else first
        return f"{check.kind} to {other}"
    one, two = map(words.length, check.legs)
    square = check.kind is CheckKind.RIGHT_ANGLE
    return f"{'3-4-5' if square else check.kind}: {one} to {first}, {two} to {second}"


def _kept(sheets: Sheets, card: Card, words: Words, names: _CardNames) -> Table | None:
    # What is left to find the corner by when its stake is dug out.
    rows = [(f"hub on {names(hub.wall)}", words.length(hub.distance)) for hub in card.hubs]
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


def _stations(layout: Layout, card: Card, words: Words, names: _CardNames) -> Table | None:
    # Where each pad stands along its string, and what is dug and formed there.
    if card.kind is not CardKind.PADS:
        return None
    sizes = {pad.name: _pad_size(pad, words) for pad in layout.plan.pads}
    if not card.stations:
        rows = []
        for pad in card.walls:
            tapes = [each for each in card.staked_by if each.pad == pad]
            told = [f"{words.length(each.distance)} from {names(each.corner)}" for each in tapes]
            for at, tape in enumerate(told or [""]):
                rows.append(("", tape, "") if at else (names(pad), tape, sizes[pad]))
        return _table(("Pads", "stake at", "footing"), rows)
    rows = [(names(e.name), words.length(e.distance), sizes[e.name]) for e in card.stations]
    start = f"from board {card.boards[0].name}" if card.boards else "from the string's start"
    return _table(("Pads", start, "footing"), rows)


def _pad_size(pad: Pad, words: Words) -> str:
    size = f"{words.length(pad.diameter or 0.0)} round"
    if pad.size is not None:
        size = " x ".join(map(words.length, pad.size))
    return f"{size}, {words.length(pad.thickness)} thick"


def _again(layout: Layout, card: Card, names: _CardNames) -> Iterator[str]:
    # How its place is found again, and how deep things stand under the strings.
    if card.courses:
        told = " or ".join(map(str, card.courses))
        yield f"{told} courses from the footing up to the top of the wall."
    if card.kind in {CardKind.CORNER, CardKind.INSIDE_CORNER}:
        strings = " and ".join(map(names, card.strings))
        hub = "tape back from a hub in line with the wall's other corner" if card.hubs else ""
        plumb = f"plumb down where strings {strings} cross" if len(card.strings) > 1 else ""
        ways = ", or ".join(way for way in (hub, plumb) if way)
        if ways:
            yield f"Stake gone: {ways}."
    elif card.strings:
        where = "along it" if card.kind is CardKind.INTERIOR_LINE else "at each pad's station"
        strings = " and ".join(map(names, card.strings))
        yield f"Set again: pull string {strings}, and plumb down {where}."


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
            yield notice_sentence(each, words)


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
