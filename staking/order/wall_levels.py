"""The footing of every wall as level stretches, with or without a grade section."""

from __future__ import annotations

from typing import TYPE_CHECKING

from staking.frozen import frozen
from staking.grade.stepping.wall_network import Network, Strand
from staking.kinds import FootingKind
from staking.notices import Length, Notice, notice
from staking.plan import Dig, Pad, Plan
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from staking.grade.graded import Graded, GradedWall


@frozen
class LevelStretch:
    """A level stretch of one footing.

    Parameters
    ----------
    start, end
        Stations of the footing's top, m.
    dig_start, dig_end
        Stations between which it is dug this deep: a step's overlap belongs to the lower one.
    top, bottom, dig
        Elevations, m; the ground's own level is 0 without a grade section.
    courses
        Height of the wall, or None where nothing gives it.
    """

    strand: Strand
    start: float
    end: float
    dig_start: float
    dig_end: float
    top: float
    bottom: float
    dig: float
    courses: int | None


@frozen
class StepFill:
    """One step's overlap: how far it reaches and how high it rises, m."""

    wall: str
    station: float
    overlap: float
    rise: float
    width: float


@frozen
class PadAt:
    """A pad at its level: bottom and dig, m, and the height of its pier, m, or None."""

    pad: Pad
    bottom: float
    dig: float
    pier: float | None


@frozen
class Levels:
    """All footings of a job at their levels; `course` is the height of one, m, or None."""

    network: Network
    stretches: tuple[LevelStretch, ...]
    steps: tuple[StepFill, ...]
    pads: tuple[PadAt, ...]
    course: float | None


def flat_levels(plan: Plan, network: Network, dig: Dig, courses: int | None) -> Levels:
    """Take every footing as level, dug to one depth below level ground.

    Parameters
    ----------
    plan, network
        The building and its walls.
    dig
        Its depth and stone base, m.
    courses
        Height of the walls, or None.

    Returns
    -------
    Levels
        The ground is at 0.
    """
    bottom = dig.base - dig.depth
    return Levels(
        network=network,
        stretches=tuple(
            LevelStretch(
                strand=strand,
                start=0.0,
                end=strand.length,
                dig_start=0.0,
                dig_end=strand.length,
                top=bottom + strand.footing.thickness,
                bottom=bottom,
                dig=-dig.depth,
                courses=courses,
            )
            for strand in network.strands
        ),
        steps=(),
        pads=tuple(PadAt(pad=pad, bottom=bottom, dig=-dig.depth, pier=None) for pad in plan.pads),
        course=None,
    )


def height_notices(
    levels: Levels, courses: int | None, wall_height: float | None
) -> tuple[Notice, ...]:
    """Say where the height of the walls that the order gives is not that of the levels.

    Parameters
    ----------
    levels
        The levels of a grade section, which are taken.
    courses, wall_height
        Height of the walls as the order gives it, in courses or m; None where it does not.

    Returns
    -------
    tuple of Notice
        ``courses-and-levels`` and ``height-and-levels``.
    """
    counts = {
        each.courses
        for each in levels.stretches
        if each.courses is not None and each.strand.kind is FootingKind.WALL
    }
    if not counts or levels.course is None:
        return ()
    low, high = min(counts), max(counts)
    said = []
    if courses is not None and counts != {courses}:
        said.append(
            notice(
                "courses-and-levels",
                "courses: under block: is {courses}, and by the levels the walls are {counted} "
                "courses high: the levels are used; take courses: out, or check the top of the "
                "wall",
                courses=courses,
                counted=str(low) if low == high else f"{low} to {high}",
            )
        )
    if wall_height is not None and not (
        low * levels.course - ON_LINE <= wall_height <= high * levels.course + ON_LINE
    ):
        said.append(
            notice(
                "height-and-levels",
                "wall_height: under order: is {height}, and by the levels the walls are {low} to "
                "{high} high: the levels are used; take wall_height: out, or check the top of the "
                "wall",
                height=Length(wall_height),
                low=Length(low * levels.course),
                high=Length(high * levels.course),
            )
        )
    return tuple(said)


def graded_levels(graded: Graded, dig: Dig) -> Levels:
    """Take the levels the grade section gives.

    Parameters
    ----------
    graded
        The levels.
    dig
        Its stone base, m.

    Returns
    -------
    Levels
        On the grade section's own elevations.
    """
    stretches = [run for wall in graded.walls for run in _runs(wall, dig.base)]
    steps = [
        StepFill(
            wall=wall.profile.wall,
            station=built.step.station,
            overlap=built.overlap,
            rise=built.step.rise,
            width=wall.strand.footing.width,
        )
        for wall in graded.walls
        for built in wall.built
    ]
    pads = {pad.name: pad for pad in graded.request.plan.pads}
    return Levels(
        network=graded.network,
        stretches=tuple(stretches),
        steps=tuple(steps),
        pads=tuple(
            PadAt(
                pad=pads[each.pad],
                bottom=each.bottom,
                dig=each.bottom - dig.base,
                pier=max(each.pier, 0.0),
            )
            for each in graded.pads
        ),
        course=graded.request.rules.course,
    )


def _runs(wall: GradedWall, base: float) -> list[LevelStretch]:
    # Every step's overlap is dug at the lower level: that moves where the dig changes.
    dug = {round(built.step.station, 6): built.dig_to for built in wall.built}
    return [
        LevelStretch(
            strand=wall.strand,
            start=level.start,
            end=level.end,
            dig_start=dug.get(round(level.start, 6), level.start),
            dig_end=dug.get(round(level.end, 6), level.end),
            top=level.top,
            bottom=level.bottom,
            dig=level.bottom - base,
            courses=level.courses,
        )
        for level in wall.profile.levels
    ]
