"""LandXML: two real files of a national profile, and the format's other words."""

import io
from pathlib import Path

import numpy as np
import pytest

from staking.errors import InputError
from staking.points import SurveySettings
from staking.survey.landxml.points_from_landxml import parse_landxml
from staking.survey.read import read_survey

DATA = Path(__file__).parents[1] / "data" / "surveys"
METRIC = '<Units><Metric linearUnit="meter"/></Units>'
HALF_MILLIMETRE = 0.0005


def kinds(found):
    return {notice.kind for notice in found.notices}


def read(body, units=METRIC, namespace="http://www.landxml.org/schema/LandXML-1.2", **settings):
    text = f'<LandXML xmlns="{namespace}">{units}{body}</LandXML>'
    return parse_landxml(io.BytesIO(text.encode()), "a.xml", SurveySettings(**settings))


def points(*inner):
    return f"<CgPoints>{''.join(inner)}</CgPoints>"


def surface(definition, source="", name="ground"):
    return (
        f'<Surfaces><Surface name="{name}"><SourceData>{source}</SourceData>{definition}'
        "</Surface></Surfaces>"
    )


SQUARE = '<P id="10">0 0 1</P><P id="20">0 10 2</P><P id="30">10 10 3</P><P id="40">10 0 4</P>'


def tin(faces, pnts=SQUARE):
    return f'<Definition surfType="TIN"><Pnts>{pnts}</Pnts><Faces>{faces}</Faces></Definition>'


def extents(found):
    columns = (found.northing, found.easting, found.elevation)
    return [value for column in columns for value in (column.min(), column.max())]


def test_points_in_nested_groups_of_a_national_profile():
    # Count and extents as listed with the data.
    found = read_survey(DATA / "landxml12_metre_nested_point_groups_other_namespace.xml")
    assert (found.format, found.count, found.unit, found.crs) == ("LandXML", 37, "m", "EPSG:3875")
    assert extents(found) == pytest.approx(
        [6782580.941, 6783120.054, 21530243.302, 21531270.983, 16.272, 19.586], abs=HALF_MILLIMETRE
    )
    assert (found.names[0], found.descriptions[0], found.source_line[0]) == ("3036", "D2342", 23)
    assert "elevation-datum" in kinds(found)
    assert "outside-area" not in kinds(found)


def test_a_rock_surface_with_break_lines_of_a_national_profile():
    # Counts and extents as listed with the data.
    found = read_survey(DATA / "landxml12_metre_rock_surface_breaklines_other_namespace.xml")
    assert found.count == 2037
    assert [(len(each.vertices), len(each.faces)) for each in found.surfaces] == [(2037, 3244)]
    assert sum(line.is_break_line for line in found.lines) == 67
    assert extents(found) == pytest.approx(
        [6782553.107, 6783126.792, 21530180.582, 21531239.163, 13.809, 21.948], abs=HALF_MILLIMETRE
    )
    assert {"points-taken-from", "data-points"} <= kinds(found)


@pytest.mark.parametrize(
    "namespace",
    [
        "",
        "http://www.landxml.org/schema/LandXML-1.0",
        "http://www.landxml.org/schema/LandXML-1.1",
        "http://www.landxml.org/schema/LandXML-1.2",
        "http://www.landxml.org/schema/LandXML-2.0",
    ],
)
def test_every_version_of_the_namespace_is_read(namespace):
    found = read(points('<CgPoint name="1">10 20 30</CgPoint>'), namespace=namespace)
    assert extents(found) == [10, 10, 20, 20, 30, 30]


