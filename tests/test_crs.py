from __future__ import annotations

import warnings

import numpy as np
import pytest

from staking.crs import (
    datum_notices,
    datum_shift,
    grid_figures,
    in_area,
    project_geographic,
    resolve,
    to_crs,
    to_geographic,
    utm_for,
)
from staking.crs_register import is_map_tiles
from staking.errors import ComputationError, InputError
from staking.notices import Angle, Severity
from staking.site.plane.grid_factor import (
    GridFigures,
    ground_notices,
    refuse_factor,
    refuse_map_tiles,
    sea_level_factor,
)


@pytest.mark.parametrize(
    "code", ["EPSG:5646", "epsg:5646", "5646", " 5646 ", "urn:ogc:def:crs:EPSG::5646"]
)
def test_a_code_is_read_however_it_is_written(code: str) -> None:
    assert resolve(code).code == "EPSG:5646"


def test_the_longitude_first_code_of_the_open_formats_is_wgs_84() -> None:
    assert resolve("urn:ogc:def:crs:OGC:1.3:CRS84").code == "EPSG:4326"


def test_a_zone_is_told_in_words() -> None:
    info = resolve("EPSG:5646")
    assert info.lines[:2] == ("EPSG:5646: NAD83 / Vermont (ftUS)", "in US survey feet")
    assert info.lines[2].startswith("for United States (USA) - Vermont")
    assert not info.is_geographic


def test_latitude_and_longitude_are_told_apart() -> None:
    assert resolve("EPSG:4326").is_geographic
    assert resolve("EPSG:4326").lines[1] == "latitude and longitude, degrees"


def test_a_code_with_elevations_names_what_they_count_from() -> None:
    info = resolve("EPSG:6349")
    assert info.vertical == "NAVD88 height"
    assert info.lines[-1] == "elevations: NAVD88 height"


@pytest.mark.parametrize(
    "name",
    [
        "31468",
        "epsg:31468",
        "[EPSG:31468]",
        "urn:ogc:def:crs:EPSG::31468",
        "urn:ogc:def:crs:EPSG:9.9.1:31468",
        "http://www.opengis.net/def/crs/EPSG/0/31468",
        "https://www.opengis.net/def/crs/EPSG/9.9.1/31468",
    ],
)
def test_a_system_goes_by_its_code_its_urn_its_uri_and_in_brackets(name: str) -> None:
    # OGC 11-135r2, Name type specification - Coordinate reference systems: the URN and the URI.
    info = resolve(name)
    assert info.code == "EPSG:31468"
    assert info.uri == "http://www.opengis.net/def/crs/EPSG/0/31468"
    # The register lists this grid's northing first, and easting first that of UTM zone 15.
    assert info.north_first
    assert not resolve("EPSG:32615").north_first


