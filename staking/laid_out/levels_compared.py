"""Everything that a job says of its levels, held against the ground and against itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.grade.grade_request import GradeAsked
from staking.grade.graded import GradedWall, LevelMark
from staking.grade.notices.dig_and_bond import bond_notices, dig_notices
from staking.grade.notices.old_footing_levels import (
    OldSide,
    old_footing_fault,
    old_footing_notices,
)
from staking.grade.notices.set_up_levels import (
    SetUp,
    set_up_notices,
    stake_top_notices,
    unreadable,
)
from staking.grade.notices.wall_parts import WallParts, part_notices, sleeve_faults
from staking.grade.setting_out.level_marks import LevelReferences
from staking.grade.stepping.cells import Ground
from staking.kinds import FootingKind, GroundSource
from staking.measure.lengths import format_length
from staking.notices import Notice
from staking.plan import Options, Plan, Point
from staking.units import Unit


@frozen(eq=False)
class LevelsGiven:
    """What the job says of its levels, and what was worked out from it.

    Parameters
    ----------
    asked
        The grade section.
    plan, options
        The building, and the rest of the job with the depth it gives for the dig.
    setting
        What levels are set from.
    existing
        The existing ground.
    walls
        The walls and interior lines with their levels and ground.
    marks
        Every level to set with the rod.
    deepest
        The greatest depth of the dig, m.
    """

    asked: GradeAsked
    plan: Plan
    options: Options
    setting: LevelReferences
    existing: Ground
    walls: Sequence[GradedWall]
    marks: Sequence[LevelMark]
    deepest: float

    @property
    def ground(self) -> tuple[float, float]:
        """The lowest and the highest existing ground along the outside faces, m."""
        heights = [
            each.ground.existing for each in self.walls if each.strand.kind is FootingKind.WALL
        ]
        return (
            min(float(each.min()) for each in heights),
            max(float(each.max()) for each in heights),
        )

    def length(self, metres: float) -> str:
        """Write a length, m, as the job shows lengths."""
        return format_length(metres, self.options.show, self.options.nearest)

    def heights(self, places: Sequence[Point]) -> list[float]:
        """Give the existing ground at places, m; not-a-number where it is not known."""
        return [] if not places else self.existing.at(np.array(places)).tolist()


def compare_levels(given: LevelsGiven) -> tuple[Notice, ...]:
    """Hold all levels against the ground and one another.

    Parameters
    ----------
    given
        The levels.

    Returns
    -------
    tuple of Notice
        What is unlikely, each with what was probably meant.

    Raises
    ------
    InputError
        With every contradiction: an old footing over the ground or over 15 feet under it, a
        sleeve outside its wall, an instrument from which no level can be read.
    """
    unit = Unit(given.options.unit)
    sides = _old_sides(given)
    parts = WallParts(
        plan=given.plan,
        walls=given.walls,
        inside=given.asked.inside,
        string=given.setting.string,
        unit=unit,
        is_top_over_ground=given.asked.top_of_wall.elevation is None,
        has_finished_points=given.asked.finished.points is not None,
    )
    set_up = _set_up(given, unit)
    path = given.asked.written.path
    faults = [old_footing_fault(side, unit, given.length) for side in sides]
    problems = [replace(each, path=path) for each in faults if each is not None]
    problems += [replace(each, path=path) for each in sleeve_faults(parts, given.length)]
    problems += _unreadable(given, set_up)
    if problems:
        raise InputError(*problems)
    asked = given.asked
    return (
        *(said for side in sides for said in old_footing_notices(side)),
        *set_up_notices(set_up),
        *stake_top_notices(asked.stake_tops, _ground_at_stakes(given), unit),
        *part_notices(parts),
        *_dig(given),
        *bond_notices(asked.walls, given.walls, asked.rules),
    )


def _set_up(given: LevelsGiven, unit: Unit) -> SetUp:
    lowest, highest = given.ground
    asked, setting = given.asked, given.setting
    return SetUp(
        benchmark=setting.benchmark,
        instrument=setting.instrument,
        read_from=asked.ground.instrument if asked.ground.source is GroundSource.ROD else None,
        rod_length=asked.rod_length,
        lowest=lowest,
        highest=highest,
        unit=unit,
    )


def _unreadable(given: LevelsGiven, set_up: SetUp) -> list[Problem]:
    fault = unreadable(set_up, given.marks)
    if fault is None:
        return []
    return [given.asked.written.problem("instrument", fault.message, fault.remedy)]


def _old_sides(given: LevelsGiven) -> list[OldSide]:
    lowest, highest = given.ground
    found = []
    for building in given.plan.buildings:
        for side in building.sides:
            wall = side.wall
            if wall.existing is None:
                continue
            beside = given.heights([side.start, side.end])
            known = [each for each in beside if not np.isnan(each)]
            found.append(
                OldSide(
                    wall=wall.name,
                    known=wall.existing,
                    lowest=min(known, default=lowest),
                    highest=max(known, default=highest),
                )
            )
    return found


def _ground_at_stakes(given: LevelsGiven) -> dict[str, float]:
    places = given.plan.corner_points
    places |= {pad.name: pad.point for pad in given.plan.pads}
    names = [name for name, _ in given.asked.stake_tops if name in places]
    heights = given.heights([places[name] for name in names])
    return {
        name: height for name, height in zip(names, heights, strict=True) if not np.isnan(height)
    }


def _dig(given: LevelsGiven) -> tuple[Notice, ...]:
    finished = given.asked.finished
    if finished.points is not None:
        # Finished grade of its own says nothing of one height over the ground.
        frost, raised = 0.0, 0.0
    else:
        frost, raised = given.asked.rules.frost_depth, finished.above
    return dig_notices(given.options.dig.depth, given.deepest, frost, raised)
