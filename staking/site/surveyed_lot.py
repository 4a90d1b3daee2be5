"""The lot made of its surveys, with the building placed on it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from staking.notices import Notice, notice
from staking.plan import Options, Plan
from staking.points import SurveyPoints
from staking.site.building_on_lot import (
    BuildingOnLot,
    KnownPoint,
    NamedLine,
    boundary_lines,
    coordinates,
    known_onto,
    stay_clear_shapes,
)
from staking.site.given_shapes import refuse_crossed_shapes, setback_notices
from staking.site.place_building import place
from staking.site.plane.ground_plane import survey_onto
from staking.site.plane.lot_plane import LotGround
from staking.site.site_request import SiteAsked
from staking.site.site_results import Placement
from staking.site.whereabouts import told_of, whereabouts
from staking.units import Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class LotSurveys:
    """The surveys of a lot, as read and on its plane of ground distances.

    Parameters
    ----------
    read, files
        The surveys in their own coordinates, and on the plane.
    points
        The points that the job names, on the plane.
    crs
        Their coordinate system, or None.
    ground
        The plane and what it was made from.
    """

    read: tuple[SurveyPoints, ...]
    files: tuple[SurveyPoints, ...]
    points: Mapping[str, KnownPoint]
    crs: str | None
    ground: LotGround


def surveys_on_lot(
    read: Sequence[SurveyPoints],
    given: Mapping[str, KnownPoint],
    crs: str | None,
    ground: LotGround,
) -> LotSurveys:
    """Bring the surveys of a lot, and the points named in them, onto its plane.

    Parameters
    ----------
    read, given
        The surveys and the named points in the surveys' own coordinates.
    crs, ground
        Their coordinate system, and the plane.

    Returns
    -------
    LotSurveys
        Both.
    """
    return LotSurveys(
        read=tuple(read),
        files=tuple(survey_onto(each, ground.plane) for each in read),
        points={name: known_onto(each, ground.plane) for name, each in given.items()},
        crs=crs,
        ground=ground,
    )


def marks_named(
    asked: SiteAsked, named: Collection[str], known: Sequence[str] = ()
) -> tuple[str, ...]:
    """Choose the points to tape from among those that the job names.

    Parameters
    ----------
    asked
        The site section.
    named
        The names, in order.
    known
        Names that are wanted beside those the job names.

    Returns
    -------
    tuple of str
        Marks that can be found again: no points of a buried line that serve nothing else.
    """
    buried = {name for each in asked.buried for name in each.through}
    kept = {*asked.boundary, *known}
    kept |= {name for each in asked.stay_clear for name in each.through}
    return tuple(name for name in named if name in kept or name not in buried)


def surveyed_lot(
    asked: SiteAsked,
    plan: Plan,
    options: Options,
    surveys: LotSurveys,
    control: tuple[KnownPoint, ...],
) -> tuple[BuildingOnLot, Plan]:
    """Place the building on its surveyed lot.

    Parameters
    ----------
    asked
        The site section.
    plan, options
        The rest of the job.
    surveys
        The surveys on the lot's plane.
    control
        The points to tape from.

    Returns
    -------
    tuple
        The lot, without what depends on boards; the plan with the shapes to keep off that run
        through surveyed points.

    Notes
    -----
    `staking.errors.InputError` comes for a boundary or a shape that crosses itself, and from the
    placement.
    """
    points, ground = surveys.points, surveys.ground
    boundary = tuple(points[name] for name in asked.boundary)
    lines, said = boundary_lines(boundary, asked)
    shapes = _lines_through(points, [(each.name, each.through) for each in asked.stay_clear])
    refuse_crossed_shapes({
        each.name: ([point.name for point in each.points], coordinates(each.points))
        for each in shapes
    })
    notices = [*told_of(surveys.files), *said]
    notices += setback_notices(asked.boundary, coordinates(boundary), asked)
    unit = asked.unit or surveys.read[0].unit
    placement = _place(asked, plan, options, surveys, Unit(unit))
    if placement is not None:
        notices += [*placement.notices, *whereabouts(plan, placement, surveys.read, ground.plane)]
        inside = stay_clear_shapes(shapes, placement)
        plan = replace(plan, stay_clear=(*plan.stay_clear, *inside))
    elif shapes or asked.buried or boundary:
        notices.append(_not_placed())
    buried = _lines_through(points, [(each.name, each.through) for each in asked.buried])
    site = BuildingOnLot(
        asked=asked,
        surveys=tuple(survey.name for survey in surveys.files),
        files=surveys.files,
        unit=unit,
        columns=_columns_of_places(asked.columns) or surveys.files[0].columns,
        crs=surveys.crs,
        plane=ground.plane,
        scaled=ground.scaled,
        grid=ground.figures,
        placement=placement,
        control=control,
        boundary=boundary,
        lines=lines,
        stay_clear=shapes,
        buried=tuple(
            replace(line, hand_dig=each.hand_dig)
            for line, each in zip(buried, asked.buried, strict=True)
        ),
        notices=tuple(notices),
    )
    return site, plan


def _lines_through(
    points: Mapping[str, KnownPoint], through: Sequence[tuple[str, Sequence[str]]]
) -> tuple[NamedLine, ...]:
    return tuple(
        NamedLine(name=name, points=tuple(points[each] for each in names))
        for name, names in through
    )


def _place(
    asked: SiteAsked, plan: Plan, options: Options, surveys: LotSurveys, unit: Unit
) -> Placement | None:
    if asked.place is None:
        return None
    places = {name: (each.northing, each.easting) for name, each in surveys.points.items()}
    return place(
        plan, asked.place, places, tape=options.tape, unit=unit, plane=surveys.ground.plane
    )


def _not_placed() -> Notice:
    return notice(
        "not-placed",
        "the survey is read, but place: does not say where the building stands on it, so "
        "nothing is known of its clearances, and strings do not keep off what is there",
    )


def _columns_of_places(columns: tuple[str, ...] | None) -> tuple[str, ...]:
    """Return the columns asked for; none where they are a drawing's, whose places are drawn."""
    of_drawings = {"point", "elevation", "description", "-"}
    return columns if columns and not {*columns} <= of_drawings else ()
