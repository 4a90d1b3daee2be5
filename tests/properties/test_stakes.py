"""Properties of surveyed stakes: where the survey lies changes nothing, the advice lands."""

from __future__ import annotations

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from staking.adjust.moves import advise, moved, neighbours
from staking.adjust.surveyed_stakes import StakeShot, adjust_stakes
from staking.adjust.verdict import radii95
from staking.network.fitted import Measurement
from staking.plan import Building, Corner, Footing, Plan, Wall

INCH = 0.0254
NAMES = ("A", "B", "C", "D", "E", "F")
CORNERS = ((0, 0), (11, 0), (11, 7), (7, 7), (7, 10), (0, 10))
GOAL = np.array(CORNERS, dtype=float)
FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)
PLAN = Plan(
    job="Invented",
    buildings=(
        Building(
            name=None,
            corners=tuple(
                Corner(name=n, x=float(x), y=float(y))
                for n, (x, y) in zip(NAMES, CORNERS, strict=True)
            ),
            walls=tuple(
                Wall(start=a, end=b, thickness=0.2, footing=FOOTING)
                for a, b in zip(NAMES, (*NAMES[1:], NAMES[0]), strict=True)
            ),
        ),
    ),
)

offs = st.lists(
    st.floats(-0.05, 0.05, allow_nan=False).map(lambda v: round(v, 6)), min_size=12, max_size=12
).map(lambda listed: np.array(listed).reshape(6, 2))
turns = st.floats(-math.pi, math.pi)
shifts = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


def shots(places: NDArray[np.float64]) -> list[StakeShot]:
    return [
        StakeShot(name=name, x=float(x), y=float(y), error=INCH / 16)
        for name, (x, y) in zip(NAMES, places, strict=True)
    ]


def taped(places: NDArray[np.float64]) -> list[Measurement]:
    return [
        Measurement(
            from_name=NAMES[i],
            to_name=NAMES[j],
            distance=math.dist(places[i], places[j]) + 0.001 * (i - j),
            standard_error=INCH / 8,
        )
        for i, j in ((0, 2), (1, 5), (2, 4), (3, 5))
    ]


def turned(places: NDArray[np.float64], turn: float) -> NDArray[np.float64]:
    c, s = math.cos(turn), math.sin(turn)
    return places @ np.array([[c, s], [-s, c]])


@settings(max_examples=60, deadline=None)
@given(off=offs, turn=turns, shift=shifts)
def test_turning_and_shifting_the_survey_changes_no_shape(
    off: NDArray[np.float64], turn: float, shift: tuple[float, float]
) -> None:
    here = GOAL + off
    there = turned(here, turn) + shift
    one = adjust_stakes(NAMES, GOAL, shots(here), taped(here)).sifted
    other = adjust_stakes(NAMES, GOAL, shots(there), taped(here)).sifted
    np.testing.assert_allclose(
        one.solution.coordinates, other.solution.coordinates, rtol=0, atol=1e-7
    )
    np.testing.assert_allclose(
        radii95(one.solution.covariance), radii95(other.solution.covariance), rtol=0, atol=1e-8
    )
    assert [s.members for s in one.suspects] == [s.members for s in other.suspects]


@settings(max_examples=60, deadline=None)
@given(off=offs)
def test_the_advice_lands_every_stake_within_the_rounding(off: NDArray[np.float64]) -> None:
    step = INCH / 16
    shape = adjust_stakes(NAMES, GOAL, shots(GOAL + off))
    here = shape.places
    there = moved(here, advise(NAMES, here, PLAN, step))
    assert neighbours(PLAN)["A"].before == "F"
    assert np.abs(there - GOAL).max() <= step / 2 + 1e-9


@settings(max_examples=60, deadline=None)
@given(off=offs, turn=turns)
def test_the_displacement_takes_the_plan_to_where_the_stakes_fit_best(
    off: NDArray[np.float64], turn: float
) -> None:
    here = turned(GOAL + off - off.mean(axis=0), turn)
    found = adjust_stakes(NAMES, GOAL, shots(here)).displacement
    brought = turned(GOAL - GOAL.mean(axis=0), found.turn) + GOAL.mean(axis=0)
    brought += (found.x, found.y)
    left = float(((brought - here) ** 2).sum())
    for more in (-1e-4, 1e-4):
        other = turned(GOAL - GOAL.mean(axis=0), found.turn + more) + here.mean(axis=0)
        assert left <= float(((other - here) ** 2).sum()) + 1e-12
