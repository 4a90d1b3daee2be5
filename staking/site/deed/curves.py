"""A circular curve by any two of its parts; the parts that are given beside them are compared."""

from __future__ import annotations

import math
from collections.abc import Callable

from staking.deed import CurvedCourse, CurvesTo
from staking.errors import ComputationError
from staking.frozen import frozen
from staking.units import FOOT

PARTS_APART = 0.1 * FOOT
"""A part of a curve this far from what two others make of it, m, is told (common practice, no
source); parts are written to the hundredth of a foot."""

ANGLE_APART = math.radians(30 / 3600)
"""An angle is written to the minute at least: half of one, rad, may be rounding."""

_STEPS = 80


@frozen
class Curve:
    """A circular curve: `angle` at the centre in rad, all lengths in m."""

    to: CurvesTo
    radius: float
    angle: float

    @property
    def arc(self) -> float:
        """Length along the curve, m."""
        return self.radius * self.angle

    @property
    def chord(self) -> float:
        """Length from one end straight to the other, m."""
        return 2 * self.radius * math.sin(self.angle / 2)

    @property
    def tangent(self) -> float:
        """Length from an end to where the tangents of both ends meet, m; infinite at a half turn.

        Beyond a half turn the tangents meet behind the ends, and the length is negative.
        """
        half = math.tan(self.angle / 2)
        return math.inf if abs(self.angle - math.pi) < 1e-12 else self.radius * half

    @property
    def segment(self) -> float:
        """Area between chord and arc, m2."""
        return self.radius**2 / 2 * (self.angle - math.sin(self.angle))


@frozen
class PartApart:
    """A part of a curve that is not what its other parts make of it; m, or rad for an angle."""

    part: str
    given: float
    computed: float


def solve_curve(given: CurvedCourse) -> tuple[Curve, tuple[PartApart, ...]]:
    """Work a curve out from any two of its parts.

    Parameters
    ----------
    given
        At least two of radius, arc, angle, chord and tangent.

    Returns
    -------
    Curve
        By the first two of radius and angle, radius and arc, angle and arc, chord and angle,
        chord and radius, tangent and radius, tangent and angle, chord and arc, tangent and arc,
        chord and tangent that are given: those come first that tell the curve best.
    tuple of PartApart
        Parts given beside these two that are over `PARTS_APART` from what they come to.

    Raises
    ------
    ComputationError
        Where fewer than two parts are given, or no circle has them.

    Notes
    -----
    With ``R`` the radius and ``a`` the angle: arc ``R a``, chord ``2 R sin(a/2)``, tangent
    ``R tan(a/2)``. From a chord and a radius alone the shorter arc is meant, since nothing tells
    the longer one.
    """
    parts = {
        "radius": given.radius,
        "arc": given.arc,
        "angle": given.angle,
        "chord": given.chord,
        "tangent": given.tangent,
    }
    known = {name: value for name, value in parts.items() if value is not None}
    for first, second, solve in _WAYS:
        if first in known and second in known:
            radius, angle = solve(known[first], known[second])
            break
    else:
        raise ComputationError("a curve needs two of radius, arc, angle, chord and tangent")
    if not (math.isfinite(radius) and radius > 0 and 0 < angle < 2 * math.pi):
        raise ComputationError(f"no circle has this {first} and this {second}")
    curve = Curve(to=given.to, radius=radius, angle=angle)
    return curve, tuple(
        PartApart(part=name, given=value, computed=getattr(curve, name))
        for name, value in known.items()
        if name not in {first, second} and _is_apart(name, value, curve)
    )


def _is_apart(part: str, given: float, curve: Curve) -> bool:
    off: float = abs(given - getattr(curve, part))
    if part == "angle":
        off *= curve.radius
    return off > max(PARTS_APART, ANGLE_APART * curve.radius)


def _root(target: float, of: Callable[[float], float]) -> float:
    # The half angle, between nothing and a half turn, at which a rising function has its value.
    low, high = 0.0, math.pi
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if of(middle) < target else (low, middle)
    return (low + high) / 2


def _by_chord_and_radius(chord: float, radius: float) -> tuple[float, float]:
    half = chord / (2 * radius)
    # A diameter is a chord too, rounded up as it may be.
    return radius, math.nan if half > 1 + 1e-4 else 2 * math.asin(min(half, 1.0))


def _by_chord_and_arc(chord: float, arc: float) -> tuple[float, float]:
    if chord >= arc:
        return math.nan, math.nan
    half = _root(1 - chord / arc, lambda x: 1 - math.sin(x) / x if x else 0.0)
    return arc / (2 * half), 2 * half


def _by_tangent_and_arc(tangent: float, arc: float) -> tuple[float, float]:
    if 2 * tangent <= arc:
        return math.nan, math.nan
    # The tangent of an angle over the angle itself rises up to the quarter turn.
    target = 2 * tangent / arc
    half = _root(target, lambda x: math.inf if x >= math.pi / 2 else math.tan(x) / x if x else 1.0)
    return arc / (2 * half), 2 * half


def _by_chord_and_tangent(chord: float, tangent: float) -> tuple[float, float]:
    cosine = chord / (2 * tangent)
    if cosine >= 1:
        return math.nan, math.nan
    half = math.acos(cosine)
    return chord / (2 * math.sin(half)), 2 * half


_WAYS: tuple[tuple[str, str, Callable[[float, float], tuple[float, float]]], ...] = (
    ("radius", "angle", lambda radius, angle: (radius, angle)),
    ("radius", "arc", lambda radius, arc: (radius, arc / radius)),
    ("angle", "arc", lambda angle, arc: (arc / angle, angle)),
    ("chord", "angle", lambda chord, angle: (chord / (2 * math.sin(angle / 2)), angle)),
    ("chord", "radius", _by_chord_and_radius),
    ("tangent", "radius", lambda tangent, radius: (radius, 2 * math.atan(tangent / radius))),
    ("tangent", "angle", lambda tangent, angle: (tangent / math.tan(angle / 2), angle)),
    ("chord", "arc", _by_chord_and_arc),
    ("tangent", "arc", _by_tangent_and_arc),
    ("chord", "tangent", _by_chord_and_tangent),
)
