"""Points by name out of one or several surveys; a name that means two places is an error."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches
from itertools import islice

from staking.errors import InputError, Problem
from staking.points import KnownPoint, Surface, SurveyPoints
from staking.tolerances import SAME_POINT
from staking.units import Unit

_LOOKED_AT = 20_000
"""How many names are compared for the nearest spelling."""

_CONTROL = re.compile(
    r"\b(control|cp|traverse|monument|iron|pin|rebar|nail|spike|benchmark|bm|hub)\b",
    re.IGNORECASE,
)
"""Words of a description that tell of a mark that can be found again (common practice, no
source)."""


def find_points(
    surveys: Sequence[SurveyPoints], wanted: Mapping[str, str]
) -> dict[str, KnownPoint]:
    """Find points by name.

    Parameters
    ----------
    surveys
        The surveys, in the order of the job.
    wanted
        The field in which each name is used, by name.

    Returns
    -------
    dict
        Every wanted point by its name. Where a name occurs more than once, in places that agree
        within `SAME_POINT`, the first stands; its elevation is the first that is known.

    Raises
    ------
    InputError
        With every name that is missing, and every one that means two places.
    """
    places: dict[str, list[tuple[SurveyPoints, int]]] = {name: [] for name in wanted}
    for survey in surveys:
        for index, name in enumerate(survey.names):
            if name in places:
                places[name].append((survey, index))
    problems = []
    found = {}
    for name, field in wanted.items():
        if not places[name]:
            problems.append(_missing(name, field, surveys))
            continue
        points = [_point(survey, index) for survey, index in places[name]]
        first = points[0]
        for point, place in zip(points, places[name], strict=True):
            apart = math.hypot(point.northing - first.northing, point.easting - first.easting)
            if apart > SAME_POINT:
                problems.append(_ambiguous(name, field, apart, places[name][0], place))
                break
        levels = [point.elevation for point in points if not math.isnan(point.elevation)]
        found[name] = KnownPoint(
            name=name,
            northing=first.northing,
            easting=first.easting,
            elevation=levels[0] if levels else math.nan,
            description=first.description,
        )
    if problems:
        raise InputError(*problems)
    return found


def find_surface(
    surveys: Sequence[SurveyPoints], wanted: str | None
) -> tuple[SurveyPoints, Surface] | None:
    """Find the surface that is the ground.

    Parameters
    ----------
    surveys
        The surveys, in the order of the job.
    wanted
        Its name; None where the job names none.

    Returns
    -------
    tuple or None
        The survey and its surface; None where there is no surface and none is named.

    Raises
    ------
    InputError
        Where no surface has the name, or several that differ could be meant.
    """
    every = [(survey, surface) for survey in surveys for surface in survey.surfaces]
    chosen = [each for each in every if wanted is None or each[1].name == wanted]
    if wanted is not None and not chosen:
        near = get_close_matches(wanted, [surface.name for _, surface in every], n=1, cutoff=0.0)
        raise InputError(
            Problem(
                message=f"there is no surface {wanted} in "
                + " or ".join(survey.name for survey in surveys),
                remedy=f"did you mean {near[0]}?" if near else "",
            )
        )
    if not chosen:
        return None
    if all(surface.is_same_as(chosen[0][1]) for _, surface in chosen[1:]):
        return chosen[0]
    listing = ", ".join(f"{_surface_words(*each)}" for each in chosen)
    ways = " or ".join(dict.fromkeys(f"{{surface: {surface.name}}}" for _, surface in chosen))
    remedy = f"write ground: {ways}" if wanted is None else "give each a name of its own"
    raise InputError(
        Problem(
            message=f"the survey has {len(chosen)} surfaces that differ, and nothing says which is "
            f"the ground: {listing}",
            remedy=remedy,
        )
    )


def _surface_words(survey: SurveyPoints, surface: Surface) -> str:
    """Return a surface's name and between which elevations it lies."""
    unit = Unit(survey.unit)
    if len(surface.vertices) == 0:
        return f"{surface.name} (empty)"
    low, high = surface.vertices[:, 2].min(), surface.vertices[:, 2].max()
    return f"{surface.name} ({low / unit.metres:.2f} to {high / unit.metres:.2f} {unit.value})"


def described_as_control(surveys: Iterable[SurveyPoints]) -> tuple[str, ...]:
    """Return the names of points whose description tells of a mark that can be found again.

    Parameters
    ----------
    surveys
        The surveys.

    Returns
    -------
    tuple of str
        In the order of the files; a name that occurs twice is left out.
    """
    # A survey of a million shots has few descriptions and many names: each text is judged once.
    judged: dict[str, bool] = {}
    marked: dict[str, int] = {}
    for survey in surveys:
        for name, description in zip(survey.names, survey.descriptions, strict=True):
            if description not in judged:
                judged[description] = bool(_CONTROL.search(description))
            if judged[description] or name in marked:
                marked[name] = marked.get(name, 0) + 1
    for survey in surveys if marked else ():
        # One that also stands elsewhere, before or under another description, is left out too.
        for name, description in zip(survey.names, survey.descriptions, strict=True):
            if name in marked and not judged[description]:
                marked[name] += 1
    return tuple(name for name, count in marked.items() if count == 1)


def _point(survey: SurveyPoints, index: int) -> KnownPoint:
    return KnownPoint(
        name=str(survey.names[index]),
        northing=float(survey.northing[index]),
        easting=float(survey.easting[index]),
        elevation=float(survey.elevation[index]),
        description=str(survey.descriptions[index]),
    )


def _missing(name: str, field: str, surveys: Sequence[SurveyPoints]) -> Problem:
    files = " or ".join(survey.name for survey in surveys)
    names = [str(each) for survey in surveys for each in islice(survey.names, _LOOKED_AT) if each]
    same = [each for each in names if each.strip().lstrip("0").lower() == name.lstrip("0").lower()]
    near = same[:1] or get_close_matches(name, names[:_LOOKED_AT], n=1, cutoff=0.0)
    return Problem(
        message=f"there is no point {name} in {files}",
        remedy=f"did you mean {near[0]}?" if near else "",
        field=field,
    )


def _ambiguous(
    name: str,
    field: str,
    apart: float,
    first: tuple[SurveyPoints, int],
    other: tuple[SurveyPoints, int],
) -> Problem:
    unit = Unit(first[0].unit)
    places = " and ".join(
        f"{survey.name}" + (f" line {line}" if (line := int(survey.source_line[index])) else "")
        for survey, index in (first, other)
    )
    far = f"{apart / unit.metres:.3f} {unit.value}"
    return Problem(
        message=f"point {name} occurs twice, {far} apart: {places}",
        remedy="give one of the two another name",
        field=field,
    )
