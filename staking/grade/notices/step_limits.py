"""What the rules say of a stepped footing beside where it steps: its wall and its overlaps."""

from __future__ import annotations

from staking.grade.stepped_footing import Level, WallProfile
from staking.grade.stepping.step_rules import GradeRules, overlap
from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE


def height_notices(profile: WallProfile, rules: GradeRules) -> tuple[Notice, ...]:
    """Say where a wall stands higher over its footing than the rule in force allows.

    Parameters
    ----------
    profile
        One wall; its height is measured from the footing's top to its own.
    rules
        The rule and the course.

    Returns
    -------
    tuple of Notice
        A ``wall-too-high`` warning for each stretch over the rule's height, but for one that
        ends at a step, is no longer than the rule allows there and no higher.
    """
    rule = rules.rule
    if rule.wall is None:
        return ()
    told = []
    for high in _high_stretches(profile, rules, rule.wall):
        start, end = high[0].start, high[-1].end
        tallest = max(level.courses for level in high) * rules.course
        at_step = any(
            abs(step.station - end) < ON_LINE or abs(step.station - start) < ON_LINE
            for step in profile.steps
        )
        if (
            at_step
            and end - start <= rule.length_at_step + ON_LINE
            and tallest <= rule.wall_at_step + ON_LINE
        ):
            continue
        told.append(
            notice(
                "wall-too-high",
                "from {start} to {end} {wall} stands up to {height} over its footing, and {rule} "
                "allows {limit}, or {more} for at most {length} beside a step ({source}): lower "
                "the top of the wall, or raise the footing there",
                wall=profile.wall,
                start=Length(start),
                end=Length(end),
                height=Length(tallest),
                rule=rule.name,
                limit=Length(rule.wall),
                more=Length(rule.wall_at_step),
                length=Length(rule.length_at_step),
                source=rule.source,
            )
        )
    return tuple(told)


def _high_stretches(profile: WallProfile, rules: GradeRules, limit: float) -> list[list[Level]]:
    # Neighbouring levels over the limit, together.
    found: list[list[Level]] = [[]]
    for level in profile.levels:
        if level.courses * rules.course > limit + ON_LINE:
            found[-1].append(level)
        elif found[-1]:
            found.append([])
    return [levels for levels in found if levels]


def overlap_notices(profile: WallProfile, rules: GradeRules) -> tuple[Notice, ...]:
    """Say where a step has no room for its overlap.

    Parameters
    ----------
    profile
        One wall.
    rules
        The rule whose overlap counts.

    Returns
    -------
    tuple of Notice
        An ``overlap-short`` warning for each step whose lower level, dug the overlap into the
        bank, would pass the next step uphill or the wall's end.
    """
    told = []
    stations = [step.station for step in profile.steps]
    ends = [0.0, *stations, profile.length]
    for number, step in enumerate(profile.steps):
        # Downward along the wall the bank lies behind, toward the wall's start.
        bank = ends[number] if step.down else ends[number + 2]
        room = abs(step.station - bank)
        reach = overlap(rules.rule, step.rise, profile.bounds.thickness)
        if reach > room + ON_LINE:
            told.append(
                notice(
                    "overlap-short",
                    "the step at {station} on {wall} asks for an overlap of {overlap} and has "
                    "room for {room}; make {key} greater",
                    wall=profile.wall,
                    station=Length(step.station),
                    overlap=Length(reach),
                    room=Length(room),
                    key="min_run" if bank in stations else "corner_run",
                )
            )
    return tuple(told)