@pytest.mark.parametrize(
    ("system", "word", "unit", "metres"),
    [
        ("Metric", "meter", "m", 1.0),
        ("Metric", "millimeter", "mm", 0.001),
        ("Metric", "centimeter", "m", 0.01),
        ("Imperial", "foot", "ft", 0.3048),
        # 1200/3937 m to eleven decimals: 85 FR 62698, 5 October 2020.
        ("Imperial", "USSurveyFoot", "us-ft", 0.30480060960),
        ("Imperial", "inch", "in", 0.0254),
    ],
)
def test_each_unit_keeps_its_length(system, word, unit, metres):
    units = f'<Units><{system} linearUnit="{word}"/></Units>'
    found = read(points('<CgPoint name="1">1000 2000 3</CgPoint>'), units)
    assert found.unit == unit
    assert found.northing[0] == pytest.approx(1000 * metres, abs=1e-7)
    assert found.easting[0] == pytest.approx(2000 * metres, abs=1e-7)
    assert found.elevation[0] == pytest.approx(3 * metres, abs=1e-7)


def test_a_unit_that_is_only_converted_is_told():
    units = '<Units><Metric linearUnit="centimeter"/></Units>'
    assert "unit-converted" in kinds(read(points('<CgPoint name="1">1 2 3</CgPoint>'), units))


def test_the_unit_asked_for_counts_and_the_contradiction_is_told():
    found = read(points('<CgPoint name="1">1000 2000 3</CgPoint>'), unit="ft")
    assert found.northing[0] == pytest.approx(304.8, abs=1e-9)
    assert "unit-overruled" in kinds(found)


def test_a_file_without_unit_is_read_in_the_one_asked_for():
    found = read(points('<CgPoint name="1">1 2 3</CgPoint>'), units="", unit="us-ft")
    assert (found.unit, "unit-overruled" in kinds(found)) == ("us-ft", False)


def test_units_after_the_points_count_too():
    found = read(
        points('<CgPoint name="1">1000 2000</CgPoint>')
        + '<Units><Imperial linearUnit="foot"/></Units>',
        units="",
    )
    assert found.northing[0] == pytest.approx(304.8, abs=1e-9)


def test_elevations_said_to_be_in_another_unit_are_told():
    units = '<Units><Metric linearUnit="meter" elevationUnit="feet"/></Units>'
    assert "elevation-unit" in kinds(read(points('<CgPoint name="1">1 2 3</CgPoint>'), units))


def test_feet_of_elevation_beside_survey_feet_are_no_contradiction():
    units = '<Units><Imperial linearUnit="USSurveyFoot" elevationUnit="feet"/></Units>'
    assert "elevation-unit" not in kinds(read(points('<CgPoint name="1">1 2 3</CgPoint>'), units))


def test_a_point_without_elevation_has_none():
    found = read(points('<CgPoint name="1">10 20</CgPoint>', '<CgPoint name="2">1 2 3</CgPoint>'))
    assert np.isnan(found.elevation[0])
    assert "missing-elevations" in kinds(found)


def test_code_and_description_are_both_kept_and_not_twice():
    found = read(
        points(
            '<CgPoint name="1" code="IP" desc="iron pin">1 2</CgPoint>',
            '<CgPoint name="2" code="IP" desc="IP found">1 2</CgPoint>',
            '<CgPoint name="3" code="IP">1 2</CgPoint>',
            '<CgPoint name="4" desc="iron pin">1 2</CgPoint>',
        )
    )
    assert list(found.descriptions) == ["IP iron pin", "IP found", "IP", "iron pin"]


def test_a_point_that_refers_to_another_has_its_coordinates():
    found = read(
        points(
            '<CgPoint name="corner" pntRef="b"/>',
            '<CgPoint name="b" pntRef="101"/>',
            '<CgPoint name="101">10 20 30</CgPoint>',
        )
    )
    assert sorted(found.names) == ["101", "b", "corner"]
    assert set(found.northing) == {10.0}


def test_a_group_that_lists_points_held_elsewhere_counts_none_of_them_again():
    found = read(
        points(
            '<CgPoint name="101">10 20 30</CgPoint>',
            '<CgPoints name="control"><CgPoint pntRef="101"/></CgPoints>',
        )
    )
    assert found.count == 1
    assert "references-not-counted" in kinds(found)


