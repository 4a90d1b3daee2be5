"""The lot on paper: the courses of a deed or a plat, as they are written.

Metres and radians; a bearing is clockwise from the deed's own north. What is written of a course
is kept beside its figures, so that each can be shown beside its words.
"""

from __future__ import annotations

from enum import StrEnum

from staking.frozen import frozen
from staking.units import Unit


class CurvesTo(StrEnum):
    """To which hand a curve turns, seen along it."""

    LEFT = "left"
    RIGHT = "right"


@frozen
class CourseWords:
    """How a course is written.

    Parameters
    ----------
    text
        All of it.
    bearing, distance
        The parts of it that were read as its bearing and its distance; empty where it has none.
    unit
        What a bare number is in.
    """

    text: str
    bearing: str = ""
    distance: str = ""
    unit: Unit = Unit.FT


@frozen
class StraightCourse:
    """A straight course: `azimuth` in rad, `length` in m."""

    azimuth: float
    length: float
    words: CourseWords


@frozen
class CurvedCourse:
    """A course along an arc of a circle, by those of its parts that the deed gives.

    Parameters
    ----------
    to
        To which hand it turns.
    radius, arc, chord, tangent
        Its lengths, m; the tangent is that from either end to where the two tangents meet.
    angle
        The angle at the centre, rad.
    chord_azimuth
        Bearing of the chord from its beginning to its end, rad.
    tangent_azimuth
        Bearing of the tangent at its beginning, rad.
    radial_azimuth
        Bearing from its beginning to the centre, rad.
    words
        How it is written.

    Notes
    -----
    What is not given is None. Without any bearing it leaves the course before it on its tangent.
    """

    to: CurvesTo
    words: CourseWords
    radius: float | None = None
    arc: float | None = None
    angle: float | None = None
    chord: float | None = None
    tangent: float | None = None
    chord_azimuth: float | None = None
    tangent_azimuth: float | None = None
    radial_azimuth: float | None = None


Course = StraightCourse | CurvedCourse


@frozen
class Deed:
    """A lot by its courses.

    Parameters
    ----------
    courses
        Once round the lot, from the point of beginning back to it.
    corners
        The name of the corner at which each course begins.
    ties
        Courses before the point of beginning: how to come there from elsewhere.
    basis
        What the deed says its bearings are counted from, or None.
    stated_area
        The area that the deed says it contains, m2, or None.
    stated_within
        To what that area is written, m2: half its last figure.
    opening
        The words before the first course of a pasted text; empty for a list of courses.
    """

    courses: tuple[Course, ...]
    corners: tuple[str, ...]
    ties: tuple[Course, ...] = ()
    basis: str | None = None
    stated_area: float | None = None
    stated_within: float = 0.0
    opening: str = ""

    @property
    def lines(self) -> tuple[tuple[str, str], ...]:
        """The names of the two corners of each course."""
        return tuple(zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True))
