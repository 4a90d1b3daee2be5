"""Levels sorted by the places their names mean: corners, pads, points along walls."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from enum import StrEnum

from staking.errors import MeasureError
from staking.frozen import frozen
from staking.measure.lengths import parse_length
from staking.plan import reversed_name
from staking.tolerances import SAME_POINT
from staking.units import INCH, Unit

_ALONG = re.compile(r"(?P<on>.+?)\s+at\s+(?P<length>.+)")

ONE_PLACE = INCH / 2
"""Two levels of one place that differ by more than this, m, are said to disagree (common
practice, no source)."""


class _PlaceKind(StrEnum):
    CORNER = "corner"
    PAD = "pad"
    ALONG = "along"


@frozen
class TwiceLevelled:
    """A place that was levelled more than once, and by how much its levels differ, m."""

    name: str
    apart: float


@frozen
class MisplacedLevel:
    """A name that means no place: its number in the list, what is wrong, what would be right."""

    number: int
    message: str
    remedy: str


@frozen
class NamedLevels:
    """Levels by the places they belong to, m.

    Parameters
    ----------
    corners, pads
        Name and elevation; a place levelled more than once has the mean.
    along
        Wall or interior line as it was named, station from its first corner, and elevation.
    others
        Names that mean no place of the building: benchmarks and turning points.
    twice, misplaced
        What is to be said of them.
    """

    corners: tuple[tuple[str, float], ...]
    pads: tuple[tuple[str, float], ...]
    along: tuple[tuple[str, float, float], ...]
    others: tuple[str, ...]
    twice: tuple[TwiceLevelled, ...]
    misplaced: tuple[MisplacedLevel, ...]


def named_levels(
    levels: Sequence[tuple[str, float]],
    corners: Collection[str],
    pads: Collection[str],
    lengths: Mapping[str, float],
    unit: Unit,
) -> NamedLevels:
    """Sort levels by their names.

    Parameters
    ----------
    levels
        Name and elevation, m: a corner, a pad, or ``A-B at 18'``.
    corners, pads
        Names of the building's.
    lengths
        Of walls and interior lines by their names, m; a wall may be named from either end.
    unit
        What a bare number after ``at`` is in.

    Returns
    -------
    NamedLevels
        In the order in which they were first named.
    """
    at: dict[tuple[_PlaceKind, str, float], list[float]] = {}
    others: list[str] = []
    misplaced: list[MisplacedLevel] = []
    for number, (name, level) in enumerate(levels):
        key, wrong = _place(name, corners, pads, lengths, unit)
        if wrong:
            misplaced.append(MisplacedLevel(number=number, message=wrong[0], remedy=wrong[1]))
        elif key is None:
            others.append(name)
        else:
            at.setdefault(key, []).append(level)
    means = {key: sum(each) / len(each) for key, each in at.items()}
    return NamedLevels(
        corners=tuple(
            (name, z) for (kind, name, _), z in means.items() if kind is _PlaceKind.CORNER
        ),
        pads=tuple((name, z) for (kind, name, _), z in means.items() if kind is _PlaceKind.PAD),
        along=tuple(
            (name, s, z) for (kind, name, s), z in means.items() if kind is _PlaceKind.ALONG
        ),
        others=tuple(dict.fromkeys(others)),
        twice=tuple(
            TwiceLevelled(name=name, apart=max(each) - min(each))
            for (_, name, _), each in at.items()
            if max(each) - min(each) > ONE_PLACE
        ),
        misplaced=tuple(misplaced),
    )


def _place(
    name: str,
    corners: Collection[str],
    pads: Collection[str],
    lengths: Mapping[str, float],
    unit: Unit,
) -> tuple[tuple[_PlaceKind, str, float] | None, tuple[str, str] | None]:
    # The place a name means, or what is wrong with it; neither for what is not a place of ours.
    if name in corners:
        return (_PlaceKind.CORNER, name, 0.0), None
    if name in pads:
        return (_PlaceKind.PAD, name, 0.0), None
    match = _ALONG.fullmatch(name)
    if match is None:
        return None, None
    on = match["on"]
    turned = reversed_name(on)
    length = lengths.get(on, lengths.get(turned))
    if length is None:
        known = ", ".join(lengths)
        return None, (f"{on} is not a wall with a footing to pour", f"the walls are {known}")
    try:
        station = parse_length(match["length"], unit)
    except MeasureError as fault:
        return None, (fault.message, fault.remedy)
    if not -SAME_POINT <= station <= length + SAME_POINT:
        return None, (f"{name} is past the end of {on}", "check which end it was taped from")
    return (_PlaceKind.ALONG, on, min(max(station, 0.0), length)), None
