"""State plane and UTM points, grid against ground, and both feet, against printed values.

Tolerance: half the last printed digit (and the rounding of the computation), but where the test
says that the source itself rounded on the way.
"""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from staking.crs import (
    grid_figures,
    in_area,
    project_geographic,
    resolve,
    to_crs,
    to_geographic,
    utm_for,
)
from staking.errors import InputError
from staking.notices import Length
from staking.site.plane.grid_factor import GridFigures, ground_notices, sea_level_factor
from staking.site.plane.ground_plane import GroundPlane
from staking.units import FOOT, US_SURVEY_FOOT, Unit


def dms(degrees: int, minutes: int, seconds: float) -> float:
    return degrees + minutes / 60 + seconds / 3600


def project(lat: float, lon: float, crs: str) -> tuple[float, float]:
    # On the grid's own datum, as the sources print it.
    northing, easting = project_geographic(np.array([lat]), np.array([lon]), crs, datum=None)
    return float(northing[0]), float(easting[0])


POINTS = [
    # NOAA/NGS datasheet JV7114, SPC line MT.
    ("EPSG:26985", dms(39, 0, 38.66215), -dms(77, 9, 15.14805), 149209.682, 386644.192),
    # NOAA/NGS coordinate web service, latitude-longitude-height example: PA S, then UTM 17.
    ("EPSG:32129", 39.9999983008, -79.9999976143, 76470.391, 407886.681),
    ("EPSG:26917", 39.9999983008, -79.9999976143, 4428235.878, 585360.668),
    # NOAA/NGS datasheet HA1363, SPC KY1Z line.
    ("EPSG:3088", dms(37, 24, 17.73330), -dms(86, 14, 14.18027), 1119041.443, 1456861.006),
    # Tennessee DOT, Geodetic Reference Network reference manual, 2nd ed., GPS 1 and GPS 60.
    ("EPSG:32136", dms(36, 22, 6.43923), -dms(82, 10, 46.87679), 232489.480, 942754.124),
    ("EPSG:32136", dms(35, 8, 46.44496), -dms(89, 54, 24.04763), 97296.815, 244089.427),
]


@pytest.mark.parametrize(("crs", "lat", "lon", "northing", "easting"), POINTS)
def test_a_mark_comes_to_its_printed_metres(
    crs: str, lat: float, lon: float, northing: float, easting: float
) -> None:
    assert project(lat, lon, crs) == pytest.approx((northing, easting), rel=0, abs=0.0006)


@pytest.mark.parametrize(("crs", "lat", "lon", "northing", "easting"), POINTS)
def test_printed_metres_come_back_to_the_mark(
    crs: str, lat: float, lon: float, northing: float, easting: float
) -> None:
    found = to_geographic(np.array([northing]), np.array([easting]), crs, datum=None)
    # 0.6 mm is 6e-9 degree of latitude, 7e-9 of longitude at 40 degrees.
    assert [float(v[0]) for v in found] == pytest.approx([lat, lon], rel=0, abs=1e-8)


def test_maryland_in_us_survey_feet():
    """NOAA/NGS datasheet JV7114, SPC line sFT: the zone in feet, code 2248."""
    northing, easting = project(dms(39, 0, 38.66215), -dms(77, 9, 15.14805), "EPSG:2248")
    assert resolve("EPSG:2248").unit == "us-ft"
    assert northing / US_SURVEY_FOOT == pytest.approx(489532.10, rel=0, abs=0.006)
    assert easting / US_SURVEY_FOOT == pytest.approx(1268515.15, rel=0, abs=0.006)


def test_pennsylvania_in_both_feet():
    """NOAA/NGS coordinate web service, example: spcNorthing and spcEasting, usft and ift."""
    northing, easting = project(39.9999983008, -79.9999976143, "EPSG:2272")
    assert resolve("EPSG:2272").unit == "us-ft"
    assert northing / US_SURVEY_FOOT == pytest.approx(250886.607, rel=0, abs=0.0011)
    assert easting / US_SURVEY_FOOT == pytest.approx(1338208.220, rel=0, abs=0.0011)
    assert northing / FOOT == pytest.approx(250887.109, rel=0, abs=0.0011)
    assert easting / FOOT == pytest.approx(1338210.896, rel=0, abs=0.0011)


@pytest.mark.parametrize(
    ("crs", "northing", "easting", "convergence", "scale"),
    [
        # -01 27 35.22 and 00 38 34.18 as printed.
        ("EPSG:32129", 76470.391, 407886.681, -dms(1, 27, 35.22), 0.99999024),
        ("EPSG:2272", 76470.391, 407886.681, -dms(1, 27, 35.22), 0.99999024),
        ("EPSG:26917", 4428235.878, 585360.668, dms(0, 38, 34.18), 0.99968970),
    ],
)
def test_scale_and_convergence_are_those_printed(
    crs: str, northing: float, easting: float, convergence: float, scale: float
) -> None:
    """NOAA/NGS coordinate web service, example: spcConvergence, spcScaleFactor, utm..."""
    figures = grid_figures(northing, easting, None, crs)
    assert math.degrees(figures.convergence) == pytest.approx(convergence, rel=0, abs=1.7e-6)
    assert figures.scale == pytest.approx(scale, rel=0, abs=6e-9)
    assert figures.combined == figures.scale


