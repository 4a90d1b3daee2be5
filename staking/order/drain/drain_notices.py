"""What is said of a drain: when one is due, what keeps it from falling, and where it ends."""

from __future__ import annotations

from collections.abc import Sequence

from staking.grade.graded import Graded
from staking.kinds import FootingKind
from staking.notices import AtLeast, Length, Notice, Severity, notice
from staking.order.drain.drain_stations import DrainStation
from staking.order.drain.falling_arms import DrainArm
from staking.order.drain.outlets import OUTLET_FALL, DrainOutlet, Reach
from staking.plan import Plan
from staking.tolerances import ON_LINE
from staking.units import INCH


def due_notices(graded: Graded | None, plan: Plan, *, asked: bool) -> tuple[Notice, ...]:
    """Say where a drain is due and none is ordered.

    Parameters
    ----------
    graded
        The levels; None without a grade section.
    plan
        The building with its slab.
    asked
        Whether the job orders one.

    Returns
    -------
    tuple of Notice
        ``drain-due`` where finished grade stands over the floor inside, or none.
    """
    floor = None if graded is None else _floor(graded, plan)
    if asked or graded is None or floor is None:
        return ()
    held = {
        wall.profile.wall: float(wall.ground.finished.max()) - floor
        for wall in graded.walls
        if wall.strand.kind is FootingKind.WALL
    }
    over = [wall for wall, height in held.items() if height > INCH]
    if not over:
        return ()
    return (
        notice(
            "drain-due",
            "finished grade stands up to {height} over the floor inside, along {walls}: where "
            "walls hold earth and enclose space below grade that is lived in or used, a drain is "
            "due at the footing, but in well drained ground or sand and gravel (Group I) (IRC "
            "2015, R405.1); add drain: under order:",
            Severity.WARNING,
            height=Length(max(held.values())),
            walls=", ".join(over),
        ),
    )


def _floor(graded: Graded, plan: Plan) -> float | None:
    inside = graded.request.site.inside
    if inside is not None:
        return inside.grade
    return None if plan.slab is None else plan.slab.top


def fall_notices(
    arms: Sequence[DrainArm], stations: Sequence[DrainStation], beside: float
) -> tuple[Notice, ...]:
    """Say where the footing leaves the drain less fall than was asked.

    Parameters
    ----------
    arms, stations
        How it falls.
    beside
        How far the near edge of its trench stands from the footing, m.

    Returns
    -------
    tuple of Notice
        ``drain-fall`` for each arm that falls less.
    """
    told = []
    for number, arm in enumerate(arms, 1):
        if arm.lacking <= 0.0:
            continue
        own = [each for each in stations if each.arm == number]
        told.append(
            notice(
                "drain-fall",
                "from {high} to {low} the drain falls {fall} in {run}, not the {asked} asked: more "
                "would bring its trench under a line that falls 45 degrees from the footing's "
                "outside bottom edge (IRC 2018, P2604.4); with the trench {beside} from the "
                "footing it would fit",
                high=_place(own[0]),
                low=_place(own[-1]),
                fall=Length(arm.fall * arm.length),
                run=Length(arm.length),
                asked=Length(arm.asked * arm.length),
                beside=AtLeast(beside + arm.lacking),
            )
        )
    return tuple(told)


def _place(station: DrainStation) -> str:
    # Stations are lengths: the sentence names the wall, the table has the figure.
    return f"corner {station.corner}" if station.corner else f"the {station.kind} on {station.wall}"


def outlet_notices(outlets: Sequence[DrainOutlet]) -> tuple[Notice, ...]:
    """Say whether the drain reaches its outlet.

    Parameters
    ----------
    outlets
        Its low points.

    Returns
    -------
    tuple of Notice
        ``drain-gravity``, ``drain-flat``, ``drain-sump`` or ``drain-nowhere``.
    """
    told = [_reach_notice(each) for each in outlets if each.level is not None]
    if any(each.reach is Reach.UNKNOWN for each in outlets):
        told.append(
            notice(
                "drain-nowhere",
                "nothing says where the drain is led: give outlet: {{at: [x, y], level: 94' 2\"}} "
                "under drain:, or a sump",
            )
        )
    if len(outlets) > 1:
        told.append(
            notice(
                "drain-low-points",
                "the footing is low in {count} places that no drain beside it can join: each has "
                "its own pipe to the outlet",
                Severity.NOTE,
                count=len(outlets),
            )
        )
    return tuple(told)


def _reach_notice(each: DrainOutlet) -> Notice:
    where, level = _place(each.low), each.level or 0.0
    fall, run = Length(each.low.invert - level), Length(each.length)
    if each.reach is Reach.GRAVITY:
        return notice(
            "drain-gravity",
            "the drain runs by itself from {where} to its outlet, {fall} down in {run}; where it "
            "may let out is the local office's to say",
            Severity.NOTE,
            where=where,
            fall=fall,
            run=run,
        )
    if each.reach is Reach.FLAT:
        return notice(
            "drain-flat",
            "from {where} only {fall} of fall is left to the outlet in {run}, where {usual} is "
            "usual: a lower outlet, or a sump",
            where=where,
            fall=fall,
            run=run,
            usual=Length(OUTLET_FALL * each.length),
        )
    return notice(
        "drain-sump",
        "the drain does not reach its outlet by itself: at {where} its invert is at {invert}, and "
        "for the outlet at {level} it would have to lie {lacking} higher; a sump with a pump is "
        "ordered there",
        where=where,
        invert=Length(each.low.invert),
        level=Length(level),
        lacking=AtLeast(each.lacking),
    )


def thin_notices(stations: Sequence[DrainStation], tops: Sequence[float]) -> tuple[Notice, ...]:
    """Say where the pipe stands higher than the footing beside it.

    Parameters
    ----------
    stations
        Where the drain changes.
    tops
        How far its crown stands over the footing's top in each piece, m.

    Returns
    -------
    tuple of Notice
        ``drain-high``, or none.
    """
    over = max(tops, default=0.0)
    if not stations or over <= ON_LINE:
        return ()
    return (
        notice(
            "drain-high",
            "the pipe's crown stands up to {over} over the footing's top, since beside so thin a "
            "footing it could lie no lower: a drain is laid at or below the footing's top, or "
            "below the slab (IRC R405.1, from memory)",
            over=Length(over),
        ),
    )
