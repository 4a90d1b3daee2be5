"""A curve that is said to be concave toward a point of the compass: to which hand it turns.

A curve to the right has its centre on the right of who walks it. Half way along, the centre lies
square off the chord, which is off the tangent at the beginning by half the angle at the centre.
"""

from __future__ import annotations

import math
import re

from staking.deed import CurvesTo
from staking.errors import MeasureError

_CONCAVE = re.compile(
    r"\bconcave(?:d)?\b[ ,]*(?:to|toward|towards|on)?[ ]*(?:the )?[ ]*"
    r"(?P<first>north|south|east|west|[nsew](?![a-z]))[ -]?(?P<second>east|west|[ew](?![a-z]))?"
    r"(?:erly|ern|ward|wardly)?\b"
)
_POINTS = {"north": 0.0, "east": 90.0, "south": 180.0, "west": 270.0}
_CLEARER = math.radians(45.0)
"""So much nearer to the centre must the point of the compass lie with one hand than the other."""


def concave_toward(body: str) -> float | None:
    """Find toward which point of the compass a curve is said to be concave.

    Parameters
    ----------
    body
        The course in plain small letters.

    Returns
    -------
    float or None
        Its azimuth, rad; None where the course does not say it.
    """
    match = _CONCAVE.search(body)
    if match is None:
        return None
    first = _azimuth_of(match["first"])
    if match["second"] is None:
        return math.radians(first)
    second = _azimuth_of(match["second"])
    # North-west lies between 360 and 270 degrees, north-east between 0 and 90.
    first = 360.0 if first == 0.0 and second == 270.0 else first
    return math.radians((first + second) / 2)


def without_concave(body: str) -> str:
    """Take the words out, so that a point of the compass in them is not taken for a bearing.

    Returns
    -------
    str
        The course with them blanked, nothing else moved.
    """
    return _CONCAVE.sub(lambda match: " " * len(match[0]), body)


def hand_of_concave(toward: float, chord: float) -> CurvesTo:
    """Tell to which hand a curve turns whose chord has a bearing.

    Parameters
    ----------
    toward
        The azimuth it is concave toward, rad.
    chord
        Azimuth of its chord from its beginning, rad.

    Returns
    -------
    CurvesTo
        Right where the centre lies to the right of the chord.

    Raises
    ------
    MeasureError
        Where that point of the compass lies along the chord, so that it tells no hand.
    """
    return _nearer(toward, chord + math.pi / 2, chord - math.pi / 2)


def hand_off_tangent(toward: float, tangent: float, angle: float) -> CurvesTo:
    """Tell to which hand a curve turns that begins in a known direction.

    Parameters
    ----------
    toward
        The azimuth it is concave toward, rad.
    tangent
        Azimuth in which it begins, rad.
    angle
        Its angle at the centre, rad.

    Returns
    -------
    CurvesTo
        The hand with which the centre, seen from half way along, lies nearest to that point.

    Raises
    ------
    MeasureError
        Where either hand would do.
    """
    half = angle / 2 + math.pi / 2
    return _nearer(toward, tangent + half, tangent - half)


def _nearer(toward: float, right: float, left: float) -> CurvesTo:
    off_right, off_left = (abs(math.remainder(toward - each, math.tau)) for each in (right, left))
    if abs(off_right - off_left) < _CLEARER:
        raise MeasureError(
            "its concave side does not tell whether it curves left or right",
            "write curve left or curve right, as seen along it",
        )
    return CurvesTo.RIGHT if off_right < off_left else CurvesTo.LEFT


def _azimuth_of(word: str) -> float:
    return next(value for name, value in _POINTS.items() if name.startswith(word))
