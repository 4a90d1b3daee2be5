"""The curves of layers as line work in metres: arcs flattened, doubles out, ends run on to meet."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from staking.frozen import frozen
from staking.outline.designers_drawing import CurveKind, DrawnCurve
from staking.tolerances import ON_LINE
from staking.units import INCH

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from staking.outline.designers_drawing import Floats
    from staking.plan import Point

SAGITTA = INCH / 32
"""How far the chord of an arc may lie off it, m."""
_GRID = 1e-7
"""Ends nearer than this, m, are one point: rounding of turned blocks, far under any gap drawn."""


@frozen
class ClosedJoint:
    """A gap that was closed: where the lines now meet, m, and how wide it was, m."""

    x: float
    y: float
    gap: float


@frozen(eq=False)
class LineWork:
    """Line work cut at every crossing.

    Parameters
    ----------
    lines
        The lines between crossings and ends, a shapely multi line string, m.
    loose
        Ends that meet nothing.
    closed
        The joints that were closed.
    has_arcs
        Whether something of it was an arc.
    origin
        The point of the drawing, in its own unit, that is 0, 0 here.
    metres
        How long a unit of the drawing is, m.
    """

    lines: BaseGeometry
    loose: tuple[Point, ...]
    closed: tuple[ClosedJoint, ...]
    has_arcs: bool
    origin: Point
    metres: float

    def in_drawing(self, place: Point) -> Point:
        """Give a place in the drawing's own coordinates, where whoever mends it looks it up."""
        return (
            self.origin[0] + place[0] / self.metres,
            self.origin[1] + place[1] / self.metres,
        )


def line_work(
    curves: Sequence[DrawnCurve], metres: float, origin: Point, close: float = 0.0
) -> LineWork:
    """Turn curves into line work.

    Parameters
    ----------
    curves
        The curves of the layers that are traced.
    metres
        How long a unit of the drawing is, m.
    origin
        The point of the drawing, in its unit, that becomes 0, 0: near the curves, so that
        nothing is lost far from the drawing's own origin.
    close
        How far an end may be run on along its own direction to meet another line, m.

    Returns
    -------
    LineWork
        Cut at every crossing, each stretch once.
    """
    import shapely

    pieces, has_arcs = [], False
    for curve in curves:
        points = (curve.points - np.asarray(origin)) * metres
        if curve.kind is CurveKind.ARC:
            has_arcs = True
            points = arc_points(points)
        steps = np.hypot(*np.diff(points, axis=0).T)
        kept = points[np.concatenate(([True], steps > _GRID))]
        if len(kept) > 1:
            pieces.append(shapely.LineString(kept))
    lines = _noded(pieces)
    closed: tuple[ClosedJoint, ...] = ()
    if close > 0:
        more, closed = _run_on(lines, close)
        if more:
            lines = _noded([*shapely.get_parts(lines), *more])
    loose = tuple((x, y) for x, y, *_ in _loose_ends(lines))
    return LineWork(
        lines=lines,
        loose=loose,
        closed=closed,
        has_arcs=has_arcs,
        origin=origin,
        metres=metres,
    )


def arc_points(three: Floats) -> Floats:
    """Give points on an arc so near one another that no chord lies off it by a 32nd of an inch.

    Parameters
    ----------
    three
        ``(3, 2)`` start of the arc, a point on it, its end, m.

    Returns
    -------
    ``(n, 2)`` array
        From its start to its end; the three points where they lie in one line.
    """
    (ax, ay), (bx, by), (cx, cy) = three - three[0]
    twice = 2 * (bx * cy - by * cx)
    if abs(twice) < ON_LINE * max(math.hypot(cx, cy), ON_LINE):
        return three
    b2, c2 = bx * bx + by * by, cx * cx + cy * cy
    x, y = (cy * b2 - by * c2) / twice, (bx * c2 - cx * b2) / twice
    radius = math.hypot(x, y)
    start, end = math.atan2(-y, -x), math.atan2(cy - y, cx - x)
    sweep = (end - start) % math.tau
    if twice < 0:
        sweep -= math.tau
    chord = 2 * math.acos(max(1 - SAGITTA / radius, -1.0)) if radius > SAGITTA else math.pi / 2
    count = max(2, math.ceil(abs(sweep) / chord))
    angles = start + sweep * np.linspace(0.0, 1.0, count + 1)
    points = np.column_stack((x + radius * np.cos(angles), y + radius * np.sin(angles)))
    points[0], points[-1] = (ax, ay), (cx, cy)
    moved: Floats = points + three[0]
    return moved