def test_south_dakota_goes_to_utm_only_by_the_survey_foot():
    """J. Mahun, Open Access surveying text, Coordinate Systems self-study solution 3, question 1.

    The international foot would be 0.48 m and 0.58 m off.
    """
    northing, easting = 735056.25 * US_SURVEY_FOOT, 1002231.06 * US_SURVEY_FOOT
    n, e = to_crs(np.array([northing]), np.array([easting]), "EPSG:32134", "EPSG:26913")
    assert float(n[0]) == pytest.approx(5071141.376, rel=0, abs=0.001)
    assert float(e[0]) == pytest.approx(594138.761, rel=0, abs=0.001)
    figures = grid_figures(northing, easting, None, "EPSG:32134")
    # -2 40 53.5, printed to a tenth of a second.
    assert math.degrees(figures.convergence) == pytest.approx(
        -dms(2, 40, 53.5), rel=0, abs=0.06 / 3600
    )


def test_transverse_mercator_of_the_projection_manual():
    """J. P. Snyder, Map Projections: A Working Manual, USGS PP 1395, app. A, pp. 269-270.

    Its example is UTM zone 18 on the Clarke ellipsoid of 1866 without the false easting.
    """
    northing, easting = project(40.5, -73.5, "EPSG:26718")
    assert easting - 500_000 == pytest.approx(127106.5, rel=0, abs=0.1)
    assert northing == pytest.approx(4484124.4, rel=0, abs=0.1)
    figures = grid_figures(northing, easting, None, "EPSG:26718")
    assert figures.scale == pytest.approx(0.9997989, rel=0, abs=6e-8)


def test_lambert_conformal_conic_of_the_guidance_note():
    """IOGP Guidance Note 7 part 2, method 9802 example: Texas South Central on NAD27."""
    northing, easting = project(28.5, -96.0, "EPSG:32040")
    assert easting / US_SURVEY_FOOT == pytest.approx(2963503.91, rel=0, abs=0.006)
    assert northing / US_SURVEY_FOOT == pytest.approx(254759.80, rel=0, abs=0.006)


def test_transverse_mercator_of_the_guidance_note():
    """IOGP Guidance Note 7 part 2, method 9807 example.

    The note seems to compute with the scale rounded to 0.9996013, which explains 6 and 8 mm.
    """
    northing, easting = project(50.5, 0.5, "EPSG:27700")
    assert easting == pytest.approx(577274.99, rel=0, abs=0.011)
    assert northing == pytest.approx(69740.50, rel=0, abs=0.011)


R = 20_906_000.0
GEOID = -111.2


@pytest.mark.parametrize(
    ("ground", "heights", "scales", "grid"),
    [
        (4282.11, (1177.0, 1085.0), (0.999969570, 0.999968421), 4281.768),
        (5146.20, (1177.0, 1340.0), (0.999969570, 0.999968894), 5145.760),
    ],
)
def test_a_ground_distance_reduced_to_state_plane(
    ground: float, heights: tuple[float, float], scales: tuple[float, float], grid: float
) -> None:
    """J. Mahun, Open Access surveying text, Horizontal Coordinate Systems, ch. K, secs. 1-2.

    The height of A1 is printed 1805 in its tables; only 1085 gives the printed distances. The
    source rounds its factors on the way, hence 0.002 ft.
    """
    factor = sea_level_factor(sum(heights) / 2 + GEOID, R)
    assert ground * factor * sum(scales) / 2 == pytest.approx(grid, rel=0, abs=0.002)


def test_a_ground_distance_reduced_to_utm():
    """J. Mahun, as before, ch. L, secs. 1-2, tables L-2 to L-4: line Jerry-A1, m.

    The source rounds its factors on the way, hence 0.6 mm.
    """
    factor = sea_level_factor((1177 + 1085) / 2 + GEOID, R)
    grid = 4282.11 * US_SURVEY_FOOT * factor * 1.000209087
    assert grid == pytest.approx(1305.3993, rel=0, abs=0.0006)


def test_the_combined_factor_at_a_mark():
    """J. Mahun, as before, ch. L: scale 1.00021177, H 358.6 m and N -33.902 m at Jerry."""
    combined = 1.00021177 * sea_level_factor(358.6 - 33.902, R * US_SURVEY_FOOT)
    assert combined == pytest.approx(1.00016082, rel=0, abs=1.5e-8)


def at_a_mile() -> GridFigures:
    factor = sea_level_factor(5280 * FOOT, 20_906_000 * FOOT)
    return GridFigures(
        scale=0.99990,
        sea_level_factor=factor,
        combined=0.99990 * factor,
        convergence=0.0,
        elevation=5280 * FOOT,
    )


