"""Stakes as a whole: what stands where, what does not fit, square or not, what to read again."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from staking.adjust.blunders import Sifted, sift
from staking.adjust.common_error import CommonError, common_error, tape_was_off
from staking.adjust.explanations import StakeOff, is_another_building, one_stake
from staking.adjust.misfit_notices import pair_of, suspect_notice
from staking.adjust.point_places import Located, PointsFound, PointShot, find_points
from staking.adjust.repeats import to_repeat
from staking.adjust.suspects import Suspect
from staking.adjust.targets import Target
from staking.adjust.verdict import Verdict, judge, measure
from staking.errors import ComputationError
from staking.frozen import frozen
from staking.kinds import CheckKind
from staking.layout.allowed import allowed_difference
from staking.layout.layout_parts import Check
from staking.network.fitted import Adjusted, Measurement
from staking.network.geometry import Floats
from staking.network.solve import refuse_folded
from staking.notices import Notice, notice
from staking.plan import Point, ToleranceRules
from staking.tolerances import ON_LINE

PAIR_KINDS = frozenset({CheckKind.SIDE, CheckKind.DIAGONAL, CheckKind.TIE})
"""Kinds of checks that run from corner to corner."""


@frozen(eq=False)
class StakesRequest:
    """What the stakes are held against.

    Parameters
    ----------
    corners, walls
        The plan's corners, m, and its walls by their corners.
    targets
        Pads and ends of interior lines.
    checks
        What is judged: the layout's checks, and those of further readings.
    usable
        The pairs that may be taped next.
    step
        The step that lengths are read in, m.
    """

    corners: Mapping[str, Point]
    walls: tuple[tuple[str, str], ...]
    targets: tuple[Target, ...]
    checks: tuple[Check, ...]
    usable: tuple[tuple[str, str], ...]
    step: float

    def tapes_to(self, point: str) -> tuple[str, ...]:
        """Name the corners that the layout tapes a point from."""
        return tuple(
            c.from_name for c in self.checks if c.kind is CheckKind.POINT and c.to_name == point
        )

    def plan_of(self, names: Sequence[str]) -> Floats:
        """Give where corners stand on the plan, m, shape ``(n, 2)``."""
        return np.array([self.corners[name] for name in names], dtype=float)

    def place_of(self, name: str) -> Point:
        """Give where a corner or a point stands on the plan, m."""
        if name in self.corners:
            return self.corners[name]
        return next(each.point for each in self.targets if each.name == name)


@frozen(eq=False)
class StakesJudged:
    """What readings say of stakes, before anything is held or moved.

    Parameters
    ----------
    located
        Corners and points as they stand.
    sifted
        The adjustment of the corners.
    adjusted
        Every tape, in the order given.
    suspects, left_out
        What does not fit, and what is left out; places count the tapes and then the shots.
    redundancy
        Of all readings.
    verdict
        Every check judged.
    unclear
        Whether a reading is wrong and nobody can say which.
    foreign
        Whether the readings are of another building.
    common
        What is common to all readings.
    stake_off
        The single stake that explains what is out, where one does.
    repeat
        What is to be read again before any stake is moved.
    notices
        What does not fit, in words.
    """

    located: Located
    sifted: Sifted
    adjusted: tuple[Adjusted, ...]
    suspects: tuple[Suspect, ...]
    left_out: frozenset[int]
    redundancy: int
    verdict: Verdict
    unclear: bool
    foreign: bool
    common: CommonError | None
    stake_off: StakeOff | None
    repeat: tuple[Measurement, ...]
    notices: tuple[Notice, ...]

    @property
    def waits(self) -> bool:
        """Whether no stake may be moved by these readings."""
        return self.unclear or self.foreign or self.common is not None

    @property
    def suspected(self) -> frozenset[int]:
        """Places of all readings that are named, alone or together."""
        return frozenset(place for suspect in self.suspects for place in suspect.members)


def with_readings(
    checks: Sequence[Check],
    pairs: Sequence[Check],
    taped: Sequence[tuple[str, str]],
    corners: Mapping[str, Point],
    targets: Sequence[Target],
    rules: ToleranceRules,
    step: float,
) -> tuple[Check, ...]:
    """Add what was taped beyond the layout's checks, which is judged too.

    Parameters
    ----------
    checks
        The layout's.
    pairs
        The distance between every two corners.
    taped
        What was taped; a corner comes before a point.
    corners
        Where the corners stand on the plan, m.
    targets
        Pads and ends of interior lines.
    rules
        The tolerances.
    step
        What lengths are read to, m.

    Returns
    -------
    tuple of Check
        The layout's, then the others by name.
    """
    there = {frozenset((c.from_name, c.to_name)) for c in checks if c.at is None}
    asked = {frozenset(pair): pair for pair in taped if frozenset(pair) not in there}
    if not asked:
        return tuple(checks)
    more = [c for c in pairs if frozenset((c.from_name, c.to_name)) in asked]
    places = {each.name: each.point for each in targets}
    points = (
        Check(
            kind=CheckKind.POINT,
            at=None,
            from_name=corner,
            to_name=point,
            distance=distance,
            allowed=allowed_difference(rules, CheckKind.POINT, distance, step),
            in_network=False,
        )
        for corner, point in asked.values()
        if point in places
        for distance in (math.dist(corners[corner], places[point]),)
    )
    return (*checks, *more, *points)


def judge_tapes(
    names: Sequence[str], asked: StakesRequest, tapes: Sequence[Measurement]
) -> StakesJudged:
    """Judge stakes by taped distances alone.

    Parameters
    ----------
    names
        The corners that were taped.
    asked
        What they are held against.
    tapes
        Distances between corners, and from a corner to a point.

    Returns
    -------
    StakesJudged
        What the readings say.
    """
    between = [each for each in tapes if each.to_name in asked.corners]
    plan = asked.plan_of(names)
    sifted = sift(names, plan, between, usable=asked.usable, anywhere=True)
    kept = [each.measurement for each in sifted.solution.adjusted]
    if is_another_building(sifted.solution, plan, kept, asked.walls):
        return _judged(_as_read(sifted), asked, tapes, (), foreign=True)
    found = _judged(sifted, asked, tapes, ())
    common = common_error(sifted.first, plan, between, asked.walls, square=found.verdict.square)
    common = common or tape_was_off(names, plan, between, asked.walls)
    if common is not None:
        return _judged(_as_read(sifted), asked, tapes, (), common=common)
    refuse_folded(sifted.solution, plan)
    return _with_reasons(found, asked, tapes)


def judge_shots(
    sifted: Sifted,
    asked: StakesRequest,
    tapes: Sequence[Measurement],
    shots: Sequence[PointShot],
    *,
    more: int = 0,
) -> StakesJudged:
    """Judge stakes that were surveyed, with the tapes between them.

    Parameters
    ----------
    sifted
        The adjustment of the corners that were shot or taped.
    asked
        What they are held against.
    tapes
        Distances between corners, and from a corner to a point.
    shots
        Points that were surveyed, in the frame of the adjusted corners.
    more
        How many stakes on the lot and setbacks are judged as well.

    Returns
    -------
    StakesJudged
        What the readings say.
    """
    plan = asked.plan_of(sifted.solution.names)
    if is_another_building(sifted.solution, plan, (), asked.walls):
        return _judged(_as_read(sifted), asked, tapes, shots, foreign=True, more=more, shot=True)
    found = _judged(sifted, asked, tapes, shots, more=more, shot=True)
    return _with_reasons(found, asked, tapes, shot=True)


def _as_read(sifted: Sifted) -> Sifted:
    # nothing is blamed and nothing left out
    return replace(
        sifted,
        solution=sifted.first,
        adjusted=sifted.first.adjusted,
        suspects=(),
        left_out=frozenset(),
        notices=(),
    )


def _judged(
    sifted: Sifted,
    asked: StakesRequest,
    tapes: Sequence[Measurement],
    shots: Sequence[PointShot],
    *,
    foreign: bool = False,
    common: CommonError | None = None,
    more: int = 0,
    shot: bool = False,
) -> StakesJudged:
    to_points = [place for place, each in enumerate(tapes) if each.to_name not in asked.corners]
    between = [place for place in range(len(tapes)) if place not in set(to_points)]
    points = find_points(
        sifted.solution,
        asked.targets,
        [tapes[place] for place in to_points],
        shots,
        asked.step,
        {each.name: asked.tapes_to(each.name) for each in asked.targets},
    )
    if foreign or common is not None:
        # where all readings are in doubt none of them is blamed
        points = replace(points, suspects=(), left_out=frozenset())
    unclear = sifted.unclear or any(not each.alone for each in points.suspects)
    verdict = _verdict(points.located, asked, tapes, more=more, unclear=unclear, shot=shot)
    if foreign or common is not None:
        verdict = replace(verdict, square=False, decided=False)
    adjusted = dict(zip(between, sifted.adjusted, strict=True))
    adjusted |= dict(zip(to_points, points.adjusted, strict=True))
    suspects, left_out = _all_suspects(sifted, points, between, to_points, len(tapes))
    return StakesJudged(
        located=points.located,
        sifted=sifted,
        adjusted=tuple(adjusted[place] for place in range(len(tapes))),
        suspects=suspects,
        left_out=left_out,
        redundancy=sifted.redundancy + points.redundancy,
        verdict=verdict,
        unclear=unclear,
        foreign=foreign,
        common=common,
        stake_off=None,
        repeat=() if common is None else _again(common, tapes),
        notices=(
            *sifted.notices,
            *(
                suspect_notice([each.measurement for each in points.adjusted], s, points.left_out)
                for s in points.suspects
            ),
            *(() if foreign or common else _unchecked_points(points, verdict, shots)),
        ),
    )


def _all_suspects(
    sifted: Sifted,
    points: PointsFound,
    between: Sequence[int],
    to_points: Sequence[int],
    count: int,
) -> tuple[tuple[Suspect, ...], frozenset[int]]:
    # the places of tapes between corners, of shots, and of tapes to points, as they were given
    def of_corners(place: int) -> int:
        return between[place] if place < len(between) else count + place - len(between)

    suspects = [
        replace(each, members=tuple(of_corners(place) for place in each.members))
        for each in sifted.suspects
    ]
    suspects += [
        replace(each, members=tuple(to_points[place] for place in each.members))
        for each in points.suspects
    ]
    left = {of_corners(place) for place in sifted.left_out}
    return tuple(suspects), frozenset(left | {to_points[place] for place in points.left_out})


def _verdict(
    located: Located,
    asked: StakesRequest,
    tapes: Sequence[Measurement],
    *,
    more: int = 0,
    unclear: bool = False,
    shot: bool = False,
) -> Verdict:
    taped = {frozenset((each.from_name, each.to_name)) for each in tapes}
    checks = [
        check
        for check in asked.checks
        if check.at is not None or shot or frozenset((check.from_name, check.to_name)) in taped
    ]
    quantities = measure(located.names, located.coordinates, located.reading_covariance, checks)
    planned = not shot and all(
        abs(each.distance - _planned(each, asked)) <= asked.step / 2 + ON_LINE for each in tapes
    )
    return judge(quantities, asked.step, more=more, unclear=unclear, as_planned=planned)


def _planned(tape: Measurement, asked: StakesRequest) -> float:
    one, other = asked.place_of(tape.from_name), asked.place_of(tape.to_name)
    return float(np.hypot(other[0] - one[0], other[1] - one[1]))


def _with_reasons(
    found: StakesJudged, asked: StakesRequest, tapes: Sequence[Measurement], *, shot: bool = False
) -> StakesJudged:
    """Add which stake explains it and what to read again, where the stakes are not square."""
    names = found.located.names[: found.located.corners]
    plan = asked.plan_of(names)
    # pads and ends of interior lines say nothing of the corners
    corners_off = any(
        not e.square and e.check.kind is not CheckKind.POINT for e in found.verdict.judged
    )
    repeat: tuple[Measurement, ...] = ()
    if found.unclear:
        wrong = {p for s in found.suspects if not s.alone for p in s.members}
        repeat = tuple(tapes[place] for place in sorted(wrong) if place < len(tapes))
    elif not found.verdict.square and not corners_off:
        repeat = _of_point(found.verdict, tapes)
    elif corners_off:

        def is_square_without(rest: Sequence[Measurement]) -> bool:
            if shot:
                return False
            taped = [*rest, *(each for each in tapes if each.to_name not in asked.corners)]
            try:
                sifted = sift(names, plan, rest, anywhere=True)
                return _judged(sifted, asked, taped, ()).verdict.square
            except ComputationError:
                return False

        repeat = to_repeat(
            found.sifted,
            plan,
            decided=found.verdict.decided,
            is_square_without=is_square_without,
        )
    off = None
    if corners_off and not found.unclear:
        off = one_stake(found.sifted.solution, plan)
    return replace(found, repeat=repeat, stake_off=off)


def _again(common: CommonError, tapes: Sequence[Measurement]) -> tuple[Measurement, ...]:
    longest = [each for each in tapes if {each.from_name, each.to_name} == set(common.longest)]
    return tuple(each for each in tapes if each not in longest) if common.by_tape else (longest[0],)


def _of_point(found: Verdict, tapes: Sequence[Measurement]) -> tuple[Measurement, ...]:
    # the tape to the pad or end of an interior line that is too close to call
    close = [each for each in found.judged if not each.decided]
    if not close:
        return ()
    worst = max(close, key=lambda each: abs(each.off) - each.limit.limit).check
    ends = {worst.from_name, worst.to_name}
    return tuple(each for each in tapes if {each.from_name, each.to_name} == ends)[:1]


def _unchecked_points(
    points: PointsFound, verdict: Verdict, shots: Sequence[PointShot]
) -> tuple[Notice, ...]:
    # a pad is moved by tapes that nothing checks: a slip of one would move a good pad
    out = {
        e.check.to_name for e in verdict.judged if e.check.kind is CheckKind.POINT and not e.square
    }
    out -= {each.name for each in shots}
    tapes = [
        each.measurement
        for each in points.adjusted
        if each.redundancy <= 0 and each.measurement.to_name in out
    ]
    if not tapes:
        return ()
    return (
        notice(
            "points-not-checked",
            "nothing checks {pairs}: read them again before {points} is moved",
            pairs=", ".join(dict.fromkeys(pair_of(each) for each in tapes)),
            points=", ".join(dict.fromkeys(each.to_name for each in tapes)),
        ),
    )
