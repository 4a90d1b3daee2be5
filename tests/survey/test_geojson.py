"""GeoJSON: three real files, and what the format leaves open."""

import io
import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.geojson.points_from_features import parse_geojson
from staking.survey.read import read_survey

DATA = Path(__file__).parents[1] / "data" / "surveys"


def kinds(found):
    return {notice.kind for notice in found.notices}


def point(coordinates, **members):
    geometry = {"type": "Point", "coordinates": coordinates}
    return {"type": "Feature", "properties": {}, "geometry": geometry, **members}


def read(*features, settings=None, **members):
    document = {"type": "FeatureCollection", **members, "features": list(features)}
    return parse_geojson(
        io.BytesIO(json.dumps(document).encode()), "a.geojson", settings or SurveySettings()
    )


def test_a_cadastral_plan_is_read_by_its_grid_coordinates():
    # Counts and extents as listed with the data; no elevations.
    found = read_survey(DATA / "geojson_cadastral_plan_148_points_with_grid_coordinates.geojson")
    assert found.format == "GeoJSON"
    assert found.count == 148
    assert found.crs == "EPSG:7850"
    assert found.easting.min() == pytest.approx(379723.701, abs=5e-4)
    assert found.easting.max() == pytest.approx(380195.576, abs=5e-4)
    assert found.northing.min() == pytest.approx(6397431.997, abs=5e-4)
    assert found.northing.max() == pytest.approx(6397932.575, abs=5e-4)
    assert np.isnan(found.elevation).all()
    # 188 lines and 45 polygons, whose rings are lines too; 3 solids and 298 nulls are told.
    assert len(found.lines) == 188 + 45
    told = {each.kind: dict(each.values) for each in found.notices}
    assert told["no-geometry"]["count"] == 298
    assert told["foreign-geometry"]["kinds"] == "3 Polyhedron"


def test_a_repeated_id_is_kept_and_told():
    found = read_survey(DATA / "geojson_shore_boundary_string_repeated_id.geojson")
    assert found.count == 23
    assert "repeated-id" in kinds(found)
    assert found.easting.min() == pytest.approx(40594.721, abs=5e-4)
    assert found.easting.max() == pytest.approx(40619.806, abs=5e-4)
    assert found.northing.min() == pytest.approx(198769.851, abs=5e-4)
    assert found.northing.max() == pytest.approx(198819.695, abs=5e-4)


def test_latitude_before_longitude_is_refused_with_the_reason():
    with pytest.raises(InputError, match=r"121\.444417277 where the latitude belongs.*swapped"):
        read_survey(DATA / "geojson_three_points_latitude_longitude_swapped.geojson")


def test_longitude_and_latitude_alone_are_projected_to_their_utm_zone():
    found = read(point([9.0, 0.0, 12.5], id=7))
    # On the central meridian of zone 32 at the equator: easting 500 km, northing 0 by definition.
    assert found.crs == "EPSG:32632"
    assert found.easting[0] == pytest.approx(500_000, abs=1e-3)
    assert found.northing[0] == pytest.approx(0, abs=1e-3)
    assert found.elevation[0] == 12.5
    assert list(found.names) == ["7"]


def test_grid_coordinates_in_feet_are_in_the_feet_of_their_grid():
    place = {"type": "Point", "coordinates": [1000.0, 2000.0, 10.0]}
    found = read(point([-76.0, 39.0], place=place), coordRefSys="EPSG:2248")
    assert found.unit == "us-ft"
    assert found.easting[0] == pytest.approx(1000 * 1200 / 3937, abs=1e-9)
    assert found.elevation[0] == pytest.approx(10 * 1200 / 3937, abs=1e-9)


def test_a_place_far_from_its_longitude_and_latitude_is_told():
    place = {"type": "Point", "coordinates": [500_100.0, 0.0]}
    found = read(point([9.0, 0.0], place=place), coordRefSys="EPSG:32632")
    assert "place-disagrees" in kinds(found)
    assert found.easting[0] == 500_100.0


NORTH_FIRST = "EPSG:31468"
"""A grid whose northing the register lists first; its 4,500,000 m lie on 12 degrees east."""


