"""Elevations that nobody measured, and what the user says of them."""

from __future__ import annotations

import io

import numpy as np
import pytest

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.assemble import survey_points
from staking.survey.delimited.points_from_text import parse_delimited

HEAD = "Point,Northing,Easting,Elevation\n"


def read(*levels: object, **settings: object) -> SurveyPoints:
    rows = "".join(f"{i},{5000 + i}.5,4000.5,{z}\n" for i, z in enumerate(levels, 1))
    said = SurveySettings(**{"unit": "m", **settings})  # type: ignore[arg-type]
    return parse_delimited(io.BytesIO((HEAD + rows).encode()), "lot.csv", said)


def kinds(points: SurveyPoints) -> set[str]:
    return {each.kind for each in points.notices}


def test_zeros_among_others_far_from_them_are_refused_until_they_are_explained() -> None:
    levels = ("0.000", 231.2, "0.000", 244.75, 258.4)
    with pytest.raises(InputError, match="2 of 5 elevations are exactly 0"):
        read(*levels)
    none = read(*levels, no_elevation=(0.0,))
    assert np.isnan(none.elevation).tolist() == [True, False, True, False, False]
    assert "missing-elevations" in kinds(none)
    real = read(*levels, no_elevation=())
    assert real.elevation.tolist() == [0.0, 231.2, 0.0, 244.75, 258.4]
    looked_at = read(*levels, is_listing=True)
    assert looked_at.elevation[0] == 0.0
    assert "elevations-doubtful" in kinds(looked_at)


@pytest.mark.parametrize(
    "levels",
    [
        (0, 0, 0),  # nothing else to compare with
        (0, 0.4, 1.2, 2.9, -0.3),  # a benchmark of 0 beside the lot
        (0, -2.0, -3.5, -1.0),
        (0.001, 231.2, 244.75),  # not exactly 0, and too few to call it a slip
    ],
)
def test_zeros_that_may_be_ground_are_kept(levels: tuple[float, ...]) -> None:
    assert read(*levels, is_listing=True).elevation.tolist() == [float(each) for each in levels]
    assert "elevations-doubtful" not in kinds(read(*levels))


def test_a_moved_decimal_point_is_refused_left_out_or_taken_as_it_is() -> None:
    levels = (312.1, 312.4, 3121.4, 311.9, 312.6)
    with pytest.raises(InputError, match=r"line 4: the elevation of 3 is 3121\.4 m"):
        read(*levels)
    assert np.isnan(read(*levels, no_elevation=(3121.4,)).elevation[2])
    assert read(*levels, no_elevation=()).elevation[2] == 3121.4


@pytest.mark.parametrize("slip", [31.24, 3.124, 3124.0, 31240.0])
def test_a_decimal_point_that_moved_either_way_is_refused(slip: float) -> None:
    with pytest.raises(InputError, match=r"with its decimal point moved it is 312\.4"):
        read(312.1, 312.5, slip, 311.9, 312.6)


def test_a_hill_is_no_slip() -> None:
    # From 90 to 950 m up one slope: no elevation stands apart from the others.
    levels = [90 + 10 * i for i in range(87)]
    assert "elevation-outliers" not in kinds(read(*levels))


@pytest.mark.parametrize("mark", [-999.25, -999, 9999, 99999])
def test_a_usual_mark_far_from_all_others_is_none_and_warned_of(mark: float) -> None:
    points = read(312.1, mark, 312.4, 311.9)
    assert np.isnan(points.elevation).tolist() == [False, True, False, False]
    assert "elevation-marks" in kinds(points)


def test_a_mark_among_ground_as_high_is_ground() -> None:
    # A lot at about 9,990 ft.
    points = read(9991.5, 9999, 9987.2, 9990.9, unit="ft")
    assert points.elevation[1] == 9999 * 0.3048


def test_elevations_are_judged_in_their_own_unit() -> None:
    head = "Point,Northing (m),Easting (m),Elevation (ft)\n"
    rows = "1,5000,4000,500\n2,5001,4000,9999\n3,5002,4000,502\n"
    points = parse_delimited(io.BytesIO((head + rows).encode()), "a.csv", SurveySettings())
    assert np.isnan(points.elevation).tolist() == [False, True, False]


def test_marks_are_found_in_every_format() -> None:
    found = survey_points(
        name="a", format="any", names=["1", "2", "3"], northing=[0.0, 1.0, 2.0],
        easting=[0.0, 0.0, 0.0], elevation=[95.0, -32768.0, -9.99e27], descriptions=[""] * 3,
        unit="m",
    )  # fmt: skip
    assert np.isnan(found.elevation).tolist() == [False, True, True]
