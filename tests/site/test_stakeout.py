"""Ties, angles and deltas against what every pair of known points gives."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from staking.site.stakeout import (
    deltas,
    shots,
    tie_notices,
    ties,
)
from staking.site.taped import swing

KNOWN = np.array([[0.0, 0.0], [0.0, 10.0], [10.0, 0.0], [30.0, 40.0]])
NAMES = ("101", "102", "103", "104")


def test_two_tapes_that_meet_at_a_right_angle_are_chosen():
    (tie,), without = ties(("A",), np.array([[10.0, 10.0]]), NAMES, KNOWN, 100.0)
    assert without == ()
    assert (tie.first, tie.second) == ("102", "103")
    assert tie.first_distance == pytest.approx(10, rel=0, abs=1e-12)
    assert tie.second_distance == pytest.approx(10, rel=0, abs=1e-12)
    assert math.degrees(tie.swing) == pytest.approx(90, rel=0, abs=1e-9)
    # 103 is north-west of 102: facing it, A (north-east) is on the right.
    assert tie.side == "right"


def test_a_short_tape_leaves_out_known_points_beyond_it():
    _, without = ties(("A",), np.array([[10.0, 10.0]]), NAMES, KNOWN, 9.0)
    assert without == ("A",)
    (told,) = tie_notices((), without, 9.0)
    assert told.kind == "no-tie"


def test_points_in_one_line_are_no_tie():
    _, without = ties(
        ("A",), np.array([[0.0, 5.0]]), ("1", "2"), np.array([[0.0, 0.0], [0.0, 10.0]]), 100.0
    )
    assert without == ("A",)


def test_a_known_point_that_is_the_stake_itself_is_not_taped_from():
    (tie,), _ = ties(("A",), np.array([[0.0, 0.0]]), NAMES, KNOWN, 100.0)
    assert "101" not in {tie.first, tie.second}


def test_a_pair_near_the_best_of_all_is_found_and_its_tapes_meet_at_the_point():
    numbers = np.random.default_rng(6)
    known = numbers.uniform(0, 60, (14, 2))
    marks = numbers.uniform(0, 60, (40, 2))
    found, without = ties(
        [str(i) for i in range(40)], marks, [str(i) for i in range(14)], known, 30
    )
    taken = {tie.name: tie for tie in found}
    for i, mark in enumerate(marks):
        near = [k for k in range(14) if math.dist(mark, known[k]) <= 30]
        swings = []
        for a, b in combinations(near, 2):
            one, other = known[a] - mark, known[b] - mark
            cosine = (one @ other) / np.linalg.norm(one) / np.linalg.norm(other)
            swings.append(abs(math.degrees(math.acos(cosine)) - 90))
        if not swings:
            assert str(i) in without
            continue
        tie = taken[str(i)]
        # One pair serves several stakes in a row, within 15 degrees of what would be best.
        assert abs(math.degrees(tie.swing) - 90) <= min(swings) + 15 + 1e-6
        again = swing(
            tuple(known[int(tie.first)][::-1]),
            tuple(known[int(tie.second)][::-1]),
            tie.first_distance,
            tie.second_distance,
            tie.side,
        )
        assert isinstance(again, tuple)
        assert again[0] == pytest.approx(tuple(mark[::-1]), rel=0, abs=1e-7)


def test_a_stake_alone_gets_the_pair_that_meets_nearest_to_square():
    numbers = np.random.default_rng(6)
    known = numbers.uniform(0, 60, (14, 2))
    for mark in numbers.uniform(0, 60, (40, 2)):
        (tie,), _ = ties(("A",), mark[None], [str(i) for i in range(14)], known, 100)
        swings = []
        for a, b in combinations(range(14), 2):
            one, other = known[a] - mark, known[b] - mark
            cosine = (one @ other) / np.linalg.norm(one) / np.linalg.norm(other)
            swings.append(abs(math.degrees(math.acos(cosine)) - 90))
        assert abs(math.degrees(tie.swing) - 90) == pytest.approx(min(swings), rel=0, abs=1e-6)


def test_neighbouring_stakes_are_taped_from_one_pair():
    # Along y = 10 the two at the corners of a square meet at 90 degrees, more or less, all along;
    # for each stake some other pair would meet a few degrees nearer to square.
    known = np.array([[0.0, 0.0], [0.0, 20.0], [1.0, 1.0], [-1.0, 21.0], [0.5, -1.0]])
    stakes = np.array([[10.0, 8.0 + 0.25 * i] for i in range(16)])
    found, _ = ties([str(i) for i in range(16)], stakes, list("abcde"), known, 100.0)
    assert len({(tie.first, tie.second) for tie in found}) == 1
    assert all(abs(math.degrees(tie.swing) - 90) < 20 for tie in found)


def test_a_pair_is_given_up_where_it_would_meet_flat():
    known = np.array([[0.0, 0.0], [0.0, 20.0], [30.0, 60.0]])
    stakes = np.array([[10.0, 10.0], [0.5, 40.0]])
    (first, second), _ = ties(("A", "B"), stakes, ("1", "2", "3"), known, 100.0)
    assert (first.first, first.second) == ("1", "2")
    assert "3" in (second.first, second.second)


def test_a_stake_between_that_nothing_reaches_does_not_part_its_neighbours():
    known = np.array([[0.0, 0.0], [0.0, 20.0]])
    stakes = np.array([[10.0, 10.0], [500.0, 10.0], [10.0, 11.0]])
    found, without = ties(("A", "B", "C"), stakes, ("1", "2"), known, 100.0)
    assert without == ("B",)
    assert [tie.name for tie in found] == ["A", "C"]


def test_a_known_point_out_of_sight_is_not_taped_from():
    sight = np.array([[True, False, True, True]])
    (tie,), _ = ties(("A",), np.array([[10.0, 10.0]]), NAMES, KNOWN, 100.0, sight)
    assert "102" not in {tie.first, tie.second}


@pytest.mark.parametrize(("known", "kinds"), [((0.0, 20.0), ["swing"]), ((30.0, 40.0), [])])
def test_a_flat_swing_is_told(known: tuple[float, float], kinds: list[str]):
    found, _ = ties(
        ("A",), np.array([[1.0, 10.0]]), ("1", "2"), np.array([[0.0, 0.0], known]), 100.0
    )
    assert [told.kind for told in tie_notices(found, (), 100.0)] == kinds


def test_angle_right_and_distance_from_a_set_up():
    # The backsight lies east; due south is then a quarter turn to the right, north three.
    found = shots(("S", "N", "E"), np.array([[-5.0, 0], [7, 0], [0, 3]]), (0, 0), (0, 10))
    assert [math.degrees(each.angle_right) for each in found] == pytest.approx(
        [90, 270, 0], rel=0, abs=1e-9
    )
    assert [each.distance for each in found] == pytest.approx([5, 7, 3], rel=0, abs=1e-12)
    assert [math.degrees(each.azimuth) for each in found] == pytest.approx(
        [180, 0, 90], rel=0, abs=1e-9
    )


def test_deltas_count_from_the_nearest_known_point():
    found = deltas(("A", "B"), np.array([[1.0, 2.0], [29.0, 41.0]]), NAMES, KNOWN)
    assert [(each.control, each.north, each.east) for each in found] == [
        ("101", 1.0, 2.0),
        ("104", -1.0, 1.0),
    ]
    assert deltas(("A",), np.array([[1.0, 2.0]]), (), np.empty((0, 2))) == ()
