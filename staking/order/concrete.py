"""Concrete: footings by thickness, steps, pads' piers, cast walls and the slab."""

from __future__ import annotations

import math
from typing import Any

from staking.footing.footing_outline import merge
from staking.frozen import frozen
from staking.kinds import Casting, FootingKind
from staking.order.footing_in_ground import FootingInGround
from staking.order.shape_areas import stretch_ring
from staking.plan import Dig, Plan
from staking.tolerances import AREA


@frozen
class FootingClass:
    """All footing of one thickness: its plan area, m2, each corner counted once.

    `width` is the one width of all its strips, m, or None where they differ.
    """

    thickness: float
    area: float
    width: float | None

    @property
    def volume(self) -> float:
        """Area times thickness, m3."""
        return self.area * self.thickness


def footing_classes(footing: FootingInGround) -> tuple[FootingClass, ...]:
    """Sort the footing by its thickness.

    Parameters
    ----------
    footing
        The footing with the strips that are cast.

    Returns
    -------
    tuple of FootingClass
        The thickest first. Where strips of unlike thickness meet, the thicker takes the ground
        that both cover, so that their volumes add up to the whole.
    """
    bands = footing.cast
    depth, drawn = _sizes(footing.plan)
    across = {name: dug_width(width, footing.dig) for name, width in drawn.items()}
    thicknesses = sorted({round(value, 9) for value in depth.values()}, reverse=True)
    classes = []
    covered = 0.0
    for thickness in thicknesses:
        area = merge([b for b in bands if round(depth[b.name], 9) >= thickness]).area
        own = [band for band in bands if round(depth[band.name], 9) == thickness]
        widths = {round(across.get(band.name, math.nan), 9) for band in own}
        width = widths.pop() if len(widths) == 1 else None
        if area - covered > AREA:
            classes.append(
                FootingClass(
                    thickness=thickness,
                    area=area - covered,
                    width=None if width is None or math.isnan(width) else width,
                )
            )
        covered = area
    return tuple(classes)


def _sizes(plan: Plan) -> tuple[dict[str, float], dict[str, float]]:
    # Thickness of every strip, and the width of those that are not pads.
    footings = {
        wall.name: wall.footing
        for building in plan.buildings
        for wall in building.walls
        if wall.existing is None
    }
    footings |= {line.name: line.footing for line in plan.interior}
    depth = {name: footing.thickness for name, footing in footings.items()}
    depth |= {pad.name: pad.thickness for pad in plan.pads}
    return depth, {name: footing.width for name, footing in footings.items()}


def dug_width(width: float, dig: Dig) -> float:
    """Give how wide a footing is cast.

    Parameters
    ----------
    width
        As drawn, m.
    dig
        Over-dig, bucket and whether it is cast against earth.

    Returns
    -------
    float
        m.
    """
    if dig.cast is Casting.FORMS:
        return width
    return width + 2 * max((dig.bucket - width) / 2, dig.overdig, 0.0)


def concrete_over(footing: FootingInGround, shape: Any, *, beyond: bool) -> float:
    """Give the footings' concrete within a shape, or beyond it.

    Parameters
    ----------
    footing
        The footing with the strips that are cast.
    shape
        The ground inside the walls' outside or inside faces: a shapely geometry, m.
    beyond
        Whether what lies outside that is wanted; else what lies in it, the walls not counted.

    Returns
    -------
    float
        m3, steps included.
    """
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    plan, dig = footing.plan, footing.dig
    depth, _ = _sizes(plan)
    parts: list[float] = []
    taken = unary_union([])
    for band in sorted(footing.cast, key=lambda each: (-round(depth[each.name], 9), each.name)):
        strip = Polygon(band.hull)
        own = strip.difference(taken)
        taken = taken.union(strip)
        part = own.difference(shape) if beyond else own.intersection(shape)
        parts.append(float(part.area) * depth[band.name])
    walls = {name: wall for home in plan.buildings for wall in home.walls for name in wall.names}
    inside = {line.name: line for line in plan.interior}
    for step in footing.levels.steps:
        if step.wall in inside:
            out, thick = 0.0, inside[step.wall].thickness
        else:
            wall = walls[step.wall]
            wider = (dug_width(step.width, dig) - step.width) / 2
            out, thick = wall.footing.outside + wider, wall.thickness
        across = out if beyond else dug_width(step.width, dig) - out - thick
        parts.append(step.overlap * step.rise * max(0.0, across))
    return math.fsum(parts)


@frozen
class WallPart:
    """Wall of one height, m, and its plan area, m2, each corner counted once."""

    height: float
    area: float


def wall_parts(footing: FootingInGround, height: float | None) -> tuple[WallPart, ...]:
    """Sort the walls by how high they stand.

    Parameters
    ----------
    footing
        The footing and the walls on it.
    height
        Of all walls, m; None takes the courses of each stretch.

    Returns
    -------
    tuple of WallPart
        The highest first; openings are not taken off.
    """
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    levels = footing.levels
    pieces = []
    for stretch in levels.stretches:
        high = height if height is not None else (stretch.courses or 0) * (levels.course or 0.0)
        strand = footing.walls.strand(stretch.strand.name)
        ring = stretch_ring(strand, strand.hull, stretch.start, stretch.end)
        if ring:
            pieces.append((high, strand.kind is not FootingKind.WALL, Polygon(ring)))
    pieces.sort(key=lambda piece: (-piece[0], piece[1]))
    found: dict[float, float] = {}
    taken = unary_union([])
    for high, _, shape in pieces:
        found[round(high, 9)] = found.get(round(high, 9), 0.0) + shape.difference(taken).area
        taken = taken.union(shape)
    return tuple(WallPart(height=high, area=area) for high, area in found.items() if high > 0)
