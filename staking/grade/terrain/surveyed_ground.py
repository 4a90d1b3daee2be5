"""The ground under the footing from surveyed points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.grade.stepping.cells import Patch
from staking.grade.terrain.beyond import reach_notices, window_beyond
from staking.grade.terrain.break_lines import BreakLine
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.triangulate import hull_of, spikes, window_surface, within_hull
from staking.notices import Length, Notice, NoticeKind, notice
from staking.plan import Point
from staking.units import FOOT

Floats = npt.NDArray[np.float64]


@frozen(eq=False)
class _LookedUp:
    low: Floats
    high: Floats
    outermost: Floats
    surface: GroundSurface

    def reaches(self, places: Floats) -> bool:
        return bool((places >= self.low).all() and (places <= self.high).all())


@frozen(eq=False)
class Survey:
    """All surveyed points with an elevation, and the break lines, on the building grid, m.

    Beyond them the ground is not known, or with `nearest` as high as the nearest of theirs.
    """

    points: Floats
    elevations: Floats
    lines: tuple[BreakLine, ...] = ()
    nearest: bool = False
    _windows: list[_LookedUp] = field(init=False, repr=False)
    """The last window in which places were looked up: boards, hubs and strings stand near."""

    def __post_init__(self) -> None:
        """Begin without a window."""
        object.__setattr__(self, "_windows", [])

    def at(self, places: Floats) -> Floats:
        """Give elevations anywhere, from a window round the places.

        Returns
        -------
        ndarray
            ``(k,)``, m; not-a-number where the ground is not known.
        """
        if not len(places):
            return np.empty(0)
        # The surface is that of all points in whatever window: the last one serves where it
        # reaches, and else grows to reach.
        for last in self._windows:
            if last.reaches(places):
                return last.surface.at(places)
            grown = np.concatenate((last.outermost, places))
            break
        else:
            grown = places
        window = self._window(grown)
        heights = window.surface.at(places)
        # A window wholly outside the survey ends before it is known to be the whole survey's.
        if not np.isnan(heights).all():
            self._windows[:] = [window]
        return heights

    def _window(self, places: Floats) -> _LookedUp:
        low, high = places.min(axis=0), places.max(axis=0)
        outermost = places[np.concatenate((places.argmin(axis=0), places.argmax(axis=0)))]
        box = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
        # Ground is carried on beyond the survey as far as a corner of the box may lie.
        region = np.concatenate((places, box)) if self.nearest else places
        surface = self.over(region, partly=True)
        return _LookedUp(low=low, high=high, outermost=outermost, surface=surface)

    def over(self, places: Floats, *, partly: bool = False) -> GroundSurface:
        """Give the surface over the box round some places.

        Parameters
        ----------
        places
            ``(k, 2)``, m.
        partly
            Whether some of them may lie where the ground is not known.

        Returns
        -------
        GroundSurface
            The same as that of all points.
        """
        known = (self.points, self.elevations, places, self.lines)
        if self.nearest:
            return window_beyond(*known)[0]
        return window_surface(*known, partly=partly)[0]


@frozen(eq=False)
class SurveyedGround:
    """A surface of surveyed points under the footing and the notices about it.

    Parameters
    ----------
    surface
        Right over the footing's bounding box.
    wider
        What gives elevations elsewhere: the survey, or the whole of a given surface.
    hull
        Of the surveyed ground, ``(h, 2)``, m, where it is carried on beyond; None where it ends
        there.
    is_scanned
        Whether its heights are a scan's: good for a first idea of the steps, not for a stake.
    """

    surface: GroundSurface
    notices: tuple[Notice, ...]
    low: Point
    high: Point
    wider: Survey | GroundSurface
    hull: Floats | None = None
    is_scanned: bool = False

    def is_beyond(self, places: Floats) -> npt.NDArray[np.bool_]:
        """Tell at which places the nearest surveyed ground is taken.

        Returns
        -------
        ndarray
            ``(k,)``.
        """
        if self.hull is None:
            return np.zeros(len(places), dtype=bool)
        return ~within_hull(self.hull, places)

    def at(self, places: Floats) -> Floats:
        """Give elevations under the footing and elsewhere.

        Returns
        -------
        ndarray
            ``(k,)``, m; not-a-number outside the survey.
        """
        near = ((places >= self.low) & (places <= self.high)).all(axis=1)
        found = np.full(len(places), np.nan)
        found[near] = self.surface.at(places[near])
        if not near.all():
            found[~near] = self.wider.at(places[~near])
        return found

    def lowest(self, patches: Sequence[Patch]) -> Floats:
        """Give the lowest elevation in each patch, m.

        Returns
        -------
        ndarray
            ``(k,)``.
        """
        return self.surface.lowest(patches)

    def highest(self, patches: Sequence[Patch]) -> Floats:
        """Give the highest elevation in each patch, m.

        Returns
        -------
        ndarray
            ``(k,)``.
        """
        return self.surface.highest(patches)


def surveyed_ground(
    points: Floats,
    elevations: Floats,
    footing: Sequence[Sequence[Point]],
    names: Sequence[str] | None = None,
    lines: Sequence[BreakLine] = (),
    *,
    nearest: bool = False,
) -> SurveyedGround:
    """Make the ground under a footing from a survey.

    Parameters
    ----------
    points, elevations
        Surveyed points on the building grid, ``(n, 2)``, and their elevations, ``(n,)``, m;
        points without an elevation (not-a-number) are passed over.
    footing
        Rings of the ground that is asked for, m.
    names
        Of the points, for the warnings; numbers from 1 where none are given.
    lines
        Break lines on the building grid: no triangle runs across one.
    nearest
        Whether ground beyond the survey is as high as the nearest of it.

    Returns
    -------
    SurveyedGround
        The Delaunay surface over the footing, the same as that of all points; ``spike``
        warnings for points over a foot off their neighbours, and ``ground-beyond`` where the
        footing reaches past them.

    Raises
    ------
    ComputationError
        Where the points make no surface, one place has two elevations, or the footing lies
        outside the survey; it says how far.
    """
    region = np.array([point for ring in footing for point in ring])
    given = np.flatnonzero(~np.isnan(elevations))
    survey = Survey(
        points=points[given], elevations=elevations[given], lines=tuple(lines), nearest=nearest
    )
    known = (survey.points, survey.elevations, region, survey.lines)
    if nearest:
        surface, own, sources = window_beyond(*known)
    else:
        surface, sources = window_surface(*known)
        own = surface
    hull = _hull(survey) if nearest else None
    outside = np.isnan(surface.at(region))
    if outside.any():
        reach = _distance_outside(np.vstack((survey.points, surface.points)), region[outside])
        raise ComputationError(
            f"the footing reaches {reach / FOOT:.1f} ft ({reach:.2f} m) outside the surveyed "
            "ground; survey that far, give readings at the corners, or write beyond: nearest "
            "under grade: to take the nearest surveyed ground"
        )

    def called(source: int) -> str:
        if source < 0:
            return f"a point of break line {survey.lines[-1 - source].name}"
        number = int(given[source])
        return f"point {number + 1 if names is None else names[number]}"

    told = [
        notice(
            NoticeKind.SPIKE,
            "{point} stands {height} off the ground round it; check its elevation",
            point=called(int(sources[i])),
            height=Length(abs(height)),
        )
        for i, height in spikes(own, region.min(axis=0), region.max(axis=0))
    ]
    told += reach_notices(hull, region) if hull is not None else []
    low, high = region.min(axis=0).tolist(), region.max(axis=0).tolist()
    return SurveyedGround(
        surface=surface,
        notices=tuple(told),
        low=(low[0], low[1]),
        high=(high[0], high[1]),
        wider=survey,
        hull=hull,
    )


def _hull(survey: Survey) -> Floats:
    return hull_of(np.vstack((survey.points, *(line.vertices[:, :2] for line in survey.lines))))


def _distance_outside(points: Floats, places: Floats) -> float:
    # How far the farthest place lies outside the points' hull.
    from shapely.geometry import Point as Spot
    from shapely.geometry import Polygon

    hull = Polygon(hull_of(points).tolist())
    return max(float(hull.distance(Spot(*place))) for place in places.tolist())
