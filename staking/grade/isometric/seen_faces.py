"""The faces of a stepped footing that are seen from its low corner, each without what is hidden."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from staking.footing.bands_and_outlines import Ring
from staking.frozen import frozen
from staking.grade.graded import Graded
from staking.grade.isometric.depth_order import back_to_front
from staking.grade.isometric.footing_prisms import Prism, footing_prisms
from staking.kinds import StakeKind
from staking.lines import cross_of, direction, is_anticlockwise
from staking.plan import Plan, Point

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

_STEEP = math.asin(1 / math.sqrt(3))
"""How steeply one looks down in an isometric view, rad (ISO 5456-3, 5.2: 35 degrees 16 minutes)."""
_GRID = 1e-6
"""Corners of faces are held to this, m, so that what is cut twice meets."""
_SLIVER = 1e-5
"""A part of a face smaller than this is left by rounding alone, m2."""
_LEVEL = 1e-4
"""Faces within this of one plane are one, m."""


class FaceSide(StrEnum):
    """Which way a face looks, as it is seen."""

    TOP = "top"
    LEFT = "left"
    RIGHT = "right"


@frozen
class IsometricView:
    """A parallel view from above.

    Parameters
    ----------
    toward
        The level direction in which one looks, a unit vector of the building grid.
    zero
        The elevation drawn at the ground's own place, m.
    stretch
        How many times heights are drawn larger than lengths.
    """

    toward: Point
    zero: float = 0.0
    stretch: float = 1.0

    def seen(self, point: Point, level: float) -> Point:
        """Give where a point is seen.

        Parameters
        ----------
        point
            Its place on the ground, m.
        level
            Its elevation, m.

        Returns
        -------
        Point
            To the right and up in the picture's plane, m.
        """
        across = point[0] * self.toward[1] - point[1] * self.toward[0]
        away = point[0] * self.toward[0] + point[1] * self.toward[1]
        up = (level - self.zero) * self.stretch
        return (across, away * math.sin(_STEEP) + up * math.cos(_STEEP))


@frozen
class SeenFace:
    """What is seen of one flat face.

    Parameters
    ----------
    side
        Which way it looks.
    level
        Its elevation where it is a top, the elevation of its upper edge else, m.
    names
        The walls, interior lines and pads it belongs to.
    ring, holes
        Its edges in the picture's plane, m.
    """

    side: FaceSide
    level: float
    names: tuple[str, ...]
    ring: Ring
    holes: tuple[Ring, ...]


@frozen
class SeenFooting:
    """A stepped footing as it is seen: its view and its faces, tops first."""

    view: IsometricView
    faces: tuple[SeenFace, ...]


def low_corner(plan: Plan, graded: Graded) -> tuple[str, Point]:
    """Find the corner from which the footing rises, and the way one looks from there.

    Returns
    -------
    tuple
        The corner's name and the direction halfway between its two walls, a unit vector. It is
        the lowest corner that points out of the building; of several, the first.
    """
    digs = {each.name: each.dig for each in graded.stakes if each.kind is StakeKind.CORNER}
    found: list[tuple[float, int, str, Point]] = []
    for building in plan.buildings:
        points = [corner.point for corner in building.corners]
        turn = 1.0 if is_anticlockwise(points) else -1.0
        for i, corner in enumerate(building.corners):
            back = direction(corner.point, points[i - 1])
            on = direction(corner.point, points[(i + 1) % len(points)])
            if turn * cross_of(on, back) <= 0 or corner.name not in digs:
                continue
            x, y = back[0] + on[0], back[1] + on[1]
            far = math.hypot(x, y)
            way = (x / far, y / far) if far > _LEVEL else (-turn * on[1], turn * on[0])
            found.append((round(digs[corner.name], 4), len(found), corner.name, way))
    if not found:
        return "", (math.sqrt(0.5), math.sqrt(0.5))
    _, _, name, way = min(found)
    return name, way


def seen_footing(plan: Plan, graded: Graded, stretch: float = 1.0) -> SeenFooting:
    """Give the stepped footing as it is seen from its low corner, from above.

    Parameters
    ----------
    plan, graded
        The building and its levels.
    stretch
        How many times heights are drawn larger than lengths.

    Returns
    -------
    SeenFooting
        Every face that is seen, without the parts that something nearer hides. Faces in one
        plane are one face, whatever walls they belong to.
    """
    return _seen(graded, _view(plan, graded, stretch))


@lru_cache(maxsize=2)
def _seen(graded: Graded, view: IsometricView) -> SeenFooting:
    # Kept, as a picture of its own and a sheet show the same.
    return SeenFooting(view=view, faces=seen_faces(footing_prisms(graded), view))


def footing_bounds(plan: Plan, graded: Graded, stretch: float = 1.0) -> tuple[Point, Point]:
    """Give the room that the stepped footing takes, without working out what hides what.

    Parameters
    ----------
    plan, graded
        The building and its levels.
    stretch
        How many times heights are drawn larger than lengths.

    Returns
    -------
    tuple of Point
        The lower left and the upper right corner, m on the picture.
    """
    view = _view(plan, graded, stretch)
    # What is hidden of a prism lies behind what is seen of it.
    xs, ys = zip(
        *(
            view.seen(point, level)
            for each in footing_prisms(graded)
            for point in each.ring
            for level in (each.bottom, each.top)
        ),
        strict=True,
    )
    return (min(xs), min(ys)), (max(xs), max(ys))


def _view(plan: Plan, graded: Graded, stretch: float) -> IsometricView:
    zero = min((each.bottom for each in footing_prisms(graded)), default=0.0)
    return IsometricView(toward=low_corner(plan, graded)[1], zero=zero, stretch=stretch)


@frozen
class _Face:
    side: FaceSide
    plane: tuple[float, float, float]
    level: float
    names: tuple[str, ...]
    shape: Polygon


def seen_faces(prisms: Sequence[Prism], view: IsometricView) -> tuple[SeenFace, ...]:
    """Give what is seen of some prisms.

    Parameters
    ----------
    prisms
        Upright, convex, sharing no ground.
    view
        How one looks.

    Returns
    -------
    tuple of SeenFace
        Tops first, then what looks to the left and to the right, each from the lowest.
    """
    import shapely

    order = back_to_front([each.ring for each in prisms], view.toward)
    faces = [face for at in order for face in _faces(prisms[at], view)]
    shapes = [each.shape for each in faces]
    tree = shapely.STRtree(shapes)
    planes: list[list[tuple[_Face, BaseGeometry]]] = []
    for at, face in enumerate(faces):
        nearer = [shapes[k] for k in sorted(tree.query(face.shape).tolist()) if k > at]
        left: BaseGeometry = face.shape
        if nearer:
            left = shapely.difference(left, shapely.unary_union(nearer), grid_size=_GRID)
        if left.area > _SLIVER:
            own = next((parts for parts in planes if _in_one_plane(parts[0][0], face)), None)
            if own is None:
                planes.append(own := [])
            own.append((face, left))
    found = [each for parts in planes for each in _one_plane(parts)]
    order_of = list(FaceSide)
    return tuple(sorted(found, key=lambda each: (order_of.index(each.side), each.level)))


def _in_one_plane(first: _Face, second: _Face) -> bool:
    return first.side is second.side and math.dist(first.plane, second.plane) <= _LEVEL


def _one_plane(parts: Sequence[tuple[_Face, BaseGeometry]]) -> Iterator[SeenFace]:
    import shapely

    # A hair wider and narrower again: no slit stays where pieces meet.
    whole = shapely.unary_union([shape.buffer(_LEVEL, join_style="mitre") for _, shape in parts])
    whole = whole.buffer(-_LEVEL, join_style="mitre").simplify(_LEVEL)
    for polygon in shapely.get_parts(whole).tolist():
        if polygon.area <= _SLIVER:
            continue
        of = [face for face, shape in parts if shape.intersects(polygon)]
        yield SeenFace(
            side=of[0].side,
            level=max(face.level for face in of),
            names=tuple(dict.fromkeys(name for face in of for name in face.names)),
            ring=tuple(map(tuple, polygon.exterior.coords[:-1])),
            holes=tuple(tuple(map(tuple, hole.coords[:-1])) for hole in polygon.interiors),
        )


def _faces(prism: Prism, view: IsometricView) -> Iterator[_Face]:
    # The faces of one prism that look toward the viewer: its sides, then its top.
    from shapely.geometry import Polygon

    right = (view.toward[1], -view.toward[0])
    ring = prism.ring
    for start, end in zip(ring, (*ring[1:], ring[0]), strict=True):
        if math.dist(start, end) <= _LEVEL:
            continue
        x, y = direction(start, end)
        out = (y, -x)
        if out[0] * view.toward[0] + out[1] * view.toward[1] >= -_GRID:
            continue
        corners = [
            view.seen(start, prism.bottom),
            view.seen(end, prism.bottom),
            view.seen(end, prism.top),
            view.seen(start, prism.top),
        ]
        looks_right = out[0] * right[0] + out[1] * right[1] > 0
        yield _Face(
            side=FaceSide.RIGHT if looks_right else FaceSide.LEFT,
            plane=(*out, out[0] * start[0] + out[1] * start[1]),
            level=prism.top,
            names=prism.names,
            shape=Polygon(corners),
        )
    yield _Face(
        side=FaceSide.TOP,
        plane=(0.0, 0.0, prism.top),
        level=prism.top,
        names=prism.names,
        shape=Polygon([view.seen(point, prism.top) for point in ring]),
    )
