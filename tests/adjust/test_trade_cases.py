"""Cases worked out by hand in exact arithmetic, in feet and inches; no source beyond that."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.adjust.check_limits import z_of
from staking.checked.stakes_checked import Checked
from staking.job.build import Job
from staking.job.typed_tapes import Reading, Readings
from staking.plan import Building, Corner, Footing, Options, Plan, Wall
from staking.project.check import check_job
from staking.project.resolve import resolve

INCH = 0.0254
FOOT = 0.3048


def rectangle(width: float, depth: float) -> Plan:
    points = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)]
    footing = Footing(width=20 * INCH, thickness=10 * INCH, outside=6 * INCH)
    return Plan(
        job="Invented",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=n, x=x, y=y) for n, (x, y) in zip("ABCD", points, strict=True)
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=8 * INCH, footing=footing)
                    for a, b in zip("ABCD", "BCDA", strict=True)
                ),
            ),
        ),
    )


def check(plan: Plan, tapes: dict[str, float], hold: str | None = None) -> Checked:
    readings = tuple(
        Reading(from_name=pair[0], to_name=pair[2], distance=distance)
        for pair, distance in tapes.items()
    )
    job = Job(plan=plan, options=Options())
    return check_job(resolve(job), Readings(readings=readings, heights={}), hold)


@pytest.fixture(scope="module")
def racked() -> Checked:
    return check(
        rectangle(36 * FOOT, 24 * FOOT),
        {
            "A-B": 36 * FOOT,
            "B-C": 24 * FOOT,
            "C-D": 36 * FOOT,
            "D-A": 24 * FOOT,
            "A-C": 43 * FOOT + 3.375 * INCH,
            "B-D": 43 * FOOT + 2.5 * INCH,
        },
    )


def test_two_diagonals_that_differ_say_what_to_move(racked: Checked) -> None:
    moves = {move.corner: (move.x / INCH, move.y / INCH) for move in racked.moves}
    expected = {"A": (0, 0), "B": (0.109, 0), "C": (-0.417, 0.073), "D": (-0.526, 0.073)}
    for corner, move in expected.items():
        assert moves[corner] == pytest.approx(move, rel=0, abs=0.0006), corner


def test_all_standardised_residuals_are_alike_and_none_is_named(racked: Checked) -> None:
    sizes = [abs(each.standardised) for each in racked.judged.adjusted]
    assert sizes == pytest.approx([2.094] * 6, rel=0, abs=0.0006)
    assert not racked.judged.suspects


def test_it_is_surely_not_square_and_right_after_the_moves(racked: Checked) -> None:
    assert not racked.verdict.square
    assert racked.verdict.decided
    after = {(each.from_name, each.to_name): each.distance for each in racked.after}
    true = 43 * FOOT + (3 + 3 / 16) * INCH
    assert after["A", "C"] == pytest.approx(true, rel=0, abs=INCH / 10)
    assert after["B", "D"] == pytest.approx(true, rel=0, abs=INCH / 10)


def test_moves_are_said_in_sixteenths_along_the_walls(racked: Checked) -> None:
    told = {
        move.corner: [(round(step.distance / INCH * 16), step.toward) for step in move.steps]
        for move in racked.moves
    }
    assert told == {
        "A": [],
        "B": [(2, "away from A")],
        "C": [(7, "D"), (1, "away from B")],
        "D": [(1, "away from A"), (8, "away from C")],
    }


def test_a_racked_rectangle_shows_four_times_base_times_rack_between_the_squares() -> None:
    base, depth, rack = 24 * 12, 36 * 12, 1.0
    long, short = math.hypot(base + rack, depth), math.hypot(base - rack, depth)
    assert long - short == pytest.approx(1.11, rel=0, abs=0.005)
    sheared = {
        "A-B": base,
        "C-D": base,
        "B-C": math.hypot(depth, rack),
        "D-A": math.hypot(depth, rack),
        "A-C": long,
        "B-D": short,
    }
    plan = rectangle(base * INCH, depth * INCH)
    found = check(plan, {k: v * INCH for k, v in sheared.items()}, "A,A-B")
    moves = {move.corner: move.x / INCH for move in found.moves}
    assert moves == pytest.approx({"A": 0, "B": 0, "C": -1, "D": -1}, rel=0, abs=1e-6)


def test_the_two_diagonal_rule_is_the_full_solution_for_a_small_rack() -> None:
    """docs/methods.md: with sides as planned, s = (d1^2 - d2^2) / (4 a)."""
    a, b = 36 * FOOT, 24 * FOOT
    for rack in (0.25 * INCH, 1 * INCH, 3 * INCH):
        # sides kept, the far wall slid along by `rack` (a parallelogram with its true sides)
        lift = math.sqrt(b * b - rack * rack)
        d1, d2 = math.hypot(a + rack, lift), math.hypot(a - rack, lift)
        found = check(
            rectangle(a, b), {"A-B": a, "B-C": b, "C-D": a, "D-A": b, "A-C": d1, "B-D": d2}
        )
        by_rule = (d1 * d1 - d2 * d2) / (4 * a)
        moves = {move.corner: move.x for move in found.moves}
        assert moves["C"] == pytest.approx(-by_rule, rel=0, abs=1e-7)
        assert moves["D"] == pytest.approx(-by_rule, rel=0, abs=1e-7)
        assert moves["B"] == pytest.approx(0.0, rel=0, abs=1e-7)


def small_rectangle_by_a_tape(rng: np.random.Generator) -> dict[str, float]:
    """What a tape good to 1/8" reads all round a perfect 12' by 8' rectangle."""
    points = dict(zip("ABCD", [(0, 0), (12, 0), (12, 8), (0, 8)], strict=True))
    return {
        f"{one}-{other}": math.dist(points[one], points[other]) * FOOT
        + float(rng.normal(0, INCH / 8))
        for one, other in ("AB", "BC", "CD", "AD", "AC", "BD")
    }


def test_a_perfect_small_rectangle_fails_its_tolerances_and_passes_what_the_tape_can_show() -> None:
    # by the tolerances alone it fails three times in four, which no tape to 1/8" could tell
    plan = rectangle(12 * FOOT, 8 * FOOT)
    rng = np.random.default_rng(14)
    tight = square = said = 0
    for _ in range(200):
        found = check(plan, small_rectangle_by_a_tape(rng))
        pairs = [each for each in found.verdict.judged if each.check.at is None]
        fails = any(abs(each.off) > each.check.allowed for each in pairs)
        tight += fails
        square += found.verdict.square and found.verdict.decided
        said += any(each.kind == "limit-by-readings" for each in found.notices)
        if found.verdict.square and fails:
            assert any(each.kind == "limit-by-readings" for each in found.notices)
    # three in four, give or take two standard errors of 200 trials
    assert 0.69 <= tight / 200 <= 0.81
    assert square >= 0.93 * 200
    assert said > 100


def test_the_standard_errors_within_which_a_perfect_building_passes() -> None:
    # the normal quantile of (1 + 0.95^(1/m)) / 2
    known = {
        1: 1.9600,
        6: 2.6310,
        10: 2.7996,
        12: 2.8578,
        15: 2.9278,
        20: 3.0160,
        30: 3.1368,
    }
    for count, z in known.items():
        assert z_of(count) == pytest.approx(z, rel=0, abs=5e-5), count
