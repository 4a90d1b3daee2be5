"""Least squares of distances, rigid fits and tape corrections against values others give.

- C. D. Ghilani, Adjustment Computations: Spatial Data Analysis, example 14.1: one station from
  three distances to known points, feet. The results are from memory of the book; the data were
  read in the exercises of the university course Adjustment Theory I (A. Pasioti), task 1.
- The same course, exercise 11, part VI: the same station with weights by 1 mm + 2 ppm; data and
  weights were read, the results are worked out by us.
- Directive 2014/32/EU, Annex X (MI-008), chapter I, table 1: tape classes.
- S. Umeyama, Least-squares estimation of transformation parameters between two point patterns,
  IEEE Transactions on Pattern Analysis and Machine Intelligence 13(4), 1991, pages 376-380: three
  points; the rigid case is derived from them.
- C. D. Ghilani and P. R. Wolf, Elementary Surveying, chapter 6 (from memory): steel grows by
  0.00000645 of its length for a degree Fahrenheit and 0.0000116 for a degree Celsius, and
  stretches by (P - P0) L / (A E); the numbers are worked out in the tests.
- US Army carpentry subcourse EN0069, building layout: the method of the two diagonals; the
  numbers are derived by the law of cosines.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.adjust.moves import Hold, placed
from staking.adjust.point_places import find_points
from staking.adjust.reduce import corrected, level
from staking.adjust.verdict import corner_angle
from staking.network.fitted import FittedNetwork, Measurement
from staking.network.solve import best_fit, solve
from staking.network.tape_error import standard_error
from staking.plan import Tape

FOOT = 0.3048
KNOWN = {"A": (865.40, 4527.15), "B": (2432.55, 2047.25), "C": (2865.22, 27.15)}
READ = {"A": 6049.00, "B": 4736.83, "C": 5446.49}


@pytest.fixture(scope="module")
def station() -> FittedNetwork:
    """The known points tied to each other a thousand times better than the station."""
    points = {**KNOWN, "U": (6850.0, 3740.0)}
    pairs = [("A", "B"), ("A", "C"), ("B", "C")]
    measured = [
        Measurement(
            from_name=a, to_name=b, distance=math.dist(KNOWN[a], KNOWN[b]), standard_error=1e-3
        )
        for a, b in pairs
    ]
    measured += [
        Measurement(from_name=name, to_name="U", distance=distance, standard_error=1.0)
        for name, distance in READ.items()
    ]
    return solve(tuple(points), np.array(list(points.values())), measured)


def test_a_station_from_three_distances(station: FittedNetwork) -> None:
    here = placed(
        find_points(station, (), (), (), 0.0, {}).located,
        {**KNOWN, "U": (0.0, 0.0)},
        Hold(corner="A", wall=("A", "B")),
    )
    assert here[3] == pytest.approx((6861.32, 3727.82), rel=0, abs=0.01)


def test_residuals_and_reference_variance_of_the_station(station: FittedNetwork) -> None:
    residuals = [each.residual for each in station.adjusted[3:]]
    assert residuals == pytest.approx([-0.03737, 0.07679, -0.04737], rel=0, abs=0.0005)
    assert station.redundancy == 1
    assert station.variance_factor is not None
    assert math.sqrt(station.variance_factor) == pytest.approx(0.1, rel=0, abs=0.005)
    assert station.variance_factor == pytest.approx(0.009537, rel=0, abs=1e-5)


def test_the_station_with_weights_by_distance() -> None:
    points = {**KNOWN, "U": (6850.0, 3740.0)}
    measured = [
        Measurement(
            from_name=a, to_name=b, distance=math.dist(KNOWN[a], KNOWN[b]), standard_error=1e-6
        )
        for a, b in (("A", "B"), ("A", "C"), ("B", "C"))
    ]
    measured += [
        Measurement(
            from_name=name,
            to_name="U",
            distance=distance,
            standard_error=(1 + 2 * distance / 1000) / 1000,
        )
        for name, distance in READ.items()
    ]
    found = solve(tuple(points), np.array(list(points.values())), measured)
    here = placed(
        find_points(found, (), (), (), 0.0, {}).located,
        {**KNOWN, "U": (0.0, 0.0)},
        Hold(corner="A", wall=("A", "B")),
    )
    assert here[3] == pytest.approx((6861.30397, 3727.824), rel=0, abs=1e-4)
    residuals = [each.residual for each in found.adjusted[3:]]
    assert residuals == pytest.approx([-0.0507949, 0.0667382, -0.0530764], rel=0, abs=1e-6)
    assert found.variance_factor is not None
    assert math.sqrt(found.variance_factor) == pytest.approx(8.6924541, rel=0, abs=1e-4)


@pytest.mark.parametrize(
    ("grade", "at_ten", "at_thirty"), [("I", 1.1, 3.1), ("II", 2.3, 6.3), ("III", 4.6, 12.6)]
)
def test_a_tape_of_a_class_is_weighed_by_its_bound(
    grade: str, at_ten: float, at_thirty: float
) -> None:
    """The bounds printed for 10 m and 30 m, mm; any error within them is equally likely."""
    tape = Tape(error=None, grade=grade)
    points = np.array([(0.0, 0.0), (10.0, 0.0), (0.0, 30.0)])
    measured = [
        Measurement(from_name=a, to_name=b, distance=d, standard_error=standard_error(tape, d))
        for a, b, d in (("A", "B", 10.0), ("A", "C", 30.0), ("B", "C", math.hypot(10, 30)))
    ]
    covariance = solve("ABC", points, measured).covariance
    # nothing checks them, so each side keeps the variance of its own reading
    for place, way, bound in ((1, (1.0, 0.0), at_ten), (2, (0.0, 1.0), at_thirty)):
        row = np.zeros(6)
        row[:2], row[2 * place : 2 * place + 2] = np.negative(way), way
        spread = math.sqrt(row @ covariance @ row) * 1000
        assert spread * math.sqrt(3) == pytest.approx(bound, rel=0, abs=1e-6)


def test_a_rigid_fit_of_three_points() -> None:
    here, there = np.array([(0, 0), (1, 0), (0, 2.0)]), np.array([(0, 0), (-1, 0), (0, 2.0)])
    found = best_fit(here, there)
    assert found[0] == pytest.approx((-0.980483562263, 0.29686653585), rel=0, abs=1e-6)
    assert ((found - there) ** 2).sum() == pytest.approx(1.85926496605, rel=0, abs=1e-6)
    step = found[1] - found[0]
    assert math.degrees(math.atan2(step[1], step[0])) == pytest.approx(
        -33.690067526, rel=0, abs=1e-6
    )


def test_a_cold_tape_reads_long() -> None:
    # 368.50 x 0.00000645 x (22 - 68) = -0.109 ft; 21.151 x 0.0000116 x (15 - 20) = -0.0012 m
    celsius = {f: (f - 32) / 1.8 for f in (22, 68)}
    tape = Tape(temperature=celsius[22], standard_temperature=celsius[68])
    assert corrected(tape, 368.50 * FOOT) / FOOT == pytest.approx(368.39, rel=0, abs=0.005)
    metric = Tape(temperature=15.0, standard_temperature=20.0)
    assert corrected(metric, 21.151) - 21.151 == pytest.approx(-0.0012, rel=0, abs=5e-5)


def test_a_tape_pulled_hard_reads_short() -> None:
    # (18 - 12) lb x 100 ft / (0.015 sq in x 29,000,000 psi) = 0.0014 ft
    pound = 4.4482216
    tape = Tape(tension=18 * pound, standard_tension=12 * pound)
    found = corrected(tape, 100 * FOOT) / FOOT - 100
    assert found == pytest.approx(0.0014, rel=0, abs=5e-5)


def test_a_slope_distance_is_reduced_to_the_level() -> None:
    """Pythagoras: the root of 300.00² - 26.15² is 298.858, that of 30² - 0.70² is 29.99183."""
    assert level(300.0 * FOOT, 26.15 * FOOT) / FOOT == pytest.approx(298.86, rel=0, abs=0.005)
    assert level(30.0, -0.70) == pytest.approx(29.99183, rel=0, abs=1e-5)


def angle_of(distances: dict[str, float], plan: dict[str, tuple[float, float]]) -> float:
    measured = [
        Measurement(from_name=pair[0], to_name=pair[1], distance=d, standard_error=0.003)
        for pair, d in distances.items()
    ]
    found = solve(tuple(plan), np.array(list(plan.values())), measured)
    last = len(plan) - 1
    return math.degrees(corner_angle(found.coordinates, last, 0, 1))


def test_two_diagonals_of_a_racked_rectangle_give_the_angle() -> None:
    plan = {"A": (0.0, 0.0), "B": (40.0, 0.0), "C": (40.0, 30.0), "D": (0.0, 30.0)}
    taped = {"AB": 40, "BC": 30, "CD": 40, "DA": 30, "AC": 50.0399840128, "BD": 49.9599839872}
    assert 90 - angle_of(taped, plan) == pytest.approx(0.0954930100649, rel=0, abs=1e-6)


def test_three_sides_give_the_angle_between_two() -> None:
    plan = {"A": (0.0, 0.0), "B": (36.0, 0.0), "C": (0.0, 24.0)}
    taped = {"AB": 36.0, "AC": 24.0, "BC": 43.4405277747}
    assert angle_of(taped, plan) == pytest.approx(90.5, rel=0, abs=1e-7)


@pytest.mark.parametrize(
    ("degrees", "factor"),
    [(30, 2.82842712475), (60, 1.63299316186), (90, 1.41421356237), (150, 2.82842712475)],
)
def test_a_two_tape_corner_is_as_strong_as_its_angle(degrees: float, factor: float) -> None:
    """Equal tape errors at the two known ends: sigma sqrt(2) / sin(angle) (derived)."""
    half = math.radians(degrees) / 2
    base, reach = 2 * 10 * math.sin(half), 10 * math.cos(half)
    points = np.array([(0.0, 0.0), (base, 0.0), (base / 2, reach)])
    measured = [
        Measurement(from_name=a, to_name=b, distance=d, standard_error=error)
        for a, b, d, error in (("A", "B", base, 1e-6), ("A", "C", 10, 1e-2), ("B", "C", 10, 1e-2))
    ]
    covariance = solve("ABC", points, measured).covariance
    # from inner constraints to A and the direction A-B held
    hold = np.eye(6)
    for row in (0, 2, 4):
        hold[row, 0] -= 1
        hold[row + 1, 1] -= 1
    turn = np.zeros(6)
    turn[3], turn[1] = 1 / base, -1 / base
    for place, (x, y) in enumerate(points):
        hold[2 * place] += y * turn
        hold[2 * place + 1] -= x * turn
    held = hold @ covariance @ hold.T
    assert math.sqrt(held[4, 4] + held[5, 5]) / 1e-2 == pytest.approx(factor, rel=0, abs=1e-3)
