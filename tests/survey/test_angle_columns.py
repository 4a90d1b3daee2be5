"""Degrees, minutes, seconds and letters in columns of their own, against the same in one field."""

from __future__ import annotations

import io

import numpy as np
import pytest

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.points_from_text import parse_delimited

# 42 + 0/60 + 1.5/3600 and 93 + 0/60 + 2.5/3600, and so on, worked out by hand to 12 places.
PLAIN = (
    "point,latitude,west-longitude,elev m\n"
    "1,42.000416666667,93.000694444444,280.1\n"
    "2,42.000583333333,93.000861111111,281.2\n"
)


def read(text: str, **settings: object) -> SurveyPoints:
    said = SurveySettings(**settings)  # type: ignore[arg-type]
    return parse_delimited(io.BytesIO(text.encode()), "lot.csv", said)


def same(found: SurveyPoints) -> None:
    wanted = read(PLAIN)
    assert list(found.names) == ["1", "2"]
    assert np.abs(found.northing - wanted.northing).max() < 1e-6
    assert np.abs(found.easting - wanted.easting).max() < 1e-6
    assert found.elevation.tolist() == [280.1, 281.2]


LETTERED = "1,42,00,01.50000,N,93,00,02.50000,W,280.1\n2,42,00,02.10000,N,93,00,03.10000,W,281.2\n"
SIGNED = "1,42,00,01.50000,-93,00,02.50000,280.1\n2,42,00,02.10000,-93,00,03.10000,281.2\n"


@pytest.mark.parametrize(
    "heading",
    [
        "point,lat deg,lat min,lat sec,N/S,lon deg,lon min,lon sec,E/W,elev m",
        "point,Lat D,Lat M,Lat S,Lat Dir,Long D,Long M,Long S,Long Dir,elev m",
        "point,LAT_DEG,LAT_MIN,LAT_SEC,LAT_HEMI,LON_DEG,LON_MIN,LON_SEC,LON_HEMI,elev m",
        "point,Latitude,min,sec,letter,Longitude,min,sec,letter,elev m",
        "point,Latitude,,,,Longitude,,,,elevation\n,deg,min,sec,N/S,deg,min,sec,E/W,m",
    ],
)
def test_headings_that_spread_an_angle_over_columns(heading: str) -> None:
    found = read(f"{heading}\n{LETTERED}")
    same(found)
    assert found.columns == (
        "point", "latitude", "latitude-minutes", "latitude-seconds", "latitude-letter",
        "longitude", "longitude-minutes", "longitude-seconds", "longitude-letter", "elevation",
    )  # fmt: skip


@pytest.mark.parametrize(
    "heading",
    [
        "point,lat deg,lat min,lat sec,lon deg,lon min,lon sec,elev m",
        "point,latitude,,,longitude,,,elev\n,D,M,S,D,M,S,m",
        "point,deg lat,min lat,sec lat,deg long,min long,sec long,elev m",
    ],
)
def test_a_sign_on_the_degrees_counts_for_the_whole_angle(heading: str) -> None:
    same(read(f"{heading}\n{SIGNED}"))


def test_a_sign_before_every_part_counts_once() -> None:
    text = SIGNED.replace("-93,00,", "-93,-00,-")
    same(read("point,lat deg,lat min,lat sec,lon deg,lon min,lon sec,elev m\n" + text))


@pytest.mark.parametrize("separator", [",", " ", "\t", ";"])
def test_columns_that_are_named_spread_an_angle_without_a_heading(separator: str) -> None:
    text = SIGNED.replace("-93", "93").replace(",", separator)
    columns = (
        "point", "latitude", "latitude-minutes", "latitude-seconds", "west-longitude",
        "longitude-minutes", "longitude-seconds", "elevation",
    )  # fmt: skip
    found = read(text, columns=columns)
    same(found)
    assert found.columns == columns


def test_minutes_with_decimals_need_no_seconds() -> None:
    text = (
        "point,lat deg,lat min,lon deg,lon min,elev m\n"
        "1,42,00.0250000,-93,00.0416666667,280.1\n2,42,00.0350000,-93,00.0516666667,281.2\n"
    )
    same(read(text))


def test_letters_in_columns_of_their_own_beside_decimal_degrees() -> None:
    text = (
        "point,latitude,N/S,longitude,E/W,elev m\n"
        "1,42.000416666667,N,93.000694444444,W,280.1\n"
        "2,42.000583333333,North,93.000861111111,West,281.2\n"
    )
    same(read(text))


def test_south_of_the_equator_just_under_a_degree() -> None:
    text = (
        "point,lat deg,lat min,lat sec,lon deg,lon min,lon sec\n1,-0,30,00.00000,30,15,00.00000\n"
    )
    whole = "point,latitude,longitude\n1,-0.500000000,30.250000000\n"
    assert read(text).northing[0] == pytest.approx(read(whole).northing[0], abs=1e-6)


def test_grid_coordinates_win_over_degrees_beside_them() -> None:
    text = (
        "point,northing,easting,lat deg,lat min,lat sec,lon deg,lon min,lon sec\n"
        "1,5000.5,4000.5,42,00,01.5,-93,00,02.5\n"
    )
    assert read(text, unit="m").northing.tolist() == [5000.5]


def test_a_latitude_counted_south_is_still_one_column() -> None:
    text = "point,Lat S,Lon E\n1,33.86130000,151.20920000\n"
    assert read(text).columns == ("point", "south-latitude", "longitude")


def test_the_remedy_for_west_names_every_column() -> None:
    text = SIGNED.replace("-93", "93")
    heading = "point,lat deg,lat min,lat sec,lon deg,lon min,lon sec,elev m\n"
    with pytest.raises(InputError) as fault:
        read(heading + text, crs="EPSG:26915")
    assert str(fault.value).endswith(
        "give --columns point,latitude,latitude-minutes,latitude-seconds,west-longitude,"
        "longitude-minutes,longitude-seconds,elevation (columns: under site:)"
    )


def test_a_first_line_that_breaks_off_is_shown_as_it_is() -> None:
    # Latitudes that can only be longitudes, in a file whose first line has too few fields.
    text = "point,latitude,longitude\n1,-93.00069444\n2,-93.00086111,42.00058333\n"
    with pytest.raises(
        InputError, match=r"latitude -93.00069444, longitude [?] is not a place on the e"
    ):
        read(text)
