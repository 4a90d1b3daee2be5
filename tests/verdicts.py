"""Random plans and stakes, and what a check says of them: the measure of its verdicts.

Every plan is invented: none of its numbers is a check value.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from staking.adjust.check_limits import z_of
from staking.adjust.holds import default_hold
from staking.adjust.moves import advise, moved, placed
from staking.adjust.stakes_check import StakesJudged, StakesRequest, judge_tapes
from staking.adjust.targets import targets_of
from staking.kinds import CheckKind
from staking.layout.allowed import allowed_difference
from staking.layout.checks import all_pairs, choose_checks
from staking.layout.steps.base_line import choose_base_line
from staking.network.fitted import Measurement
from staking.network.tape_error import standard_error
from staking.plan import InteriorLine, Options, Pad, Plan, Point, Show, Tape
from tests.properties import strategies

INCH = 0.0254
FOOT = 0.3048

Places = dict[str, NDArray[np.float64]]


@dataclass(frozen=True)
class Case:
    """A plan with its options, what its stakes are held against, and the pairs that are taped."""

    plan: Plan
    options: Options
    asked: StakesRequest
    pairs: tuple[tuple[str, str], ...]
    base: tuple[str, str]

    @property
    def places(self) -> Places:
        names = [*self.asked.corners, *(each.name for each in self.asked.targets)]
        return {name: np.array(self.asked.place_of(name)) for name in names}

    def read(self, places: Places, rng: np.random.Generator | None = None) -> list[Measurement]:
        """Tape the places: rounded to what is read, with the tape's error where `rng` is given."""
        found = []
        for one, other in self.pairs:
            length = float(np.hypot(*(places[other] - places[one])))
            error = standard_error(self.options.tape, length)
            if rng is not None:
                length += float(rng.normal(0, error))
            step = self.options.step
            found.append(
                Measurement(
                    from_name=one,
                    to_name=other,
                    distance=round(length / step) * step,
                    standard_error=error,
                )
            )
        return found

    def judge(self, readings: list[Measurement]) -> StakesJudged:
        return judge_tapes(tuple(self.asked.corners), self.asked, readings)

    def judge_again(self, readings: list[Measurement]) -> StakesJudged:
        """Judge, and where every reading is off alike read the longest side again as advised."""
        judged = self.judge(readings)
        return judged if judged.common is None else self.judge([*readings, *judged.repeat])

    def move(self, judged: StakesJudged, places: Places) -> Places:
        """Move the stakes exactly as the advice has it, seen from what is held."""
        names, located = judged.located.names, judged.located
        hold = default_hold(self.plan, names[: located.corners], self.base)
        here = placed(located, self.asked.corners, hold)
        good = judged.verdict.square or judged.waits
        moves = advise(
            names, here, self.plan, self.options.step, targets=self.asked.targets, leave=good
        )
        shift = moved(here, moves) - here
        # the builder's own frame: the held corner and the way of the held wall
        first, last = places[hold.wall[0]], places[hold.wall[1]]
        run = last - first
        planned = np.array(self.asked.corners[hold.wall[1]]) - self.asked.corners[hold.wall[0]]
        turn = math.atan2(run[1], run[0]) - math.atan2(planned[1], planned[0])
        c, s = math.cos(turn), math.sin(turn)
        own = shift @ np.array([[c, s], [-s, c]])
        return {name: places[name] + step for name, step in zip(names, own, strict=True)}


