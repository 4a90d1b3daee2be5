"""The one plane of ground distances on which a lot is worked out, and what is said of it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from staking.frozen import frozen
from staking.lines import Array
from staking.notices import Notice, NoticeKind, Severity, notice
from staking.plan import Plan
from staking.points import KnownPoint, SurveyPoints
from staking.site.building_on_lot import BuildingOnLot, coordinates
from staking.site.names import names_to_place
from staking.site.plane.grid_factor import (
    GridFigures,
    ground_notices,
    scaled_otherwise,
)
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane, ScaledCoordinates
from staking.site.plane.plane_basis import (
    PlaneBasis,
    height_in_words,
    height_notices,
    plane_basis,
    unnamed_grid_notices,
)
from staking.site.site_request import Distances, PlaceByBearing, SiteAsked
from staking.units import Unit


@frozen
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


def _building(asked: SiteAsked, points: Mapping[str, KnownPoint]) -> tuple[float, float] | None:
    # About where the building stands: where the job puts it, else amid the points it is tied to.

    if isinstance(asked.place, PlaceByBearing):
        return asked.place.northing, asked.place.easting
    tied = [points[name] for name in names_to_place(asked.place) if name in points]
    if not tied:
        return None
    return (
        sum(each.northing for each in tied) / len(tied),
        sum(each.easting for each in tied) / len(tied),
    )


def lot_basis(
    asked: SiteAsked, survey: SurveyPoints, points: Mapping[str, KnownPoint]
) -> PlaneBasis:
    """Choose where the plane of a lot touches the grid, and its height.

    Parameters
    ----------
    asked
        The site section.
    survey
        The first of its surveys, in its own coordinates.
    points
        Every point that the job names, by name, in the survey's coordinates.

    Returns
    -------
    PlaneBasis
        As `plane_basis` gives it.
    """
    boundary = np.array(
        [
            (each.northing, each.easting, each.elevation)
            for each in (points[name] for name in asked.boundary_points)
        ],
        dtype=float,
    ).reshape(-1, 3)
    return plane_basis(survey, boundary, _building(asked, points), asked.height)


def where_on_grid(asked: SiteAsked, basis: PlaneBasis) -> tuple[float, float] | None:
    """Give where on the grid the plane of a lot touches it.

    Parameters
    ----------
    asked
        The site section.
    basis
        Where it touches in the survey's coordinates.

    Returns
    -------
    tuple or None
        Northing and easting on the grid, m; None where the coordinates were scaled to the ground
        and the job does not say how.
    """
    if asked.distances is not Distances.GROUND:
        return basis.northing, basis.easting
    scaled = scaled_coordinates(asked)
    if scaled is None:
        return None
    north, east = scaled.to_grid(np.array([(basis.northing, basis.easting)]))[0].tolist()
    return north, east


def ground_on_grid(basis: PlaneBasis, figures: GridFigures) -> LotGround:
    """Make the plane of a lot whose coordinates are those of the grid.

    Parameters
    ----------
    basis
        Where the plane touches the grid.
    figures
        The grid against the ground there.

    Returns
    -------
    LotGround
        With the combined factor there.
    """
    plane = GroundPlane(factor=figures.combined, northing0=basis.northing, easting0=basis.easting)
    return LotGround(plane=plane, basis=basis, figures=figures)


def ground_as_scaled(
    basis: PlaneBasis, scaled: ScaledCoordinates, figures: GridFigures
) -> LotGround:
    """Take the coordinates of a lot as they are: they are ground distances already.

    Parameters
    ----------
    basis
        Where the lot is.
    scaled
        How they were scaled.
    figures
        The grid against the ground there.

    Returns
    -------
    LotGround
        With a notice where they were scaled by another factor than the grid's there.
    """
    told = scaled_otherwise(scaled.factor, figures.combined)
    return LotGround(plane=AS_SURVEYED, basis=basis, scaled=scaled, notices=told)


def building_middle(plan: Plan) -> Array:
    """Give the mean of a plan's corners on the building grid, m, shape ``(1, 2)``."""
    return np.atleast_2d(_corners(plan).mean(axis=0))


def _corners(plan: Plan) -> Array:
    return np.array([corner.point for each in plan.buildings for corner in each.corners])


@frozen
class FarthestControl:
    """The known point farthest from the building.

    `away` is its distance on the lot's plane, `northing` and `easting` its place in the survey's
    own coordinates, m.
    """

    name: str
    away: float
    northing: float
    easting: float


def farthest_control(site: BuildingOnLot, plan: Plan) -> FarthestControl | None:
    """Find the known point farthest from the building.

    Parameters
    ----------
    site
        The lot with the building placed.
    plan
        The building.

    Returns
    -------
    FarthestControl or None
        None where there is none, or nothing holds the grid against the ground.

    Notes
    -----
    Only that point need be looked at: what one factor for the lot leaves out grows with the square
    of the distance.
    """
    if site.grid is None or site.placement is None or not site.control:
        return None
    here = site.placement.to_site(building_middle(plan))[0]
    places = coordinates(site.control)
    away = np.hypot(*(places - here).T)
    last = int(away.argmax())
    north, east = site.plane.back(places[last])[0].tolist()
    return FarthestControl(
        name=site.control[last].name, away=float(away[last]), northing=north, easting=east
    )


def lot_ground_notices(site: BuildingOnLot, plan: Plan, ground: LotGround) -> tuple[Notice, ...]:
    """Say what grid and ground differ by.

    Parameters
    ----------
    site
        The lot.
    plan
        The building.
    ground
        The lot's plane and what it was made from.

    Returns
    -------
    tuple of Notice
        Without a coordinate system at most that none is given.
    """
    unit, basis = Unit(site.unit), ground.basis
    if site.crs is None:
        grid = site.asked.distances is Distances.GRID
        return unnamed_grid_notices(basis, unit) if grid else ()
    if site.grid is None:
        return (*ground.notices, _scaled_notice(site))
    corners = _corners(plan)
    size = float(np.hypot(*(corners.max(axis=0) - corners.min(axis=0))))
    return (
        *ground.notices,
        *ground_notices(site.grid, size, height_in_words(basis, unit)),
        *height_notices(basis, unit),
    )


def outside_notice(crs: str) -> Notice:
    """Say that the building does not stand where a coordinate system is used."""
    return notice(
        NoticeKind.OUTSIDE_ITS_SYSTEM,
        "the building does not stand where {crs} is used: a wrong unit, swapped columns "
        "or another system",
        Severity.BROKEN,
        crs=crs,
    )


def scaled_coordinates(asked: SiteAsked) -> ScaledCoordinates | None:
    """Give how the job says its coordinates were scaled to the ground; None where it does not."""
    if asked.combined_factor is None or asked.scaled_about is None:
        return None
    northing, easting = asked.scaled_about
    return ScaledCoordinates(factor=asked.combined_factor, northing=northing, easting=easting)


def _scaled_notice(site: BuildingOnLot) -> Notice:
    text = "the survey's coordinates are taken as scaled to the ground already, and nothing is "
    text += "scaled again"
    if site.scaled is None:
        text += (
            "; no latitude and longitude are written, since the job does not say by which factor "
            "and about which point they were scaled"
        )
    return notice("ground-coordinates", text, Severity.NOTE)
