"""What one sets out at one place: a corner, an interior line, a row of pads, each on a card."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.setting_out.rods import add_to_benchmark
from staking.grade.setting_out.slope_tape import slope_tapes
from staking.kinds import StakeKind, StringKind
from staking.lines import cross_of

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.grade.setting_out.slope_tape import SlopeTape
    from staking.laid_out.layout_value import Layout
    from staking.layout.layout_parts import Board, Check, String
    from staking.plan import Building, InteriorLine, Point


class CardKind(StrEnum):
    """What a card is about."""

    CORNER = "corner"
    INSIDE_CORNER = "inside corner"
    INTERIOR_LINE = "interior line"
    PADS = "pads"


@frozen
class Neighbour:
    """What lies next along a wall: its name, its place and how far it is, m."""

    name: str
    point: Point
    distance: float


@frozen
class HubTie:
    """A hub of a corner: on which wall's line, where, and how far past the corner, m.

    `away_from` is the wall's other corner.
    """

    wall: str
    away_from: str
    point: Point
    distance: float


@frozen
class CardLevel:
    """A level to set at a card's place, m.

    `of` names whose it is where several differ; `start` and `end` are the stations of a run, None
    at a corner. `add` is added to the reading on the benchmark; None without one.
    """

    what: str
    of: str
    level: float
    add: float | None
    start: float | None = None
    end: float | None = None


@frozen
class CardBoard:
    """How high a board stands, m: its top, that over the ground, and its lower string.

    `height` is None where the ground is not known; `lower` and `add` are None without a lower
    string, `add` without a benchmark too: it is added to the reading there for the lower string.
    """

    board: str
    top: float
    height: float | None
    lower: float | None
    add: float | None


@frozen
class CardStep:
    """A step as one comes to it: along what, down or up, and where, m from where one starts."""

    toward: str
    down: bool
    rise: float
    face: float
    dig_to: float


@frozen
class PassedPad:
    """What a string passes: its name, and how far it is from where one starts, m."""

    name: str
    distance: float


@frozen
class PadTape:
    """A tape from a corner to the middle of a pad, m."""

    pad: str
    corner: str
    distance: float


@frozen
class Card:
    """Everything that one sets out at one place.

    Parameters
    ----------
    kind, name
        What it is about. A corner, a line or a string over pads has its own name; pads without a
        string are named one after the other.
    building
        The name of its building where there are several, else empty.
    points
        Where it is: a corner's place, a line's two ends, the pads' centres, m.
    walls
        The walls and lines it belongs to.
    strings, boards
        The strings over it, and the boards they hang on there.
    neighbours, hubs
        What is next along each wall; the hubs the corner is found by again.
    levels, courses
        The levels to set and the courses from the footing's top up; both empty without levels.
    steps
        The first step each way, or all steps along a line.
    tapes
        The checks that are hooked on here: each stands on one card.
    heights
        How high each of the boards stands; empty without levels.
    stations
        What the string passes, from where stations are counted.
    staked_by
        The tapes to pads that no string passes; they are hooked on the cards of their corners.
    in_rectangle
        Whether it is a corner of an outline of four.
    """

    kind: CardKind
    name: str
    building: str
    points: tuple[Point, ...]
    walls: tuple[str, ...]
    strings: tuple[str, ...]
    boards: tuple[Board, ...]
    neighbours: tuple[Neighbour, ...] = ()
    hubs: tuple[HubTie, ...] = ()
    levels: tuple[CardLevel, ...] = ()
    courses: tuple[int, ...] = ()
    steps: tuple[CardStep, ...] = ()
    tapes: tuple[SlopeTape, ...] = ()
    heights: tuple[CardBoard, ...] = ()
    stations: tuple[PassedPad, ...] = ()
    staked_by: tuple[PadTape, ...] = ()
    in_rectangle: bool = False


def cards(layout: Layout) -> tuple[Card, ...]:
    """Set out the cards of a layout.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    tuple of Card
        Corners in the plan's order, then interior lines, then strings over pads, then one card
        for the pads without a string. Every board stands on one at least.
    """
    hooked = _hooks(layout)
    return (
        *(
            _corner(layout, building, at, hooked)
            for building in layout.plan.buildings
            for at in range(len(building.corners))
        ),
        *(_line(layout, line) for line in layout.plan.interior),
        *_pads(layout),
    )


def _corner(layout: Layout, building: Building, at: int, hooked: dict[str, list[Check]]) -> Card:
    corner, before, after = (
        building.corners[at],
        building.corners[at - 1],
        building.corners[(at + 1) % len(building.corners)],
    )
    walls = (building.walls[at], building.walls[at - 1])
    back = (before.x - corner.x, before.y - corner.y)
    on = (after.x - corner.x, after.y - corner.y)
    turn = cross_of(on, back) * (1.0 if building.is_anticlockwise else -1.0)
    over = tuple(_strings_over(layout, corner.name))
    boards = _boards_at(layout, corner.name, over)
    names = tuple(wall.name for wall in walls)
    points = layout.plan.corner_points
    graded = layout.grade
    return Card(
        kind=CardKind.INSIDE_CORNER if turn < 0 else CardKind.CORNER,
        name=corner.name,
        building=building.name or "" if len(layout.plan.buildings) > 1 else "",
        points=(corner.point,),
        walls=names,
        strings=tuple(string.name for string, _ in over),
        boards=boards,
        neighbours=tuple(
            Neighbour(
                name=each.name, point=each.point, distance=math.dist(corner.point, each.point)
            )
            for each in (after, before)
        ),
        hubs=tuple(
            HubTie(
                wall=hub.wall,
                away_from=next(
                    (end for end in hub.wall.split("-") if end != corner.name and end in points),
                    "",
                ),
                point=(hub.x, hub.y),
                distance=math.dist(corner.point, (hub.x, hub.y)),
            )
            for hub in layout.hubs
            if hub.corner == corner.name
        ),
        levels=() if graded is None else tuple(_corner_levels(layout, graded, corner.name, names)),
        courses=() if graded is None else tuple(_courses(graded, corner.name, names)),
        steps=() if graded is None else tuple(_first_steps(graded, corner.name, names)),
        tapes=slope_tapes(hooked.get(corner.name, [])),
        heights=_heights(graded, boards),
        in_rectangle=len(building.corners) == 4,
    )


def _hooks(layout: Layout) -> dict[str, list[Check]]:
    # Which corner each tape is hooked on: of its two the one with fewer so far, so that no card is
    # crowded; across the legs of an angle its own corner, to a pad or a line's end the corner.
    corners = layout.plan.corner_points
    hooked: dict[str, list[Check]] = {name: [] for name in corners}
    for check in layout.checks:
        if check.at is not None:
            hooked[check.at].append(check)
    for check in layout.checks:
        if check.at is None:
            ends = [each for each in (check.from_name, check.to_name) if each in corners]
            hooked[min(ends, key=lambda end: len(hooked[end]))].append(check)
    return hooked


def _strings_over(layout: Layout, corner: str) -> Iterator[tuple[String, float]]:
    for string in layout.strings:
        if string.kind is not StringKind.WALL:
            continue
        for each in string.passes:
            if not each.is_pad and each.name == corner:
                yield string, each.from_start


def _boards_at(
    layout: Layout, corner: str, over: Iterable[tuple[String, float]]
) -> tuple[Board, ...]:
    # Those beyond the corner; of a string with none there, the nearest one.
    by_name = {board.name: board for board in layout.boards}
    found: list[Board] = []
    for string, station in over:
        ends = [by_name[name] for name in string.boards if name is not None]
        own = [board for board in ends if board.end == corner and board.string == string.name]
        if not own and ends:
            places = {string.boards[0]: 0.0, string.boards[1]: string.length}
            own = [
                min(
                    ends,
                    key=lambda board, places=places, station=station: abs(  # type: ignore[misc]
                        places[board.name] - station
                    ),
                )
            ]
        found += own
    return tuple(dict.fromkeys(found))


def _at_corner(graded: Graded, corner: str, walls: Sequence[str]) -> Iterator[GradedWall]:
    for each in graded.walls:
        if each.profile.wall in walls and each.profile.levels:
            yield each


def _corner_levels(
    layout: Layout, graded: Graded, corner: str, walls: Sequence[str]
) -> Iterator[CardLevel]:
    known = graded.benchmark_level
    stake = next(
        (e for e in graded.stakes if e.kind is StakeKind.CORNER and e.name == corner), None
    )
    if stake is not None and stake.ground is not None:
        add = add_to_benchmark(known, stake.ground)
        yield CardLevel(what="ground now", of="", level=stake.ground, add=add)
    base = layout.options.dig.base
    seen: dict[tuple[float, float], list[str]] = {}
    for each in _at_corner(graded, corner, walls):
        level = each.profile.levels[0 if _starts_at(each, corner) else -1]
        seen.setdefault((level.top, level.bottom - base), []).append(each.profile.wall)
    for (top, dig), of in seen.items():
        named = ", ".join(of) if len(seen) > 1 else ""
        for what, level_of in (("footing top", top), ("dig", dig)):
            yield CardLevel(
                what=what, of=named, level=level_of, add=add_to_benchmark(known, level_of)
            )


def _courses(graded: Graded, corner: str, walls: Sequence[str]) -> Iterator[int]:
    found = {
        each.profile.levels[0 if _starts_at(each, corner) else -1].courses
        for each in _at_corner(graded, corner, walls)
    }
    yield from sorted(found)


def _starts_at(wall: GradedWall, corner: str) -> bool:
    return wall.profile.wall.split("-", maxsplit=1)[0] == corner


def _first_steps(graded: Graded, corner: str, walls: Sequence[str]) -> Iterator[CardStep]:
    for name in walls:
        for each in graded.walls:
            if each.profile.wall != name or not each.built:
                continue
            at_start, far = _starts_at(each, corner), each.profile.length
            built = each.built[0 if at_start else -1]
            first, _, last = name.partition("-")
            yield CardStep(
                toward=last if at_start else first,
                down=built.step.down == at_start,
                rise=built.step.rise,
                face=built.step.station if at_start else far - built.step.station,
                dig_to=built.dig_to if at_start else far - built.dig_to,
            )


def _heights(graded: Graded | None, boards: Sequence[Board]) -> tuple[CardBoard, ...]:
    if graded is None:
        return ()
    stood = {each.board: each for each in graded.boards}
    known = graded.benchmark_level
    return tuple(
        CardBoard(
            board=board.name,
            top=found.top,
            height=found.height,
            lower=found.tier,
            add=None if found.tier is None else add_to_benchmark(known, found.tier),
        )
        for board in boards
        if (found := stood.get(board.name)) is not None
    )


def _line(layout: Layout, line: InteriorLine) -> Card:
    strings = [each for each in layout.strings if line.name in each.walls]
    boards = _boards_of(layout, strings)
    graded = layout.grade
    wall = None
    if graded is not None:
        wall = next((e for e in graded.walls if e.profile.wall == line.name), None)
    return Card(
        kind=CardKind.INTERIOR_LINE,
        name=line.name,
        building=(layout.plan.buildings[line.building].name or "")
        if len(layout.plan.buildings) > 1
        else "",
        points=(line.start, line.end),
        walls=(line.name,),
        strings=tuple(each.name for each in strings),
        boards=boards,
        heights=_heights(graded, boards),
        neighbours=(
            Neighbour(name=line.end_on, point=line.end, distance=math.dist(line.start, line.end)),
            Neighbour(
                name=line.start_on, point=line.start, distance=math.dist(line.start, line.end)
            ),
        ),
        levels=() if graded is None or wall is None else tuple(_run_levels(layout, graded, wall)),
        courses=()
        if wall is None
        else tuple(sorted({level.courses for level in wall.profile.levels})),
        steps=()
        if wall is None
        else tuple(
            CardStep(
                toward=line.end_on,
                down=built.step.down,
                rise=built.step.rise,
                face=built.step.station,
                dig_to=built.dig_to,
            )
            for built in wall.built
        ),
    )


def _run_levels(layout: Layout, graded: Graded, wall: GradedWall) -> Iterator[CardLevel]:
    known, base = graded.benchmark_level, layout.options.dig.base
    for level in wall.profile.levels:
        for what, value in (("footing top", level.top), ("dig", level.bottom - base)):
            yield CardLevel(
                what=what,
                of="",
                level=value,
                add=add_to_benchmark(known, value),
                start=level.start,
                end=level.end,
            )


def _boards_of(layout: Layout, strings: Iterable[String]) -> tuple[Board, ...]:
    by_name = {board.name: board for board in layout.boards}
    names = (name for string in strings for name in string.boards if name is not None)
    return tuple(by_name[name] for name in dict.fromkeys(names))


def _pads(layout: Layout) -> Iterator[Card]:
    places = {pad.name: pad.point for pad in layout.plan.pads}
    held: set[str] = set()
    for string in layout.strings:
        if string.kind is not StringKind.PADS:
            continue
        stations = tuple(
            PassedPad(name=each.name, distance=each.from_start)
            for each in string.passes
            if each.is_pad
        )
        held |= {each.name for each in stations}
        yield _pad_card(layout, string.name, [each.name for each in stations], [string], stations)
    rest = [name for name in places if name not in held]
    if rest:
        yield _pad_card(layout, ", ".join(rest), rest, [], ())


def _pad_card(
    layout: Layout,
    name: str,
    pads: Sequence[str],
    strings: Sequence[String],
    stations: tuple[PassedPad, ...],
) -> Card:
    places = {pad.name: pad.point for pad in layout.plan.pads}
    graded = layout.grade
    boards = _boards_of(layout, strings)
    tapes = () if strings else tuple(_stakes_by(layout, pads))
    levels: list[CardLevel] = []
    for pad in () if graded is None else graded.pads:
        if pad.pad not in pads or graded is None:
            continue
        dig = pad.bottom - layout.options.dig.base
        for what, value in (("top", pad.top), ("dig", dig)):
            add = add_to_benchmark(graded.benchmark_level, value)
            levels.append(CardLevel(what=what, of=pad.pad, level=value, add=add))
    return Card(
        kind=CardKind.PADS,
        name=name,
        building="",
        points=tuple(places[pad] for pad in pads),
        walls=tuple(pads),
        strings=tuple(each.name for each in strings),
        boards=boards,
        neighbours=tuple(
            Neighbour(name=name, point=layout.plan.corner_points[name], distance=0.0)
            for name in dict.fromkeys(each.corner for each in tapes)
        ),
        heights=_heights(graded, boards),
        levels=tuple(levels),
        stations=stations,
        staked_by=tapes,
    )


def _stakes_by(layout: Layout, pads: Sequence[str]) -> Iterator[PadTape]:
    # The tapes that a pad's stake is set and proved by; they are hooked on corners.
    corners = layout.plan.corner_points
    for pad in pads:
        for check in layout.checks:
            ends = (check.from_name, check.to_name)
            if check.at is None and pad in ends:
                corner = ends[ends[0] == pad]
                if corner in corners:
                    yield PadTape(pad=pad, corner=corner, distance=check.distance)