def outline(rng: np.random.Generator) -> list[Point]:
    """One of many shapes: sheds, rectangles, wings, bays and jogs of inches, acute corners."""

    def side(low: float = 10, high: float = 50) -> float:
        return round(rng.uniform(low, high) * 12) * INCH

    kind = int(rng.integers(8))
    w, d, jog = side(), side(), int(rng.integers(3, 31)) * INCH
    if kind == 0:
        a, b = side(6, 9), side(6, 9)
        return [(0, 0), (a, 0), (a, b), (0, b)]
    if kind == 1:
        return [(0, 0), (w, 0), (w, d), (0, d)]
    if kind == 2:
        a, b = w + side(6, 20), d + side(6, 20)
        return [(0, 0), (a, 0), (a, d), (w, d), (w, b), (0, b)]
    if kind == 3:
        a = w + side(6, 20)
        return [(0, 0), (a, 0), (a, d), (w, d), (w, d + jog), (0, d + jog)]
    if kind == 4:
        a, b = w + side(4, 12), w + side(13, 20)
        return [(0, 0), (b, 0), (b, d), (a, d), (a, d + jog), (w, d + jog), (w, d), (0, d)]
    if kind == 5:
        a, b, c = side(6, 20), side(6, 20), side(6, 20)
        e = d + side(6, 20)
        return [
            (0, 0), (a + b + c, 0), (a + b + c, d), (a + b, d), (a + b, e), (a, e), (a, d), (0, d),
        ]  # fmt: skip
    if kind == 6:
        angle = math.radians(rng.uniform(25, 60))
        return [(0, 0), (w, 0), (w * rng.uniform(0.8, 1.2) * math.cos(angle), w * math.sin(angle))]
    count = int(rng.integers(4, 8))
    around = np.cumsum(rng.uniform(0.6, 1.8, count))
    around *= 2 * math.pi / around[-1]
    return [(w / 2 * math.cos(t), d / 2 * math.sin(t)) for t in around]


def jogged(rng: np.random.Generator) -> list[Point]:
    """A house with a jog or a bay that stands out by 3" to 6"."""
    w, d, out = (round(rng.uniform(12, 50) * 12) * INCH for _ in range(3))
    jog = int(rng.integers(3, 7)) * INCH
    if rng.random() < 0.5:
        a = w + out
        return [(0, 0), (a, 0), (a, d), (w, d), (w, d + jog), (0, d + jog)]
    a, b = w + out, w + out + round(rng.uniform(12, 30) * 12) * INCH
    return [(0, 0), (b, 0), (b, d), (a, d), (a, d + jog), (w, d + jog), (w, d), (0, d)]


def case(rng: np.random.Generator) -> Case:
    """A random plan in feet or metres, turned on its grid, some with a pad and an interior line."""
    points = outline(rng)
    if rng.random() < 0.5:
        points = points[::-1]
    return case_of(points, 1 if rng.random() < 0.15 else None, rng)


def jogged_case(rng: np.random.Generator) -> Case:
    """A house with a jog of 3" to 6", its longest side now and then against another building."""
    points = jogged(rng)
    if rng.random() < 0.5:
        points = points[::-1]
    walls = [math.dist(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)]
    return case_of(points, walls.index(max(walls)) if rng.random() < 0.15 else None, rng)


def case_of(points: list[Point], existing: int | None, rng: np.random.Generator) -> Case:
    """An outline with a side against a building, turned on its grid, in feet or metres."""
    plan = strategies.plan_of(points, existing=() if existing is None else [existing])
    if len(points) == 4 and rng.random() < 0.5:
        a, b, c, d = (np.array(corner.point) for corner in plan.buildings[0].corners)
        t = float(rng.uniform(0.3, 0.7))
        walls = plan.buildings[0].walls
        line = InteriorLine(
            name="G",
            start=tuple((a + t * (b - a)).tolist()),
            end=tuple((d + t * (c - d)).tolist()),
            start_on=walls[0].name,
            end_on=walls[2].name,
            thickness=8 * INCH,
            footing=strategies.make_footing(16 * INCH, 8 * INCH),
        )
        middle = (a + b + c + d) / 4 + (b - a) * float(rng.uniform(-0.2, 0.2))
        pad = Pad(
            name="P1", x=float(middle[0]), y=float(middle[1]), size=(0.6, 0.6), diameter=None,
            thickness=0.3,
        )  # fmt: skip
        plan = Plan(job="Invented", buildings=plan.buildings, interior=(line,), pads=(pad,))
    plan = strategies.transform_plan(plan, float(rng.choice([0.0, 0.3, 1.0, 2.5])))
    if rng.random() < 0.3:
        tape = Tape(error=float(rng.choice([0.001, 0.002, 0.003])))
        options = Options(unit="m", show=Show.METRES, tape=tape)
    else:
        options = Options(tape=Tape(error=float(rng.choice([1, 2, 2, 2, 4])) * INCH / 16))
    checks = choose_checks(plan, options).checks
    pairs = tuple(
        (each.from_name, each.to_name)
        for each in checks
        if each.at is None and (each.in_network or each.kind == "point")
    )
    asked = StakesRequest(
        corners={c.name: c.point for b in plan.buildings for c in b.corners},
        walls=tuple((w.start, w.end) for b in plan.buildings for w in b.walls),
        targets=targets_of(plan),
        checks=checks,
        usable=tuple((c.from_name, c.to_name) for c in all_pairs(plan, options) if c.in_network),
        step=options.step,
    )
    base = choose_base_line(plan)
    return Case(
        plan=plan, options=options, asked=asked, pairs=pairs, base=(base.first, base.second)
    )


