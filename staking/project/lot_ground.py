"""The conductor's part for grid and ground: what a coordinate system says of a lot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from staking.errors import InputError, Problem
from staking.site.plane.ground_plane import AS_SURVEYED, survey_onto
from staking.site.plane.lot_plane import (
    LotGround,
    building_middle,
    farthest_control,
    ground_as_scaled,
    ground_on_grid,
    lot_basis,
    lot_ground_notices,
    outside_notice,
    scaled_coordinates,
    where_on_grid,
)
from staking.site.plane.plane_basis import height_notices
from staking.site.plane.survey_systems import one_system, refuse_another_system, scaled_alike
from staking.site.site_request import Distances, SiteAsked
from staking.units import Unit

if TYPE_CHECKING:
    from staking.notices import Notice
    from staking.plan import Plan
    from staking.points import KnownPoint, SurveyPoints
    from staking.site.building_on_lot import BuildingOnLot


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

    Notes
    -----
    `staking.errors.InputError` comes for a system that is none that land is surveyed in.
    """
    from staking import crs as reference
    from staking.crs_register import is_map_tiles
    from staking.site.plane.grid_factor import refuse_factor, refuse_map_tiles

    basis = lot_basis(asked, surveys[0], points)
    if crs is None:
        return LotGround(plane=AS_SURVEYED, basis=basis)
    if is_map_tiles(crs):
        refuse_map_tiles(crs)
    here = where_on_grid(asked, basis)
    if here is None:
        return LotGround(plane=AS_SURVEYED, basis=basis)
    figures = reference.grid_figures(*here, basis.height, crs)
    scaled = scaled_coordinates(asked)
    if asked.distances is Distances.GROUND and scaled is not None:
        return ground_as_scaled(basis, scaled, figures)
    refuse_factor(figures.combined, crs, in_area=reference.in_area(*here, crs))
    return ground_on_grid(basis, figures)


def onto_lot(
    site: BuildingOnLot | None, surveys: Sequence[SurveyPoints]
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

    Notes
    -----
    `staking.errors.InputError` comes for a file in another coordinate system than the lot.
    """
    if not surveys:
        return (), ()
    if site is None:
        ground = lot_ground(SiteAsked(), surveys, {}, one_system(surveys))
        unit = Unit(surveys[0].unit)
        told = height_notices(ground.basis, unit) if ground.figures is not None else ()
        return tuple(survey_onto(each, ground.plane) for each in surveys), told
    refuse_another_system(surveys, site.crs)
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


def grid_notices(site: BuildingOnLot, plan: Plan, ground: LotGround) -> tuple[Notice, ...]:
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
    from staking import crs as reference
    from staking.site.plane.grid_factor import far_control

    told = [*lot_ground_notices(site, plan, ground)]
    if site.crs is None or site.placement is None:
        return tuple(told)
    last = farthest_control(site, plan)
    if last is not None and site.grid is not None:
        there = reference.grid_figures(last.northing, last.easting, site.grid.elevation, site.crs)
        told += far_control(last.name, last.away, there, site.plane.factor)
    north, east = site.to_survey(building_middle(plan))[0].tolist()
    if not reference.in_area(north, east, site.crs):
        told.append(outside_notice(site.crs))
    return tuple(told)