@pytest.mark.parametrize(
    ("named", "coordinates"),
    [
        ("http://www.opengis.net/def/crs/EPSG/0/31468", [5_540_000.0, 4_500_000.0]),
        ("[EPSG:31468]", [5_540_000.0, 4_500_000.0]),
        ({"type": "Reference", "href": "[EPSG:31468]"}, [5_540_000.0, 4_500_000.0]),
        (["[EPSG:31468]", "[EPSG:7837]"], [5_540_000.0, 4_500_000.0]),
        # As files were written before the standard: the bare code, and the easting first.
        ("EPSG:31468", [4_500_000.0, 5_540_000.0]),
    ],
)
def test_how_the_grid_is_named_says_in_which_order_its_numbers_stand(named, coordinates):
    # OGC 21-045r1, requirement axis-order, and the clause on how reference systems are named.
    feature = point(None, place={"type": "Point", "coordinates": coordinates})
    feature["geometry"] = None
    found = read(feature, coordRefSys=named)
    assert found.crs == NORTH_FIRST
    assert (found.northing[0], found.easting[0]) == (5_540_000.0, 4_500_000.0)


def test_a_place_in_the_wrong_order_is_read_as_longitude_and_latitude_have_it():
    place = {"type": "Point", "coordinates": [4_500_000.0, 5_540_000.0]}
    beside = point([11.99852, 49.99636], place=place)
    found = read(beside, coordRefSys="http://www.opengis.net/def/crs/EPSG/0/31468")
    assert (found.northing[0], found.easting[0]) == (5_540_000.0, 4_500_000.0)
    assert {"place-order", "grid-coordinates"} <= kinds(found)
    assert "place-disagrees" not in kinds(found)


def test_a_grid_named_by_every_feature_is_the_files():
    place = {"type": "Point", "coordinates": [500_000.0, 0.0]}
    named = "http://www.opengis.net/def/crs/EPSG/0/32632"
    one, other = (point([9.0, 0.0], place=place, coordRefSys=each) for each in (named, "[EPSG:2]"))
    assert read(one, one).crs == "EPSG:32632"
    assert read(one, other).crs is None


def test_names_are_texts_as_they_stand():
    found = read(
        point([9.0, 1.0], properties={"name": "007"}),
        point([9.0, 1.0], properties={"name": "1E5", "description": "pin"}),
    )
    assert list(found.names) == ["007", "1E5"]
    assert list(found.descriptions) == ["", "pin"]


def test_nameless_points_are_numbered():
    found = read(point([9.0, 1.0]), point([9.0, 1.001]))
    assert list(found.names) == ["1", "2"]
    assert "points-numbered" in kinds(found)


def test_a_grid_named_as_before_the_standard_holds_for_the_geometry():
    crs = {"type": "name", "properties": {"name": "urn:ogc:def:crs:EPSG::27700"}}
    found = read(point([530207.568, 179366.79]), crs=crs)
    assert found.crs == "EPSG:27700"
    assert found.easting[0] == 530207.568


def test_a_height_may_be_null_and_a_longitude_may_not():
    found = read(point([10.5, 50.1, None]))
    assert np.isnan(found.elevation).tolist() == [True]
    with pytest.raises(InputError, match="None is not a number"):
        read(point([None, 50.1, 200.0]))


def test_bad_features_are_listed_where_they_may_be_skipped():
    features = (point([9.0, 1.0], id="1"), point([9.0, "x"], id="2"))
    with pytest.raises(InputError, match="point 2: x is not a number"):
        read(*features)
    found = read(*features, settings=SurveySettings(skip_bad_lines=True))
    assert list(found.names) == ["1"]
    assert "bad-lines-skipped" in kinds(found)


numbers = st.one_of(
    st.floats(allow_nan=False), st.integers(), st.none(), st.booleans(), st.text(max_size=3)
)
leaves = st.one_of(numbers, st.lists(numbers, max_size=4))
values = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(
            st.sampled_from([
                "type", "features", "geometry", "geometries", "coordinates", "properties", "place",
                "id", "name", "coordRefSys", "crs",
            ]),
            st.one_of(
                inner,
                st.sampled_from([
                    "Feature", "FeatureCollection", "Point", "LineString", "Polygon",
                    "GeometryCollection", "EPSG:32632",
                ]),
            ),
            max_size=5,
        ),
    ),
    max_leaves=20,
)  # fmt: skip


@given(values)
def test_any_json_gives_points_or_a_fault(document):
    try:
        found = parse_geojson(
            io.BytesIO(json.dumps(document).encode()), "a.geojson", SurveySettings()
        )
    except InputError:
        return
    assert isinstance(found, SurveyPoints)


@given(st.binary(max_size=200))
def test_any_bytes_give_points_or_a_fault(data):
    try:
        found = parse_geojson(io.BytesIO(b"{" + data), "a.geojson", SurveySettings())
    except InputError:
        return
    assert isinstance(found, SurveyPoints)
