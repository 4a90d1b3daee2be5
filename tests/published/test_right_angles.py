"""Diagonals, 3-4-5, ties and swings against manuals and derived checks.

US Navy training manual NAVEDTRA 14043 (Builder 3 & 2, vol. 1), chapter 5, page 146: a base line, a
perpendicular by 30-40-50 feet, and a diagonal of a 35 by 40 ft rectangle, printed 53.1 ft (exact
53.1507 ft: the print truncates). 6-8-10: "How to square a foundation", chestofbooks.com.
300-400-500 mm: Canada Mortgage and Housing Corporation, Canadian Wood-Frame House Construction.
Derived checks are exact arithmetic and say so.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.layout.checks import choose_checks
from staking.layout.layout_parts import Check
from staking.layout.swings import point_checks
from staking.network.geometry import all_distances, design_rows
from staking.plan import Building, Corner, Footing, Options, Pad, Plan, Tape, Wall

FOOT = 0.3048
INCH = 0.0254


def plan_of(points: list[tuple[float, float]], pads: tuple[Pad, ...] = ()) -> Plan:
    names = [chr(ord("A") + i) for i in range(len(points))]
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    walls = tuple(
        Wall(start=a, end=b, thickness=0.2, footing=footing)
        for a, b in zip(names, [*names[1:], names[0]], strict=True)
    )
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    return Plan(job="", buildings=(Building(name=None, corners=corners, walls=walls),), pads=pads)


def rectangle(width: float, depth: float) -> Plan:
    return plan_of([(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)])


def found(plan: Plan, options: Options, one: str, other: str) -> Check:
    (check,) = (
        c
        for c in choose_checks(plan, options).checks
        if (c.from_name, c.to_name, c.at) == (one, other, None)
    )
    return check


@pytest.mark.parametrize(
    ("width", "depth", "feet", "inches"),
    [
        (35, 40, 53, 1 + 13 / 16),  # printed 53.1 ft, which is 0.6 in short
        # derived, no source
        (20, 24, 31, 2 + 7 / 8),
        (24, 30, 38, 5),
        (24, 36, 43, 3 + 3 / 16),
        (28, 40, 48, 9 + 15 / 16),
        (20, 32, 37, 8 + 13 / 16),
        (12, 16, 20, 0),
    ],
)
def test_diagonals_of_rectangles(width: int, depth: int, feet: int, inches: float) -> None:
    plan = rectangle(width * FOOT, depth * FOOT)
    for pair in (("A", "C"), ("B", "D")):
        check = found(plan, Options(), *pair)
        assert check.kind == "diagonal"
        assert check.distance / INCH == pytest.approx(12 * feet + inches, abs=1 / 32)
    exact = found(rectangle(35 * FOOT, 40 * FOOT), Options(), "A", "C").distance
    assert exact / FOOT == pytest.approx(53.1507, abs=5e-5)


@pytest.mark.parametrize(
    ("unit", "size", "legs", "across"),
    [
        ("ft", (41 * FOOT, 31 * FOOT), (40 * FOOT, 30 * FOOT), 50 * FOOT),
        ("ft", (8.9 * FOOT, 6.5 * FOOT), (8 * FOOT, 6 * FOOT), 10 * FOOT),
        # 300-400-500 in the metric job's steps of half a metre: five times as large
        ("m", (2.4, 1.9), (2.0, 1.5), 2.5),
    ],
)
def test_three_four_five(
    unit: str, size: tuple[float, float], legs: tuple[float, float], across: float
) -> None:
    # at C the first neighbour by name is B, along the depth: the 3 goes that way
    checks = choose_checks(rectangle(*size), Options(unit=unit)).checks
    (check,) = (c for c in checks if c.at == "C")
    assert check.kind == "right angle"
    assert (check.from_name, check.to_name) == ("B", "D")
    assert check.legs == pytest.approx((legs[1], legs[0]), abs=1e-9)
    assert check.distance == pytest.approx(across, abs=1e-9)


def test_the_third_side_of_a_corner_of_ninety_and_a_half_degrees() -> None:
    # derived, law of cosines: b 24, c 36, A 90 30 00 gives a 43.44053; 43.26662 if it were square
    corner = math.radians(90.5)
    points = [
        (0.0, 0.0),
        (36.0, 0.0),
        (24.0 * math.cos(corner) + 36.0, 24.0),
        (24.0 * math.cos(corner), 24.0 * math.sin(corner)),
    ]
    options = Options(unit="m", tape=Tape(length=100.0))
    assert found(plan_of(points), options, "B", "D").distance == pytest.approx(43.44053, abs=5e-6)
    square = rectangle(36.0, 24.0)
    assert found(square, options, "B", "D").distance == pytest.approx(43.26662, abs=5e-6)
    (check,) = (c for c in choose_checks(plan_of(points), options).checks if c.at == "A")
    assert check.kind == "angle"
    assert check.legs is not None
    a, (b, c) = check.distance, check.legs
    assert math.degrees(math.acos((b**2 + c**2 - a**2) / (2 * b * c))) == pytest.approx(
        90.5, abs=1e-9
    )


@pytest.mark.parametrize(
    ("degrees", "factor"),
    [
        (15, 5.4641016),
        (30, 2.8284271),
        (60, 1.6329932),
        (90, 1.4142136),
        (120, 1.6329932),
        (150, 2.8284271),
        (165, 5.4641016),
    ],
)
def test_a_swing_is_weaker_the_flatter_its_tapes_cross(degrees: int, factor: float) -> None:
    # derived: the position error over the tape's error is root 2 over the sine
    half = math.radians(degrees) / 2
    points = np.array([
        (0.0, 0.0),
        (-math.sin(half), -math.cos(half)),
        (math.sin(half), -math.cos(half)),
    ])
    rows = design_rows(all_distances(points * 9.0, Tape()), np.array([0, 1]), weighted=False)
    spread = np.linalg.inv(rows[:, :2].T @ rows[:, :2])
    assert math.sqrt(np.trace(spread)) == pytest.approx(factor, abs=5e-8)


def test_a_pad_is_swung_from_the_corners_whose_tapes_cross_squarest() -> None:
    # derived: (9, 12) and (-16, 12) are the legs of a 15-20-25 triangle, square exactly
    pad = Pad(name="P", x=9.0, y=12.0, size=(0.5, 0.5), diameter=None, thickness=0.3)
    plan = plan_of([(0.0, 0.0), (25.0, 0.0), (25.0, 20.0), (0.0, 20.0)], (pad,))
    checks, notices = point_checks(plan, Options(unit="m"))
    assert [(c.from_name, c.to_name, c.kind) for c in checks] == [
        ("A", "P", "point"),
        ("B", "P", "point"),
    ]
    assert [c.distance for c in checks] == pytest.approx([15.0, 20.0], abs=1e-9)
    assert notices == ()


def test_one_station_from_three_distances_has_the_printed_standard_errors() -> None:
    # C. D. Ghilani, Adjustment Computations, example 14.1: S0 0.1 ft (exact 0.0976594), S_X 0.078,
    # S_Y 0.154 ft; the result is from memory, the data were read in the exercises of the university
    # course Adjustment Theory I (A. Pasioti), task 1.
    points = np.array([
        (6861.317, 3727.819),
        (865.4, 4527.15),
        (2432.55, 2047.25),
        (2865.22, 27.15),
    ])
    rows = design_rows(all_distances(points, Tape()), np.array([0, 1, 2]), weighted=False)[:, :2]
    spread = 0.0976594 * np.sqrt(np.diag(np.linalg.inv(rows.T @ rows)))
    assert spread == pytest.approx([0.078, 0.154], abs=5e-4)
