"""The shapes of one wall seen from the side: stations across, elevations up; m.

Stations run from the wall's first corner whichever end is seen on the left.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.output.drawing.drawn_words import Segment
from staking.plan import Point, reversed_name
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall
    from staking.grade.stepping.cells import Floats
    from staking.plan import Opening, Plan, Sleeve

Chain = tuple[Point, ...]
Reach = tuple[float, float, float]
"""First and last station and the elevation of a level, m."""


@frozen
class Junction:
    """Where other walls join: their names, the station, and the wall's foot there, m."""

    name: str
    station: float
    foot: float


@frozen(eq=False)
class WallShapes:
    """What a profile draws of one wall.

    Parameters
    ----------
    footing
        Closed: its top with the riser faces, its bottom as far as each level is dug.
    dig
        The bottom of the dig.
    stones
        Closed: the stone under each level.
    wall
        Closed: from the footing up, dropped at openings.
    courses
        The joints between courses.
    junctions
        From the first corner on, the ends left out.
    sleeves
        With an invert; each with its centre.
    existing, finished, undisturbed, frost
        Ground lines; None where the line is drawn already: where finished and existing ground are
        the same, `finished` serves; where nothing is stripped, `undisturbed` is None.
    faces
        The riser faces.
    low, high
        The least and the greatest elevation of all.
    """

    footing: Chain
    dig: Chain
    stones: tuple[Chain, ...]
    wall: Chain
    courses: tuple[Segment, ...]
    junctions: tuple[Junction, ...]
    openings: tuple[Opening, ...]
    sleeves: tuple[tuple[Sleeve, Point], ...]
    existing: Chain | None
    finished: Chain
    undisturbed: Chain | None
    frost: Chain
    faces: tuple[Segment, ...]
    low: float
    high: float


def wall_shapes(graded: Graded, wall: GradedWall, plan: Plan, base: float) -> WallShapes:
    """Find the shapes of one wall.

    Parameters
    ----------
    graded, wall
        All levels, and the wall.
    plan
        For openings and sleeves.
    base
        Stone under the footing, m.

    Returns
    -------
    WallShapes
        Everything to draw.
    """
    profile, strand, rules = wall.profile, wall.strand, graded.request.rules
    ends = [station for station, _ in strand.local(strand.hull)]
    low, high = min(*ends, 0.0), max(*ends, profile.length)
    tops = _top_line(wall, low, high)
    bottoms = lowest_levels(_reaches(wall, low, high))
    under = _chain(bottoms)
    own = {profile.wall, reversed_name(profile.wall)}
    holes = tuple(sorted((each for each in plan.openings if each.wall == profile.wall), key=_start))
    pipes = tuple(
        (each, (_station(each, profile.wall, profile.length), each.invert + each.size / 2))
        for each in plan.sleeves
        if each.wall in own and each.invert is not None
    )
    existing, finished, undisturbed, frost = _grounds(wall, rules.frost_depth)
    dig = tuple((x, y - base) for x, y in under)
    lines = [existing or (), finished, undisturbed or (), frost, dig]
    heights = [y for line in lines for _, y in line] + [profile.bounds.top]
    if graded.string is not None:
        heights.append(graded.string)
    return WallShapes(
        footing=(*tops, *reversed(under)),
        dig=dig,
        stones=tuple(
            ((a, y), (b, y), (b, y - base), (a, y - base)) for a, b, y in bottoms if base > ON_LINE
        ),
        wall=_wall_ring(wall, holes),
        courses=_joints(wall, holes, rules.course),
        junctions=_junctions(graded, wall),
        openings=holes,
        sleeves=pipes,
        existing=existing,
        finished=finished,
        undisturbed=undisturbed,
        frost=frost,
        faces=_faces(wall),
        low=min(heights),
        high=max(heights),
    )


def _faces(wall: GradedWall) -> tuple[Segment, ...]:
    return tuple(
        (
            (before.end, min(before.top, after.top)),
            (before.end, max(before.top, after.top)),
        )
        for before, after in pairwise(wall.profile.levels)
    )


def _start(opening: Opening) -> float:
    return opening.start


def _station(sleeve: Sleeve, wall: str, length: float) -> float:
    return sleeve.station if sleeve.wall == wall else length - sleeve.station


def _chain_of(stations: Floats, heights: Floats) -> Chain:
    return tuple(zip(stations.tolist(), heights.tolist(), strict=True))


