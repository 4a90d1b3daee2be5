"""Coordinate geometry against worked examples that others have printed.

J. Mahun: Open Access surveying text, jerrymahun.com, chapters as named beside each value.
Tolerance: half the last printed digit, but where the test says that the source itself rounded
on the way. Lengths stay in the source's feet: the line work has no unit of its own.
"""

from __future__ import annotations

import itertools
import json
import math
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from staking.cli import main
from staking.lines import intersect_lines, inverse, signed_area


def dms(degrees: int, minutes: int, seconds: float) -> float:
    """Degrees, minutes and seconds as radians."""
    return math.radians(degrees + minutes / 60 + seconds / 3600)


def along(azimuth: float) -> np.ndarray:
    """A direction, easting first."""
    return np.array([math.sin(azimuth), math.cos(azimuth)])


def test_inverse_of_a_traverse_line():
    """By hand: 3,701.68² + 778.42² = 14,308,372.5, whose root is 3,782.64; no source."""
    distance, azimuth = inverse((0.0, 0.0), (3701.68, 778.42))
    assert distance == pytest.approx(3782.64, rel=0, abs=0.005)
    # Easting over northing is 4.755376, the tangent of 78.1244 degrees.
    assert math.tan(azimuth) == pytest.approx(3701.68 / 778.42, rel=0, abs=1e-9)
    assert math.degrees(azimuth) == pytest.approx(78.1244, rel=0, abs=5e-5)


@pytest.mark.parametrize(
    ("east", "north", "length", "azimuth"),
    [
        (4.922, 372.425, 372.457, (0, 45, 25.85)),
        (164.742, -11.551, 165.146, (94, 0, 38.77)),
        (-12.726, -241.94, 242.274, (183, 0, 39.5)),
        (-156.938, -118.934, 196.913, (232, 50, 37.2)),
    ],
)
def test_corrected_coordinates_back_to_length_and_azimuth(east, north, length, azimuth):
    """NPTEL course 105107122, module 9, examples 29-4 and 29-7, table 29.5."""
    found, way = inverse((0.0, 0.0), (east, north))
    assert found == pytest.approx(length, rel=0, abs=0.0006)
    assert way % (2 * math.pi) == pytest.approx(dms(*azimuth), rel=0, abs=dms(0, 0, 0.02))


def corners_of(folder: Path, job: str) -> dict[str, tuple[float, float]]:
    """Corners as `staking layout` prints them: easting and northing, or x and y."""
    path = folder / "job.yaml"
    path.write_text(
        f'job: Lines\n{job}  wall: 8"\n  footing: {{width: 20", thickness: 10"}}\n',
        encoding="utf-8",
    )
    (folder / "lot.csv").write_text(PINS, encoding="utf-8")
    done = CliRunner().invoke(main, ["layout", str(path), "--json"], catch_exceptions=False)
    corners = json.loads(done.stdout)["corners"]
    across, up = ("easting", "northing") if "site:" in job else ("x", "y")
    return {each["name"]: (each[across], each[up]) for each in corners}


PINS = "point,northing_m,easting_m\n1,1900,4900\n2,1900,5300\n3,2400,5300\n4,2400,4900\n"


def test_a_wall_set_off_by_bearing_and_length(tmp_path: Path) -> None:
    """By hand: 5,000 + 250 sin 30 is 5,125, and 2,000 + 250 cos 30 is 2,216.506; no source."""
    found = corners_of(
        tmp_path,
        "units: m\nsite:\n  survey: lot.csv\n  units: m\n"
        "  place: {corner: A, wall: A-B, north: 2000, east: 5000, bearing: N 30 E}\n"
        "building:\n  rectangle: 250 m x 12 m\n",
    )
    assert found["B"] == pytest.approx((5125, 2216.506), rel=0, abs=0.0005)


