"""One course as it is written: a bearing with its distance, or a curve by its parts."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from staking.deed import Course, CourseWords, CurvedCourse, CurvesTo, StraightCourse
from staking.errors import MeasureError
from staking.measure.angles import parse_angle, parse_bearing
from staking.measure.deed.bearings_found import ANGLE, CONNECTED, DEGREES, Found, find_bearings
from staking.measure.deed.distances import NEW, NUMBER, OLD, read_distance
from staking.measure.deed.prose import blank_explained, refuse_rest, refuse_uncomputed
from staking.measure.plain_text import plain, quoted
from staking.units import FOOT, Unit

LONGEST_COURSE = 3_000
"""No course is written in more letters than this."""

SAME_DISTANCE = 0.1 * FOOT
"""Two figures of one distance, as in ``120.00 feet (36.576 m)``, agree within this, m."""

_DISTANCE = re.compile(rf"(?<![0-9a-z.,/'\"°-])(?:{OLD}|{NEW})(?![0-9a-z])")
_BARE = re.compile(rf"{CONNECTED}\(?(?P<number>{NUMBER})(?![0-9/°'\"])")
_IS_CURVE = re.compile(r"\b(?:curve|curving|arc)\b")
_CURVE_PARTS = re.compile(r"\b(?:radius|radii|chord|central angle|delta)\b")
_PARTS = (
    ("radius", r"\bradi(?:us|i)\b|\brad\b\.?|\br ?(?![a-z])"),
    ("tangent", r"\btangent\b(?! (?:curve|line|to)\b)|\bt ?(?![a-z])"),
    ("chord", r"\bchord\b|\bch\b\.?|\bl?c ?(?![a-z])"),
    ("arc", r"\barc\b|\bcurve length\b|\blength of (?:said )?curve|\bl ?(?![a-z])"),
)
"""What names the parts of a curve, before the figure."""
_WALKED = re.compile(r"\b(?:distance|length|for)\b")
_RADIAL = re.compile(r"\b(?:radius point|radial|center|centre)\b|\bradius(?: of)?[ ,:=]*$")
_NO_TANGENT = re.compile(r"\bnon[- ]?tangent|\bnot tangent")
_ANGLE_LABEL = r"(?:central angle|delta(?: angle)?|angle|δ|\bd ?=)(?:[ ,:=]|of|is|being|equal|to)*"
_LEFT = re.compile(
    r"\b(?:to|toward|on) (?:the |your |its )?left\b|\bleft\b[- ](?:hand|curve)|"
    r"\bcurv(?:e|ing) (?:\w+ )?left\b|\bleft\b"
)
_RIGHT = re.compile(r"\bright\b(?![ -]of[ -]way|[ -]angle)")
_DIRECTIONS = "give bearings, or name surveyed corners as the boundary"


def read_course(text: str, unit: Unit) -> Course:
    """Read one course.

    Parameters
    ----------
    text
        ``N 88 30 15 E 120'``, ``thence North 88°30'15" East, a distance of 120.00 feet, to an iron
        pin``, ``curve right radius 50' chord S 44 10 W 62' 3"`` or the like.
    unit
        What a bare number is in.

    Returns
    -------
    Course
        With the words that its bearing and its distance were read from.

    Raises
    ------
    MeasureError
        Where it is too long, a bearing or a distance is missing, there are two, a number is left
        that nothing explains, or the words say what is not computed.

    Examples
    --------
    >>> course = read_course("thence N 88 30 15 E 120.00 feet to a pin", Unit.FT)
    >>> round(course.length / 0.3048, 6), course.words.bearing
    (120.0, 'n 88 30 15 e')
    """
    if len(text) > LONGEST_COURSE:
        raise MeasureError(f"{quoted(text)} is too long for one course", "write one at a time")
    body = blank_explained(plain(text))
    refuse_uncomputed(body)
    if _is_curve(body):
        return _read_curve(" ".join(text.split()), body, unit)
    return _read_straight(" ".join(text.split()), body, unit)


def _is_curve(body: str) -> bool:
    """Say whether a course runs along a curve, and not only up to one."""
    curve = _IS_CURVE.search(body)
    if curve is None:
        return False
    bearing = next((each for each in find_bearings(body) if re.search("[0-9]", each.text)), None)
    before = bearing is not None and bearing.end <= curve.start()
    return not before or _CURVE_PARTS.search(body) is not None


def _read_straight(text: str, body: str, unit: Unit) -> StraightCourse:
    bearings = find_bearings(body)
    if not bearings:
        raise MeasureError(f"{quoted(text)} has no bearing", _DIRECTIONS)
    if len(bearings) > 1:
        raise MeasureError(
            f"{quoted(text)} has two bearings, {bearings[0].text} and {bearings[1].text}",
            "write one course at a time",
        )
    bearing = bearings[0]
    rest = _blank(body, bearings)
    distances = _distances(rest)
    if not distances:
        bare = _BARE.match(body, bearing.end)
        if bare is None:
            raise MeasureError(f"{quoted(text)} has no distance", "write its distance")
        distances = [Found(bare["number"], bare.start("number"), bare.end("number"))]
    lengths = [read_distance(each.text, unit) for each in distances]
    _refuse_two(text, distances, lengths, rest)
    refuse_rest(_blank(rest, distances))
    return StraightCourse(
        azimuth=parse_bearing(bearing.text),
        length=lengths[0],
        words=CourseWords(text=text, bearing=bearing.text, distance=distances[0].text, unit=unit),
    )


def _refuse_two(text: str, distances: Sequence[Found], lengths: Sequence[float], rest: str) -> None:
    """Refuse a second distance, unless it is the first once more in another unit."""
    for before, each, length in zip(distances, distances[1:], lengths[1:], strict=False):
        between = rest[before.end : each.start].strip(" ,)")
        again = between in {"(", "or", "=", "[", ""}
        if not again or abs(length - lengths[0]) > SAME_DISTANCE:
            raise MeasureError(
                f"{quoted(text)} has two distances, {before.text} and {each.text}",
                "keep the one from corner to corner",
            )


def _distances(body: str) -> list[Found]:
    return [
        Found(match[0].strip(), match.start(), match.end()) for match in _DISTANCE.finditer(body)
    ]


def _blank(body: str, found: Sequence[Found]) -> str:
    for each in found:
        body = body[: each.start] + " " * (each.end - each.start) + body[each.end :]
    return body


def _read_curve(text: str, body: str, unit: Unit) -> CurvedCourse:
    to = _hand(text, body)
    bearings = find_bearings(body)
    bearings = tuple(each for each in bearings if re.search("[0-9]", each.text)) or _by_chord(body)
    rest = _blank(body, bearings)
    directions: dict[str, Found] = {}
    for each in bearings:
        kind = _direction(rest, each)
        if kind is None or kind in directions:
            raise MeasureError(
                f"{quoted(text)}: nothing says what {each.text} is the bearing of",
                "write chord, tangent or radius before the bearing",
            )
        directions[kind] = each
    angle, rest = _central_angle(text, rest)
    parts, rest = _curve_lengths(text, rest, directions, unit)
    refuse_rest(rest)
    if len(parts) + (angle is not None) < 2:
        raise MeasureError(
            f"{quoted(text)} gives too little of the curve",
            "give two of radius, arc, angle, chord and tangent, and the bearing of the chord",
        )
    if not directions and _NO_TANGENT.search(body):
        raise MeasureError(
            f"{quoted(text)} has no bearing, and its curve is not tangent to the course before",
            "give the bearing of its chord",
        )
    azimuths = {kind: parse_bearing(each.text) for kind, each in directions.items()}
    return CurvedCourse(
        to=to,
        words=CourseWords(
            text=text,
            bearing=directions["chord"].text if "chord" in directions else "",
            distance=parts["chord"].text if "chord" in parts else "",
            unit=unit,
        ),
        **{name: read_distance(found.text, unit) for name, found in parts.items()},
        angle=angle,
        chord_azimuth=azimuths.get("chord"),
        tangent_azimuth=azimuths.get("tangent"),
        radial_azimuth=azimuths.get("radial"),
    )


def _hand(text: str, body: str) -> CurvesTo:
    left, right = _LEFT.search(body), _RIGHT.search(body)
    if (left is None) == (right is None):
        said = "does not say whether it curves left or right"
        raise MeasureError(
            f"{quoted(text)} {said if left is None else 'says both left and right'}",
            "write curve left or curve right, as seen along it",
        )
    return CurvesTo.LEFT if left is not None else CurvesTo.RIGHT


def _by_chord(body: str) -> tuple[Found, ...]:
    """Find a point of the compass that is the bearing of a chord, such as ``chord east 50'``."""
    match = re.search(
        r"\bchord(?: bearing| bears| which bears| of|[ ,:=])*"
        r"(?P<point>(?:due )?(?:north|south|east|west|[nsew]))(?![a-z'])",
        body,
    )
    if match is None:
        return ()
    return (Found(match["point"], match.start("point"), match.end("point")),)


