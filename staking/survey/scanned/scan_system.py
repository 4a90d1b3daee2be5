"""In what the coordinates and heights of a cloud or a height grid are, and what speaks for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field

from staking import crs as reference
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Notice, Severity, notice
from staking.points import SurveySettings
from staking.survey.stated_system import overruled_system
from staking.survey.unit_words import IN_WORDS, unit_of_the_job
from staking.units import Unit


@frozen
class Stated:
    """What a file itself says of its system; None where it says nothing.

    Parameters
    ----------
    path
        The file as the user named it.
    crs, name
        The code of the grid; what the file calls it.
    unit, heights_unit
        By the name in the job file.
    is_geographic
        Whether it speaks of latitude and longitude.
    notices, doubts
        What is to be said of it, and what nothing may rest on until the user says what is right.
    """

    path: str
    crs: str | None = None
    name: str | None = None
    unit: str | None = None
    heights_unit: str | None = None
    is_geographic: bool = False
    notices: tuple[Notice, ...] = ()
    doubts: tuple[Problem, ...] = ()


@frozen
class ScanSystem:
    """In what a scan is read.

    Parameters
    ----------
    crs
        The grid's code, or None where nothing says.
    unit, heights_unit
        Of northing and easting, and of the heights, by the name in the job file.
    notices
        What was taken from where.
    """

    crs: str | None
    unit: Unit
    heights_unit: Unit
    notices: tuple[Notice, ...] = field(default=())


def settle_system(stated: Stated, settings: SurveySettings) -> ScanSystem:
    """Settle system and units from what the user says and what the file says.

    Parameters
    ----------
    stated
        What the file says.
    settings
        What the user says, which counts before it.

    Returns
    -------
    ScanSystem
        With doubts as notices where the file is only looked at.

    Raises
    ------
    InputError
        Where the file is in latitude and longitude, nothing tells its unit, or its own records
        contradict each other and more is asked of it than a look.
    """
    crs = settings.crs or stated.crs
    if crs is not None:
        info = reference.resolve(crs)
        crs = info.code
    if (crs is not None and info.is_geographic) or (crs is None and stated.is_geographic):
        raise InputError(
            Problem(
                path=stated.path,
                message="the coordinates are latitude and longitude, in which no length can be "
                "read",
                remedy="write it out anew in a grid of feet or metres",
            )
        )
    told = [*stated.notices, *overruled_system(stated.crs, settings.crs)]
    if stated.doubts and settings.crs is None:
        if not settings.is_listing:
            raise InputError(*stated.doubts)
        told += doubtful(stated.doubts)
    unit, said = _unit(stated, settings, crs)
    heights = settings.heights or stated.heights_unit
    if heights is None:
        heights = "m" if unit == "mm" else "ft" if unit == "in" else unit
        said += (
            notice(
                "heights-unit",
                "nothing says what the heights are in; they are read in {unit} like northing and "
                "easting",
                Severity.WARNING,
                unit=IN_WORDS[heights],
            ),
        )
    return ScanSystem(
        crs=crs,
        unit=Unit(unit),
        heights_unit=Unit(heights),
        notices=(*told, *said, *_apart(unit, heights)),
    )


def _unit(
    stated: Stated, settings: SurveySettings, crs: str | None
) -> tuple[str, tuple[Notice, ...]]:
    own = reference.resolve(crs).unit if crs is not None else stated.unit
    if settings.unit is not None:
        if own is None or own == settings.unit:
            return settings.unit, ()
        return settings.unit, (
            notice(
                "unit-against-crs",
                "northing and easting are read in {unit} as you gave it, and {crs} is in {own}",
                unit=IN_WORDS[settings.unit],
                crs=crs or "the file",
                own=IN_WORDS[own],
            ),
        )
    if own is not None:
        return own, (
            notice(
                "unit-from-crs",
                "the unit is that of {system}: {unit}",
                Severity.NOTE,
                system=crs or stated.name or "the file's own system",
                unit=IN_WORDS[own],
            ),
        )
    if settings.job_unit is not None:
        return settings.job_unit, (unit_of_the_job(settings.job_unit),)
    raise InputError(
        Problem(
            path=stated.path,
            message="nothing says in which unit northing and easting are",
            remedy="give --unit m, --unit ft or --unit us-ft (units: in a job), or --crs",
        )
    )


def _apart(unit: str, heights: str) -> Iterable[Notice]:
    if unit == heights:
        return ()
    return (
        notice(
            "elevation-unit",
            "the heights are in {level} and northing and easting in {unit}",
            Severity.NOTE,
            level=IN_WORDS[heights],
            unit=IN_WORDS[unit],
        ),
    )


def doubtful(problems: Iterable[Problem]) -> list[Notice]:
    """Say as notices what a job would be refused for."""
    return [
        notice("system-doubtful", "{what}", what=f"{each.message}; {each.remedy}")
        for each in problems
    ]


def doubts_of_place(
    stated: Stated, settings: SurveySettings, system: ScanSystem, middle: tuple[float, float]
) -> tuple[Problem, ...]:
    """Hold the middle of a scan against the area that its system is for.

    Parameters
    ----------
    stated, settings
        What the file and the user say.
    system
        In what it is read.
    middle
        Northing and easting, m.

    Returns
    -------
    tuple of Problem
        One where it lies elsewhere, with the unit in which it would lie there, if there is one.
    """
    if system.crs is None or reference.in_area(*middle, system.crs):
        return ()
    info = reference.resolve(system.crs)
    raw = [each / system.unit.metres for each in middle]
    fitting = [
        unit
        for unit in (Unit.US_FT, Unit.FT, Unit.M)
        if unit is not system.unit
        and reference.in_area(raw[0] * unit.metres, raw[1] * unit.metres, system.crs)
    ]
    place = (
        f"northing {raw[0]:,.0f}, easting {raw[1]:,.0f} {system.unit.plural} is not a place in the "
        f"area of {system.crs} ({info.name})"
    )
    if fitting:
        words = " or ".join(each.plural for each in fitting)
        return (
            Problem(
                path=stated.path,
                message=f"{place}; the same numbers in {words} are one, so the file's record of "
                "its unit or its system is probably wrong",
                remedy=f"give --unit {fitting[0].value} (units: beside cloud:), or the right --crs",
            ),
        )
    return (
        Problem(
            path=stated.path,
            message=f"{place}, so the system or the unit is wrong",
            remedy="give the right --crs, or --unit",
        ),
    )
