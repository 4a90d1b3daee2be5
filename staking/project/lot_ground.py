"""The conductor's part for grid and ground: the one plane on which a lot is worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import InputError, Problem
from staking.notices import Notice, Severity, notice
from staking.site.ground_plane import (
    AS_SURVEYED,
    GroundPlane,
    ScaledCoordinates,
    survey_onto,
    survey_scaled,
)
from staking.site.plane_basis import (
    PlaneBasis,
    height_in_words,
    height_notices,
    plane_basis,
    unnamed_grid_notices,
)
from staking.site.site_request import Distances, PlaceByBearing, SiteAsked
from staking.units import Unit

if TYPE_CHECKING:
    from staking.plan import Plan
    from staking.planar import Array
    from staking.points import SurveyPoints
    from staking.site.grid_factor import GridFigures
    from staking.site.lot import KnownPoint, Site


@dataclass(frozen=True, slots=True, kw_only=True)
class LotGround:
    """How the survey of a lot and the ground go together.

    Parameters
    ----------
    plane
        How coordinates come onto the lot's plane and leave it.
    basis
        Where the plane touches the grid, and the height used.
    figures
        The grid against the ground there; None without a coordinate system and where the
        coordinates were scaled to the ground already.
    scaled
        How these were scaled, or None.
    notices
        Where the job and the coordinate system do not agree.
    """

    plane: GroundPlane
    basis: PlaneBasis
    figures: GridFigures | None = None
    scaled: ScaledCoordinates | None = None
    notices: tuple[Notice, ...] = ()


def lot_ground(
    asked: SiteAsked,
    surveys: Sequence[SurveyPoints],
    points: Mapping[str, KnownPoint],
    crs: str | None,
) -> LotGround:
    """Make the plane of ground distances of a lot, once and for every file.

    Parameters
    ----------
    asked
        The site section.
    surveys
        Its surveys, in their own coordinates.
    points
        Every point that the job names, by name, in the survey's coordinates.
    crs
        Their coordinate system, or None.

    Returns
    -------
    LotGround
        The plane and what it was made from.

    Raises
    ------
    InputError
        Where the system is none that land is surveyed in.
    """
    from staking import crs as reference
    from staking.crs_register import is_map_tiles
    from staking.site.grid_factor import refuse_factor, refuse_map_tiles

    boundary = np.array(
        [
            (each.northing, each.easting, each.elevation)
            for each in (points[name] for name in asked.boundary)
        ],
        dtype=float,
    ).reshape(-1, 3)
    basis = plane_basis(surveys[0], boundary, _building(asked, points), asked.height)
    if crs is None:
        return LotGround(plane=AS_SURVEYED, basis=basis)
    if is_map_tiles(crs):
        refuse_map_tiles(crs)
    if asked.distances is Distances.GROUND:
        return _scaled_ground(asked, basis, crs)
    figures = reference.grid_figures(basis.northing, basis.easting, basis.height, crs)
    inside = reference.in_area(basis.northing, basis.easting, crs)
    refuse_factor(figures.combined, crs, in_area=inside)
    plane = GroundPlane(factor=figures.combined, northing0=basis.northing, easting0=basis.easting)
    return LotGround(plane=plane, basis=basis, figures=figures)


def _scaled_ground(asked: SiteAsked, basis: PlaneBasis, crs: str) -> LotGround:
    # Coordinates that are ground distances already; where they were on the grid is known only
    # where the job says how they were scaled.
    from staking import crs as reference
    from staking.site.grid_factor import scaled_otherwise

    scaled = _scaled(asked)
    if scaled is None:
        return LotGround(plane=AS_SURVEYED, basis=basis)
    north, east = scaled.to_grid(np.array([(basis.northing, basis.easting)]))[0].tolist()
    figures = reference.grid_figures(north, east, basis.height, crs)
    told = scaled_otherwise(scaled.factor, figures.combined)
    return LotGround(plane=AS_SURVEYED, basis=basis, scaled=scaled, notices=told)


def _building(asked: SiteAsked, points: Mapping[str, KnownPoint]) -> tuple[float, float] | None:
    # About where the building stands: where the job puts it, else amid the points it is tied to.
    from staking.site.names import names_to_place

    if isinstance(asked.place, PlaceByBearing):
        return asked.place.northing, asked.place.easting
    tied = [points[name] for name in names_to_place(asked.place)]
    if not tied:
        return None
    return (
        sum(each.northing for each in tied) / len(tied),
        sum(each.easting for each in tied) / len(tied),
    )


def _scaled(asked: SiteAsked) -> ScaledCoordinates | None:
    if asked.combined_factor is None or asked.scaled_about is None:
        return None
    northing, easting = asked.scaled_about
    return ScaledCoordinates(factor=asked.combined_factor, northing=northing, easting=easting)


def scaled_alike(surveys: Sequence[SurveyPoints], asked: SiteAsked) -> tuple[SurveyPoints, ...]:
    """Bring files in latitude and longitude to the scaled coordinates of the lot's other files.

    Parameters
    ----------
    surveys
        The surveys as read: those in latitude and longitude are on the grid.
    asked
        The site section.

    Returns
    -------
    tuple of SurveyPoints
        The same; unchanged where the lot's coordinates are those of the grid.

    Raises
    ------
    InputError
        Where such a file stands beside scaled coordinates and the job does not say how these
        were scaled.
    """
    if asked.distances is Distances.GRID:
        return tuple(surveys)
    scaled = _scaled(asked)
    problems = [
        Problem(
            path=survey.name,
            message="the file is in latitude and longitude, and the job says distances: ground: "
            "coordinates that were scaled to the ground are no longer those of the grid",
            remedy="give combined_factor: and scaled_about: under site, or leave distances out",
        )
        for survey in surveys
        if _from_degrees(survey) and scaled is None
    ]
    if problems:
        raise InputError(*problems)
    return tuple(
        survey_scaled(survey, scaled) if scaled is not None and _from_degrees(survey) else survey
        for survey in surveys
    )


def _from_degrees(survey: SurveyPoints) -> bool:
    return any(each.kind == "projected" for each in survey.notices)


def onto_lot(
    site: Site | None, surveys: Sequence[SurveyPoints]
) -> tuple[tuple[SurveyPoints, ...], tuple[Notice, ...]]:
    """Bring further surveys onto the plane of the lot, or onto one of their own without a lot.

    Parameters
    ----------
    site
        The lot; None where the job has no survey.
    surveys
        What was surveyed since, as read.

    Returns
    -------
    tuple of SurveyPoints
        The same surveys on the plane.
    tuple of Notice
        What was made of their system where there is no lot.

    Raises
    ------
    InputError
        Where a file is in another coordinate system than the lot.
    """
    if not surveys:
        return (), ()
    if site is None:
        ground = lot_ground(SiteAsked(), surveys, {}, one_system(surveys))
        unit = Unit(surveys[0].unit)
        told = height_notices(ground.basis, unit) if ground.figures is not None else ()
        return tuple(survey_onto(each, ground.plane) for each in surveys), told
    problems = [
        Problem(
            path=survey.name,
            message=f"the file is in {survey.crs}, and the lot's survey in {site.crs}",
            remedy=f"write it out anew with `staking survey FILE --to-crs {site.crs} --to NEW`",
        )
        for survey in surveys
        if site.crs is not None and survey.crs is not None and survey.crs != site.crs
    ]
    if problems:
        raise InputError(*problems)
    alike = scaled_alike(surveys, site.asked)
    return tuple(survey_onto(each, site.plane) for each in alike), ()


def refuse_other_systems(surveys: Sequence[SurveyPoints]) -> None:
    """Refuse files that say they are in another coordinate system than the lot's.

    Parameters
    ----------
    surveys
        Surveys that were read in the lot's system.

    Raises
    ------
    InputError
        One problem for each file that names another.
    """
    from staking.survey.stated_system import OVERRULED

    problems = [
        Problem(
            path=survey.name,
            message=f"the file says that it is in {values['own']}, and the lot's survey is in "
            f"{values['crs']}",
            remedy=f"write it out anew with `staking survey FILE --to-crs {values['crs']} "
            "--to NEW`",
        )
        for survey in surveys
        for values in (dict(each.values) for each in survey.notices if each.kind == OVERRULED)
    ]
    if problems:
        raise InputError(*problems)


def one_system(surveys: Sequence[SurveyPoints]) -> str | None:
    """Find the coordinate system of several surveys.

    Parameters
    ----------
    surveys
        The surveys.

    Returns
    -------
    str or None
        None where none of them names one.

    Raises
    ------
    InputError
        Where they are in different ones.
    """
    said = dict.fromkeys(survey.crs for survey in surveys if survey.crs)
    if len(said) > 1:
        raise InputError(
            Problem(
                message=f"the surveys are in different coordinate systems: {', '.join(said)}",
                remedy="write them out in one with `staking survey FILE --to-crs EPSG:… --to NEW`; "
                "files in degrees go to the system of crs: under site",
                field="site survey",
            )
        )
    return next(iter(said), None)


def lot_ground_notices(site: Site, plan: Plan, ground: LotGround) -> tuple[Notice, ...]:
    """Say what grid and ground differ by, and whether the building stands where the grid is used.

    Parameters
    ----------
    site
        The lot, with the building placed or not.
    plan
        The building.
    ground
        The lot's plane and what it was made from.

    Returns
    -------
    tuple of Notice
        Without a coordinate system at most that none is given.
    """
    if site.crs is None:
        grid = site.asked.distances is Distances.GRID
        return unnamed_grid_notices(ground.basis, Unit(site.unit)) if grid else ()
    from staking import crs as reference

    corners = np.array([corner.point for each in plan.buildings for corner in each.corners])
    unit, basis = Unit(site.unit), ground.basis
    told = list(ground.notices)
    if site.grid is not None:
        from staking.site.grid_factor import ground_notices

        size = float(np.hypot(*(corners.max(axis=0) - corners.min(axis=0))))
        told += ground_notices(site.grid, size, height_in_words(basis, unit))
        told += height_notices(basis, unit)
    else:
        told.append(_scaled_notice(site))
    if site.placement is None:
        return tuple(told)
    told += _far_control(site, corners.mean(axis=0))
    middle = site.to_survey(corners.mean(axis=0)[None])[0]
    if not reference.in_area(float(middle[0]), float(middle[1]), site.crs):
        told.append(
            notice(
                "crs-area",
                "the building does not stand where {crs} is used: a wrong unit, swapped columns "
                "or another system",
                Severity.BROKEN,
                crs=site.crs,
            )
        )
    return tuple(told)


def _far_control(site: Site, middle: Array) -> tuple[Notice, ...]:
    # Only the farthest known point is looked at: the error grows with the square of the distance.
    from staking import crs as reference
    from staking.site.grid_factor import far_control
    from staking.site.lot import coordinates

    if site.grid is None or site.placement is None or not site.control or site.crs is None:
        return ()
    here = site.placement.to_site(middle[None])[0]
    places = coordinates(site.control)
    away = np.hypot(*(places - here).T)
    last = int(away.argmax())
    north, east = site.plane.back(places[last])[0].tolist()
    there = reference.grid_figures(north, east, site.grid.elevation, site.crs)
    return far_control(site.control[last].name, float(away[last]), there, site.plane.factor)


def _scaled_notice(site: Site) -> Notice:
    text = "the survey's coordinates are taken as scaled to the ground already, and nothing is "
    text += "scaled again"
    if site.scaled is None:
        text += (
            "; no latitude and longitude are written, since the job does not say by which factor "
            "and about which point they were scaled"
        )
    return notice("ground-coordinates", text, Severity.NOTE)
