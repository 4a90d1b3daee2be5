"""The poured footing against the plan: edges, width, tops, thickness, and the worst place."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from staking.adjust.pour.footing_edges import PlannedEdge, place_on
from staking.adjust.pour.poured_limits import (
    PouredLimit,
    edge_limit,
    level_limit,
    thickness_limit,
    top_limit,
    width_limit,
)
from staking.frozen import frozen
from staking.kinds import Casting, FootingEdge, PouredFigure, WallMaterial
from staking.plan import Plan, Point

BESIDE = 0.6096
"""Edges surveyed within 2 ft of each other along a wall give a width there (common practice, no
source)."""

AT_STEP = 0.1
"""This near to a step, m, a top may belong to either run (common practice, no source)."""


@frozen
class EdgeFound:
    """An edge of the poured footing at one place.

    Parameters
    ----------
    where, side
        Wall, interior line or pad, and which of its edges.
    station
        From the wall's first corner, m; None on a pad.
    more
        How far it lies beyond the planned edge, m: positive away from the footing's middle.
    row
        Readings with one row number were taken at one place; None for points by themselves.
    name
        The point's name or the row's line.
    x, y
        Where it is, m; None where it was taped.
    """

    where: str
    side: FootingEdge
    station: float | None
    more: float
    row: int | None = None
    name: str = ""
    x: float | None = None
    y: float | None = None


@frozen
class LevelFound:
    """A level on the poured footing, m: a top is an elevation, a thickness a length."""

    where: str
    what: PouredFigure
    station: float | None
    value: float
    name: str = ""
    x: float | None = None
    y: float | None = None


@frozen
class TopRun:
    """A planned level run: stations along its wall and the top of its footing, m."""

    where: str
    start: float
    end: float
    top: float


@frozen
class Deviation:
    """One figure of the poured footing against the plan, m.

    `x` and `y` are the planned place that it belongs to; `out` is the direction in which the figure
    counts as more, or None.
    """

    where: str
    what: PouredFigure
    station: float | None
    measured: float
    planned: float
    limit: PouredLimit
    x: float
    y: float
    out: Point | None = None
    name: str = ""

    @property
    def off(self) -> float:
        """Measured less planned, m."""
        return self.measured - self.planned

    @property
    def good(self) -> bool:
        """Whether it is within the limit."""
        return self.limit.holds(self.off)

    @property
    def share(self) -> float:
        """The part of the limit that it takes."""
        return self.limit.share(self.off)


@frozen
class FootingVerdict:
    """One wall's, line's or pad's footing: everything measured on it, in order."""

    where: str
    deviations: tuple[Deviation, ...]

    @property
    def good(self) -> bool:
        """Whether everything measured is within its limit."""
        return all(each.good for each in self.deviations)

    def worst(self, *kinds: str) -> Deviation | None:
        """Find what takes the greatest part of its limit, of some kinds or of all."""
        there = [each for each in self.deviations if not kinds or each.what in kinds]
        return max(there, key=lambda each: each.share, default=None)


@frozen
class Poured:
    """The poured footing judged: in the plan's order, and what was not measured at all."""

    verdicts: tuple[FootingVerdict, ...]
    missing: tuple[str, ...]

    @property
    def good(self) -> bool:
        """Whether everything measured is within its limit."""
        return all(each.good for each in self.verdicts)

    @property
    def deviations(self) -> tuple[Deviation, ...]:
        """Everything measured."""
        return tuple(each for verdict in self.verdicts for each in verdict.deviations)

    @property
    def worst(self) -> Deviation | None:
        """What takes the greatest part of its limit; None where nothing was measured."""
        return max(self.deviations, key=lambda each: each.share, default=None)


@frozen
class Terms:
    """What the footing is judged by: what it carries, and what it was cast against."""

    carries: WallMaterial = WallMaterial.MASONRY
    cast: Casting = Casting.EARTH


def judge_poured(
    plan: Plan,
    planned: Sequence[PlannedEdge],
    edges: Iterable[EdgeFound],
    levels: Iterable[LevelFound],
    runs: Sequence[TopRun],
    terms: Terms,
) -> Poured:
    """Judge the poured footing.

    Parameters
    ----------
    plan
        The plan.
    planned
        Its footing edges.
    edges, levels
        What was measured.
    runs
        The planned tops; without any for a wall only its levelness is judged.
    terms
        What it is judged by.

    Returns
    -------
    Poured
        Every figure with its limit.
    """
    by_edge: dict[str, dict[FootingEdge, PlannedEdge]] = {}
    for edge in planned:
        by_edge.setdefault(edge.where, {})[edge.side] = edge
    found: dict[str, list[Deviation]] = {where: [] for where in by_edge}
    seen = list(edges)
    for each in seen:
        found[each.where].append(_edge(by_edge[each.where][each.side], each, terms))
    for where, sides in by_edge.items():
        found[where] += _widths(sides, [each for each in seen if each.where == where], terms)
    heights = list(levels)
    thick = _thicknesses(plan)
    for where, sides in by_edge.items():
        own = [run for run in runs if run.where == where]
        here = [each for each in heights if each.where == where]
        anchor = next(iter(sides.values()))
        tops = [each for each in here if each.what is PouredFigure.TOP]
        found[where] += [_top(anchor, each, own, terms) for each in tops if own]
        found[where] += _levels(anchor, tops, own)
        found[where] += [
            _level_of(anchor, each, thick[where], thickness_limit(thick[where]))
            for each in here
            if each.what is PouredFigure.THICKNESS
        ]
    return Poured(
        verdicts=tuple(
            FootingVerdict(where=where, deviations=tuple(listed))
            for where, listed in found.items()
            if listed
        ),
        missing=tuple(where for where, listed in found.items() if not listed),
    )


