"""KML and KMZ: a real gazetteer, and what the format leaves open."""

import io
import zipfile
from pathlib import Path

import numpy as np
import pytest

from staking import crs
from staking.points import SurveySettings
from staking.survey.kml import parse_kml
from staking.survey.read import read_survey

DATA = Path(__file__).parents[1] / "data" / "surveys"


def kinds(found):
    return {notice.kind for notice in found.notices}


def placemark(inner, name="corner"):
    return f"<Placemark><name>{name}</name>{inner}</Placemark>"


def point(coordinates, name="corner"):
    return placemark(f"<Point><coordinates>{coordinates}</coordinates></Point>", name)


def read(body, **settings):
    text = f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{body}</Document></kml>'
    return parse_kml(io.BytesIO(text.encode()), "a.kml", SurveySettings(**settings))


@pytest.fixture(scope="module")
def gazetteer():
    return read_survey(DATA / "kml_101_named_places_points.kml")


def test_a_gazetteer_of_101_places_is_read_whole(gazetteer):
    # Counts and extents as listed with the data.
    assert gazetteer.count == 101
    lat, lon = crs.to_geographic(gazetteer.northing, gazetteer.easting, gazetteer.crs)
    found = (lat.min(), lat.max(), lon.min(), lon.max())
    assert found == pytest.approx((39.310278, 70.274722, -168.898056, -123.844722), abs=0.6e-6)
    assert not gazetteer.elevation.any()


def test_names_that_occur_twice_are_kept_and_told(gazetteer):
    told = next(notice for notice in gazetteer.notices if notice.kind == "duplicate-names")
    assert dict(told.values)["names"] == "Foggy Island, Horn Mountains"
    assert list(gazetteer.names).count("Foggy Island") == 2


def test_places_spread_over_a_country_are_told_to_be_no_site(gazetteer):
    assert {"not-one-site", "outliers", "constant-elevation"} <= kinds(gazetteer)


def test_longitude_comes_first_and_a_description_is_kept():
    body = placemark(
        "<description><![CDATA[rod & <b>cap</b>]]></description><ExtendedData>"
        "<Data name='a'><value>1</value></Data></ExtendedData>"
        "<Point><coordinates>-81,40,312.5</coordinates></Point>"
    )
    found = read(body)
    assert found.crs == "EPSG:32617"
    assert found.easting[0] == pytest.approx(500_000, abs=1e-6)
    assert found.elevation[0] == 312.5
    assert found.descriptions[0] == "rod & <b>cap</b>"


def test_a_name_after_the_geometry_still_names_it():
    body = (
        "<Placemark><Point><coordinates>-81,40</coordinates></Point><name>late</name></Placemark>"
    )
    assert list(read(body).names) == ["late"]


def test_the_name_of_a_folder_names_no_point():
    place = "<Placemark><Point><coordinates>-81,40</coordinates></Point></Placemark>"
    body = f"<Folder><name>lot</name>{place}</Folder>"
    assert list(read(body).names) == ["1"]


def test_blanks_after_the_commas_of_a_single_point_are_understood():
    found = read(point("\n -81, 40, 7 \n"))
    assert found.elevation[0] == 7


def test_lines_and_the_rings_of_polygons_are_lines():
    chain = "-81,40 -81.00100001,40 -81,40.001 -81,40"
    ring = f"<LinearRing><coordinates>{chain}</coordinates></LinearRing>"
    line = "<LineString><coordinates>-81,40,1 -81.00100001,40,2</coordinates></LineString>"
    body = point("-81,40") + placemark(
        f"<MultiGeometry>{line}<Polygon><outerBoundaryIs>{ring}</outerBoundaryIs></Polygon>"
        "</MultiGeometry>",
        "lot",
    )
    found = read(body)
    assert [(line.name, len(line.vertices)) for line in found.lines] == [("lot", 2), ("lot", 4)]
    assert np.isnan(found.lines[1].vertices[:, 2]).all()
    assert found.count == 1


def test_a_link_beside_points_is_not_followed_and_told():
    body = (
        point("-81,40")
        + "<NetworkLink><Link><href>file:///etc/hostname</href></Link></NetworkLink>"
    )
    assert "links-not-followed" in kinds(read(body))


def test_what_holds_no_point_is_passed_over_and_told():
    body = point("-81,40") + "<GroundOverlay><name>map</name></GroundOverlay>"
    assert "passed-over" in kinds(read(body))


@pytest.mark.parametrize("inner", ["doc.kml", "lot.KML", "deep/lot.kml"])
def test_a_kmz_is_read_like_its_kml(inner, tmp_path):
    path = tmp_path / "lot.kmz"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("files/picture.png", b"no picture")
        packed.writestr(inner, f"<kml>{point('-81,40,5')}</kml>")
    found = read_survey(path)
    assert (found.format, found.count, found.elevation[0]) == ("KML", 1, 5)


def test_the_main_file_of_a_kmz_is_taken_before_others(tmp_path):
    path = tmp_path / "lot.kmz"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("another.kml", f"<kml>{point('-81,40', 'wrong')}</kml>")
        packed.writestr("doc.kml", f"<kml>{point('-81,40', 'right')}</kml>")
    assert list(read_survey(path).names) == ["right"]


def test_faulty_places_are_skipped_and_listed_where_that_is_asked():
    found = read(point("200,40") + point("-81,40"), skip_bad_lines=True)
    assert found.count == 1
    assert "bad-lines-skipped" in kinds(found)
