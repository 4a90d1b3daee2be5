"""The survey points that a job names, and where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from staking.errors import InputError, Problem
from staking.site.site_request import Place, PlaceAlong, PlaceByFit, PlaceByTape, SiteAsked


def names_to_place(place: Place | None) -> Mapping[str, str]:
    """Return the survey points that the building is placed by.

    Parameters
    ----------
    place
        How it is placed, or None.

    Returns
    -------
    dict
        The field in words by point name; empty where it is placed by coordinates or not at all.
    """
    named: list[tuple[str, str]] = []
    match place:
        case PlaceAlong(along=along):
            named += [(name, "site place along") for name in along]
        case PlaceByFit(pairs=pairs):
            named += [(name, "site place fit") for _, name in pairs]
        case PlaceByTape(corners=corners):
            named += [(name, "site place tape") for each in corners for name, _ in each.ties]
        case _:
            pass
    return dict(named)


def names_asked(asked: SiteAsked) -> Mapping[str, str]:
    """Return the survey points that a job names, each with where it is first named.

    Parameters
    ----------
    asked
        The site section.

    Returns
    -------
    dict
        The field in words by point name, in the order of the section.
    """
    # Corners of a deed are places of the lot, wherever the survey stands.
    corners = () if asked.deed is None else asked.deed.deed.corners
    named = list(names_to_place(asked.place).items())
    named += [(name, "site boundary") for name in asked.boundary]
    if asked.deed is not None:
        named += [(point, f"site boundary pins {corner}") for corner, point in asked.deed.pins]
    for shape in asked.stay_clear:
        named += [(name, f"site stay_clear {shape.name}") for name in shape.through]
    for line in asked.buried:
        named += [(name, f"site buried {line.name}") for name in line.through]
    for kept in asked.keep:
        named += [(name, f"site keep {kept.name}") for name in kept.through]
    pins = () if asked.deed is None else [point for _, point in asked.deed.pins]
    named = [each for each in named if each[0] not in corners or each[0] in pins]
    fields: dict[str, str] = {}
    for name, field in named:
        fields.setdefault(name, field)
    return fields


def refuse_nameless(
    wanted: Mapping[str, str], named: Sequence[str], scanned: Sequence[str]
) -> None:
    """Refuse points by name where all of the surveys are scanned ground.

    Parameters
    ----------
    wanted
        The field in which each name is used, by name.
    named, scanned
        The files of surveyed points, and the clouds and height grids.

    Raises
    ------
    InputError
        With every field that names a point.
    """
    if named or not wanted:
        return
    raise InputError(
        *(
            Problem(
                field=field,
                message=f"there is no point {name}: the points of {' and '.join(scanned)} have no "
                "names",
                remedy="add the file of the surveyed points to survey: under site:",
            )
            for name, field in wanted.items()
        )
    )
