"""The conductor of `staking check`: readings onto the plan, adjusted, judged, and what to move."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from staking.errors import ComputationError, InputError, Problem
from staking.notices import Length, Notice, Severity, notice
from staking.plan import Options, Plan, Show
from staking.tolerances import ON_LINE
from staking.units import FOOT

if TYPE_CHECKING:
    from staking.adjust.blunders import Sifted
    from staking.adjust.moves import Hold, Move
    from staking.adjust.strings import Slide
    from staking.adjust.verdict import Verdict
    from staking.job.build import Job
    from staking.job.tape_book import Readings
    from staking.layout.results import Check
    from staking.network.geometry import Floats
    from staking.network.results import Measurement

FAR_FROM_PLAN = 0.2
"""A reading further than this share from the plan is remarked on: a wrong unit, or a slip."""


NETWORK_KINDS = frozenset({"side", "diagonal", "tie"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How one stake stands: x and y with the hold, m; 95 % radius, m; angle, rad, or None."""

    corner: str
    x: float
    y: float
    radius95: float
    angle: float | None
    planned_angle: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """What a check reads once the advice is followed, and on the plan, m."""

    from_name: str
    to_name: str
    distance: float
    planned: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Checked:
    """Everything that a check of the stakes comes to, complete at birth."""

    plan: Plan
    options: Options
    hold: Hold | None
    sifted: Sifted
    corners: tuple[Standing, ...]
    moves: tuple[Move, ...]
    slides: tuple[Slide, ...]
    after: tuple[After, ...]
    verdict: Verdict
    notices: tuple[Notice, ...]


def check_job(job: Job, readings: Readings, hold: str | None = None) -> Checked:
    """Check taped distances against a job.

    Parameters
    ----------
    job
        What was read from the job file.
    readings
        What was taped.
    hold
        ``C,C-D``, ``C``, ``best``, or None for the first corner and its first wall.

    Returns
    -------
    Checked
        The adjusted stakes, the verdict and the advice.

    Raises
    ------
    InputError
        When nothing was taped, or the hold names no corner or wall of the job.
    """
    from staking.adjust.blunders import sift
    from staking.adjust.moves import advise, moved, placed
    from staking.adjust.verdict import judge
    from staking.layout.checks import all_pairs, choose_checks

    plan, options = job.plan, job.options
    if not readings.readings:
        raise InputError(Problem(message="no distance is given", remedy="write A-C=43-3-3/8"))
    points = {c.name: c.point for building in plan.buildings for c in building.corners}
    measurements = _measurements(options, readings)
    named = {name for m in measurements for name in (m.from_name, m.to_name)}
    # two stakes have no shape: what to tape next is then said for the whole building
    names = tuple(name for name in points if name in named or len(named) < 3)
    held, said = parse_hold(plan, names, hold), (*job.notices, *readings.notices)
    usable = [(c.from_name, c.to_name) for c in all_pairs(plan, options) if c.in_network]
    sifted = sift(names, _array(names, points), measurements, usable=usable)
    checks = _with_readings(choose_checks(plan, options).checks, measurements, plan, options)
    verdict = judge(sifted.solution, checks, unclear=sifted.unclear)
    here = placed(sifted.solution, points, held)
    step = move_step(options)
    # with a wrong reading that cannot be named, a move would be made by it
    stay = verdict.square or sifted.unclear
    moves = advise(names, here, plan, step, leave=stay)
    return Checked(
        plan=plan,
        options=options,
        hold=held,
        sifted=sifted,
        corners=_standing(plan, sifted, here),
        moves=moves,
        slides=() if stay else _slides(job, names, here, step),
        after=_after(names, moved(here, moves), checks, points),
        verdict=verdict,
        notices=(
            *said,
            *_reading_notices(measurements, points, names),
            *sifted.notices,
            *_verdict_notices(verdict, sifted),
        ),
    )


def move_step(options: Options) -> float:
    """Give what moves are rounded to: `nearest`, a hundredth of a foot or a millimetre, m."""
    if options.show is Show.FEET_INCHES:
        return options.nearest
    return FOOT / 100 if options.show is Show.DECIMAL_FEET else 0.001


def parse_hold(plan: Plan, names: Sequence[str], text: str | None) -> Hold | None:
    """Read which corner and wall are held.

    Parameters
    ----------
    plan
        The plan.
    names
        The corners that were taped.
    text
        ``C,C-D``, ``C``, ``best`` or None.

    Returns
    -------
    Hold or None
        None for the best fit.

    Raises
    ------
    InputError
        When it names no corner or wall that was taped.
    """
    from staking.adjust.moves import Hold

    if text is not None and text.strip().lower() == "best":
        return None
    walls = [(w.start, w.end) for b in plan.buildings for w in b.walls]
    taped = [wall for wall in walls if set(wall) <= set(names)]
    if text is None:
        corner = next((name for name in names if any(name in wall for wall in taped)), names[0])
        wall_text = ""
    else:
        corner, _, wall_text = (part.strip() for part in text.partition(","))
    if corner not in names:
        raise InputError(
            _hold_fault(f"{corner} is no corner that was taped; there are {', '.join(names)}")
        )
    if wall_text:
        ends = tuple(part.strip() for part in wall_text.split("-"))
        if ends not in taped and ends[::-1] not in taped:
            raise InputError(_hold_fault(f"{wall_text} is no wall with both its corners taped"))
        return Hold(corner=corner, wall=(ends[0], ends[1]))
    own = [wall for wall in taped if corner in wall]
    # the wall that starts at the corner comes before the one that ends there
    own.sort(key=lambda wall: wall[0] != corner)
    if not own and text is None:
        other = next(name for name in names if name != corner)
        return Hold(corner=corner, wall=(corner, other))
    if not own:
        raise InputError(_hold_fault(f"no wall at {corner} has both its corners taped"))
    return Hold(corner=corner, wall=own[0])


