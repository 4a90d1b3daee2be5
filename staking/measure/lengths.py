"""Lengths and areas as builders write them, to metres and back.

Angles are read in `staking.measure.angles`, lengths written in
`staking.measure.write_lengths`; their names are here too, so that one import
serves every measure.
"""

from __future__ import annotations

import re
from typing import NoReturn

from staking.errors import MeasureError
from staking.measure.angles import format_angle, format_bearing, parse_angle, parse_bearing
from staking.measure.plain_text import plain, quoted
from staking.measure.write_lengths import format_area, format_length
from staking.units import FOOT, INCH, US_SURVEY_FOOT, Unit

__all__ = [
    "FOOT",
    "INCH",
    "US_SURVEY_FOOT",
    "Unit",
    "format_angle",
    "format_area",
    "format_bearing",
    "format_length",
    "parse_angle",
    "parse_area",
    "parse_bearing",
    "parse_length",
]

LONGEST = 1e8
"""No length or coordinate on the ground reaches this, m: twice round the earth and more."""


# Patterns stay text: `re` compiles and keeps the ones a run needs, which a quick answer feels.
_NUMBER = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
_FRACTION = r"[0-9]+/[0-9]+"
_QUANTITY = rf"(?:{_FRACTION}|{_NUMBER}(?:(?: |-| - ){_FRACTION})?)"
_FOOT_MARK = r"(?:'|(?:ft|foot|feet)\.?)"
_INCH_MARK = r'(?:"|(?:in|inch|inches)\.?)'
_FEET_INCHES = (
    rf"(?P<feet>{_QUANTITY}) ?{_FOOT_MARK}(?:[ -]{{0,3}}(?P<inches>{_QUANTITY}) ?{_INCH_MARK}?)?"
)
_INCHES = rf"(?P<inches>{_QUANTITY}) ?{_INCH_MARK}"
_DASHED = rf"(?P<feet>[0-9]+)-(?P<inches>{_NUMBER}(?:[ -]{_FRACTION})?)(?: ?{_INCH_MARK})?"
_GROUPED = r"[0-9]{1,3}(?: [0-9]{3})+(?:\.[0-9]+)?"
_METRIC = (
    rf"(?P<number>{_GROUPED}|{_NUMBER}) ?"
    r"(?:(?P<mm>mm|millimet(?:er|re)s?)|(?P<cm>cm|centimet(?:er|re)s?)|(?P<m>m|met(?:er|re)s?))"
)
_SURVEY = (
    rf"(?P<number>{_NUMBER}) ?"
    r"(?:us[- ]?(?:survey[- ])?(?:ft|foot|feet)|ftus|survey (?:ft|foot|feet))"
)
_BARE = _NUMBER
_BARE_FRACTION = rf"(?:{_NUMBER}[ -])?{_FRACTION}"
_AREA_WORDS = r"\b(?:sq|square|sf)\b|(?:ft|in|m|mm|feet|metres|meters)\^?2\b"
_LOST_MARKS = r"[0-9]+ (?:[0-9]|1[01])"
_SQUARED = r"[a-z]\^?2$"
_EXPONENT = rf"{_NUMBER}e[+-]?[0-9]+.*"

_EXAMPLE = """write a length such as 36' 6 1/2", 36.5 ft or 11.2 m"""


def parse_length(text: str, unit: Unit | None = None) -> float:
    """Read a length in any way a builder writes it.

    Parameters
    ----------
    text
        ``36'``, ``36' 6``, ``36'-6 1/2"``, ``36 ft 6.5 in``, ``6 1/2"``, ``11.2 m``,
        ``11 200 mm``, the shell forms ``24ft`` and ``24-6-1/2``, or a bare number; a leading
        sign counts for the whole.
    unit
        What a bare number is in; None refuses a bare number. Where it is the U.S. survey foot,
        feet and inches are survey feet and inches too.

    Returns
    -------
    float
        The length, m.

    Raises
    ------
    MeasureError
        When the text is not a length, or can be read two ways; says what was read.

    Examples
    --------
    >>> round(parse_length("24-6-1/2"), 7)
    7.4803
    """
    body = plain(text)
    if not body:
        raise MeasureError("no length is given", _EXAMPLE)
    sign = 1.0
    if body[0] in "+-":
        sign = -1.0 if body[0] == "-" else 1.0
        body = body[1:].lstrip()
        if body[:1] in {"+", "-"}:
            raise MeasureError(f"{quoted(text)} has more than one sign", "write one, as in -4'")
    # 20 ft² comes here as 20 ft2, which is not 20 feet 2.
    found = None if re.search(_SQUARED, body) else _read(body, text, unit)
    if found is None:
        _refuse_length(body, text, unit)
    if not abs(found) < LONGEST:
        raise MeasureError(f"{quoted(text)} is too long for a building site", _EXAMPLE)
    return sign * found


