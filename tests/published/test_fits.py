"""Least-squares fits against published transformations, and against scipy's minimiser.

Tolerance: half the last printed digit and the rounding of the computation. Values that nobody
printed are named as computed independently. Lengths stay in the source's unit.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest
from scipy.optimize import least_squares

from staking.notices import Severity
from staking.plan import Building, Corner, Footing, Plan, Wall
from staking.site.fit import Fit, fit_turn_and_shift
from staking.site.place_building import place
from staking.site.site_request import PlaceAlong, PlaceByFit

Array = npt.NDArray[np.float64]
FOOTING = Footing(width=0.5, thickness=0.25, outside=0.15)


def similar(fit: Fit, points: Array, scale: float) -> Array:
    # Points by the fit's turn and shift with a scale: easting and northing.
    c, s = math.cos(fit.turn), math.sin(fit.turn)
    local = (np.asarray(points) - fit.centre) * scale
    turned = np.stack(
        (local[:, 0] * c - local[:, 1] * s, local[:, 0] * s + local[:, 1] * c), axis=1
    )
    return turned + fit.target


def plan_of(corners: dict[str, tuple[float, float]]) -> Plan:
    names = list(corners)
    return Plan(
        job="",
        buildings=(
            Building(
                name=None,
                corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in corners.items()),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=FOOTING)
                    for a, b in zip(names, names[1:] + names[:1], strict=True)
                ),
            ),
        ),
    )


HELMERT_FROM = np.array([[121.622, -128.066], [141.228, 187.718], [175.802, 135.728]])
HELMERT_TO = np.array([[1049422.40, 51089.20], [1049413.95, 49659.30], [1049244.95, 49884.95]])


def test_a_conformal_transformation_of_three_points():
    """C. D. Ghilani, Adjustment Computations, Example 18.1: a, b, scale and rotation."""
    fit = fit_turn_and_shift(HELMERT_FROM, HELMERT_TO)
    assert fit.scale * math.cos(fit.turn) == pytest.approx(-4.51249, rel=0, abs=5e-6)
    assert fit.scale * math.sin(fit.turn) == pytest.approx(-0.25371, rel=0, abs=5e-6)
    assert fit.scale == pytest.approx(4.51962, rel=0, abs=5e-6)
    # 183 13 05.0, from memory of the book.
    assert math.degrees(fit.turn) % 360 == pytest.approx(183.218056, rel=0, abs=3e-5)
    shift = similar(fit, np.zeros((1, 2)), fit.scale)[0]
    assert shift == pytest.approx([1050003.715, 50542.131], rel=0, abs=0.0006)


def test_a_conformal_transformation_carries_further_points():
    """C. D. Ghilani, Adjustment Computations, Example 18.1: points 1 to 4."""
    fit = fit_turn_and_shift(HELMERT_FROM, HELMERT_TO)
    points = np.array([
        [174.148, -120.262],
        [513.520, -192.130],
        [754.444, -67.706],
        [972.788, 120.994],
    ])
    printed = np.array([
        [1049187.361, 51040.629],
        [1047637.713, 51278.829],
        [1046582.113, 50656.241],
        [1045644.713, 49749.336],
    ])
    assert np.abs(similar(fit, points, fit.scale) - printed).max() < 0.0006


MIRROR_FROM = {"A": (0.0, 0.0), "B": (1.0, 0.0), "C": (0.0, 2.0)}
MIRROR_TO = {"A": (0.0, 0.0), "B": (-1.0, 0.0), "C": (0.0, 2.0)}


def arrays(points: dict[str, tuple[float, float]]) -> Array:
    return np.array(list(points.values()))


def test_a_fit_to_a_mirror_image_stays_a_rotation():
    """S. Umeyama, IEEE Trans. PAMI 13(4), 1991, pp. 376-380, numeric example."""
    fit = fit_turn_and_shift(arrays(MIRROR_FROM), arrays(MIRROR_TO))
    assert math.cos(fit.turn) == pytest.approx(0.832, rel=0, abs=0.0005)
    assert -math.sin(fit.turn) == pytest.approx(0.555, rel=0, abs=0.0005)
    assert fit.scale == pytest.approx(0.721, rel=0, abs=0.0005)
    shift = similar(fit, np.zeros((1, 2)), fit.scale)[0]
    assert shift == pytest.approx([-0.8, 0.4], rel=0, abs=0.0005)


def test_the_mirror_image_is_placed_rigidly_and_warned_of():
    """The points of Umeyama (1991) with the scale held at 1, computed independently."""
    asked = PlaceByFit(pairs=tuple((name, name) for name in MIRROR_FROM))
    points = {name: (north, east) for name, (east, north) in MIRROR_TO.items()}
    placement = place(plan_of(MIRROR_FROM), asked, points)
    assert math.degrees(placement.turn) == pytest.approx(-33.690067526, rel=0, abs=1e-6)
    north, east = placement.to_site(np.zeros((1, 2)))[0]
    assert (east, north) == pytest.approx((-0.980483562, 0.296866536), rel=0, abs=1e-6)
    squares = sum(r.distance**2 for r in placement.residuals)
    assert squares == pytest.approx(1.85926496605, rel=0, abs=1e-6)
    assert [n.severity for n in placement.notices if n.kind == "fit-mirrored"] == [Severity.WARNING]


# Northing and easting, ft.
RECORD = {"1002": (4030.04, 1940.56), "1003": (4244.27, 2366.04)}
FIELD = {
    "501": (4914.03, 2776.03),
    "502": (4814.98, 2786.38),
    "503": (4829.01, 2911.57),
    "504": (4934.06, 2895.69),
}
NE, NW = (5000.0, 3000.0), (5000.0, 3000.0 - 476.41)


def test_two_points_give_the_printed_scale():
    """J. Mahun, Open Access surveying text, COGO ch. J, sec. 5: line NE-NW on 1003-1002.

    The source divides by its line rounded to 0.01 ft, which moves the scale by up to 1.05e-5.
    """
    plan = np.array([NE[::-1], NW[::-1]])
    site = np.array([RECORD["1003"][::-1], RECORD["1002"][::-1]])
    fit = fit_turn_and_shift(plan, site)
    assert fit.scale == pytest.approx(0.999916, rel=0, abs=1.1e-5)
    assert math.dist(*site) == pytest.approx(476.37, rel=0, abs=0.005)
    west = similar(fit, plan[1:], fit.scale)[0]
    assert west == pytest.approx([1940.56, 4030.04], rel=0, abs=0.005)


def test_a_survey_laid_along_a_record_line_without_a_stretch():
    """The same case with its scale left at 1, computed independently to 0.005 ft."""
    corners = {"NE": NE[::-1], "NW": NW[::-1], **{n: p[::-1] for n, p in FIELD.items()}}
    asked = PlaceAlong(wall="NE-NW", along=("1003", "1002"), from_first=0.0, offset=0.0)
    placement = place(plan_of(corners), asked, RECORD)
    assert math.degrees(placement.turn) == pytest.approx(26.7253427, rel=0, abs=1e-5)
    found = placement.to_site(np.array([point[::-1] for point in FIELD.values()]))
    expected = np.array([
        [4066.76148671, 2204.65806325],
        [3982.94728557, 2258.44658141],
        [4051.77820548, 2363.95336539],
        [4138.46452299, 2302.52731832],
    ])
    assert np.abs(found - expected).max() < 0.005


@pytest.mark.parametrize("seed", range(5))
def test_the_fit_is_the_one_that_a_minimiser_finds(seed: int) -> None:
    """Reference: scipy.optimize.least_squares over turn and shift."""
    random = np.random.default_rng(seed)
    plan = random.uniform(-20, 20, (6, 2))
    turn = random.uniform(-3, 3)
    c, s = math.cos(turn), math.sin(turn)
    site = plan @ np.array([[c, s], [-s, c]]) + random.normal(0, 0.05, (6, 2))

    def misses(unknown: Array) -> Array:
        angle, east, north = unknown
        x = plan[:, 0] * np.cos(angle) - plan[:, 1] * np.sin(angle) + east
        y = plan[:, 0] * np.sin(angle) + plan[:, 1] * np.cos(angle) + north
        return np.concatenate((x - site[:, 0], y - site[:, 1]))

    best = least_squares(misses, [turn, 0.0, 0.0], xtol=1e-14, ftol=1e-14, gtol=1e-14)
    shift = np.array([5_000.0, 5_000_000.0])
    fit = fit_turn_and_shift(plan, site + shift)
    assert math.remainder(fit.turn - best.x[0], math.tau) == pytest.approx(0, abs=1e-8)
    assert similar(fit, np.zeros((1, 2)), 1.0)[0] - shift == pytest.approx(
        best.x[1:], rel=0, abs=1e-7
    )
    assert (fit.residuals**2).sum() == pytest.approx(2 * best.cost, rel=0, abs=1e-8)
