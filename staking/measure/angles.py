"""Angles and bearings as surveyors write them, to radians and back."""

from __future__ import annotations

import math
import re

from staking.errors import MeasureError
from staking.measure.plain_text import plain, quoted

_NUMBER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
_GAP = r"[ -]?"
_ANGLE = (
    rf"(?P<degrees>{_NUMBER}) ?(?P<mark>°|d|deg\.?|degrees?)?"
    rf"(?:(?(mark){_GAP}|[ -])(?P<minutes>{_NUMBER}) ?(?P<tick>'|m|min\.?|minutes?)?"
    rf"(?:(?(tick){_GAP}|[ -])(?P<seconds>{_NUMBER}) ?(?:\"|s|sec\.?|seconds?)?)?)?"
)
_QUADRANT = r"(?P<first>north|south|n|s)[. -]*(?P<angle>[0-9.].*?)[. -]*(?P<last>east|west|e|w)\.?"
_HALF_QUADRANT = r"(?:north|south|n|s)[. -]*[0-9.].*|[0-9.].*[0-9°'\" ](?:east|west|e|w)"
_TURNED = r"(?:east|west|e|w)[. -]*[0-9.].*"
_COMPASS = {
    "north": 0, "n": 0, "northeast": 45, "ne": 45, "east": 90, "e": 90, "southeast": 135,
    "se": 135, "south": 180, "s": 180, "southwest": 225, "sw": 225, "west": 270, "w": 270,
    "northwest": 315, "nw": 315,
}  # fmt: skip

_ANGLE_EXAMPLE = """write degrees, as in 14.5 or 14d30'00\""""
_BEARING_EXAMPLE = "write one such as N 14 30 00 E, or an azimuth from north such as 14.5"


def parse_angle(text: str) -> float:
    r"""Read an angle in degrees: ``14.5``, ``14d30'00"``, ``14°30'``, ``14-30-00`` or ``14 30 00``.

    Parameters
    ----------
    text
        The angle; a leading sign counts for the whole. Only the last part may have decimals.

    Returns
    -------
    float
        The angle, rad, within a turn either way.

    Raises
    ------
    MeasureError
        When the text is not an angle in degrees; says what was read.

    Examples
    --------
    >>> round(math.degrees(parse_angle("14d30'00\"")), 9)
    14.5
    """
    body = plain(text)
    if not body:
        raise MeasureError("no angle is given", _ANGLE_EXAMPLE)
    sign = -1.0 if body[0] == "-" else 1.0
    degrees = _degrees(body[1:].lstrip() if body[0] in "+-" else body, text, _ANGLE_EXAMPLE)
    if degrees > 360.0:
        raise MeasureError(f"{quoted(text)} is more than a full turn", _ANGLE_EXAMPLE)
    return math.radians(sign * degrees)


def _degrees(body: str, text: str, example: str) -> float:
    """Return unsigned degrees, minutes and seconds as decimal degrees."""
    match = re.fullmatch(_ANGLE, body)
    if match is None:
        raise MeasureError(f"{quoted(text)} is not an angle in degrees", example)
    parts = [part for part in match.group("degrees", "minutes", "seconds") if part is not None]
    if any("." in part for part in parts[:-1]):
        raise MeasureError(
            f"{quoted(text)} has a decimal point before its last part",
            "write 14.5, 14 30.5 or 14 30 30.5",
        )
    for part, name in zip(parts[1:], ("minutes", "seconds"), strict=False):
        if float(part) >= 60.0:
            raise MeasureError(f"{quoted(text)} has {part} {name}", f"write {name} below 60")
    return math.fsum(float(part) / 60.0**power for power, part in enumerate(parts))


