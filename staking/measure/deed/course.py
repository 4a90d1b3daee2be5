"""One course as it is written: a bearing with its distance, or a curve by its parts."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence

from staking.deed import Course, CourseWords, CurvedCourse, CurvesTo, StraightCourse
from staking.errors import MeasureError
from staking.frozen import frozen
from staking.measure.angles import parse_angle, parse_bearing
from staking.measure.deed.bearings_found import ANGLE, CONNECTED, DEGREES, Found, find_bearings
from staking.measure.deed.concave import (
    concave_toward,
    hand_of_concave,
    hand_off_tangent,
    without_concave,
)
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
_AHEAD = re.compile(
    r"\bto\s+(?:the\s+|a\s+)?(?:point\s+of\s+)?(?:beginning|curvature|curve|start|pc)\s+(?:of|on)\s+"
    r"(?:an?\s+|the\s+)?(?:[a-z0-9.'-]+\s+){0,6}?curve\b|\bto\s+an?\s+(?:[a-z-]+\s+){0,3}?curve\b",
    re.IGNORECASE,
)
"""Where a straight course ends at a curve."""
_WHOLE = re.compile(
    r"\b(?:total (?:distance|length)|total of|in total|in all|whole distance)\b[ ,of]*$"
)
"""What says, before a distance, that it is the whole course's and not one on the way."""
_WHOLE_BEHIND = re.compile(r"[ ,]*(?:in all|in total|total)\b")
_PASSED = re.compile(r"\b(?:pass(?:ing|es)?|pass|crossing|crosses|at)\b")
"""What says that something lies on the way."""
_DIRECTIONS = "give bearings, or name surveyed corners as the boundary"


@frozen
class CourseBefore:
    """What the course before says of a curve.

    Parameters
    ----------
    curve
        Its own words about the curve that begins at its end; empty without.
    azimuth
        The direction in which it ends, rad; None where that is not known.
    """

    curve: str = ""
    azimuth: float | None = None


