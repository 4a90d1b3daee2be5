"""Degrees as files write them: with minutes and seconds, with letters, or packed into one number.

A packed number has degrees before the point, two digits of minutes behind it and then the seconds:
42.0001500 is 42 degrees 0 minutes 1.500 seconds. A number over 360 has the point after the seconds:
420001.500 is the same.
"""

from __future__ import annotations

import math
import re

import numpy as np

from staking.errors import MeasureError
from staking.points import Array

_ANGLE = re.compile(
    r"""
    (?P<before>[NSEWnew])?\s*(?P<sign>[+-])?\s*
    (?P<degrees>\d{1,3}(?:[.,]\d*)?)\s*(?P<mark>°|º|˚|[dD](?:eg)?\.?|[:\s-])?
    (?:(?(mark)\s*|(?!))(?P<minutes>\d{1,2}(?:[.,]\d*)?)\s*(?P<tick>'|′|’|m(?:in)?\.?|[:\s-])?
      (?:(?(tick)\s*|(?!))(?P<seconds>\d{1,2}(?:[.,]\d*)?)\s*(?:"|″|”|''|′′|s(?:ec)?\.?)?)?
    )?
    \s*(?P<after>[NSEWnew])?
    """,
    re.VERBOSE,
)
_SIXTIETHS = ("minutes, and a degree has 60", "seconds, and a minute has 60")
_LETTERS = {"latitude": "NS", "longitude": "EW"}
_MOST = 360.0
"""A packed number beyond this has its point behind the seconds."""
_NEAR = 1e-9
"""What is this near below a whole number is it: a decimal fraction is stored in binary."""


def is_angle(text: str) -> bool:
    """Tell whether a field is degrees with a letter, or with minutes behind them.

    Returns
    -------
    bool
        False for a plain number.

    Examples
    --------
    >>> is_angle("42-00-01.5"), is_angle("93.0007 W"), is_angle("42.5")
    (True, True, False)
    """
    found = _ANGLE.fullmatch(text.strip())
    return found is not None and bool(found["minutes"] or found["before"] or found["after"])


def is_marked_angle(text: str) -> bool:
    """Tell whether a field is degrees with a letter or a degree mark, which no name has."""
    if not text or not (text[0] in "NSEWnew+-" or text[0].isdigit()):
        return False
    return (text[-1] in "NSEWnew" or text[0].isalpha() or "°" in text) and is_angle(text)


def side_of(text: str) -> str | None:
    """Tell by its letter whether an angle is a latitude or a longitude; None without a letter."""
    found = _ANGLE.fullmatch(text.strip())
    letter = ((found["before"] or found["after"] or "") if found else "").upper()
    return next((role for role, both in _LETTERS.items() if letter and letter in both), None)


def read_angle(text: str, role: str) -> float:
    """Read an angle of one field.

    Parameters
    ----------
    text
        As ``42°00'01.5"N``, ``42-00-01.5``, ``N 42 00 01.5``, ``93.0007 W``.
    role
        ``latitude`` or ``longitude``, which the letter must fit.

    Returns
    -------
    float
        Degrees; south and west negative.

    Raises
    ------
    MeasureError
        Where it is not an angle, has 60 minutes or more, or a letter that does not fit.

    Examples
    --------
    >>> read_angle("93 30 00 W", "longitude")
    -93.5
    """
    found = _ANGLE.fullmatch(text.strip())
    if found is None:
        raise MeasureError(f"the {role} “{text}” is not a number")
    letter = (found["before"] or found["after"] or "").upper()
    if found["before"] and found["after"]:
        raise MeasureError(f"the {role} “{text}” has two letters")
    if letter and letter not in _LETTERS[role]:
        raise MeasureError(f"the {role} “{text}” has the letter {letter} of the other column")
    if letter and found["sign"]:
        raise MeasureError(f"the {role} “{text}” has a sign and a letter")
    parts = [
        part.replace(",", ".") for part in found.group("degrees", "minutes", "seconds") if part
    ]
    if any("." in part for part in parts[:-1]):
        raise MeasureError(f"the {role} “{text}” has a decimal point before its last part")
    for part, name in zip(parts[1:], _SIXTIETHS, strict=False):
        if float(part) >= 60.0:
            raise MeasureError(f"the {role} “{text}” has {part} {name}")
    size = sum(float(part) / 60.0**power for power, part in enumerate(parts))
    return -size if letter in {"S", "W"} or found["sign"] == "-" else size


def last_place(text: str, *, is_packed: bool = False) -> float | None:
    """Find what one step of the last written digit is.

    Returns
    -------
    float or None
        Degrees; None where the text is not an angle.

    Examples
    --------
    >>> last_place("42.0001"), last_place("42.000150", is_packed=True) == 0.01 / 3600
    (0.0001, True)
    """
    found = _ANGLE.fullmatch(text.strip())
    if found is None:
        plain = text.strip().lstrip("+-").replace(",", ".")
        if not re.fullmatch(r"\d+(?:\.\d*)?", plain):
            return None
        parts = [plain]
    else:
        parts = [part for part in found.group("degrees", "minutes", "seconds") if part]
    decimals = len(parts[-1].replace(",", ".").partition(".")[2])
    if is_packed and len(parts) == 1:
        behind_seconds = decimals if float(parts[0].replace(",", ".")) > _MOST else decimals - 4
        return 10.0**-behind_seconds / 3600.0
    return 10.0**-decimals / 60.0 ** (len(parts) - 1)


def packed_angle(value: float, text: str, role: str) -> float:
    """Turn one packed number into degrees.

    Parameters
    ----------
    value
        The number.
    text, role
        As it stands, and ``latitude`` or ``longitude``, for the message.

    Returns
    -------
    float
        Degrees.

    Raises
    ------
    MeasureError
        Where minutes or seconds are 60 or more.
    """
    degrees = float(unpacked(np.array([value]))[0])
    if not math.isnan(degrees):
        return degrees
    size = abs(value) / 10_000.0 if abs(value) > _MOST else abs(value)
    minutes, seconds = divmod((size * 100.0 + _NEAR) % 100.0, 1.0)
    is_minutes = minutes >= 60.0
    shown = minutes if is_minutes else round(100.0 * seconds, 4)
    raise MeasureError(f"the {role} “{text}” has {shown:g} {_SIXTIETHS[0 if is_minutes else 1]}")


def unpacked(values: Array) -> Array:
    """Turn packed degrees, minutes and seconds into degrees.

    Parameters
    ----------
    values
        ``(n,)``, such as 42.0001500 or 420001.500.

    Returns
    -------
    Array
        ``(n,)``, degrees; not-a-number where minutes or seconds are 60 or more.

    Examples
    --------
    >>> unpacked(np.array([42.30, -933000.0, 42.6])).tolist()
    [42.5, -93.5, nan]
    """
    size = np.where(np.isfinite(values), np.abs(values), np.nan)
    size = np.where(size > _MOST, size / 10_000.0, size)
    degrees = np.floor(size + _NEAR)
    hundredths = np.maximum((size - degrees) * 100.0, 0.0)
    minutes = np.floor(hundredths + _NEAR)
    seconds = np.maximum((hundredths - minutes) * 100.0, 0.0)
    found = np.copysign(degrees + minutes / 60.0 + seconds / 3600.0, values)
    return np.where((minutes < 60.0) & (seconds < 60.0 - _NEAR), found, np.nan)