def _read(body: str, text: str, unit: Unit | None) -> float | None:
    """Return the length of unsigned plain text, m, or None where no form fits."""
    foot = US_SURVEY_FOOT if unit is Unit.US_FT else FOOT
    if match := re.fullmatch(_FEET_INCHES, body) or re.fullmatch(_DASHED, body):
        return _feet_inches(match["feet"], match["inches"], text) * foot
    if match := re.fullmatch(_INCHES, body):
        return _quantity(match["inches"], text) * foot / 12 if unit is Unit.US_FT else (
            _quantity(match["inches"], text) * INCH
        )  # fmt: skip
    if match := re.fullmatch(_METRIC, body):
        number = float(match["number"].replace(" ", ""))
        return number * 0.001 if match["mm"] else number * 0.01 if match["cm"] else number
    if match := re.fullmatch(_SURVEY, body):
        return float(match["number"]) * US_SURVEY_FOOT
    if unit is not None and re.fullmatch(_BARE, body):
        return float(body) * unit.metres
    if unit is Unit.IN and re.fullmatch(_BARE_FRACTION, body):
        return _quantity(body, text) * INCH
    if unit is Unit.MM and re.fullmatch(_GROUPED, body):
        return float(body.replace(" ", "")) * unit.metres
    return None


def _feet_inches(feet_text: str, inches_text: str | None, text: str) -> float:
    """Return feet and inches as decimal feet, refusing what no tape reads."""
    feet = _quantity(feet_text, text)
    if inches_text is None:
        return feet
    inches = _quantity(inches_text, text)
    if feet % 1.0 > 0.0 or "/" in feet_text or "." in feet_text:
        raise MeasureError(
            f"{quoted(text)} has a fraction of a foot and inches as well",
            """write whole feet and inches, as in 24' 6 1/2\"""",
        )
    if inches >= 12.0 and feet + inches < LONGEST:
        carried, rest = divmod(inches, 12.0)
        shown = _inches_text(rest, inches_text)
        raise MeasureError(
            f"{quoted(text)} has {_tidy(inches_text)} inches",
            f"""write {int(feet + carried)}' {shown}\"""",
        )
    return feet + inches / 12.0


def _inches_text(rest: float, original: str) -> str:
    """Return inches below 12 with the fraction the user gave kept as it was."""
    whole = f"{int(rest)}"
    if "/" in original:
        return f"{whole} {original.replace('-', ' ').split(' ')[-1]}"
    return whole if rest % 1.0 == 0.0 else f"{rest:.4f}".rstrip("0")


def _tidy(quantity: str) -> str:
    """Return a quantity with a blank, not a dash, before its fraction."""
    return " ".join(quantity.replace("-", " ").split())


def _quantity(quantity: str, text: str) -> float:
    """Read ``6``, ``6.5``, ``1/2`` or ``6 1/2``."""
    parts = quantity.replace("-", " ").split()
    if "/" not in parts[-1]:
        return float(parts[0])
    over, under = (int(part[:30]) for part in parts[-1].split("/"))
    if under == 0:
        raise MeasureError(f"{quoted(text)} has a fraction over zero", 'write one such as 5 3/8"')
    if len(parts) == 1:
        return over / under
    if "." in parts[0]:
        raise MeasureError(
            f"{quoted(text)} has a decimal point and a fraction",
            'write one or the other, as in 6 1/2" or 6.5"',
        )
    whole = int(parts[0][:30])
    if over >= under:
        carried, rest = divmod(over, under)
        tail = f" {rest}/{under}" if rest else ""
        raise MeasureError(
            f"{quoted(text)} has the fraction {parts[-1]}, which is 1 or more",
            f"write {whole + carried}{tail} for that part",
        )
    return whole + over / under


