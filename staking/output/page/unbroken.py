"""Keeps lengths, angles and walls' names on one line, on the page and in its script alike."""

from __future__ import annotations

import re
from html import escape
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markupsafe import Markup

_INCHES = r"\d+(?: \d+/\d+|/\d+)?\""
_FEET_INCHES = rf"(?:less |\+/- |[-+])?(?:\d+' )?{_INCHES}"
_FEET = r"\d+'(?: \(\d[\d.]* m\))?"
_ANGLE = r"(?:[NS] )?\d+°(?: \d+' \d+(?:\.\d+)?\")?(?: [EW]\b)?"
_UNITS = "us-ft|sq ft|sq m|cu yd|cu ft|ft|mm|m2|m3|m|in|kV|minutes|courses"
_DECIMAL = rf"(?:less |\+/- |[-+])?\d[\d,]*(?:\.\d+)? (?:{_UNITS})\b"
_NAMES = r"\b\w{1,14}-\w{1,14}(?:-\w{1,8})?\b"

UNBROKEN = "|".join((_ANGLE, _FEET_INCHES, _FEET, _DECIMAL, _NAMES))
"""What is never torn over two lines, as an expression that Python and the page's script read
alike. Two names of more than fourteen letters are wider than a small phone and may be parted."""

_PATTERN = re.compile(UNBROKEN, re.ASCII)
_UNDERSCORE = re.compile(r"(?<=\w{4}_)(?=\w{4})")
"""Where a long name may go on in the next line, where no phone has room for it."""


def unbroken(text: object) -> Markup:
    """Escape a text, with what is never torn in elements of their own.

    Parameters
    ----------
    text
        What is to stand between tags.

    Returns
    -------
    Markup
        Quotes are left as they are: between tags they are only quotes, and feet and inches are
        full of them.
    """
    from markupsafe import Markup

    escaped = escape(str(text), quote=False)
    made, start = "", 0
    for found in _PATTERN.finditer(escaped):
        made += f"{_UNDERSCORE.sub('<wbr>', escaped[start : found.start()])}<x-n>{found[0]}</x-n>"
        start = found.end()
    return Markup(made + _UNDERSCORE.sub("<wbr>", escaped[start:]))
