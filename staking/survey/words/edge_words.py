"""Which footing edge or top a surveyed point was taken on, by its name and description."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set

from staking.adjust.pour.on_footing import OnFooting, PointLevel
from staking.kinds import FootingEdge
from staking.points import SurveyPoints

SIDES = {
    "outer": FootingEdge.OUTER,
    "outside": FootingEdge.OUTER,
    "inner": FootingEdge.INNER,
    "inside": FootingEdge.INNER,
    "left": FootingEdge.LEFT,
    "right": FootingEdge.RIGHT,
}
"""What an edge may be called."""

TOPS = frozenset({"top", "tops"})
BOTTOMS = frozenset({"bottom", "underside"})


def points_on_footing(
    survey: SurveyPoints, names: Mapping[str, str], pads: Sequence[str]
) -> tuple[tuple[OnFooting, ...], tuple[str, ...]]:
    """Sort a survey's points by what their names and descriptions say.

    Parameters
    ----------
    survey
        The survey.
    names
        Every way to name a wall, interior line or pad, and its name in the plan.
    pads
        The names of the pads: a point on one needs no side.

    Returns
    -------
    tuple
        The points on footings, and the names of those that do not say what they are on.

    Notes
    -----
    ``A-B outer edge``, ``outer_A-B_3`` or ``top of A-B outer`` all tell. A wall's name counts
    where no letter, figure or hyphen stands beside it.
    """
    # the longest name first, so that A-B is not found within A-BB
    listed = sorted(names, key=lambda each: (-len(each), each))
    pattern = re.compile(
        r"(?<![A-Za-z0-9-])(" + "|".join(map(re.escape, listed)) + r")(?![A-Za-z0-9-])"
    )
    found, unread = [], []
    for i in range(survey.count):
        name, said = str(survey.names[i]), str(survey.descriptions[i])
        text = f"{name} {said}".strip()
        wheres = tuple(dict.fromkeys(names[each] for each in pattern.findall(text)))
        words = set(re.split(r"[^a-z]+", pattern.sub(" ", text).lower()))
        sides = {SIDES[word] for word in words & SIDES.keys()}
        level = _level(words)
        is_pad = bool(wheres) and all(each in pads for each in wheres)
        told = len(sides) == 1 or (is_pad and bool(words & {"edge", "face"})) or level
        if not wheres or len(sides) > 1 or not told:
            unread.append(name or said)
            continue
        found.append(
            OnFooting(
                wheres=wheres,
                side=next(iter(sides), None),
                level=level,
                easting=float(survey.easting[i]),
                northing=float(survey.northing[i]),
                elevation=float(survey.elevation[i]),
                name=name,
                line=int(survey.source_line[i]),
                on_pad_edge=is_pad and "edge" in words,
            )
        )
    return tuple(found), tuple(unread)


def _level(words: Set[str]) -> PointLevel | None:
    if words & TOPS:
        return PointLevel.TOP
    return PointLevel.BOTTOM if words & BOTTOMS else None