def _edge(edge: PlannedEdge, found: EdgeFound, terms: Terms) -> Deviation:
    x, y = place_on(edge, found.station, found.x, found.y)
    out = edge.out
    if edge.radius is not None and found.x is not None and found.y is not None:
        away = math.dist(edge.start, (found.x, found.y)) or 1.0
        out = ((found.x - edge.start[0]) / away, (found.y - edge.start[1]) / away)
    return Deviation(
        where=edge.where,
        what=PouredFigure.of_edge(edge.side),
        station=found.station,
        measured=edge.from_string + found.more,
        planned=edge.from_string,
        limit=edge_limit(edge.width, terms.carries, terms.cast),
        x=x,
        y=y,
        out=out,
        name=found.name,
    )


def _widths(
    sides: dict[FootingEdge, PlannedEdge], found: Sequence[EdgeFound], terms: Terms
) -> list[Deviation]:
    # each edge on one side with the nearest on the other
    pairs = [
        (FootingEdge.OUTER, FootingEdge.INNER),
        (FootingEdge.LEFT, FootingEdge.RIGHT),
        (FootingEdge.FIRST, FootingEdge.THIRD),
        (FootingEdge.SECOND, FootingEdge.FOURTH),
    ]
    widths = []
    for one, other in pairs:
        if one not in sides or other not in sides:
            continue
        far = [each for each in found if each.side is other]
        for each in found:
            if each.side is not one:
                continue
            mate = _mate(each, far)
            if mate is None:
                continue
            edge = sides[one]
            x, y = place_on(edge, each.station, each.x, each.y)
            planned = edge.width
            widths.append(
                Deviation(
                    where=edge.where,
                    what=PouredFigure.WIDTH,
                    station=each.station,
                    measured=planned + each.more + mate.more,
                    planned=planned,
                    limit=width_limit(planned, terms.cast),
                    x=x,
                    y=y,
                    name=each.name,
                )
            )
    return widths


def _mate(found: EdgeFound, others: Sequence[EdgeFound]) -> EdgeFound | None:
    if found.row is not None:
        return next((each for each in others if each.row == found.row), None)
    if found.station is None:
        return others[0] if others else None
    station = found.station
    near = [
        (abs(each.station - station), i, each)
        for i, each in enumerate(others)
        if each.station is not None and each.row is None
    ]
    best = min(near, default=None)
    return best[2] if best is not None and best[0] <= BESIDE else None


def _thicknesses(plan: Plan) -> dict[str, float]:
    walls = {w.name: w.footing.thickness for b in plan.buildings for w in b.walls}
    lines = {line.name: line.footing.thickness for line in plan.interior}
    return {**walls, **lines, **{pad.name: pad.thickness for pad in plan.pads}}


def _level_of(edge: PlannedEdge, each: LevelFound, planned: float, limit: PouredLimit) -> Deviation:
    x, y = place_on(edge, each.station, each.x, each.y)
    return Deviation(
        where=each.where,
        what=each.what,
        station=each.station,
        measured=each.value,
        planned=planned,
        limit=limit,
        x=x,
        y=y,
        name=each.name,
    )


def planned_top(runs: Sequence[TopRun], station: float | None, value: float) -> float:
    """Give the planned top at a station: of two runs that meet there, the nearer to `value`.

    Parameters
    ----------
    runs
        The wall's runs, at least one.
    station
        From the wall's first corner, m; None on a pad.
    value
        What was measured, m.

    Returns
    -------
    float
        An elevation, m.
    """
    if station is None:
        return runs[0].top
    here = [r.top for r in runs if r.start - AT_STEP <= station <= r.end + AT_STEP]
    if not here:
        return min(runs, key=lambda r: max(r.start - station, station - r.end)).top
    return min(here, key=lambda top: abs(top - value))


def _top(edge: PlannedEdge, each: LevelFound, runs: Sequence[TopRun], terms: Terms) -> Deviation:
    planned = planned_top(runs, each.station, each.value)
    return _level_of(edge, each, planned, top_limit(terms.carries))


def _levels(
    edge: PlannedEdge, tops: Sequence[LevelFound], runs: Sequence[TopRun]
) -> list[Deviation]:
    # the greatest fall of each level run, as a part of what is allowed over its distance
    groups: dict[float, list[LevelFound]] = {}
    for each in tops:
        if each.station is not None:
            level = planned_top(runs, each.station, each.value) if runs else 0.0
            groups.setdefault(level, []).append(each)
    found = []
    for group in groups.values():
        pairs = [
            (one, other)
            for i, one in enumerate(group)
            for other in group[i + 1 :]
            if one.station is not None and other.station is not None
        ]
        falls = [
            (
                level_limit(abs((one.station or 0.0) - (other.station or 0.0))),
                one,
                other,
            )
            for one, other in pairs
        ]
        if not falls:
            continue
        limit, one, other = max(
            falls, key=lambda fall: fall[0].share(fall[2].value - fall[1].value)
        )
        high, low = sorted((one, other), key=lambda each: -each.value)
        x, y = place_on(edge, low.station, low.x, low.y)
        found.append(
            Deviation(
                where=low.where,
                what=PouredFigure.LEVEL,
                station=low.station,
                measured=low.value - high.value,
                planned=0.0,
                limit=limit,
                x=x,
                y=y,
                name=low.name,
            )
        )
    return found
