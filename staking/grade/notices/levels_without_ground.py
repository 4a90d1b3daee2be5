"""Elevations of a job without a grade section, held against one another."""

from __future__ import annotations

from staking.grade.notices.probable_level import probable_level, with_meant
from staking.notices import Length, Notice
from staking.plan import Plan
from staking.tolerances import ON_LINE
from staking.units import FOOT, Unit

STRINGS_OFF = 12 * FOOT
"""Boards farther from the slab's top, m, are on another zero (common practice, no source)."""

SLEEVE_OVER = 2 * FOOT
"""A pipe farther over the slab or the boards, m, is over the wall (common practice, no source)."""

SLEEVE_UNDER = 12 * FOOT
"""One farther under them, m, is under the footing (common practice, no source)."""

OLD_UNDER = 20 * FOOT
"""An old footing farther under them, m, is on another zero (common practice, no source)."""


def loose_level_notices(plan: Plan, boards_at: float | None, unit: Unit) -> tuple[Notice, ...]:
    """Say which elevations do not fit the slab's, or the boards' where there is no slab.

    Parameters
    ----------
    plan
        The building, in a job without levels of the ground.
    boards_at
        Elevation of the boards, m, or None.
    unit
        The job's.

    Returns
    -------
    tuple of Notice
        ``level-apart`` for boards, sleeves and old footings that are far from it.
    """
    slab = None if plan.slab is None else plan.slab.top
    zero = boards_at if slab is None else slab
    if zero is None:
        return ()
    what = "the boards" if slab is None else "the slab's top"
    known = []
    if slab is not None and boards_at is not None:
        known.append(("the boards", boards_at, STRINGS_OFF, STRINGS_OFF))
    for sleeve in plan.sleeves:
        if sleeve.invert is not None:
            known.append((f"the sleeve on {sleeve.wall}", sleeve.invert, SLEEVE_UNDER, SLEEVE_OVER))
    for building in plan.buildings:
        for wall in building.walls:
            if wall.existing is not None and wall.existing.footing_bottom is not None:
                name = f"the old footing along {wall.name}"
                known.append((name, wall.existing.footing_bottom, OLD_UNDER, 0.0))
    said = []
    for name, level, below, above in known:
        over = level - zero
        if -below - ON_LINE <= over <= above + ON_LINE:
            continue
        said.append(
            with_meant(
                "level-apart",
                "{name}: {level} is {far} {way} {what} at {zero}; give all elevations from one "
                "zero, and check this one",
                probable_level(level, zero - below, zero + above, unit),
                name=name,
                level=Length(level),
                far=Length(abs(over)),
                way="over" if over > 0 else "under",
                what=what,
                zero=Length(zero),
            )
        )
    return tuple(said)
