"""A boundary given by its deed: its courses read, each fault with the words it stands in."""

from __future__ import annotations

from staking.deed import Course, Deed
from staking.errors import MeasureError
from staking.job.keys.site_keys import DeedKeys
from staking.job.tree.faults import Faults
from staking.job.tree.source import Place
from staking.measure.deed.course import read_course
from staking.measure.deed.description import Description, in_its_words, read_description
from staking.measure.lengths import Unit
from staking.site.site_request import DeedAsked

FEWEST = 3
"""A lot has so many courses at least, or two where one is a curve; closed by nothing less."""

_TIE = "tie "


def read_deed(keys: DeedKeys, unit: Unit, faults: Faults) -> DeedAsked | None:
    """Read the deed of a lot.

    Parameters
    ----------
    keys
        What is sound of the section.
    unit
        What a bare number is in.
    faults
        Where faults are noted: a course that is not understood or not computed, too few of them,
        names that do not fit.

    Returns
    -------
    DeedAsked or None
        None where a course cannot be used.
    """
    place = (*keys.place, "deed")
    before = len(faults.problems)
    if keys.deed.is_list:
        courses, ties = _listed(keys.deed.texts, place, unit, faults)
        description = None
    else:
        description = _pasted(keys.deed.texts[0], place, unit, faults)
        courses, ties = ((), ()) if description is None else (description.courses, description.ties)
    if len(faults.problems) > before or faults.touched(place):
        return None
    if len(courses) < FEWEST:
        faults.add(
            place,
            f"there {'is one course' if len(courses) == 1 else f'are {len(courses)} courses'} "
            "round the lot, where three or more are due",
            "give all courses, from the first corner back to it",
        )
        return None
    corners = _names(keys, len(courses), faults)
    pins = _pins(keys, corners, faults)
    deed = Deed(
        courses=courses,
        corners=corners,
        ties=ties,
        basis=keys.basis or (None if description is None else description.basis),
        stated_area=None if description is None else description.stated_area,
        stated_within=0.0 if description is None else description.stated_within,
        opening="" if description is None else description.opening,
    )
    return DeedAsked(deed=deed, pins=pins)


def _listed(
    texts: tuple[str, ...], place: Place, unit: Unit, faults: Faults
) -> tuple[tuple[Course, ...], tuple[Course, ...]]:
    courses: list[Course] = []
    ties: list[Course] = []
    for number, text in enumerate(texts):
        is_tie = text.strip().casefold().startswith(_TIE)
        try:
            course = read_course(text.strip()[len(_TIE) if is_tie else 0 :], unit)
        except MeasureError as error:
            faults.add_error((*place, number), error)
            continue
        if is_tie and courses:
            faults.add(
                (*place, number),
                f"{text} is a tie behind the first course",
                "ties lead to the first corner and stand before it",
            )
        (ties if is_tie else courses).append(course)
    return tuple(courses), tuple(ties)


def _pasted(text: str, place: Place, unit: Unit, faults: Faults) -> Description | None:
    try:
        description = read_description(text, unit)
    except MeasureError as error:
        faults.add_error(place, error)
        return None
    for words, fault in description.faults:
        faults.add(place, in_its_words(words, fault), fault.remedy)
    return description


def _names(keys: DeedKeys, count: int, faults: Faults) -> tuple[str, ...]:
    if not keys.names:
        return tuple(str(number) for number in range(1, count + 1))
    names = tuple(keys.names)
    twice = [name for name in dict.fromkeys(names) if names.count(name) > 1]
    if len(names) != count:
        faults.add(
            (*keys.place, "names"),
            f"{len(names)} names for {count} corners",
            "name each corner once: there are as many as courses",
        )
    elif twice:
        faults.add((*keys.place, "names"), f"{twice[0]} is named twice", "name each corner once")
    else:
        return names
    return tuple(str(number) for number in range(1, count + 1))


def _pins(keys: DeedKeys, corners: tuple[str, ...], faults: Faults) -> tuple[tuple[str, str], ...]:
    pins: dict[str, str] = {}
    for corner, point in keys.pins.items():
        if corner not in corners:
            faults.add(
                (*keys.place, "pins", corner),
                f"{corner} is not a corner of the deed",
                f"name one of {', '.join(corners[:8])}{' …' if len(corners) > 8 else ''}",
            )
        elif point in pins.values():
            faults.add(
                (*keys.place, "pins", corner),
                f"point {point} is the pin of two corners",
                "give each corner its own",
            )
        else:
            pins[corner] = point
    return tuple(pins.items())
