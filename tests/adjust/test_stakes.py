"""Surveyed stakes: alone, shot twice, with tapes; what does not fit is named."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from staking.adjust.surveyed_stakes import StakeShot, adjust_stakes, displacement
from staking.adjust.verdict import radii95
from staking.errors import ComputationError
from staking.network.fitted import Measurement

INCH = 0.0254
FOOT = 0.3048
ERROR = INCH / 16
NAMES = ("A", "B", "C", "D")
PLAN = np.array([(0, 0), (36, 0), (36, 24), (0, 24)], dtype=float) * FOOT


def shots_of(places: NDArray[np.float64], error: float = ERROR) -> list[StakeShot]:
    return [
        StakeShot(name=name, x=float(x), y=float(y), error=error)
        for name, (x, y) in zip(NAMES, places, strict=True)
    ]


def tape(pair: str, distance: float, error: float = INCH / 8) -> Measurement:
    return Measurement(from_name=pair[0], to_name=pair[1], distance=distance, standard_error=error)


def test_stakes_shot_once_stand_where_they_were_shot_and_nothing_checks_them() -> None:
    here = PLAN + np.array([(0, 0), (0.01, 0), (0, 0.02), (-0.01, 0)])
    done = adjust_stakes(NAMES, PLAN, shots_of(here))
    assert done.places == pytest.approx(here, rel=0, abs=1e-12)
    assert done.sifted.redundancy == 0
    assert [each.kind for each in done.sifted.notices] == ["shots-not-checked"]


def test_a_stake_shot_twice_stands_in_the_middle() -> None:
    more = StakeShot(name="C", x=float(PLAN[2, 0]) + 0.002, y=float(PLAN[2, 1]), error=ERROR)
    done = adjust_stakes(NAMES, PLAN, [*shots_of(PLAN), more])
    assert done.places[2] == pytest.approx(PLAN[2] + (0.001, 0), rel=0, abs=1e-12)
    assert done.sifted.redundancy == 2


def test_the_place_of_the_whole_is_apart_from_the_shape() -> None:
    turn = math.radians(0.5)
    c, s = math.cos(turn), math.sin(turn)
    here = PLAN @ np.array([[c, s], [-s, c]]) + (0.3, -0.1)
    done = adjust_stakes(NAMES, PLAN, shots_of(here))
    assert done.sifted.solution.coordinates == pytest.approx(PLAN, rel=0, abs=1e-9)
    assert done.displacement.turn == pytest.approx(turn, rel=0, abs=1e-12)


def test_the_shift_is_that_of_the_middle_of_the_corners() -> None:
    found = displacement(PLAN, PLAN + np.array((0.3, -0.1)))
    assert (found.x, found.y, found.turn) == pytest.approx((0.3, -0.1, 0.0), rel=0, abs=1e-12)


def test_a_distance_between_two_shots_is_known_to_the_root_of_two_shots() -> None:
    solution = adjust_stakes(NAMES, PLAN, shots_of(PLAN)).sifted.solution
    row = np.array([-1.0, 0, 1.0, 0, 0, 0, 0, 0])
    error = math.sqrt(float(row @ solution.covariance @ row))
    assert error == pytest.approx(ERROR * math.sqrt(2), rel=0, abs=1e-12)


def test_the_radius_does_not_count_the_place_of_the_whole() -> None:
    # with the shift and the turn taken out five of eight parts are left: two thirds by symmetry
    radii = radii95(adjust_stakes(NAMES, PLAN, shots_of(PLAN)).sifted.solution.covariance)
    assert np.all(radii < 2.4477 * ERROR)
    assert radii == pytest.approx(np.full(4, radii[0]), rel=0, abs=1e-9)


def test_a_corner_that_was_only_taped_is_found_from_two_shots() -> None:
    done = adjust_stakes(
        NAMES, PLAN, shots_of(PLAN)[:3], [tape("AD", 24 * FOOT), tape("CD", 36 * FOOT)]
    )
    assert done.places[3] == pytest.approx(PLAN[3], rel=0, abs=1e-9)


def test_a_corner_taped_from_one_stake_only_is_not_fixed() -> None:
    with pytest.raises(ComputationError, match="nothing fixes D: shoot it, or tape it from two"):
        adjust_stakes(NAMES, PLAN, shots_of(PLAN)[:3], [tape("AD", 24 * FOOT)])


def test_a_tape_a_foot_out_is_named_alone_among_good_shots() -> None:
    diagonal = math.hypot(36, 24) * FOOT
    tapes = [tape("AC", diagonal), tape("BD", diagonal + FOOT), tape("AB", 36 * FOOT)]
    # with every stake shot twice a shot cannot be to blame
    done = adjust_stakes(NAMES, PLAN, [*shots_of(PLAN), *shots_of(PLAN)], tapes)
    (suspect,) = done.sifted.suspects
    assert suspect.members == (1,)
    assert suspect.size == pytest.approx(FOOT, rel=0, abs=0.01)
    assert done.sifted.left_out == {1}
    assert done.places == pytest.approx(PLAN, rel=0, abs=1e-6)


def test_a_shot_half_a_foot_out_is_named_alone_when_the_tapes_agree() -> None:
    here = PLAN.copy()
    here[2] += (0.5 * FOOT, 0.0)
    diagonal = math.hypot(36, 24) * FOOT
    tapes = [
        tape("AB", 36 * FOOT), tape("BC", 24 * FOOT), tape("CD", 36 * FOOT),
        tape("AD", 24 * FOOT), tape("AC", diagonal), tape("BD", diagonal),
    ]  # fmt: skip
    done = adjust_stakes(NAMES, PLAN, shots_of(here), tapes)
    (suspect,) = done.sifted.suspects
    assert suspect.members == (6 + 2,)
    assert suspect.size == pytest.approx(0.5 * FOOT, rel=0, abs=0.01)
    (told,) = (each for each in done.sifted.notices if each.kind == "shot-does-not-fit")
    assert dict(told.values)["shot"] == "the shot of C"


def test_one_tape_against_the_shots_says_something_is_off_and_not_which() -> None:
    diagonal = math.hypot(36, 24) * FOOT
    done = adjust_stakes(NAMES, PLAN, shots_of(PLAN), [tape("AC", diagonal + 0.1)])
    (suspect,) = done.sifted.suspects
    assert not suspect.alone
    assert set(suspect.members) == {0, 1, 3}
    assert done.sifted.unclear


def test_good_readings_name_nothing_in_most_trials() -> None:
    rng = np.random.default_rng(20)
    diagonal = math.hypot(36, 24) * FOOT
    named = 0
    for _ in range(100):
        here = PLAN + rng.normal(0, ERROR, PLAN.shape)
        tapes = [
            tape(pair, size + rng.normal(0, INCH / 8))
            for pair, size in (("AC", diagonal), ("BD", diagonal), ("AB", 36 * FOOT))
        ]
        named += bool(adjust_stakes(NAMES, PLAN, shots_of(here), tapes).sifted.suspects)
    assert named <= 5


def test_shots_alone_agree_with_scipy_beside_tapes() -> None:
    from scipy.optimize import least_squares

    rng = np.random.default_rng(7)
    here = PLAN + rng.normal(0, ERROR, PLAN.shape)
    sizes = {"AC": 13.19, "BD": 13.185, "BC": 7.316}
    tapes = [tape(pair, size) for pair, size in sizes.items()]
    done = adjust_stakes(NAMES, PLAN, shots_of(here), tapes)

    def misfit(flat: NDArray[np.float64]) -> NDArray[np.float64]:
        points = flat.reshape(-1, 2)
        parts = [
            (math.dist(points[NAMES.index(p[0])], points[NAMES.index(p[1])]) - size) / (INCH / 8)
            for p, size in sizes.items()
        ]
        return np.concatenate((parts, ((points - here) / ERROR).ravel()))

    found = least_squares(misfit, PLAN.ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert done.places.ravel() == pytest.approx(found.x, rel=0, abs=1e-7)


def test_a_shot_a_foot_out_is_named_alone_in_nearly_every_trial() -> None:
    rng = np.random.default_rng(11)
    diagonal = math.hypot(36, 24) * FOOT
    sizes = {"AB": 36 * FOOT, "BC": 24 * FOOT, "CD": 36 * FOOT, "AD": 24 * FOOT}
    sizes |= {"AC": diagonal, "BD": diagonal}
    found = 0
    for trial in range(100):
        here = PLAN + rng.normal(0, ERROR, PLAN.shape)
        way = rng.uniform(0, 2 * math.pi)
        here[trial % 4] += (FOOT * math.cos(way), FOOT * math.sin(way))
        tapes = [tape(pair, size + rng.normal(0, INCH / 8)) for pair, size in sizes.items()]
        suspects = adjust_stakes(NAMES, PLAN, shots_of(here), tapes).sifted.suspects
        found += [each.members for each in suspects] == [(6 + trial % 4,)]
    assert found >= 95
