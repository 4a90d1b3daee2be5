"""What a section through wall and footing shows: sizes, bars, cover, frost depth. Metres."""

from __future__ import annotations

import math

from staking.frozen import frozen
from staking.laid_out.layout_value import Layout
from staking.order.drain.falling_arms import DrainRoom
from staking.order.drain.pipe_and_stone import OVER_PIPE, PAST_FOOTING, UNDER_PIPE
from staking.order.order_request import DrainAsked, OrderAsked, SteelAsked
from staking.plan import Footing


@frozen
class DrainInSection:
    """The drain beside a footing, as high as it is laid at most; heights from the footing's bottom.

    Parameters
    ----------
    size
        The pipe's nominal size, m; None for stone alone.
    invert
        Of the pipe, m; 0 for stone alone.
    beside
        How far its trench stands from the footing's edge, m.
    width
        Of the trench, m.
    low, high
        Of the stone, m.
    """

    size: float | None
    invert: float
    beside: float
    width: float
    low: float
    high: float


@frozen
class FootingSection:
    """One kind of wall on its footing.

    Parameters
    ----------
    walls
        The walls or interior lines that are built so, in the plan's order.
    wall
        The wall's thickness, m.
    width, thickness
        Of the footing, m.
    outside, inside
        How far the footing goes past the wall's outside and inside face, m; of an interior
        line past its left and right face.
    is_interior
        Whether these are interior lines.
    stone
        Stone under the footing, m; 0 for none.
    frost_depth, in_ground
        The least depth of the footing's bottom under finished grade and into undisturbed
        ground, m; None for a job without levels.
    steel
        The bars; None where the job does not say.
    drain
        The drain on its outside; None without one.
    """

    walls: tuple[str, ...]
    wall: float
    width: float
    thickness: float
    outside: float
    inside: float
    is_interior: bool
    stone: float
    frost_depth: float | None
    in_ground: float | None
    steel: SteelAsked | None
    drain: DrainInSection | None = None


def footing_sections(layout: Layout, asked: OrderAsked | None) -> tuple[FootingSection, ...]:
    """Sort the walls of a layout by how they and their footings are built.

    Parameters
    ----------
    layout
        The layout.
    asked
        What the job asks of its order; None without an order section.

    Returns
    -------
    tuple of FootingSection
        Outside walls before interior lines; of each, the kind with the greatest length first.
    """
    found: dict[tuple[bool, float, Footing], list[tuple[str, float]]] = {}
    for building in layout.plan.buildings:
        for side in building.sides:
            wall = side.wall
            if wall.existing is None:
                key = (False, wall.thickness, wall.footing)
                found.setdefault(key, []).append((wall.name, side.length))
    for line in layout.plan.interior:
        key = (True, line.thickness, line.footing)
        found.setdefault(key, []).append((line.name, math.dist(line.start, line.end)))
    rules = None if layout.grade is None else layout.grade.request.rules
    made = [
        (
            is_interior,
            -sum(run for _, run in walls),
            FootingSection(
                walls=tuple(name for name, _ in walls),
                wall=thick,
                width=footing.width,
                thickness=footing.thickness,
                outside=footing.outside,
                inside=footing.width - footing.outside - thick,
                is_interior=is_interior,
                stone=layout.options.dig.base,
                frost_depth=None if rules is None else rules.frost_depth,
                in_ground=None if rules is None else rules.in_ground,
                steel=None if asked is None else asked.steel,
                drain=None
                if is_interior or asked is None or asked.drain is None
                else _drain(asked.drain, footing),
            ),
        )
        for (is_interior, thick, footing), walls in found.items()
    ]
    return tuple(section for *_, section in sorted(made, key=lambda each: each[:2]))


def _drain(asked: DrainAsked, footing: Footing) -> DrainInSection:
    # Beside a footing at level 0 it may lie as high as its crown is level with the top.
    if asked.size is None:
        high = footing.thickness + OVER_PIPE
        return DrainInSection(
            size=None, invert=0.0, beside=0.0, width=PAST_FOOTING, low=0.0, high=high
        )
    room = DrainRoom(size=asked.size, under=UNDER_PIPE, beside=asked.beside)
    invert = room.over(0.0, footing.thickness)
    return DrainInSection(
        size=asked.size,
        invert=invert,
        beside=asked.beside,
        width=PAST_FOOTING,
        low=invert - UNDER_PIPE,
        high=invert + asked.size + OVER_PIPE,
    )
