"""Degrees in every way that files write them, against arithmetic written out here."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.crs import to_geographic
from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.delimited.degrees import read_angle, unpacked
from staking.survey.delimited.points_from_text import parse_delimited

LATITUDE = 42 + 0 / 60 + 1.5 / 3600
LONGITUDE = -(93 + 30 / 60 + 2.25 / 3600)


def read(text: str, **settings: object) -> SurveyPoints:
    said = SurveySettings(**settings)  # type: ignore[arg-type]
    return parse_delimited(io.BytesIO(text.encode()), "lot.csv", said)


def place(points: SurveyPoints) -> tuple[float, float]:
    assert points.crs is not None
    lat, lon = to_geographic(points.northing[:1], points.easting[:1], points.crs)
    return float(lat[0]), float(lon[0])


# A hundred-millionth of a degree is 1.1 mm.
WITHIN = 1e-8


@pytest.mark.parametrize(
    "text",
    [
        "p,latitude (dms),longitude (dms),z\n1,42.0001500000,-93.3002250000,280\n",
        "p,lat dms,lon dms,z\n1,420001.500000,-933002.250000,280\n",
        "p,lat,lon,z\n1,42°00'01.500000\"N,93°30'02.250000\"W,280\n",
        "p,lat,lon,z\n1,42-00-01.500000,-93-30-02.250000,280\n",
        "p,lat,lon,z\n1,42 00 01.500000 N,93 30 02.250000 W,280\n",
        "p,lat,lon,z\n1,N42:00:01.500000,W93:30:02.250000,280\n",
        "p,lat,lon,z\n1,42d00m01.500000s,-93d30m02.250000s,280\n",
        "p,lat,lon,z\n1,42° 0.02500000' N,93° 30.03750000' W,280\n",
        "p,lat (dms),lon (dms) W,z\n1,42.0001500000,93.3002250000,280\n",
        "p,lat,west longitude,z\n1,42.0004166667,93.5006250000,280\n",
        "p,lat,lon,z\n1,42.0004166667 N,93.5006250000 W,280\n",
        "A1 42°00'01.500000\"N 93°30'02.250000\"W 280\nA2 42°00'01.6\"N 93°30'02.3\"W 281\n",
    ],
)
def test_one_place_in_every_way(text: str) -> None:
    assert place(read(text)) == pytest.approx((LATITUDE, LONGITUDE), abs=WITHIN)


def test_columns_that_are_named_say_how_degrees_are_written() -> None:
    columns = ("point", "latitude-dms", "west-longitude-dms", "elevation")
    points = read("1,42.00015000,93.30022500,280\n", columns=columns)
    assert place(points) == pytest.approx((LATITUDE, LONGITUDE), abs=WITHIN)
    # The words it gives read the file again.
    again = read("1,42.00015000,93.30022500,280\n", columns=points.columns)
    assert np.array_equal(again.easting, points.easting)


def test_the_same_digits_under_another_heading_are_another_place() -> None:
    packed = read("p,latitude (dms),longitude (dms)\n1,42.30000000,-93.00025000\n")
    plain = read("p,latitude,longitude\n1,42.30000000,-93.00025000\n")
    assert place(packed)[0] - place(plain)[0] == pytest.approx(0.2, abs=WITHIN)


@given(
    st.integers(0, 89),
    st.integers(0, 59),
    st.integers(0, 59_999_999).map(lambda n: n / 1e6),
    st.booleans(),
)
def test_packing_and_unpacking_lose_nothing(d: int, m: int, s: float, is_south: bool) -> None:
    sign = "-" if is_south else ""
    number = f"{sign}{d}.{m:02d}{s:09.6f}".replace(f"{s:09.6f}", f"{s:09.6f}".replace(".", ""))
    degrees = (-1 if is_south else 1) * (d + m / 60 + s / 3600)
    # A millionth of a second is 0.03 mm.
    assert unpacked(np.array([float(number)]))[0] == pytest.approx(degrees, abs=1e-6 / 3600)
    written = f"{d} {m} {s:.6f} {'S' if is_south else 'N'}"
    assert read_angle(written, "latitude") == pytest.approx(degrees, abs=1e-9 / 3600)


@given(st.text(alphabet="0123456789 .,-+:°'\"NSEWdms", max_size=16))
def test_any_text_is_an_angle_or_a_fault(text: str) -> None:
    try:
        value = read_angle(text, "latitude")
    except ValueError:
        return
    assert np.isfinite(value)


def test_coarse_positions_are_listed_and_not_laid_out_by() -> None:
    text = "p,latitude,longitude\n1,42.0004,-93.0007\n2,42.0006,-93.0009\n"
    with pytest.raises(InputError, match=r"steps of 11 m \(37 ft\)"):
        read(text)
    (said,) = [
        each for each in read(text, is_listing=True).notices if each.kind == "coarse-degrees"
    ]
    assert "useless to lay out by" in said.text


@pytest.mark.parametrize(("decimals", "kinds"), [(6, 1), (7, 1), (8, 0), (9, 0)])
def test_finer_positions_are_said_until_they_are_fine_enough(decimals: int, kinds: int) -> None:
    text = f"p,latitude,longitude\n1,{42.000416663:.{decimals}f},{-93.000694447:.{decimals}f}\n"
    assert sum(each.kind == "coarse-degrees" for each in read(text).notices) == kinds


def test_a_number_beyond_all_bounds_is_none_where_degrees_are_packed() -> None:
    text = "p,latitude (dms),longitude (dms)\n1,42.00015000,-93.00025000\n2,1e999,-93.00025000\n"
    with pytest.raises(InputError, match="line 3: the latitude “1e999” is not a number"):
        read(text)
