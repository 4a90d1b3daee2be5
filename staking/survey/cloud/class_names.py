"""What the classes of laser points are called.

References
----------
LAS Specification 1.4 - R15, American Society for Photogrammetry and Remote Sensing, 2019, table 17
(point formats 6 to 10), and table 9 (formats 0 to 5), which has the same names but for 8, 10 and
11.
"""

from __future__ import annotations

_NAMES = {
    0: "never classified",
    1: "unclassified",
    2: "ground",
    3: "low vegetation",
    4: "medium vegetation",
    5: "high vegetation",
    6: "building",
    7: "low noise",
    8: "reserved",
    9: "water",
    10: "rail",
    11: "road surface",
    12: "overlap",
    13: "wire guard",
    14: "wire conductor",
    15: "transmission tower",
    16: "wire connector",
    17: "bridge deck",
    18: "high noise",
    19: "overhead structure",
    20: "ignored ground",
    21: "snow",
    22: "temporal exclusion",
}

_OLDER = {8: "key point of a model", 10: "reserved", 11: "reserved"}
_OLDER_KNOWN = 13
"""Formats 0 to 5 name no class from here on."""

_FIRST_OWN = 64
"""Classes from here on are a producer's own."""


def class_words(code: int, point_format: int) -> str:
    """Say what a class of laser points is.

    Parameters
    ----------
    code
        Its number in the file.
    point_format
        Of the points.

    Returns
    -------
    str
        In words.

    Examples
    --------
    >>> class_words(2, 1), class_words(65, 6)
    ('ground', "the producer's own")
    """
    if point_format < 6:
        return _OLDER.get(code) or (_NAMES[code] if code < _OLDER_KNOWN else "reserved")
    return _NAMES.get(code, "the producer's own" if code >= _FIRST_OWN else "reserved")
