"""The lot made of its surveys, with the building placed on it."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.notices import Notice, notice
from staking.plan import Options, Plan
from staking.points import KnownPoint, SurveyPoints
from staking.site.building_on_lot import (
    BuildingOnLot,
    NamedLine,
    boundary_lines,
    coordinates,
    known_onto,
    refuse_boundary,
    stay_clear_shapes,
)
from staking.site.deed.deed_lot import DeedLot, lot_of_deed
from staking.site.given_shapes import refuse_crossed_shapes, setback_notices
from staking.site.known import LISTED
from staking.site.names import names_asked, names_to_place
from staking.site.place_building import place
from staking.site.plane.ground_plane import AS_SURVEYED, survey_onto
from staking.site.plane.lot_plane import LotGround
from staking.site.plane.plane_basis import HeightSource, PlaneBasis
from staking.site.site_request import SiteAsked
from staking.site.site_results import BoundaryLine, Placement
from staking.site.whereabouts import told_of, whereabouts
from staking.tolerances import SAME_POINT
from staking.units import Unit


@frozen
class LotSurveys:
    """The surveys of a lot, as read and on its plane of ground distances.

    Parameters
    ----------
    read, files
        The surveys of points in their own coordinates, and on the plane.
    scans_read, scans
        Clouds and height grids in the survey's coordinates, and on the plane.
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
    scans_read: tuple[SurveyPoints, ...] = ()
    scans: tuple[SurveyPoints, ...] = ()

    @property
    def every(self) -> tuple[SurveyPoints, ...]:
        """All files in the survey's coordinates, those of surveyed points first."""
        return (*self.read, *self.scans_read)


