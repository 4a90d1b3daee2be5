"""Straight runs of footing that bars run through, and the corners where they turn."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Strand
from staking.kinds import FootingKind
from staking.lines import cross_of
from staking.order.wall_levels import Levels, LevelStretch
from staking.tolerances import ON_LINE, STRAIGHT_RAD


@frozen
class Straight:
    """A straight run of footing, one wall or several in line.

    Parameters
    ----------
    name
        Its wall, or its first and last corner.
    kind
        What it carries: a wall or an interior line.
    parts
        Level parts in order: start and end, m along the run, where bars may lie but for their
        cover. A lower part runs on to the end of its overlap.
    rises
        Of the steps between the parts, m.
    length
        From its first corner to its last, m, along the outside face.
    ends
        Its first and its last corner.
    """

    name: str
    kind: FootingKind
    width: float
    thickness: float
    parts: tuple[tuple[float, float], ...]
    rises: tuple[float, ...]
    length: float
    ends: tuple[str, str]


@frozen
class Straights:
    """All straight runs, the corners that bars turn, and the junctions of interior lines."""

    runs: tuple[Straight, ...]
    corners: tuple[str, ...]
    junctions: tuple[str, ...]


def find_straights(levels: Levels) -> Straights:
    """Join walls in line with the same footing into runs.

    Parameters
    ----------
    levels
        The footings.

    Returns
    -------
    Straights
        Interior lines are runs of their own.
    """
    network = levels.network
    walls = [strand for strand in network.strands if strand.kind is FootingKind.WALL]
    by_start = {strand.nodes[0][0]: strand for strand in walls}
    by_end = {strand.nodes[-1][0]: strand for strand in walls}
    runs = []
    for strand in walls:
        before = by_end.get(strand.nodes[0][0])
        if before is not None and _in_line(before, strand):
            continue
        chain = [strand]
        while True:
            after = by_start.get(chain[-1].nodes[-1][0])
            if after is None or after is strand or not _in_line(chain[-1], after):
                break
            chain.append(after)
        runs.append(_straight(chain, levels))
    lines = [strand for strand in network.strands if strand.kind is FootingKind.INTERIOR]
    runs += [_straight([strand], levels) for strand in lines]
    corners = tuple(
        network.nodes[node]
        for node, after in by_start.items()
        if node in by_end and not _in_line(by_end[node], after)
    )
    junctions = tuple(
        network.nodes[node]
        for strand in lines
        for node in (strand.nodes[0][0], strand.nodes[-1][0])
    )
    return Straights(runs=tuple(runs), corners=corners, junctions=junctions)


def _in_line(first: Strand, second: Strand) -> bool:
    ax, ay = first.end[0] - first.start[0], first.end[1] - first.start[1]
    bx, by = second.end[0] - second.start[0], second.end[1] - second.start[1]
    turn = abs(math.atan2(cross_of((ax, ay), (bx, by)), ax * bx + ay * by))
    same = (
        abs(first.footing.width - second.footing.width) <= ON_LINE
        and abs(first.footing.outside - second.footing.outside) <= ON_LINE
        and abs(first.footing.thickness - second.footing.thickness) <= ON_LINE
    )
    return turn < STRAIGHT_RAD and same


def _straight(chain: Sequence[Strand], levels: Levels) -> Straight:
    names = levels.network.nodes
    ends = (names[chain[0].nodes[0][0]], names[chain[-1].nodes[-1][0]])
    parts: list[tuple[float, float]] = []
    rises: list[float] = []
    last: LevelStretch | None = None
    base = 0.0
    for strand in chain:
        reach = [station for station, _ in strand.local(strand.hull)]
        for stretch in levels.stretches:
            if stretch.strand.name != strand.name:
                continue
            # Bars run out to the footing's own ends past the run's first and last corner.
            first_end = strand is chain[0] and stretch.start <= ON_LINE
            last_end = strand is chain[-1] and stretch.end >= strand.length - ON_LINE
            low = base + (min(reach) if first_end else min(stretch.start, stretch.dig_start))
            high = base + (max(reach) if last_end else max(stretch.end, stretch.dig_end))
            if last is not None and abs(last.bottom - stretch.bottom) <= ON_LINE:
                parts[-1] = (parts[-1][0], high)
            else:
                if last is not None:
                    rises.append(abs(last.bottom - stretch.bottom))
                parts.append((low, high))
            last = stretch
        base += strand.length
    name = chain[0].name
    if len(chain) > 1:
        name = f"{chain[0].name.split('-')[0]}-{chain[-1].name.split('-')[-1]}"
    return Straight(
        name=name,
        kind=chain[0].kind,
        width=chain[0].footing.width,
        thickness=chain[0].footing.thickness,
        parts=tuple(parts),
        rises=tuple(rises),
        length=base,
        ends=ends,
    )
