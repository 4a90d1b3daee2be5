"""An instrument's raw records in text: what was read at each set-up, in code words, no points.

They are told by their form alone: every line is a record of its own kind, begun by a code word, and
its numbers carry code words too. A list of points has the same columns on every line.
"""

from __future__ import annotations

import re

_LINES = 200
"""So many lines are looked at."""
_FEWEST = 3
"""With fewer records than this nothing is told."""

_TAGGED = re.compile(r"[A-Z]{1,2}\s?[+-]?[0-9]+\.?[0-9]*")
"""A number with its code word before it, as AR45.1020 or N 5000.000."""
_KIND = re.compile(r"[A-Z]{2,3}")
_CODED = re.compile(r"\*?[0-9]{2}[0-9.]{3,4}[+-][0-9A-Za-z.]{8,16}")
"""A code of digits run together with a signed number or name, as 21.104+0000000004510200."""
_RUN_TOGETHER = re.compile(r"[0-9]{2}[A-Z][A-Z0-9]\S{6,}(?:\s|$)")
"""A record of fixed places: its kind in four signs and the first value run together with them."""


def is_raw_records(head: bytes) -> bool:
    r"""Tell whether a file holds an instrument's raw records.

    Parameters
    ----------
    head
        How it begins.

    Returns
    -------
    bool
        True where more than half of the lines are records by their form.

    Examples
    --------
    >>> is_raw_records(b"OC,OP1,N 10.0,E 10.0\nBK,OP1,BP2,BS0.0,BC0.0\nSS,OP1,AR45.1,ZE88.1\n")
    True
    >>> is_raw_records(b"1,5000.0,4000.0,99.1,IP\n2,5001.0,4000.0,99.2,MH12\n3,1.0,2.0,3.0,X\n")
    False
    """
    text = head.decode("utf-8", errors="replace")
    lines = [line.strip() for line in text.splitlines()[:_LINES] if line.strip()]
    kinds = [kind for line in lines if (kind := _kind(line)) is not None]
    return len(kinds) >= _FEWEST and 2 * len(kinds) > len(lines) and len(set(kinds)) > 1


def _kind(line: str) -> str | None:
    """Return the code word that a record begins with, or None for a line that is none."""
    words = line.split()
    coded = [word for word in words if _CODED.fullmatch(word)]
    if len(coded) > 1 and 2 * len(coded) > len(words):
        # Each has its own number.
        return words[0]
    if _RUN_TOGETHER.match(line) and not re.search(r"[,;\t|]", line):
        return line[:4]
    fields = [field.strip() for field in line.split(",")]
    tagged = sum(_TAGGED.fullmatch(field) is not None for field in fields[1:])
    return fields[0] if _KIND.fullmatch(fields[0]) and tagged > 1 else None
