"""How good scanned ground is under a footing: how near its points stand, how far they scatter.

The points of a laser cloud are many and each is rough. What they are worth is taken from the
points themselves: from how far each lies off the plane through its neighbours.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from staking.frozen import frozen
from staking.plan import Point
from staking.tolerances import ON_LINE
from staking.units import FOOT

Floats = npt.NDArray[np.float64]

ROUND = 3.0
"""Points this far round the footing tell of its ground, m (common practice, no source)."""

NEIGHBOURS = 8
"""So many neighbours give the plane that a point is held against (common practice, no source)."""

_SAMPLE = 5_000
"""So many points tell the scatter of all."""

_NORMAL = 1.4826
"""Standard deviation for one of the median distance from the middle of normal errors: 1 over the
upper quartile of the normal distribution, 0.67449."""

GAP = 10 * FOOT
"""A footing whose ground is drawn straight over a wider gap than this is named, m (common
practice, no source)."""


@frozen
class ScanWorth:
    """What scanned points are worth under a footing, m.

    Parameters
    ----------
    under
        How many stand within the footing's own outlines.
    spacing
        How far apart they stand round it: the root of the area that one of them has.
    scatter
        Standard deviation of one point's height against the plane of its neighbours, taken from
        the median so that single shrubs and spikes do not count; None for too few points.
    farthest
        The farthest that a corner of the footing lies from the nearest point.
    """

    under: int
    spacing: float
    scatter: float | None
    farthest: float

    @property
    def good_to(self) -> float | None:
        """Within this of the ground between its points a height lies 19 times in 20, m."""
        return None if self.scatter is None else 2.0 * self.scatter


def one_height_a_place(points: Floats, elevations: Floats) -> tuple[Floats, Floats]:
    """Join points that stand in one place, as the flight lines of a cloud leave them.

    Parameters
    ----------
    points, elevations
        ``(n, 2)`` and ``(n,)``, m.

    Returns
    -------
    tuple
        Each place once, with the mean of its heights.

    Examples
    --------
    >>> places = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 0.0]])
    >>> one_height_a_place(places, np.array([2.0, 5.0, 4.0]))[1].tolist()
    [3.0, 5.0]
    """
    if not len(points):
        return points, elevations
    order = np.lexsort((points[:, 1], points[:, 0]))
    points, elevations = points[order], elevations[order]
    is_new = np.abs(np.diff(points, axis=0)).max(axis=1, initial=0.0) > ON_LINE
    group = np.concatenate(([0], np.cumsum(is_new)))
    if group[-1] == len(points) - 1:
        return points, elevations
    first = np.concatenate(([True], is_new))
    return points[first], np.bincount(group, elevations) / np.bincount(group)


def scan_worth(points: Floats, elevations: Floats, footing: Sequence[Sequence[Point]]) -> ScanWorth:
    """Say what scanned points are worth under a footing.

    Parameters
    ----------
    points, elevations
        Of the scan, on the building grid, ``(n, 2)`` and ``(n,)``, m; at least one.
    footing
        Rings of the ground that is asked for, m.

    Returns
    -------
    ScanWorth
        Its figures.
    """
    import shapely
    from scipy.spatial import KDTree

    corners = np.array([point for ring in footing for point in ring])
    low, high = corners.min(axis=0) - ROUND, corners.max(axis=0) + ROUND
    near = np.flatnonzero(((points >= low) & (points <= high)).all(axis=1))
    whole = shapely.union_all([shapely.Polygon(ring) for ring in footing])
    shapely.prepare(whole)
    under = shapely.contains_xy(whole, points[near, 0], points[near, 1])
    tree = KDTree(points)
    farthest = float(np.max(tree.query(corners)[0]))
    area = float(np.prod(high - low))
    sampled = near[:: max(1, -(-len(near) // _SAMPLE))]
    return ScanWorth(
        under=int(np.count_nonzero(under)),
        spacing=float(np.sqrt(area / max(len(near), 1))),
        scatter=_scatter(
            points, elevations, np.asarray(tree.query(points[sampled], NEIGHBOURS + 1)[1])
        )
        if len(near) > NEIGHBOURS and len(points) > NEIGHBOURS
        else None,
        farthest=farthest,
    )


def _scatter(points: Floats, elevations: Floats, groups: npt.NDArray[np.intp]) -> float:
    # The standard deviation of single heights, from points with their neighbours. The first of
    # each group is the point, the others give the plane. A point with the standard deviation s lies
    # off the plane of k others of the same s by s * sqrt(1 + h), where h is what their places make
    # of it (its leverage); each difference is divided by that root.
    own, others = groups[:, 0], groups[:, 1:]
    away = points[others] - points[own][:, None]
    design = np.concatenate((np.ones((*others.shape, 1)), away), axis=2)
    # The height of the plane at the point itself is its first coefficient.
    weights = np.linalg.pinv(design)[:, 0, :]
    off = elevations[own] - (weights * elevations[others]).sum(axis=1)
    off /= np.sqrt(1.0 + (weights * weights).sum(axis=1))
    return _NORMAL * float(np.median(np.abs(off)))