def surveys_on_lot(
    read: Sequence[SurveyPoints],
    given: Mapping[str, KnownPoint],
    crs: str | None,
    ground: LotGround,
    scans: Sequence[SurveyPoints] = (),
) -> LotSurveys:
    """Bring the surveys of a lot, and the points named in them, onto its plane.

    Parameters
    ----------
    read, given
        The surveys and the named points in the surveys' own coordinates.
    crs, ground
        Their coordinate system, and the plane.
    scans
        Clouds and height grids in the surveys' coordinates.

    Returns
    -------
    LotSurveys
        Both.
    """
    return LotSurveys(
        read=tuple(read),
        files=tuple(survey_onto(each, ground.plane) for each in read),
        scans_read=tuple(scans),
        scans=tuple(survey_onto(each, ground.plane) for each in scans),
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
    kept = {*asked.boundary_points, *known}
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
    ground = surveys.ground
    deed = None if asked.deed is None else lot_of_deed(asked.deed, surveys.points)
    points = {**surveys.points, **_corners(asked, deed, surveys)}
    boundary, lines, said = _boundary(asked, deed, points)
    shapes = _lines_through(points, [(each.name, each.through) for each in asked.stay_clear])
    refuse_crossed_shapes({
        each.name: ([point.name for point in each.points], coordinates(each.points))
        for each in shapes
    })
    notices = [*told_of(surveys.every), *said]
    notices += setback_notices(asked.corner_names, coordinates(boundary), asked)
    first = surveys.every[0].unit if surveys.every else asked.job_unit or options.unit
    unit = asked.unit or first
    placement = _place(asked, plan, options, points, Unit(unit), ground)
    if placement is not None:
        notices += [*placement.notices, *whereabouts(plan, placement, surveys.every, ground.plane)]
        inside = stay_clear_shapes(shapes, placement)
        plan = replace(plan, stay_clear=(*plan.stay_clear, *inside))
    elif shapes or asked.buried or boundary or asked.keep:
        notices.append(_not_placed(asked))
    buried = _lines_through(points, [(each.name, each.through) for each in asked.buried])
    site = BuildingOnLot(
        asked=asked,
        surveys=tuple(survey.name for survey in surveys.every),
        files=surveys.files,
        scans=surveys.scans,
        unit=unit,
        columns=_columns_of_places(asked.columns)
        or (surveys.every[0].columns if surveys.every else ()),
        crs=surveys.crs,
        plane=ground.plane,
        scaled=ground.scaled,
        grid=ground.figures,
        placement=placement,
        # On paper the corners are all there is to measure from.
        control=boundary if asked.from_paper else control,
        boundary=boundary,
        lines=lines,
        deed=deed,
        stay_clear=shapes,
        keep=_lines_through(points, [(each.name, each.through) for each in asked.keep]),
        buried=tuple(
            replace(line, hand_dig=each.hand_dig)
            for line, each in zip(buried, asked.buried, strict=True)
        ),
        notices=tuple(notices),
    )
    return site, plan


def _columns_of_places(columns: tuple[str, ...] | None) -> tuple[str, ...]:
    """Return the columns asked for; none where they are a drawing's, whose places are drawn."""
    of_drawings = {"point", "elevation", "description", "-"}
    return columns if columns and not {*columns} <= of_drawings else ()


def _lines_through(
    points: Mapping[str, KnownPoint], through: Sequence[tuple[str, Sequence[str]]]
) -> tuple[NamedLine, ...]:
    return tuple(
        NamedLine(name=name, points=tuple(points[each] for each in names))
        for name, names in through
    )


def _place(
    asked: SiteAsked,
    plan: Plan,
    options: Options,
    points: Mapping[str, KnownPoint],
    unit: Unit,
    ground: LotGround,
) -> Placement | None:
    if asked.place is None:
        return None
    places = {name: (each.northing, each.easting) for name, each in points.items()}
    return place(
        plan,
        asked.place,
        places,
        tape=options.tape,
        unit=unit,
        plane=ground.plane,
        from_paper=asked.from_paper,
    )


def _boundary(
    asked: SiteAsked, deed: DeedLot | None, points: Mapping[str, KnownPoint]
) -> tuple[tuple[KnownPoint, ...], tuple[BoundaryLine, ...], tuple[Notice, ...]]:
    """Give the corners of the lot, the lines between them, and the notices about them."""
    if deed is None:
        boundary = tuple(points[name] for name in asked.boundary)
        return boundary, *boundary_lines(boundary, asked)
    places = coordinates(deed.boundary)
    refuse_boundary(
        (places - places.mean(axis=0))[:, ::-1],
        deed.deed.lines,
        "compare its courses with the deed: a bearing is wrong",
    )
    from staking.site.deed.deed_notices import deed_notices

    return deed.boundary, deed.lines, deed_notices(deed)


def _corners(
    asked: SiteAsked, deed: DeedLot | None, surveys: LotSurveys
) -> Mapping[str, KnownPoint]:
    """Give the corners of a deed by name; a name that means a survey point too is refused."""
    if deed is None:
        return {}
    corners = {each.name: each for each in deed.boundary}
    used = {
        *names_to_place(asked.place),
        *(name for each in asked.stay_clear for name in each.through),
        *(name for each in asked.buried for name in each.through),
        *(name for each in asked.keep for name in each.through),
    }
    problems = []
    for file in surveys.files:
        for name, north, east in zip(file.names, file.northing, file.easting, strict=True):
            corner = corners.get(str(name))
            if corner is None or corner.name not in used:
                continue
            if math.hypot(north - corner.northing, east - corner.easting) > SAME_POINT:
                problems.append(
                    Problem(
                        field="site boundary deed",
                        message=f"{name} is a corner of the deed and, elsewhere, a point of "
                        f"{file.name}, and the job names it",
                        remedy="give the corners names of their own by names: under boundary",
                    )
                )
    if problems:
        raise InputError(*problems)
    return corners


def _not_placed(asked: SiteAsked) -> Notice:
    lot = "deed" if asked.from_paper else "survey"
    where = "the lot" if asked.from_paper else "it"
    return notice(
        "not-placed",
        f"the {lot} is read, but place: does not say where the building stands on {where}, so "
        "nothing is known of its clearances, and strings do not keep off what is there",
    )


def surveys_of_paper(asked: SiteAsked, known: Sequence[str] = ()) -> LotSurveys:
    """Give the surveys of a lot that has none: what is known is its deed.

    Parameters
    ----------
    asked
        The site section.
    known
        Names that are wanted beside those the job names.

    Returns
    -------
    LotSurveys
        No points: the corners of the deed are added where the boundary is made.

    Raises
    ------
    InputError
        For every name that is not a corner of the deed.
    """
    corners = asked.corner_names
    wanted = dict.fromkeys(known, "known point") | dict(names_asked(asked))
    problems = [
        Problem(
            field=field,
            message=f"there is no point {name}: the job has no survey, and the deed's corners are "
            f"{', '.join(corners[:LISTED])}",
            remedy="name one of them, or add survey: and the file's name",
        )
        for name, field in wanted.items()
        if name not in corners
    ]
    if problems:
        raise InputError(*problems)
    basis = PlaneBasis(northing=0.0, easting=0.0, height=None, source=HeightSource.UNKNOWN)
    return LotSurveys(
        read=(),
        files=(),
        points={},
        crs=None,
        ground=LotGround(plane=AS_SURVEYED, basis=basis),
    )
