"""What must be told of the readings of a check and of its verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations

from staking.adjust.blunders import Sifted
from staking.adjust.moves import Move
from staking.adjust.verdict import HALF_95, Verdict
from staking.network.fitted import Measurement, Solution
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Plan, Point
from staking.tolerances import ON_LINE

FAR_FROM_PLAN = 0.2
"""A reading further than this share from the plan is remarked on: a wrong unit, or a slip."""


def reading_notices(
    measurements: Sequence[Measurement],
    points: Mapping[str, tuple[float, float]],
    names: Sequence[str],
    *,
    shot: bool = False,
) -> tuple[Notice, ...]:
    """Remark on readings far from the plan, and on corners without any.

    Parameters
    ----------
    measurements
        The taped distances.
    points
        The corners on the plan, m.
    names
        The corners that are checked.
    shot
        Whether stakes were surveyed.

    Returns
    -------
    tuple of Notice
        What must be told.
    """
    told = []
    for each in measurements:
        planned = math.dist(points[each.from_name], points[each.to_name])
        if abs(each.distance - planned) > FAR_FROM_PLAN * planned + ON_LINE:
            told.append(
                notice(
                    "far-from-plan",
                    "{pair} reads {reading} and is {planned} on the plan: is it another pair, or "
                    "another unit?",
                    pair=f"{each.from_name}-{each.to_name}",
                    reading=Length(each.distance),
                    planned=Length(planned),
                )
            )
    left = [name for name in points if name not in names]
    if left:
        told.append(
            notice(
                "corners-not-taped",
                "there is no stake and no tape to {corners}: nothing is said of them"
                if shot
                else "nothing was taped to {corners}: nothing is said of them",
                Severity.WARNING,
                corners=", ".join(left),
            )
        )
    return tuple(told)


def height_notices(
    measurements: Sequence[Measurement], heights: Mapping[str, float]
) -> tuple[Notice, ...]:
    """Warn of tapes that are taken as level because a stake has no height beside others that do.

    Parameters
    ----------
    measurements
        The taped distances.
    heights
        Heights of stake tops, m, by corner.

    Returns
    -------
    tuple of Notice
        Empty where every taped stake has a height, or none has.
    """
    taped = dict.fromkeys(name for m in measurements for name in (m.from_name, m.to_name))
    without = [name for name in taped if name not in heights]
    if not without or not heights:
        return ()
    return (
        notice(
            "heights-missing",
            "no height is given for {corners}: tapes to them are taken as level",
            Severity.WARNING,
            corners=", ".join(without),
        ),
    )


def reduced_notices(
    measurements: Sequence[Measurement], read: Sequence[float]
) -> tuple[Notice, ...]:
    """Say that readings were reduced, and the one that was by most.

    Parameters
    ----------
    measurements
        The level distances.
    read
        What was read, m, in the same order.

    Returns
    -------
    tuple of Notice
        Empty where every distance is as it was read.
    """
    by = [each.distance - length for each, length in zip(measurements, read, strict=True)]
    most = max(range(len(by)), key=lambda place: abs(by[place]), default=None)
    if most is None or abs(by[most]) <= ON_LINE:
        return ()
    each = measurements[most]
    return (
        notice(
            "readings-reduced",
            "slope, temperature and pull are taken out of the readings: {pair} counts {by} "
            + ("longer" if by[most] > 0 else "shorter")
            + " than read, the others no more",
            Severity.NOTE,
            pair=f"{each.from_name}-{each.to_name}",
            by=Length(abs(by[most])),
        ),
    )


def swapped_stakes(solution: Solution, points: Mapping[str, Point]) -> tuple[Notice, ...]:
    """Ask whether two surveyed stakes bear each other's names.

    Parameters
    ----------
    solution
        The stakes, laid on the plan.
    points
        The corners on the plan, m.

    Returns
    -------
    tuple of Notice
        One for each two that stand nearer to the other's place than half way to their own.
    """
    here = dict(zip(solution.names, solution.coordinates.tolist(), strict=True))

    def nearer(one: str, other: str) -> bool:
        return math.dist(here[one], points[other]) < 0.5 * math.dist(here[one], points[one])

    return tuple(
        notice(
            "stakes-swapped",
            "{one} stands where {other} belongs and {other} where {one} does: are their names "
            "swapped in the file?",
            Severity.WARNING,
            one=one,
            other=other,
        )
        for one, other in combinations(solution.names, 2)
        if nearer(one, other) and nearer(other, one)
    )


def standing_notices(plan: Plan, moves: Sequence[Move]) -> tuple[Notice, ...]:
    """Warn where a corner would have to leave the standing building it lies against.

    Parameters
    ----------
    plan
        The plan.
    moves
        What is told to move.

    Returns
    -------
    tuple of Notice
        One for each existing side that a corner is moved off; along it a mark may move.
    """
    points = {c.name: c.point for building in plan.buildings for c in building.corners}
    steps = {move.corner: move.steps for move in moves}
    told = []
    for wall in (w for b in plan.buildings for w in b.walls if w.existing is not None):
        (x1, y1), (x2, y2) = points[wall.start], points[wall.end]
        run = math.dist((x1, y1), (x2, y2))
        ends = [
            name
            for name in (wall.start, wall.end)
            if abs(sum((x2 - x1) * s.y - (y2 - y1) * s.x for s in steps.get(name, ())))
            > ON_LINE * run
        ]
        if ends:
            told.append(
                notice(
                    "moves-standing",
                    "{corners} cannot leave the standing building along {wall}: hold that side, "
                    "--hold {start},{wall}",
                    Severity.WARNING,
                    corners=" and ".join(ends),
                    wall=wall.name,
                    start=wall.start,
                )
            )
    return tuple(told)


def verdict_notices(verdict: Verdict, sifted: Sifted, *, shot: bool = False) -> tuple[Notice, ...]:
    """Say why a verdict is not decided, and what would decide it.

    Parameters
    ----------
    verdict, sifted
        The verdict, and the readings behind it.
    shot
        Whether stakes were surveyed.

    Returns
    -------
    tuple of Notice
        Empty where it is decided.
    """
    if verdict.decided:
        return ()
    if sifted.unclear:
        return (
            notice(
                "not-decided",
                "whether it is square is not decided: a reading is wrong, and until it is read "
                "again no stake should move",
            ),
        )
    again = "read the diagonals again, twice each, and give both readings"
    if shot:
        again = "tape the diagonals and give them as well"
    close = [each for each in verdict.judged if not each.decided]
    worst = max(close, key=lambda each: each.error / max(each.check.allowed, ON_LINE))
    return (
        notice(
            "not-decided",
            "too close to call with {what}: at {place} the readings are sure to {reach} either "
            "way, and the limit lies within that; " + again,
            what="these shots" if shot else "this tape",
            place=worst.check.at or f"{worst.check.from_name}-{worst.check.to_name}",
            reach=Length(HALF_95 * worst.error),
        ),
    )
