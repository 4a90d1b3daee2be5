"""Ground beyond the surveyed ground, taken from its nearest edge where the job asks for that."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.grade.terrain.break_lines import BreakLine
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.triangulate import hull_of, window_surface, within_hull
from staking.lines import cross, nearest_shares
from staking.notices import Length, Notice, notice
from staking.tolerances import ON_LINE

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

_FAN = np.pi / 3


def nearest_on(hull: Floats, places: Floats) -> Floats:
    """Find the nearest points of a closed line.

    Parameters
    ----------
    hull
        Its corners in order, ``(h, 2)``, m.
    places
        ``(k, 2)``, m.

    Returns
    -------
    ndarray
        ``(k, 2)``, m.
    """
    ends = np.roll(hull, -1, axis=0)
    share, away = nearest_shares(places[:, None], hull, ends)
    found = hull + share[..., None] * (ends - hull)
    off = np.hypot(away[..., 0], away[..., 1])
    nearest: Floats = found[np.arange(len(places)), off.argmin(axis=1)]
    return nearest


def window_beyond(
    points: Floats, elevations: Floats, region: Floats, lines: Sequence[BreakLine] = ()
) -> tuple[GroundSurface, GroundSurface, Ints]:
    """Triangulate the points round a region that may reach past them.

    Parameters
    ----------
    points, elevations, region, lines
        As for `staking.grade.terrain.triangulate.window_surface`.

    Returns
    -------
    tuple
        The surface that also covers what of the region lies beyond the survey; the surface of
        the survey alone, and what its points are.
    """
    corners = np.vstack((points, *(line.vertices[:, :2] for line in lines)))
    outside = region[~within_hull(corners, region)]
    if not len(outside):
        surface, sources = window_surface(points, elevations, region, lines)
        return surface, surface, sources
    hull = hull_of(corners)
    near = nearest_on(hull, outside)
    reach = float(np.hypot(*(outside - near).T).max())
    # A corner of the hull that is nearest to something is no farther from the region than that.
    beside = (hull >= region.min(axis=0) - reach) & (hull <= region.max(axis=0) + reach)
    wanted = np.vstack((region, near, hull[beside.all(axis=1)]))
    surface, sources = window_surface(points, elevations, wanted, lines, partly=True)
    return extended(surface, hull, 2 * reach + 1.0), surface, sources


def extended(surface: GroundSurface, hull: Floats, reach: float) -> GroundSurface:
    """Carry a surface on past its hull, each place as high as the nearest one on it.

    Parameters
    ----------
    surface
        The surface; only its sides along `hull` are carried on.
    hull
        Corners of its convex hull, anticlockwise, ``(h, 2)``, m.
    reach
        How far out, m; half of it at the least round the corners.

    Returns
    -------
    GroundSurface
        With a strip square to every such side, level across, and a level fan round every
        corner between two of them: outside a convex shape nothing else is nearest (derived).
    """
    sides = _sides_on(surface, hull)
    if not len(sides):
        return surface
    start, end = surface.points[sides[:, 0]], surface.points[sides[:, 1]]
    way = (end - start) / np.hypot(*(end - start).T)[:, None]
    out = np.stack((way[:, 1], -way[:, 0]), axis=1) * reach
    points = [surface.points, start + out, end + out]
    first = len(surface.points)
    far = first + np.arange(len(sides))
    triangles = [
        surface.triangles,
        np.stack((sides[:, 0], far, far + len(sides)), axis=1),
        np.stack((sides[:, 0], far + len(sides), sides[:, 1]), axis=1),
    ]
    elevations = [surface.elevations, surface.elevations[sides[:, 0]],
                  surface.elevations[sides[:, 1]]]  # fmt: skip
    count = first + 2 * len(sides)
    ends = {int(side[1]): i for i, side in enumerate(sides)}
    for i, (corner, _) in enumerate(sides.tolist()):
        if corner not in ends:
            continue
        before = out[ends[corner]]
        turn = np.arctan2(cross(before, out[i]), float(before @ out[i]))
        if turn <= ON_LINE / reach:
            continue
        angles = np.linspace(0.0, turn, int(np.ceil(turn / _FAN)) + 1)
        rays = np.stack(
            (
                before[0] * np.cos(angles) - before[1] * np.sin(angles),
                before[0] * np.sin(angles) + before[1] * np.cos(angles),
            ),
            axis=1,
        )
        points.append(surface.points[corner] + rays)
        elevations.append(np.full(len(rays), surface.elevations[corner]))
        numbers = count + np.arange(len(rays))
        triangles.append(
            np.stack((np.full(len(rays) - 1, corner), numbers[:-1], numbers[1:]), axis=1)
        )
        count += len(rays)
    return GroundSurface(
        np.concatenate(points), np.concatenate(elevations), np.concatenate(triangles)
    )


def _sides_on(surface: GroundSurface, hull: Floats) -> Ints:
    # Sides of only one triangle that lie on the hull, the surface to their left.
    t = surface.triangles
    sides = np.vstack((t[:, :2], t[:, 1:], t[:, ::-2]))
    _, first, count = np.unique(
        np.sort(sides, axis=1), axis=0, return_index=True, return_counts=True
    )
    sides = sides[first[count == 1]]
    on = np.ones(len(sides), dtype=bool)
    for share in (0.0, 0.5, 1.0):
        places = (1 - share) * surface.points[sides[:, 0]] + share * surface.points[sides[:, 1]]
        on &= np.hypot(*(nearest_on(hull, places) - places).T) <= ON_LINE
    found: Ints = sides[on]
    return found


def reach_notices(hull: Floats, region: Floats) -> list[Notice]:
    """Say how far a footing stands on ground that is taken from the nearest.

    Parameters
    ----------
    hull
        Of the surveyed ground, ``(h, 2)``, m.
    region
        Corners of the footing, ``(k, 2)``, m.

    Returns
    -------
    list of Notice
        One ``ground-beyond`` warning, or none.
    """
    outside = region[~within_hull(hull, region)]
    reach = float(np.hypot(*(nearest_on(hull, outside) - outside).T).max(initial=0.0))
    if reach <= ON_LINE:
        return []
    return [
        notice(
            "ground-beyond",
            "the footing reaches {reach} past the surveyed ground; as asked, the ground there is "
            "taken as high as the nearest surveyed ground: check it before digging",
            reach=Length(reach),
        )
    ]
