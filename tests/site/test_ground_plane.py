from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.errors import InputError
from staking.notices import Length
from staking.points import Surface, SurveyLine, SurveyPoints
from staking.site.plane.grid_factor import GridFigures, far_control, scaled_otherwise
from staking.site.plane.ground_plane import (
    AS_SURVEYED,
    GroundPlane,
    ScaledCoordinates,
    survey_onto,
    survey_scaled,
)
from staking.site.plane.plane_basis import (
    HeightSource,
    PlaneBasis,
    height_in_words,
    height_notices,
    plane_basis,
    unnamed_grid_notices,
    written_height,
)
from staking.units import FOOT, Unit

PLANE = GroundPlane(factor=0.9996, northing0=4_650_000.0, easting0=500_000.0)
NO_BOUNDARY = np.empty((0, 3))


def survey(*rows: tuple[float, float, float], **more: object) -> SurveyPoints:
    table = np.array(rows, dtype=float).reshape(-1, 3)
    made = {
        "name": "lot.csv",
        "format": "delimited text",
        "names": np.array([str(i) for i in range(len(table))], dtype=object),
        "northing": table[:, 0],
        "easting": table[:, 1],
        "elevation": table[:, 2],
        "descriptions": np.array([""] * len(table), dtype=object),
        "source_line": np.zeros(len(table), dtype=np.int64),
        "unit": "m",
    }
    return SurveyPoints(**(made | more))  # type: ignore[arg-type]


def test_lengths_on_the_plane_are_those_of_the_grid_over_the_factor() -> None:
    # 99.96 m on a grid at 0.9996 are 100 m on the ground.
    places = np.array([[4_650_000.0, 500_000.0], [4_650_000.0, 500_099.96]])
    assert PLANE.onto(places) == pytest.approx(np.array([[0, 0], [0, 100.0]]), rel=0, abs=1e-9)


@given(
    factor=st.floats(min_value=0.995, max_value=1.005),
    origin=st.tuples(st.floats(-1e7, 1e7), st.floats(-1e7, 1e7)),
    away=st.lists(st.tuples(st.floats(-5e3, 5e3), st.floats(-5e3, 5e3)), min_size=2, max_size=6),
)
def test_places_leave_the_plane_as_they_came(
    factor: float, origin: tuple[float, float], away: list[tuple[float, float]]
) -> None:
    plane = GroundPlane(factor=factor, northing0=origin[0], easting0=origin[1])
    places = np.array(origin) + np.array(away)
    onto = plane.onto(places)
    assert np.abs(plane.back(onto) - places).max() < 1e-8
    grid = np.hypot(*(places[1] - places[0]))
    assert np.hypot(*(onto[1] - onto[0])) == pytest.approx(grid / factor, rel=0, abs=1e-8)


def test_coordinates_that_are_ground_already_are_not_touched() -> None:
    places = np.array([[4649776.2247, 500059.0622]])
    assert AS_SURVEYED.is_the_survey
    assert (AS_SURVEYED.onto(places) == places).all()
    assert (AS_SURVEYED.back(places) == places).all()
    given_points = survey((1.0, 2.0, 3.0))
    assert survey_onto(given_points, AS_SURVEYED) is given_points


@pytest.mark.parametrize("factor", [0.0, -0.9996, math.nan, math.inf])
def test_no_plane_has_such_a_factor(factor: float) -> None:
    with pytest.raises(ValueError, match=r"finite numbers|is not a combined factor"):
        GroundPlane(factor=factor)


def test_points_lines_and_surfaces_come_onto_the_plane_and_keep_their_heights() -> None:
    corner = np.array([[4_650_099.96, 500_000.0, 12.5]])
    line = SurveyLine(name="edge", vertices=corner, is_break_line=True)
    surface = Surface(name="EG", vertices=corner, faces=np.zeros((0, 3), dtype=np.intp))
    moved = survey_onto(survey(tuple(corner[0]), lines=(line,), surfaces=(surface,)), PLANE)
    for rows in (
        np.column_stack((moved.northing, moved.easting, moved.elevation)),
        moved.lines[0].vertices,
        moved.surfaces[0].vertices,
    ):
        assert rows == pytest.approx(np.array([[100.0, 0.0, 12.5]]), rel=0, abs=1e-8)
    assert moved.lines[0].is_break_line


def test_scaled_coordinates_go_back_to_the_grid_about_their_fixed_point() -> None:
    scaled = ScaledCoordinates(factor=0.9995, northing=1000.0, easting=2000.0)
    places = np.array([[1000.0, 2000.0], [3000.0, 2000.0]])
    assert scaled.to_grid(places) == pytest.approx(np.array([[1000, 2000], [2999, 2000]]), abs=1e-9)
    assert scaled.to_ground(scaled.to_grid(places)) == pytest.approx(places, abs=1e-9)
    moved = survey_scaled(survey((2999.0, 2000.0, 7.0)), scaled)
    assert (moved.northing[0], moved.elevation[0]) == (pytest.approx(3000.0, abs=1e-9), 7.0)


def test_the_plane_touches_the_grid_at_the_mean_of_the_boundary() -> None:
    boundary = np.array([[0, 0, 10.0], [0, 60, 20.0], [30, 60, math.nan], [30, 0, 30.0]])
    basis = plane_basis(survey((500.0, 0.0, 900.0)), boundary)
    assert (basis.northing, basis.easting, basis.height) == (15.0, 30.0, 20.0)
    assert basis.source is HeightSource.BOUNDARY


