"""Published tolerances and tape accuracies, as printed.

Small-building layout: "Foundation and framing tolerances", Journal of Light Construction, questions
and answers (C. Hagstrom), which reports D. K. Ballast, Handbook of Construction Tolerances: 3/4 in
per 100 ft of the 5-leg of a 3-4-5 triangle; pro rata of other diagonals is this tool's own.
ISO 4463-1:1989 position points, K1 = 1.5, L from the control point: V. Kala, Geodesy and
Cartography 35(3), 2009, citing the standard.
Tape classes: Directive 2014/32/EU, Annex X (MI-008), chapter I (legislation.gov.uk/uksi/2016/1153,
schedule 1I).
"""

from __future__ import annotations

import math

import pytest

from staking.kinds import CheckKind
from staking.layout.allowed import allowed_difference
from staking.network.tape_error import permissible_error, standard_error
from staking.plan import Tape, ToleranceRules

FOOT = 0.3048
INCH = 0.0254


@pytest.mark.parametrize(
    ("kind", "feet", "inches"),
    [
        (CheckKind.SIDE, 9.99, 1 / 8),
        (CheckKind.SIDE, 10, 1 / 4),
        (CheckKind.SIDE, 100, 1 / 4),
        (CheckKind.DIAGONAL, 100, 3 / 4),
        (CheckKind.DIAGONAL, 50, 3 / 8),
    ],
)
def test_small_building_practice(kind: CheckKind, feet: float, inches: float) -> None:
    allowed = allowed_difference(ToleranceRules(preset="small building"), kind, feet * FOOT)
    assert allowed / INCH == pytest.approx(inches, abs=1e-9)


@pytest.mark.parametrize(
    "kind", [CheckKind.SIDE, CheckKind.DIAGONAL, CheckKind.TIE, CheckKind.POINT]
)
@pytest.mark.parametrize(
    # 3 mm, twice K1, under 4 m: from memory
    ("metres", "millimetres"),
    [(1.0, 3.0), (4.0, 3.0), (16.0, 6.0), (25.0, 7.5)],
)
def test_iso_4463_position_points(kind: CheckKind, metres: float, millimetres: float) -> None:
    rules = ToleranceRules(preset="ISO 4463-1 position points")
    assert allowed_difference(rules, kind, metres) * 1000 == pytest.approx(millimetres, abs=1e-9)


@pytest.mark.parametrize(
    ("grade", "metres", "millimetres"),
    [
        ("I", 10, 1.1),
        ("II", 10, 2.3),
        ("III", 10, 4.6),
        ("I", 30, 3.1),
        ("II", 30, 6.3),
        ("III", 30, 12.6),
        # the length is rounded up to the next whole metre
        ("I", 9.01, 1.1),
        ("II", 29.5, 6.3),
    ],
)
def test_tape_classes(grade: str, metres: float, millimetres: float) -> None:
    assert permissible_error(grade, metres) * 1000 == pytest.approx(millimetres, abs=1e-9)
    # a bound on which every error is as likely: over the root of 3
    sigma = standard_error(Tape(grade=grade), metres)
    assert sigma * math.sqrt(3) * 1000 == pytest.approx(millimetres, abs=1e-9)
