"""Square or not, and whether the readings are good enough to say so."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from staking.layout.layout_parts import Check
from staking.network.fitted import Solution
from staking.network.geometry import RADIUS_95, Floats
from staking.tolerances import ON_LINE

HALF_95 = 1.959964
"""Standard deviations either way that hold 95 % of one figure's errors (normal distribution)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One check against its tolerance, m.

    `now` is what a perfect tape would read, `error` the standard error of it; `square` whether
    it is within what is allowed, `decided` whether its 95 % interval lies on one side of that.
    """

    check: Check
    now: float
    error: float
    square: bool
    decided: bool

    @property
    def off(self) -> float:
        """By how much it is longer than on the plan, m."""
        return self.now - self.check.distance


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Every check judged, and what they come to together."""

    judged: tuple[Judged, ...]
    square: bool
    decided: bool


def judge(solution: Solution, checks: Iterable[Check], *, unclear: bool = False) -> Verdict:
    """Judge the adjusted corners against the tolerances.

    Parameters
    ----------
    solution
        The adjusted corners.
    checks
        The job's checks; those between corners that were not taped, and those to pads and ends
        of interior lines, are left out. ``right angle`` and ``angle`` judge the corner's angle by
        the distance across the legs.
    unclear
        Whether a reading is wrong and nobody can say which: then nothing is decided.

    Returns
    -------
    Verdict
        Square when every check is; decided when each is decided, or one surely is not square.

    Notes
    -----
    The standard error of a figure follows from the covariance of the corners by the law of
    propagation; its 95 % interval is 1.96 of them either way.
    """
    at = {name: place for place, name in enumerate(solution.names)}
    judged = tuple(
        _judge(solution, check, at)
        for check in checks
        if check.kind != "point"
        and {check.from_name, check.to_name, check.at} - {None} <= at.keys()
    )
    square = all(each.square for each in judged)
    sure = (
        all(each.decided for each in judged)
        if square
        else any(each.decided and not each.square for each in judged)
    )
    return Verdict(judged=judged, square=square, decided=sure and not unclear)


def corner_angle(points: Floats, before: int, corner: int, after: int) -> float:
    """Give the angle at a corner from the wall to the next corner round to that to the last.

    Parameters
    ----------
    points
        x and y, m, shape ``(n, 2)``.
    before, corner, after
        Their places.

    Returns
    -------
    float
        The angle between the two walls, rad, from 0 to pi.
    """
    one, other = points[before] - points[corner], points[after] - points[corner]
    turned = abs(float(one[0] * other[1] - one[1] * other[0]))
    return math.atan2(turned, float(one @ other))


def radii95(solution: Solution) -> Floats:
    """Give the 95 % radius of each corner: 2.4477 times the semi-major axis, m, shape ``(n,)``."""
    count = len(solution.names)
    blocks = solution.covariance.reshape(count, 2, count, 2)
    each = blocks[np.arange(count), :, np.arange(count), :]
    greatest = np.linalg.eigvalsh(each)[:, -1]
    return np.asarray(RADIUS_95 * np.sqrt(np.maximum(greatest, 0.0)))


def _judge(solution: Solution, check: Check, at: Mapping[str, int]) -> Judged:
    if check.at is None or check.legs is None:
        now, row = _distance(solution, at[check.from_name], at[check.to_name])
    else:
        now, row = _across(
            solution, at[check.from_name], at[check.at], at[check.to_name], check.legs
        )
    error = math.sqrt(max(float(row @ solution.covariance @ row), 0.0))
    off = abs(now - check.distance)
    reach = HALF_95 * error
    return Judged(
        check=check,
        now=now,
        error=error,
        square=off <= check.allowed + ON_LINE,
        decided=off + reach <= check.allowed + ON_LINE or off - reach > check.allowed + ON_LINE,
    )


def _distance(solution: Solution, first: int, second: int) -> tuple[float, Floats]:
    step = solution.coordinates[second] - solution.coordinates[first]
    length = float(np.hypot(step[0], step[1]))
    row = np.zeros(2 * len(solution.names))
    row[2 * second : 2 * second + 2] = step / length
    row[2 * first : 2 * first + 2] = -step / length
    return length, row


def _across(
    solution: Solution, first: int, corner: int, second: int, legs: tuple[float, float]
) -> tuple[float, Floats]:
    # law of cosines across the legs; an angle's derivative by a wall's far end is one over its
    # length, square to the wall
    points = solution.coordinates
    angle = corner_angle(points, first, corner, second)
    one, other = points[first] - points[corner], points[second] - points[corner]
    way = 1.0 if one[0] * other[1] - one[1] * other[0] >= 0 else -1.0
    row = np.zeros(2 * len(solution.names))
    for place, wall, sign in ((first, one, -way), (second, other, way)):
        swing = sign * np.array([-wall[1], wall[0]]) / float(wall @ wall)
        row[2 * place : 2 * place + 2] += swing
        row[2 * corner : 2 * corner + 2] -= swing
    a, b = legs
    across = math.sqrt(a * a + b * b - 2 * a * b * math.cos(angle))
    return across, row * (a * b * math.sin(angle) / across)
