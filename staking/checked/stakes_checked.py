"""Stakes checked: readings onto the plan, adjusted, judged, and what to move."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from staking.adjust import check_notices as notices
from staking.adjust.check_limits import Limit
from staking.adjust.holds import PLACE, parse_hold
from staking.adjust.level_readings import Readings, measurements_of, refuse_wrong_unit
from staking.adjust.moves import Hold, Move, advise, laid_on, moved, placed
from staking.adjust.nail_slides import BoardSlide, slides
from staking.adjust.stake_places import StakeStanding, standing
from staking.adjust.stakes_check import (
    PAIR_KINDS,
    StakesJudged,
    StakesRequest,
    judge_shots,
    judge_tapes,
    with_readings,
)
from staking.adjust.surveyed_stakes import StakedShape
from staking.adjust.targets import targets_of
from staking.adjust.verdict import Verdict
from staking.checked.setbacks_as_staked import judged_beside, setback_notices
from staking.checked.staked_corners import frame_shots, stakes_shape
from staking.checked.stakes_off_place import Staked, place_notices, tell_stakes
from staking.checked.stakes_on_plan import StakesRead
from staking.errors import InputError, Problem
from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.laid_out.layout_value import Layout
from staking.laid_out.order_of_work import base_line
from staking.layout.checks import all_pairs
from staking.layout.layout_parts import Check
from staking.network.fitted import Measurement
from staking.network.tape_error import standard_error
from staking.notices import Notice, Severity
from staking.plan import Options, Plan


@frozen
class After:
    """What a check reads once the advice is followed, and on the plan, m."""

    from_name: str
    to_name: str
    distance: float
    planned: float


@frozen(eq=False)
class Checked:
    """Everything that a check of the stakes comes to, complete at birth.

    Parameters
    ----------
    plan, options
        What the stakes are held against.
    hold
        The corner and wall held; None for the best fit and for the place on the lot.
    judged
        What the readings say: the shape, what does not fit, the verdict.
    corners, points
        How each corner, pad and end of an interior line stands with the hold.
    moves
        What to move, corners before points.
    slides
        What to slide.
    after
        What the checks read then.
    limits
        What every quantity is judged by.
    notices
        The notices for whoever reads the answer.
    staked
        What surveyed stakes say beside the shape; None for tapes alone.
    to_place
        Whether the moves lead to the planned place on the lot.
    place_counts
        Whether standing off that place counts against the stakes.
    untaped
        Corners and points that nothing was taped to.
    accepted
        The corners where they stand: on the lot where they were surveyed there, else with the hold.
    """

    plan: Plan
    options: Options
    hold: Hold | None
    judged: StakesJudged
    corners: tuple[StakeStanding, ...]
    points: tuple[StakeStanding, ...]
    moves: tuple[Move, ...]
    slides: tuple[BoardSlide, ...]
    after: tuple[After, ...]
    limits: tuple[Limit, ...]
    notices: tuple[Notice, ...]
    staked: Staked | None = None
    to_place: bool = False
    place_counts: bool = False
    untaped: tuple[str, ...] = ()
    accepted: tuple[StakeStanding, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Every check judged, and what they come to together."""
        return self.judged.verdict

    @property
    def good(self) -> bool:
        """Whether it is square, keeps its setbacks, and stands in its place where that counts."""
        if any(each.severity is Severity.BROKEN for each in self.notices):
            return False
        return self.verdict.square and not self.away

    @property
    def away(self) -> bool:
        """Whether it does not stand in its place on the lot, where that counts."""
        return self.place_counts and self.staked is not None and self.staked.in_place is False


