"""Bond at corners: which wall runs through in which course, and where it breaks the module."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Network, Strand
from staking.kinds import FootingKind
from staking.lines import cross_of, direction
from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE, SAME_POINT

_SQUARE = 0.0005
"""A corner this near to a right angle is one, as sine."""


@frozen
class WallEnd:
    """One end of a wall.

    Parameters
    ----------
    node
        The corner; wall ends on one node meet there.
    other
        Thickness of the wall it meets, m; 0 where no wall of the plan goes on.
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


Cost = tuple[int, int, int]
"""What a wall takes, in half blocks bought, blocks to cut, and half blocks."""

WallCost = Callable[[Strand, WallEnd, WallEnd], Cost]
"""Works out what a wall takes with its two ends."""


def bond_ends(
    network: Network, thickness: Mapping[str, float], cost: WallCost
) -> dict[str, tuple[WallEnd, WallEnd]]:
    """Decide which wall leads at each corner, so that all walls together cost the least.

    Parameters
    ----------
    network
        The walls.
    thickness
        Of each wall and interior line, m.
    cost
        What a wall takes.

    Returns
    -------
    dict
        Both ends of each outline wall by its name.

    Notes
    -----
    What a wall takes depends on who leads at its two ends alone, so the cheapest of all choices
    is found exactly, by dynamic programming round each outline. Of choices that cost the same the
    one is taken in which, corner by corner in the order of their names, the wall leads in the
    first course whose corner names sort first. So a building comes out the same in any unit,
    turned, mirrored, and drawn the other way round.
    """
    walls = {s.nodes[0][0]: s for s in network.strands if s.kind is FootingKind.WALL}
    before = {s.nodes[-1][0]: s for s in walls.values()}
    ranks = sorted(walls.keys() | before.keys(), key=lambda node: network.nodes[node])
    weight = {node: 1 << (len(ranks) - 1 - i) for i, node in enumerate(ranks)}
    leads: dict[int, bool] = {}
    for chain in _chains(walls, before):
        leads |= _cheapest(chain, walls, before, weight, thickness, cost)
    return {s.name: _ends_of(s, walls, before, leads, thickness) for s in walls.values()}


def _chains(walls: Mapping[int, Strand], before: Mapping[int, Strand]) -> list[list[Strand]]:
    # Walls one after the other: outlines that do not close from their free end, others from any.
    chains: list[list[Strand]] = []
    seen: set[int] = set()
    for node in sorted(walls, key=lambda each: each in before):
        chain = []
        at = node
        while at in walls and at not in seen:
            seen.add(at)
            chain.append(walls[at])
            at = walls[at].nodes[-1][0]
        if chain:
            chains.append(chain)
    return chains


def _turns(node: int, walls: Mapping[int, Strand], before: Mapping[int, Strand]) -> bool:
    # Whether walls of ours turn a corner there.
    meet = node in before and node in walls
    return meet and abs(_turn(before[node], walls[node])[0]) >= _SQUARE


def _ends_of(
    strand: Strand,
    walls: Mapping[int, Strand],
    before: Mapping[int, Strand],
    leads: Mapping[int, bool],
    thickness: Mapping[str, float],
) -> tuple[WallEnd, WallEnd]:
    start, end = strand.nodes[0][0], strand.nodes[-1][0]
    return (
        _end(start, strand, before.get(start), leads.get(start, False), thickness, first=True),
        _end(end, strand, walls.get(end), not leads.get(end, False), thickness, first=False),
    )


_Choice = tuple[tuple[int, int, int, int], dict[int, bool]]


def _cheapest(
    chain: Sequence[Strand],
    walls: Mapping[int, Strand],
    before: Mapping[int, Strand],
    weight: Mapping[int, int],
    thickness: Mapping[str, float],
    cost: WallCost,
) -> dict[int, bool]:
    # Whether the wall that starts at each node of a chain leads there in odd courses.
    def choices(node: int) -> tuple[bool, ...]:
        return (True, False) if _turns(node, walls, before) else (False,)

    def by_name(node: int, leads: bool) -> int:
        if not _turns(node, walls, before):
            return 0
        first = min((before[node], walls[node]), key=plain_order)
        return 0 if (walls[node] is first) == leads else weight[node]

    first_node = chain[0].nodes[0][0]
    taken: dict[tuple[str, bool, bool], Cost] = {}
    best: _Choice | None = None
    for opening in choices(first_node):
        reached: dict[bool, _Choice] = {
            opening: ((0, 0, 0, by_name(first_node, opening)), {first_node: opening})
        }
        for strand in chain:
            node = strand.nodes[-1][0]
            closes = node == first_node
            after: dict[bool, _Choice] = {}
            for state, (so_far, path) in reached.items():
                for ahead in (opening,) if closes else choices(node):
                    key = (strand.name, state, ahead)
                    if key not in taken:
                        there = {strand.nodes[0][0]: state, node: ahead}
                        ends = _ends_of(strand, walls, before, there, thickness)
                        taken[key] = cost(strand, *ends)
                    halves, cuts, small = taken[key]
                    name = 0 if closes else by_name(node, ahead)
                    total = (
                        so_far[0] + halves, so_far[1] + cuts, so_far[2] + small, so_far[3] + name
                    )  # fmt: skip
                    if ahead not in after or total < after[ahead][0]:
                        after[ahead] = (total, {**path, node: ahead})
            reached = after
        for choice in reached.values():
            if best is None or choice[0] < best[0]:
                best = choice
    assert best is not None
    return best[1]


def plain_order(strand: Strand) -> tuple[str, ...]:
    """Give what walls are sorted by: their corners' names, whichever way the outline runs.

    Returns
    -------
    tuple of str
        The names in alphabetical order.
    """
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
    along = direction(first.start, first.end)
    turn = cross_of(along, direction(second.start, second.end))
    # The outward side of a wall lies to the right where the outline runs anticlockwise.
    side = cross_of(along, first.out)
    return turn, turn * side > 0


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
        ``off-module``: a wall is not a whole number of half blocks long, and what its neighbour
        would have to move. ``corner-bond``: a wall is not half a block thick, so that its
        corners want a special or a cut block. ``corner-angle``: a corner is not square.
    """
    walls = {s.nodes[0][0]: s for s in network.strands if s.kind is FootingKind.WALL}
    told = _off_module(walls, half)
    thick = [name for name, value in thickness.items() if abs(value - half) > SAME_POINT]
    on_walls = [strand.name for strand in walls.values() if strand.name in thick]
    if on_walls:
        told.append(
            notice(
                "corner-bond",
                "along {walls} the wall is not as thick as half a block is long ({half}): the bond "
                "at its corners needs a special block or a cut one in every course",
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