def _hold_fault(message: str) -> Problem:
    return Problem(message=message, remedy="write --hold C,C-D or --hold best", field="--hold")


def _measurements(options: Options, readings: Readings) -> tuple[Measurement, ...]:
    from staking.adjust.reduce import corrected, level
    from staking.network.results import Measurement
    from staking.network.tape_error import standard_error

    found, problems = [], []
    for each in readings.readings:
        length = corrected(options.tape, each.distance)
        ends = (each.from_name, each.to_name)
        if all(name in readings.heights for name in ends):
            try:
                length = level(length, readings.heights[ends[1]] - readings.heights[ends[0]])
            except ComputationError as fault:
                problems.append(Problem(message=f"{'-'.join(ends)}: {fault}"))
                continue
        found.append(
            Measurement(
                from_name=ends[0],
                to_name=ends[1],
                distance=length,
                standard_error=standard_error(options.tape, length),
            )
        )
    if problems:
        raise InputError(*problems)
    return tuple(found)


def _array(names: Sequence[str], points: Mapping[str, tuple[float, float]]) -> Floats:
    import numpy as np

    return np.array([points[name] for name in names], dtype=float)


def _with_readings(
    checks: tuple[Check, ...], measurements: Sequence[Measurement], plan: Plan, options: Options
) -> tuple[Check, ...]:
    # what was taped beyond the chosen checks is judged too
    from staking.layout.checks import all_pairs

    there = {frozenset((c.from_name, c.to_name)) for c in checks if c.at is None}
    asked = {frozenset((m.from_name, m.to_name)) for m in measurements} - there
    if not asked:
        return checks
    more = (c for c in all_pairs(plan, options) if frozenset((c.from_name, c.to_name)) in asked)
    return (*checks, *more)


def _standing(plan: Plan, sifted: Sifted, here: Floats) -> tuple[Standing, ...]:
    import numpy as np

    from staking.adjust.moves import neighbours
    from staking.adjust.verdict import corner_angle, radii95

    names = sifted.solution.names
    at = {name: place for place, name in enumerate(names)}
    points = {c.name: c.point for building in plan.buildings for c in building.corners}
    beside = neighbours(plan)
    radii = radii95(sifted.solution)
    found = []
    for place, name in enumerate(names):
        ends = (beside[name].before, beside[name].after)
        angle = None
        if all(end in at for end in ends):
            angle = corner_angle(here, at[ends[0]], place, at[ends[1]])
        drawn = np.array([points[ends[0]], points[name], points[ends[1]]])
        found.append(
            Standing(
                corner=name,
                x=float(here[place, 0]),
                y=float(here[place, 1]),
                radius95=float(radii[place]),
                angle=angle,
                planned_angle=corner_angle(drawn, 0, 1, 2),
            )
        )
    return tuple(found)


def _slides(job: Job, names: Sequence[str], here: Floats, step: float) -> tuple[Slide, ...]:
    from staking.adjust.strings import slides
    from staking.footing.bands import dig_bands
    from staking.layout.boards import lay_out

    bands, _ = dig_bands(job.plan, job.options.dig)
    pulled = lay_out(job.plan, job.options, bands)
    return slides(names, here, job.plan, pulled.strings, pulled.boards, step)


def _after(
    names: Sequence[str],
    there: Floats,
    checks: Sequence[Check],
    points: Mapping[str, tuple[float, float]],
) -> tuple[After, ...]:
    import math

    at = {name: place for place, name in enumerate(names)}
    return tuple(
        After(
            from_name=check.from_name,
            to_name=check.to_name,
            distance=math.dist(there[at[check.from_name]], there[at[check.to_name]]),
            planned=math.dist(points[check.from_name], points[check.to_name]),
        )
        for check in checks
        if check.kind in NETWORK_KINDS and {check.from_name, check.to_name} <= at.keys()
    )


def _reading_notices(
    measurements: Sequence[Measurement],
    points: Mapping[str, tuple[float, float]],
    names: Sequence[str],
) -> tuple[Notice, ...]:
    import math

    told = []
    for each in measurements:
        planned = math.dist(points[each.from_name], points[each.to_name])
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
    left = [name for name in points if name not in names]
    if left:
        told.append(
            notice(
                "corners-not-taped",
                "nothing was taped to {corners}: nothing is said of them",
                Severity.WARNING,
                corners=", ".join(left),
            )
        )
    return tuple(told)


def _verdict_notices(verdict: Verdict, sifted: Sifted) -> tuple[Notice, ...]:
    if verdict.decided:
        return ()
    if sifted.unclear:
        return (
            notice(
                "not-decided",
                "whether it is square is not decided: a reading is wrong, and until it is read "
                "again no stake should move",
            ),
        )
    close = [each for each in verdict.judged if not each.decided]
    worst = max(close, key=lambda each: each.error / max(each.check.allowed, ON_LINE))
    return (
        notice(
            "not-decided",
            "too close to call with this tape: at {place} what is allowed lies within what the "
            "readings can say (give or take {reach}); read the diagonals again, twice each, and "
            "give both readings",
            place=worst.check.at or f"{worst.check.from_name}-{worst.check.to_name}",
            reach=Length(1.96 * worst.error),
        ),
    )


def tapes_of(job: Job) -> tuple[Check, ...]:
    """Give what is to be taped from corner to corner in a job, in order."""
    from staking.layout.checks import choose_checks

    taped = choose_checks(job.plan, job.options).checks
    return tuple(check for check in taped if check.kind in NETWORK_KINDS)
