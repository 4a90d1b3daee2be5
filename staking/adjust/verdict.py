"""Square or not, and whether the readings are good enough to say so."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from staking.adjust.check_limits import Limit, limit_of, z_of
from staking.adjust.targets import Target
from staking.frozen import frozen
from staking.layout.layout_parts import Check
from staking.lines import cross
from staking.network.geometry import RADIUS_95, Floats
from staking.plan import Point
from staking.tolerances import ON_LINE

COARSE = 10.0
"""Readings that show nothing under so many times what is allowed are no proof of square (common
practice, no source)."""


@frozen
class Quantity:
    """One check as the stakes stand, m: what a perfect tape would read, and its standard error."""

    check: Check
    now: float
    error: float

    @property
    def what(self) -> str:
        """What it is called: the corner of an angle, else the two ends of a tape."""
        if self.check.at is not None:
            return f"corner {self.check.at}"
        return f"{self.check.from_name}-{self.check.to_name}"


@frozen
class Judged:
    """One check against its limit, m.

    Parameters
    ----------
    check
        The check.
    now
        What a perfect tape would read.
    error
        The standard error of that, with these readings.
    limit
        What it is judged by, and what set that.
    square
        Whether it is within its limit.
    decided
        Whether it is within its limit, or past it by one standard error or more.
    """

    check: Check
    now: float
    error: float
    limit: Limit
    square: bool
    decided: bool

    @property
    def off(self) -> float:
        """By how much it is longer than on the plan, m."""
        return self.now - self.check.distance

    @property
    def lenient(self) -> bool:
        """Whether it is past what is allowed, and passes because nothing finer can be told."""
        return self.square and abs(self.off) > self.check.allowed + ON_LINE


@frozen
class Verdict:
    """Every check judged, and what they come to together.

    Parameters
    ----------
    judged
        Each check.
    square
        Whether every one is within its limit.
    decided
        Whether that is sure: no reading is wrong that nobody can name, and where something is past
        its limit, something is past it by a standard error or more.
    count
        How many quantities are judged, those beside the checks included.
    """

    judged: tuple[Judged, ...]
    square: bool
    decided: bool
    count: int = 1

    @property
    def worst(self) -> Judged | None:
        """What takes the greatest part of its limit; None where nothing is judged."""
        return max(self.judged, key=lambda each: abs(each.off) / each.limit.limit, default=None)

    @property
    def coarse(self) -> bool:
        """Whether some distance may be off by ten times what is allowed before it shows."""
        return any(
            each.limit.limit > COARSE * each.check.allowed
            for each in self.judged
            if each.check.at is None
        )


def measure(
    names: Sequence[str], coordinates: Floats, covariance: Floats, checks: Iterable[Check]
) -> tuple[Quantity, ...]:
    """Measure checks between the points as they stand.

    Parameters
    ----------
    names
        Corners and points.
    coordinates
        Where they stand, m, shape ``(n, 2)``.
    covariance
        ``(2n, 2n)``, m2.
    checks
        What is judged; those with an end that is not among the names are left out.

    Returns
    -------
    tuple of Quantity
        In the order of the checks. ``right angle`` and ``angle`` measure the corner's angle by the
        distance across the legs.

    Notes
    -----
    The standard error follows from the covariance by the law of propagation.
    """
    at = {name: place for place, name in enumerate(names)}
    found = []
    for check in checks:
        if not {check.from_name, check.to_name, check.at} - {None} <= at.keys():
            continue
        one, other = at[check.from_name], at[check.to_name]
        if check.at is None or check.legs is None:
            now, row = _distance(coordinates, one, other)
        else:
            now, row = _across(coordinates, one, at[check.at], other, check.legs)
        error = math.sqrt(max(float(row @ covariance @ row), 0.0))
        found.append(Quantity(check=check, now=now, error=error))
    return tuple(found)


def judge(
    quantities: Sequence[Quantity],
    step: float,
    *,
    more: int = 0,
    unclear: bool = False,
    as_planned: bool = False,
) -> Verdict:
    """Judge quantities against the tolerances and against what the readings can show.

    Parameters
    ----------
    quantities
        From `measure`.
    step
        The step that lengths are read in, m.
    more
        How many quantities are judged beside these: stakes on the lot, setbacks.
    unclear
        Whether a reading is wrong and nobody can say which: then nothing is decided.
    as_planned
        Whether every reading is the plan's own distance, rounded: then nothing is past its limit,
        whatever roundings add up to.

    Returns
    -------
    Verdict
        Square when every quantity is within its limit; not decided where one is past its limit by
        less than a standard error and none by more.
    """
    count = len(quantities) + more
    z = z_of(count)
    judged = tuple(_judged(each, step, z, as_planned=as_planned) for each in quantities)
    square = all(each.square for each in judged)
    sure = square or any(each.decided and not each.square for each in judged)
    return Verdict(judged=judged, square=square, decided=sure and not unclear, count=count)


def _judged(each: Quantity, step: float, z: float, *, as_planned: bool) -> Judged:
    limit = limit_of(each.what, each.check.allowed, each.error, step, z)
    past = abs(each.now - each.check.distance) - limit.limit
    square = as_planned or past <= ON_LINE
    return Judged(
        check=each.check,
        now=each.now,
        error=each.error,
        limit=limit,
        square=square,
        decided=square or past >= each.error - ON_LINE,
    )


def points_out(
    verdict: Verdict, corners: Mapping[str, Point], targets: Sequence[Target]
) -> tuple[str, ...]:
    """Name the pads and ends of interior lines that are off where another plan has them.

    Parameters
    ----------
    verdict
        What the readings say, in which each tape to a point has its length and its limit.
    corners
        Where the corners stand, m, which is where the other plan has them.
    targets
        The other plan's points.

    Returns
    -------
    tuple of str
        In the order of the checks.
    """
    places = {each.name: each.point for each in targets}
    return tuple(
        dict.fromkeys(
            each.check.to_name
            for each in verdict.judged
            if each.check.at is None and each.check.to_name in places
            if abs(each.now - math.dist(corners[each.check.from_name], places[each.check.to_name]))
            > each.limit.limit + ON_LINE
        )
    )


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
    turned = abs(float(cross(one, other)))
    return math.atan2(turned, float(one @ other))


def radii95(covariance: Floats) -> Floats:
    """Give the 95 % radius of each point: 2.4477 times the semi-major axis, m, shape ``(n,)``."""
    count = len(covariance) // 2
    blocks = covariance.reshape(count, 2, count, 2)
    each = blocks[np.arange(count), :, np.arange(count), :]
    greatest = np.linalg.eigvalsh(each)[:, -1]
    return np.asarray(RADIUS_95 * np.sqrt(np.maximum(greatest, 0.0)))


def _distance(points: Floats, first: int, second: int) -> tuple[float, Floats]:
    step = points[second] - points[first]
    length = float(np.hypot(step[0], step[1]))
    row = np.zeros(2 * len(points))
    row[2 * second : 2 * second + 2] = step / length
    row[2 * first : 2 * first + 2] = -step / length
    return length, row


def _across(
    points: Floats, first: int, corner: int, second: int, legs: tuple[float, float]
) -> tuple[float, Floats]:
    # law of cosines across the legs; an angle's derivative by a wall's far end is one over its
    # length, square to the wall
    angle = corner_angle(points, first, corner, second)
    one, other = points[first] - points[corner], points[second] - points[corner]
    way = 1.0 if cross(one, other) >= 0 else -1.0
    row = np.zeros(2 * len(points))
    for place, wall, sign in ((first, one, -way), (second, other, way)):
        swing = sign * np.array([-wall[1], wall[0]]) / float(wall @ wall)
        row[2 * place : 2 * place + 2] += swing
        row[2 * corner : 2 * corner + 2] -= swing
    a, b = legs
    across = math.sqrt(a * a + b * b - 2 * a * b * math.cos(angle))
    return across, row * (a * b * math.sin(angle) / across)