def test_without_a_boundary_points_within_a_thousand_feet_of_the_building_count() -> None:
    rows = [(0.0, 0.0, 100.0), (0.0, 100.0, 104.0), (0.0, 304.0, math.nan), (0.0, 905.0, 500.0)]
    basis = plane_basis(survey(*rows), NO_BOUNDARY, (0.0, 0.0))
    # 304 m are within 304.8 m, 905 m are not; a missing elevation is left out.
    assert (basis.easting, basis.height) == (pytest.approx(404 / 3), 102.0)
    assert basis.source is HeightSource.POINTS
    far = plane_basis(survey(*rows), NO_BOUNDARY, (5e4, 0.0))
    assert (far.northing, far.easting, far.height) == (5e4, 0.0, None)
    assert far.source is HeightSource.UNKNOWN
    assert height_in_words(far, Unit.M) == ""


def test_a_boundary_without_elevations_takes_the_height_of_the_points_round_it() -> None:
    boundary = np.array([[0, 0, math.nan], [0, 60, math.nan], [30, 60, math.nan]])
    basis = plane_basis(survey((5.0, 5.0, 250.0), (9e3, 0.0, 900.0)), boundary)
    assert (basis.height, basis.source) == (250.0, HeightSource.POINTS)
    told = plane_basis(survey((5.0, 5.0, 250.0)), boundary, height=1640.0)
    assert (told.height, told.source) == (1640.0, HeightSource.JOB)


def test_a_surface_alone_says_where_the_lot_is_and_nothing_does_not() -> None:
    vertices = np.array([[10.0, 20.0, 5.0], [10.0, 40.0, 7.0], [40.0, 30.0, 9.0]])
    surface = Surface(name="EG", vertices=vertices, faces=np.array([[0, 1, 2]], dtype=np.intp))
    basis = plane_basis(survey(surfaces=(surface,)), NO_BOUNDARY)
    assert (basis.northing, basis.easting, basis.height) == (20.0, 30.0, 7.0)
    with pytest.raises(InputError, match=r"lot\.csv: there are no points in this survey"):
        plane_basis(survey(), NO_BOUNDARY)


@pytest.mark.parametrize(
    ("height", "unit", "assumed"),
    [
        (100.8 * FOOT, Unit.US_FT, True),
        (100.8 * FOOT, Unit.IN, True),
        (1_050.0, Unit.M, True),
        (-4.0, Unit.M, True),
        (280.0, Unit.M, False),
        (960.0 * FOOT, Unit.FT, True),
        (919.0 * FOOT, Unit.FT, False),
        (100.0, Unit.FT, False),
    ],
)
def test_a_height_that_looks_assumed_is_said(height: float, unit: Unit, assumed: bool) -> None:
    basis = PlaneBasis(northing=0, easting=0, height=height, source=HeightSource.POINTS)
    told = height_notices(basis, unit)
    assert bool(told) is assumed
    given_by_the_job = PlaneBasis(northing=0, easting=0, height=height, source=HeightSource.JOB)
    assert height_notices(given_by_the_job, unit) == ()


def test_a_mile_of_height_is_five_sixteenths_in_a_hundred_feet() -> None:
    basis = PlaneBasis(northing=0, easting=0, height=30.0, source=HeightSource.POINTS)
    (told,) = height_notices(basis, Unit.FT)
    part = dict(told.values)["part"]
    assert isinstance(part, Length)
    # 100 ft x 5,280 / (20,902,231 + 5,280) ft = 0.3031", nearest to 5/16".
    assert round(part.metres / 0.0254 * 16) == 5
    assert written_height(30.48, Unit.US_FT) == "100 ft"
    assert written_height(1640.4, Unit.MM) == "1640 m"


def figures(combined: float) -> GridFigures:
    return GridFigures(scale=combined, sea_level_factor=1.0, combined=combined, convergence=0.0)


def test_a_known_point_too_far_for_the_lots_plane_is_named() -> None:
    # 3,000 m x (6 parts in a million) / 2 = 9 mm.
    (told,) = far_control("101", 3000.0, figures(0.999706), 0.999700)
    off = dict(told.values)["off"]
    assert isinstance(off, Length)
    assert off.metres == pytest.approx(0.009, rel=0, abs=1e-9)
    assert far_control("101", 300.0, figures(0.999706), 0.999700) == ()


def test_a_combined_factor_that_is_not_the_systems_is_said() -> None:
    assert scaled_otherwise(0.99962, 0.99964) == ()
    (told,) = scaled_otherwise(1 / 0.99962, 0.99962)
    assert "this is its inverse" in told.text
    assert dict(told.values)["inverse"] == "0.99962000"
    (told,) = scaled_otherwise(0.99962, 0.9995)
    assert "look at the surveyor's notes" in told.text


def test_large_coordinates_without_a_system_are_said_and_small_ones_are_not() -> None:
    utm = PlaneBasis(northing=4.65e6, easting=5e5, height=None, source=HeightSource.UNKNOWN)
    (told,) = unnamed_grid_notices(utm, Unit.FT)
    part = dict(told.values)["part"]
    assert isinstance(part, Length)
    # 0.0004 of 100 ft is 0.48", 1/2" to the sixteenth.
    assert round(part.metres / 0.0254 * 16) == 8
    local = PlaneBasis(northing=5000.0, easting=2000.0, height=None, source=HeightSource.UNKNOWN)
    assert unnamed_grid_notices(local, Unit.FT) == ()
