"""How often the verdicts are right on random plans: a small set, the same at every run.

`python -m tests.verdict_rates 500` measures the same on many.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.verdicts import (
    Case,
    case,
    finds_a_stake,
    is_called_square,
    is_square_moved_as_seen,
    is_square_within_two_rounds,
    jogged_case,
    rounded_readings_are_left_alone,
)


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    rng = np.random.default_rng(20)
    return [case(rng) for _ in range(60)]


def test_readings_as_planned_and_rounded_are_square_and_decided_and_move_nothing(
    cases: list[Case],
) -> None:
    assert all(rounded_readings_are_left_alone(each) for each in cases)


def test_a_perfect_building_is_called_not_square_hardly_ever(cases: list[Case]) -> None:
    rng = np.random.default_rng(21)
    square = sum(is_called_square(each, rng) for each in cases for _ in range(3))
    # at most 7 in 100, give or take two standard errors of 180 trials
    assert square >= 180 * (0.93 - 2 * (0.93 * 0.07 / 180) ** 0.5)


def test_a_stake_that_is_clearly_off_is_found_and_named(cases: list[Case]) -> None:
    rng = np.random.default_rng(22)
    found = sum(finds_a_stake(each, rng) for each in cases)
    assert found >= 60 * (0.95 - 2 * (0.95 * 0.05 / 60) ** 0.5)


def test_stakes_moved_as_advised_are_square_within_two_rounds(cases: list[Case]) -> None:
    rng = np.random.default_rng(23)
    assert all(is_square_within_two_rounds(each, rng) for each in cases)


def test_stakes_about_a_jog_of_inches_are_square_when_moved_by_sight() -> None:
    # whoever moves them sees where the stakes stand, and 3" off turns a wall of 3" any way
    rng = np.random.default_rng(24)
    assert all(is_square_moved_as_seen(jogged_case(rng), rng) for _ in range(40))
