"""Bond at corners: which wall runs through in which course, and where it breaks the module."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from staking.grade.stepping.wall_network import Network, Strand
from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE, SAME_POINT

_SQUARE = 0.0005
"""A corner this near to a right angle is one, as sine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WallEnd:
    """One end of a wall.

    Parameters
    ----------
    node
        The corner; wall ends on one node meet there.
    other
        Thickness of the wall it meets, m; 0 where none of ours goes on.
    inside
        Whether the corner points into the building, so that the wall that leads runs past it.
    leads_odd
        Whether this wall runs through in the first, third, fifth course from the top; in the
        others its neighbour does. None where there is no neighbour or none to bond with.
    """

    node: int
    other: float
    inside: bool
    leads_odd: bool | None


def bond_ends(
    network: Network, thickness: Mapping[str, float], half: float
) -> dict[str, tuple[WallEnd, WallEnd]]:
    """Decide which wall leads at each corner, so that courses need no halves there.

    Parameters
    ----------
    network
        The walls.
    thickness
        Of each wall and interior line, m.
    half
        Half a block's nominal length, m.

    Returns
    -------
    dict
        Both ends of each outline wall by its name.

    Notes
    -----
    A wall of an even number of half blocks leads at both its ends or at neither in one course, or
    at one of them where it has an odd number. Going round a closed outline of right angles this
    always closes (derived: an even number of its walls is even). The walk starts at the wall
    whose corner names sort first, so that an outline and its mirror image are bonded alike.
    """
    walls = {s.nodes[0][0]: s for s in network.strands if s.kind == "wall"}
    before = {s.nodes[-1][0]: s for s in walls.values()}
    leads = _leads(walls, before, half)
    ends: dict[str, tuple[WallEnd, WallEnd]] = {}
    for strand in walls.values():
        start, end = strand.nodes[0][0], strand.nodes[-1][0]
        previous, following = before.get(start), walls.get(end)
        ends[strand.name] = (
            _end(start, strand, previous, leads[start], thickness, first=True),
            _end(end, strand, following, not leads.get(end, False), thickness, first=False),
        )
    return ends


def _leads(
    walls: Mapping[int, Strand], before: Mapping[int, Strand], half: float
) -> dict[int, bool]:
    # Whether the wall that starts at a node leads there in odd courses.
    leads: dict[int, bool] = {}

    def turns(node: int) -> bool:
        # Whether walls of ours turn a corner there.
        meet = node in before and node in walls
        return meet and abs(_turn(before[node], walls[node])[0]) >= _SQUARE

    def extra(node: int) -> int:
        # A corner pointing into the building makes both its walls half a block longer.
        return int(turns(node) and _turn(before[node], walls[node])[1])

    # Outlines that do not close start at their free end, others at a corner.
    firsts = sorted(walls.values(), key=_sort_key)
    firsts.sort(key=lambda s: (s.nodes[0][0] in before, not turns(s.nodes[0][0])))
    for first in firsts:
        node, lead = first.nodes[0][0], True
        halves = extra(node)
        while node in walls and node not in leads:
            leads[node] = lead
            strand = walls[node]
            halves += round(strand.length / half)
            node = strand.nodes[-1][0]
            if turns(node):
                # It leads at both ends or at neither: the wall after it then does the reverse.
                lead = lead if (halves + extra(node)) % 2 == 1 else not lead
                halves = extra(node)
    return leads


def _sort_key(strand: Strand) -> tuple[str, ...]:
    return tuple(sorted(strand.name.split("-")))


def _end(
    node: int,
    strand: Strand,
    other: Strand | None,
    lead: bool,
    thickness: Mapping[str, float],
    *,
    first: bool,
) -> WallEnd:
    if other is None:
        return WallEnd(node=node, other=0.0, inside=False, leads_odd=None)
    turn, inside = _turn(other, strand) if first else _turn(strand, other)
    if abs(turn) < _SQUARE:
        # In line: the courses run through, and neither wall gives way.
        return WallEnd(node=node, other=0.0, inside=False, leads_odd=None)
    return WallEnd(node=node, other=thickness[other.name], inside=inside, leads_odd=lead)


def _turn(first: Strand, second: Strand) -> tuple[float, bool]:
    # Sine of the turn from one wall to the next, and whether it turns away from the building.
    ax, ay = _along(first)
    bx, by = _along(second)
    turn = ax * by - ay * bx
    # The outward side of a wall lies to the right where the outline runs anticlockwise.
    side = ax * first.out[1] - ay * first.out[0]
    return turn, turn * side > 0


def _along(strand: Strand) -> tuple[float, float]:
    return (
        (strand.end[0] - strand.start[0]) / strand.length,
        (strand.end[1] - strand.start[1]) / strand.length,
    )


def bond_notices(
    network: Network, thickness: Mapping[str, float], half: float
) -> tuple[Notice, ...]:
    """Say where the plan breaks the bond.

    Parameters
    ----------
    network, thickness, half
        As in `bond_ends`.

    Returns
    -------
    tuple of Notice
        ``off-module``: a wall is no whole number of half blocks long, and what its neighbour
        would have to move. ``corner-bond``: a wall is not half a block thick, so that its
        corners want a special or a cut block. ``corner-angle``: a corner is not square.
    """
    walls = {s.nodes[0][0]: s for s in network.strands if s.kind == "wall"}
    told = _off_module(walls, half)
    thick = [name for name, value in thickness.items() if abs(value - half) > SAME_POINT]
    on_walls = [strand.name for strand in walls.values() if strand.name in thick]
    if on_walls:
        told.append(
            notice(
                "corner-bond",
                "{walls}: not as thick as half a block is long ({half}); the bond at its corners "
                "needs a special block or a cut one in every course",
                walls=", ".join(on_walls),
                half=Length(half),
            )
        )
    meets = [(s, walls[s.nodes[-1][0]]) for s in walls.values() if s.nodes[-1][0] in walls]
    skew = [
        network.nodes[first.nodes[-1][0]]
        for first, second in meets
        if _SQUARE < abs(_turn(first, second)[0]) < 1 - _SQUARE
    ]
    if skew:
        told.append(
            notice(
                "corner-angle",
                "corners {corners} are not square: their blocks are cut to the angle and counted "
                "as if they were square",
                corners=", ".join(skew),
            )
        )
    return tuple(told)


def _off_module(walls: Mapping[int, Strand], half: float) -> list[Notice]:
    told = []
    for strand in walls.values():
        over = strand.length - math.floor(strand.length / half + ON_LINE) * half
        if over > SAME_POINT and half - over > SAME_POINT:
            after = walls.get(strand.nodes[-1][0])
            told.append(
                notice(
                    "off-module",
                    "{wall} is {over} over a whole number of half blocks; every course has a cut "
                    "block, unless {mover} moves {over} in or {under} out along it",
                    wall=strand.name,
                    over=Length(over),
                    under=Length(half - over),
                    mover=after.name if after is not None else "its end",
                )
            )
    return told
