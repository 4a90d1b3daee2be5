"""Concrete: footings by thickness, steps, pads' piers, cast walls and the slab."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.bands_and_outlines import Band
from staking.footing.footing_outline import merge
from staking.frozen import frozen
from staking.grade.stepping.wall_network import build_network
from staking.kinds import Casting, FootingKind
from staking.order.shape_areas import stretch_ring
from staking.order.wall_levels import Levels
from staking.plan import Dig, Footing, Plan
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


def cast_bands(plan: Plan, dig: Dig) -> tuple[Band, ...]:
    """Give the strips that are filled with concrete.

    Parameters
    ----------
    plan
        The building.
    dig
        Cast against earth the footing is as wide as the trench's bottom; in forms as drawn.

    Returns
    -------
    tuple of Band
        Walls, interior lines and pads.
    """
    if dig.cast is Casting.FORMS:
        return footing_bands(plan)[0]
    return trench_bottom(plan, dig)


def trench_bottom(plan: Plan, dig: Dig) -> tuple[Band, ...]:
    """Give the strips of the trench's bottom: over-dig and bucket counted, the bank not.

    Returns
    -------
    tuple of Band
        Walls, interior lines and pads.
    """
    return dig_bands(plan, replace(dig, bank=0.0, depth=0.0))[0]


def footing_classes(
    plan: Plan, bands: Sequence[Band], dig: Dig | None = None
) -> tuple[FootingClass, ...]:
    """Sort the footing by its thickness.

    Parameters
    ----------
    plan
        Gives every strip's thickness.
    bands
        The strips, m.
    dig
        What they are cast against; None where they are as drawn.

    Returns
    -------
    tuple of FootingClass
        The thickest first. Where strips of unlike thickness meet, the thicker takes the ground
        that both cover, so that their volumes add up to the whole.
    """
    depth, across = _sizes(plan)
    if dig is not None:
        across = {name: dug_width(width, dig) for name, width in across.items()}
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


def concrete_over(
    plan: Plan, levels: Levels, bands: Sequence[Band], dig: Dig, shape: Any, *, beyond: bool
) -> float:
    """Give the footings' concrete within a shape, or beyond it.

    Parameters
    ----------
    plan, levels
        The building and its footings.
    bands
        The strips that are filled with concrete, m.
    dig
        What they are cast against.
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

    depth, _ = _sizes(plan)
    parts: list[float] = []
    taken = unary_union([])
    for band in sorted(bands, key=lambda each: (-round(depth[each.name], 9), each.name)):
        strip = Polygon(band.hull)
        own = strip.difference(taken)
        taken = taken.union(strip)
        part = own.difference(shape) if beyond else own.intersection(shape)
        parts.append(float(part.area) * depth[band.name])
    walls = {name: wall for home in plan.buildings for wall in home.walls for name in wall.names}
    inside = {line.name: line for line in plan.interior}
    for step in levels.steps:
        if step.wall in inside:
            out, thick = 0.0, inside[step.wall].thickness
        else:
            wall = walls[step.wall]
            wider = (dug_width(step.width, dig) - step.width) / 2
            out, thick = wall.footing.outside + wider, wall.thickness
        across = out if beyond else dug_width(step.width, dig) - out - thick
        parts.append(step.overlap * step.rise * max(0.0, across))
    return math.fsum(parts)


def wall_plan(plan: Plan) -> Plan:
    """Give a plan whose footings are the walls themselves, so that bands are walls.

    Returns
    -------
    Plan
        Without pads.
    """

    def bare(thickness: float, footing: Footing, outside: float) -> Footing:
        return replace(footing, width=thickness, outside=outside)

    buildings = tuple(
        replace(
            building,
            walls=tuple(
                replace(wall, footing=bare(wall.thickness, wall.footing, 0.0))
                for wall in building.walls
            ),
        )
        for building in plan.buildings
    )
    interior = tuple(
        replace(line, footing=bare(line.thickness, line.footing, line.thickness / 2))
        for line in plan.interior
    )
    return replace(plan, buildings=buildings, interior=interior, pads=())


def slab_area(plan: Plan) -> float:
    """Give the floor between the walls.

    Parameters
    ----------
    plan
        The building.

    Returns
    -------
    float
        The outlines less the walls and interior walls that stand in them, m2.
    """
    return float(slab_shape(plan).area)


def slab_shape(plan: Plan) -> Any:
    """Give the floor between the walls as a shape.

    Returns
    -------
    shapely geometry
        The outlines less the walls and interior walls that stand in them, m.
    """
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    inside = unary_union([Polygon(building.ring) for building in plan.buildings])
    walls = unary_union([Polygon(band.hull) for band in footing_bands(wall_plan(plan))[0]])
    return inside.difference(walls)


@frozen
class WallPart:
    """Wall of one height, m, and its plan area, m2, each corner counted once."""

    height: float
    area: float


def wall_parts(plan: Plan, levels: Levels, height: float | None) -> tuple[WallPart, ...]:
    """Sort the walls by how high they stand.

    Parameters
    ----------
    plan, levels
        The building and its footings' levels.
    height
        Of all walls, m; None takes the courses of each stretch.

    Returns
    -------
    tuple of WallPart
        The highest first; openings are not taken off.
    """
    from shapely.geometry import Polygon
    from shapely.ops import unary_union

    network = build_network(wall_plan(plan))
    pieces = []
    for stretch in levels.stretches:
        high = height if height is not None else (stretch.courses or 0) * (levels.course or 0.0)
        strand = network.strand(stretch.strand.name)
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
