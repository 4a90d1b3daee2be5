"""Checks beyond corner to corner: 3-4-5 and other angles, and points swung from two corners."""

from __future__ import annotations

import math

import numpy as np

from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.layout.allowed import allowed_difference
from staking.layout.layout_parts import Check
from staking.layout.sight import is_in_sight
from staking.lines import cross_of
from staking.network.tape_error import standard_error
from staking.notices import Notice, Severity, notice
from staking.plan import Building, Options, Plan, Point
from staking.tolerances import ON_LINE, SAME_POINT
from staking.units import FOOT, US_SURVEY_FOOT

SQUARE = 0.0005
"""A corner is square when its longest leg ends within this of the square line, m (common practice,
no source)."""

TIE = 1e-9
"""Variances nearer than this share are the same: the first pair by name is taken."""

_STEPS = {"ft": FOOT, "in": FOOT, "us-ft": US_SURVEY_FOOT}
_METRIC_STEP = 0.5


@frozen
class _Angle:
    """A corner with its two neighbours sorted by name, and the angle between its legs, rad."""

    name: str
    at: Point
    first: str
    second: str
    to_first: Point
    to_second: Point
    lengths: tuple[float, float]
    angle: float

    @property
    def is_square(self) -> bool:
        """Whether a 3-4-5 fits the corner."""
        return abs(self.angle - math.pi / 2) * max(self.lengths) <= SQUARE


def corner_checks(plan: Plan, options: Options) -> tuple[tuple[Check, ...], tuple[Notice, ...]]:
    """Make the check of the angle at each corner.

    Parameters
    ----------
    plan
        The plan.
    options
        The tape, the tolerances, and the unit: triangles grow by whole feet or by 0.5 m.

    Returns
    -------
    tuple
        The checks by corner name, and notices of corners where the tape finds no way. None at a
        corner between two sides of a standing building.

    Notes
    -----
    Square corners: the largest 3k, 4k, 5k along the walls, the 3 toward the first neighbour by
    name. Where none fits, and at other corners, equal legs: whole feet or halves of a metre where
    the walls allow them. The tape across is ``2 l sin(angle / 2)``, the law of cosines for equal
    legs.
    """
    step = _STEPS.get(options.unit, _METRIC_STEP)
    angles = sorted(
        (angle for building in plan.buildings for angle in _angles(building)),
        key=lambda angle: angle.name,
    )
    checks = [
        _square_check(angle, step, options) or _angle_check(angle, step, options)
        for angle in angles
    ]
    clear = is_in_sight(
        plan,
        np.array([_reach(a, 0, c) for a, c in zip(angles, checks, strict=True)]).reshape(-1, 2),
        np.array([_reach(a, 1, c) for a, c in zip(angles, checks, strict=True)]).reshape(-1, 2),
    ).tolist()
    hidden = [angle.name for angle, sees in zip(angles, clear, strict=True) if not sees]
    kept = tuple(c for c, sees in zip(checks, clear, strict=True) if sees)
    if not hidden:
        return kept, ()
    return kept, (
        notice(
            "angle-out-of-sight",
            "no tape can be stretched across the corner at {corners}: something stands there",
            Severity.NOTE,
            corners=", ".join(hidden),
        ),
    )


def _angles(building: Building) -> list[_Angle]:
    made = []
    count = len(building.corners)
    for i, corner in enumerate(building.corners):
        if all(building.walls[wall].existing is not None for wall in (i - 1, i)):
            # both sides stand already, and nobody squares them
            continue
        before, after = building.corners[i - 1], building.corners[(i + 1) % count]
        one, other = sorted((before, after), key=lambda neighbour: neighbour.name)
        legs = [(end.x - corner.x, end.y - corner.y) for end in (one, other)]
        (ax, ay), (bx, by) = legs
        made.append(
            _Angle(
                name=corner.name,
                at=corner.point,
                first=one.name,
                second=other.name,
                to_first=legs[0],
                to_second=legs[1],
                lengths=(math.hypot(ax, ay), math.hypot(bx, by)),
                angle=math.atan2(abs(cross_of((ax, ay), (bx, by))), ax * bx + ay * by),
            )
        )
    return made


def _reach(angle: _Angle, leg: int, check: Check) -> Point:
    # where the string or tape along this leg of the check ends
    run = (angle.to_first, angle.to_second)[leg]
    share = (check.legs or (0.0, 0.0))[leg] / angle.lengths[leg]
    return (angle.at[0] + share * run[0], angle.at[1] + share * run[1])


