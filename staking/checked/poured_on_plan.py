"""A surveyed footing on the plan: each point on its edge, each top at its place."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from staking.adjust.nails import fit_to_lines
from staking.adjust.pour.footing_edges import PlannedEdge
from staking.adjust.pour.on_footing import OnFooting, PointLevel
from staking.adjust.pour.poured import BESIDE, EdgeFound, LevelFound
from staking.adjust.surveyed_stakes import displacement
from staking.checked.shots_on_plan import lot_points, refuse_mirrored, refuse_wrong_size
from staking.errors import ComputationError, InputError, Problem
from staking.frozen import frozen
from staking.kinds import FootingEdge, OntoPlan, PouredFigure
from staking.laid_out.layout_value import Layout
from staking.laid_out.staked_out import known_stakes
from staking.layout.named_points import named_points
from staking.network.geometry import Floats
from staking.notices import Notice, Severity, notice
from staking.plan import Plan, Point
from staking.points import SurveyPoints
from staking.units import Unit

FAR = 0.3048
"""An edge this far from its planned line, m, is a wrong name or another grid (common practice, no
source)."""

LOT_DOUBT = 0.02
"""A point of the lot found this far off its place, m, tells of a wrong set-up (common practice, no
source)."""

TURNS = 24
"""From how many directions a fit onto the edges alone begins."""

_ANOTHER = "is it another edge, or another grid?"

_PAST = 1.0
"""How far past a wall's corner its footing may be surveyed, m."""

Sides = Mapping[str, Mapping[FootingEdge, PlannedEdge]]


@frozen
class SurveyedFooting:
    """A survey of the poured footing on the plan.

    Parameters
    ----------
    edges, levels
        Where edges and tops are.
    fitted
        How the points came onto the plan.
    notices
        The notices for whoever reads the answer.
    """

    edges: tuple[EdgeFound, ...]
    levels: tuple[LevelFound, ...]
    fitted: OntoPlan
    notices: tuple[Notice, ...]


def footing_names(plan: Plan, planned: Sequence[PlannedEdge]) -> dict[str, str]:
    """Give every way to name a wall, interior line or pad with a footing.

    Parameters
    ----------
    plan
        The plan.
    planned
        The footing's edges.

    Returns
    -------
    dict
        The plan's own name by each; a wall may be named from either end.
    """
    names = {where: where for where in _by_side(planned)}
    for building in plan.buildings:
        for wall in building.walls:
            if wall.name in names:
                names.setdefault(wall.reversed_name, wall.name)
    return names


def _by_side(planned: Sequence[PlannedEdge]) -> dict[str, dict[FootingEdge, PlannedEdge]]:
    sides: dict[str, dict[FootingEdge, PlannedEdge]] = {}
    for edge in planned:
        sides.setdefault(edge.where, {})[edge.side] = edge
    return sides


def footing_on_plan(
    layout: Layout,
    surveys: Sequence[SurveyPoints],
    points: Sequence[tuple[SurveyPoints, OnFooting]],
    unread: Sequence[str],
    planned: Sequence[PlannedEdge],
) -> SurveyedFooting:
    """Turn surveyed points into edges and levels.

    Parameters
    ----------
    layout
        The layout.
    surveys
        What was surveyed.
    points
        Those that say what they are on, each with its survey.
    unread
        The names of the others.
    planned
        The footing's edges.

    Returns
    -------
    SurveyedFooting
        Edges and levels.

    Raises
    ------
    InputError
        For every point that is on no edge of the wall it names, and where nothing is.
    """
    if not points:
        raise InputError(
            Problem(
                path=surveys[0].name,
                message="no point says which footing edge or top it is on",
                remedy="name or describe each, as in `A-B outer edge`, `A-B top`, `A-B outer top`",
            )
        )
    sides = _by_side(planned)
    places, fitted, known = _onto_plan(layout, surveys, [each for _, each in points], sides)
    edges, levels = _sort(points, places, sides, {pad.name for pad in layout.plan.pads})
    silent, said = lot_points(
        layout, surveys, [each for each in unread if each not in known], LOT_DOUBT
    )
    return SurveyedFooting(
        edges=tuple(edges),
        levels=tuple(levels),
        fitted=fitted,
        notices=(*said, *_not_taken(silent, [each for _, each in points])),
    )


