"""Coordinate geometry against worked examples that others have printed.

Tolerance: half the last printed digit, but where the test says that the source itself rounded
on the way. Lengths stay in the source's feet: the line work has no unit of its own.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.planar import forward, intersect_lines, inverse, signed_area


def dms(degrees: int, minutes: int, seconds: float) -> float:
    """Degrees, minutes and seconds as radians."""
    return math.radians(degrees + minutes / 60 + seconds / 3600)


def along(azimuth: float) -> np.ndarray:
    """A direction, easting first."""
    return np.array([math.sin(azimuth), math.cos(azimuth)])


def test_inverse_of_a_traverse_line():
    """Ivano-Frankivsk Nat. Tech. Univ. of Oil and Gas, library item 6589, p. 20, line 1-2."""
    distance, azimuth = inverse((0.0, 0.0), (3701.68, 778.42))
    assert distance == pytest.approx(3782.64, rel=0, abs=0.005)
    # Printed 78 07 28; its seconds are not those of its own differences (44 us of a degree).
    assert math.degrees(azimuth) == pytest.approx(78.1244444, rel=0, abs=5e-5)


def test_forward_from_azimuth_and_distance():
    """Lecture slides 'Surveying: intersection and forward computation', example."""
    easting, northing = forward((5000.0, 2000.0), dms(30, 0, 0), 250.0)
    assert easting == pytest.approx(5125, rel=0, abs=1e-9)
    assert northing == pytest.approx(2216.506, rel=0, abs=0.0005)


def test_latitudes_and_departures_of_two_courses():
    """J. Mahun, Open Access surveying text, Traverse Computations, ch. F, sec. 1a."""
    first = forward((0.0, 0.0), math.pi + dms(68, 5, 27), 472.72)
    both = forward(first, -dms(19, 46, 15), 216.12)
    assert first[1] == pytest.approx(-176.39, rel=0, abs=0.005)
    assert first[0] == pytest.approx(-438.57, rel=0, abs=0.01)  # printed from an unrounded course
    assert both[1] - first[1] == pytest.approx(203.38, rel=0, abs=0.005)
    assert both[0] - first[0] == pytest.approx(-73.10, rel=0, abs=0.005)
    assert both[1] == pytest.approx(26.99, rel=0, abs=0.005)
    assert both[0] == pytest.approx(-511.68, rel=0, abs=0.005)


def test_two_points_by_direction_direction_intersection():
    """J. Mahun, Open Access surveying text, COGO self-study solution 3, problem 1."""
    one, two = (2000.0, 1000.0), (1811.082, 480.951)
    first = np.array([along(dms(253, 26, 15)), along(dms(140, 54, 25))])
    second = np.array([along(dms(314, 33, 26)), along(dms(91, 34, 8))])
    met = intersect_lines(np.array([one, one]), first, np.array([two, two]), second)
    printed = [[1450.051, 836.445], [2435.613, 463.846]]
    assert np.abs(met - printed).max() <= 0.0005
    left, far = (tuple(point) for point in met.tolist())
    # Both distances are printed 0.7 thousandths short: from rounded coordinates.
    assert inverse(one, left)[0] == pytest.approx(573.754, rel=0, abs=0.001)
    assert inverse(left, far)[0] == pytest.approx(1053.642, rel=0, abs=0.001)
    assert inverse(one, far)[0] == pytest.approx(690.811, rel=0, abs=0.0005)
    assert math.degrees(inverse(one, two)[1]) == pytest.approx(200, rel=0, abs=5e-5)


AREAS = [
    # Traverse Computations, ch. G, example 1: half the difference of the printed sums.
    (
        [(500, 2000), (323.614, 1561.426), (526.996, 1488.321), (719.336, 1686.956)],
        (3590045.6 - 3384174.1) / 2,
        0.05,
    ),
    # Traverse area, self-study solution 1: printed to 10 sq ft.
    (
        [
            (1541.207, 2215.89),
            (1373.915, 2336.574),
            (1299.818, 2350.205),
            (1343.189, 2523.212),
            (1569.36, 2359.08),
        ],
        38970,
        5,
    ),
    # Traverse area, self-study solution 2: printed to 10 sq ft.
    (
        [(600, 1000), (254.542, 1209.288), (97.543, 566.876), (470.303, 397.969)],
        250550,
        5,
    ),
    # COGO ch. H, sec. 1b: half of the printed 280,988, whose sums were added from whole feet.
    (
        [
            (406.31, 1259.97),
            (235.12, 1489.47),
            (65.81, 1126.4),
            (317.89, 942.04),
            (675.32, 1282.54),
        ],
        280988 / 2,
        1,
    ),
]


@pytest.mark.parametrize(("northing_easting", "printed", "tolerance"), AREAS)
def test_area_by_coordinates(northing_easting, printed, tolerance):
    """J. Mahun, Open Access surveying text, the chapters named beside each."""
    ring = [(easting, northing) for northing, easting in northing_easting]
    assert abs(signed_area(ring)) == pytest.approx(printed, rel=0, abs=tolerance)


def test_area_is_the_same_from_either_origin():
    """US Navy, NAVEDTRA 14071, figs. 7-24 to 7-27: one lot from two origins, as printed."""
    first = [(0, 591.64), (125.66, 847.60), (716.31, 694.07), (523.62, 0)]
    second = [(32.68, 742.34), (158.34, 998.30), (748.99, 844.77), (556.30, 150.70)]
    assert signed_area(first) == pytest.approx(signed_area(second), rel=0, abs=1e-6)


def test_a_rectangle_set_out_by_coordinates_is_square():
    """Textbook problem on setting out a 50 x 70 m building from one station (coordinates read)."""
    corners = [(117.984, 92.849), (82.629, 128.204), (33.132, 78.707), (68.487, 43.352)]
    a, b, c, d = corners
    for start, end, side in ((a, b, 50), (b, c, 70), (c, d, 50), (d, a, 70)):
        # Coordinates printed to a millimetre place a side to 0.0014.
        assert inverse(start, end)[0] == pytest.approx(side, rel=0, abs=0.0014)
    assert inverse(a, c)[0] == pytest.approx(inverse(b, d)[0], rel=0, abs=0.0014)
    assert abs(signed_area(corners)) == pytest.approx(3500, rel=0, abs=0.1)
