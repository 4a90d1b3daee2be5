"""What the plan of the dig shows: depths, level runs, steps, and where the spoil goes."""

from __future__ import annotations

from collections.abc import Iterator

from staking.footing.bands_and_outlines import Ring
from staking.frozen import frozen
from staking.grade.graded import Graded, GradedWall, LevelMark
from staking.grade.run_digs import stretch_of
from staking.kinds import StakeKind
from staking.plan import Plan, Point
from staking.tolerances import ON_LINE
from staking.units import FOOT

SPOIL_BACK = 2 * FOOT
"""Spoil is kept this far back from the edge of a trench, m (OSHA 29 CFR 1926.651(j)(2))."""


@frozen
class TrenchPiece:
    """A stretch of trench of about one depth: the ground over its footing, its depths, m.

    `whole_feet` is how many whole feet deep it is at the least, 5 where it is deeper.
    """

    wall: str
    ring: Ring
    whole_feet: int
    deepest: float


@frozen
class RunOnPlan:
    """A level run of dig: its stations and the two ends of its line on the plan, m, its level.

    `start_on` names where its stations are counted from.
    """

    wall: str
    start_on: str
    start: float
    end: float
    ends: tuple[Point, Point]
    out: Point
    mark: LevelMark


@frozen
class StepOnPlan:
    """A step: both ends of its riser face, and the unit direction in which it goes down."""

    wall: str
    face: tuple[Point, Point]
    down: Point


@frozen
class SpoilSide:
    """Where spoil goes: beside which wall, and the line it is kept behind, m.

    `falls` is whether the ground falls that way by more than a hundredth.
    """

    wall: str
    ends: tuple[Point, Point]
    out: Point
    falls: bool


def trench_pieces(graded: Graded) -> tuple[TrenchPiece, ...]:
    """Give the trench of every wall and interior line, parted by depth.

    Returns
    -------
    tuple of TrenchPiece
        Walls in the network's order, each from its first corner.
    """
    return tuple(
        TrenchPiece(
            wall=wall.profile.wall,
            ring=stretch_of(wall.strand, wall.strand.hull, each.start, each.end),
            whole_feet=each.whole_feet,
            deepest=each.deepest,
        )
        for wall in graded.walls
        for each in wall.depths
    )


def runs_on_plan(plan: Plan, graded: Graded) -> tuple[RunOnPlan, ...]:
    """Give the level runs of every wall and interior line with their dig levels.

    Returns
    -------
    tuple of RunOnPlan
        Walls in the network's order, each from its first corner.
    """
    starts = {line.name: line.start_on for line in plan.interior}
    marks = {(each.where, each.start): each for each in graded.levels if each.what == "dig level"}
    return tuple(
        RunOnPlan(
            wall=wall.profile.wall,
            start_on=starts.get(wall.profile.wall, wall.profile.wall.partition("-")[0]),
            start=level.start,
            end=level.end,
            ends=(wall.strand.place(level.start, 0.0), wall.strand.place(level.end, 0.0)),
            out=wall.strand.out,
            mark=marks[wall.profile.wall, level.start],
        )
        for wall in graded.walls
        for level in wall.profile.levels
    )


def steps_on_plan(graded: Graded) -> tuple[StepOnPlan, ...]:
    """Give every step with the way it goes down.

    Returns
    -------
    tuple of StepOnPlan
        Walls in the network's order, each from its first corner.
    """
    return tuple(_steps(graded))


def _steps(graded: Graded) -> Iterator[StepOnPlan]:
    for wall in graded.walls:
        x, y = _along(wall)
        for built in wall.built:
            sign = 1.0 if built.step.down else -1.0
            yield StepOnPlan(wall=wall.profile.wall, face=built.face, down=(sign * x, sign * y))


def _along(wall: GradedWall) -> Point:
    start, end, length = wall.strand.start, wall.strand.end, wall.strand.length
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)


def spoil_side(plan: Plan, graded: Graded) -> SpoilSide | None:
    """Choose the side of the building on which the spoil is laid.

    Parameters
    ----------
    plan, graded
        The building and its levels.

    Returns
    -------
    SpoilSide or None
        Along the wall that looks most nearly down the slope, of several the longest, behind a line
        `SPOIL_BACK` from its footing: rain then does not wash it back into the trench (common
        practice, no source). On ground that does not fall, along the longest wall. None without a
        wall.
    """
    fall = _fall(graded)
    steep = (fall[0] ** 2 + fall[1] ** 2) ** 0.5
    best: tuple[float, float, SpoilSide] | None = None
    for building in plan.buildings:
        for side in building.sides:
            if side.wall.existing is not None:
                continue
            out = side.outward
            toward = (out[0] * fall[0] + out[1] * fall[1]) / steep if steep > 0.01 else 0.0
            back = side.wall.footing.outside + SPOIL_BACK
            start, end = ((x + back * out[0], y + back * out[1]) for x, y in (side.start, side.end))
            found = SpoilSide(wall=side.wall.name, ends=(start, end), out=out, falls=steep > 0.01)
            rank = (round(toward, 2), round(side.length / ON_LINE) * ON_LINE)
            if best is None or rank > best[:2]:
                best = (*rank, found)
    return None if best is None else best[2]


def _fall(graded: Graded) -> Point:
    # The way the ground falls, by a plane through the corner stakes.
    import numpy as np

    known = [e for e in graded.stakes if e.kind is StakeKind.CORNER and e.ground is not None]
    if len(known) < 3:
        return (0.0, 0.0)
    places = np.array([(each.x, each.y) for each in known])
    heights = np.array([each.ground for each in known], dtype=float)
    design = np.column_stack((places - places.mean(axis=0), np.ones(len(known))))
    (east, north, _), *_ = np.linalg.lstsq(design, heights, rcond=None)
    return (-float(east), -float(north))