@pytest.mark.parametrize(
    ("code", "message"),
    [
        ("EPSG:99999", "EPSG:99999 is not in the register of coordinate systems"),
        ("Vermont", "'Vermont' names no coordinate system; give its EPSG code"),
        ("", "'' names no coordinate system"),
        ("EPSG:4978", r"EPSG:4978 \(WGS 84\) is neither a plane grid nor latitude and longitude"),
        ("EPSG:5703", "NAVD88 height.* is neither a plane grid"),
        ("EPSG:2053", "the axes of EPSG:2053 .* do not run north and east"),
        ("EPSG:2136", "is in Gold Coast foot, which no file here is in"),
        ("EPSG:4807", "is in grads, not degrees"),
    ],
)
def test_a_code_that_cannot_be_used_says_why(code: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        resolve(code)


def test_projecting_and_back_cancel_to_a_micrometre() -> None:
    lat, lon = np.array([44.1, 44.2]), np.array([-72.5, -72.6])
    northing, easting = project_geographic(lat, lon, "EPSG:5646")
    again = to_geographic(northing, easting, "EPSG:5646")
    assert np.abs(again[0] - lat).max() < 1e-11
    assert np.abs(again[1] - lon).max() < 1e-11


def test_a_grid_converted_to_another_and_back_cancels_to_a_micrometre() -> None:
    northing, easting = np.array([180_000.0]), np.array([500_000.0])
    there = to_crs(northing, easting, "EPSG:5646", "EPSG:26918")
    back = to_crs(*there, "EPSG:26918", "EPSG:5646")
    assert abs(float(back[0][0]) - 180_000.0) < 1e-6
    assert abs(float(back[1][0]) - 500_000.0) < 1e-6


def test_latitude_and_longitude_that_are_swapped_are_refused() -> None:
    with pytest.raises(InputError, match="a latitude is over 90 degrees"):
        project_geographic(np.array([-172.5]), np.array([44.1]), "EPSG:5646")


def test_points_beyond_the_projection_are_refused() -> None:
    with pytest.raises(InputError, match="it lies outside what the projection reaches"):
        to_geographic(np.array([1e12]), np.array([1e12]), "EPSG:26918")


def test_grid_points_need_a_grid() -> None:
    with pytest.raises(InputError, match="is latitude and longitude, not a plane grid"):
        to_geographic(np.array([44.0]), np.array([-72.0]), "EPSG:4326")
    with pytest.raises(InputError, match=r"EPSG:26918 .* is not latitude and longitude"):
        to_geographic(np.array([4e6]), np.array([5e5]), "EPSG:26918", datum="EPSG:26918")


def test_a_shift_of_datum_that_is_poorly_known_is_told_without_a_python_warning() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        (said,) = datum_notices("EPSG:32040")
    assert said.kind == "datum-shift"
    assert not datum_notices("EPSG:32040", "EPSG:4267")


@pytest.mark.parametrize(
    ("lat", "lon", "code"),
    [(0.0, -180.0, 32601), (-33.0, 151.0, 32756), (10.0, 180.0, 32601), (83.9, 179.9, 32660)],
)
def test_the_zone_follows_the_longitude_and_the_side_of_the_equator(
    lat: float, lon: float, code: int
) -> None:
    assert utm_for(lat, lon) == f"EPSG:{code}"


def test_there_is_no_zone_at_the_poles() -> None:
    with pytest.raises(InputError, match="there is no UTM zone at latitude 85"):
        utm_for(85.0, 0.0)


def test_an_area_across_the_180th_meridian_is_no_empty_one() -> None:
    # The register gives 98.69 E to 68 W for this one.
    northing, easting = project_geographic(np.array([-17.0]), np.array([179.0]), "EPSG:3832")
    assert in_area(northing, easting, "EPSG:3832")
    northing, easting = project_geographic(np.array([10.0]), np.array([20.0]), "EPSG:3832")
    assert not in_area(northing, easting, "EPSG:3832")


def test_nonsense_lies_in_no_area() -> None:
    assert not in_area(1e9, 1e9, "EPSG:26918")
    assert not in_area(float("nan"), 5e5, "EPSG:26918")


def test_one_point_outside_is_enough() -> None:
    northing, easting = project_geographic(
        np.array([44.0, 34.0]), np.array([-72.5, -72.5]), "EPSG:5646"
    )
    assert in_area(northing[:1], easting[:1], "EPSG:5646")
    assert not in_area(northing, easting, "EPSG:5646")


def test_an_elevation_lowers_the_combined_factor() -> None:
    at_sea = grid_figures(180_000.0, 500_000.0, None, "EPSG:32145")
    up = grid_figures(180_000.0, 500_000.0, 1000.0, "EPSG:32145")
    assert at_sea.sea_level_factor == 1.0
    assert up.scale == at_sea.scale
    # 1,000 m of some 6,371,000 m, and as much below.
    assert 1 - up.sea_level_factor == pytest.approx(1 / 6372, rel=0, abs=1e-8)


def test_figures_far_off_the_grid_are_refused() -> None:
    with pytest.raises(InputError, match="a point lies outside what the projection of"):
        grid_figures(1e12, 1e12, None, "EPSG:26918")


def test_an_elevation_that_is_no_number_is_refused() -> None:
    with pytest.raises(ComputationError, match="nan m is not an elevation"):
        sea_level_factor(float("nan"))


def figures(convergence: float, elevation: float | None = None) -> GridFigures:
    return GridFigures(
        scale=1.0002,
        sea_level_factor=1.0,
        combined=1.0002,
        convergence=convergence,
        elevation=elevation,
    )


def test_sea_level_and_the_side_of_grid_north_are_told() -> None:
    size, north = ground_notices(figures(-0.01), 10.0, "")
    assert size.severity is Severity.NOTE
    assert "elevation factor 1, since no height is known" in size.text
    assert "farther apart" in size.text
    assert dict(north.values) == {"angle": Angle(0.01), "side": "west"}
    known, _ = ground_notices(figures(0.01, 5.0), 10.0, "a height of 16 ft, site: height")
    assert "no height is known" not in known.text
    assert dict(known.values)["height"] == "a height of 16 ft, site: height"


def test_a_factor_half_a_percent_off_is_refused() -> None:
    refuse_factor(1.0049, "EPSG:26918", in_area=True)
    refuse_factor(0.9951, "EPSG:26918", in_area=True)
    for factor in (1.0051, 0.9949):
        with pytest.raises(InputError, match=f"in EPSG:26918 is {factor} times the length on the"):
            refuse_factor(factor, "EPSG:26918", in_area=True)
    with pytest.raises(InputError, match="the lot does not lie where EPSG:26918 is used"):
        refuse_factor(1.2, "EPSG:26918", in_area=False)


@pytest.mark.parametrize("code", ["3857", "EPSG:3785", "epsg:900913", "EPSG:102100", "6871"])
def test_the_grid_of_map_tiles_is_known_by_its_code(code: str) -> None:
    assert is_map_tiles(code)
    assert not is_map_tiles("EPSG:5646")
    with pytest.raises(InputError, match=r"is the grid of web map tiles.* ask for the survey in"):
        refuse_map_tiles(code)


def test_a_change_of_datum_is_named_with_its_accuracy() -> None:
    # The old and the new datum of North America lie some 200 m apart in a middle UTM zone; the
    # register knows that tie to metres. One datum in two zones or two units is not a shift.
    shift = datum_shift(4_650_000.0, 500_000.0, "EPSG:26715", "EPSG:26915")
    assert shift is not None
    assert "NAD27" in shift.operation
    assert shift.accuracy is None or shift.accuracy > 0.01
    assert datum_shift(4_650_000.0, 500_000.0, "EPSG:26915", "EPSG:26914") is None
    assert datum_shift(4_650_000.0, 500_000.0, "EPSG:32615") is None
    to_degrees = datum_shift(4_650_000.0, 500_000.0, "EPSG:26715")
    assert to_degrees is not None
    assert to_degrees.operation.startswith("NAD27 to WGS 84")


def test_a_place_without_bounds_lies_in_no_area() -> None:
    assert not in_area(1e99, 1e99, "EPSG:3857")