def _refuse_length(body: str, text: str, unit: Unit | None) -> NoReturn:
    """Say why text is not a length, by the likeliest of the ways it can go wrong."""
    shown = quoted(text)
    if re.fullmatch(_EXPONENT, body):
        raise MeasureError(f"{shown} has an exponent", "write the number out, as in 36.5")
    if re.search(_AREA_WORDS, body):
        raise MeasureError(f"{shown} is an area, and a length is meant", _EXAMPLE)
    if re.search(r"[0-9'\"a-z] ?[x*×] ?[0-9.]", body):
        raise MeasureError(f"{shown} is a size, and one length is meant", _EXAMPLE)
    if re.search(r"[0-9],[0-9]", body):
        raise MeasureError(
            f"{shown} has a comma, which can be read two ways",
            "write 1200 without it, or 1.2 with a point",
        )
    if unit is None and re.fullmatch(_BARE, body):
        raise MeasureError(f"{shown} has no unit", f"write {shown}ft, {shown}in or {shown}m")
    if re.fullmatch(_BARE_FRACTION, body):
        raise MeasureError(
            f"{shown} has a fraction and no unit",
            f"write {_tidy(body).replace(' ', '-')}in for inches, or feet with a point as in 6.5ft",
        )
    two = _two_lengths(body, text)
    if two is not None:
        first, second = two
        one = (
            f", or {body.replace(' ', '-')} for one length"
            if re.fullmatch(_LOST_MARKS, body)
            else ""
        )
        raise MeasureError(
            f"{shown} is two lengths, and one is meant",
            "write one; at a shell prompt quote marks join what stands between them, so type "
            f"{first} {second} there{one}",
        )
    raise MeasureError(f"{shown} is not a length", _EXAMPLE)


def _two_lengths(body: str, text: str) -> tuple[str, str] | None:
    """Return two lengths found side by side, each in its shell form, or None."""
    words = body.split(" ")
    for cut in range(1, len(words)):
        halves = (" ".join(words[:cut]), " ".join(words[cut:]))
        try:
            if all(_read(half, text, Unit.FT) is not None for half in halves):
                return _shell_form(halves[0]), _shell_form(halves[1])
        except MeasureError:
            continue
    return None


def _shell_form(body: str) -> str:
    """Return plain text of one length as it can be typed without quote marks."""
    if re.fullmatch(_BARE, body):
        return f"{body}ft"
    if (match := re.fullmatch(_FEET_INCHES, body)) and match["inches"]:
        return f"{match['feet']}-{_tidy(match['inches']).replace(' ', '-')}"
    return body.replace("'", "ft").replace('"', "in").replace(" ", "-" if "/" in body else "")


_AREA = (
    rf"(?P<number>{_GROUPED}|{_NUMBER}) ?(?:"
    r"(?P<ft>(?:sq|square)\.? ?(?:ft|foot|feet)\.?|sf|(?:ft|feet)\^?2)|"
    r"(?P<in>(?:sq|square)\.? ?(?:in|inch|inches)\.?|in\^?2)|"
    r"(?P<mm>(?:sq|square)\.? ?(?:mm|millimet(?:er|re)s?)|mm\^?2)|"
    r"(?P<m>(?:sq|square)\.? ?(?:m|met(?:er|re)s?)|m\^?2))"
)


def parse_area(text: str, unit: Unit | None = None) -> float:
    """Read an area: ``6 sq ft``, ``0.5 m2``, ``0.5 m²`` or a bare number in squares of `unit`.

    Parameters
    ----------
    text
        The area; none is negative.
    unit
        What a bare number is in, squared; None refuses a bare number. Where it is the U.S. survey
        foot, square feet and inches are of survey feet too.

    Returns
    -------
    float
        The area, m2.

    Raises
    ------
    MeasureError
        When the text is not an area; says what was read.

    Examples
    --------
    >>> round(parse_area("6 sq ft"), 6)
    0.557418
    """
    example = "write an area such as 6 sq ft or 0.5 m2"
    body, shown = plain(text), quoted(text)
    if not body:
        raise MeasureError("no area is given", example)
    if match := re.fullmatch(_AREA, body):
        name = next(key for key in ("ft", "in", "mm", "m") if match[key])
        side = Unit(name).metres
        if unit is Unit.US_FT and name in {"ft", "in"}:
            side = US_SURVEY_FOOT if name == "ft" else US_SURVEY_FOOT / 12
        area = float(match["number"].replace(" ", "")) * side**2
    elif unit is not None and re.fullmatch(_BARE, body):
        area = float(body) * unit.metres**2
    elif re.fullmatch(_BARE, body):
        raise MeasureError(f"{shown} has no unit", example)
    elif _is_length(body):
        raise MeasureError(f"{shown} is a length, and an area is meant", example)
    else:
        raise MeasureError(f"{shown} is not an area", example)
    if not area < LONGEST:
        raise MeasureError(f"{shown} is too large for a building site", example)
    return area


def _is_length(body: str) -> bool:
    try:
        return _read(body.lstrip("+-"), body, None) is not None
    except MeasureError:
        return False
