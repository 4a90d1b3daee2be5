"""Elevations that a drawing has in words: in an attribute, or as a label beside a point."""

from __future__ import annotations

import re

from staking.frozen import frozen
from staking.survey.delimited.dialect import has_thousands
from staking.units import Unit

_LEVEL = re.compile(
    r"""
    (?P<word>(?:elev(?:ation)?|el|rl|level|height|z)\b\.?\s*[:=]?\s*)?
    (?P<number>[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))
    \s*(?P<mark>m|mm|ft|in|us-ft|'|′|"|″)?\.?
    """,
    re.VERBOSE | re.IGNORECASE,
)
_MARKS = {"'": "ft", "′": "ft", '"': "in", "″": "in"}
_FINE = {Unit.MM, Unit.IN}
"""Units in which nobody writes an elevation with decimals (common practice, no source)."""


@frozen(kw_only=False)
class WrittenLevel:
    """An elevation as written.

    Parameters
    ----------
    value
        The number; of the drawing's unit where `unit` is None.
    decimals
        How many digits stand behind its point.
    unit
        The unit written behind it, or None.
    has_word
        Whether a word for elevation stands before it.
    """

    value: float
    decimals: int
    unit: Unit | None = None
    has_word: bool = False

    @property
    def is_plain(self) -> bool:
        """Whether it can be nothing but an elevation or a number with decimals."""
        return self.decimals > 0 or self.unit is not None or self.has_word

    def in_drawing(self, unit: Unit) -> float | None:
        """Give it in the drawing's unit.

        Returns
        -------
        float or None
            None where its own unit cannot be told: a number with decimals in a drawing of inches
            or millimetres is in another unit, and nothing says in which; 0 is 0 in each.
        """
        if self.unit is None:
            # Nothing is nothing in every unit.
            is_doubtful = unit in _FINE and self.decimals > 0 and self.value != 0
            return None if is_doubtful else self.value
        feet = {Unit.FT, Unit.US_FT}
        if {self.unit, unit} <= feet:
            # A foot mark on a survey in the other foot means that survey's own.
            return self.value
        return self.value * self.unit.metres / unit.metres


def written_level(text: str) -> WrittenLevel | None:
    """Read an elevation.

    Parameters
    ----------
    text
        ``312.40``, ``+312,4``, ``EL. 312.40'``, ``RL=95.2 m``.

    Returns
    -------
    WrittenLevel or None
        None for anything else, and for a number that may have a mark between its thousands.

    Examples
    --------
    >>> level = written_level("EL. 312.40'")
    >>> level.value, level.decimals, level.unit
    (312.4, 2, <Unit.FT: 'ft'>)
    """
    found = _LEVEL.fullmatch(text.strip())
    if found is None or not found["number"].isascii():
        return None
    number = found["number"]
    if "," in number and has_thousands(number):
        return None
    mark = (found["mark"] or "").lower()
    number = number.replace(",", ".")
    return WrittenLevel(
        value=float(number),
        decimals=len(number.partition(".")[2]),
        unit=Unit(_MARKS.get(mark, mark)) if mark else None,
        has_word=bool(found["word"]),
    )