def _grounds(
    wall: GradedWall, frost_depth: float
) -> tuple[Chain | None, Chain, Chain | None, Chain]:
    ground = wall.ground
    alike = bool(np.abs(ground.existing - ground.finished).max() <= ON_LINE)
    lowest = np.minimum(ground.existing, ground.finished)
    stripped = bool(np.abs(lowest - ground.undisturbed).max() > ON_LINE)
    return (
        None if alike else _chain_of(ground.stations, ground.existing),
        _chain_of(ground.stations, ground.finished),
        _chain_of(ground.stations, ground.undisturbed) if stripped else None,
        _chain_of(ground.stations, ground.finished - frost_depth),
    )


def _top_line(wall: GradedWall, low: float, high: float) -> Chain:
    levels = wall.profile.levels
    points: list[Point] = []
    for i, level in enumerate(levels):
        points.append((low if i == 0 else level.start, level.top))
        points.append((high if i == len(levels) - 1 else level.end, level.top))
    return tuple(points)


def _reaches(wall: GradedWall, low: float, high: float) -> list[Reach]:
    # How far each level is dug: to the faces, and where it is the lower one, past them.
    levels = wall.profile.levels
    starts, ends = [low], []
    for built in wall.built:
        face = built.step.station
        ends.append(face if built.step.down else built.dig_to)
        starts.append(built.dig_to if built.step.down else face)
    ends.append(high)
    return [
        (start, end, level.bottom) for start, end, level in zip(starts, ends, levels, strict=True)
    ]


def lowest_levels(reaches: Sequence[Reach]) -> tuple[Reach, ...]:
    """Keep what is lowest of levels that reach under each other.

    Parameters
    ----------
    reaches
        The levels; together they leave no gap.

    Returns
    -------
    tuple of tuple
        First and last station and elevation of each stretch, ascending, m.
    """
    cuts = sorted({each for start, end, _ in reaches for each in (start, end)})
    found: list[Reach] = []
    for start, end in pairwise(cuts):
        middle = (start + end) / 2
        height = min(y for a, b, y in reaches if a <= middle <= b)
        if found and abs(found[-1][2] - height) <= ON_LINE:
            found[-1] = (found[-1][0], end, height)
        else:
            found.append((start, end, height))
    return tuple(found)


def _chain(reaches: Sequence[Reach]) -> Chain:
    return tuple(point for a, b, y in reaches for point in ((a, y), (b, y)))


def _wall_ring(wall: GradedWall, holes: Sequence[Opening]) -> Chain:
    top, length = wall.profile.bounds.top, wall.profile.length
    upper: list[Point] = [(0.0, top)]
    for hole in holes:
        first, last = max(hole.start, 0.0), min(hole.start + hole.width, length)
        upper += [
            (first, top),
            (first, top - hole.drop),
            (last, top - hole.drop),
            (last, top),
        ]
    upper.append((length, top))
    return (*upper, *reversed(_top_line(wall, 0.0, length)))


def _joints(wall: GradedWall, holes: Sequence[Opening], course: float) -> tuple[Segment, ...]:
    levels, top = wall.profile.levels, wall.profile.bounds.top
    found: list[Segment] = []
    for number in range(1, max(level.courses for level in levels)):
        height = top - number * course
        pieces: list[list[float]] = []
        for level in levels:
            if level.courses <= number:
                continue
            if pieces and abs(pieces[-1][1] - level.start) <= ON_LINE:
                pieces[-1][1] = level.end
            else:
                pieces.append([level.start, level.end])
        for hole in holes:
            if hole.drop >= number * course - ON_LINE:
                pieces = _without(pieces, hole.start, hole.start + hole.width)
        found += [((a, height), (b, height)) for a, b in pieces]
    return tuple(found)


def _without(pieces: list[list[float]], start: float, end: float) -> list[list[float]]:
    kept = []
    for a, b in pieces:
        kept += [[x, y] for x, y in ((a, min(b, start)), (max(a, end), b)) if y - x > ON_LINE]
    return kept


def _junctions(graded: Graded, wall: GradedWall) -> tuple[Junction, ...]:
    found = []
    for number, station in wall.strand.nodes[1:-1]:
        names = joined_at(graded, wall, number)
        level = next(each for each in wall.profile.levels if station <= each.end + ON_LINE)
        found.append(Junction(name=", ".join(names), station=station, foot=level.top))
    return tuple(found)


def joined_at(graded: Graded, wall: GradedWall, node: int) -> list[str]:
    """Name the other walls and lines that meet a wall at a node.

    Returns
    -------
    list of str
        Their names in the plan's order.
    """
    return [
        other.name
        for other in graded.network.strands
        if other.name != wall.strand.name and any(node == each for each, _ in other.nodes)
    ]
