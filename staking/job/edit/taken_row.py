"""A row of what was weighed as answers to the job file: its top of wall and its place."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from staking.errors import MeasureError
from staking.job.edit.file_edits import Answer
from staking.job.tree.source import Branch, Scalar
from staking.measure.lengths import Unit, format_length, parse_length
from staking.plan import Show
from staking.tolerances import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Iterator

    from staking.job.tree.source import Place
    from staking.site.site_request import PlaceByBearing

_EXACT = 1e-7
"""What a length may be off a whole sixteenth to be written in feet and inches, m."""

_SHIFTED = (("walls", None, "top_of_wall"), ("slab", "top"), ("boards", "at"))
"""Elevations of the file that shift with the wall's top; None stands for any name."""


def answers_of_row(
    root: Branch,
    top: float,
    rise: float,
    place: PlaceByBearing | None,
    units: tuple[Unit, Unit],
) -> tuple[Answer, ...]:
    """Say what a row's top and place are as answers to the job file.

    Parameters
    ----------
    root
        The file's tree.
    top, rise
        The new top of wall, and how far it is over the top as written; m.
    place
        The new place; None where the building stays as it is placed.
    units
        What lengths of the job are written in, and coordinates of its survey.

    Returns
    -------
    tuple of Answer
        The top of wall; every elevation that shifts with it (tops of single walls, the slab's top,
        the strings' level) that the file gives; the place as a corner and a bearing.
    """
    unit, survey = units
    found: list[Answer] = []
    if abs(rise) > ON_LINE:
        found.append(Answer(place=("grade", "top_of_wall"), value=exact_length(top, unit)))
        found += _shifted(root, rise, unit)
    if place is not None:
        found.append(
            Answer(
                place=("site", "place"),
                value={
                    "corner": place.corner,
                    "wall": place.wall,
                    "north": _coordinate(place.northing, survey),
                    "east": _coordinate(place.easting, survey),
                    "bearing": _figure(math.degrees(place.azimuth), 9),
                },
            )
        )
    return tuple(found)


def exact_length(metres: float, unit: Unit) -> str:
    r"""Write a length so that it is read back as it is, in feet and inches where those are exact.

    Returns
    -------
    str
        With its unit.

    Examples
    --------
    >>> exact_length(31.6992, Unit.FT), exact_length(31.7, Unit.FT), exact_length(31.7, Unit.M)
    ('104\' 0"', '104.002624672 ft', '31.7 m')
    """
    if unit in {Unit.FT, Unit.IN}:
        text = format_length(metres, Show.FEET_INCHES)
        if abs(parse_length(text, unit) - metres) < _EXACT:
            return text
        unit = Unit.FT
    return f"{_figure(metres / unit.metres, 9)} {unit.value}"


def _coordinate(metres: float, unit: Unit) -> str:
    return f"{_figure(metres / unit.metres, 6)} {unit.value}"


def _figure(value: float, places: int) -> str:
    return f"{value:.{places}f}".rstrip("0").rstrip(".")


def _shifted(root: Branch, rise: float, unit: Unit) -> Iterator[Answer]:
    for place, node in _scalars(root, ()):
        if not any(_is_at(place, ending) for ending in _SHIFTED):
            continue
        try:
            level = parse_length(node.text, unit)
        except MeasureError:
            continue
        yield Answer(place=place, value=exact_length(level + rise, unit))


def _is_at(place: Place, ending: tuple[str | None, ...]) -> bool:
    last = place[-len(ending) :]
    return len(last) == len(ending) and all(
        wanted is None or step == wanted for step, wanted in zip(last, ending, strict=True)
    )


def _scalars(node: object, place: Place) -> Iterator[tuple[Place, Scalar]]:
    if isinstance(node, Scalar):
        yield place, node
    elif isinstance(node, Branch):
        for key, value in node.items():
            yield from _scalars(value, (*place, key))
    elif isinstance(node, list):
        for number, value in enumerate(node):
            yield from _scalars(value, (*place, number))
