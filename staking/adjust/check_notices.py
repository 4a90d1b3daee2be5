"""The notices about the readings of a check and of its verdict."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations

from staking.adjust.blunders import likely_slip
from staking.adjust.check_limits import STEPS, LimitBy
from staking.adjust.common_error import CommonError, CommonKind
from staking.adjust.explanations import StakeOff
from staking.adjust.misfit_notices import pair_of
from staking.adjust.moves import Move
from staking.adjust.stakes_check import StakesJudged, StakesRequest
from staking.adjust.verdict import Verdict
from staking.network.fitted import FittedNetwork, Measurement
from staking.notices import Fine, Length, Notice, Severity, Value, notice
from staking.plan import Options, Plan, Point, Show
from staking.tolerances import ON_LINE
from staking.units import FOOT

FAR_FROM_PLAN = 0.2
"""A reading further than this share from the plan is remarked on: a wrong unit, or a slip (common
practice, no source)."""


def reading_notices(
    measurements: Sequence[Measurement],
    asked: StakesRequest,
    names: Sequence[str],
    *,
    shot: bool = False,
) -> tuple[Notice, ...]:
    """Remark on readings far from the plan, and on corners and points without any.

    Parameters
    ----------
    measurements
        The taped distances.
    asked
        The plan's corners and points.
    names
        The corners and points that are checked.
    shot
        Whether stakes were surveyed.

    Returns
    -------
    tuple of Notice
        The notices for whoever reads the answer.
    """
    told = []
    for each in measurements:
        planned = math.dist(asked.place_of(each.from_name), asked.place_of(each.to_name))
        if abs(each.distance - planned) > FAR_FROM_PLAN * planned + ON_LINE:
            told.append(
                notice(
                    "far-from-plan",
                    "{pair} reads {reading} and is {planned} on the plan: is it another pair, or "
                    "another unit?",
                    pair=f"{each.from_name}-{each.to_name}",
                    reading=Length(each.distance),
                    planned=Length(planned),
                )
            )
    left = [name for name in asked.corners if name not in names]
    beside = [each.name for each in asked.targets if each.name not in names]
    if beside:
        told.append(
            notice(
                "points-not-taped",
                "nothing was taped to {points}: they are not checked",
                Severity.NOTE,
                points=", ".join(beside),
            )
        )
    if left:
        told.append(
            notice(
                "corners-not-taped",
                "there is no stake and no tape to {corners}: they are not checked"
                if shot
                else "nothing was taped to {corners}: they are not checked",
                Severity.WARNING,
                corners=", ".join(left),
            )
        )
    return tuple(told)


def height_notices(
    measurements: Sequence[Measurement], heights: Mapping[str, float]
) -> tuple[Notice, ...]:
    """Warn of tapes that are taken as level because a stake has no height beside others that do.

    Parameters
    ----------
    measurements
        The taped distances.
    heights
        Heights of stake tops, m, by corner.

    Returns
    -------
    tuple of Notice
        Empty where every taped stake has a height, or none has.
    """
    taped = dict.fromkeys(name for m in measurements for name in (m.from_name, m.to_name))
    without = [name for name in taped if name not in heights]
    if not without or not heights:
        return ()
    return (
        notice(
            "heights-missing",
            "no height is given for {corners}: tapes to them are taken as level",
            Severity.WARNING,
            corners=", ".join(without),
        ),
    )


def reduced_notices(
    measurements: Sequence[Measurement], read: Sequence[float]
) -> tuple[Notice, ...]:
    """Say that readings were reduced, and the one that was by most.

    Parameters
    ----------
    measurements
        The level distances.
    read
        What was read, m, in the same order.

    Returns
    -------
    tuple of Notice
        Empty where every distance is as it was read.
    """
    by = [each.distance - length for each, length in zip(measurements, read, strict=True)]
    most = max(range(len(by)), key=lambda place: abs(by[place]), default=None)
    if most is None or abs(by[most]) <= ON_LINE:
        return ()
    each = measurements[most]
    return (
        notice(
            "readings-reduced",
            "slope, temperature and pull are taken out of the readings: {pair} counts {by} "
            + ("longer" if by[most] > 0 else "shorter")
            + " than it was read, and no other changes more",
            Severity.NOTE,
            pair=f"{each.from_name}-{each.to_name}",
            by=Length(abs(by[most])),
        ),
    )


def swapped_stakes(solution: FittedNetwork, points: Mapping[str, Point]) -> tuple[Notice, ...]:
    """Ask whether two surveyed stakes bear each other's names.

    Parameters
    ----------
    solution
        The stakes, laid on the plan.
    points
        The corners on the plan, m.

    Returns
    -------
    tuple of Notice
        One for each two that stand nearer to the other's place than half way to their own.
    """
    here = dict(zip(solution.names, solution.coordinates.tolist(), strict=True))

    def nearer(one: str, other: str) -> bool:
        return math.dist(here[one], points[other]) < 0.5 * math.dist(here[one], points[one])

    return tuple(
        notice(
            "stakes-swapped",
            "{one} stands where {other} belongs and {other} where {one} does: are their names "
            "swapped in the file?",
            Severity.WARNING,
            one=one,
            other=other,
        )
        for one, other in combinations(solution.names, 2)
        if nearer(one, other) and nearer(other, one)
    )


def standing_notices(plan: Plan, moves: Sequence[Move]) -> tuple[Notice, ...]:
    """Warn where a corner would have to leave the standing building it lies against.

    Parameters
    ----------
    plan
        The plan.
    moves
        The moves that are advised.

    Returns
    -------
    tuple of Notice
        One for each existing side that a corner is moved off; along it a mark may move.
    """
    points = plan.corner_points
    steps = {move.corner: move.steps for move in moves}
    told = []
    for wall in (w for b in plan.buildings for w in b.walls if w.existing is not None):
        (x1, y1), (x2, y2) = points[wall.start], points[wall.end]
        run = math.dist((x1, y1), (x2, y2))
        ends = [
            name
            for name in (wall.start, wall.end)
            if abs(sum((x2 - x1) * s.y - (y2 - y1) * s.x for s in steps.get(name, ())))
            > ON_LINE * run
        ]
        if ends:
            told.append(
                notice(
                    "moves-standing",
                    "{corners} cannot leave the standing building along {wall}: hold that side, "
                    "--hold {start},{wall}",
                    Severity.WARNING,
                    corners=" and ".join(ends),
                    wall=wall.name,
                    start=wall.start,
                )
            )
    return tuple(told)


def limit_notices(
    verdict: Verdict, step: float, error: float, *, shot: bool = False
) -> tuple[Notice, ...]:
    """Say where more passes than the tolerances allow because nothing finer can be told.

    Parameters
    ----------
    verdict
        The verdict.
    step
        The step that lengths are read in, m.
    error
        The tape's standard error, m, at the length of the worst.
    shot
        Whether stakes were surveyed.

    Returns
    -------
    tuple of Notice
        One sentence on the one that is past what is allowed by most, or none.
    """
    lenient = [each for each in verdict.judged if each.lenient]
    if not lenient or not verdict.square:
        return ()
    worst = max(lenient, key=lambda each: abs(each.off) - each.check.allowed)
    values: dict[str, Value] = {
        "what": worst.limit.what,
        "off": Fine(abs(worst.off)),
        "allowed": Fine(worst.check.allowed),
        "limit": Fine(worst.limit.limit),
    }
    text = "{what} is {off} off where {allowed} is allowed; it passes, since nothing under {limit} "
    if worst.limit.by is LimitBy.STEP:
        text += "can be read in steps of {step}: read to a finer step to tell more"
        values["step"] = Length(step)
    elif shot:
        text += "can be told by these readings: more shots or tapes of it would tell more"
    else:
        ratio = worst.limit.limit / max(worst.check.allowed, STEPS * step)
        text += (
            "can be told by these readings: a tape good to {finer} would tell it, or this one "
            "read {times} times at every place"
        )
        values["finer"] = Fine(error / ratio)
        values["times"] = max(math.ceil(ratio**2 - 1e-9), 2)
    return (notice("limit-by-readings", text, Severity.NOTE, **values),)


def common_notice(common: CommonError, mark: float) -> Notice:
    """Say what all readings have in common, with both its causes and what to read again.

    Parameters
    ----------
    common
        What was found.
    mark
        A whole mark of the tape to read from instead of its end, m.

    Returns
    -------
    Notice
        A warning.
    """
    side = "-".join(common.longest)
    if common.by_tape:
        return notice(
            "common-by-tape",
            "the readings of {side} differ, and all the others are off like one of them: it is "
            "the tape, and not the building",
            side=side,
        )
    if common.kind is CommonKind.FACTOR:
        share = common.amount - 1
        return notice(
            "common-factor",
            "every reading is {share} " + ("longer" if share > 0 else "shorter") + " than on the "
            "plan, by one factor: the tape is out by that, or the building is that much too "
            + ("large" if share > 0 else "small")
            + "; read the longest side {side} again with another tape, and give both readings",
            share=f"{abs(share) * 100:.2f} %",
            side=side,
        )
    way = "long" if common.amount > 0 else "short"
    slip = likely_slip(common.amount, common.error)
    return notice(
        "common-offset",
        "every reading is about {amount} "
        + way
        + ": the tape"
        + (f" ({slip.removeprefix('a tape ')})" if slip else "")
        + ", or the building is that much too "
        + ("large" if common.amount > 0 else "small")
        + " all round; read the longest side {side} again with another tape, or from its {mark} "
        "mark, before anything is moved",
        amount=Length(abs(common.amount)),
        mark=Length(mark),
        side=side,
    )


def stake_off_notice(off: StakeOff) -> Notice:
    """Name the single stake that explains what is out.

    Parameters
    ----------
    off
        What was found.

    Returns
    -------
    Notice
        A note.
    """
    if len(off.names) > 1:
        return notice(
            "one-stake-off",
            "one stake alone is off, {corners}: the readings cannot say which; tape them again",
            Severity.NOTE,
            corners=" or ".join((", ".join(off.names[:-1]), off.names[-1])),
        )
    return notice(
        "one-stake-off",
        "only {corner} is off: it stands {far} from where the other readings put it",
        Severity.NOTE,
        corner=off.names[0],
        far=Length(math.hypot(off.x, off.y)),
    )


def verdict_notices(
    found: StakesJudged, options: Options, *, shot: bool = False
) -> tuple[Notice, ...]:
    """Say why a verdict is not decided, and what would decide it.

    Parameters
    ----------
    found
        What the readings say.
    options
        The job's options: which mark of the tape is a whole one.
    shot
        Whether stakes were surveyed.

    Returns
    -------
    tuple of Notice
        Empty where it is decided.
    """
    if found.common is not None:
        by_feet = options.show in {Show.FEET_INCHES, Show.DECIMAL_FEET}
        return (common_notice(found.common, FOOT if by_feet else 0.1),)
    if found.foreign:
        return ()
    # that it is any of them says nothing
    off, corners = found.stake_off, found.located.corners
    told = () if off is None or len(off.names) == corners else (stake_off_notice(off),)
    if found.verdict.decided:
        return told
    if found.unclear:
        return (
            notice(
                "not-decided",
                "whether it is square is not decided: a reading is wrong, and until it is read "
                "again no stake should move",
            ),
        )
    close = [each for each in found.verdict.judged if not each.decided]
    worst = max(close, key=lambda each: abs(each.off) - each.limit.limit)
    again = "read it again and give both readings"
    values: dict[str, Value] = {}
    if shot:
        again = "tape it and give the tapes as well"
    elif found.repeat:
        again = "read {pair} again and give both readings"
        values["pair"] = pair_of(found.repeat[0])
    return (
        notice(
            "not-decided",
            "too close to call: {what} is {off} off where {limit} passes, and these readings "
            "tell that only to {error} or so; " + again,
            Severity.WARNING,
            what=worst.limit.what,
            off=Fine(abs(worst.off)),
            limit=Fine(worst.limit.limit),
            error=Fine(worst.error),
            **values,
        ),
        *told,
    )
