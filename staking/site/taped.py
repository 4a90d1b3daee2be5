"""Placing by tape: two corners, each by its distances to two known points."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.errors import ComputationError, InputError, Problem
from staking.kinds import Hand
from staking.network.tape_error import standard_error
from staking.notices import Angle, Length, Notice, Severity, notice
from staking.plan import Point, Tape
from staking.site.fit import DOUBT
from staking.site.known import Known, direction, normal_turn
from staking.site.site_request import PlaceByTape, TapedCorner
from staking.site.site_results import Placement
from staking.tolerances import ON_LINE
from staking.units import FOOT, INCH

SHARP = math.radians(30)
"""Two tapes that cross at less than this barely fix a point (common practice, no source)."""

MOST_MISCLOSURE = FOOT
"""Two taped corners that miss the building's own distance by more, m, place nothing (common
practice, no source)."""

_NEAR_WHOLE = 2 * INCH
"""A tape is named as the one misread where whole feet more or less close within this, m (common
practice, no source)."""

_MOST_MISREAD = 30
"""Whole feet that a tape is tried at more and less."""

FLAT = math.radians(150)
"""Nor do two that cross at more than this (common practice, no source)."""


def swing(
    first: Point, second: Point, to_first: float, to_second: float, side: str
) -> tuple[Point, float] | float:
    """Find a point by two tapes.

    Parameters
    ----------
    first, second
        The known points, easting and northing, m.
    to_first, to_second
        The distances taped, m.
    side
        ``left`` or ``right``, seen from the first point facing the second.

    Returns
    -------
    tuple or float
        The point and the angle between the tapes there, rad; or, where the circles do not meet,
        by how much, m: above 0 they are too short, below 0 one is too long for the other.

    Notes
    -----
    With ``D`` between the known points the foot lies ``a = (d1^2 - d2^2 + D^2) / 2D`` from the
    first and the point ``sqrt(d1^2 - a^2)`` beside it.

    References
    ----------
    W. Schofield, Engineering Surveying, intersection of two distances (from memory).
    """
    base = math.dist(first, second)
    short, long = base - to_first - to_second, abs(to_first - to_second) - base
    if short > ON_LINE:
        return short
    if long > ON_LINE:
        return -long
    foot = ((to_first - to_second) * (to_first + to_second) / base + base) / 2
    beside = math.sqrt(max((to_first - foot) * (to_first + foot), 0.0))
    if side is Hand.RIGHT:
        beside = -beside
    east, north = (second[0] - first[0]) / base, (second[1] - first[1]) / base
    point = (
        first[0] + foot * east - beside * north,
        first[1] + foot * north + beside * east,
    )
    # The angle at the point, from its directions to both known ones.
    angle = abs(math.atan2(abs(beside) * base, beside**2 - foot * (base - foot)))
    return point, angle


def place_by_tape(asked: PlaceByTape, known: Known, tape: Tape) -> Placement:
    """Place two corners by two tapes each.

    Parameters
    ----------
    asked
        The corners, their ties and the side.
    known
        Plan and survey.
    tape
        What tells a blunder from the tape's own error.

    Returns
    -------
    Placement
        Turned as the taped corners lie and shifted so that their midpoint falls on the plan's;
        its check holds their distance against the building's own.

    Raises
    ------
    InputError
        When a corner or point does not exist, or the two corners are one.
    ComputationError
        When two tapes do not meet, points are in one place, or the two corners as taped are
        over a foot nearer or farther apart than the building's own.

    Notes
    -----
    The side is seen from the first point named facing the second. A corner taped from the same
    two points named the other way round is on the same side.
    """
    a, b = asked.corners
    if a.corner == b.corner:
        raise InputError(
            Problem(
                message=f"corner {a.corner} is taped twice",
                remedy="tape two different corners",
                field="site place tape",
            )
        )
    order = (a.ties[0][0], a.ties[1][0])
    told: list[Notice] = []
    taped, errors = [], []
    for corner in (a, b):
        point, error, notices = _tape_corner(corner, order, asked.side, known, tape)
        taped.append(point)
        errors.append(error)
        told += notices
    own = (known.corner(a.corner), known.corner(b.corner))
    names = (a.corner, b.corner)
    if abs(math.dist(*taped) - math.dist(*own)) > MOST_MISCLOSURE:
        raise ComputationError(_misclosure(asked, known, math.dist(*taped), math.dist(*own)))
    turn = direction(taped[0], taped[1], names) - direction(*own, names)
    told.append(_check(asked, math.dist(*taped), math.dist(*own), DOUBT * math.hypot(*errors)))
    return Placement(
        turn=normal_turn(turn),
        x0=(own[0][0] + own[1][0]) / 2,
        y0=(own[0][1] + own[1][1]) / 2,
        easting0=(taped[0][0] + taped[1][0]) / 2,
        northing0=(taped[0][1] + taped[1][1]) / 2,
        scale=math.dist(*taped) / math.dist(*own),
        notices=tuple(told),
    )


def _tape_corner(
    corner: TapedCorner, order: tuple[str, str], side: str, known: Known, tape: Tape
) -> tuple[Point, float, list[Notice]]:
    # Where the tapes put a corner, its standard error, m, and what is bad about the angle.
    ties = corner.ties
    if (ties[1][0], ties[0][0]) == order:
        ties = (ties[1], ties[0])
    (first, to_first), (second, to_second) = ties
    starts = [known.point(name)[::-1] for name in (first, second)]
    direction(starts[0], starts[1], (first, second))
    found = swing(starts[0], starts[1], to_first, to_second, side)
    if isinstance(found, float):
        raise ComputationError(_apart(corner, math.dist(*starts), found, known))
    point, angle = found
    reading = math.hypot(standard_error(tape, to_first), standard_error(tape, to_second))
    error = reading / max(math.sin(angle), ON_LINE)
    if SHARP <= angle <= FLAT:
        return point, error, []
    # On the very line the sine is naught; the error then grows as the root of the reading's.
    error = min(error, math.sqrt(2 * reading * max(to_first, to_second)))
    return (
        point,
        error,
        [
            notice(
                "swing-angle",
                "the tapes to corner {corner} cross at {angle}, too {kind} to fix it: it may be "
                "out by {error}; choose points that see it nearer to a right angle",
                corner=corner.corner,
                angle=Angle(angle),
                kind="sharp" if angle < SHARP else "flat",
                error=Length(DOUBT * error),
            )
        ],
    )


def _apart(corner: TapedCorner, base: float, gap: float, known: Known) -> str:
    (first, to_first), (second, to_second) = corner.ties
    said = known.coordinate
    head = (
        f"the tapes to corner {corner.corner} do not meet: {said(to_first)} from {first} and "
        f"{said(to_second)} from {second}, which are {said(base)} apart, "
    )
    if gap > 0:
        return head + f"are {said(gap)} too short together"
    longer = first if to_first > to_second else second
    return head + f"and the one from {longer} is {said(-gap)} too long"


def _misclosure(asked: PlaceByTape, known: Known, taped: float, own: float) -> str:
    a, b = asked.corners
    said = known.coordinate
    off = taped - own
    head = (
        f"corners {a.corner} and {b.corner} as taped are {said(taped)} apart, and the building's "
        f"own are {said(own)}: {said(abs(off))} {'too far' if off > 0 else 'too near'}, so one of "
        "the four tapes or a point is wrong"
    )
    closing = [
        f"{said(meant)} from {point} to {corner} in place of {said(read)}"
        for corner, point, read, meant in _closing_tapes(asked, known, own)
    ]
    closing += [f"the two tapes to {corner} exchanged" for corner in _exchanged(asked, known, own)]
    if not closing:
        return f"{head}; tape both corners again"
    return f"{head}; they would agree with {', or with '.join(closing)}: tape those again first"


def _closing_tapes(
    asked: PlaceByTape, known: Known, own: float
) -> list[tuple[str, str, float, float]]:
    """Find the tapes that, misread by whole feet, would explain the corners' distance.

    Returns
    -------
    list of tuple
        Corner, point, what was read and what would close nearest, m; one for each such tape.
    """
    feet = sorted((each for each in range(-_MOST_MISREAD, _MOST_MISREAD + 1) if each), key=abs)
    found = []
    for corner in asked.corners:
        for k, (point, read) in enumerate(corner.ties):
            for more in feet:
                meant = read + more * FOOT
                ties = tuple(tie if j != k else (point, meant) for j, tie in enumerate(corner.ties))
                if meant > 0 and _closes(asked, corner, ties, known, own):
                    found.append((corner.corner, point, read, meant))
                    break
    return found


def _exchanged(asked: PlaceByTape, known: Known, own: float) -> list[str]:
    """Find the corners whose two tapes, exchanged, would explain the corners' distance."""
    found = []
    for corner in asked.corners:
        (first, to_first), (second, to_second) = corner.ties
        if _closes(asked, corner, ((first, to_second), (second, to_first)), known, own):
            found.append(corner.corner)
    return found


