"""Distances as deeds have them: feet, metres, and the old chains, rods, poles, perches, links."""

from __future__ import annotations

import re

from staking.errors import MeasureError
from staking.measure.lengths import parse_length
from staking.measure.plain_text import plain, quoted
from staking.units import FOOT, US_SURVEY_FOOT, Unit

FEET_IN = {"chain": 66.0, "rod": 16.5, "link": 0.66}
"""Feet in a surveyor's chain, a rod (which is a pole and a perch too) and a link: four rods, and a
hundred links, are a chain (from memory of NIST Handbook 44, appendix C)."""

NUMBER = r"(?:[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
"""A number with or without a comma between its thousands."""

_CHAIN = r"(?:chains?|chs?)\b\.?"
_ROD = r"(?:rods?|rds?|poles?|perch(?:es)?)\b\.?"
_LINK = r"(?:links?|lks?)\b\.?"
_FEET = r"(?:us |u\.s\. ?)?(?:survey )?(?:feet|foot|ft)\b\.?|'"
_INCHES = r"(?:inch(?:es)?|in)\b\.?|\""
_METRES = r"(?:met(?:er|re)s?|m)\b(?!/)\.?"
_AND = r"[ ,]{0,2}(?:and )?"

OLD = (
    rf"(?:(?P<chains>{NUMBER}) ?{_CHAIN}(?:{_AND}(?P<links>{NUMBER}) ?{_LINK})?"
    rf"|(?P<rods>{NUMBER}) ?{_ROD}(?:{_AND}(?P<odd>{NUMBER}) ?{_LINK})?"
    rf"|(?P<only>{NUMBER}) ?{_LINK})"
)
"""Chains and links, rods and links, or links."""

NEW = (
    rf"(?:{NUMBER} ?(?:{_FEET})"
    rf"(?:[ ,-]{{0,2}}(?:and )?[0-9]+(?:\.[0-9]+)?(?:[ -][0-9]+/[0-9]+)? ?(?:{_INCHES}))?"
    rf"|{NUMBER} ?{_METRES})"
)
"""Feet, feet and inches, or metres."""


def read_distance(text: str, unit: Unit) -> float:
    """Read the distance of a course.

    Parameters
    ----------
    text
        ``120.00 feet``, ``95' 6"``, ``36.58 m``, ``2 chains 50 links``, ``12 rods``, ``7 poles 3
        links``, or a bare number.
    unit
        What a bare number is in; where it is the U.S. survey foot, all feet, chains, rods and links
        are of survey feet.

    Returns
    -------
    float
        The distance, m.

    Raises
    ------
    MeasureError
        Where it is not a distance, or is none over zero.

    Examples
    --------
    >>> round(read_distance("2 chains 50 links", Unit.FT) / FOOT, 6)
    165.0
    """
    body = re.sub(r"(?<=[0-9]),(?=[0-9]{3}(?![0-9]))", "", plain(text)).strip(" ,;")
    body = body.replace("u.s.", "us")
    old = re.fullmatch(OLD, body)
    if old is not None:
        foot = US_SURVEY_FOOT if unit is Unit.US_FT else FOOT
        metres = foot * sum(
            float(old[name]) * FEET_IN[of]
            for name, of in (
                ("chains", "chain"),
                ("rods", "rod"),
                ("links", "link"),
                ("odd", "link"),
                ("only", "link"),
            )
            if old[name]
        )
    else:
        joined = re.sub(r"(?<=['a-z.])(?:,| and|, and) ?(?=[0-9])", " ", body)
        metres = parse_length(joined, unit)
    if not metres > 0.0:
        raise MeasureError(f"{quoted(text)} is not a distance over zero", "check its figures")
    if metres > LONGEST:
        raise MeasureError(f"{quoted(text)} is over {LONGEST / 1000:.0f} km", "check its figures")
    return metres


LONGEST = 10_000.0
"""No course round a lot is this long, m."""
