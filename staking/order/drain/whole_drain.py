"""The drain worked out whole: its line, its levels, what it takes and what is said of it."""

from __future__ import annotations

from collections.abc import Sequence

from staking.frozen import frozen
from staking.lines import signed_area
from staking.notices import Notice, Severity, notice
from staking.order.drain.arms_on_plan import DrainOnPlan, DrainRun, drain_on_plan, drain_runs
from staking.order.drain.beside_footings import DrainLine, drain_lines, grown_area
from staking.order.drain.closed_pipe_dig import ClosedPipe, closed_pipes
from staking.order.drain.drain_dig import DrainBottom, falling_bottoms, level_bottoms
from staking.order.drain.drain_notices import fall_notices, outlet_notices, thin_notices
from staking.order.drain.drain_stations import DrainStation, arm_key, drain_stations
from staking.order.drain.falling_arms import DrainArm, DrainRoom, fall_of
from staking.order.drain.outlets import DrainOutlet, outlets_of
from staking.order.drain.pipe_and_stone import (
    PAST_FOOTING,
    UNDER_PIPE,
    kept_by_pipe,
    pipe_items,
    stone_items,
    strip_of,
)
from staking.order.order_request import DrainAsked
from staking.order.order_results import Item
from staking.order.wall_levels import Levels
from staking.plan import Plan, Point
from staking.tolerances import ON_LINE


@frozen
class Drain:
    """A drain beside the footing.

    Parameters
    ----------
    arms
        How it falls, from each high point to a low point; none for stone alone.
    stations
        Where it changes, arm by arm.
    outlets
        Its low points and how they are led on.
    items
        What it takes.
    notices
        What is said of it.
    bottoms
        The bottom of its trench, piece by piece.
    closed
        The closed pipes to its outlet whose trench is known.
    kept
        Stone and pipe in the ground beside the footing, m3.
    runs
        Its arms with their ends; none for stone alone or without levels.
    on_plan
        What of it is drawn.
    """

    arms: tuple[DrainArm, ...] = ()
    stations: tuple[DrainStation, ...] = ()
    outlets: tuple[DrainOutlet, ...] = ()
    items: tuple[Item, ...] = ()
    notices: tuple[Notice, ...] = ()
    bottoms: tuple[DrainBottom, ...] = ()
    closed: tuple[ClosedPipe, ...] = ()
    kept: float = 0.0
    runs: tuple[DrainRun, ...] = ()
    on_plan: DrainOnPlan = DrainOnPlan()

    @property
    def reached(self) -> tuple[Point, ...]:
        """Places as far as its trenches reach, m."""
        starts = [each.start for each in self.bottoms]
        return (*starts, *(each.end for each in self.closed))


def drain_of(
    plan: Plan, levels: Levels, asked: DrainAsked, benchmark: float | None, *, graded: bool
) -> Drain:
    """Work a drain out.

    Parameters
    ----------
    plan, levels
        The building and its footings.
    asked
        What the job asks of its drain.
    benchmark
        Elevation of the benchmark, m; None without one.
    graded
        Whether the levels are elevations; else only what the drain takes is worked out.

    Returns
    -------
    Drain
        A drain of stone alone has no inverts: it lies along the footing from its bottom up.
    """
    middle = asked.beside + PAST_FOOTING / 2
    if asked.size is None:
        lines = drain_lines(plan, levels, PAST_FOOTING / 2)
        strip = strip_of(lines, _projection(plan))
        return Drain(
            items=stone_items(strip),
            notices=_stone_alone(),
            bottoms=level_bottoms(lines),
            kept=strip.volume,
        )
    room = DrainRoom(size=asked.size, under=UNDER_PIPE, beside=asked.beside)
    lines = drain_lines(plan, levels, middle)
    outlet, level = (None, None) if asked.outlet is None else (asked.outlet.at, asked.outlet.level)
    found = [arm for line in lines for arm in fall_of(line, room, asked.fall, outlet)]
    arms = tuple(sorted(found, key=arm_key))
    stations = drain_stations(arms, room, benchmark)
    outlets = outlets_of(arms, stations, outlet, level if graded else None)
    closed = closed_pipes(plan, outlets, outlet, asked.size) if graded else ()
    told = _no_levels()
    if graded:
        told = _said(plan, lines, arms, stations, outlets, room, asked) + _not_dug(outlets, closed)
    return Drain(
        arms=arms,
        stations=stations if graded else (),
        outlets=outlets if graded else (),
        items=pipe_items(arms, outlets, asked.size),
        notices=told,
        bottoms=falling_bottoms(arms, room),
        closed=closed,
        kept=kept_by_pipe(arms, asked.size),
        runs=drain_runs(arms, stations) if graded else (),
        on_plan=drain_on_plan(arms, outlets, outlet, graded=graded),
    )


