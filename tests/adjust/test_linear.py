from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.adjust.linear import HOLDS_TO, rectangles, tape_map
from staking.network.fitted import Measurement
from staking.network.solve import best_fit, solve
from staking.plan import Building, Corner, Footing, Plan, Tape, Wall

INCH = 0.0254
L_SHAPE = np.array([(0, 0), (11, 0), (11, 7.3), (7.3, 7.3), (7.3, 9.7), (0, 9.7)])
NAMES = tuple("ABCDEF")
PAIRS = [(a, b) for i, a in enumerate(NAMES) for b in NAMES[i + 1 :]]
WALLS = [(NAMES[i], NAMES[(i + 1) % 6]) for i in range(6)]
TAPE = Tape()


def plan_of(points: list[tuple[float, float]]) -> Plan:
    names = [chr(ord("A") + i) for i in range(len(points))]
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    walls = tuple(
        Wall(start=a, end=b, thickness=0.2, footing=footing)
        for a, b in zip(names, [*names[1:], names[0]], strict=True)
    )
    return Plan(job="Invented", buildings=(Building(name=None, corners=corners, walls=walls),))


def full(readings: np.ndarray) -> np.ndarray:
    measurements = [
        Measurement(from_name=a, to_name=b, distance=float(d), standard_error=INCH / 8)
        for (a, b), d in zip(PAIRS, readings, strict=True)
    ]
    return solve(NAMES, L_SHAPE, measurements).coordinates


def test_a_stake_that_stands_a_little_off_is_found() -> None:
    found = tape_map(NAMES, L_SHAPE, PAIRS, TAPE, WALLS)
    assert found is not None
    stands = L_SHAPE.copy()
    stands[2] += (0.004, -0.003)
    at = dict(zip(NAMES, stands, strict=True))
    readings = np.array([math.dist(at[a], at[b]) for a, b in PAIRS])
    shifts = (found.moves @ (readings - found.planned)).reshape(-1, 2)
    # the shape itself, laid on the stakes: a turn and a shift are nobody's to see
    assert best_fit(L_SHAPE + shifts, stands) == pytest.approx(stands, rel=0, abs=2e-5)


@given(st.lists(st.floats(-1, 1), min_size=len(PAIRS), max_size=len(PAIRS)))
def test_within_its_reach_it_holds_to_a_sixteenth_whatever_is_read(shares: list[float]) -> None:
    found = tape_map(NAMES, L_SHAPE, PAIRS, TAPE, WALLS)
    assert found is not None
    assert found.reach > INCH / 16
    off = found.reach * np.array(shares)
    here = L_SHAPE + (found.moves @ off).reshape(-1, 2)
    there = full(found.planned + off)
    for first, last in [*WALLS, *[(b, a) for a, b in WALLS]]:
        placed = [held(points, NAMES.index(first), NAMES.index(last)) for points in (here, there)]
        assert np.hypot(*(placed[0] - placed[1]).T).max() <= HOLDS_TO


def held(points: np.ndarray, first: int, last: int) -> np.ndarray:
    away = points - points[first]
    turn = math.atan2(*(L_SHAPE[last] - L_SHAPE[first])[::-1]) - math.atan2(*away[last][::-1])
    cos, sin = math.cos(turn), math.sin(turn)
    return away @ np.array([[cos, sin], [-sin, cos]]) + L_SHAPE[first]


def test_tapes_that_leave_a_corner_free_give_no_matrix() -> None:
    assert tape_map(NAMES, L_SHAPE, WALLS, TAPE, WALLS) is None
    assert tape_map(NAMES, L_SHAPE, [], TAPE, WALLS) is None


def test_turning_the_plan_and_shifting_it_far_away_changes_no_length() -> None:
    cos, sin = math.cos(0.3), math.sin(0.3)
    turned = L_SHAPE @ np.array([[cos, sin], [-sin, cos]]) + (590_000, 1_640_000)
    here, there = (tape_map(NAMES, p, PAIRS, TAPE, WALLS) for p in (L_SHAPE, turned))
    assert here is not None
    assert there is not None
    sizes = [np.hypot(m.moves[0::2], m.moves[1::2]) for m in (here, there)]
    assert sizes[0] == pytest.approx(sizes[1], rel=0, abs=1e-6)
    assert here.reach == pytest.approx(there.reach, rel=0, abs=1e-8)


def test_only_rectangles_are_rectangles() -> None:
    assert rectangles(plan_of([(0, 0), (9, 0), (9, 6), (0, 6)])) == (("A", "B", "C", "D"),)
    assert rectangles(plan_of([(0, 0), (0, 6), (9, 6), (9, 0)])) == (("A", "B", "C", "D"),)
    assert rectangles(plan_of([(0, 0), (9, 0), (10, 6), (1, 6)])) == ()
    assert rectangles(plan_of([(0, 0), (9, 0), (9, 6.01), (0, 6)])) == ()
    assert rectangles(plan_of([(0, 0), (9, 0), (0, 6)])) == ()
    turned = [(0.0, 0.0), (4.0, 3.0), (1.0, 7.0), (-3.0, 4.0)]
    assert rectangles(plan_of(turned)) == (("A", "B", "C", "D"),)
