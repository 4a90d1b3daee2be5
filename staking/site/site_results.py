"""What placing a building gives: turn and shift, their check, clearances. Metres, radians."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.kinds import LotPart
from staking.notices import Notice
from staking.plan import Point
from staking.site.deed.curves import Curve

Array = npt.NDArray[np.float64]


@frozen
class Residual:
    """A placed corner against its stake: placed minus staked, m."""

    corner: str
    point: str
    northing: float
    easting: float

    @property
    def distance(self) -> float:
        """How far apart they are, m."""
        return math.hypot(self.northing, self.easting)


@frozen
class Placement:
    """The building on the lot's plane of ground distances, by a turn and a shift, never a stretch.

    ``easting = easting0 + (x - x0) cos(turn) - (y - y0) sin(turn)`` and
    ``northing = northing0 + (x - x0) sin(turn) + (y - y0) cos(turn)``.

    Parameters
    ----------
    turn
        Anticlockwise from the survey's east to the building grid's x, rad.
    x0, y0
        The plan's own point the turn is made about, m; near the building, so nothing is lost.
    easting0, northing0
        Where that point lands on the plane, m.
    scale
        The scale a fit would have had, 1 where nothing measures it.
    residuals
        Of a fit; empty otherwise.
    notices
        The placement's own check and warnings.
    """

    turn: float
    x0: float
    y0: float
    easting0: float
    northing0: float
    scale: float = 1.0
    residuals: tuple[Residual, ...] = ()
    notices: tuple[Notice, ...] = ()

    def to_site(self, points: Array) -> Array:
        """Place points of the building grid.

        Parameters
        ----------
        points
            ``(n, 2)`` x and y, m.

        Returns
        -------
        Array
            ``(n, 2)`` north and east on the lot's plane, m; `GroundPlane.back` makes the survey's
            own northing and easting of them.
        """
        local = np.asarray(points, dtype=float).reshape(-1, 2) - (self.x0, self.y0)
        c, s = math.cos(self.turn), math.sin(self.turn)
        easting = self.easting0 + local[:, 0] * c - local[:, 1] * s
        northing = self.northing0 + local[:, 0] * s + local[:, 1] * c
        return np.stack((northing, easting), axis=1)

    def point_on_site(self, point: Point) -> Point:
        """Place one point of the building grid, as `to_site` does.

        Parameters
        ----------
        point
            x and y, m.

        Returns
        -------
        Point
            North and east on the lot's plane, m.
        """
        x, y = point[0] - self.x0, point[1] - self.y0
        c, s = math.cos(self.turn), math.sin(self.turn)
        return (self.northing0 + x * s + y * c, self.easting0 + x * c - y * s)

    def to_building(self, points: Array) -> Array:
        """Bring points of the lot's plane onto the building grid, the inverse of `to_site`.

        Parameters
        ----------
        points
            ``(n, 2)`` north and east on the plane, m.

        Returns
        -------
        Array
            ``(n, 2)`` x and y, m.
        """
        local = np.asarray(points, dtype=float).reshape(-1, 2)
        north, east = local[:, 0] - self.northing0, local[:, 1] - self.easting0
        c, s = math.cos(self.turn), math.sin(self.turn)
        return np.stack((self.x0 + east * c + north * s, self.y0 - east * s + north * c), axis=1)


@frozen
class Clearance:
    """The least distance from a boundary line to one part of the building, m.

    `what` is that part; `at` is where on the building, north and east on the plane;
    `setback` is None where none is asked for. A negative `distance` is over the line. `doubt` is
    how far off the line itself may be, where it was drawn from a deed and not found.
    """

    line: str
    what: LotPart
    distance: float
    setback: float | None
    at: tuple[float, float]
    doubt: float = 0.0

    @property
    def is_broken(self) -> bool:
        """Whether it is over the line or does not keep the setback, by more than 0.1 mm."""
        return self.distance < (self.setback or 0.0) - 1e-4

    @property
    def ok(self) -> bool:
        """Whether it keeps the setback, or stays inside, by all that the line may be off."""
        return self.distance >= (self.setback or 0.0) + self.doubt - 1e-4


@frozen
class HandDig:
    """A stretch of a wall's dig within a buried line's hand-dig width, stations in m."""

    name: str
    wall: str
    start: float
    end: float


@frozen
class KeptOff:
    """The least distance from a thing that is kept off to a part of the building, m.

    `what` is that part; the distance is nothing where the one stands on the other.
    """

    name: str
    what: LotPart
    distance: float
    least: float
    at: tuple[float, float]
    doubt: float = 0.0

    @property
    def is_broken(self) -> bool:
        """Whether the distance is not kept, by more than 0.1 mm."""
        return self.distance < self.least - 1e-4

    @property
    def ok(self) -> bool:
        """Whether it is kept by all that the places may be off."""
        return self.distance >= self.least + self.doubt - 1e-4


@frozen
class BoundaryLine:
    """A boundary line.

    Parameters
    ----------
    start, end
        Its corners.
    length
        On the ground, m; of a curve along the arc.
    azimuth
        On the survey's grid, rad; of a curve that of its chord.
    given
        The azimuth on record, or None.
    given_length
        The length on record, m, or None.
    curve
        The curve that it runs along, or None.
    through
        Places on the curve between its corners, north and east on the plane, m.
    doubt
        How far off the line may be, m, where a corner of it was drawn from a deed.
    """

    start: str
    end: str
    length: float
    azimuth: float
    given: float | None = None
    given_length: float | None = None
    curve: Curve | None = None
    through: tuple[tuple[float, float], ...] = ()
    doubt: float = 0.0

    @property
    def name(self) -> str:
        """Its corners with a dash between."""
        return f"{self.start}-{self.end}"
