"""The straight sides of a footing that boards stand at."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.grade.terrain.volume import left_of
from staking.lines import cross_of
from staking.order.footing_in_ground import FootingInGround
from staking.order.shape_areas import stretch_ring
from staking.order.trench import DigPiece, Edge, level_pieces, sides_of, stands_on
from staking.tolerances import ON_LINE

_SAME = 1e-4
"""Sides less than this off one line, m, are one side: a tenth of a millimetre."""


@frozen
class FormedSide:
    """A straight level side of the footing.

    Parameters
    ----------
    where
        The wall, line or pad.
    length
        m.
    height
        Thickness of the footing there, m.
    past
        At how many of its ends the footing has an outside corner.
    """

    where: str
    length: float
    height: float
    past: int


def formed_sides(footing: FootingInGround) -> tuple[FormedSide, ...]:
    """Find the sides round the footing.

    Parameters
    ----------
    footing
        The footing; along a standing building no board stands.

    Returns
    -------
    tuple of FormedSide
        Ring by ring; where footings meet there is none. Round pads are left out.
    """
    thickness = {pad.name: pad.thickness for pad in footing.plan.pads}
    found: list[FormedSide] = []
    for ring in sides_of(_by_bottoms(footing)):
        found += _of_ring(ring, thickness, footing.standing)
    return tuple(found)


def _by_bottoms(footing: FootingInGround) -> tuple[DigPiece, ...]:
    # The footing by its bottoms, as drawn: in forms it is cast no wider.
    hulls = {band.name: band.hull for band in footing.drawn}
    rough: list[tuple[float, str, Strand | None, tuple[tuple[float, float], ...]]] = []
    for run in footing.levels.stretches:
        ring = stretch_ring(run.strand, hulls[run.strand.name], run.start, run.end)
        if ring:
            rough.append((run.bottom, run.strand.name, run.strand, ring))
    rough += [
        (at.bottom, at.pad.name, None, hulls[at.pad.name])
        for at in footing.levels.pads
        if at.pad.diameter is None
    ]
    return level_pieces(rough)


def _of_ring(
    ring: list[tuple[Edge, DigPiece]], pads: dict[str, float], upright: Sequence[Edge]
) -> list[FormedSide]:
    sides = _joined([(edge, piece, _height(piece, pads)) for edge, piece in ring])
    found = []
    for i, (edge, piece, height) in enumerate(sides):
        length = math.dist(*edge)
        if length <= _SAME or stands_on(edge, upright):
            continue
        before, after = sides[i - 1][0], sides[(i + 1) % len(sides)][0]
        # Against a standing building a board butts.
        past = _turns_out(before, edge) and not stands_on(before, upright)
        past_end = _turns_out(edge, after) and not stands_on(after, upright)
        found.append(
            FormedSide(
                where=piece.name, length=length, height=height, past=int(past) + int(past_end)
            )
        )
    return found


def _height(piece: DigPiece, pads: dict[str, float]) -> float:
    return pads[piece.name] if piece.strand is None else piece.strand.footing.thickness


_Side = tuple[Edge, DigPiece, float]


def _joined(sides: list[_Side]) -> list[_Side]:
    # Walls in line with footings alike at one level have one side between them.
    joined: list[_Side] = []
    for side in sides:
        if joined and _one(joined[-1], side):
            (start, _), piece, height = joined.pop()
            side = ((start, side[0][1]), piece, height)
        joined.append(side)
    if len(joined) > 1 and _one(joined[-1], joined[0]):
        (start, _), piece, height = joined.pop()
        joined[0] = ((start, joined[0][0][1]), piece, height)
    return joined


def _one(first: _Side, second: _Side) -> bool:
    (start, middle), piece, height = first
    (_, end), other, thick = second
    if abs(piece.level - other.level) > ON_LINE or abs(height - thick) > ON_LINE:
        return False
    a, b, c = left_of(start, end)
    return abs(a * middle[0] + b * middle[1] + c) <= _SAME


def _turns_out(first: Edge, second: Edge) -> bool:
    # The footing lies to the left: a turn to the left is an outside corner of it.
    (ax, ay), (bx, by) = ((e[0] - s[0], e[1] - s[1]) for s, e in (first, second))
    turn = cross_of((ax, ay), (bx, by))
    return turn > _SAME * math.hypot(ax, ay) * math.hypot(bx, by)
