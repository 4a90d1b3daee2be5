"""What must hold on any lot: turning or moving the whole site changes no clearance."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.kinds import LotPart
from staking.site.clearance import Lot, clearances, least_distances
from staking.site.site_results import Placement
from staking.site.stakeout import shots, ties
from staking.site.taped import swing

TURNS = st.floats(-math.pi, math.pi)
FAR = st.sampled_from([0.0, 1e4, 5e6])
SEEDS = st.integers(0, 10_000)


def shapes(seed: int) -> tuple[np.ndarray, np.ndarray]:
    """A building and a lot about it, some of it over the line."""
    numbers = np.random.default_rng(seed)

    def star(count: int, low: float, high: float) -> np.ndarray:
        angles = (np.arange(count) + numbers.uniform(0.1, 0.9, count)) * 2 * math.pi / count
        reach = numbers.uniform(low, high, count)
        return np.stack((np.cos(angles), np.sin(angles)), axis=1) * reach[:, None]

    return star(6, 3, 9), star(7, 7, 30)


@given(seed=SEEDS, turn=TURNS, far=FAR)
def test_clearances_do_not_change_under_a_turn_of_the_whole_site(
    seed: int, turn: float, far: float
) -> None:
    building, boundary = shapes(seed)
    plain = Placement(turn=0.0, x0=0.0, y0=0.0, easting0=0.0, northing0=0.0)
    turned = Placement(turn=turn, x0=1.0, y0=-2.0, easting0=far / 10, northing0=far)
    found = []
    for placement in (plain, turned):
        site = placement.to_site(boundary)
        lot = Lot(names=tuple("1234567"), points=placement.to_building(site))
        found.append(clearances(lot, {LotPart.WALL: (building,)}, {}, 3.0, placement))
    for one, other in zip(*found, strict=True):
        assert other.distance == pytest.approx(one.distance, rel=0, abs=2e-6)
        at = turned.to_building(np.array([other.at]))[0]
        # The nearest place may be one of two as near; it is as far either way.
        assert math.isfinite(at[0])


@given(seed=SEEDS)
def test_reversing_the_boundary_or_the_building_changes_no_clearance(seed: int) -> None:
    building, boundary = shapes(seed)
    plain, _ = least_distances(building, boundary)
    backward, _ = least_distances(building[::-1], boundary)
    assert backward == pytest.approx(plain, rel=0, abs=1e-9)
    # Line i of the reversed boundary is line n - 2 - i of the plain one.
    reversed_, _ = least_distances(building, boundary[::-1])
    count = len(boundary)
    order = [(count - 2 - i) % count for i in range(count)]
    assert reversed_[order] == pytest.approx(plain, rel=0, abs=1e-9)


@given(seed=SEEDS, move=st.floats(0.01, 2.0))
def test_moving_the_building_never_changes_a_clearance_by_more_than_the_move(
    seed: int, move: float
) -> None:
    building, _ = shapes(seed)
    lot = np.array([[-12.0, -9], [14, -10], [13, 11], [-12, 12]])
    plain, _ = least_distances(building, lot)
    moved, _ = least_distances(building + np.array([move, 0.0]), lot)
    assert np.abs(moved - plain).max() <= move + 1e-9


@given(seed=SEEDS)
def test_two_tapes_meet_at_the_point_they_were_worked_out_for(seed: int) -> None:
    numbers = np.random.default_rng(seed)
    known, mark = numbers.uniform(0, 25, (5, 2)), numbers.uniform(0, 25, (1, 2))
    found, _ = ties(("A",), mark, tuple("12345"), known, 100.0)
    (tie,) = found
    again = swing(
        tuple(known[int(tie.first) - 1][::-1]),
        tuple(known[int(tie.second) - 1][::-1]),
        tie.first_distance,
        tie.second_distance,
        tie.side,
    )
    assert isinstance(again, tuple)
    assert again[0] == pytest.approx(tuple(mark[0][::-1]), rel=0, abs=1e-6)


@given(seed=SEEDS, turn=TURNS)
def test_angles_right_do_not_change_under_a_turn_of_the_whole_site(seed: int, turn: float) -> None:
    numbers = np.random.default_rng(seed)
    places = numbers.uniform(-50, 50, (6, 2))
    c, s = math.cos(turn), math.sin(turn)
    turned = places @ np.array([[c, s], [-s, c]])
    one = shots(tuple("ABCD"), places[2:], tuple(places[0]), tuple(places[1]))
    other = shots(tuple("ABCD"), turned[2:], tuple(turned[0]), tuple(turned[1]))
    for first, second in zip(one, other, strict=True):
        difference = math.remainder(first.angle_right - second.angle_right, 2 * math.pi)
        assert difference == pytest.approx(0, rel=0, abs=1e-9)
        assert first.distance == pytest.approx(second.distance, rel=0, abs=1e-9)
