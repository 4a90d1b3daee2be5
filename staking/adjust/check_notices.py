"""What must be told of the readings of a check and of its verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations

from staking.adjust.blunders import Sifted
from staking.adjust.verdict import HALF_95, Verdict
from staking.network.results import Measurement, Solution
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Point
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
