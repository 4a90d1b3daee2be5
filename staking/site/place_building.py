"""Placing the building on the lot's plane: a turn and a shift, never a stretch."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from staking.notices import Azimuth, Length, Notice, Severity, notice
from staking.plan import Plan, Tape
from staking.site.fit import place_by_fit
from staking.site.known import Known, direction, normal_turn
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane
from staking.site.site_request import Place, PlaceAlong, PlaceByBearing, PlaceByFit, PlaceByTape
from staking.site.site_results import Placement
from staking.site.taped import place_by_tape
from staking.units import Unit

_DEFAULT_TAPE = Tape()


def place(
    plan: Plan,
    asked: Place,
    points: Mapping[str, tuple[float, float]],
    *,
    tape: Tape = _DEFAULT_TAPE,
    unit: Unit = Unit.M,
    plane: GroundPlane = AS_SURVEYED,
    from_paper: bool = False,
) -> Placement:
    """Place the building as the job asks.

    Parameters
    ----------
    plan
        The building on its own grid.
    asked
        One of the four ways.
    points
        The survey's points, ``(northing, easting)`` by name, on the lot's plane of ground
        distances, m.
    tape
        What tells a blunder from a tape's own error.
    unit
        The survey's own unit, in which coordinates are told.
    plane
        How the survey's coordinates come onto the plane.
    from_paper
        Whether the points are the corners of a deed, and there is no survey.

    Returns
    -------
    Placement
        Turn and shift with the way's own check and its warnings.

    Raises
    ------
    InputError
        When a corner, wall or point does not exist, or a fit has one pair only or a name twice.
    ComputationError
        When what is given has no direction, or tapes do not meet.
    """
    known = Known(plan=plan, points=points, unit=unit, plane=plane, from_paper=from_paper)
    match asked:
        case PlaceByBearing():
            return place_by_bearing(asked, known)
        case PlaceAlong():
            return place_along(asked, known)
        case PlaceByFit():
            return place_by_fit(asked, known, tape)
        case PlaceByTape():
            return place_by_tape(asked, known, tape)


def place_by_bearing(asked: PlaceByBearing, known: Known) -> Placement:
    """Place by one corner's coordinates and one wall's azimuth.

    Parameters
    ----------
    asked
        Corner, wall and azimuth.
    known
        Plan and survey.

    Returns
    -------
    Placement
        Its check says where the wall's far corner comes.

    Raises
    ------
    InputError
        When the corner or the wall does not exist.
    ComputationError
        When the wall has no length.
    """
    x, y = known.corner(asked.corner)
    start, end = known.wall(asked.wall)
    own = direction(known.corner(start), known.corner(end), (start, end))
    north, east = known.plane.onto(np.array([(asked.northing, asked.easting)]))[0].tolist()
    placement = Placement(
        turn=normal_turn(math.pi / 2 - asked.azimuth - own),
        x0=x,
        y0=y,
        easting0=east,
        northing0=north,
    )
    far = start if asked.corner == end else end
    return replace(placement, notices=(_lands(placement, far, known),))


def _lands(placement: Placement, corner: str, known: Known) -> Notice:
    there = placement.to_site(np.array([known.corner(corner)]))
    northing, easting = known.plane.back(there)[0].tolist()
    return notice(
        "far-corner",
        "corner {corner} comes to northing {northing}, easting {easting}",
        Severity.NOTE,
        corner=corner,
        northing=known.coordinate(northing),
        easting=known.coordinate(easting),
    )


def place_along(asked: PlaceAlong, known: Known) -> Placement:
    """Place a wall parallel to the line between two known points.

    Parameters
    ----------
    asked
        Wall, line, station and offset.
    known
        Plan and survey.

    Returns
    -------
    Placement
        Its check says the distances from both ends of the wall to both ends of the line.

    Raises
    ------
    InputError
        When the wall or a point does not exist.
    ComputationError
        When the two points are one place or the wall has no length.
    """
    start, end = known.wall(asked.wall)
    corner = known.corner(start)
    own = direction(corner, known.corner(end), (start, end))
    first, second = (known.point(name)[::-1] for name in asked.along)
    line = direction(first, second, asked.along)
    east, north = math.cos(line), math.sin(line)
    placement = Placement(
        turn=normal_turn(line - own),
        x0=corner[0],
        y0=corner[1],
        easting0=first[0] + asked.from_first * east + asked.offset * north,
        northing0=first[1] + asked.from_first * north - asked.offset * east,
    )
    told = [
        notice(
            "along-check",
            "wall {wall} runs {azimuth} on {grid}, as {first} to {second} does",
            Severity.NOTE,
            wall=f"{start}-{end}",
            grid=known.grid,
            azimuth=Azimuth((math.pi / 2 - line) % (2 * math.pi)),
            first=asked.along[0],
            second=asked.along[1],
        )
    ]
    for name in (start, end):
        at = placement.to_site(np.array([known.corner(name)]))[0, ::-1]
        told.append(
            notice(
                "along-check",
                "tape to check corner {corner}: {to_first} to {first}, {to_second} to {second}",
                Severity.NOTE,
                corner=name,
                to_first=Length(math.dist(at, first)),
                first=asked.along[0],
                to_second=Length(math.dist(at, second)),
                second=asked.along[1],
            )
        )
    return replace(placement, notices=tuple(told))
