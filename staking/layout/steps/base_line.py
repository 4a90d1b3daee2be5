"""Where the work starts: the first corner and the base line."""

from __future__ import annotations

import math
from collections.abc import Mapping

from staking.frozen import frozen
from staking.kinds import BaseLineKind, Hand
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Plan
from staking.tolerances import ON_LINE, SAME_POINT

LEAST_SHARE = 0.5
"""A base line is at least this share of the longest wall (common practice, no source)."""

_AS_GIVEN = (BaseLineKind.PLACED, BaseLineKind.FROM_NEIGHBOUR)
"""Lines whose first end is known with them."""


@frozen
class BaseLine:
    """The line that everything else is taped from.

    Parameters
    ----------
    first, second
        Its corners; the work starts at the first.
    length
        m.
    kind
        Why it is the one.
    why_line, why_corner
        Why this line, and why this end of it, each half a sentence.
    """

    first: str
    second: str
    length: float
    kind: BaseLineKind
    why_line: Notice
    why_corner: Notice


@frozen
class KnownTapes:
    """A stake by two tapes from known points of the lot.

    Parameters
    ----------
    tapes
        From which point, and what the tape reads, m: two.
    side
        On which side of the line from the first point to the second the stake stands.
    """

    tapes: tuple[tuple[str, float], tuple[str, float]]
    side: Hand


@frozen
class PlacedOnLot:
    """How the ends of the base line are set where the building is placed on its lot.

    Parameters
    ----------
    first, second
        The tapes to each; None where no two known points reach it.
    from_paper
        Whether the known points are the corners of a deed alone, which nobody has looked for.
    """

    first: KnownTapes | None
    second: KnownTapes | None
    from_paper: bool


def choose_base_line(
    plan: Plan,
    ground: Mapping[str, float] | None = None,
    placed: tuple[str, str] | None = None,
) -> BaseLine:
    """Choose the first corner and the base line.

    Parameters
    ----------
    plan
        The plan, with at least one building.
    ground
        The elevation of the ground at corners where it is known, m.
    placed
        Two corners whose line the survey places; the first is the one it starts from.

    Returns
    -------
    BaseLine
        The longest side against a standing building before any other, or the longest wall at an
        end of it, from there; then a placed line; then the longest wall at the corner on the
        highest ground; then the longest wall.

    Notes
    -----
    Every line but the longest wall is taken only where it is at least half as long as the longest
    wall: from a short line a small error swings the far corners by many times itself.
    The end on the higher ground comes first where the ground is known: levels are carried from
    there, and strings that clear it clear all else. Of walls equally long the first by name.
    """
    places = plan.corner_points
    ground = {name: level for name, level in (ground or {}).items() if name in places}

    def made(pair: tuple[str, str], kind: BaseLineKind, why: Notice) -> BaseLine:
        ends = pair if kind in _AS_GIVEN else _sorted(pair)
        first, reason = _first_end(ends, ground, kind)
        second = ends[1] if first == ends[0] else ends[0]
        length = math.dist(places[first], places[second])
        return BaseLine(
            first=first, second=second, length=length, kind=kind, why_line=why, why_corner=reason
        )

    walls = [
        (wall.start, wall.end, wall.existing is not None)
        for building in plan.buildings
        for wall in building.walls
    ]
    against = [(a, b) for a, b, existing in walls if existing]
    own = [(a, b) for a, b, _ in walls]
    longest = _longest(own, places)
    least = LEAST_SHARE * math.dist(places[longest[0]], places[longest[1]])
    if against:
        beside = _longest(against, places)
        if _is_long(beside, places, least):
            why = _because(
                BaseLineKind.NEIGHBOUR, "it lies along the standing building, which cannot move"
            )
            return made(beside, BaseLineKind.NEIGHBOUR, why)
        away = _longest([pair for pair in own if set(pair) & set(beside)], places)
        if _is_long(away, places, least):
            why = _because(
                BaseLineKind.FROM_NEIGHBOUR,
                "it is the longer wall at the standing building, whose own side is too short to "
                "line up from",
            )
            start, end = away if away[0] in beside else away[::-1]
            return made((start, end), BaseLineKind.FROM_NEIGHBOUR, why)
    if placed is not None and _is_long(placed, places, least):
        why = _because(BaseLineKind.PLACED, "the job says where it lies on the lot")
        return made(placed, BaseLineKind.PLACED, why)
    if ground:
        top = max(ground.values())
        highest = min(name for name, level in ground.items() if level >= top - ON_LINE)
        at = [pair for pair in own if highest in pair]
        if at and _is_long(_longest(at, places), places, least):
            why = _because(
                BaseLineKind.HIGHEST, "it is the longer wall at {corner}", corner=highest
            )
            return made(_longest(at, places), BaseLineKind.HIGHEST, why)
    why = _because(BaseLineKind.LONGEST, "it is the longest wall")
    return made(longest, BaseLineKind.LONGEST, why)


def _is_long(
    pair: tuple[str, str], places: Mapping[str, tuple[float, float]], least: float
) -> bool:
    return math.dist(places[pair[0]], places[pair[1]]) >= least - SAME_POINT


def _because(kind: BaseLineKind, text: str, **values: str | Length) -> Notice:
    return notice(f"base-line-{kind}", text, Severity.NOTE, **values)


def _sorted(pair: tuple[str, str]) -> tuple[str, str]:
    return (min(pair), max(pair))


def _longest(
    pairs: list[tuple[str, str]], places: Mapping[str, tuple[float, float]]
) -> tuple[str, str]:
    lengths = {_sorted(pair): math.dist(places[pair[0]], places[pair[1]]) for pair in pairs}
    most = max(lengths.values())
    return min(pair for pair, length in lengths.items() if length >= most - SAME_POINT)


def _first_end(
    ends: tuple[str, str], ground: Mapping[str, float], kind: BaseLineKind
) -> tuple[str, Notice]:
    if kind is BaseLineKind.FROM_NEIGHBOUR:
        return ends[0], _because_first("neighbour", "it stands on the standing building")
    if all(end in ground for end in ends) and abs(ground[ends[0]] - ground[ends[1]]) > SAME_POINT:
        first = max(ends, key=lambda end: ground[end])
        other = ends[1] if first == ends[0] else ends[0]
        rise = Length(ground[first] - ground[other])
        if kind is BaseLineKind.HIGHEST:
            text = (
                "its ground is the highest of all corners, {rise} above {other}: strings that "
                "clear the ground there clear it everywhere"
            )
        else:
            text = "its ground is the higher of the two, {rise} above {other}"
        return first, _because_first("highest", text, rise=rise, other=other)
    text = "the job places it" if kind is BaseLineKind.PLACED else "either end would do"
    if not ground and kind is not BaseLineKind.PLACED:
        text += "; where the ground slopes, start from the higher one"
    return ends[0], _because_first("name", text)


def _because_first(kind: str, text: str, **values: str | Length) -> Notice:
    return notice(f"first-corner-{kind}", text, Severity.NOTE, **values)
