"""Where on a cloud or a height grid the lot is: all that is read of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from staking.errors import InputError, Problem
from staking.ground_scan import Window
from staking.lines import Array
from staking.plan import Options, Plan
from staking.points import KnownPoint, SurveyPoints
from staking.site.deed.deed_lot import lot_of_deed
from staking.site.place_building import place
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane
from staking.site.site_request import SiteAsked
from staking.site.site_results import Placement
from staking.units import Unit


def window_round(plan: Plan, placement: Placement, plane: GroundPlane = AS_SURVEYED) -> Window:
    """Give the box round a placed building.

    Parameters
    ----------
    plan, placement
        The building and where it stands.
    plane
        How the survey's coordinates come onto the lot's plane.

    Returns
    -------
    Window
        Northing and easting in the survey's coordinates, m, of all corners and pads.
    """
    points = [corner.point for each in plan.buildings for corner in each.corners]
    points += [pad.point for pad in plan.pads]
    return _box(plane.back(placement.to_site(np.array(points))))


def window_of_lot(
    asked: SiteAsked, plan: Plan, options: Options, points: Mapping[str, KnownPoint]
) -> Window:
    """Give the box round the building as it will be placed, or else round the boundary.

    Parameters
    ----------
    asked
        The site section.
    plan, options
        The rest of the job.
    points
        The survey points that the job names, in the survey's coordinates.

    Returns
    -------
    Window
        Northing and easting in the survey's coordinates, m.

    Raises
    ------
    InputError
        Where the job neither places the building nor gives a boundary, and from the placement.

    Notes
    -----
    The building is placed once more, exactly, when the lot's plane is known. What the two differ
    by is the grid against the ground over one lot, inches beside the margin of a window.
    """
    if asked.deed is not None:
        corners = lot_of_deed(asked.deed, points).boundary
        points = {**points, **{each.name: each for each in corners}}
    if asked.place is not None:
        placement = place(
            plan,
            asked.place,
            {name: (each.northing, each.easting) for name, each in points.items()},
            tape=options.tape,
            unit=Unit(asked.unit) if asked.unit is not None else Unit.M,
        )
        return window_round(plan, placement)
    if asked.corner_names:
        boundary = [points[name] for name in asked.corner_names]
        return _box(np.array([(each.northing, each.easting) for each in boundary]))
    raise InputError(
        Problem(
            field="site survey",
            message="a cloud or a height grid covers a district, and nothing says where in it the "
            "lot is",
            remedy="add place: or boundary: under site:",
        )
    )


def refuse_elsewhere(scans: Sequence[SurveyPoints], window: Window) -> None:
    """Refuse scanned ground none of which reaches the building.

    Parameters
    ----------
    scans
        What was read of each file, in the lot's system.
    window
        Where the building or the lot is, in the lot's system, m.

    Raises
    ------
    InputError
        With where each file is, in its own system, where no file has ground there.
    """
    if any(each.count for each in scans):
        return
    problems = []
    for each in scans:
        unit = Unit(each.unit)
        where = ""
        if each.scan is not None and each.scan.extent is not None:
            (south, north), (west, east), _ = (
                tuple(f"{end / unit.metres:,.0f}" for end in pair) for pair in each.scan.extent
            )
            where = f": it covers northing {south} to {north}, easting {west} to {east}"
        here = [
            f"{end / unit.metres:,.0f}"
            for end in ((window.south + window.north) / 2, (window.west + window.east) / 2)
        ]
        problems.append(
            Problem(
                path=each.name,
                message=f"there is no ground in this file round the building{where} {unit.plural}, "
                f"and the building stands at northing {here[0]}, easting {here[1]} in the lot's "
                "own system",
                remedy="get the part that the lot lies in; if this is it, the coordinate system or "
                "the unit of one of them is wrong",
            )
        )
    raise InputError(*problems)


def _box(places: Array) -> Window:
    (south, west), (north, east) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    return Window(south=south, north=north, west=west, east=east)
