"""Feet, diagonals and right triangles as published.

Sources are named beside each value; where a print is rounded or truncated the exact value is
tested and the print is noted.
"""

from fractions import Fraction

import pytest

from staking.layout.squaring import diagonal, fitting_triangles, slide
from staking.measure.lengths import Unit, format_length, parse_length

FOOT = 0.3048


def test_the_feet_are_those_of_the_federal_register():
    # 85 FR 62698 (5 October 2020): the foot is 0.3048 m exactly, the U.S. survey foot 1200/3937 m.
    assert Fraction(Unit.FT.metres) == Fraction(0.3048)
    assert Unit.US_FT.metres == pytest.approx(0.3048006096012, rel=0, abs=5e-14)


def test_a_million_feet_are_two_survey_feet_short_of_a_million():
    # 85 FR 62698: 304 800 m are 1 000 000 ft and 999 998 survey ft exactly.
    assert parse_length("1000000 ft") == pytest.approx(304_800.0, rel=0, abs=1e-9)
    assert parse_length("999998", Unit.US_FT) == pytest.approx(304_800.0, rel=0, abs=1e-9)


def test_state_plane_coordinates_differ_by_feet_between_the_two():
    # Arithmetic by hand from the two definitions (2 parts in a million): 13.12 ft in 6,560,000 ft.
    survey, international = (parse_length("6560000", unit) for unit in (Unit.US_FT, Unit.FT))
    assert (survey - international) / FOOT == pytest.approx(13.12, rel=0, abs=0.005)


def test_the_diagonal_of_the_builders_manual():
    # NAVEDTRA 14043, Builder 3 & 2, vol. 1, page 146: 35 by 40 ft, printed 53.1 ft (truncated;
    # exact 53.1507 ft, 53 ft 1-13/16 in).
    found = diagonal(35 * FOOT, 40 * FOOT)
    assert found / FOOT == pytest.approx(53.15073, rel=0, abs=5e-6)
    assert format_length(found) == "53' 1 13/16\""


@pytest.mark.parametrize(
    ("triangle", "step"),
    [
        ((30, 40, 50), FOOT),  # NAVEDTRA 14043, Builder 3 & 2, vol. 1, page 146
        ((6, 8, 10), FOOT),  # "How to square a foundation", chestofbooks.com
        # Canada Mortgage and Housing Corporation, Canadian Wood-Frame House Construction:
        # 300-400-500 mm
        ((3, 4, 5), 0.1),
    ],
)
def test_the_right_triangles_of_the_manuals_fit_their_own_legs(triangle, step):
    short, long, across = (side * step for side in triangle)
    largest = fitting_triangles(short, long, step)[0]
    assert (largest.short, largest.long, largest.across) == pytest.approx(
        (short, long, across), rel=0, abs=1e-9
    )


@pytest.mark.parametrize(
    ("width", "length", "text"),
    [
        # Arithmetic by hand, no source.
        (20, 24, "31' 2 7/8\""),
        (24, 30, "38' 5\""),
        (24, 36, "43' 3 3/16\""),
        (28, 40, "48' 9 15/16\""),
        (20, 32, "37' 8 13/16\""),
        (12, 16, "20' 0\""),
    ],
)
def test_diagonals_of_common_plans(width, length, text):
    assert format_length(diagonal(width * FOOT, length * FOOT)) == text


def test_a_racked_rectangle_shows_in_its_diagonals():
    # Arithmetic by hand from d1^2 - d2^2 = 4 a s: base 24', depth 36', slid 1": 1.11" between
    # the diagonals.
    found = slide(24 * FOOT, 36 * FOOT, 0.0254)
    assert found.difference / 0.0254 == pytest.approx(1.11, rel=0, abs=0.005)


def test_a_corner_opened_on_a_thirty_by_forty_shows_in_its_diagonals():
    # Law of cosines by hand, method of US Army subcourse EN0069: 0.05 ft of rack over the 30 ft
    # side of a 30 by 40 is 0.08 ft between diagonals.
    found = slide(40 * FOOT, 30 * FOOT, 0.05 * FOOT)
    assert found.difference / FOOT == pytest.approx(0.08, rel=0, abs=5e-5)