def read_course(text: str, unit: Unit, before: CourseBefore | None = None) -> Course:
    """Read one course.

    Parameters
    ----------
    text
        ``N 88 30 15 E 120'``, ``thence North 88°30'15" East, a distance of 120.00 feet, to an iron
        pin``, ``curve right radius 50' chord S 44 10 W 62' 3"`` or the like.
    unit
        What a bare number is in.
    before
        What the course before says of this one; None for a course by itself.

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
    words = " ".join(text.split())
    if _is_curve(body):
        return _read_curve(words, body, unit, before or CourseBefore())
    if before is not None and before.curve:
        raise MeasureError(
            f"{quoted(before.curve)} is said of a curve, and {quoted(words)} is none",
            "write the curve as a course of its own, with two of its parts",
        )
    return _read_straight(words, body, unit)


def curve_ahead(text: str) -> tuple[str, str]:
    """Part a straight course from what its end says of the curve that follows.

    Parameters
    ----------
    text
        The course, such as ``thence East 100 feet to the beginning of a tangent curve concave
        southerly having a radius of 50 feet``.

    Returns
    -------
    tuple of str
        The course up to the curve, and the words about the curve, empty where there are none with
        a part of it or its side: a curve that is only named needs no words.
    """
    match = _AHEAD.search(text)
    if match is None:
        return text, ""
    told = plain(text[match.start() :])
    if not _CURVE_PARTS.search(told) and concave_toward(told) is None and not _hands(told):
        return text, ""
    head = blank_explained(plain(text[: match.start()]))
    if not find_bearings(head) or _IS_CURVE.search(head):
        return text, ""
    return text[: match.start()], " ".join(text[match.start() :].split())


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
    rest_of_text = _blank(rest, distances)
    distances = _without_passed(rest, distances, unit)
    lengths = [read_distance(each.text, unit) for each in distances]
    _refuse_two(text, distances, lengths, rest)
    refuse_rest(rest_of_text)
    return StraightCourse(
        azimuth=parse_bearing(bearing.text),
        length=lengths[0],
        words=CourseWords(text=text, bearing=bearing.text, distance=distances[0].text, unit=unit),
    )


def _without_passed(rest: str, distances: list[Found], unit: Unit) -> list[Found]:
    # Of ``passing a pin at 20.00 feet, a total distance of 100.00 feet`` the last is the
    # course's. Where nothing says which is the whole, all are kept and refused.
    whole = [
        each
        for before, each in zip([None, *distances], distances, strict=False)
        if _WHOLE.search(rest[0 if before is None else before.end : each.start])
        or _WHOLE_BEHIND.match(rest[each.end :])
    ]
    passed = [each for each in distances if each not in whole]
    if len(whole) != 1 or not passed:
        return distances
    length = read_distance(whole[0].text, unit)
    for at, each in enumerate(distances):
        if each is whole[0]:
            continue
        gap = rest[distances[at - 1].end if at else 0 : each.start]
        if not _PASSED.search(gap) or read_distance(each.text, unit) >= length:
            return distances
    return whole


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


def _read_curve(text: str, body: str, unit: Unit, before: CourseBefore) -> CurvedCourse:
    if before.curve:
        # What the course before says of this curve is read as if it stood here.
        body = f"{_at_its_beginning(blank_explained(plain(before.curve)))}, {body}"
    concave = concave_toward(body)
    body = without_concave(body)
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
    lengths = {name: read_distance(found.text, unit) for name, found in parts.items()}
    radial = azimuths.get("radial")
    if concave is not None and radial is not None and math.cos(radial - concave) < 0:
        # A radial line may be written from the centre or toward it; the centre lies on the side
        # that the curve is concave toward.
        azimuths["radial"] = (radial + math.pi) % math.tau
    tangent = azimuths.get("tangent")
    if tangent is None and not directions and not _NO_TANGENT.search(body):
        tangent = before.azimuth
    return CurvedCourse(
        to=_hand(text, body, concave, azimuths.get("chord"), tangent, _turned(lengths, angle)),
        words=CourseWords(
            text=text,
            bearing=directions["chord"].text if "chord" in directions else "",
            distance=parts["chord"].text if "chord" in parts else "",
            unit=unit,
        ),
        **lengths,
        angle=angle,
        chord_azimuth=azimuths.get("chord"),
        tangent_azimuth=azimuths.get("tangent"),
        radial_azimuth=azimuths.get("radial"),
    )


def _at_its_beginning(body: str) -> str:
    """Drop ``to the beginning of``, of which nothing is needed behind the course."""
    return re.sub(r"^to (?:the |a )?(?:point of )?(?:beginning|curvature|start) of ", "", body)


def _turned(lengths: Mapping[str, float], angle: float | None) -> float | None:
    """Give the angle at the centre by two parts of the curve, rad; None where none tell it."""
    if angle is not None:
        return angle
    radius, arc, chord = (lengths.get(name) for name in ("radius", "arc", "chord"))
    if radius is None:
        return None
    if arc is not None:
        return arc / radius
    if chord is not None and chord <= 2 * radius:
        return 2 * math.asin(chord / (2 * radius))
    return None if "tangent" not in lengths else 2 * math.atan(lengths["tangent"] / radius)


def _hands(body: str) -> bool:
    return (_LEFT.search(body) is None) != (_RIGHT.search(body) is None)


def _hand(
    text: str,
    body: str,
    concave: float | None,
    chord: float | None,
    tangent: float | None,
    angle: float | None,
) -> CurvesTo:
    left, right = _LEFT.search(body), _RIGHT.search(body)
    if left is None and right is None and concave is not None:
        try:
            if chord is not None:
                return hand_of_concave(concave, chord)
            if tangent is not None and angle is not None:
                return hand_off_tangent(concave, tangent, angle)
        except MeasureError as error:
            raise MeasureError(f"{quoted(text)}: {error.message}", error.remedy) from error
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
