"""The ground from readings at corners, along walls and at pads: straight between, level across."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.grade.stepping.cells import Patch
from staking.grade.stepping.wall_network import Network, Strand
from staking.grade.terrain.beyond import nearest_on
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.triangulate import window_surface
from staking.kinds import FootingKind
from staking.lines import convex_hull
from staking.notices import Length, Notice, NoticeKind, notice
from staking.plan import Point
from staking.tolerances import AREA, ON_LINE, SAME_POINT
from staking.units import FOOT, INCH

Floats = npt.NDArray[np.float64]

FAR_APART = 10 * FOOT
"""Readings farther apart than this may miss a hollow, m (common practice, no source)."""

CROSS_FALL = INCH / 2
"""A fall of this much from a wall's face to its outer footing edge is said where nothing is read
at that edge, m (common practice, no source)."""


@frozen(eq=False)
class GroundReadings:
    """Ground known along the walls: straight between readings, level across the width.

    Parameters
    ----------
    along
        For each wall its stations and elevations, m, stations ascending from end to end.
    strands
        The walls.
    places, heights
        Where was read and its elevation, ``(n, 2)`` and ``(n,)``, m.
    nearest
        Whether ground beyond the readings is as high as the nearest between them.
    """

    along: Mapping[str, tuple[Floats, Floats]]
    strands: tuple[Strand, ...]
    places: Floats
    heights: Floats
    nearest: bool = False
    _made: list[GroundSurface] = field(default_factory=list, repr=False)

    @property
    def between(self) -> GroundSurface | None:
        """The surface through all readings; None where there are fewer than three."""
        if len(self.places) < 3:
            return None
        if not self._made:
            # Made only where something is asked off the walls: its library is slow to load.
            self._made.append(window_surface(self.places, self.heights, self.places)[0])
        return self._made[0]

    def at(self, places: Floats) -> Floats:
        """Give elevations between the readings.

        Returns
        -------
        ndarray
            ``(k,)``, m; not-a-number outside them, unless `nearest`.
        """
        beyond = self.is_beyond(places)
        if beyond.any():
            places = places.copy()
            places[beyond] = nearest_on(self._hull(), places[beyond])
        found = np.full(len(places), np.nan)
        for strand in self.strands:
            local = np.array(strand.local(tuple((x, y) for x, y in places.tolist())))
            on = (np.abs(local[:, 1]) <= ON_LINE) & (np.abs(local[:, 0] * 2 - strand.length)
                                                     <= strand.length + ON_LINE)  # fmt: skip
            found[on] = np.interp(local[on, 0], *self.along[strand.name])
        read = ~np.isnan(found)
        inside = ~read & self._within(places)
        if inside.any() and self.between is not None:
            found[inside] = self.between.at(places[inside])
        return found

    def _hull(self) -> Floats:
        return np.array(convex_hull([(x, y) for x, y in self.places.tolist()]))

    def _within(self, places: Floats) -> npt.NDArray[np.bool_]:
        hull = self._hull()
        side, off = np.roll(hull, -1, axis=0) - hull, places[:, None] - hull
        left = side[:, 0] * off[..., 1] - side[:, 1] * off[..., 0]
        return np.asarray((left >= -AREA).all(axis=1), dtype=np.bool_)

    def is_beyond(self, places: Floats) -> npt.NDArray[np.bool_]:
        """Tell at which places the nearest ground between the readings is taken.

        Returns
        -------
        ndarray
            ``(k,)``.
        """
        if not self.nearest:
            return np.zeros(len(places), dtype=bool)
        return ~self._within(places)

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
            heights = self.at(np.array(patch.ring))
            if np.isnan(heights).any():
                raise ComputationError(
                    f"{patch.wall}: it lies outside the readings; read the ground at it too, "
                    f"{patch.wall} beside the corners, or under grade, beyond: nearest takes the "
                    "nearest ground that was read"
                )
            return heights
        stations, elevations = self.along[patch.wall]
        ends = np.interp([patch.start, patch.end], stations, elevations)
        within = (stations > patch.start) & (stations < patch.end)
        return np.concatenate((ends, elevations[within]))


def ground_from_readings(
    network: Network,
    corners: Mapping[str, float],
    along: Sequence[tuple[str, float, float]] = (),
    *,
    pads: Sequence[tuple[Sequence[Point], float]] = (),
    nearest: bool = False,
) -> tuple[GroundReadings, tuple[Notice, ...]]:
    """Make the ground from readings at corners, at points along walls and at pads.

    Parameters
    ----------
    network
        The walls.
    corners
        Elevation at each corner, m.
    along
        Wall (either way round), station from its first corner as named, and elevation, m.
    pads
        Points round a pad and the elevation that was read at it, m: level all over it.
    nearest
        Whether ground beyond the readings is as high as the nearest between them.

    Returns
    -------
    tuple
        The ground, ``readings-apart`` for walls whose readings stand over 10 feet apart, and
        ``readings-cross-slope`` for walls whose outer footing edge stands lower than their face.
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
            if strand.kind is FootingKind.WALL
            for end in (0, -1)
        }
        - set(corners)
    )
    if missing:
        raise ComputationError(f"no reading at {', '.join(missing)}; read the ground there")
    profiles: dict[str, tuple[Floats, Floats]] = {}
    known = {network.nodes.index(n): z for n, z in corners.items() if n in network.nodes}
    ordered = sorted(network.strands, key=lambda strand: strand.kind is not FootingKind.WALL)
    for strand in ordered:
        pairs = list(own.get(strand.name, []))
        for number, station in (strand.nodes[0], strand.nodes[-1]):
            if number in known:
                pairs.append((station, known[number]))
        profiles[strand.name] = _profile(strand.name, pairs)
        for number, station in strand.nodes[1:-1]:
            known.setdefault(number, float(np.interp(station, *profiles[strand.name])))
    told = [
        notice(
            NoticeKind.READINGS_APART,
            "on {wall} ground readings stand {apart} apart: read between them too, as a hollow "
            "there would be missed",
            wall=name,
            apart=Length(float(np.diff(stations).max())),
        )
        for name, (stations, _) in profiles.items()
        if len(stations) > 1 and np.diff(stations).max() > FAR_APART + ON_LINE
    ]
    places, heights = _read(network, profiles, pads)
    ground = GroundReadings(
        along=profiles, strands=network.strands, places=places, heights=heights, nearest=nearest
    )
    return ground, (*told, *_cross_slopes(network, ground))