def _closes(
    asked: PlaceByTape,
    corner: TapedCorner,
    ties: Sequence[tuple[str, float]],
    known: Known,
    own: float,
) -> bool:
    """Say whether the corners would be as far apart as the building's own with other tapes."""
    order = [name for name, _ in asked.corners[0].ties]
    other = next(each for each in asked.corners if each is not corner)
    here = _taped_place(ties, order, asked.side, known)
    there = _taped_place(other.ties, order, asked.side, known)
    if here is None or there is None:
        return False
    return abs(math.dist(here, there) - own) <= _NEAR_WHOLE


def _taped_place(
    ties: Sequence[tuple[str, float]], order: Sequence[str], side: str, known: Known
) -> Point | None:
    (first, to_first), (second, to_second) = ties
    if (second, first) == tuple(order):
        (first, to_first), (second, to_second) = ties[1], ties[0]
    found = swing(known.point(first)[::-1], known.point(second)[::-1], to_first, to_second, side)
    return None if isinstance(found, float) else found[0]


def _check(asked: PlaceByTape, taped: float, own: float, doubt: float) -> Notice:
    off = taped - own
    text = "corners {first} and {second} as taped are {taped} apart; the building's own is {own}"
    if abs(off) > doubt:
        text += ", {off} {more}: a tape or a point is wrong"
    return notice(
        "tape-check",
        text + "; each corner is moved {half} along the line between them",
        Severity.WARNING if abs(off) > doubt else Severity.NOTE,
        first=asked.corners[0].corner,
        second=asked.corners[1].corner,
        taped=Length(taped),
        own=Length(own),
        off=Length(abs(off)),
        more="less" if off > 0 else "more",
        half=Length(abs(off) / 2),
    )
