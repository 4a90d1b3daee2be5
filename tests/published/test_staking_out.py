"""Staking out against values that others have printed, in the source's own unit."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.kinds import Hand
from staking.site.stakeout import shots, ties
from staking.site.taped import swing


def dms(text: str) -> float:
    """``238 25 41`` as radians."""
    degrees, minutes, seconds = map(float, text.split())
    return math.radians(degrees + minutes / 60 + seconds / 3600)


def test_four_corners_from_one_station():
    """A. M. Chandra, Surveying: Problem Solving with Theory and Objective Type Questions.

    Four corners of a building from station P. The coordinates are the book's (the attribution is
    from memory); distances and bearings were worked out again from them.
    """
    corners = {
        "A": ((92.849, 117.984), 13.7974789726, 33.428623586),
        "B": ((128.204, 82.629), 54.4709226652, 329.368167498),
        "C": ((78.707, 33.132), 77.2956540175, 268.052348402),
        "D": ((43.352, 68.487), 56.5500410256, 227.805233755),
    }
    places = np.array([place for place, _, _ in corners.values()])
    station = (81.334, 110.383)
    found = shots(tuple(corners), places, station, (station[0] + 100, station[1]))
    for shot in found:
        _, distance, bearing = corners[shot.name]
        assert shot.distance == pytest.approx(distance, rel=0, abs=0.0005)
        assert math.degrees(shot.azimuth) == pytest.approx(bearing, rel=0, abs=0.0003)
        assert shot.angle_right == pytest.approx(shot.azimuth, rel=0, abs=1e-12)


RADIAL = (
    ("10+88.40", "238 25 41", 227.17, 342.715555556),
    ("11+00", "235 42 10", 222.69, 339.990277778),
    ("12+00", "209 17 17", 189.79, 313.575555556),
    ("13+00", "177 53 54", 173.67, 282.185833333),
    ("14+00", "145 21 03", 180.72, None),
    ("14+56.98", "128 23 50", 194.30, None),
    ("14+96.29", "118 01 09", 209.01, None),
    ("15+00", "117 07 24", 210.75, None),
)


def radial(names: tuple[str, ...] | None = None) -> dict[str, tuple[float, float]]:
    return {
        name: (distance * math.cos(dms(azimuth)), distance * math.sin(dms(azimuth)))
        for name, azimuth, distance, _ in RADIAL
        if names is None or name in names
    }


def test_radial_notes_of_an_alignment_from_a_set_up_and_its_backsight():
    """J. Mahun, Open Access surveying text, COGO ch. J (Examples), sec. 4, set-up at B."""
    places = radial()
    zero = dms("255 42 45")
    backsight = (300 * math.cos(zero), 300 * math.sin(zero))
    found = shots(tuple(places), np.array(list(places.values())), (0.0, 0.0), backsight)
    for shot, (_, azimuth, distance, right) in zip(found, RADIAL, strict=True):
        assert shot.distance == pytest.approx(distance, rel=0, abs=0.005)
        assert math.degrees(shot.azimuth) == pytest.approx(math.degrees(dms(azimuth)), abs=1e-6)
        if right is not None:
            assert math.degrees(shot.angle_right) == pytest.approx(right, rel=0, abs=1e-6)


def test_the_same_points_from_the_second_set_up():
    """As above, set-up at C, 385.027 ft from B: printed azimuths and distances of two points.

    The notes are printed to a second and 0.01 ft; both staked points coincide to 0.0091 ft.
    """
    toward_c = dms("303 54 34") - math.pi
    c = (385.02693772 * math.cos(toward_c), 385.02693772 * math.sin(toward_c))
    places = radial(("14+00", "14+96.29", "14+56.98"))
    found = {
        shot.name: shot
        for shot in shots(tuple(places), np.array(list(places.values())), c, (0.0, 0.0))
    }
    for name, azimuth, distance in (
        ("14+00", "286 57 50", 226.66),
        ("14+96.29", "310 48 54", 178.41),
    ):
        assert found[name].distance == pytest.approx(distance, rel=0, abs=0.02)
        assert found[name].azimuth == pytest.approx(dms(azimuth), rel=0, abs=0.02 / distance)
    assert found["14+56.98"].distance == pytest.approx(191.9257, rel=0, abs=0.02)
    assert math.degrees(found["14+56.98"].azimuth) == pytest.approx(299.3661, rel=0, abs=0.005)


def test_a_corner_swung_from_a_base_line_by_two_tapes():
    """US Navy, NAVEDTRA 14043 (Builder 3 & 2, vol. 1), ch. 5, Fig. 5-16.

    E lies 35 ft from C and 53.1 ft from D. The diagonal is printed cut to a tenth (exactly
    53.151), which puts corner E 0.067 ft along the base line.
    """
    c, d = (0.0, 0.0), (0.0, 40.0)  # the base line C-D runs east, E stands to the north
    found = swing(c[::-1], d[::-1], 35.0, 53.1, Hand.LEFT)
    assert isinstance(found, tuple)
    assert found[0] == pytest.approx((0.067375, 34.9999351515), rel=0, abs=0.0005)
    (tie,), _ = ties(("E",), np.array([[35.0, 0.0]]), ("C", "D"), np.array([c, d]), 100.0)
    assert (tie.first_distance, tie.second_distance) == pytest.approx((35, 53.1), abs=0.055)
    assert tie.side == "left"


def test_both_places_where_two_tapes_meet():
    """J. Squire, University of Maryland, Baltimore County, circle_circle_c.out: x east, y north."""
    one, other = (-0.2, -0.1), (1.0, 2.0)
    for side, place in ((Hand.RIGHT, (1.793918, 0.055856)), (Hand.LEFT, (-1.078021, 1.696964))):
        found = swing(one, other, 2.0, 2.1, side)
        assert isinstance(found, tuple)
        assert found[0] == pytest.approx(place, rel=0, abs=1e-6)


def test_two_tapes_at_survey_scale():
    """C. D. Ghilani, Adjustment Computations, Example 14.1, starting values (from memory).

    The book works through rounded angles, which costs it 0.011 ft in Y.
    """
    found = swing((865.40, 4527.15), (2432.55, 2047.25), 6049.00, 4736.83, Hand.LEFT)
    assert isinstance(found, tuple)
    assert found[0] == pytest.approx((6861.325, 3727.596), rel=0, abs=0.02)
