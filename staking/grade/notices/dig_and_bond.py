"""A dig's depth beside the levels, and fixed steps beside the bond of the block."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.graded import GradedWall
from staking.grade.notices.wall_parts import is_named
from staking.grade.stepped_footing import WallSteps
from staking.grade.stepping.step_rules import GradeRules
from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE, SAME_POINT
from staking.units import FOOT

DEPTH_APART = FOOT
"""A depth of the dig that differs from the levels' by more, m, is said (common practice, no
source)."""


def dig_notices(given: float, deepest: float, frost: float, raised: float) -> tuple[Notice, ...]:
    """Say where the depth of the dig does not fit the frost depth or the levels.

    Parameters
    ----------
    given
        The dig's depth as the job gives it, m; 0 where it does not.
    deepest
        The greatest depth by the levels, m.
    frost
        How far the footing's bottom must be under finished grade, m.
    raised
        Finished grade over the existing ground, m; negative where it is lowered.

    Returns
    -------
    tuple of Notice
        ``dig-over-frost``, or else ``dig-and-levels``, or none.
    """
    if given <= 0.0:
        return ()
    if given + raised < frost - ON_LINE:
        return (
            notice(
                "dig-over-frost",
                "depth: under dig: is {given}, less than the frost depth of {frost}; the levels "
                "are used, which dig {deepest} deep at the most: check both figures",
                given=Length(given),
                frost=Length(frost),
                deepest=Length(deepest),
            ),
        )
    if abs(given - deepest) <= DEPTH_APART + ON_LINE:
        return ()
    return (
        notice(
            "dig-and-levels",
            "depth: under dig: is {given}, and by the levels it is {deepest} at the most: the "
            "levels are used; check the ground and the top of the wall, or take the depth out",
            given=Length(given),
            deepest=Length(deepest),
        ),
    )


def bond_notices(
    steps: Sequence[WallSteps], walls: Sequence[GradedWall], rules: GradeRules
) -> tuple[Notice, ...]:
    """Say which fixed steps do not stand on the bond of the block.

    Parameters
    ----------
    steps
        What the job says of single walls.
    walls
        The walls worked out.
    rules
        The module, half a block.

    Returns
    -------
    tuple of Notice
        ``step-off-bond`` for each step that is not a whole number of modules from either end of its
        wall, with the two places beside it that are.
    """
    said = []
    for each in steps:
        wall = next((one for one in walls if is_named(each.wall, one)), None)
        if wall is None or not each.fixed:
            continue
        length, module = wall.profile.length, rules.module
        for station in each.fixed:
            if _whole(station, module) or _whole(length - station, module):
                continue
            before = station // module * module
            said.append(
                notice(
                    "step-off-bond",
                    "the step at {station} on {wall} stands off the bond, whose half blocks are "
                    "{module}: at {before} or {after} no block is cut",
                    station=Length(station),
                    wall=each.wall,
                    module=Length(module),
                    before=Length(before),
                    after=Length(before + module),
                )
            )
    return tuple(said)


def _whole(length: float, module: float) -> bool:
    return abs(length - round(length / module) * module) <= SAME_POINT