def _direction(rest: str, bearing: Found) -> str | None:
    """Say what a bearing within a curve is the bearing of, by the nearest words before it."""
    gap = _before(rest, bearing.start)
    places = {
        "chord": max(
            (m.start() for m in re.finditer(r"\bchord\b|\bch\b|\bc ?=|\bcb ?=", gap)), default=-1
        ),
        "radial": max((m.start() for m in _RADIAL.finditer(gap)), default=-1),
        "tangent": max((m.start() for m in re.finditer(r"\btangent\b(?! curve)", gap)), default=-1),
    }
    best = max(places, key=places.__getitem__)
    return best if places[best] >= 0 else None


def _before(rest: str, start: int) -> str:
    """Give the words before a figure, back to the figure before."""
    head = rest[:start]
    numbers = [match.end() for match in re.finditer(r"[0-9]", head)]
    return head[numbers[-1] if numbers else 0 :]


def _central_angle(text: str, rest: str) -> tuple[float | None, str]:
    labelled = [
        Found(match["angle"], match.start("angle"), match.end("angle"))
        for match in re.finditer(rf"{_ANGLE_LABEL}\(?(?P<angle>{ANGLE})(?![0-9./])", rest)
    ]
    found = labelled or [
        Found(match[0], match.start(), match.end())
        for match in re.finditer(rf"(?<![0-9.]){DEGREES}", rest)
    ]
    if not found:
        return None, rest
    if len(found) > 1:
        raise MeasureError(f"{quoted(text)} has two angles", "keep the angle at the centre")
    angle = parse_angle(re.sub(r"[ ,]+(?:and )?", " ", found[0].text))
    if not 0 < angle < 2 * math.pi:
        raise MeasureError(f"{found[0].text} is not an angle of a curve", "write its central angle")
    return angle, _blank(rest, found)


