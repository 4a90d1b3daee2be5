"""The survey points that a job names, and where."""

from __future__ import annotations

from collections.abc import Mapping

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
    named = list(names_to_place(asked.place).items())
    named += [(name, "site boundary") for name in asked.boundary]
    for shape in asked.stay_clear:
        named += [(name, f"site stay_clear {shape.name}") for name in shape.through]
    for line in asked.buried:
        named += [(name, f"site buried {line.name}") for name in line.through]
    fields: dict[str, str] = {}
    for name, field in named:
        fields.setdefault(name, field)
    return fields