def test_latitudes_and_departures_of_two_courses(tmp_path: Path) -> None:
    """J. Mahun, Open Access surveying text, Traverse Computations, ch. F, sec. 1a."""
    # a third side closes the outline: back by what the two courses come to
    one, two = dms(68, 5, 27), dms(19, 46, 15)
    north = -472.72 * math.cos(one) + 216.12 * math.cos(two)
    west = 472.72 * math.sin(one) + 216.12 * math.sin(two)
    seconds = round(math.degrees(math.atan2(west, north)) * 3600 * 1e4) / 1e4
    whole, rest = divmod(seconds, 3600)
    back = f"S {whole:.0f} {rest // 60:.0f} {rest % 60:.4f} E {math.hypot(west, north):.6f}'"
    sides = f"[S 68 05 27 W 472.72', N 19 46 15 W 216.12', {back}]"
    found = corners_of(tmp_path, f"units: ft\nbuilding:\n  sides: {sides}\n")
    # printed from an unrounded course, the first departure a hundredth off
    assert found["B"] == pytest.approx((-438.57, -176.39), rel=0, abs=0.01)
    assert found["C"] == pytest.approx((-511.68, 26.99), rel=0, abs=0.01)


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


def ring_of(*steps: tuple[float, float]) -> list[tuple[float, float]]:
    """Corners, easting first, from latitudes and departures."""
    north = east = 0.0
    ring = []
    for latitude, departure in steps:
        ring.append((east, north))
        north, east = north + latitude, east + departure
    return ring


def test_areas_by_latitudes_and_departures():
    """A print that is wrong by a slip of its own, and one whose parts alone are printed."""
    # askfilo.com 3430333632313630 prints 56,888.75, with 64,035.25 for 290.5 times 220.5, which
    # is 64,055.25: half the difference, 10, more.
    ring = ring_of((220.5, 100.5), (-260.0, 190.0), (-140.5, -125.5), (180.0, -165.0))
    assert abs(signed_area(ring)) == pytest.approx(56_888.75 + 10, rel=0, abs=0.005)
    # T. G. Hicks (ed.), Handbook of Civil Engineering Calculations, balanced latitudes and
    # departures of its example of double meridian distances; the sum of the products of latitude
    # and double meridian distance, worked out here with the departures of the page.
    steps = [
        (97.9, -198.5), (161.9, 143.6), (-35.3, 246.7), (-101.8, 21.3), (-132.3, -135.6),
        (9.6, -77.5),
    ]  # fmt: skip
    distance, twice = steps[0][1], steps[0][0] * steps[0][1]
    for (_, before), (latitude, departure) in itertools.pairwise(steps):
        distance += before + departure
        twice += latitude * distance
    assert abs(signed_area(ring_of(*steps))) == pytest.approx(abs(twice) / 2, rel=0, abs=0.005)


@pytest.mark.parametrize(("northing_easting", "printed", "tolerance"), AREAS)
def test_area_by_coordinates(northing_easting, printed, tolerance):
    """J. Mahun, Open Access surveying text, the chapters named beside each."""
    ring = [(easting, northing) for northing, easting in northing_easting]
    assert abs(signed_area(ring)) == pytest.approx(printed, rel=0, abs=tolerance)


def test_a_rectangle_set_out_by_coordinates_is_square():
    """A. M. Chandra, Surveying: Problem Solving with Theory and Objective Type Questions.

    A building of 50 by 70 m set out from one station; the coordinates were read, the attribution
    is from memory.
    """
    corners = [(117.984, 92.849), (82.629, 128.204), (33.132, 78.707), (68.487, 43.352)]
    a, b, c, d = corners
    for start, end, side in ((a, b, 50), (b, c, 70), (c, d, 50), (d, a, 70)):
        # Coordinates printed to a millimetre place a side to 0.0014.
        assert inverse(start, end)[0] == pytest.approx(side, rel=0, abs=0.0014)
    assert inverse(a, c)[0] == pytest.approx(inverse(b, d)[0], rel=0, abs=0.0014)
    assert abs(signed_area(corners)) == pytest.approx(3500, rel=0, abs=0.1)
