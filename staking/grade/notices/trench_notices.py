"""Deep trenches: from levels, or from the one depth that a job without levels is dug to."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.grade.trench_depth import PROTECTION, WAY_OUT, DeepStretch
from staking.notices import Length, Notice, NoticeKind, notice
from staking.plan import Plan
from staking.tolerances import ON_LINE


def trench_notices(stretches: Sequence[DeepStretch]) -> tuple[Notice, ...]:
    """Say where the trench needs a way out or protection.

    Parameters
    ----------
    stretches
        Where it is 4 and 5 feet deep.

    Returns
    -------
    tuple of Notice
        At most ``trench-way-out`` and ``trench-protection``, each naming every wall.
    """
    told = []
    for limit in dict.fromkeys(sorted(each.limit for each in stretches)):
        deep = [each for each in stretches if each.limit == limit]
        worst = max(deep, key=lambda each: each.deepest)
        protects = limit == PROTECTION
        what = (
            "sloping, shoring or a shield before anyone gets in, as a competent person chooses; "
            "only a trench that is all in stable rock goes without (OSHA 29 CFR 1926.652(a)(1))"
            if protects
            else "a ladder or another way out within 25 ft of whoever works in it (OSHA 29 CFR "
            "1926.651(c)(2))"
        )
        told.append(
            notice(
                NoticeKind.TRENCH_PROTECTION if protects else NoticeKind.TRENCH_WAY_OUT,
                f"the trench is {{limit}} deep or more on {{walls}}, and {{deepest}} at the most, "
                f"on {{wall}}: it needs {what}",
                limit=Length(limit),
                walls=", ".join(dict.fromkeys(each.wall for each in deep)),
                deepest=Length(worst.deepest),
                wall=worst.wall,
            )
        )
    return tuple(told)


def flat_stretches(plan: Plan, depth: float) -> tuple[DeepStretch, ...]:
    """Find what is 4 and 5 feet deep where everything is dug to one depth.

    Parameters
    ----------
    plan
        The building.
    depth
        Of the dig, m.

    Returns
    -------
    tuple of DeepStretch
        For each limit reached every wall and interior line of ours, from end to end.
    """
    lengths = {}
    for building in plan.buildings:
        for side in building.sides:
            if side.wall.existing is None:
                lengths[side.wall.name] = side.length
    lengths |= {line.name: math.dist(line.start, line.end) for line in plan.interior}
    return tuple(
        DeepStretch(wall=name, limit=limit, start=0.0, end=length, deepest=depth)
        for limit in (WAY_OUT, PROTECTION)
        if depth >= limit - ON_LINE
        for name, length in lengths.items()
    )


def without_levels(plan: Plan, depth: float) -> tuple[Notice, ...]:
    """Say what a dig of one depth asks for, and what is not known of it beside standing walls.

    Parameters
    ----------
    plan
        The building, in a job without levels.
    depth
        Of the dig, m; 0 where the job does not give it.

    Returns
    -------
    tuple of Notice
        ``trench-way-out`` and ``trench-protection`` as with levels; ``old-footing-not-judged``
        along sides against standing buildings.
    """
    return (*trench_notices(flat_stretches(plan, depth)), *_beside_standing(plan, depth))


def _beside_standing(plan: Plan, depth: float) -> list[Notice]:
    sides = [
        (wall.name, wall.existing)
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is not None
    ]
    said = []
    dug = "a dig {depth} deep" if depth > 0 else "a dig whose depth is not given"
    unknown = [name for name, old in sides if old.footing_bottom is None]
    if unknown:
        said.append(
            notice(
                "old-footing-not-judged",
                f"{dug} comes beside the standing building along {{walls}}, and nothing is known "
                "of its footing: dug below its bottom, it may give way; find the bottom before "
                "digging, and give existing: {{footing_bottom: 96'}} and a grade section, or ask "
                "an engineer",
                walls=", ".join(unknown),
                depth=Length(depth),
            )
        )
    for name, old in sides:
        if old.footing_bottom is not None:
            said.append(
                notice(
                    "old-footing-not-judged",
                    f"{dug} comes beside the standing building along {{wall}}, whose footing's "
                    "bottom is at {bottom}: without levels nothing says whether the dig goes below "
                    "it; add a grade section with the ground at the corners",
                    wall=name,
                    depth=Length(depth),
                    bottom=Length(old.footing_bottom),
                )
            )
    return said