def test_references_in_a_ring_are_a_fault_and_no_hang():
    ring = points('<CgPoint name="a" pntRef="b"/>', '<CgPoint name="b" pntRef="a"/>')
    with pytest.raises(InputError, match="the reference is to a point “b” that is not in the file"):
        read(ring)


def test_nameless_points_take_their_object_number_or_the_next_free_one():
    found = read(
        points('<CgPoint oID="7">1 2</CgPoint>', "<CgPoint>1 2</CgPoint>", "<CgPoint>1 2</CgPoint>")
    )
    assert list(found.names) == ["7", "1", "2"]
    assert "points-numbered" in kinds(found)


def test_hidden_faces_are_left_out_counted_and_told():
    found = read(surface(tin('<F n="2 0 0">10 20 30</F><F i="1">10 30 40</F>')))
    (ground,) = found.surfaces
    assert ground.faces.tolist() == [[0, 1, 2]]
    assert (ground.hidden, ground.name) == (1, "ground")
    assert "hidden-faces" in kinds(found)


def test_a_face_before_its_points_is_read():
    body = f"<Definition><Faces><F>10 20 30</F></Faces><Pnts>{SQUARE}</Pnts></Definition>"
    assert read(surface(body)).surfaces[0].faces.tolist() == [[0, 1, 2]]


def test_a_face_of_four_corners_is_two_triangles():
    found = read(surface(tin("<F>10 20 30 40</F>")))
    assert found.surfaces[0].faces.tolist() == [[0, 1, 2], [0, 2, 3]]
    assert "quads" in kinds(found)


def test_a_face_that_names_a_corner_twice_is_left_out_and_told():
    found = read(surface(tin("<F>10 20 20</F><F>10 20 30</F>")))
    assert len(found.surfaces[0].faces) == 1
    assert "flat-faces" in kinds(found)


def test_a_surface_without_survey_points_counts_its_own_under_their_numbers():
    found = read(surface(tin("<F>10 20 30</F>")))
    assert list(found.names) == ["10", "20", "30", "40"]
    assert list(found.elevation) == [1, 2, 3, 4]


def test_survey_points_count_before_those_of_a_surface():
    found = read(points('<CgPoint name="1">1 2 3</CgPoint>') + surface(tin("<F>10 20 30</F>")))
    assert list(found.names) == ["1"]
    assert len(found.surfaces) == 1


def test_points_of_several_surfaces_bear_the_surfaces_name():
    found = read(
        surface(tin("<F>10 20 30</F>"), name="top") + surface(tin("<F>10 20 30</F>"), name="rock")
    )
    assert found.count == 8
    assert (found.names[0], found.names[4]) == ("top:10", "rock:10")
    assert "duplicate-names" not in kinds(found)


def test_data_points_count_where_no_surface_was_made_of_them():
    source = "<DataPoints><PntList3D>1 2 3 4 5 6</PntList3D></DataPoints>"
    found = read(surface("", source))
    assert extents(found) == [1, 4, 2, 5, 3, 6]


def test_break_lines_alone_count_their_vertices():
    source = (
        "<Breaklines><Breakline name='kerb'><PntList3D>1 2 3 4 5 6</PntList3D></Breakline>"
        "</Breaklines>"
    )
    found = read(surface("", source))
    assert found.count == 2
    assert [(line.name, line.is_break_line) for line in found.lines] == [("kerb", True)]


def test_a_contour_has_its_elevation_at_every_vertex():
    source = "<Contours><Contour elev='12.5'><PntList2D>1 2 3 4</PntList2D></Contour></Contours>"
    found = read(surface("", source))
    assert found.lines[0].vertices.tolist() == [[1, 2, 12.5], [3, 4, 12.5]]


