"""What a surveyed point was set or measured for, by its name and its description."""

from __future__ import annotations

import re

from staking.kinds import PointUse
from staking.points import SurveyPoints

_CONTROL = re.compile(
    r"\b(control|bench ?marks?|hub|traverse|tack)\b|^(bm|tbm|cp|tp)[-_ ]?\d*\b", re.IGNORECASE
)
"""Words of points to work from (the trade's own, no source)."""
_CORNER = re.compile(
    r"\b(iron|pin|pins|rebar|rod|pipe|boundary|property|lot corner)\b", re.IGNORECASE
)
"""Words of corners of a lot (the trade's own, no source)."""

_MANY = 20_000
"""Beyond so many points their words are not looked at."""


def point_uses(points: SurveyPoints) -> tuple[PointUse, ...]:
    """Tell control and corners of the lot from all other points.

    Parameters
    ----------
    points
        The survey.

    Returns
    -------
    tuple of PointUse
        One for each point, in order; none for a survey of very many, which nobody tells apart on
        a map. A point that is called both is control; one whose words say neither is a shot like
        any other.
    """
    if points.count > _MANY:
        return ()
    return tuple(
        _use(str(name), str(said))
        for name, said in zip(points.names, points.descriptions, strict=True)
    )


def _use(name: str, said: str) -> PointUse:
    if _CONTROL.search(name) or _CONTROL.search(said):
        return PointUse.CONTROL
    if _CORNER.search(said):
        return PointUse.CORNER
    return PointUse.SHOT