def _not_taken(silent: Sequence[str], points: Sequence[OnFooting]) -> list[Notice]:
    told = []
    if silent:
        more = f" and {len(silent) - 12} more" if len(silent) > 12 else ""
        told.append(
            notice(
                "points-not-read",
                "these do not say which edge or top they are on, and are not used: {names}",
                names=", ".join(silent[:12]) + more,
            )
        )
    if any(
        each.is_on_edge and each.level is None and not math.isnan(each.elevation) for each in points
    ):
        told.append(
            notice(
                "edge-elevations",
                "elevations of edge points are not taken as tops unless the point says so: add "
                "the word top to it",
                Severity.NOTE,
            )
        )
    return told


def _onto_plan(
    layout: Layout, surveys: Sequence[SurveyPoints], points: Sequence[OnFooting], sides: Sides
) -> tuple[list[Point], OntoPlan, set[str]]:
    raw = np.array([(each.easting, each.northing) for each in points], dtype=float)
    site = layout.surveyed_lot
    planned = _stakes(layout)
    seen = {
        str(name): (float(survey.easting[i]), float(survey.northing[i]))
        for survey in surveys
        for i, name in enumerate(survey.names)
        if str(name) in planned
    }
    if site is not None and site.placement is not None:
        moved = site.placement.to_building(raw[:, ::-1])
        return [(x, y) for x, y in moved.tolist()], OntoPlan.LOT, set(seen)
    if len(seen) >= 2:
        matrix = _by_stakes(seen, planned)
        fitted = OntoPlan.STAKES
    else:
        matrix = _by_edges(points, raw, sides)
        fitted = OntoPlan.EDGES
    moved = np.column_stack((raw, np.ones(len(raw)))) @ matrix.T
    return [(x, y) for x, y in moved.tolist()], fitted, set(seen)


def _stakes(layout: Layout) -> dict[str, Point]:
    points = named_points(layout.plan, layout.hubs, layout.boards)
    return {name: (each.x, each.y) for name, each in known_stakes(layout, points).items()}


def _by_stakes(seen: Mapping[str, Point], planned: Mapping[str, Point]) -> Floats:
    raw = np.array(list(seen.values()), dtype=float)
    plan = np.array([planned[name] for name in seen], dtype=float)
    refuse_wrong_size(raw, plan)
    refuse_mirrored(raw, plan)
    ways = np.repeat(np.eye(2), len(raw), axis=0)
    start = displacement(raw, plan).turn
    return fit_to_lines(np.vstack((raw, raw)), np.vstack((plan, plan)), ways, start)[0]


def _by_edges(points: Sequence[OnFooting], raw: Floats, sides: Sides) -> Floats:
    # each edge point on its line, from whatever turn leaves the least
    rows = [
        (i, sides[where][each.side])
        for i, each in enumerate(points)
        for where in each.wheres
        if each.side is not None and each.side in sides[where]
    ]
    ways = np.array([edge.out for _, edge in rows], dtype=float).reshape(-1, 2)
    if len(rows) < 3 or np.linalg.matrix_rank(ways, tol=0.05) < 2:
        raise ComputationError(
            "nothing says where the surveyed footing lies on the plan: the job is not placed, and "
            "the edges do not run two ways; add two corner stakes or hubs to the survey"
        )
    here = raw[[i for i, _ in rows]]
    there = np.array([edge.start for _, edge in rows], dtype=float)
    best: tuple[float, Floats] | None = None
    for i in range(TURNS):
        matrix, off = fit_to_lines(here, there, ways, 2 * math.pi * i / TURNS)
        moved = np.column_stack((here, np.ones(len(here)))) @ matrix.T
        stations = [edge.station_of((x, y)) for (_, edge), (x, y) in zip(rows, moved, strict=True)]
        past = [
            max(-station, station - edge.length, 0.0)
            for station, (_, edge) in zip(stations, rows, strict=True)
        ]
        cost = float(off @ off) + sum(each**2 for each in past if each > _PAST)
        if best is None or cost < best[0] - 1e-12:
            best = (cost, matrix)
    assert best is not None
    return best[1]


@frozen
class _PointReading:
    """What one point says of one footing: an edge, a level, or what is wrong with it.

    `stray` is how far off it lies where that is too far for its edge, m, with the words for it.
    """

    edge: EdgeFound | None = None
    level: LevelFound | None = None
    is_top: bool = False
    problem: Problem | None = None
    stray: tuple[float, str] | None = None


