"""Where the drain lies on the plan, and how each arm of it falls."""

from __future__ import annotations

import math
from collections.abc import Sequence

from staking.frozen import frozen
from staking.order.drain.drain_stations import DrainStation
from staking.order.drain.falling_arms import DrainArm
from staking.order.drain.outlets import DrainOutlet
from staking.plan import Point
from staking.tolerances import ON_LINE


@frozen
class DrainRun:
    """One arm of the drain, from its high point to its low point.

    Parameters
    ----------
    high, low
        Its ends.
    length
        On the plan, m.
    fall
        By the length; what it drops at steps of the footing is not in it.
    """

    high: DrainStation
    low: DrainStation
    length: float
    fall: float


@frozen
class DrainOnPlan:
    """What of the drain is drawn, on the building grid, m.

    Parameters
    ----------
    pipes
        The middle of the pipe, arm by arm in the order in which the water runs.
    closed
        The closed pipes, from a low point to the outlet.
    low
        The low points with the pipe's invert there, an elevation, m; none without levels.
    """

    pipes: tuple[tuple[Point, ...], ...] = ()
    closed: tuple[tuple[Point, Point], ...] = ()
    low: tuple[tuple[Point, float], ...] = ()


def drain_runs(arms: Sequence[DrainArm], stations: Sequence[DrainStation]) -> tuple[DrainRun, ...]:
    """Give every arm with its ends.

    Parameters
    ----------
    arms, stations
        How the drain falls; the stations count the arms from 1.

    Returns
    -------
    tuple of DrainRun
        In the arms' order.
    """
    found = []
    for number, arm in enumerate(arms, 1):
        own = [each for each in stations if each.arm == number]
        found.append(DrainRun(high=own[0], low=own[-1], length=arm.length, fall=arm.fall))
    return tuple(found)


def drain_on_plan(
    arms: Sequence[DrainArm], outlets: Sequence[DrainOutlet], outlet: Point | None, *, graded: bool
) -> DrainOnPlan:
    """Give what of the drain is drawn.

    Parameters
    ----------
    arms, outlets
        How it falls.
    outlet
        Where it is led to, m; None where nobody says.
    graded
        Whether its levels are elevations.

    Returns
    -------
    DrainOnPlan
        Nothing for stone alone.
    """
    pipes = []
    for arm in arms:
        points = [arm.pieces[0].start]
        points += [each.end for each in arm.pieces if math.dist(each.start, each.end) > ON_LINE]
        pipes.append(tuple(points))
    return DrainOnPlan(
        pipes=tuple(pipes),
        closed=() if outlet is None else tuple((each.low.place, outlet) for each in outlets),
        low=tuple((each.low.place, each.low.invert) for each in outlets) if graded else (),
    )
