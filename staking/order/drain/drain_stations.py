"""The drain station by station: inverts, trench, and the room it leaves the footing."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from enum import StrEnum

from staking.frozen import frozen
from staking.order.drain.beside_footings import DrainPiece, sorted_name
from staking.order.drain.falling_arms import DrainArm, DrainRoom, FallingPiece
from staking.plan import Point
from staking.tolerances import ON_LINE


class DrainPlace(StrEnum):
    """What of a drain stands at a station."""

    HIGH = "high point"
    CORNER = "corner"
    STEP = "step"
    BELOW_STEP = "below the step"
    LOW = "low point"


@frozen
class DrainStation:
    """The drain at one place.

    Parameters
    ----------
    arm
        Number of the arm it belongs to, from 1.
    kind
        What is there.
    wall, station
        The wall beside it and the station from that wall's first corner, m.
    corner
        The corner it goes round; None along a wall.
    place
        On the building grid, m.
    invert
        The inside bottom of the pipe, elevation, m.
    trench
        The bottom of its trench, elevation, m.
    bottom
        The bottom of the footing beside it, elevation, m; the higher of two.
    room
        How far the trench's near bottom edge is from the line that falls 45 degrees from the
        footing's outside bottom edge, m, measured level.
    add
        What to add to the rod reading on the benchmark for the trench, m; None without one.
    """

    arm: int
    kind: DrainPlace
    wall: str
    station: float
    corner: str | None
    place: Point
    invert: float
    trench: float
    bottom: float
    room: float
    add: float | None


def drain_stations(
    arms: Sequence[DrainArm], room: DrainRoom, benchmark: float | None
) -> tuple[DrainStation, ...]:
    """List where the drain changes, arm by arm from its high point down.

    Parameters
    ----------
    arms
        How it falls.
    room
        What its levels are kept within.
    benchmark
        Elevation of the benchmark, m; None without one.

    Returns
    -------
    tuple of DrainStation
        Where two arms part or meet they both have a row.
    """
    found = []
    ends = [
        end
        for arm in arms
        for end in ((arm.high.start, arm.high.piece), (arm.low.end, arm.low.piece))
    ]
    for number, arm in enumerate(arms, 1):
        for kind, own, where, invert in _of_arm(arm):
            # Arms may part or meet at a corner.
            there = [piece for place, piece in ends if math.dist(place, where) <= ON_LINE]
            pieces = list({each.strand.name: each for each in (*own, *there)}.values())
            wall, station = _on_wall(pieces, where)
            bottom = max(piece.bottom for piece in own)
            trench = invert - room.under
            found.append(
                DrainStation(
                    arm=number,
                    kind=kind,
                    wall=wall,
                    station=station,
                    corner=_corner(pieces) or _past_end(pieces[0], where),
                    place=where,
                    invert=invert,
                    trench=trench,
                    bottom=bottom,
                    room=room.beside + trench - bottom,
                    add=None if benchmark is None else benchmark - trench,
                )
            )
    return tuple(found)


def arm_key(arm: DrainArm) -> tuple[str, ...]:
    """Give what arms are sorted by: the walls that they pass, whichever way the outline runs.

    Returns
    -------
    tuple of str
        Names of walls from the high point down.
    """
    return tuple(dict.fromkeys(sorted_name(each.piece.strand.name) for each in arm.pieces))


_Row = tuple[DrainPlace, list[DrainPiece], Point, float]


def _of_arm(arm: DrainArm) -> Iterator[_Row]:
    pieces = arm.pieces
    first, last = pieces[0], pieces[-1]
    yield DrainPlace.HIGH, [first.piece], first.start, first.from_invert
    for before, after in itertools.pairwise(pieces):
        turns = before.piece.strand.name != after.piece.strand.name
        both = [before.piece, after.piece]
        if turns:
            yield DrainPlace.CORNER, both, after.start, before.to_invert
        elif after.drop > 0.0:
            yield DrainPlace.STEP, [before.piece], after.start, before.to_invert
        if after.drop > 0.0:
            yield DrainPlace.BELOW_STEP, [after.piece], after.start, after.from_invert
    yield DrainPlace.LOW, [last.piece], last.end, last.to_invert


def _on_wall(pieces: Sequence[DrainPiece], where: Point) -> tuple[str, float]:
    """Give the wall that comes first by name, and the station on it, within its ends."""
    strand = min((piece.strand for piece in pieces), key=lambda each: sorted_name(each.name))
    ((station, _),) = strand.local((where,))
    return strand.name, min(max(station, 0.0), strand.length)


def _corner(pieces: Sequence[DrainPiece]) -> str | None:
    if len(pieces) < 2:
        return None
    ends = [set(piece.strand.name.split("-")) for piece in pieces]
    shared = ends[0] & ends[1]
    return min(shared) if shared else None


def _past_end(piece: DrainPiece, where: Point) -> str | None:
    """Give the corner that a place stands at or past the end of its wall at."""
    strand = piece.strand
    ((station, _),) = strand.local((where,))
    start, _, end = strand.name.partition("-")
    if station <= ON_LINE:
        return start
    return end if station >= strand.length - ON_LINE else None


def bends(arms: Sequence[DrainArm]) -> tuple[int, int]:
    """Count where the pipe turns on the plan, and where it goes down a step.

    Returns
    -------
    tuple of int
        Corners, and steps.
    """
    corners = steps = 0
    for arm in arms:
        for before, after in zip(arm.pieces, arm.pieces[1:], strict=False):
            corners += _turn(before, after) > _STRAIGHT
            steps += after.drop > 0.0
    return corners, steps


_STRAIGHT = math.radians(5)
"""A pipe takes a smaller turn without a fitting (common practice, no source)."""


def _turn(before: FallingPiece, after: FallingPiece) -> float:
    ways = [
        math.atan2(each.end[1] - each.start[1], each.end[0] - each.start[0])
        for each in (before, after)
        if each.length > ON_LINE
    ]
    if len(ways) < 2:
        return 0.0
    return abs((ways[1] - ways[0] + math.pi) % (2 * math.pi) - math.pi)