def _sort(
    points: Sequence[tuple[SurveyPoints, OnFooting]],
    places: Sequence[Point],
    sides: Sides,
    pads: set[str],
) -> tuple[list[EdgeFound], list[LevelFound]]:
    taken = [
        _taken(survey, each, where, sides[where], is_pad=where in pads, here=here)
        for (survey, each), here in zip(points, places, strict=True)
        for where in each.wheres
    ]
    edges = [each.edge for each in taken if each.edge is not None]
    strays = [each.stray for each in taken if each.stray is not None]
    if len(strays) > 2 and not edges:
        # Not one edge is where it should be: one sentence, not one a point.
        raise InputError(
            Problem(
                message=f"no edge lies where it is planned, the nearest {min(strays)[1]} off",
                remedy="say with --unit what the file is in, or see that it is on the job's grid",
                path=points[0][0].name,
            )
        )
    problems = [each.problem for each in taken if each.problem is not None]
    if problems:
        raise InputError(*problems)
    tops = [each.level for each in taken if each.level is not None and each.is_top]
    bottoms = [each.level for each in taken if each.level is not None and not each.is_top]
    return edges, [*tops, *_thicknesses(tops, bottoms)]


def _taken(
    survey: SurveyPoints,
    each: OnFooting,
    where: str,
    edges: Mapping[FootingEdge, PlannedEdge],
    *,
    is_pad: bool,
    here: Point,
) -> _PointReading:
    def problem(message: str, remedy: str) -> Problem:
        return Problem(message=message, remedy=remedy, path=survey.name, line=each.line or None)

    edge, fault = _edge_of(each, where, edges, is_pad, here)
    if fault:
        return _PointReading(problem=problem(fault, _ANOTHER))
    if edge is not None and abs(edge.beyond(here)) > FAR:
        off, unit = abs(edge.beyond(here)), Unit(survey.unit)
        far = f"{off / unit.metres:.2f} {unit.value}"
        fault = f"{each.name} lies {far} from the planned {_edge_name(edge)} of {where}"
        return _PointReading(problem=problem(fault, _ANOTHER), stray=(off, far))
    anchor = edge or next(iter(edges.values()))
    station = None if is_pad else anchor.station_of(here)
    x, y = here
    found = level = fault_of_level = None
    if edge is not None:
        more = edge.beyond(here)
        found = EdgeFound(
            where=where, side=edge.side, station=station, more=more, name=each.name, x=x, y=y
        )
    if each.level is not None:
        value = each.elevation
        level = LevelFound(
            where=where,
            what=PouredFigure.TOP,
            station=station,
            value=value,
            name=each.name,
            x=x,
            y=y,
        )
        if math.isnan(value):
            fault_of_level = problem(
                f"{each.name} is a {each.level} without an elevation", "give its elevation"
            )
    return _PointReading(
        edge=found, level=level, is_top=each.level is PointLevel.TOP, problem=fault_of_level
    )


def _edge_name(edge: PlannedEdge) -> str:
    return str(PouredFigure.of_edge(edge.side))


def _edge_of(
    each: OnFooting, where: str, edges: Mapping[FootingEdge, PlannedEdge], is_pad: bool, here: Point
) -> tuple[PlannedEdge | None, str]:
    """Find the edge a point is on, or what is wrong with it; neither for a mere top."""
    if not each.is_on_edge:
        return None, ""
    if is_pad:
        return min(edges.values(), key=lambda edge: abs(edge.beyond(here))), ""
    if each.side is not None and each.side in edges:
        return edges[each.side], ""
    has = " and ".join(edges)
    return None, f"{each.name} is on the {each.side} edge, and {where} has {has}"


def _thicknesses(tops: Iterable[LevelFound], bottoms: Iterable[LevelFound]) -> list[LevelFound]:
    # a bottom before the pour with the nearest top after it
    listed = list(tops)
    found = []
    for low in bottoms:
        near = [
            (abs((top.station or 0.0) - (low.station or 0.0)), i, top)
            for i, top in enumerate(listed)
            if top.where == low.where
        ]
        best = min(near, default=None)
        if best is not None and best[0] <= BESIDE:
            found.append(replace(low, what=PouredFigure.THICKNESS, value=best[2].value - low.value))
    return found
