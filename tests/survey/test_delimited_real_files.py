"""What is said, asked and refused of real point files; test_real_files.py has their extents."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.read import read_survey

DATA = Path(__file__).resolve().parents[1] / "data" / "surveys"

WITHOUT_A_UNIT = (
    "excavation_site_features_point_north_east_header.csv",
    "excavation_day_point_north_east_rows_without_name_or_coordinates.csv",
    "excavation_day_header_y_x_z_date_column.csv",
    "excavation_day_point_east_north_empty_columns.csv",
    "excavation_season_12k_points_point_north_east.csv",
    "experiment_two_shots_per_object_repeated_ids.csv",
    "valley_topographic_survey_us_feet_point_north_east_codes.csv",
    "stream_cross_sections_us_feet_point_north_east_2004.csv",
    "beach_profile_quoted_header_id_x_y_elevation.csv",
    "marsh_sites_bom_northing_easting_labels_swapped.csv",
)


def read(name: str, **settings: object) -> SurveyPoints:
    return read_survey(DATA / name, SurveySettings(**settings))  # type: ignore[arg-type]


def kinds(points: SurveyPoints) -> set[str]:
    return {notice.kind for notice in points.notices}


@pytest.mark.parametrize("name", WITHOUT_A_UNIT)
def test_a_file_that_does_not_say_its_unit_is_not_read_without(name: str) -> None:
    with pytest.raises(InputError, match="nothing says whether the coordinates are metres, feet"):
        read(name)


def test_degrees_on_an_ice_cap_are_projected_and_said() -> None:
    points = read("airborne_lidar_hash_comments_lon_lat_z_spaces.txt")
    assert points.count == 998
    assert points.crs == "EPSG:32621"  # longitude 301.2, which is 58.8 west, lies in zone 21
    assert {"projected", "heading-in-comment", "elevation-unit-assumed"} <= kinds(points)
    levels = (np.nanmin(points.elevation), np.nanmax(points.elevation))
    np.testing.assert_allclose(levels, (1956.097, 1961.835), rtol=0, atol=1e-9)


def test_a_mark_for_no_elevation_is_no_elevation() -> None:
    points = read("excavation_site_features_point_north_east_header.csv", unit="m")
    missing = points.names[np.isnan(points.elevation)]
    assert list(missing) == ["2", "4"]
    assert {"elevation-marks", "missing-elevations"} <= kinds(points)


def test_rows_without_name_or_coordinates_are_shown_with_their_lines() -> None:
    with pytest.raises(InputError, match="3 of 1140 lines cannot be read") as fault:
        read("excavation_day_point_north_east_rows_without_name_or_coordinates.csv", unit="m")
    assert [problem.line for problem in fault.value.problems] == [1139, 1140, 1141, None]


def test_the_rows_left_out_are_listed() -> None:
    points = read(
        "excavation_day_point_north_east_rows_without_name_or_coordinates.csv",
        unit="m",
        skip_bad_lines=True,
    )
    left = [dict(n.values)["line"] for n in points.notices if n.kind == "line-left-out"]
    assert left == [1139, 1140, 1141]


def test_the_same_control_point_is_found_in_either_order_of_columns() -> None:
    points = read("excavation_day_point_east_north_empty_columns.csv", unit="m")
    at = list(points.descriptions).index("CP2")
    assert (points.northing[at], points.easting[at]) == (5010.768504, 4985.533521)


def test_ids_that_occur_twice_are_kept_and_said() -> None:
    points = read("experiment_two_shots_per_object_repeated_ids.csv", unit="m")
    (said,) = [n for n in points.notices if n.kind == "duplicate-names"]
    assert dict(said.values)["count"] == 150


def test_the_unit_comes_from_the_grid_where_only_the_grid_is_given() -> None:
    points = read("valley_topographic_survey_us_feet_point_north_east_codes.csv", crs="EPSG:2272")
    assert points.unit == "us-ft"
    assert "unit-from-crs" in kinds(points)
    # A positioning report of the same survey gives the base as 74292.312 m north.
    assert points.northing[0] == pytest.approx(74292.312, rel=0, abs=1.0)


def test_wrong_labels_that_the_area_allows_are_shown_both_ways() -> None:
    points = read("marsh_sites_bom_northing_easting_labels_swapped.csv", crs="EPSG:27700")
    assert "labels-unproved" in kinds(points)


def test_points_in_several_zones_are_said() -> None:
    name = "geodetic_stations_name_zone_e_n_no_header_no_elevation.csv"
    points = read(name, unit="m", columns=("point", "-", "easting", "northing"))
    assert "mixed-zones" in kinds(points)
    assert points.names[0] == "1770"


def test_the_size_of_numbers_does_not_tell_northing_from_easting() -> None:
    # In these stations the northing has seven digits; where false eastings are millions it is the
    # easting that has.
    said = "give --columns point,-,northing,easting or point,-,easting,northing"
    with pytest.raises(InputError, match=said):
        read("geodetic_stations_name_zone_e_n_no_header_no_elevation.csv", unit="m")


def test_two_possible_heights_without_a_heading_are_asked_for() -> None:
    with pytest.raises(InputError, match="nothing says which column is the elevation"):
        read("geodetic_stations_fixed_width_many_columns.dat", unit="m")


def test_lines_are_those_of_the_file() -> None:
    points = read("valley_topographic_survey_us_feet_point_north_east_codes.csv", unit="us-ft")
    assert list(points.source_line[:2]) == [2, 3]
    assert points.source_line[-1] == 690


def test_words_with_blanks_are_kept_whole() -> None:
    points = read("stream_cross_sections_us_feet_point_north_east_2004.csv", unit="us-ft")
    assert points.descriptions[0] == "JST XS GND"
