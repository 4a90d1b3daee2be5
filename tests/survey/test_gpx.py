"""GPX: two real files, and what the format leaves open."""

import io
from pathlib import Path

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from staking import crs
from staking.errors import InputError
from staking.notices import Severity
from staking.points import SurveySettings
from staking.survey.gpx import parse_gpx
from staking.survey.read import read_survey

DATA = Path(__file__).parents[1] / "data" / "surveys"
HALF_DIGIT = 0.5e-6


def kinds(found):
    return {notice.kind for notice in found.notices}


def read(body, **settings):
    text = f'<gpx version="1.1">{body}</gpx>'
    return parse_gpx(io.BytesIO(text.encode()), "a.gpx", SurveySettings(**settings))


def extents(found):
    lat, lon = crs.to_geographic(found.northing, found.easting, found.crs)
    return lat.min(), lat.max(), lon.min(), lon.max()


def test_version_1_0_waypoints_and_track_of_a_lake_shore():
    # Counts and extents as listed with the data: 7 waypoints, 6 with elevation, 296 track points.
    found = read_survey(DATA / "gpx10_waypoints_some_without_height_and_track.gpx")
    assert found.format == "GPX"
    assert found.count == 7
    assert np.isnan(found.elevation).sum() == 1
    assert extents(found) == pytest.approx((45.735200, 45.795350, 14.288633, 14.377517), abs=1e-6)
    assert sum(len(line.vertices) for line in found.lines) == 296
    levels = np.concatenate([line.vertices[:, 2] for line in found.lines])
    assert (np.nanmin(levels), np.nanmax(levels)) == pytest.approx((506.752, 579.332), abs=5e-4)
    assert found.names[1] == "BACK T TH"
    assert found.descriptions[1] == "BACK TO THE ROOTS"


def test_the_same_height_everywhere_is_told_to_be_none():
    found = read_survey(DATA / "gpx10_waypoints_some_without_height_and_track.gpx")
    assert {"constant-elevation", "missing-elevations", "gpx-accuracy"} <= kinds(found)


def test_waypoints_without_name_and_namespace_are_numbered():
    found = read_survey(DATA / "gpx11_40_waypoints_no_height_no_name_no_namespace.gpx")
    assert found.count == 40
    assert list(found.names) == [str(number) for number in range(1, 41)]
    assert np.isnan(found.elevation).all()
    assert extents(found) == pytest.approx(
        (51.168460, 51.231123, 6.671617, 6.793890), abs=HALF_DIGIT
    )
    assert {"points-numbered", "no-elevations"} <= kinds(found)


def test_a_phones_file_is_told_to_be_useless_for_layout():
    found = read('<wpt lat="40" lon="-80"/>')
    told = next(notice for notice in found.notices if notice.kind == "gpx-accuracy")
    assert told.severity is Severity.WARNING
    assert "useless to lay out" in told.text


def test_the_utm_zone_is_taken_where_no_system_is_given_and_said():
    found = read('<wpt lat="40" lon="-81"/>')
    assert found.crs == "EPSG:32617"
    # On the central meridian of zone 17 the easting is 500 km, and the northing 0.9996 of the
    # meridian's arc, which GeographicLib (PyPI, C. Karney) gives.
    arc = Geodesic.WGS84.Inverse(0, -81, 40, -81)["s12"]
    assert found.easting[0] == pytest.approx(500_000, abs=1e-6)
    assert found.northing[0] == pytest.approx(0.9996 * arc, abs=1e-5)
    assert "projected" in kinds(found)


def test_the_system_asked_for_is_taken_with_its_unit():
    found = read('<wpt lat="40.4" lon="-80"/>', crs="EPSG:2272")
    assert (found.crs, found.unit) == ("EPSG:2272", "us-ft")


def test_latitude_and_longitude_as_the_asked_system_still_become_a_grid():
    found = read('<wpt lat="40" lon="-81"/>', crs="EPSG:4326")
    assert found.crs == "EPSG:32617"


def test_the_middle_is_found_across_the_180th_meridian():
    found = read('<wpt lat="-17" lon="179.99"/><wpt lat="-17" lon="-179.99"/>')
    ground = Geodesic.WGS84.Inverse(-17, 179.99, -17, -179.99)["s12"]
    # At the edge of its zone the grid is longer than the ground by up to a thousandth.
    assert np.ptp(found.easting) == pytest.approx(ground, abs=0.001 * 2130)
    assert "not-one-site" not in kinds(found)


def test_a_given_number_is_not_given_again():
    found = read('<wpt lat="40" lon="-80"/><wpt lat="40" lon="-80"><name>1</name></wpt>')
    assert list(found.names) == ["2", "1"]


def test_a_track_alone_counts_its_vertices_and_says_so():
    points = '<trkpt lat="40" lon="-80"/><trkpt lat="40.00100001" lon="-80"/>'
    found = read(f"<trk><name>walk</name><trkseg>{points}</trkseg></trk>")
    assert found.count == 2
    assert [line.name for line in found.lines] == ["walk"]
    assert "vertices-counted" in kinds(found)


def test_a_route_is_a_line_under_its_own_name():
    points = '<rtept lat="40" lon="-80"><name>a</name></rtept><rtept lat="40.00100001" lon="-80"/>'
    found = read(f'<wpt lat="40" lon="-80"/><rte><name>way in</name>{points}</rte>')
    assert [line.name for line in found.lines] == ["way in"]
    assert found.count == 1


def test_a_track_of_one_point_is_left_out_and_told():
    found = read('<wpt lat="40" lon="-80"/><trk><trkseg><trkpt lat="40" lon="-80"/></trkseg></trk>')
    assert not found.lines
    assert "tracks-of-one-point" in kinds(found)


def test_the_line_of_the_file_is_kept():
    found = read('\n<wpt lat="40" lon="-80"/>\n\n<wpt lat="40" lon="-80"/>')
    assert list(found.source_line) == [2, 4]


def test_faulty_waypoints_are_skipped_and_listed_where_that_is_asked():
    body = '<wpt lat="91" lon="0"/><wpt lat="40" lon="-80"/>'
    found = read(body, skip_bad_lines=True)
    assert found.count == 1
    told = next(notice for notice in found.notices if notice.kind == "bad-lines-skipped")
    assert dict(told.values)["lines"] == "line 1: a waypoint: the latitude 91 is beyond 90 degrees"


def test_all_faults_are_told_at_once():
    with pytest.raises(InputError, match="latitude 91") as caught:
        read('<wpt lat="91" lon="0"/><wpt lon="0"/>')
    assert len(caught.value.problems) == 2


def test_points_outside_the_area_of_the_asked_system_are_told():
    # EPSG:2272 is for southern Pennsylvania; the place is in Colorado.
    assert "outside-area" in kinds(read('<wpt lat="40" lon="-105"/>', crs="EPSG:2272"))
    assert "outside-area" not in kinds(read('<wpt lat="40" lon="-77"/>', crs="EPSG:2272"))
