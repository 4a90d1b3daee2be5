"""The lot's plane of ground distances, and how a survey's coordinates come onto it and leave it.

On a projected grid two points are not as far apart as a tape between them reads. Everything about
a lot is therefore worked out on one plane, on which lengths are those on the ground; it is made
once, when the survey is loaded.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from staking.frozen import frozen
from staking.lines import Array
from staking.plan import Point
from staking.points import SurveyPoints


@frozen
class GroundPlane:
    """A plane of ground distances, its axes along the survey's northing and easting.

    ``north = (northing - northing0) / factor`` and ``east = (easting - easting0) / factor``. As
    it stands without arguments the survey's own coordinates are ground already.

    Parameters
    ----------
    factor
        The combined factor: length on the survey's grid for one unit of length on the ground.
    northing0, easting0
        The survey's coordinates of the plane's own zero, m.

    Raises
    ------
    ValueError
        When a number is not finite or the factor is not above 0.
    """

    factor: float = 1.0
    northing0: float = 0.0
    easting0: float = 0.0

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.factor, self.northing0, self.easting0))):
            raise ValueError("a ground plane needs finite numbers")
        if self.factor <= 0:
            raise ValueError(f"{self.factor} is not a combined factor")

    @property
    def is_the_survey(self) -> bool:
        """Whether the survey's coordinates are those of the plane, so that nothing changes."""
        return self.factor == 1.0 and self.northing0 == 0.0 and self.easting0 == 0.0

    def onto(self, places: Array) -> Array:
        """Bring places from the survey's coordinates onto the plane.

        Parameters
        ----------
        places
            ``(n, 2)`` northing and easting in the survey's coordinates, m.

        Returns
        -------
        Array
            ``(n, 2)`` how far north and east of the plane's zero on the ground, m.

        Examples
        --------
        >>> plane = GroundPlane(factor=0.9996, northing0=4_600_000.0, easting0=500_000.0)
        >>> plane.onto(np.array([[4_600_000.0, 500_099.96]])).round(6).tolist()
        [[0.0, 100.0]]
        """
        rows = np.asarray(places, dtype=float).reshape(-1, 2)
        if self.is_the_survey:
            return rows
        return (rows - (self.northing0, self.easting0)) / self.factor

    def back(self, places: Array) -> Array:
        """Take places of the plane back to the survey's coordinates, the inverse of `onto`.

        Parameters
        ----------
        places
            ``(n, 2)`` north and east on the plane, m.

        Returns
        -------
        Array
            ``(n, 2)`` northing and easting in the survey's coordinates, m.
        """
        rows = np.asarray(places, dtype=float).reshape(-1, 2)
        if self.is_the_survey:
            return rows
        return rows * self.factor + (self.northing0, self.easting0)

    def point_back(self, place: Point) -> Point:
        """Take one place of the plane back, as `back` does.

        Parameters
        ----------
        place
            North and east on the plane, m.

        Returns
        -------
        Point
            Northing and easting in the survey's coordinates, m.
        """
        if self.is_the_survey:
            return place
        return (
            place[0] * self.factor + self.northing0,
            place[1] * self.factor + self.easting0,
        )


AS_SURVEYED = GroundPlane()
"""The plane of a survey whose coordinates are ground distances as they stand."""


@frozen
class ScaledCoordinates:
    """How a surveyor scaled grid coordinates to the ground about a point that did not move.

    Parameters
    ----------
    factor
        The combined factor: length on the grid for one unit of length on the ground.
    northing, easting
        Coordinates of the point, m, which are the same before and after.
    """

    factor: float
    northing: float
    easting: float

    def to_grid(self, places: Array) -> Array:
        """Take scaled coordinates back to the grid.

        Parameters
        ----------
        places
            ``(n, 2)`` northing and easting, scaled to the ground, m.

        Returns
        -------
        Array
            ``(n, 2)`` northing and easting on the grid, m.

        Examples
        --------
        >>> scaled = ScaledCoordinates(factor=0.9996, northing=1000.0, easting=2000.0)
        >>> scaled.to_grid(np.array([[2000.0, 2000.0]])).round(6).tolist()
        [[1999.6, 2000.0]]
        """
        fixed = (self.northing, self.easting)
        return (np.asarray(places, dtype=float).reshape(-1, 2) - fixed) * self.factor + fixed

    def to_ground(self, places: Array) -> Array:
        """Scale coordinates of the grid to the ground, the inverse of `to_grid`.

        Parameters
        ----------
        places
            ``(n, 2)`` northing and easting on the grid, m.

        Returns
        -------
        Array
            ``(n, 2)`` northing and easting, scaled to the ground, m.
        """
        fixed = (self.northing, self.easting)
        return (np.asarray(places, dtype=float).reshape(-1, 2) - fixed) / self.factor + fixed


def survey_onto(survey: SurveyPoints, plane: GroundPlane) -> SurveyPoints:
    """Bring everything that a survey holds onto a ground plane.

    Parameters
    ----------
    survey
        Points, lines and surfaces in the survey's coordinates, m.
    plane
        The plane of the lot.

    Returns
    -------
    SurveyPoints
        The same with `northing` and `easting` on the plane; elevations are not touched. Its `crs`
        is still that of the coordinates that were read.
    """
    return survey if plane.is_the_survey else _moved(survey, plane.onto)


def survey_scaled(survey: SurveyPoints, scaled: ScaledCoordinates) -> SurveyPoints:
    """Scale a survey on the grid to the ground, as the other files of its lot were.

    Parameters
    ----------
    survey
        Points, lines and surfaces on the grid, m.
    scaled
        How the others were scaled.

    Returns
    -------
    SurveyPoints
        The same, scaled; elevations are not touched.
    """
    return _moved(survey, scaled.to_ground)


def _moved(survey: SurveyPoints, move: Callable[[Array], Array]) -> SurveyPoints:
    def vertices(rows: Array) -> Array:
        return np.column_stack((move(rows[:, :2]), rows[:, 2]))

    places = move(np.column_stack((survey.northing, survey.easting)))
    return replace(
        survey,
        northing=places[:, 0].copy(),
        easting=places[:, 1].copy(),
        lines=tuple(replace(line, vertices=vertices(line.vertices)) for line in survey.lines),
        surfaces=tuple(
            replace(surface, vertices=vertices(surface.vertices)) for surface in survey.surfaces
        ),
    )
