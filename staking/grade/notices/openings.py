"""Door openings against steps: what is left of the wall under them, and steps within them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.grade.stepped_footing import WallProfile
from staking.grade.stepping.built_steps import BuiltStep
from staking.grade.stepping.step_rules import GradeRules
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Opening, reversed_name
from staking.tolerances import ON_LINE


def opening_notices(
    profile: WallProfile,
    built: Sequence[BuiltStep],
    openings: Sequence[Opening],
    rules: GradeRules,
) -> tuple[Notice, ...]:
    """Say what openings and the steps of one wall do to each other.

    Parameters
    ----------
    profile, built
        One wall and its steps as built.
    openings
        Of the whole plan, named either way round; those of other walls are passed over.
    rules
        Course and least number of courses.

    Returns
    -------
    tuple of Notice
        ``opening-step`` where a riser face stands within an opening, ``opening-overlap`` where
        only the overlap under a step reaches into one, ``opening-courses`` where the dropped
        wall keeps fewer courses than asked, ``opening-footing`` where it is dropped into the
        footing, and ``opening-bond`` notes where the drop is not a whole number of courses.
    """
    turned = reversed_name(profile.wall)
    told: list[Notice] = []
    for opening in openings:
        if opening.wall not in {profile.wall, turned}:
            continue
        start = opening.start
        if opening.wall != profile.wall:
            start = profile.length - opening.start - opening.width
        told += _against_steps(profile, built, start, start + opening.width)
        told += _left_under(profile, rules, (start, start + opening.width), opening.drop)
    return tuple(told)


def _against_steps(
    profile: WallProfile, built: Sequence[BuiltStep], start: float, end: float
) -> list[Notice]:
    told = []
    for each in built:
        face = each.step.station
        low, high = sorted((face, each.dig_to))
        if start + ON_LINE < face < end - ON_LINE:
            told.append(
                notice(
                    "opening-step",
                    "the step at {station} on {wall} stands within the opening from {start} to "
                    "{end}; move the step or the opening",
                    wall=profile.wall,
                    station=Length(face),
                    start=Length(start),
                    end=Length(end),
                )
            )
        elif low < end - ON_LINE and high > start + ON_LINE:
            told.append(
                notice(
                    "opening-overlap",
                    "the lower level of the step at {station} on {wall} is dug to {dig_to}, "
                    "under the opening from {start} to {end}",
                    severity=Severity.NOTE,
                    wall=profile.wall,
                    station=Length(face),
                    dig_to=Length(each.dig_to),
                    start=Length(start),
                    end=Length(end),
                )
            )
    return told


def _left_under(
    profile: WallProfile, rules: GradeRules, span: tuple[float, float], drop: float
) -> list[Notice]:
    # What stays of the wall where the footing is highest under the opening.
    start, end = span
    under = [
        level
        for level in profile.levels
        if level.start < end - ON_LINE and level.end > start + ON_LINE
    ]
    if not under or drop <= ON_LINE:
        return []
    courses = min(level.courses for level in under)
    if drop > courses * rules.course + ON_LINE:
        return [
            notice(
                "opening-footing",
                "the opening from {start} to {end} on {wall} is dropped {deeper} below the top "
                "of the footing; lower the footing there or drop the wall less",
                deeper=Length(drop - courses * rules.course),
                wall=profile.wall,
                start=Length(start),
                end=Length(end),
            )
        ]
    told = []
    dropped = math.ceil((drop - ON_LINE) / rules.course)
    if courses - dropped < rules.least_courses:
        told.append(
            notice(
                "opening-courses",
                "the opening from {start} to {end} on {wall} leaves {left} whole courses over "
                "the footing, fewer than {least}; lower the footing there or drop the wall less",
                left=courses - dropped,
                least=rules.least_courses,
                wall=profile.wall,
                start=Length(start),
                end=Length(end),
            )
        )
    odd = abs(drop - round(drop / rules.course) * rules.course)
    if odd > ON_LINE:
        told.append(
            notice(
                "opening-bond",
                "the drop of {drop} at the opening from {start} to {end} on {wall} is not a whole "
                "number of courses; a course is cut there",
                severity=Severity.NOTE,
                drop=Length(drop),
                wall=profile.wall,
                start=Length(start),
                end=Length(end),
            )
        )
    return told
