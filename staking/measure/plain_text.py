"""The text of a measure, made plain before it is read: typography out, quoting for messages."""

from __future__ import annotations

import re
import unicodedata

LONGEST_QUOTE = 60
"""Characters of the user's own text that a message repeats."""

_MARKS = str.maketrans({
    "\u2032": "'", "\u2019": "'", "\u2018": "'", "\u00b4": "'", "\u0060": "'", "\u02b9": "'",
    "\u2033": '"', "\u201d": '"', "\u201c": '"', "\u02ba": '"',
    "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-",
    "\u2044": "/", "\u2215": "/",
    "\u00ba": "\u00b0", "\u02da": "\u00b0",
})  # fmt: skip
_SUPERSCRIPT = "(?<=[0-9])(?=[\u00b9\u2070\u2074-\u2079\u00b2\u00b3]+[/\u2044])"


def quoted(text: str) -> str:
    r"""Repeat the user's text in a message: one line, printable, not too long.

    Returns
    -------
    str
        The text with ``?`` for what cannot be printed.

    Examples
    --------
    >>> quoted("24' 13\x1b")
    "24' 13?"
    """
    line = "".join(char if char.isprintable() else "?" for char in " ".join(text.split()))
    return line if len(line) <= LONGEST_QUOTE else line[: LONGEST_QUOTE - 1] + "…"


def plain(text: str) -> str:
    r"""Turn typographic primes, dashes, spaces and fractions into what a keyboard writes.

    Two single marks become one double mark; letters become lower case; runs of blanks become one.

    Returns
    -------
    str
        The text as it would be typed.

    Examples
    --------
    >>> plain("36′ 6½″")
    '36\' 6 1/2"'
    """
    text = re.sub(_SUPERSCRIPT, " ", text)
    pieces = []
    for char in text:
        shape = unicodedata.decomposition(char)
        if shape.startswith("<fraction>"):
            # 6½ is 6 1/2: the blank keeps the whole number and the fraction apart.
            pieces.append(f" {unicodedata.normalize('NFKC', char)}")
        else:
            pieces.append(char)
    # The marks come first: compatibility forms would turn an acute accent into a blank and more.
    folded = unicodedata.normalize("NFKC", "".join(pieces).translate(_MARKS)).translate(_MARKS)
    return " ".join(folded.replace("''", '"').lower().split())
