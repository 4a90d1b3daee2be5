"""The plane of a lot from its survey and the grid's figures, and the systems of its files."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from staking.errors import InputError
from staking.notices import Severity, notice
from staking.plan import Building, Corner, Footing, Plan, Wall
from staking.points import KnownPoint, SurveyPoints
from staking.site.building_on_lot import BuildingOnLot
from staking.site.plane.grid_factor import GridFigures
from staking.site.plane.ground_plane import AS_SURVEYED, ScaledCoordinates
from staking.site.plane.lot_plane import (
    LotGround,
    building_middle,
    farthest_control,
    ground_as_scaled,
    ground_on_grid,
    lot_basis,
    lot_ground_notices,
    scaled_coordinates,
    where_on_grid,
)
from staking.site.plane.survey_systems import one_system, refuse_another_system, scaled_alike
from staking.site.site_request import Distances, PlaceByBearing, SiteAsked
from staking.site.site_results import Placement

FIGURES = GridFigures(
    scale=0.9997, sea_level_factor=0.9999, combined=0.9996, convergence=0.0, elevation=600.0
)
GROUND = SiteAsked(
    distances=Distances.GROUND, combined_factor=0.9996, scaled_about=(4_000_000.0, 500_000.0)
)
PROJECTED = notice("projected", "latitude and longitude are projected", Severity.NOTE)


def survey(
    *rows: tuple[float, float, float], crs: str | None = None, name: str = "lot.csv"
) -> SurveyPoints:
    table = np.array(rows, dtype=float).reshape(-1, 3)
    return SurveyPoints(
        name=name,
        format="delimited text",
        names=np.array([str(i) for i in range(len(table))], dtype=object),
        northing=table[:, 0],
        easting=table[:, 1],
        elevation=table[:, 2],
        descriptions=np.array([""] * len(table), dtype=object),
        source_line=np.zeros(len(table), dtype=np.int64),
        unit="m",
        crs=crs,
    )


def point(name: str, north: float, east: float, level: float = np.nan) -> KnownPoint:
    return KnownPoint(name=name, northing=north, easting=east, elevation=level)


def shed() -> Plan:
    places = {"A": (0.0, 0.0), "B": (8.0, 0.0), "C": (8.0, 6.0), "D": (0.0, 6.0)}
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    return Plan(
        job="Medlar shed",
        buildings=(
            Building(
                name=None,
                corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in places.items()),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=footing)
                    for a, b in zip("ABCD", "BCDA", strict=True)
                ),
            ),
        ),
    )


def site(**more: object) -> BuildingOnLot:
    made = {
        "asked": SiteAsked(),
        "surveys": ("lot.csv",),
        "unit": "m",
        "crs": "EPSG:26917",
        "placement": Placement(turn=0.0, x0=0.0, y0=0.0, easting0=0.0, northing0=0.0),
    }
    return BuildingOnLot(**(made | more))  # type: ignore[arg-type]


def test_the_plane_touches_the_grid_amid_the_boundary_at_its_mean_height() -> None:
    named = {
        "1": point("1", 0.0, 0.0, 10.0),
        "2": point("2", 0.0, 40.0, 20.0),
        "3": point("3", 30.0, 20.0, 60.0),
    }
    basis = lot_basis(SiteAsked(boundary=("1", "2", "3")), survey((900, 900, 0)), named)
    assert (basis.northing, basis.easting, basis.height) == (10.0, 20.0, 30.0)


def test_without_a_boundary_it_touches_near_the_building() -> None:
    place = PlaceByBearing(corner="A", northing=100.0, easting=50.0, wall="A-B", azimuth=0.0)
    far = survey((110.0, 60.0, 5.0), (90_000.0, 60.0, 7.0))
    basis = lot_basis(SiteAsked(place=place), far, {})
    assert (basis.northing, basis.easting, basis.height) == (110.0, 60.0, 5.0)


def test_on_the_grid_the_planes_factor_is_the_combined_one() -> None:
    basis = lot_basis(SiteAsked(), survey((100.0, 50.0, 5.0)), {})
    assert where_on_grid(SiteAsked(), basis) == (100.0, 50.0)
    ground = ground_on_grid(basis, FIGURES)
    assert ground.plane.factor == 0.9996
    assert (ground.plane.northing0, ground.plane.easting0) == (100.0, 50.0)


def test_scaled_coordinates_stand_where_the_job_says_and_nowhere_without() -> None:
    # Scaled by 1 / 0.9996 about (4,000,000, 500,000): 1000 m on the ground are 999.6 on the grid.
    basis = lot_basis(GROUND, survey((4_001_000.0, 500_500.0, 5.0)), {})
    assert where_on_grid(GROUND, basis) == pytest.approx((4_000_999.6, 500_499.8), rel=0, abs=1e-6)
    assert where_on_grid(SiteAsked(distances=Distances.GROUND), basis) is None
    scaled = scaled_coordinates(GROUND)
    assert scaled == ScaledCoordinates(factor=0.9996, northing=4_000_000.0, easting=500_000.0)
    ground = ground_as_scaled(basis, scaled, FIGURES)
    assert ground.plane is AS_SURVEYED
    assert ground.notices == ()
    assert ground_as_scaled(basis, ScaledCoordinates(
        factor=1.0004, northing=0.0, easting=0.0
    ), FIGURES).notices  # fmt: skip


def test_the_farthest_known_point_is_found_from_the_buildings_middle() -> None:
    assert building_middle(shed()).tolist() == [[4.0, 3.0]]
    # northing and easting from the middle at (3, 4): 30 and 40 are 50 away
    lot = site(control=(point("7", 33.0, 44.0), point("8", 5.0, 5.0)), grid=FIGURES)
    last = farthest_control(lot, shed())
    assert last is not None
    assert (last.name, last.away, last.northing, last.easting) == ("7", 50.0, 33.0, 44.0)
    assert farthest_control(site(control=(point("7", 0, 0),)), shed()) is None
    assert farthest_control(site(grid=FIGURES), shed()) is None


def test_what_is_said_of_grid_and_ground() -> None:
    basis = lot_basis(SiteAsked(), survey((100.0, 50.0, 5.0)), {})
    on_grid = ground_on_grid(basis, FIGURES)
    said = lot_ground_notices(site(grid=FIGURES), shed(), on_grid)
    assert said[0].kind == "grid-ground"
    scaled = LotGround(plane=AS_SURVEYED, basis=basis)
    (note,) = lot_ground_notices(site(), shed(), scaled)
    assert note.kind == "ground-coordinates"
    assert "no latitude and longitude are written" in note.text
    assert lot_ground_notices(site(crs=None), shed(), scaled) == ()


def test_files_of_one_system_have_it_and_others_are_refused() -> None:
    assert one_system([survey(), survey(crs="EPSG:26917")]) == "EPSG:26917"
    assert one_system([survey()]) is None
    with pytest.raises(InputError, match="different coordinate systems: EPSG:26917, EPSG:26918"):
        one_system([survey(crs="EPSG:26917"), survey(crs="EPSG:26918")])
    refuse_another_system([survey(), survey(crs="EPSG:26917")], "EPSG:26917")
    with pytest.raises(InputError) as caught:
        refuse_another_system([survey(crs="EPSG:26918", name="shot.csv")], "EPSG:26917")
    assert str(caught.value) == (
        "shot.csv: the file is in EPSG:26918, and the lot's survey in EPSG:26917; write it out "
        "anew with `staking survey FILE --to-crs EPSG:26917 --to NEW`"
    )


def test_degrees_come_to_the_scaled_coordinates_of_the_other_files() -> None:
    degrees = replace(survey((4_000_999.6, 500_499.8, 5.0)), notices=(PROJECTED,))
    plain = survey((4_001_000.0, 500_500.0, 5.0))
    assert scaled_alike([degrees], SiteAsked()) == (degrees,)
    brought, same = scaled_alike([degrees, plain], GROUND)
    assert same is plain
    assert (brought.northing[0], brought.easting[0]) == pytest.approx(
        (4_001_000.0, 500_500.0), rel=0, abs=1e-6
    )
    with pytest.raises(InputError, match=r"lot\.csv: the file is in latitude and longitude, and"):
        scaled_alike([degrees], SiteAsked(distances=Distances.GROUND))