def check_stakes(
    layout: Layout,
    said: Sequence[Notice],
    readings: Readings,
    hold: str | None = None,
    stakes: StakesRead | None = None,
) -> Checked:
    """Check taped distances and surveyed stakes against a layout.

    Parameters
    ----------
    layout
        The layout: its boards, strings and tapes.
    said
        What was said of the job in reading it.
    readings
        What was taped.
    hold
        ``C,C-D``, ``C``, ``best``, or None for the line from which the order of work starts; with
        stakes of a placed job ``place``, the planned place on the lot, which is also what stakes
        are moved to that stand off it where nothing is said.
    stakes
        What was surveyed of stakes and nails; None for tapes alone.

    Returns
    -------
    Checked
        The adjusted stakes, the verdict and the advice.

    Raises
    ------
    InputError
        When nothing was taped, or the hold names no corner or wall of the job.
    """
    if not readings.readings and stakes is None:
        raise InputError(Problem(message="no distance is given", remedy="write A-C=43-3-3/8"))
    asked_place = hold is not None and hold.strip().lower() == PLACE
    if asked_place and (stakes is None or stakes.placement is None):
        raise InputError(_no_place(tapes_alone=stakes is None))
    measurements = measurements_of(layout.options, readings)
    asked = _asked(layout, measurements)
    refuse_wrong_unit(measurements, {n: asked.place_of(n) for m in measurements for n in _ends(m)})
    shape: StakedShape | None = None
    if stakes is None:
        judged = judge_tapes(_taped(asked, measurements), asked, measurements)
    else:
        between = [each for each in measurements if each.to_name in asked.corners]
        shape = stakes_shape(stakes, asked, measurements, between)
        shots = frame_shots(stakes, asked, shape)
        beside = judged_beside(stakes, shape, layout)
        judged = judge_shots(shape.sifted, asked, measurements, shots, more=beside)
    names = judged.located.names[: judged.located.corners]
    base = base_line(layout)
    held = None if asked_place else parse_hold(layout.plan, names, hold, base)
    staked = None
    if stakes is not None and shape is not None:
        staked = tell_stakes(stakes, shape, judged, layout.options)
    off_place = staked is not None and staked.in_place is False
    to_place = asked_place or (hold is None and off_place and not judged.foreign)
    return _checked(
        layout,
        said,
        readings,
        measurements,
        asked,
        judged,
        hold=None if to_place else held,
        staked=staked,
        shape=shape,
        stakes=stakes,
        to_place=to_place,
        place_counts=asked_place or hold is None,
    )


def _checked(
    layout: Layout,
    said: Sequence[Notice],
    readings: Readings,
    measurements: Sequence[Measurement],
    asked: StakesRequest,
    judged: StakesJudged,
    *,
    hold: Hold | None,
    staked: Staked | None,
    shape: StakedShape | None,
    stakes: StakesRead | None,
    to_place: bool,
    place_counts: bool,
) -> Checked:
    step, located = asked.step, judged.located
    here = placed(located, asked.corners, hold)
    if to_place and shape is not None:
        here = laid_on(located, shape.places)
    good = judged.verdict.square and not (to_place and staked and not staked.in_place)
    moves = advise(
        located.names, here, layout.plan, step, targets=asked.targets, leave=good or judged.waits
    )
    there = moved(here, moves)
    stands = standing(layout.plan, located, here)
    nails = () if staked is not None and staked.nails else layout.boards
    untaped = [*asked.corners, *(each.name for each in asked.targets)]
    return Checked(
        plan=layout.plan,
        options=layout.options,
        hold=hold,
        judged=judged,
        corners=stands[: located.corners],
        points=stands[located.corners :],
        moves=moves,
        # where nails were surveyed each is told by itself
        slides=slides(located.names, here, there, layout.plan, layout.strings, nails, step)
        if nails
        else (),
        after=_after(located.names, dict(zip(located.names, there.tolist(), strict=True)), asked),
        limits=(
            *(each.limit for each in judged.verdict.judged),
            *(() if staked is None else staked.limits),
        ),
        notices=_notices(
            layout, said, readings, measurements, asked, judged, moves, staked, stakes, shape
        ),
        staked=staked,
        to_place=to_place,
        place_counts=place_counts,
        untaped=tuple(name for name in untaped if name not in located.names),
        accepted=stands[: located.corners]
        if shape is None or staked is None or staked.displacement is None
        else standing(layout.plan, located, laid_on(located, shape.places))[: located.corners],
    )


