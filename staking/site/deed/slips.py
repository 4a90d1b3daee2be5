"""Slips of the pen that would explain why a deed does not close. They are named, never mended."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import replace
from enum import StrEnum
from itertools import pairwise

from staking.deed import Course, CurvedCourse, CurvesTo, Deed, StraightCourse
from staking.errors import MeasureError
from staking.frozen import frozen
from staking.measure.angles import parse_bearing
from staking.measure.deed.distances import read_distance
from staking.site.deed.traverse import Leg, Traverse, leg_of
from staking.units import FOOT

LAND_CLOSES = 5_000
"""A survey of land closes to one in so many (WAC 332-130-090, Washington, outside cities)."""

LEFT_OF_IT = 0.1
"""A slip explains a misclosure where no more than this share of it would be left (common practice,
no source)."""

WORTH_A_LOOK = 0.1 * FOOT
"""No slip is looked for in a misclosure under this, m (common practice, no source): figures
written to the hundredth add up to as much."""

MOST_NAMED = 6
"""No more slips than this are named: of more nothing can be told."""


class SlipKind(StrEnum):
    """What may have gone wrong with one course."""

    REVERSED = "bearing reversed"
    LETTER = "letter of the bearing exchanged"
    BEARING_DIGITS = "two digits of the bearing exchanged"
    DISTANCE_DIGITS = "two digits of the distance exchanged"
    HAND = "left and right of the curve exchanged"
    DISTANCE = "distance out"
    BEARING = "bearing out"


@frozen
class Slip:
    """One course with which, otherwise written, the deed would close.

    Parameters
    ----------
    start, end
        The corners of the course.
    kind
        What is otherwise.
    azimuth, length
        Bearing, rad, and length, m, of the course as they would then be; for a curve its chord.
    left
        The misclosure that would be left, m.
    """

    start: str
    end: str
    kind: SlipKind
    azimuth: float
    length: float
    left: float


def find_slips(deed: Deed, walked: Traverse) -> tuple[Slip, ...]:
    """Find what slip in one course would explain that a deed does not close.

    Parameters
    ----------
    deed
        The deed.
    walked
        Its courses as they are written.

    Returns
    -------
    tuple of Slip
        The likeliest kinds first, and of these those that leave least; none where the deed closes
        to one in `LAND_CLOSES`, and none where a slip of several courses would do so badly that
        nothing is told by it.

    Notes
    -----
    A course is tried with its bearing reversed, with the other letter of its quadrant, and with
    each two neighbouring digits of its bearing or its distance exchanged. Only where none of
    these closes the deed is a course named whose distance alone would have to be another (the
    misclosure runs along it) or whose bearing alone.
    """
    if walked.misclosure <= max(walked.perimeter / LAND_CLOSES, WORTH_A_LOOK):
        return ()
    close = min(walked.perimeter / LAND_CLOSES, LEFT_OF_IT * walked.misclosure)
    close = max(close, WORTH_A_LOOK / 2)
    for tried in (_plain_slips, _figures_out):
        found = [slip for slip in tried(deed, walked) if slip.left <= close]
        if found:
            order = list(SlipKind)
            found.sort(key=lambda slip: (order.index(slip.kind), round(slip.left, 4)))
            return tuple(_once(found)[:MOST_NAMED])
    return ()


def _once(slips: list[Slip]) -> list[Slip]:
    """Keep of each course and bearing and length the first that is named."""
    kept: dict[tuple[str, int, int], Slip] = {}
    for slip in slips:
        key = (slip.start, round(slip.azimuth * 1e6), round(slip.length * 1e4))
        kept.setdefault(key, slip)
    return list(kept.values())


def _plain_slips(deed: Deed, walked: Traverse) -> Iterator[Slip]:
    before: float | None = None
    for (start, end), course, leg in zip(deed.lines, deed.courses, walked.legs, strict=True):
        for kind, other in _otherwise(course):
            changed = leg_of(other, before)
            yield Slip(
                start=start,
                end=end,
                kind=kind,
                azimuth=changed.azimuth,
                length=changed.length,
                left=_left(walked, leg, changed),
            )
        before = leg.leaves


def _left(walked: Traverse, leg: Leg, changed: Leg) -> float:
    north = walked.north + leg.step[0] - changed.step[0]
    east = walked.east + leg.step[1] - changed.step[1]
    return math.hypot(north, east)


def _otherwise(course: Course) -> Iterator[tuple[SlipKind, Course]]:
    """Give a course with one slip in it."""
    if isinstance(course, CurvedCourse):
        other = CurvesTo.LEFT if course.to is CurvesTo.RIGHT else CurvesTo.RIGHT
        yield SlipKind.HAND, replace(course, to=other)
        if course.chord_azimuth is not None:
            for kind, azimuth in _other_bearings(course.chord_azimuth, course.words.bearing):
                yield kind, replace(course, chord_azimuth=azimuth)
        return
    for kind, azimuth in _other_bearings(course.azimuth, course.words.bearing):
        yield kind, replace(course, azimuth=azimuth)
    for text in _exchanged(course.words.distance):
        try:
            length = read_distance(text, course.words.unit)
        except MeasureError:
            continue
        yield SlipKind.DISTANCE_DIGITS, replace(course, length=length)


def _other_bearings(azimuth: float, text: str) -> Iterator[tuple[SlipKind, float]]:
    yield SlipKind.REVERSED, (azimuth + math.pi) % (2 * math.pi)
    yield SlipKind.LETTER, -azimuth % (2 * math.pi)
    yield SlipKind.LETTER, (math.pi - azimuth) % (2 * math.pi)
    for other in _exchanged(text):
        try:
            yield SlipKind.BEARING_DIGITS, parse_bearing(other)
        except MeasureError:
            continue


def _exchanged(text: str) -> Iterator[str]:
    """Give a text with each two neighbouring digits that differ exchanged."""
    digits = [match.start() for match in re.finditer("[0-9]", text)]
    for one, other in pairwise(digits):
        if text[one] != text[other]:
            letters = list(text)
            letters[one], letters[other] = letters[other], letters[one]
            yield "".join(letters)


def _figures_out(deed: Deed, walked: Traverse) -> Iterator[Slip]:
    """Give each straight course with the distance, or the bearing, that would do best."""
    for (start, end), course, leg in zip(deed.lines, deed.courses, walked.legs, strict=True):
        if not isinstance(course, StraightCourse):
            continue
        along = (math.cos(course.azimuth), math.sin(course.azimuth))
        # What the course would have to be for the deed to close.
        north, east = leg.step[0] + walked.north, leg.step[1] + walked.east
        length = north * along[0] + east * along[1]
        if length > 0:
            yield _figure(start, end, SlipKind.DISTANCE, course.azimuth, length, walked, leg)
        azimuth = math.atan2(east, north) % (2 * math.pi)
        yield _figure(start, end, SlipKind.BEARING, azimuth, course.length, walked, leg)


def _figure(
    start: str,
    end: str,
    kind: SlipKind,
    azimuth: float,
    length: float,
    walked: Traverse,
    leg: Leg,
) -> Slip:
    changed = Leg(azimuth=azimuth, length=length, leaves=azimuth)
    left = _left(walked, leg, changed)
    return Slip(start=start, end=end, kind=kind, azimuth=azimuth, length=length, left=left)