def _noded(pieces: Sequence[BaseGeometry]) -> BaseGeometry:
    import shapely

    if not len(pieces):
        return shapely.MultiLineString()
    return shapely.union_all(np.array(pieces, dtype=object), grid_size=_GRID)


def _loose_ends(lines: BaseGeometry) -> list[tuple[float, float, float, float]]:
    """Give each end that meets nothing: x, y, and its own direction outward as a unit vector."""
    import shapely

    ends: dict[tuple[int, int], list[tuple[float, float, float, float]]] = {}
    for line in shapely.get_parts(shapely.line_merge(lines)):
        points = shapely.get_coordinates(line)
        if len(points) < 2 or line.is_ring:
            continue
        for (x, y), (bx, by) in ((points[0], points[1]), (points[-1], points[-2])):
            far = math.hypot(x - bx, y - by)
            key = (round(x / (10 * _GRID)), round(y / (10 * _GRID)))
            ends.setdefault(key, []).append((x, y, (x - bx) / far, (y - by) / far))
    # Where three lines meet, each ends there, and none is loose.
    return sorted(each[0] for each in ends.values() if len(each) == 1)


def _run_on(
    lines: BaseGeometry, close: float
) -> tuple[list[BaseGeometry], tuple[ClosedJoint, ...]]:
    """Run loose ends on along their own direction to the nearest line or to another's own run.

    Returns
    -------
    tuple
        The pieces added, and the joints that they close.
    """
    import shapely

    loose = _loose_ends(lines)
    if not loose:
        return [], ()
    rays = [
        shapely.LineString([(x, y), (x + ux * close, y + uy * close)]) for x, y, ux, uy in loose
    ]
    tree = shapely.STRtree([*shapely.get_parts(lines), *rays])
    solid = shapely.get_num_geometries(lines)
    added: list[BaseGeometry] = []
    joints: list[ClosedJoint] = []
    done: set[int] = set()
    options: list[tuple[float, int, int, Point]] = []
    for i, ray in enumerate(rays):
        for j in tree.query(ray):
            other = tree.geometries[j]
            if j == solid + i:
                continue
            for meeting in _meetings(ray, other, loose[i]):
                far = math.dist(loose[i][:2], meeting)
                facing = _end_at(meeting, loose) if j < solid else int(j - solid)
                options.append((far, i, facing, meeting))
    for _, i, other, meeting in sorted(options):
        if i in done or other in done:
            continue
        start = loose[i][:2]
        gap = math.dist(start, meeting)
        done.add(i)
        added.append(shapely.LineString([start, meeting]))
        if other >= 0:
            done.add(other)
            gap = math.dist(start, loose[other][:2])
            if math.dist(loose[other][:2], meeting) > _GRID:
                added.append(shapely.LineString([loose[other][:2], meeting]))
        joints.append(ClosedJoint(x=meeting[0], y=meeting[1], gap=gap))
    return added, tuple(joints)


def _end_at(place: Point, loose: Sequence[tuple[float, float, float, float]]) -> int:
    """Give the number of the loose end that lies at a place, or -1."""
    return next((k for k, end in enumerate(loose) if math.dist(end[:2], place) <= 2 * _GRID), -1)


def _meetings(
    ray: BaseGeometry, other: BaseGeometry, end: tuple[float, float, float, float]
) -> list[Point]:
    """Give where a run meets another line, past its own end."""
    import shapely

    found = shapely.get_coordinates(ray.intersection(other)).tolist()
    if not found:
        # Two runs in one line face each other and meet in the middle of neither.
        for point in shapely.get_coordinates(other).tolist():
            x, y = point[0] - end[0], point[1] - end[1]
            along, off = x * end[2] + y * end[3], abs(x * end[3] - y * end[2])
            if 0 < along <= ray.length and off < ON_LINE:
                found.append(point)
    return [
        (float(x), float(y)) for x, y in found if math.hypot(x - end[0], y - end[1]) > 2 * _GRID
    ]
