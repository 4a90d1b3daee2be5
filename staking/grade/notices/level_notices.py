"""The notices about a footing's levels: sleeves, openings, grade, depths, what is missing."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.graded import GradedWall
from staking.grade.notices.cover import grade_notices
from staking.grade.notices.openings import opening_notices
from staking.grade.setting_out.level_marks import LevelReferences
from staking.grade.stepping.built_steps import sleeve_notices
from staking.grade.stepping.cheapest import GradeRequest
from staking.notices import Notice, Severity, notice
from staking.plan import Plan


def setting_notices(setting: LevelReferences, has_benchmark: bool) -> tuple[Notice, ...]:
    """Say what is missing to set levels with.

    Parameters
    ----------
    setting
        What levels are set from.
    has_benchmark
        Whether the job names one.

    Returns
    -------
    tuple of Notice
        ``no-benchmark`` and ``no-string-level``.
    """
    told = []
    if not has_benchmark:
        told.append(
            notice(
                "no-benchmark",
                "no benchmark is given, so nothing can be added to a reading on it: name a point "
                "that stays, and its elevation, at benchmark: under grade:",
            )
        )
    if setting.string is None:
        told.append(
            notice(
                "no-string-level",
                "the strings have no level, so nothing is measured down from them; add at: under "
                "boards:",
                severity=Severity.NOTE,
            )
        )
    return tuple(told)


def wall_notices(
    request: GradeRequest, walls: Sequence[GradedWall], *, veneer: bool
) -> tuple[Notice, ...]:
    """Say what grade, openings and sleeves do to each wall.

    Parameters
    ----------
    request
        What was asked.
    walls
        The walls worked out.
    veneer
        Whether masonry veneer stands before them.

    Returns
    -------
    tuple of Notice
        Wall by wall.
    """
    plan = request.plan
    slab = plan.slab
    filled = None if slab is None or slab.top is None else slab.top - slab.thickness
    told: list[Notice] = []
    for wall in walls:
        told += grade_notices(wall.profile, wall.strand, request.site, veneer=veneer, filled=filled)
        told += opening_notices(wall.profile, wall.built, plan.openings, request.rules)
        told += sleeve_notices(wall.profile, wall.built, plan.sleeves)
    return tuple(told)


def unknown_footings(plan: Plan) -> tuple[Notice, ...]:
    """Say along which standing buildings the old footing's bottom is not known.

    Returns
    -------
    tuple of Notice
        One ``old-footing-unknown``, or none.
    """
    names = [
        wall.name
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is not None and wall.existing.footing_bottom is None
    ]
    if not names:
        return ()
    return (
        notice(
            "old-footing-unknown",
            "nothing is known of the footing of the standing building along {walls}; find its "
            "bottom and give existing: {{footing_bottom: 96'}} before digging beside it",
            walls=", ".join(names),
        ),
    )
