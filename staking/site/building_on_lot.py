"""The lot: what the survey and the job say of it together, and what the building does to it.

Everything is on the lot's plane of ground distances. Shapes are brought onto the building grid,
where the numbers are small, and what is found there is said in northing and easting.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.lines import Array, crossed_pair, inverse
from staking.notices import Angle, Notice, notice
from staking.plan import StayClear
from staking.points import KnownPoint, SurveyPoints
from staking.site.deed.deed_lot import DeedLot
from staking.site.plane.grid_factor import GridFigures
from staking.site.plane.ground_plane import AS_SURVEYED, GroundPlane, ScaledCoordinates
from staking.site.site_request import Distances, SiteAsked
from staking.site.site_results import BoundaryLine, Clearance, HandDig, KeptOff, Placement

BEARING_DOUBT = math.radians(5 / 60)
"""Given bearings whose turns against the file's are farther apart than this are told, rad.

Two norths differ by the same turn for every line; five minutes, 1 3/4" in 100 ft, are well over
what rounding a bearing to the minute and a point to a hundredth comes to (common practice, no
source).
"""


@frozen
class NamedLine:
    """A buried line or a shape through surveyed points; `hand_dig` each side, m, or None."""

    name: str
    points: tuple[KnownPoint, ...]
    hand_dig: float | None = None


@frozen
class BuildingOnLot:
    """The building on its lot, all of it on the lot's plane of ground distances.

    Parameters
    ----------
    asked
        What the job says.
    surveys
        The survey files as named.
    files
        What those of surveyed points hold, in the same order.
    scans
        The ground round the building of those that are clouds or height grids.
    unit, columns, crs
        The survey's own: what coordinates are written in.
    plane
        How the survey's coordinates come onto the plane and leave it.
    scaled
        How coordinates that a surveyor scaled to the ground leave the grid of `crs`; None where
        they were not scaled, or nothing says how.
    placement
        Where the building is; None where the job does not place it.
    control
        The points to tape from or set up on, by name.
    boundary, lines
        The points round the lot in order, and the line from each to the next.
    deed
        The boundary by its deed; None where it runs through surveyed points.
    stay_clear, buried, keep
        What runs through surveyed points.
    clearances, kept_off, hand_dig
        What the building does to the boundary, to what is kept off, and to buried lines; empty
        without a placement.
    grid
        Grid against ground at the lot; None without a coordinate system and where the survey's
        coordinates were scaled to the ground already.
    notices
        The notices about all this.
    """

    asked: SiteAsked
    surveys: tuple[str, ...]
    unit: str
    files: tuple[SurveyPoints, ...] = ()
    scans: tuple[SurveyPoints, ...] = ()
    columns: tuple[str, ...] = ()
    crs: str | None = None
    plane: GroundPlane = AS_SURVEYED
    scaled: ScaledCoordinates | None = None
    placement: Placement | None = None
    control: tuple[KnownPoint, ...] = ()
    boundary: tuple[KnownPoint, ...] = ()
    lines: tuple[BoundaryLine, ...] = ()
    deed: DeedLot | None = None
    stay_clear: tuple[NamedLine, ...] = ()
    buried: tuple[NamedLine, ...] = ()
    keep: tuple[NamedLine, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    kept_off: tuple[KeptOff, ...] = ()
    hand_dig: tuple[HandDig, ...] = ()
    grid: GridFigures | None = None
    notices: tuple[Notice, ...] = ()

    @property
    def combined_factor(self) -> float | None:
        """Length between the survey's coordinates for one on the ground; None without a system."""
        return None if self.crs is None else self.plane.factor

    @property
    def is_on_the_grid(self) -> bool:
        """Whether the survey's coordinates are those of its coordinate system, not scaled ones."""
        return self.crs is not None and self.asked.distances is Distances.GRID

    @property
    def is_on_the_earth(self) -> bool:
        """Whether latitudes and longitudes can be given."""
        return self.is_on_the_grid or (self.crs is not None and self.scaled is not None)

    @property
    def from_paper(self) -> bool:
        """Whether nothing ties the lot to the ground: a deed alone, no survey."""
        return self.asked.from_paper

    def to_survey(self, points: Array) -> Array:
        """Give the coordinates of points of the building grid, as the survey counts them.

        Parameters
        ----------
        points
            ``(n, 2)`` x and y, m.

        Returns
        -------
        Array
            ``(n, 2)`` northing and easting in the survey's coordinates, m.

        Raises
        ------
        ValueError
            When the building is not placed.
        """
        if self.placement is None:
            raise ValueError("only a placed building has coordinates")
        return self.plane.back(self.placement.to_site(points))


def known_onto(point: KnownPoint, plane: GroundPlane) -> KnownPoint:
    """Bring a point of the survey onto the lot's plane of ground distances."""
    (north, east) = plane.onto(coordinates([point]))[0].tolist()
    return replace(point, northing=north, easting=east)