def test_grid_and_ground_a_mile_up():
    """Arithmetic, no source: scale 0.99990 at 5,280 ft with a radius of 20,906,000 ft.

    20,906,000 / 20,911,280 = 0.99974750, times 0.99990 is 0.99964753; 1,000 ft on the ground are
    0.352 ft less on the grid, 36 ft 0.152 in.
    """
    figures = at_a_mile()
    assert figures.combined == pytest.approx(0.99964753, rel=0, abs=5e-9)
    assert 1000 * (1 - figures.combined) == pytest.approx(0.352, rel=0, abs=0.0005)
    building, _ = ground_notices(figures, 36 * FOOT, "a height of 5280 ft, site: height")
    difference = dict(building.values)["difference"]
    assert isinstance(difference, Length)
    assert difference.metres / 0.0254 == pytest.approx(0.152, rel=0, abs=0.0005)
    assert dict(building.values)["combined"] == "0.99964753"
    assert building.text.endswith("{difference} nearer together")


def test_a_way_over_the_grid_is_longer_on_the_ground():
    """The same case over 999.64753 ft of grid: 1,000 ft on the ground."""
    plane = GroundPlane(factor=at_a_mile().combined, northing0=1e6, easting0=2e6)
    north, east = plane.onto(np.array([[1e6, 2e6 + 999.64753 * FOOT]]))[0]
    assert (north, east / FOOT) == pytest.approx((0.0, 1000.0), rel=0, abs=1e-4)


def test_both_feet_are_those_of_the_federal_register():
    """85 FR 62698 (5 October 2020): 0.3048 m exactly and 1200/3937 m exactly."""
    assert Fraction(str(Unit.FT.metres)) == Fraction(3048, 10000)
    assert Fraction(1200, 3937) == Fraction(Unit.US_FT.metres).limit_denominator(10_000)
    # 304,800 m are 1,000,000 international and 999,998 survey feet, exactly.
    assert 304_800 / Unit.FT.metres == pytest.approx(1_000_000, rel=0, abs=1e-9)
    assert 304_800 / Unit.US_FT.metres == pytest.approx(999_998, rel=0, abs=1e-9)


def test_the_feet_of_a_state_plane_coordinate_differ_by_thirteen_feet():
    """85 FR 62698: two parts in a million, of 6,560,000 ft 13.12 ft."""
    metres = 6_560_000 * Unit.US_FT.metres
    assert metres / Unit.FT.metres - 6_560_000 == pytest.approx(13.12, rel=0, abs=0.005)


@pytest.mark.parametrize(
    ("crs", "unit", "metric"),
    [("EPSG:2256", "ft", "EPSG:32100"), ("EPSG:2248", "us-ft", "EPSG:26985")],
)
def test_a_zone_in_feet_and_the_same_in_metres_agree(crs: str, unit: str, metric: str) -> None:
    # The register prints the false easting of a zone in feet to 0.001 ft: 1312333.333 us-ft.
    area = resolve(crs).area_of_use
    assert area is not None
    lat, lon = (area[1] + area[3]) / 2, (area[0] + area[2]) / 2
    assert resolve(crs).unit == unit
    assert project(lat, lon, crs) == pytest.approx(project(lat, lon, metric), rel=0, abs=1.6e-4)


def test_scale_and_convergence_agree_with_the_geodesic():
    """Reference: GeographicLib's solution of the inverse problem (Karney 2013) on GRS 80."""
    n1, e1 = 76470.391, 407886.681
    n2, e2 = n1 + 300.0, e1 + 400.0
    lat, lon = to_geographic(np.array([n1, n2]), np.array([e1, e2]), "EPSG:32129", datum=None)
    grs80 = Geodesic(6378137.0, 1 / 298.257222101)
    line = grs80.Inverse(lat[0], lon[0], lat[1], lon[1])
    middle = grid_figures((n1 + n2) / 2, (e1 + e2) / 2, None, "EPSG:32129")
    start = grid_figures(n1, e1, None, "EPSG:32129")
    assert 500.0 / middle.scale == pytest.approx(line["s12"], rel=0, abs=1e-5)
    # Over 500 m the geodesic and the grid line part by some hundredths of a second at most.
    grid_azimuth = line["azi1"] - math.degrees(start.convergence)
    assert grid_azimuth == pytest.approx(math.degrees(math.atan2(400, 300)), rel=0, abs=3e-5)


def test_a_place_has_the_utm_zone_that_its_source_prints():
    """NOAA/NGS coordinate web service, example: UTM 17 at 40 north, 80 west."""
    assert utm_for(39.9999983008, -79.9999976143) == "EPSG:32617"


def test_a_mark_is_in_the_area_of_its_zone_and_swapped_it_is_not():
    """NOAA/NGS datasheet JV7114."""
    assert in_area(149209.682, 386644.192, "EPSG:26985")
    assert not in_area(386644.192, 149209.682, "EPSG:26985")
    with pytest.raises(InputError, match="is latitude and longitude, not a plane grid"):
        in_area(39.0, -77.0, "EPSG:4269")
