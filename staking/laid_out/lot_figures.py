"""What the sheet of the lot shows beside the lot itself, on the building grid. Metres, radians."""

from __future__ import annotations

import math

import numpy as np
from shapely import LineString, Polygon, union_all
from shapely import Point as ShapelyPoint

from staking.frozen import frozen
from staking.laid_out.layout_value import Layout
from staking.laid_out.staked_out import StakeOut
from staking.plan import Point
from staking.points import KnownPoint
from staking.site.building_on_lot import coordinates
from staking.site.clearance import eave_ring

_LEAST_FALL = 0.01
"""Ground that falls less than this over the building is called level, m."""
_FEWEST = 3
"""Points that a plane needs."""


@frozen
class TapeArc:
    """A tape from a known point to a stake: the arc it swings goes through the stake.

    Parameters
    ----------
    stake, known
        Their names.
    at, centre
        Where they are, m.
    distance
        What the tape reads, m.
    """

    stake: str
    known: str
    at: Point
    centre: Point
    distance: float


@frozen
class GroundFall:
    """How the ground falls over the building.

    Parameters
    ----------
    turn
        The direction in which it falls, rad anticlockwise from the grid's x: down the slope of
        the plane that fits the ground at the stakes best.
    highest, lowest
        The stakes on the highest and on the lowest ground.
    drop
        From the one to the other, m.
    """

    turn: float
    highest: str
    lowest: str
    drop: float


@frozen
class PropertyTie:
    """How far the building stands from a line of the boundary.

    `at` lies on the building and `foot` on the line, m.
    """

    line: str
    at: Point
    foot: Point
    distance: float
    setback: float | None


@frozen
class LotFigures:
    """What is worked out for the sheet of the lot.

    Parameters
    ----------
    arcs
        The tapes to the first two stakes, two to each; none where too few points are known.
    setbacks
        Rings inside which the building may stand by its setbacks; none where the job has none.
    eaves
        The edge of the eaves of each building; none without an overhang.
    ties
        From the outside face to the lines of the boundary.
    fall
        None without levels, or on level ground.
    """

    arcs: tuple[TapeArc, ...]
    setbacks: tuple[tuple[Point, ...], ...]
    eaves: tuple[tuple[Point, ...], ...]
    ties: tuple[PropertyTie, ...]
    fall: GroundFall | None


def lot_figures(
    layout: Layout, staked: StakeOut | None, first: tuple[str, str] | None
) -> LotFigures | None:
    """Work out what the sheet of the lot shows.

    Parameters
    ----------
    layout
        The layout.
    staked
        Two tapes to each stake, where they are known.
    first
        The two corners that are staked first.

    Returns
    -------
    LotFigures or None
        None where the building is not placed.
    """
    site = layout.site
    if site is None or site.placement is None:
        return None
    overhang = site.asked.overhang
    eaves = tuple(
        tuple((float(x), float(y)) for x, y in eave_ring(building, overhang))
        for building in (layout.plan.buildings if overhang > 0 else ())
    )
    return LotFigures(
        arcs=_arcs(layout, staked, first),
        setbacks=_setback_rings(layout),
        eaves=eaves,
        ties=_ties(layout),
        fall=ground_fall(layout),
    )


def _on_plan(layout: Layout, points: tuple[KnownPoint, ...]) -> list[Point]:
    site = layout.site
    if site is None or site.placement is None or not points:
        return []
    places = site.placement.to_building(coordinates(points))
    return [(float(x), float(y)) for x, y in places]


def _arcs(
    layout: Layout, staked: StakeOut | None, first: tuple[str, str] | None
) -> tuple[TapeArc, ...]:
    site = layout.site
    if site is None or staked is None or first is None:
        return ()
    known = dict(zip((p.name for p in site.control), _on_plan(layout, site.control), strict=True))
    corners = {c.name: c.point for b in layout.plan.buildings for c in b.corners}
    ties = {tie.name: tie for tie in staked.ties}
    arcs = []
    for stake in first:
        tie = ties.get(stake)
        if tie is None:
            continue
        for name, distance in (
            (tie.first, tie.first_distance),
            (tie.second, tie.second_distance),
        ):
            if name in known:
                arcs.append(
                    TapeArc(
                        stake=stake, known=name, at=corners[stake], centre=known[name],
                        distance=distance,
                    )
                )  # fmt: skip
    return tuple(arcs)


def _setback_rings(layout: Layout) -> tuple[tuple[Point, ...], ...]:
    # The lot without all that is nearer to a line than its setback.
    lines = _boundary(layout)
    if layout.site is None or not lines:
        return ()
    setback = {each.line: each.setback for each in layout.site.clearances}
    strips = [
        LineString(run).buffer(wide, quad_segs=16)
        for name, run in lines.items()
        if (wide := setback.get(name) or 0.0) > 0
    ]
    if not strips:
        return ()
    lot = Polygon([point for run in lines.values() for point in run[:-1]])
    allowed = lot.difference(union_all(strips))
    rings = [allowed] if isinstance(allowed, Polygon) else list(getattr(allowed, "geoms", ()))
    return tuple(
        tuple((float(x), float(y)) for x, y in ring.exterior.coords[:-1])
        for ring in rings
        if isinstance(ring, Polygon) and not ring.is_empty
    )


def _ties(layout: Layout) -> tuple[PropertyTie, ...]:
    ties = []
    lines = _boundary(layout)
    site = layout.site
    if site is None or site.placement is None:
        return ()
    for each in site.clearances:
        if each.what != "wall" or each.line not in lines:
            continue
        at = site.placement.to_building(np.array([each.at]))[0]
        run = LineString(lines[each.line])
        foot = run.interpolate(run.project(ShapelyPoint(at)))
        ties.append(
            PropertyTie(
                line=each.line,
                at=(float(at[0]), float(at[1])),
                foot=(foot.x, foot.y),
                distance=each.distance,
                setback=each.setback,
            )
        )
    return tuple(ties)


def _boundary(layout: Layout) -> dict[str, list[Point]]:
    # Each line of the boundary from corner to corner, along its curve where it has one.
    site = layout.site
    if site is None or site.placement is None:
        return {}
    edges = _on_plan(layout, site.boundary)
    found = {}
    for line, start, end in zip(site.lines, edges, (*edges[1:], *edges[:1]), strict=True):
        curve = site.placement.to_building(np.array(line.through)) if line.through else ()
        found[line.name] = [start, *((float(x), float(y)) for x, y in curve), end]
    return found


def ground_fall(layout: Layout) -> GroundFall | None:
    """Say how the ground falls over the building.

    Parameters
    ----------
    layout
        The layout.

    Returns
    -------
    GroundFall or None
        None without the ground at three stakes, or where it is level.
    """
    if layout.grade is None:
        return None
    corners = {corner.name for b in layout.plan.buildings for corner in b.corners}
    stakes = [
        (each.name, each.x, each.y, each.ground)
        for each in layout.grade.stakes
        if each.ground is not None and each.name in corners
    ]
    if len(stakes) < _FEWEST:
        return None
    highest, lowest = (pick(stakes, key=lambda each: each[3]) for pick in (max, min))
    drop = highest[3] - lowest[3]
    if drop < _LEAST_FALL:
        return None
    places = np.array([[x, y] for _, x, y, _ in stakes])
    heights = np.array([level for *_, level in stakes])
    centred = places - places.mean(axis=0)
    slope, *_ = np.linalg.lstsq(centred, heights - heights.mean(), rcond=None)
    return GroundFall(
        turn=math.atan2(-float(slope[1]), -float(slope[0])),
        highest=highest[0],
        lowest=lowest[0],
        drop=drop,
    )
