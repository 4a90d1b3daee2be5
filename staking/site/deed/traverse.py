"""The courses of a deed walked round: corners, misclosure and area, with nothing balanced."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from staking.deed import Course, CurvedCourse, CurvesTo, Deed, StraightCourse
from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.lines import Array, signed_area
from staking.site.deed.curves import Curve, PartApart, solve_curve

CLOSED = 1e-6
"""A misclosure under this, m, is what the roundings of the computer leave."""


@frozen
class Leg:
    """A course worked out.

    Parameters
    ----------
    azimuth
        Of the straight line from its beginning to its end, rad.
    length
        Of that line, m.
    leaves
        In which direction it ends, rad: on a curve the tangent there.
    curve
        The curve, or None.
    apart
        Parts of the curve that do not fit the others.
    on_tangent
        Whether the direction of a curve was taken from the course before it.
    """

    azimuth: float
    length: float
    leaves: float
    curve: Curve | None = None
    apart: tuple[PartApart, ...] = ()
    on_tangent: bool = False

    @property
    def run(self) -> float:
        """Length along the course, m: on a curve along the arc."""
        return self.length if self.curve is None else self.curve.arc

    @property
    def step(self) -> tuple[float, float]:
        """How far north and east it leads, m."""
        return self.length * math.cos(self.azimuth), self.length * math.sin(self.azimuth)


@frozen(eq=False)
class Traverse:
    """The courses of a deed from its first corner round and back.

    Parameters
    ----------
    legs
        The courses worked out.
    corners
        ``(n, 2)`` where each begins, north and east of the first corner, m.
    north, east
        From where the last course ends back to the first corner, m.
    """

    legs: tuple[Leg, ...]
    corners: Array
    north: float
    east: float

    @property
    def misclosure(self) -> float:
        """How far the end of the last course lies from the first corner, m."""
        return math.hypot(self.north, self.east)

    @property
    def azimuth(self) -> float:
        """Direction from that end back to the first corner, rad."""
        return math.atan2(self.east, self.north) % (2 * math.pi)

    @property
    def perimeter(self) -> float:
        """Length of all courses, along the arcs of curves, m."""
        return math.fsum(leg.run for leg in self.legs)

    @property
    def one_in(self) -> float:
        """Length walked for one unit of misclosure; infinite where it closes."""
        return math.inf if self.misclosure <= CLOSED else self.perimeter / self.misclosure

    @property
    def area(self) -> float:
        """The area inside, the last course drawn to the first corner, m2."""
        return enclosed_area(self.corners, [leg.curve for leg in self.legs])


def enclosed_area(corners: Array, curves: Sequence[Curve | None]) -> float:
    """Give the area inside a ring of straight lines and arcs.

    Parameters
    ----------
    corners
        ``(n, 2)`` north and east, m.
    curves
        The curve from each corner to the next, or None.

    Returns
    -------
    float
        The area, m2: of the corners by coordinates, with the segment of each arc that swells and
        without that of each that bends inward.
    """
    own = signed_area(corners[:, ::-1] - corners.mean(axis=0)[::-1])
    # Anticlockwise, an arc to the left bulges out of the ring.
    segments = [
        curve.segment if curve.to is CurvesTo.LEFT else -curve.segment
        for curve in curves
        if curve is not None
    ]
    return abs(own + math.fsum(segments))


def walk_round(deed: Deed) -> Traverse:
    """Walk the courses of a deed.

    Parameters
    ----------
    deed
        The deed.

    Returns
    -------
    Traverse
        Its corners, the first of them at 0, 0; nothing is balanced.

    Raises
    ------
    InputError
        For every curve that no circle has, and a first course that is a curve without a bearing.
    """
    legs: list[Leg] = []
    problems = []
    for (start, end), course in zip(deed.lines, deed.courses, strict=True):
        try:
            legs.append(leg_of(course, legs[-1].leaves if legs else None))
        except ComputationError as error:
            problems.append(
                Problem(
                    field=f"site boundary course {start}-{end}",
                    message=f'"{course.words.text}": {error}',
                    remedy="check its figures",
                )
            )
            legs.append(Leg(azimuth=0.0, length=0.0, leaves=0.0))
    if problems:
        raise InputError(*problems)
    return joined(legs)


def joined(legs: Sequence[Leg]) -> Traverse:
    """Set legs one behind the other.

    Parameters
    ----------
    legs
        Three or more.

    Returns
    -------
    Traverse
        From 0, 0.
    """
    steps = np.array([leg.step for leg in legs])
    ends = np.cumsum(steps, axis=0)
    corners = np.vstack([[0.0, 0.0], ends[:-1]])
    north, east = (-ends[-1]).tolist()
    return Traverse(legs=tuple(legs), corners=corners, north=north, east=east)


def leg_of(course: Course, before: float | None) -> Leg:
    """Work one course out.

    Parameters
    ----------
    course
        The course.
    before
        In which direction the course before it ends, rad; None where there is none.

    Returns
    -------
    Leg
        The course as a line, with its curve.

    Raises
    ------
    ComputationError
        Where no circle has the parts of a curve, or nothing tells its direction.
    """
    if isinstance(course, StraightCourse):
        return Leg(azimuth=course.azimuth, length=course.length, leaves=course.azimuth)
    curve, apart = solve_curve(course)
    half = curve.angle / 2 if curve.to is CurvesTo.RIGHT else -curve.angle / 2
    azimuth, on_tangent = _chord_azimuth(course, half, before)
    # The chord that the deed writes is one of its courses, and is walked as it is written.
    length = curve.chord if course.chord is None else course.chord
    leg = Leg(
        azimuth=azimuth % (2 * math.pi),
        length=length,
        leaves=(azimuth + half) % (2 * math.pi),
        curve=curve,
        apart=apart,
    )
    return replace(leg, on_tangent=on_tangent)


def _chord_azimuth(course: CurvedCourse, half: float, before: float | None) -> tuple[float, bool]:
    if course.chord_azimuth is not None:
        return course.chord_azimuth, False
    if course.tangent_azimuth is not None:
        return course.tangent_azimuth + half, False
    if course.radial_azimuth is not None:
        # To the right of where one goes lies the centre of a curve to the right.
        quarter = math.pi / 2 if course.to is CurvesTo.RIGHT else -math.pi / 2
        return course.radial_azimuth - quarter + half, False
    if before is None:
        raise ComputationError(
            "nothing tells the direction of this curve: give the bearing of its chord"
        )
    return before + half, True