def rounded_readings_are_left_alone(given: Case) -> bool:
    """The plan's own distances, rounded: square, decided, nothing to move."""
    judged = given.judge(given.read(given.places))
    there = given.move(judged, given.places)
    still = all(np.array_equal(there[name], place) for name, place in given.places.items())
    return judged.verdict.square and judged.verdict.decided and not judged.repeat and still


def is_called_square(given: Case, rng: np.random.Generator) -> bool:
    """A perfect building, read with one standard error."""
    return given.judge(given.read(given.places, rng)).verdict.square


def finds_a_stake(given: Case, rng: np.random.Generator) -> bool:
    """One stake out by 2.5 times the larger of its tolerance and z standard errors."""
    names = tuple(given.asked.corners)
    perfect = given.judge(given.read(given.places))
    name = str(rng.choice(names))
    at = 2 * names.index(name)
    block = perfect.located.reading_covariance[at : at + 2, at : at + 2]
    error = math.sqrt(float(np.linalg.eigvalsh(block)[-1]))
    far = max(math.dist(given.asked.corners[name], other) for other in given.asked.corners.values())
    least = allowed_difference(given.options.tolerances, CheckKind.POINT, far)
    size = 2.5 * max(least, z_of(perfect.verdict.count) * error)
    way = rng.uniform(0, 2 * math.pi)
    places = given.places
    places[name] = places[name] + size * np.array([math.cos(way), math.sin(way)])
    judged = given.judge(given.read(places, rng))
    off = judged.stake_off
    return not judged.verdict.square and off is not None and name in off.names


def is_square_within_two_rounds(given: Case, rng: np.random.Generator) -> bool:
    """Stakes an inch or so off, moved exactly as advised and read again without error."""
    places = {name: place + rng.normal(0, 0.75 * INCH, 2) for name, place in given.places.items()}
    for target in given.asked.targets:
        if target.on is not None:
            # an end stands on its wall's string
            a, b = places[target.on[0]], places[target.on[1]]
            along = (b - a) / np.hypot(*(b - a))
            places[target.name] = a + along * float((places[target.name] - a) @ along)
    for _ in range(2):
        places = given.move(given.judge_again(given.read(places)), places)
    return given.judge_again(given.read(places)).verdict.square


def move_as_seen(given: Case, judged: StakesJudged, places: Places) -> Places:
    """Move the stakes by the words of the advice: along walls as the stakes show them."""
    names, located, plan = judged.located.names, judged.located, given.asked.corners
    hold = default_hold(given.plan, names[: located.corners], given.base)
    here = placed(located, plan, hold)
    good = judged.verdict.square or judged.waits
    there = dict(places)
    for move in advise(names, here, given.plan, given.options.step, leave=good):
        for step in move.steps:
            if step.along is not None:
                run = places[step.along] - places[move.corner]
                sign = 1 if step.toward == step.along else -1
                way = sign * run / np.hypot(*run)
            else:
                first, last = step.toward.split(" from ")[1].split("-")
                run = places[last] - places[first]
                planned = np.subtract(plan[last], plan[first])
                left = planned[0] * step.y - planned[1] * step.x > 0
                way = (1 if left else -1) * np.array([-run[1], run[0]]) / np.hypot(*run)
            there[move.corner] = there[move.corner] + step.distance * way
    return there


def far_off(places: Places, rng: np.random.Generator) -> Places:
    """Stakes 2" to 5" off, each its own way."""
    found = {}
    for name, place in places.items():
        size, way = rng.uniform(2, 5) * INCH, rng.uniform(0, 2 * math.pi)
        found[name] = place + size * np.array([math.cos(way), math.sin(way)])
    return found


def is_square_moved_as_seen(given: Case, rng: np.random.Generator) -> bool:
    """Stakes 2" to 5" off, moved along walls as the stakes show them: square within two rounds."""
    places = far_off(given.places, rng)
    for _ in range(2):
        places = move_as_seen(given, given.judge_again(given.read(places)), places)
    return given.judge_again(given.read(places)).verdict.square
