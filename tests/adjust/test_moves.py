from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from staking.adjust.moves import advise, moved, neighbours
from staking.adjust.reduce import corrected, level
from staking.errors import ComputationError
from staking.plan import Building, Corner, Footing, Plan, Tape, Wall

INCH = 0.0254
SIXTEENTH = INCH / 16
FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)


def plan_of(points: list[tuple[float, float]]) -> Plan:
    names = [chr(ord("A") + i) for i in range(len(points))]
    return Plan(
        job="Invented",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True)
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=FOOTING)
                    for a, b in zip(names, [*names[1:], names[0]], strict=True)
                ),
            ),
        ),
    )


SQUARE = plan_of([(0, 0), (10, 0), (10, 8), (0, 8)])
TRIANGLE = plan_of([(0, 0), (10, 0), (5, 8)])


def goal(plan: Plan) -> NDArray[np.float64]:
    return np.array([corner.point for corner in plan.buildings[0].corners], dtype=float)


def test_a_stake_off_by_an_inch_goes_along_the_wall_it_is_off_along() -> None:
    here = goal(SQUARE)
    here[2] += (INCH, 0)
    move = advise("ABCD", here, SQUARE, SIXTEENTH)[2]
    assert [(step.toward, step.along) for step in move.steps] == [("D", "D")]
    assert move.steps[0].distance == pytest.approx(INCH, rel=0, abs=1e-9)


def test_less_than_half_a_step_is_left_alone() -> None:
    here = goal(SQUARE) + 0.4 * SIXTEENTH
    moves = advise("ABCD", here, SQUARE, SIXTEENTH)
    assert not any(move.steps for move in moves)
    assert moves[0].x == pytest.approx(-0.4 * SIXTEENTH, rel=0, abs=1e-12)


def test_good_stakes_are_left_alone_when_told() -> None:
    here = goal(SQUARE) + INCH
    assert not any(move.steps for move in advise("ABCD", here, SQUARE, SIXTEENTH, leave=True))


def test_at_a_slanting_corner_the_move_is_along_and_across_the_next_wall() -> None:
    here = goal(TRIANGLE)
    here[0] += (INCH, -INCH)
    move = advise("ABC", here, TRIANGLE, SIXTEENTH)[0]
    assert [step.toward for step in move.steps] == ["away from B", "inward from A-B"]
    here[0] = (0, 2 * INCH)
    move = advise("ABC", here, TRIANGLE, SIXTEENTH)[0]
    assert [step.toward for step in move.steps] == ["outward from A-B"]


def test_beside_a_jog_as_short_as_the_stakes_are_off_the_move_is_given_by_the_long_wall() -> None:
    # C-D is 3" long; D stands 3" to its side, so that C-D as the stakes show it is not a guide
    plan = plan_of([(0, 0), (10, 0), (10, 6), (10 - 3 * INCH, 6), (10 - 3 * INCH, 9), (0, 9)])
    here = goal(plan)
    here[3] += (INCH, -3 * INCH)
    moves = advise("ABCDEF", here, plan, SIXTEENTH)
    assert [(s.toward, s.along) for s in moves[3].steps] == [("E", "E"), ("inward from D-E", None)]
    assert [s.distance for s in moves[3].steps] == pytest.approx([3 * INCH, INCH], rel=0, abs=1e-9)
    here[2] += (INCH, INCH)
    moves = advise("ABCDEF", here, plan, SIXTEENTH)
    told = [(s.toward, s.along) for s in moves[2].steps]
    assert told == [("B", "B"), ("inward from B-C", None)]
    # with all in place but one stake an inch off along the jog, the jog is as good as any wall
    here = goal(plan)
    here[2] += (INCH, 0)
    assert [s.toward for s in advise("ABCDEF", here, plan, SIXTEENTH)[2].steps] == ["D"]


def test_of_a_jogs_corner_whose_neighbour_was_not_taped_the_neighbour_counts_as_in_place() -> None:
    plan = plan_of([(0, 0), (10, 0), (10, 6), (10 - 3 * INCH, 6), (10 - 3 * INCH, 9), (0, 9)])
    here = goal(plan)[[0, 1, 2, 4, 5]]
    here[2] += (INCH, 2 * INCH)
    (_, _, move, _, _) = advise("ABCEF", here, plan, SIXTEENTH)
    assert [s.toward for s in move.steps] == ["B", "inward from B-C"]


@pytest.mark.parametrize("plan", [SQUARE, TRIANGLE])
def test_moved_stakes_land_within_half_a_step_along_each_wall(plan: Plan) -> None:
    names = tuple(corner.name for corner in plan.buildings[0].corners)
    here = goal(plan) + np.random.default_rng(5).uniform(-0.03, 0.03, (len(names), 2))
    there = moved(here, advise(names, here, plan, SIXTEENTH))
    assert np.hypot(*(there - goal(plan)).T).max() <= SIXTEENTH / 2 * 1.4143


def test_neighbours_go_round_and_know_the_inside() -> None:
    found = neighbours(SQUARE)
    assert (found["A"].before, found["A"].after) == ("D", "B")
    assert found["A"].left_is_inside
    assert not neighbours(plan_of([(0, 8), (10, 8), (10, 0), (0, 0)]))["A"].left_is_inside


def test_a_tape_without_conditions_is_taken_as_it_reads() -> None:
    assert corrected(Tape(), 12.5) == 12.5


def test_heights_further_apart_than_the_tape_are_refused() -> None:
    with pytest.raises(ComputationError, match="more than the tape"):
        level(2.0, 2.5)