def _square_check(angle: _Angle, step: float, options: Options) -> Check | None:
    if not angle.is_square:
        return None
    fits = min(angle.lengths[0] / 3, angle.lengths[1] / 4, options.tape.length / 5)
    k = math.floor((fits + ON_LINE) / step) * step
    if k <= 0:
        return None
    return _across(angle, CheckKind.RIGHT_ANGLE, (3 * k, 4 * k), 5 * k, options)


def _angle_check(angle: _Angle, step: float, options: Options) -> Check:
    chord = 2 * math.sin(angle.angle / 2)
    longest = min(*angle.lengths, options.tape.length, options.tape.length / max(chord, 1e-9))
    leg = math.floor((longest + ON_LINE) / step) * step or longest
    return _across(angle, CheckKind.ANGLE, (leg, leg), chord * leg, options)


def _across(
    angle: _Angle, kind: CheckKind, legs: tuple[float, float], distance: float, options: Options
) -> Check:
    return Check(
        kind=kind,
        at=angle.name,
        from_name=angle.first,
        to_name=angle.second,
        distance=distance,
        allowed=allowed_difference(options.tolerances, kind, distance, options.step),
        legs=legs,
        in_network=False,
    )


def point_checks(plan: Plan, options: Options) -> tuple[tuple[Check, ...], tuple[Notice, ...]]:
    """Make the checks of pads and of the ends of interior lines.

    Parameters
    ----------
    plan, options
        The plan; the tape and the tolerances.

    Returns
    -------
    tuple
        The checks, two to a point: from both corners of the wall it stands on, else from the two
        corners that fix it best; and notices of points that no two corners fix.

    Notes
    -----
    The variance of a point swung from two corners is ``(s1^2 + s2^2) / sin^2 g``, with g the angle
    between the tapes at the point; with equal errors least at a right angle.
    """
    walls = {
        frozenset((wall.start, wall.end)): (wall.start, wall.end)
        for building in plan.buildings
        for wall in building.walls
    }
    targets = [(pad.name, pad.point, "") for pad in plan.pads]
    for line in plan.interior:
        targets.append((f"{line.name} from", line.start, line.start_on))
        targets.append((f"{line.name} to", line.end, line.end_on))
    checks: list[Check] = []
    missed: list[str] = []
    for name, point, on in targets:
        ends = walls.get(frozenset(on.split("-")))
        taken = (
            _along_wall(plan, point, ends, options) if ends else _best_swing(plan, point, options)
        )
        if not taken:
            missed.append(name)
        checks.extend(
            Check(
                kind=CheckKind.POINT,
                at=None,
                from_name=corner,
                to_name=name,
                distance=distance,
                allowed=allowed_difference(
                    options.tolerances, CheckKind.POINT, distance, options.step
                ),
                in_network=False,
            )
            for corner, distance in taken
        )
    if not missed:
        return tuple(checks), ()
    return tuple(checks), (
        notice(
            "point-not-fixed",
            "no two corners are in sight of {points} and within the tape, so no tape tells where "
            "it is: use a longer tape, or have it set by instrument",
            points=", ".join(missed),
        ),
    )


def _along_wall(
    plan: Plan, point: Point, ends: tuple[str, str], options: Options
) -> list[tuple[str, float]]:
    places = plan.corner_points
    found = [(name, math.dist(places[name], point)) for name in sorted(ends)]
    return [
        (name, distance)
        for name, distance in found
        if SAME_POINT < distance <= options.tape.length + ON_LINE
    ]


def _best_swing(plan: Plan, point: Point, options: Options) -> list[tuple[str, float]]:
    corners = sorted(
        (corner.name, corner.point) for building in plan.buildings for corner in building.corners
    )
    places = np.array([place for _, place in corners], dtype=float).reshape(-1, 2)
    toward = np.array(point) - places
    distance = np.hypot(toward[:, 0], toward[:, 1])
    near = np.flatnonzero((distance > SAME_POINT) & (distance <= options.tape.length + ON_LINE))
    near = near[is_in_sight(plan, places[near], np.broadcast_to(point, (len(near), 2)))]
    if len(near) < 2:
        return []
    unit = toward[near] / distance[near, None]
    error = standard_error(options.tape, distance[near])
    one, other = np.triu_indices(len(near), k=1)
    sine = np.abs(unit[one, 0] * unit[other, 1] - unit[one, 1] * unit[other, 0])
    # strength is one over the variance, which stays finite where the tapes run in one line
    strength = sine**2 / (error[one] ** 2 + error[other] ** 2)
    # below a degree between the tapes the point is as good as free
    if sine.max() < math.sin(math.radians(1.0)):
        return []
    best = int(np.argmax(strength >= strength.max() * (1 - TIE)))
    return [(corners[i][0], float(distance[i])) for i in (near[one[best]], near[other[best]])]
