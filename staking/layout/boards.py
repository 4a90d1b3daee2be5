"""Batter boards: the strings of a plan, pulled to boards that stand clear of everything dug."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from staking.footing.bands_and_outlines import Band, Outline
from staking.frozen import frozen
from staking.layout.board_numbers import BoardSpot, walking_order
from staking.layout.board_places import (
    INSIDE_CLEARANCE,
    BoardPlace,
    PlacedBoards,
    Ray,
    Why,
    find_place,
)
from staking.layout.keep_clear import InTheWay
from staking.layout.layout_parts import Board, Mark, Pass, String
from staking.layout.marks import board_reach
from staking.layout.obstacles import Stretch
from staking.layout.pad_strings import pad_lines
from staking.layout.strings import BuildingLine, interior_lines, wall_lines
from staking.notices import Length, Notice, NoticeKind, Severity, notice
from staking.plan import Options, Plan, Point


@frozen
class StringsAndBoards:
    """The strings, the boards they are tied to, and what had to be said."""

    strings: tuple[String, ...]
    boards: tuple[Board, ...]
    notices: tuple[Notice, ...]


def lay_out(
    plan: Plan, options: Options, dig_bands: tuple[Band, ...], footing: Outline | None = None
) -> StringsAndBoards:
    """Lay out the strings and boards of a plan.

    Strings come in order: walls by their sorted names, interior lines, pads. At each end, start
    before end, a board is put at the first place past the stand-off where all of it is clear of
    everything dug, of the buildings, and of the boards placed before it. When all stand they are
    numbered as one walks round the footing.

    Parameters
    ----------
    plan
        The building.
    options
        The rules for boards, and the dig's depth, which a board keeps away at least.
    dig_bands
        What is dug, as convex bands.
    footing
        The footing outline that is walked; None numbers the boards in the order of the strings.

    Returns
    -------
    StringsAndBoards
        Complete strings, and boards in the order of their numbers, with notices of whatever had
        to move.
    """
    ground = InTheWay.of(plan, dig_bands)
    lines, notices = wall_lines(plan, ground, options.dig)
    lines += interior_lines(plan, options.dig)
    lines += pad_lines(plan, ground)
    ends = _placed_ends(lines, ground, options)
    standing = [each for each in ends if each.ends is not None]
    numbers = {each.key: str(at) for at, each in enumerate(_walked(plan, footing, standing), 1)}
    boards = {
        numbers[each.key]: _board(numbers[each.key], each) for each in ends if each.key in numbers
    }
    notices += [
        said
        for each in ends
        for said in _told(each.line, each.met, numbers.get(each.key), each.place)
    ]
    across = [each for each in standing if each.place.runs_on]
    notices += _told_across([(each.line.name, each.met, numbers[each.key]) for each in across])
    farther = [numbers[each.key] for each in standing if each.place.why is Why.CLEARANCE]
    notices += _told_farther(sorted(farther, key=int), options)
    return StringsAndBoards(
        strings=tuple(
            _string(first.line, (first.place, last.place), (first.key, last.key), numbers)
            for first, last in zip(ends[::2], ends[1::2], strict=True)
        ),
        boards=tuple(boards[number] for number in sorted(boards, key=int)),
        notices=tuple(notices),
    )


@frozen(eq=False)
class _End:
    """One end of a string: its line, which end, where it is tied, and its board's two ends, m.

    `ends` is None where there is no board; `clear` is then not a number.
    """

    key: tuple[int, int]
    line: BuildingLine
    place: BoardPlace
    ends: tuple[Point, Point] | None
    clear: float

    @property
    def name(self) -> str:
        """The last corner on the line before this end, or the interior line's or pad's name."""
        return self.line.ends[self.key[1]]

    @property
    def met(self) -> str:
        """What a builder finds at this end: the corner, the pad, or what the line ends on."""
        return self.line.meets[self.key[1]]


def _placed_ends(lines: Sequence[BuildingLine], ground: InTheWay, options: Options) -> list[_End]:
    placed = PlacedBoards()
    found: list[_End] = []
    reach = max(options.boards.clearance, options.dig.depth, INSIDE_CLEARANCE)
    for number, line in enumerate(lines):
        for end, (ray, faced) in enumerate(_rays(line, ground, reach)):
            if faced:
                place = BoardPlace(station=0.0, stand_off=0.0, has_board=False, why=Why.STANDING)
            else:
                place = find_place(ray, ground, placed, options.boards, options.dig.depth)
            ends, clear = None, math.nan
            if place.has_board:
                low, high = board_reach(line.marks)
                ends = (_across(line, end, place, low), _across(line, end, place, high))
                placed.add(ends)
                clear = _clear_of(ground, ray, reach)(ends)
            found.append(_End(key=(number, end), line=line, place=place, ends=ends, clear=clear))
    return found


def _walked(plan: Plan, footing: Outline | None, standing: Sequence[_End]) -> list[_End]:
    # the ends with boards, in the order of the boards' numbers
    if footing is None:
        return list(standing)
    spots = [
        BoardSpot(
            kind=each.line.kind,
            end=each.name,
            middle=((a[0] + b[0]) / 2, (a[1] + b[1]) / 2),
        )
        for each in standing
        if each.ends is not None
        for a, b in [each.ends]
    ]
    return [standing[index] for index in walking_order(plan, footing, spots)]


def _told_across(across: list[tuple[str, str, str]]) -> list[Notice]:
    # The strings that run on across the building, each with its end and the board there.
    if not across:
        return []
    strings = list(dict.fromkeys(string for string, _, _ in across))
    past = f" past {across[0][1]}" if len(across) == 1 else ""
    boards = sorted((board for _, _, board in across), key=int)
    return [
        notice(
            "string-runs-on",
            ("string {string} runs" if len(strings) == 1 else "strings {string} run")
            + f" on across the building{past}: the stand-off of "
            + ("board {board} counts" if len(boards) == 1 else "boards {board} counts")
            + " from the last outside face",
            severity=Severity.NOTE,
            string=", ".join(strings),
            board=_in_runs(boards),
        )
    ]


def _told_farther(boards: list[str], options: Options) -> list[Notice]:
    if not boards:
        return []
    each = "board {boards} stands" if len(boards) == 1 else "boards {boards} stand"
    return [
        notice(
            "boards-clear-of-dig",
            f"{each} farther out than the stand-off of {{stand_off}}, at the "
            "first place that keeps {clearance} from the dig",
            severity=Severity.NOTE,
            boards=_in_runs(boards),
            stand_off=Length(options.boards.stand_off),
            clearance=Length(max(options.boards.clearance, options.dig.depth)),
        )
    ]


def _in_runs(names: list[str]) -> str:
    # Boards are numbered: three or more that follow on one another are told as "1 to 14".
    runs: list[list[str]] = []
    for name in names:
        if runs and int(name) == int(runs[-1][-1]) + 1:
            runs[-1].append(name)
        else:
            runs.append([name])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def _rays(line: BuildingLine, ground: InTheWay, reach: float) -> list[tuple[Ray, bool]]:
    # Looks out from both ends, and tells which end is against a standing building.
    low, high = board_reach(line.marks)
    sight = ground.look_along(line.origin, line.direction, (low - reach, high + reach))
    length = line.length
    start = Ray(
        origin=line.origin,
        direction=(-line.direction[0], -line.direction[1]),
        span=(-high, -low),
        beyond=line.beyond[0],
        inside=tuple([_turned(stretch) for stretch in reversed(one)] for one in sight.inside),
        kept_off=[(name, _turned(stretch)) for name, stretch in sight.kept_off],
        met=[-place for place in sight.met],
        dig=sight.dig,
        edges=sight.edges,
    )
    end = Ray(
        origin=line.at(length),
        direction=line.direction,
        span=(low, high),
        beyond=line.beyond[1],
        inside=tuple([_shifted(stretch, length) for stretch in one] for one in sight.inside),
        kept_off=[(name, _shifted(stretch, length)) for name, stretch in sight.kept_off],
        met=[place - length for place in sight.met],
        dig=sight.dig,
        edges=sight.edges,
    )
    return [(ray, ground.standing.faced(ray.origin, ray.direction)) for ray in (start, end)]


def _clear_of(ground: InTheWay, ray: Ray, reach: float) -> Callable[[tuple[Point, Point]], float]:
    # Measure a board's true distance to the dig, near its own line first.

    def measure(ends: tuple[Point, Point]) -> float:
        distance = ground.dig.distance(ends, ray.dig)
        # Bands that were passed over lie farther than this to the side of the line.
        if distance <= reach:
            return distance
        return ground.dig.distance(ends, np.arange(len(ground.dig.radius)))

    return measure


def _turned(stretch: Stretch) -> Stretch:
    return (-stretch[1], -stretch[0])


def _shifted(stretch: Stretch, by: float) -> Stretch:
    return (stretch[0] - by, stretch[1] - by)


def _across(line: BuildingLine, end: int, place: BoardPlace, lateral: float) -> Point:
    # a point of a board, so far to the left of the string, m
    x, y = line.at(line.length + place.station if end else -place.station)
    return (x - lateral * line.direction[1], y + lateral * line.direction[0])


def _board(name: str, at: _End) -> Board:
    line, place, end = at.line, at.place, at.key[1]
    if at.ends is None:
        raise TypeError("a board has two ends")
    x, y = _across(line, end, place, 0.0)
    marks: list[Mark] = []
    for mark in line.marks:
        px, py = _across(line, end, place, mark.lateral)
        marks.append(Mark(mark=mark.mark, wall=mark.wall, offset=mark.offset, x=px, y=py))
    return Board(
        name=name,
        string=line.name,
        end=at.name,
        past=at.met,
        x=x,
        y=y,
        stand_off=place.stand_off,
        clear=at.clear,
        ends=at.ends,
        marks=tuple(marks),
        far_face=place.runs_on,
    )


def _string(
    line: BuildingLine,
    places: tuple[BoardPlace, BoardPlace],
    keys: tuple[tuple[int, int], tuple[int, int]],
    numbers: Mapping[tuple[int, int], str],
) -> String:
    before = places[0].station
    start, end = line.at(-before), line.at(line.length + places[1].station)
    return String(
        name=line.name,
        line=line.line,
        kind=line.kind,
        walls=line.walls,
        start=start,
        end=end,
        length=math.hypot(end[0] - start[0], end[1] - start[1]),
        boards=(numbers.get(keys[0]), numbers.get(keys[1])),
        passes=tuple(
            Pass(name=item.name, is_pad=item.is_pad, from_start=item.from_start + before)
            for item in line.passes
        ),
    )


_MOVED = {
    Why.BUILDING: "to stand clear of the building and of what is to be kept clear of",
    Why.BOARD: "to stand clear of another board",
    Why.INSIDE: "inside the building",
}


def _told(line: BuildingLine, end: str, name: str | None, place: BoardPlace) -> list[Notice]:
    # Say what moved a board, where it was more than the clearance from the dig.
    stopped_by = place.stopped_by or "the next obstacle"
    if place.why is Why.STANDING:
        text = "string {string} ends at {end} at a mark on the standing building; no board there"
        if place.runs_on:
            text = (
                "string {string} runs on past {end} to a mark on the standing building; no board "
                "there"
            )
        return [
            notice(
                NoticeKind.STRING_ON_BUILDING,
                text,
                severity=Severity.NOTE,
                string=line.name,
                end=end,
            )
        ]
    if name is None:
        text = (
            "string {string} has no board at {end}: no place on its line is clear before "
            "{stopped_by}"
        )
        return [notice("no-board", text, string=line.name, end=end, stopped_by=stopped_by)]
    return _told_moved(line, end, name, place, stopped_by)


def _told_moved(
    line: BuildingLine, end: str, name: str, place: BoardPlace, stopped_by: str
) -> list[Notice]:
    told: list[Notice] = []
    if place.why is Why.REDUCED:
        text = (
            "board {board} at {end} on string {string} stands only {stand_off} out, because "
            "{stopped_by} is in the way"
        )
        stand_off = Length(place.stand_off)
        told.append(
            notice(
                "board-reduced",
                text,
                board=name,
                end=end,
                string=line.name,
                stand_off=stand_off,
                stopped_by=stopped_by,
            )
        )
    elif place.why in _MOVED:
        told.append(
            notice(
                "board-moved",
                "board {board} at {end} on string {string} stands {stand_off} out, {why}",
                severity=Severity.NOTE,
                board=name,
                end=end,
                string=line.name,
                stand_off=Length(place.stand_off),
                why=_MOVED[place.why],
            )
        )
    return told
