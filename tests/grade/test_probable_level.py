"""What a level was probably meant to be, by the commonest slips of the pen."""

from __future__ import annotations

import pytest

from staking.grade.notices.probable_level import probable_level
from staking.units import Unit

FOOT = 0.3048


@pytest.mark.parametrize(
    ("given", "between", "meant"),
    [
        (69.0, (90.0, 99.0), 96.0),  # two digits exchanged
        (8.0, (90.0, 99.0), 96.0),  # 96" for 96'
        (10.0, (95.0, 105.0), 100.0),  # a nought left out
        (1000.0, (95.0, 105.0), 100.0),  # a nought too many
        (111.5, (100.0, 104.0), 101.5),  # one digit another
        (94.5, (104.0, 110.0), 104.5),  # ten feet: two digits at once
        (50.0, (100.0, 103.0), None),
    ],
)
def test_feet(given: float, between: tuple[float, float], meant: float | None) -> None:
    low, high = between
    found = probable_level(given * FOOT, low * FOOT, high * FOOT, Unit.FT)
    assert (None if found is None else round(found / FOOT, 9)) == meant


def test_metres_are_looked_at_down_to_the_centimetre() -> None:
    # 30.50 and 50.30: the first and the third digit, which are not neighbours, so that one digit
    # changed is what is found: 30.30.
    assert probable_level(50.30, 29.0, 32.0, Unit.M) == pytest.approx(30.30, rel=0, abs=1e-9)
    # 31.06 read for 13.06.
    assert probable_level(13.06, 30.0, 32.0, Unit.M) == pytest.approx(31.06, rel=0, abs=1e-9)


def test_the_rest_below_a_whole_foot_and_the_sign_are_kept() -> None:
    found = probable_level(-69.25 * FOOT, -99 * FOOT, -90 * FOOT, Unit.FT)
    assert found == pytest.approx(-96.25 * FOOT, rel=0, abs=1e-9)