def _projection(plan: Plan) -> float:
    """Give the area that footings cover outside the walls' outside faces, m2."""
    walls = sum(abs(signed_area(building.ring)) for building in plan.buildings)
    return grown_area(plan, 0.0) - walls


def _stone_alone() -> tuple[Notice, ...]:
    return (
        notice(
            "drain-stone",
            "stone alone drains 12 in (305 mm) past the footing and 6 in (152 mm) over it, with a "
            "filter over it (IRC 2015, R405.1); it has no pipe, and where it lets out is not "
            "worked out",
            Severity.NOTE,
        ),
    )


def _no_levels() -> tuple[Notice, ...]:
    return (
        notice(
            "drain-no-levels",
            "without a grade section the drain has no levels: what it takes is counted, and not "
            "whether it falls to its outlet",
            Severity.NOTE,
        ),
    )


def _said(
    plan: Plan,
    lines: Sequence[DrainLine],
    arms: Sequence[DrainArm],
    stations: Sequence[DrainStation],
    outlets: Sequence[DrainOutlet],
    room: DrainRoom,
    asked: DrainAsked,
) -> tuple[Notice, ...]:
    over = [room.highest(piece) + room.size - piece.top for line in lines for piece in line.pieces]
    told = [
        *thin_notices(stations, over),
        *fall_notices(arms, stations, asked.beside),
        *outlet_notices(outlets),
        *_in_the_way(plan, lines, outlets, asked),
    ]
    return tuple(told)


def _not_dug(outlets: Sequence[DrainOutlet], closed: Sequence[ClosedPipe]) -> tuple[Notice, ...]:
    """Say where a closed pipe's trench is not counted: its way or its levels are not known."""
    if sum(each.length > ON_LINE for each in outlets) <= len(closed):
        return ()
    return (
        notice(
            "drain-dig",
            "what is dug for the closed pipe on its way to the outlet is not in the dig",
            Severity.NOTE,
        ),
    )


def _in_the_way(
    plan: Plan, lines: Sequence[DrainLine], outlets: Sequence[DrainOutlet], asked: DrainAsked
) -> list[Notice]:
    """Say where the drain, or the pipe to its outlet, meets what stands there."""
    from shapely.geometry import LineString, Polygon

    told = []
    houses = [Polygon(building.ring) for building in plan.buildings]
    if asked.outlet is not None:
        ways = [LineString([each.low.place, asked.outlet.at]) for each in outlets if each.length]
        if any(way.intersection(house).length > ON_LINE for way in ways for house in houses):
            told.append(
                notice(
                    "drain-under-building",
                    "straight to the outlet the drain's pipe would run under the building: lead it "
                    "round; its length that way is not counted",
                )
            )
    if len(houses) > 1:
        runs = [LineString([p.start, p.end]) for line in lines for p in line.pieces]
        if any(run.intersection(house).length > ON_LINE for run in runs for house in houses):
            told.append(
                notice(
                    "drain-through-building",
                    "beside one building the drain would run under the next one: leave it out "
                    "there and join the two; its length there is counted",
                )
            )
    return told
