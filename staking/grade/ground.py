"""The ground under the footing: from surveyed points, or from readings along the walls."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.grade.cells import Patch
from staking.grade.network import Network
from staking.grade.surface import Surface
from staking.grade.triangulate import spikes, window_surface
from staking.notices import Length, Notice, notice
from staking.plan import Point
from staking.tolerances import ON_LINE, SAME_POINT
from staking.units import FOOT

Floats = npt.NDArray[np.float64]

FAR_APART = 10 * FOOT
"""Readings farther apart than this may miss a hollow, m (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SurveyedGround:
    """A surface of surveyed points under the footing and what is to be told of it."""

    surface: Surface
    notices: tuple[Notice, ...]


def surveyed_ground(
    points: Floats,
    elevations: Floats,
    footing: Sequence[Sequence[Point]],
    names: Sequence[str] | None = None,
) -> SurveyedGround:
    """Make the ground under a footing from a survey.

    Parameters
    ----------
    points, elevations
        Surveyed points on the building grid, ``(n, 2)``, and their elevations, ``(n,)``, m.
    footing
        Rings of the ground that is asked for, m.
    names
        Of the points, for the warnings; numbers from 1 where none are given.

    Returns
    -------
    SurveyedGround
        The Delaunay surface over the footing, the same as that of all points; ``spike``
        warnings for points over a foot off their neighbours.

    Raises
    ------
    ComputationError
        Where the points make no surface, or the footing lies outside it; it says how far.
    """
    region = np.array([point for ring in footing for point in ring])
    surface, numbers = window_surface(points, elevations, region)
    inside = surface.at(region)
    if np.isnan(inside).any():
        away = _distance_outside(surface.points, region[np.isnan(inside)])
        raise ComputationError(
            f"the footing reaches {away / FOOT:.1f} ft ({away:.2f} m) outside the surveyed "
            "ground; survey that far, or give readings at the corners"
        )
    told = [
        notice(
            "spike",
            "{point} stands {height} off the ground round it; check its elevation",
            point=f"point {numbers[i] + 1}" if names is None else names[numbers[i]],
            height=Length(abs(height)),
        )
        for i, height in spikes(surface)
    ]
    return SurveyedGround(surface=surface, notices=tuple(told))


def _distance_outside(points: Floats, places: Floats) -> float:
    # How far the farthest place lies outside the points' hull.
    from shapely.geometry import MultiPoint
    from shapely.geometry import Point as Spot

    hull = MultiPoint(points.tolist()).convex_hull
    return max(float(hull.distance(Spot(*place))) for place in places.tolist())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """Ground known along the walls: straight between readings, level across the width.

    Parameters
    ----------
    along
        For each wall its stations and elevations, m, stations ascending from end to end.
    between
        The surface through all readings, for pads.
    """

    along: Mapping[str, tuple[Floats, Floats]]
    between: Surface | None

    def lowest(self, patches: Sequence[Patch]) -> Floats:
        """Give the lowest elevation in each patch.

        Returns
        -------
        ndarray
            ``(k,)``, m.
        """
        return np.array([float(self._heights(patch).min()) for patch in patches])

    def highest(self, patches: Sequence[Patch]) -> Floats:
        """Give the highest elevation in each patch.

        Returns
        -------
        ndarray
            ``(k,)``, m.
        """
        return np.array([float(self._heights(patch).max()) for patch in patches])

    def _heights(self, patch: Patch) -> Floats:
        if patch.wall not in self.along:
            if self.between is None:
                raise ComputationError(f"{patch.wall}: no readings show the ground there")
            heights = self.between.at(np.array(patch.ring))
            if np.isnan(heights).any():
                raise ComputationError(f"{patch.wall}: it lies outside the readings; read there")
            return heights
        stations, elevations = self.along[patch.wall]
        ends = np.interp([patch.start, patch.end], stations, elevations)
        within = (stations > patch.start) & (stations < patch.end)
        return np.concatenate((ends, elevations[within]))


def ground_from_readings(
    network: Network,
    corners: Mapping[str, float],
    along: Sequence[tuple[str, float, float]] = (),
) -> tuple[Readings, tuple[Notice, ...]]:
    """Make the ground from readings at corners and at points along walls.

    Parameters
    ----------
    network
        The walls.
    corners
        Elevation at each corner, m.
    along
        Wall (either way round), station from its first corner as named, and elevation, m.

    Returns
    -------
    tuple
        The ground, and ``readings-apart`` for walls whose readings stand over 10 feet apart.
        Interior lines run straight between the readings of the walls they end on.

    Raises
    ------
    ComputationError
        Where a corner has no reading, a station is off its wall, or one place has two
        elevations.
    """
    own: dict[str, list[tuple[float, float]]] = {}
    for wall, station, elevation in along:
        strand = network.strand(wall)
        if not -ON_LINE <= station <= strand.length + ON_LINE:
            raise ComputationError(f"the reading on {wall} is past the wall's end; check it")
        here = station if strand.name == wall else strand.length - station
        own.setdefault(strand.name, []).append((here, elevation))
    missing = sorted(
        {
            network.nodes[strand.nodes[end][0]]
            for strand in network.strands
            if strand.kind == "wall"
            for end in (0, -1)
        }
        - set(corners)
    )
    if missing:
        raise ComputationError(f"no reading at {', '.join(missing)}; read the ground there")
    profiles: dict[str, tuple[Floats, Floats]] = {}
    known = {network.nodes.index(n): z for n, z in corners.items() if n in network.nodes}
    ordered = sorted(network.strands, key=lambda strand: strand.kind != "wall")
    for strand in ordered:
        pairs = list(own.get(strand.name, []))
        for number, station in (strand.nodes[0], strand.nodes[-1]):
            if number in known:
                pairs.append((station, known[number]))
        profiles[strand.name] = _profile(strand.name, pairs)
        for number, station in strand.nodes[1:-1]:
            known.setdefault(number, float(np.interp(station, *profiles[strand.name])))
    told = tuple(
        notice(
            "readings-apart",
            "on {wall} readings stand {apart} apart; a hollow between them would be missed",
            wall=name,
            apart=Length(float(np.diff(stations).max())),
        )
        for name, (stations, _) in profiles.items()
        if len(stations) > 1 and np.diff(stations).max() > FAR_APART + ON_LINE
    )
    return Readings(along=profiles, between=_between(network, profiles)), told


def _profile(name: str, pairs: list[tuple[float, float]]) -> tuple[Floats, Floats]:
    if not pairs:
        raise ComputationError(f"no reading on {name}; read the ground at its ends")
    pairs.sort()
    kept = [pairs[0]]
    for station, elevation in pairs[1:]:
        if station - kept[-1][0] > SAME_POINT:
            kept.append((station, elevation))
        elif not math.isclose(elevation, kept[-1][1], rel_tol=0, abs_tol=SAME_POINT):
            raise ComputationError(f"two elevations at one place on {name}; keep one of them")
    return np.array([s for s, _ in kept]), np.array([z for _, z in kept])


def _between(network: Network, profiles: Mapping[str, tuple[Floats, Floats]]) -> Surface | None:
    places: list[Point] = []
    heights: list[float] = []
    for strand in network.strands:
        for station, elevation in zip(*profiles[strand.name], strict=True):
            place = strand.place(float(station), 0.0)
            if all(math.dist(place, other) > SAME_POINT for other in places):
                places.append(place)
                heights.append(float(elevation))
    points = np.array(places)
    if len(points) < 3:
        return None
    return window_surface(points, np.array(heights), points)[0]
