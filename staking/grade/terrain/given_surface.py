"""A surface given with its own triangles as the ground under a footing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.errors import ComputationError
from staking.grade.terrain.beyond import extended, nearest_on, reach_notices
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.surveyed_ground import SurveyedGround
from staking.grade.terrain.triangulate import hull_of, touching
from staking.lines import cross
from staking.plan import Point
from staking.tolerances import AREA, ON_LINE
from staking.units import FOOT

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]


_ALL_ROUND = 200.0
"""So far past the footing the nearest ground is at hand, m: boards and hubs stand nearer."""


def ground_of_faces(
    vertices: Floats,
    faces: Ints,
    footing: Sequence[Sequence[Point]],
    *,
    nearest: bool = False,
) -> SurveyedGround:
    """Make the ground under a footing from a surface's own triangles.

    Parameters
    ----------
    vertices
        x, y on the building grid and elevation, ``(n, 3)``, m.
    faces
        Numbers of the triangles' corners, ``(m, 3)``, either way round.
    footing
        Rings of the ground that is asked for, m.
    nearest
        Whether ground beyond the surface is as high as the nearest of it; a bay in its edge or a
        hole in it is not filled.

    Returns
    -------
    SurveyedGround
        The triangles near the footing as they are given: its break lines are sides already.

    Raises
    ------
    ComputationError
        Where there are no triangles, the footing leaves the surface (it says how far) or lies
        over a hole in it, or two triangles give two elevations at one place.
    """
    points, elevations = vertices[:, :2], vertices[:, 2]
    corners = points[faces]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    double = cross(u, v)
    triangles = np.where((double < 0)[:, None], faces[:, ::-1], faces)
    # Upright and empty triangles cover no ground.
    triangles = triangles[(np.abs(double) > AREA) & ~np.isnan(elevations[faces]).any(axis=1)]
    if not len(triangles):
        raise ComputationError("the surface has no triangles; give one that covers the footing")
    whole = GroundSurface(points, elevations, triangles.astype(np.intp))
    region = np.array([point for ring in footing for point in ring])
    hull = hull_of(points[np.unique(whole.triangles)]) if nearest else None
    if hull is not None:
        away = float(np.hypot(*(nearest_on(hull, region) - region).T).max())
        whole = extended(whole, hull, 2 * (away + _ALL_ROUND))
    low, high = region.min(axis=0), region.max(axis=0)
    near = GroundSurface(
        whole.points, whole.elevations, whole.triangles[touching(whole, low, high)]
    )
    outside = np.isnan(near.at(region))
    if outside.any():
        reach = _distance_outside(whole, region[outside])
        raise ComputationError(
            f"the footing reaches {reach / FOOT:.1f} ft ({reach:.2f} m) outside the surface; "
            "give a surface that covers it, or readings at the corners"
            + ("" if nearest else ", or write beyond: nearest under grade:")
        )
    _check_single(near)
    _check_whole(near, footing)
    return SurveyedGround(
        surface=near,
        notices=() if hull is None else tuple(reach_notices(hull, region)),
        low=(float(low[0]), float(low[1])),
        high=(float(high[0]), float(high[1])),
        wider=whole,
        hull=hull,
    )


def _open_sides(surface: GroundSurface) -> Ints:
    # Sides of only one triangle.
    t = surface.triangles
    sides = np.sort(np.vstack((t[:, :2], t[:, 1:], t[:, ::2])), axis=1)
    unique, count = np.unique(sides, axis=0, return_counts=True)
    return np.asarray(unique[count == 1], dtype=np.intp)


def _distance_outside(surface: GroundSurface, places: Floats) -> float:
    # How far the farthest place is from the surface's edge.
    sides = surface.points[_open_sides(surface)]
    start, way = sides[:, 0], sides[:, 1] - sides[:, 0]
    farthest = 0.0
    for place in places:
        share = ((place - start) * way).sum(axis=1) / (way * way).sum(axis=1)
        nearest = start + np.clip(share, 0.0, 1.0)[:, None] * way
        farthest = max(farthest, float(np.hypot(*(place - nearest).T).min()))
    return farthest


def _check_whole(surface: GroundSurface, footing: Sequence[Sequence[Point]]) -> None:
    # No edge of the surface runs through a ring, though all the ring's corners are covered.
    from shapely.geometry import LineString, Polygon

    edges = [LineString(side) for side in surface.points[_open_sides(surface)].tolist()]
    for ring in footing:
        # Drawn in, since an edge may run along the footing's own.
        inner = Polygon(ring).buffer(-ON_LINE)
        for edge in edges:
            if inner.intersects(edge):
                x, y = edge.intersection(inner).representative_point().coords[0]
                raise ComputationError(
                    f"the surface has a hole or an edge under the footing (x {x:.2f} m, "
                    f"y {y:.2f} m on the building grid); give one that covers it"
                )


def _check_single(surface: GroundSurface) -> None:
    # At the middle of every triangle no other one lies above or below it.
    corners = surface.points[surface.triangles]
    middles, heights = corners.mean(axis=1), surface.elevations[surface.triangles].mean(axis=1)
    low, high = corners.min(axis=1), corners.max(axis=1)
    for i, middle in enumerate(middles):
        over = ((low <= middle) & (high >= middle)).all(axis=1)
        over[i] = False
        others = GroundSurface(surface.points, surface.elevations, surface.triangles[over])
        height = float(others.at(middle[None])[0])
        if abs(height - heights[i]) > ON_LINE:
            raise ComputationError(
                f"two elevations at one place (x {middle[0]:.3f} m, y {middle[1]:.3f} m on the "
                f"building grid): triangles of the surface lie at {heights[i]:.3f} m and "
                f"{height:.3f} m; give a surface with one"
            )
