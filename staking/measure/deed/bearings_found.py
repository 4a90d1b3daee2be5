"""Bearings found in running text, where a compass letter may also be a word of the description."""

from __future__ import annotations

import re

from staking.frozen import frozen
from staking.measure.deed.distances import NEW, NUMBER, OLD

_DEGREES = r"(?:°|d\b|deg\b\.?|degrees?\b)"
_MINUTES = r"(?:'|m\b|min\b\.?|minutes?\b)"
_SECONDS = r"(?:\"|s\b|sec\b\.?|seconds?\b)"
_PART = r"[0-9]{1,3}(?:\.[0-9]+)?"
_GAP = r"[ ,-]{0,3}(?:and )?"
DEGREES = rf"{_PART} ?{_DEGREES}(?:{_GAP}{_PART} ?{_MINUTES}(?:{_GAP}{_PART} ?{_SECONDS})?)?"
"""An angle with its marks or words: degrees, minutes and seconds."""
_ANGLE = rf"(?:{DEGREES}|{_PART}(?:[ -]{_PART}){{0,2}})"
ANGLE = _ANGLE
"""An angle with or without marks."""

_QUADRANT = re.compile(
    rf"(?<![a-z0-9])(?:due )?(?:north|south|n|s)(?![a-rt-z'])[. -]{{0,3}}(?P<angle>{_ANGLE})"
    r"[. -]{0,3}(?:east|west|e|w)(?![a-z])\.?"
)
_POINT = r"(?:north|south|east|west|n|s|e|w)(?![a-z'])\.?"
_LEAD = r"(?:(?:thence|thnc?|th|and|then|running|run|runs|continuing|continue|go|going|[ ,:;.])*)"
_FIRST = re.compile(rf"{_LEAD}(?P<point>(?:due )?{_POINT})")
_DUE = re.compile(rf"(?<![a-z0-9])(?P<point>due {_POINT})")
CONNECTED = r"(?:[ ,:]|for|a|an|the|total|distance|distances|of|length|is|being|and|horizontal)*"
"""Words that may stand between a bearing and its distance."""
_THEN_DISTANCE = re.compile(
    rf"(?<![a-z0-9])(?P<point>{_POINT})(?={CONNECTED}\(?(?:{OLD}|{NEW}|{NUMBER}(?![0-9/°])))"
)


@frozen(kw_only=False)
class Found:
    """A piece of text, and where in the whole it stands."""

    text: str
    start: int
    end: int


def find_bearings(body: str) -> tuple[Found, ...]:
    """Find the bearings of a course.

    Parameters
    ----------
    body
        The course in plain small letters.

    Returns
    -------
    tuple of Found
        Every bearing by quadrant, such as ``n 88°30'15" e``; where there is none, a point of the
        compass that opens the course, stands behind ``due``, or has a distance behind it.
    """
    found = tuple(
        Found(_tidy(match[0]), match.start(), match.end()) for match in _QUADRANT.finditer(body)
    )
    if found:
        return found
    first = _FIRST.match(body)
    points = [first] if first is not None else [*_DUE.finditer(body)]
    if not points:
        points = [*_THEN_DISTANCE.finditer(body)]
    return tuple(Found(each["point"], each.start("point"), each.end("point")) for each in points)


def _tidy(text: str) -> str:
    """Write a bearing as `parse_bearing` takes it."""
    text = text.removeprefix("due ")
    return re.sub(r"[ ,-]*(?:,|and )[ ,-]*", " ", text).strip()
