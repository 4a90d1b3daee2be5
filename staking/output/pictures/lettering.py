"""The face that sheets and pictures are lettered in: Helvetica, which every PDF reader has.

Nothing is embedded and nothing depends on the fonts of the machine that writes, so that the same
job gives the same bytes everywhere.
"""

from __future__ import annotations

import unicodedata
from functools import cache, lru_cache

FACE, BOLD_FACE = "Helvetica", "Helvetica-Bold"
CAP_HEIGHT = 0.718
"""Height of a capital of the face for a size of 1 (its published metrics)."""
X_HEIGHT = 0.523
DESCENDER = 0.207

_ALIKE = {
    "\N{PRIME}": "'",
    "\N{DOUBLE PRIME}": '"',
    "\N{MINUS SIGN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "\N{NO-BREAK SPACE}": " ",
    "\N{LATIN CAPITAL LETTER L WITH STROKE}": "L",
    "\N{LATIN SMALL LETTER L WITH STROKE}": "l",
    "\N{LATIN SMALL LETTER DOTLESS I}": "i",
    "\N{LATIN CAPITAL LETTER D WITH STROKE}": "D",
    "\N{LATIN SMALL LETTER D WITH STROKE}": "d",
}


def printable(text: str) -> str:
    """Turn text into what the face has letters for.

    Parameters
    ----------
    text
        One line.

    Returns
    -------
    str
        The line with accents dropped where the accented letter is missing, and a question mark
        for a letter that has no likeness.

    Examples
    --------
    >>> printable("Łódź Grünau 倉")
    'Lódz Grünau ?'
    """
    if text.isascii():
        return text
    return "".join(map(_letter, text))


@cache
def _letter(char: str) -> str:
    try:
        char.encode("cp1252")
    except UnicodeEncodeError:
        pass
    else:
        return char
    if char in _ALIKE:
        return _ALIKE[char]
    plain = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode()
    return plain or "?"


def line_width(text: str, height: float, face: str = FACE) -> float:
    """Tell how wide a line of text is.

    Parameters
    ----------
    text
        The line.
    height
        Height of a capital.
    face
        The face.

    Returns
    -------
    float
        In the unit of `height`.
    """
    return _width(text, face) * height / CAP_HEIGHT


def points_wide(text: str, size: float, face: str = FACE) -> float:
    """Tell how wide a line of text is that is set in a size of type.

    Parameters
    ----------
    text
        The line.
    size
        The type, points.
    face
        The face.

    Returns
    -------
    float
        Points.
    """
    return _width(text, face) * size


@lru_cache(maxsize=50_000)
def _width(text: str, face: str) -> float:
    # In a size of 1; the same words are measured again and again, at several sizes.
    from reportlab.pdfbase.pdfmetrics import stringWidth

    return float(stringWidth(printable(text), face, 1.0))