def test_a_parcel_by_references_is_a_line_through_its_points():
    ends = [(1, 2), (2, 3), (3, 1)]
    sides = "".join(
        f'<Line><Start pntRef="{start}"/><End pntRef="{end}"/></Line>' for start, end in ends
    )
    found = read(
        f'<Parcels><Parcel name="lot 7"><CoordGeom>{sides}</CoordGeom></Parcel></Parcels>'
        + points(
            '<CgPoint name="1">0 0 1</CgPoint>',
            '<CgPoint name="2">0 30 2</CgPoint>',
            '<CgPoint name="3">40 0</CgPoint>',
        )
    )
    (lot,) = found.lines
    assert (lot.name, lot.is_break_line) == ("lot 7", False)
    assert lot.vertices[:, :2].tolist() == [[0, 0], [0, 30], [40, 0], [0, 0]]


def test_the_end_of_an_irregular_line_comes_after_the_points_between():
    shape = (
        "<IrregularLine><Start>0 0</Start><End>3 3</End><PntList2D>1 0 2 1</PntList2D>"
        "</IrregularLine>"
    )
    found = read(
        f'<PlanFeatures><PlanFeature name="bank"><CoordGeom>{shape}</CoordGeom></PlanFeature>'
        "</PlanFeatures>"
    )
    assert found.lines[0].vertices[:, :2].tolist() == [[0, 0], [1, 0], [2, 1], [3, 3]]


def test_a_curve_is_taken_as_its_chord_and_told():
    curve = "<Curve rot='cw'><Start>0 0</Start><Center>0 5</Center><End>0 10</End></Curve>"
    found = read(
        f"<Alignments><Alignment name='a'><CoordGeom>{curve}</CoordGeom></Alignment></Alignments>"
    )
    assert found.lines[0].vertices[:, :2].tolist() == [[0, 0], [0, 10]]
    assert "curves-as-chords" in kinds(found)


@pytest.mark.parametrize("code", ["3875", "EPSG:3875", "urn:ogc:def:crs:EPSG::3875"])
def test_the_coordinate_system_is_read_however_it_is_written(code):
    body = f'<CoordinateSystem epsgCode="{code}"/>' + points(
        '<CgPoint name="1">6782580.9 21530243.3</CgPoint>'
    )
    assert read(body).crs == "EPSG:3875"


@pytest.mark.parametrize("code", ["", "0", "local", "999999"])
def test_a_coordinate_system_without_a_known_code_is_told_and_not_guessed(code):
    body = f'<CoordinateSystem epsgCode="{code}" name="site"/>' + points(
        '<CgPoint name="1">1 2</CgPoint>'
    )
    found = read(body)
    assert found.crs is None
    assert "crs-unnamed" in kinds(found)


def test_northing_and_easting_swapped_fall_outside_the_systems_area():
    body = points('<CgPoint name="1">21530243.3 6782580.9</CgPoint>')
    assert "outside-area" in kinds(read(body, crs="EPSG:3875"))


def test_the_two_feet_mixed_are_told_with_what_it_comes_to():
    # Pennsylvania South is in survey feet; at 2,000,000 ft the feet differ by 4 ft (85 FR 62698).
    units = '<Units><Imperial linearUnit="foot"/></Units>'
    found = read(points('<CgPoint name="1">400000 2000000</CgPoint>'), units, crs="EPSG:2272")
    told = next(notice for notice in found.notices if notice.kind == "foot-mismatch")
    assert dict(told.values)["apart"].metres == pytest.approx(4 * 0.3048, abs=1e-5)


def test_faulty_points_are_skipped_and_listed_where_that_is_asked():
    body = points('<CgPoint name="1">x 2</CgPoint>', '<CgPoint name="2">1 2</CgPoint>')
    found = read(body, skip_bad_lines=True)
    assert list(found.names) == ["2"]
    told = next(notice for notice in found.notices if notice.kind == "bad-lines-skipped")
    assert dict(told.values)["lines"] == "line 1: point 1: “x” is not a number"


def test_elements_of_other_namespaces_between_the_geometry_are_passed_over():
    body = points(
        '<CgPoint name="1">1 2 3</CgPoint>'
        '<Feature code="x"><Property label="P" value="9 9 9"/></Feature>'
    )
    assert read(body).count == 1
