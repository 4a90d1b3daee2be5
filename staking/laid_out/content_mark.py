"""The mark of a layout: eight letters that change as soon as anything in it does."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable

ALPHABET = "BCDFGHJKMNPQRSTVWXYZ"
"""Letters that are not mistaken for figures or for one another, and make no words."""

LENGTH = 8

_STEP = 1e-6
"""What two layouts may differ by and count as one, m; under a thousandth of a pencil line."""

_BESIDE = 0.3183
"""Where between two steps a value changes over: no fraction of an inch or a millimetre lies there,
so that rounding in the last bit changes no mark."""

_SAID = re.compile(rf"\b([{ALPHABET}]{{{LENGTH}}}) of (?:\d{{4}}-\d\d-\d\d|_+)")

Content = str | float | int | bool | None | Iterable["Content"]
"""Names, lengths in m, and lists of them."""


def content_mark(content: Content) -> str:
    """Name what a layout consists of.

    Parameters
    ----------
    content
        Every name and every length of the layout, in an order that the layout itself gives.

    Returns
    -------
    str
        `LENGTH` letters of `ALPHABET`; the same for contents that differ by less than a micrometre.

    Notes
    -----
    SHA-256 (FIPS 180-4) of the names and of the lengths in whole micrometres. Two contents share a
    mark once in 2.56e10.

    Examples
    --------
    >>> content_mark(["A", 10.9728]) == content_mark(["A", 10.97280000001])
    True
    >>> content_mark(["A", 10.9728]) == content_mark(["A", 10.9744])
    False
    """
    digest = hashlib.sha256()
    for part in _parts(content):
        digest.update(part.encode())
        digest.update(b"\n")
    number = int.from_bytes(digest.digest(), "big")
    letters = []
    for _ in range(LENGTH):
        number, letter = divmod(number, len(ALPHABET))
        letters.append(ALPHABET[letter])
    return "".join(letters)


def dated_mark(mark: str, date: str | None) -> str:
    """Write a mark with its day, as a file to fill in carries it.

    Parameters
    ----------
    mark
        The mark.
    date
        The day of the layout as it is written; None leaves room to write it.

    Returns
    -------
    str
        ``KXQZBCDF of 2026-11-30``.
    """
    return f"{mark} of {date or '____________'}"


def mark_in(text: str) -> str | None:
    r"""Find the mark that a file carries.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    str or None
        The last mark in it; None where there is none.

    Examples
    --------
    >>> mark_in("A,B,36' 0\n# layout KXQZBCDF of 2026-11-30\n")
    'KXQZBCDF'
    """
    found = _SAID.findall(text)
    return found[-1] if found else None


def _parts(content: Content) -> Iterable[str]:
    # every value with its kind, and where lists begin and end, so that nothing slides into another
    if isinstance(content, str):
        # a word of a closed set counts as the word it is, not as its name in the code
        yield f"s{str(content)!r}"
    elif isinstance(content, bool) or content is None:
        yield str(content)
    elif isinstance(content, int | float):
        yield str(round(float(content) / _STEP + _BESIDE))
    else:
        yield "("
        for each in content:
            yield from _parts(each)
        yield ")"