def coordinates(points: Sequence[KnownPoint]) -> Array:
    """Return the places of points: ``(n, 2)`` northing and easting, m."""
    return np.array([(each.northing, each.easting) for each in points], dtype=float).reshape(-1, 2)


def boundary_lines(
    boundary: Sequence[KnownPoint], asked: SiteAsked
) -> tuple[tuple[BoundaryLine, ...], tuple[Notice, ...]]:
    """Return the lines of the boundary with their bearings beside those given.

    Parameters
    ----------
    boundary
        Its points in order.
    asked
        The bearings that the job gives.

    Returns
    -------
    tuple of BoundaryLine
        From each point to the next; a bearing given the other way round is turned about.
    tuple of Notice
        ``north`` for the turn between two norths, or ``bearing`` where the lines turn unlike.

    Raises
    ------
    InputError
        When the boundary crosses itself or two of its points are one place.
    """
    if not boundary:
        return (), ()
    names = [each.name for each in boundary]
    places = coordinates(boundary)
    local = (places - places.mean(axis=0))[:, ::-1]
    pairs = list(zip(names, [*names[1:], names[0]], strict=True))
    refuse_boundary(local, pairs)
    given = {(each.start, each.end): each.azimuth for each in asked.bearings}
    lines = []
    for (start, end), one, other in zip(pairs, local, np.roll(local, -1, axis=0), strict=True):
        length, azimuth = inverse((one[0], one[1]), (other[0], other[1]))
        said = given.get((start, end))
        if said is None and (end, start) in given:
            said = given[end, start] + math.pi
        if said is not None and math.cos(said - azimuth) < 0:
            # A plat's bearings run round the lot either way; the line is the same.
            said += math.pi
        lines.append(
            BoundaryLine(
                start=start,
                end=end,
                length=length,
                azimuth=azimuth,
                given=None if said is None else said % (2 * math.pi),
            )
        )
    return tuple(lines), _bearing_notices(lines)


def refuse_boundary(
    local: Array,
    pairs: Sequence[tuple[str, str]],
    remedy: str = "name its points in order round the lot",
) -> None:
    """Refuse a boundary that crosses itself or has two points in one place.

    Parameters
    ----------
    local
        ``(n, 2)`` its corners near the origin, m.
    pairs
        The names of the two corners of each line.
    remedy
        What to do where it crosses itself.

    Raises
    ------
    InputError
        Naming the two lines or corners.
    """
    lengths = np.hypot(*(np.roll(local, -1, axis=0) - local).T)
    if lengths.min() <= 1e-3:
        start, end = pairs[int(lengths.argmin())]
        message = f"{start} and {end} of the boundary are in the same place"
        raise InputError(Problem(message=message, remedy="name each once", field="site boundary"))
    crossed = crossed_pair(local)
    if crossed is not None:
        one, other = ("-".join(pairs[i]) for i in crossed)
        raise InputError(
            Problem(
                message=f"the boundary crosses itself: {one} and {other} meet",
                remedy=remedy,
                field="site boundary",
            )
        )


def _bearing_notices(lines: Sequence[BoundaryLine]) -> tuple[Notice, ...]:
    compared = [
        (each, math.remainder(each.given - each.azimuth, 2 * math.pi))
        for each in lines
        if each.given is not None
    ]
    if not compared:
        return ()
    turns = [difference for _, difference in compared]
    if max(turns) - min(turns) > BEARING_DOUBT:
        listed = ", ".join(
            f"{each.start}-{each.end} by {_signed(difference)}" for each, difference in compared
        )
        return (
            notice(
                "bearing",
                "the bearings given do not all turn alike against the survey's ({turns} degrees): "
                "one of them is wrong, or a point is not the plat's",
                turns=listed,
            ),
        )
    turn = float(np.median(turns))
    if abs(turn) <= BEARING_DOUBT:
        return ()
    return (
        notice(
            "north",
            "the bearings given count from another north than the survey's, all turned {turn} "
            "{side} against it; the building's own is on the survey's",
            turn=Angle(abs(turn)),
            side="clockwise" if turn > 0 else "anticlockwise",
        ),
    )


def _signed(turn: float) -> str:
    return f"{round(math.degrees(turn), 3) + 0.0:+.3f}"


def stay_clear_shapes(shapes: Sequence[NamedLine], placement: Placement) -> tuple[StayClear, ...]:
    """Bring shapes through surveyed points onto the building grid.

    Parameters
    ----------
    shapes
        The shapes.
    placement
        Where the building is.

    Returns
    -------
    tuple of StayClear
        As the plan has them.
    """
    return tuple(
        StayClear(
            name=each.name,
            corners=tuple(
                (float(x), float(y)) for x, y in placement.to_building(coordinates(each.points))
            ),
        )
        for each in shapes
    )