def _curve_lengths(
    text: str, rest: str, directions: dict[str, Found], unit: Unit
) -> tuple[dict[str, Found], str]:
    found = _distances(rest)
    label = "|".join(pattern for _, pattern in _PARTS)
    taken = _blank(rest, found)
    connected = r"(?:[ ,.:=]|of|is|a|an|length|distance|being|equal|to|and)*"
    for match in re.finditer(rf"(?:{label}){connected}\(?(?P<number>{NUMBER})(?![0-9/°])", taken):
        found.append(Found(match["number"], match.start("number"), match.end("number")))
    if "chord" in directions:
        bare = _BARE.match(taken, directions["chord"].end)
        if bare is not None:
            one = Found(bare["number"], bare.start("number"), bare.end("number"))
            found = [each for each in found if each.start != one.start] + [one]
    parts: dict[str, Found] = {}
    for each in sorted(found, key=lambda one: one.start):
        part = _part(rest, each, directions)
        if part is not None and part in parts:
            first, second = (read_distance(one.text, unit) for one in (parts[part], each))
            if abs(first - second) <= SAME_DISTANCE:
                continue
        if part is None or part in parts:
            raise MeasureError(
                f"{quoted(text)}: nothing says which part of the curve {each.text} is",
                "write radius, arc, chord or tangent before each length",
            )
        parts[part] = each
    return parts, _blank(rest, found)


def _part(rest: str, length: Found, directions: dict[str, Found]) -> str | None:
    """Say which part of a curve a length is: by the words before it, or ``foot radius`` behind."""
    if re.match(r"[ -]*(?:foot |ft\.? )?radius\b", rest[length.end :]):
        return "radius"
    if re.match(r"[ ,]*along (?:the arc of )?(?:an?|the|said)\b", rest[length.end :]):
        return "arc"
    head = rest[: length.start]
    gap = _before(rest, length.start)
    places = {
        name: max((match.start() for match in re.finditer(pattern, gap)), default=-1)
        for name, pattern in _PARTS
    }
    best = max(places, key=places.__getitem__)
    last = max(
        directions.items(),
        key=lambda item: item[1].start if item[1].end <= length.start else -1,
        default=None,
    )
    if last is not None and last[1].end <= length.start:
        # Behind a bearing a length is that of the same line, unless it is called another.
        behind = head[last[1].end :]
        names = [name for name, pattern in _PARTS if re.search(pattern, behind)]
        if not names and not re.search("[0-9]", behind):
            return {"chord": "chord", "tangent": "tangent", "radial": "radius"}[last[0]]
        if names:
            return best if places[best] >= 0 else None
    if places[best] >= 0:
        return best
    return "arc" if _WALKED.search(gap) else None
