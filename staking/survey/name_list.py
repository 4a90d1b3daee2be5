"""Names in a sentence: all of them, or the first and how many more."""

from __future__ import annotations

from collections.abc import Sequence

MOST_NAMED = 10
"""How many names a notice lists before it only counts."""


def listed(words: Sequence[str], most: int = MOST_NAMED) -> str:
    """Name things in a sentence: all of them, or the first and how many more.

    Parameters
    ----------
    words
        The names.
    most
        How many are named.

    Returns
    -------
    str
        The names with commas.

    Examples
    --------
    >>> listed(["1", "2", "3"], most=2)
    '1, 2 and 1 more'
    """
    if len(words) <= most:
        return ", ".join(words)
    return f"{', '.join(words[:most])} and {len(words) - most} more"
