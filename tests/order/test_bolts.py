"""Where the bolts of one plate stand, by International Residential Code R403.1.6."""

from __future__ import annotations

import pytest

from staking.order.bolts import bolt_stations

INCH = 0.0254


@pytest.mark.parametrize(
    ("plate", "inches"),
    [
        # A quarter of a plate under 4' long: 16 / 4, 24 / 4, 36 / 4 and 44 / 4.
        (16, [4, 12]),
        (24, [6, 18]),
        (36, [9, 27]),
        (44, [11, 33]),
        # From 48" on 12", since a quarter is no less.
        (48, [12, 36]),
        # Never under seven diameters of 1/2": a quarter of 12" would be 3".
        (12, [3.5, 8.5]),
        # 96 - 24 = 72" between the end bolts is 6' exactly: no bolt more.
        (96, [12, 84]),
        (97, [12, 48.5, 85]),
    ],
)
def test_end_bolts_stand_a_quarter_in_on_a_short_plate(plate: float, inches: list[float]) -> None:
    found = bolt_stations(plate * INCH)
    assert [each / INCH for each in found] == pytest.approx(inches, rel=0, abs=1e-9)
