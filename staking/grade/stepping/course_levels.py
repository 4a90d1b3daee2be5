"""From courses to levels: elevations, what governs, steps, and the pads' own levels."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from staking.grade.stepped_footing import CellBounds, Level, PadLevel, Step, WallProfile
from staking.grade.stepping.cells import Patch, SiteGround, allowed_on, courses_needed
from staking.grade.stepping.step_rules import GradeRules
from staking.grade.stepping.wall_network import Network, Strand
from staking.kinds import Governs
from staking.lines import inside
from staking.plan import Pad, Plan
from staking.tolerances import ON_LINE


def wall_profile(
    strand: Strand, bounds: CellBounds, courses: Sequence[int], rules: GradeRules
) -> WallProfile:
    """Turn the courses in each cell into levels and steps.

    Parameters
    ----------
    strand, bounds
        The wall and what its cells need.
    courses
        One a cell.
    rules
        Course.

    Returns
    -------
    WallProfile
        Level stretches and steps from the wall's first corner.
    """
    ends = [*(np.flatnonzero(np.diff(courses)) + 1).tolist(), len(courses)]
    levels, start = [], 0
    for end in ends:
        levels.append(_level(bounds, start, end, courses[start], rules))
        start = end
    steps = tuple(
        Step(
            wall=strand.name,
            station=after.start,
            down=after.bottom < before.bottom,
            rise=abs(before.courses - after.courses) * rules.course,
            upper=max(before.bottom, after.bottom),
            lower=min(before.bottom, after.bottom),
        )
        for before, after in pairwise(levels)
    )
    return WallProfile(
        wall=strand.name,
        length=strand.length,
        bounds=bounds,
        courses=tuple(courses),
        levels=tuple(levels),
        steps=steps,
    )


def _level(bounds: CellBounds, start: int, end: int, courses: int, rules: GradeRules) -> Level:
    top = bounds.top - courses * rules.course
    bottom = top - bounds.thickness
    frost = min(bounds.frost[start:end]) - bottom
    bearing = min(bounds.bearing[start:end]) - bottom
    higher = rules.course - ON_LINE
    if max(bounds.required[start:end]) < courses:
        governs = Governs.STEPS
    elif min(frost, bearing) < higher:
        governs = Governs.FROST if frost <= bearing else Governs.BEARING
    else:
        governs = Governs.LEAST_COURSES
    return Level(
        start=bounds.edges[start],
        end=bounds.edges[end],
        courses=courses,
        top=top,
        bottom=bottom,
        frost_spare=frost,
        bearing_spare=bearing,
        governs=governs,
    )


def pad_levels(
    plan: Plan, network: Network, site: SiteGround, rules: GradeRules, top_of_wall: float
) -> tuple[PadLevel, ...]:
    """Give every pad its own level.

    Parameters
    ----------
    plan, network
        The pads, and the ground that they cover.
    site, rules
        The ground, and how deep.
    top_of_wall
        What the piers come up to, m.

    Returns
    -------
    tuple of PadLevel
        In the plan's order, in whole courses. Inside a building with an inside grade the
        finished ground is that grade, and frost does not count where it is heated.
    """
    covered = network.covered
    found = []
    for pad in plan.pads:
        patch = [Patch(wall=pad.name, start=0.0, end=0.0, ring=covered[pad.name])]
        inside = site.inside if _is_inside(plan, pad) else None
        grade = None if inside is None else np.array([inside.grade])
        frost, bearing = allowed_on(patch, site, rules, grade)
        if inside is not None and inside.heated:
            frost = np.array([np.inf])
        allowed = np.minimum(frost, bearing)
        count = courses_needed(top_of_wall - pad.thickness, allowed, rules)[0]
        top = top_of_wall - int(count) * rules.course
        governs = Governs.FROST if frost[0] <= bearing[0] else Governs.BEARING
        if allowed[0] - (top - pad.thickness) >= rules.course - ON_LINE:
            governs = Governs.LEAST_COURSES
        found.append(
            PadLevel(
                pad=pad.name,
                top=top,
                bottom=top - pad.thickness,
                pier=top_of_wall - top,
                governs=governs,
            )
        )
    return tuple(found)


def _is_inside(plan: Plan, pad: Pad) -> bool:
    place = np.array([pad.point])
    return any(bool(inside(place, np.array(building.ring))[0]) for building in plan.buildings)
