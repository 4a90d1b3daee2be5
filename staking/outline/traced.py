"""One outline out of line work: its corners, what lies beside it, and why there is none."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from staking.errors import ComputationError
from staking.frozen import frozen
from staking.lines import cross, signed_area
from staking.outline.line_work import LineWork
from staking.tolerances import AREA

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

    from staking.plan import Point

_IN_LINE = 1e-5
"""A corner this near to the straight line between its neighbours, m, is none."""
_SECOND = 0.1
"""A closed shape beside the outline with this part of its area is a second building (common
practice, no source)."""
_LEFT_OVER = 0.1
"""Line work left over outside the outline, as a part of its size, that may be a part of it (common
practice, no source)."""
_ROUND = 0.02
"""How far a circle's radii may differ, as a part of the radius: it was flattened (common practice,
no source)."""


@frozen
class SmallShape:
    """A small closed shape beside or within the outline: a pad where it is square or round.

    Parameters
    ----------
    x, y
        Its middle, m.
    size
        Width and depth, m, where it is a rectangle; None for others.
    diameter
        Of a circle, m; None for others.
    """

    x: float
    y: float
    size: tuple[float, float] | None
    diameter: float | None


@frozen(eq=False)
class TracedOutline:
    """The outline that line work encloses.

    Parameters
    ----------
    corners
        In order anticlockwise from the lowest, of these the leftmost, m.
    area
        Of the outline, m2.
    shapes
        Small closed shapes beside it.
    loose
        Ends that meet nothing.
    """

    corners: tuple[Point, ...]
    area: float
    shapes: tuple[SmallShape, ...]
    loose: tuple[Point, ...]


def trace(work: LineWork) -> TracedOutline:
    """Trace the one outline that line work encloses.

    Parameters
    ----------
    work
        The line work, cut at every crossing.

    Returns
    -------
    TracedOutline
        The boundary of all that is enclosed and hangs together.

    Raises
    ------
    ComputationError
        Where nothing is enclosed, the outline is open, crosses itself, or there are two.

    Notes
    -----
    The faces between the lines are found by shapely's polygonizing and merged; what encloses
    nothing drops out by itself, and is refused where it may be a side of the building.
    """
    import shapely

    faces, cuts, dangles, _ = (
        shapely.geometry.GeometryCollection(part)
        for part in shapely.polygonize_full(shapely.get_parts(work.lines))
    )
    if faces.is_empty:
        raise ComputationError(
            "the lines enclose nothing: they end at "
            f"{_places(work.loose, work)}; name the layer of the outline, or give --close a "
            "length that the gaps do not exceed"
        )
    merged = shapely.union_all(shapely.get_parts(faces))
    parts = sorted(shapely.get_parts(merged), key=lambda part: -part.area)
    outline = shapely.Polygon(parts[0].exterior)
    beside = [part for part in parts[1:] if not outline.contains(part.representative_point())]
    _refuse_second(outline, beside, work)
    _refuse_open(outline, shapely.union(dangles, cuts), work)
    corners = _corners(shapely.get_coordinates(outline.exterior)[:-1])
    return TracedOutline(
        corners=corners,
        area=float(outline.area),
        shapes=tuple(_small(part) for part in beside),
        loose=work.loose,
    )


def _refuse_second(outline: BaseGeometry, beside: Sequence[BaseGeometry], work: LineWork) -> None:
    for part in beside:
        if part.area < _SECOND * outline.area:
            continue
        touch = outline.intersection(part)
        if not touch.is_empty:
            x, y = touch.representative_point().coords[0]
            raise ComputationError(
                f"the outline crosses itself or touches itself at {_place((x, y), work)}; have the "
                "drawing mended there, or trace its parts as two buildings from layers of their own"
            )
        x, y = part.representative_point().coords[0]
        raise ComputationError(
            f"there are two outlines: beside the largest, another of "
            f"{part.area / outline.area:.0%} of its area lies at {_place((x, y), work)}; put each "
            "on a layer of its own and name one"
        )


def _refuse_open(outline: BaseGeometry, dangles: BaseGeometry, work: LineWork) -> None:
    """Refuse an outline beside which so much is left over that a side may be missing."""
    import shapely

    outside = shapely.difference(dangles, outline.buffer(_IN_LINE))
    if outside.length < _LEFT_OVER * outline.length:
        return
    rest = shapely.get_parts(outside)
    ends = [
        place
        for place in work.loose
        if any(shapely.Point(place).distance(line) < _IN_LINE for line in rest)
    ]
    raise ComputationError(
        "the outline is open: lines that are a good part of it meet nothing at "
        f"{_places(ends or work.loose, work)}; give --close a length that the gaps do not "
        "exceed, or have the drawing mended there"
    )


def _corners(ring: np.ndarray) -> tuple[Point, ...]:
    """Drop corners in line, and start at the lowest-left one, anticlockwise."""
    points = ring
    while len(points) > 3:
        before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
        along = after - before
        off = np.abs(cross(along, points - before)) / np.maximum(np.hypot(*along.T), AREA)
        # Within a straight line only: a spike's tip lies on its line too, beyond its ends.
        inside = ((points - before) * (after - points)).sum(axis=1) > 0
        flat = (off < _IN_LINE) & inside
        # Of two neighbours in line one goes at a time, since each is measured by the other.
        flat &= ~np.roll(flat, 1)
        if not flat.any():
            break
        points = points[~flat]
    if signed_area(points) < 0:
        points = points[::-1]
    first = min(range(len(points)), key=lambda i: (round(points[i, 1], 5), points[i, 0]))
    return tuple((float(px), float(py)) for px, py in np.roll(points, -first, axis=0))


def _small(part: Polygon) -> SmallShape:
    import shapely

    ring = _corners(shapely.get_coordinates(part.exterior)[:-1])
    middle = part.exterior.centroid if len(ring) == 4 else part.centroid
    x, y = float(middle.x), float(middle.y)
    radii = [math.dist((x, y), corner) for corner in ring]
    size = diameter = None
    if len(ring) == 4 and max(radii) - min(radii) < _IN_LINE * 10:
        size = (math.dist(ring[0], ring[1]), math.dist(ring[1], ring[2]))
    elif len(ring) > 6 and max(radii) - min(radii) < _ROUND * max(radii):
        diameter = 2 * max(radii)
    return SmallShape(x=x, y=y, size=size, diameter=diameter)


def _places(places: Sequence[Point], work: LineWork) -> str:
    listed = ", ".join(_place(each, work) for each in places[:6])
    more = f" and {len(places) - 6} more" if len(places) > 6 else ""
    return (listed or "no loose end") + more


def _place(place: Point, work: LineWork) -> str:
    # Adding nothing turns a negative nothing into a plain one.
    x, y = (round(number, 4) + 0.0 for number in work.in_drawing(place))
    return f"x {x:.4f}, y {y:.4f} of the drawing"