def _notices(
    layout: Layout,
    said: Sequence[Notice],
    readings: Readings,
    measurements: Sequence[Measurement],
    asked: StakesRequest,
    judged: StakesJudged,
    moves: Sequence[Move],
    staked: Staked | None,
    stakes: StakesRead | None,
    shape: StakedShape | None,
) -> tuple[Notice, ...]:
    shot = stakes is not None
    worst = max((each.distance for each in measurements), default=layout.options.tape.length / 3)
    error = standard_error(layout.options.tape, worst)
    return (
        *said,
        *readings.notices,
        *(() if stakes is None else stakes.notices),
        *notices.reading_notices(measurements, asked, judged.located.names, shot=shot),
        *notices.height_notices(measurements, readings.heights),
        *notices.reduced_notices(measurements, [each.distance for each in readings.readings]),
        *(() if shape is None else notices.swapped_stakes(shape.sifted.solution, asked.corners)),
        *judged.notices,
        *notices.verdict_notices(judged, layout.options, shot=shot),
        *notices.limit_notices(judged.verdict, asked.step, error, shot=shot),
        *(() if staked is None or judged.foreign else place_notices(staked)),
        *notices.standing_notices(layout.plan, moves),
        *(() if staked is None else setback_notices(layout, staked)),
    )


def _asked(layout: Layout, measurements: Sequence[Measurement]) -> StakesRequest:
    plan, options = layout.plan, layout.options
    pairs, targets = all_pairs(plan, options), targets_of(plan)
    corners = plan.corner_points
    taped = [_ends(each) for each in measurements]
    return StakesRequest(
        corners=corners,
        walls=tuple((w.start, w.end) for building in plan.buildings for w in building.walls),
        targets=targets,
        checks=with_readings(
            layout.checks, pairs, taped, corners, targets, options.tolerances, options.step
        ),
        usable=tuple((c.from_name, c.to_name) for c in pairs if c.in_network),
        step=options.step,
    )


def _taped(asked: StakesRequest, measurements: Sequence[Measurement]) -> tuple[str, ...]:
    named = {name for each in measurements for name in _ends(each) if name in asked.corners}
    # two stakes have no shape: what to tape next is then said for the whole building
    return tuple(name for name in asked.corners if name in named or len(named) < 3)


def _ends(measurement: Measurement) -> tuple[str, str]:
    return (measurement.from_name, measurement.to_name)


def _no_place(*, tapes_alone: bool) -> Problem:
    if tapes_alone:
        return Problem(
            message="tapes alone do not say where on the lot the stakes stand",
            remedy="give --stakes, or write --hold C,C-D or --hold best",
            field="--hold",
        )
    return Problem(
        message="the job is not placed on a survey, so there is no place to move to",
        remedy="write --hold C,C-D or --hold best",
        field="--hold",
    )


def _after(
    names: Sequence[str], there: Mapping[str, Sequence[float]], asked: StakesRequest
) -> tuple[After, ...]:
    return tuple(
        After(
            from_name=check.from_name,
            to_name=check.to_name,
            distance=math.dist(there[check.from_name], there[check.to_name]),
            planned=math.dist(asked.place_of(check.from_name), asked.place_of(check.to_name)),
        )
        for check in asked.checks
        if check.kind in PAIR_KINDS | {CheckKind.POINT}
        and {check.from_name, check.to_name} <= set(names)
    )


def tapes_of(layout: Layout) -> tuple[Check, ...]:
    """Give what is to be taped, in order: corners, then pads and ends of interior lines."""
    return tuple(check for check in layout.checks if check.kind in PAIR_KINDS | {CheckKind.POINT})
