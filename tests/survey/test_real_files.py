"""Every real survey file against the counts and extents listed with it in LICENSES.md.

The figures were counted from the files by other programs and stand in
``tests/data/surveys/LICENSES.md`` beside each file's origin and licence; here they are again, as
northing, easting and elevation in the file's own unit, or as latitude, longitude and elevation
where the file is in degrees.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from staking.crs import to_geographic
from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.read import read_survey
from staking.units import Unit

DATA = Path(__file__).resolve().parents[1] / "data" / "surveys"

Span = tuple[float, float]

# What has to be said of the file, count, northings, eastings, elevations.
ON_A_GRID: dict[str, tuple[dict[str, object], int, Span, Span, Span | None]] = {
    "excavation_site_features_point_north_east_header.csv": (
        {"unit": "m"}, 556,
        (4982.179404, 5009.102467), (4987.157784, 5024.652501), (99.930104, 120.448670)),
    "excavation_day_point_north_east_rows_without_name_or_coordinates.csv": (
        {"unit": "m", "skip_bad_lines": True}, 1137,
        (5009, 5020), (4985.456894, 5006), (97.783153, 100.795)),
    "excavation_day_header_y_x_z_date_column.csv": (
        {"unit": "m"}, 223,
        (5009.731999, 5020), (4985.498924, 5006), (98.609058, 101.112179)),
    "excavation_day_point_east_north_empty_columns.csv": (
        {"unit": "m"}, 117,
        (5010.373458, 5020), (4985.533521, 5006), (100.37, 100.886064)),
    "excavation_season_12k_points_point_north_east.csv": (
        {"unit": "m"}, 12244, (5000, 5020), (4985.552, 5003), (97.656113, 102.010230)),
    "experiment_two_shots_per_object_repeated_ids.csv": (
        {"unit": "m"}, 300, (30.894, 41.342), (79.519, 89.138), (1202.51514, 1203.01855)),
    "valley_topographic_survey_us_feet_point_north_east_codes.csv": (
        {"unit": "us-ft"}, 689,
        (242916.528, 244561.184), (2384370.48, 2386110.667), (303.153, 363.83)),
    "stream_cross_sections_us_feet_point_north_east_2004.csv": (
        {"unit": "us-ft"}, 260,
        (243241.1970, 244370.8458), (2384940.061, 2385646.628), (305.914, 325.189)),
    "geodetic_stations_name_zone_e_n_no_header_no_elevation.csv": (
        {"unit": "m", "columns": ("point", "-", "easting", "northing")}, 128,
        (5241838.356, 8616142.527), (198890.776, 776730.778), None),
    "geodetic_stations_fixed_width_many_columns.dat": (
        {"unit": "m",
         "columns": ("point", "-", "easting", "northing", "-", "-", "-", "elevation")}, 109,
        (5260778.6521, 8844755.6334), (192975.0362, 796689.1349), (4.3728, 1206.0548)),
    "beach_profile_quoted_header_id_x_y_elevation.csv": (
        {"unit": "m"}, 1024,
        (3869689.278, 3870008.949), (392586.480, 392873.601), (-0.299, 7.030)),
    "marsh_sites_bom_northing_easting_labels_swapped.csv": (
        {"crs": "EPSG:27700"}, 21, (582692, 603967), (193767, 221284), None),
    "airborne_lidar_columns_out_of_order_quoted_header.txt": (
        {"unit": "ft"}, 106, (848977.79, 853362.37), (635616.31, 638864.60), (407.35, 536.84)),
    "ground_1m_grid_40000_points_derived.xyz": (
        {"crs": "EPSG:26915"}, 40000,
        (5150585.925, 5150784.925), (429352.813, 429551.813), (379.659, 402.044)),
    "landxml12_metre_nested_point_groups_other_namespace.xml": (
        {}, 37, (6782580.941, 6783120.054), (21530243.302, 21531270.983), (16.272, 19.586)),
    "landxml12_metre_rock_surface_breaklines_other_namespace.xml": (
        {}, 2037, (6782553.107, 6783126.792), (21530180.582, 21531239.163), (13.809, 21.948)),
    "geojson_cadastral_plan_148_points_with_grid_coordinates.geojson": (
        {}, 148, (6397431.997, 6397932.575), (379723.701, 380195.576), None),
    "geojson_shore_boundary_string_repeated_id.geojson": (
        {}, 23, (198769.851, 198819.695), (40594.721, 40619.806), None),
    "dxf_r12_eleven_measured_points_lines_labels.dxf": (
        {"unit": "m"}, 11, (-0.827625, 0.066894), (-0.116359, 1.080163), (-1.078038, 0.286172)),
}  # fmt: skip

# Count, latitudes, longitudes, elevations.
IN_DEGREES: dict[str, tuple[int, Span, Span, Span | None]] = {
    "airborne_lidar_hash_comments_lon_lat_z_spaces.txt": (
        998, (78.300445, 78.321121), (301.214787 - 360, 301.341996 - 360), (1956.097, 1961.835)),
    "gpx10_waypoints_some_without_height_and_track.gpx": (
        7, (45.735200, 45.795350), (14.288633, 14.377517), (-0.114380, -0.114380)),
    "gpx11_40_waypoints_no_height_no_name_no_namespace.gpx": (
        40, (51.168460, 51.231123), (6.671617, 6.793890), None),
    "kml_101_named_places_points.kml": (
        101, (39.310278, 70.274722), (-168.898056, -123.844722), (0, 0)),
}  # fmt: skip

# What the refusal says.
REFUSED: dict[str, str] = {
    "geojson_three_points_latitude_longitude_swapped.geojson": (
        r"121\.444417277 where the latitude belongs.*latitude and longitude are swapped"
    ),
}

# Placed by its GEODATA, turned against its own axes: tests/survey/test_dxf.py works that out.
PLACED = "dxf_large_building_outline_with_geodata.dxf"


def read(name: str, settings: dict[str, object]) -> SurveyPoints:
    return read_survey(DATA / name, SurveySettings(**settings))  # type: ignore[arg-type]


def span(values: np.ndarray, unit: str = "m") -> Span | None:
    known = values[~np.isnan(values)] / Unit(unit).metres
    return (float(known.min()), float(known.max())) if len(known) else None


def same(found: Span | None, listed: Span | None, within: float) -> bool:
    if found is None or listed is None:
        return found is listed
    return max(abs(a - b) for a, b in zip(found, listed, strict=True)) <= within


def test_every_file_of_the_folder_is_read_or_refused_here():
    there = {path.name for path in DATA.iterdir() if path.is_file()}
    licences = {name for name in there if name.startswith("LICENSE")}
    assert there - licences == {*ON_A_GRID, *IN_DEGREES, *REFUSED, PLACED}


@pytest.mark.parametrize("name", ON_A_GRID)
def test_counts_and_extents_on_a_grid_are_those_listed(name: str):
    settings, count, north, east, level = ON_A_GRID[name]
    found = read(name, settings)
    assert found.count == count
    # Listed to the last digit of the files, at most six; half of it and what a double adds.
    assert same(span(found.northing, found.unit), north, 6e-7)
    assert same(span(found.easting, found.unit), east, 6e-7)
    assert same(span(found.elevation, found.unit), level, 6e-7)


@pytest.mark.parametrize("name", IN_DEGREES)
def test_counts_and_extents_in_degrees_are_those_listed(name: str):
    count, north, east, level = IN_DEGREES[name]
    found = read(name, {})
    assert found.count == count
    assert found.crs is not None
    latitude, longitude = to_geographic(found.northing, found.easting, found.crs)
    # Listed to a millionth of a degree. The gazetteer spreads over a country, and a projection
    # turned back 60 degrees off its middle gives the degrees again to a few millionths.
    assert same(span(latitude), north, 6e-7 if count != 101 else 1e-5)
    assert same(span(longitude), east, 6e-7 if count != 101 else 1e-5)
    assert same(span(found.elevation), level, 6e-4)


@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_is_wrong_is_refused_for_what_is_wrong(name: str):
    with pytest.raises(InputError, match=REFUSED[name]):
        read(name, {})


def test_a_drawing_in_inches_has_as_many_points_as_listed():
    assert (read(PLACED, {}).count, read(PLACED, {}).unit) == (16, "in")


def test_labels_that_are_swapped_are_told_with_both_places():
    # As labelled the sites lie in the sea off the west of Scotland, the other way round in Essex.
    found = read("marsh_sites_bom_northing_easting_labels_swapped.csv", {"crs": "EPSG:27700"})
    (told,) = [each for each in found.notices if each.kind == "labels-unproved"]
    assert "see that the first is the site" in told.text


def test_a_surface_and_lines_have_as_many_parts_as_listed():
    rock = read("landxml12_metre_rock_surface_breaklines_other_namespace.xml", {})
    (surface,) = rock.surfaces
    assert (len(surface.faces), sum(line.is_break_line for line in rock.lines)) == (3244, 67)
    plan = read("geojson_cadastral_plan_148_points_with_grid_coordinates.geojson", {})
    assert len(plan.lines) == 188 + 45
    shore = read("geojson_shore_boundary_string_repeated_id.geojson", {})
    assert len(shore.lines) == 23 + 1
    measured = read("dxf_r12_eleven_measured_points_lines_labels.dxf", {"unit": "m"})
    assert len(measured.lines) == 10
    waypoints = read("gpx10_waypoints_some_without_height_and_track.gpx", {})
    assert sum(len(line.vertices) for line in waypoints.lines) == 296