def _cross_slopes(network: Network, ground: GroundReadings) -> list[Notice]:
    # Walls whose outer footing edge stands on lower ground than the readings at their face, by
    # the plane nearest to all readings.
    points = ground.places - ground.places.mean(axis=0)
    design = np.column_stack((np.ones(len(points)), points))
    plane, _, rank, _ = np.linalg.lstsq(design, ground.heights, rcond=1e-9)
    if rank < 3:
        return []
    told = []
    for strand in network.strands:
        fall = -float(plane[1:] @ strand.out) * strand.footing.outside
        if strand.kind is FootingKind.WALL and fall > CROSS_FALL - ON_LINE:
            told.append(
                notice(
                    "readings-cross-slope",
                    "the ground falls across {wall}, by about {fall} from its face to the outer "
                    "footing edge, where nothing was read; read there too, or give that wall's "
                    "readings from that edge",
                    wall=strand.name,
                    fall=Length(fall),
                )
            )
    return told


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


def _read(
    network: Network,
    profiles: Mapping[str, tuple[Floats, Floats]],
    pads: Sequence[tuple[Sequence[Point], float]],
) -> tuple[Floats, Floats]:
    # Every place that was read once, and its elevation.
    places: list[Point] = []
    heights: list[float] = []
    known = [
        (strand.place(float(station), 0.0), float(elevation))
        for strand in network.strands
        for station, elevation in zip(*profiles[strand.name], strict=True)
    ]
    known += [(place, elevation) for ring, elevation in pads for place in ring]
    for place, elevation in known:
        if all(math.dist(place, other) > SAME_POINT for other in places):
            places.append(place)
            heights.append(elevation)
    return np.array(places), np.array(heights)