def parse_bearing(text: str) -> float:
    """Read a direction: a quadrant bearing, an azimuth from north or a point of the compass.

    Parameters
    ----------
    text
        ``N 14 30 00 E``, ``N14-30E``, ``N 90 E``, ``14.5``, ``14d30'00"``, ``due north``, ``east``.

    Returns
    -------
    float
        Azimuth, rad clockwise from north, at least 0 and below a full turn.

    Raises
    ------
    MeasureError
        When the text is not a direction; says what was read.

    Examples
    --------
    >>> round(math.degrees(parse_bearing("S 14-30 E")), 9)
    165.5
    """
    body, shown = plain(text), quoted(text)
    if not body:
        raise MeasureError("no bearing is given", _BEARING_EXAMPLE)
    point = body.removeprefix("due ").replace("-", "").replace(" ", "").rstrip(".")
    if point in _COMPASS:
        return math.radians(_COMPASS[point])
    if match := re.fullmatch(_QUADRANT, body):
        return _quadrant(match, text)
    if re.fullmatch(_TURNED, body):
        raise MeasureError(
            f"{shown} starts with east or west", "start with N or S, as in N 14 30 E"
        )
    if re.fullmatch(_HALF_QUADRANT, body):
        missing = "ends" if body[0] in "ns" else "starts"
        letters = "E or W" if missing == "ends" else "N or S"
        raise MeasureError(
            f"{shown} is half a bearing: it {missing} without {letters}", _BEARING_EXAMPLE
        )
    if body[0] in "+-":
        raise MeasureError(
            f"{shown} has a sign", "write the azimuth clockwise from north, 0 to 360"
        )
    degrees = _degrees(body, text, _BEARING_EXAMPLE)
    if degrees > 360.0:
        raise MeasureError(f"{shown} is more than a full turn", _BEARING_EXAMPLE)
    return math.radians(math.fmod(degrees, 360.0))


def _quadrant(match: re.Match[str], text: str) -> float:
    """Turn a quadrant bearing into an azimuth, rad."""
    north, east = match["first"][0] == "n", match["last"][0] == "e"
    degrees = _degrees(match["angle"], text, _BEARING_EXAMPLE)
    if degrees > 90.0:
        remedy = _BEARING_EXAMPLE
        if degrees <= 180.0:
            other = f"{180.0 - degrees:.4f}".rstrip("0").rstrip(".")
            remedy = f"write {'S' if north else 'N'} {other} {'E' if east else 'W'}"
        raise MeasureError(f"{quoted(text)} turns more than 90 degrees from north or south", remedy)
    azimuth = degrees if north else 180.0 - degrees
    return math.radians(math.fmod(azimuth if east else 360.0 - azimuth, 360.0))


def format_angle(angle: float) -> str:
    r"""Write an angle, given in rad, in degrees, minutes and whole seconds.

    Returns
    -------
    str
        ``14° 30' 00"``.

    Raises
    ------
    ValueError
        When the angle is not finite.

    Examples
    --------
    >>> format_angle(math.radians(14.5))
    '14° 30\' 00"'
    """
    seconds = _seconds(angle)
    return f"{'-' if seconds < 0 else ''}{_dms(abs(seconds))}"


def format_bearing(azimuth: float) -> str:
    r"""Write an azimuth, rad clockwise from north, as a quadrant bearing to the whole second.

    Returns
    -------
    str
        ``N 14° 30' 00" E``.

    Raises
    ------
    ValueError
        When the azimuth is not finite.

    Examples
    --------
    >>> format_bearing(math.radians(165.5))
    'S 14° 30\' 00" E'
    """
    # Rounding comes first, so that 89 59 59.9 is 90 and the quadrant is that of what is printed.
    seconds = _seconds(azimuth) % 1_296_000
    east = seconds <= 648_000
    from_north = seconds if east else 1_296_000 - seconds
    north = from_north <= 324_000
    turn = from_north if north else 648_000 - from_north
    return f"{'N' if north else 'S'} {_dms(turn)} {'E' if east else 'W'}"


def _seconds(angle: float) -> int:
    if not math.isfinite(angle):
        raise ValueError(f"an angle of {angle} cannot be written")
    size = math.floor(abs(math.degrees(angle)) * 3600.0 + 0.5)
    return -size if angle < 0 else size


def _dms(seconds: int) -> str:
    minutes, rest = divmod(seconds, 60)
    degrees, minutes = divmod(minutes, 60)
    return f"{degrees}° {minutes:02d}' {rest:02d}\""
