"""DXF: two real drawings, and each kind of entity."""

import io
import math
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.dxf.points_from_drawing import parse_dxf
from staking.survey.read import read_survey

DATA = Path(__file__).parents[1] / "data" / "surveys"
BUILDING = DATA / "dxf_large_building_outline_with_geodata.dxf"
MEASURED = DATA / "dxf_r12_eleven_measured_points_lines_labels.dxf"


def kinds(found):
    return {notice.kind for notice in found.notices}


def drawing(units=6, version="R2010"):
    doc = ezdxf.new(version, setup=False)
    doc.header["$INSUNITS"] = units
    return doc, doc.modelspace()


def read(doc, **settings):
    stream = io.StringIO()
    doc.write(stream)
    data = stream.getvalue().encode()
    return parse_dxf(io.BytesIO(data), "a.dxf", SurveySettings(**settings))


def test_eleven_measured_points_have_the_names_that_sit_on_them():
    # Counts and extents as listed with the data: 11 POINT, 10 LINE, 11 TEXT; metres.
    found = read_survey(MEASURED, SurveySettings(unit="m"))
    assert found.count == 11
    assert len(found.lines) == 10
    assert list(found.names) == [str(number) for number in range(1, 12)]
    assert found.descriptions[0] == "IMG_20160506_121212.jpg"
    for values, low, high in (
        (found.easting, -0.116359, 1.080163),
        (found.northing, -0.827625, 0.066894),
        (found.elevation, -1.078038, 0.286172),
    ):
        assert values.min() == pytest.approx(low, abs=5e-7)
        assert values.max() == pytest.approx(high, abs=5e-7)


def test_a_drawing_without_a_unit_asks_for_it():
    with pytest.raises(InputError, match="does not say its unit; give --unit"):
        read_survey(MEASURED)


def test_geodata_places_a_drawing_in_inches_on_its_grid():
    # Listed with the data: 16 vertices, X 17688.588..26949.461, Y 4967.096..16140.028 inches;
    # 23448.14, 4967.10 in the drawing is E 530207.568, N 179366.790.
    found = read_survey(BUILDING)
    assert found.count == 16
    assert found.unit == "in"
    assert found.crs == "EPSG:27700"
    assert np.isnan(found.elevation).all()
    raw = ezdxf.readfile(BUILDING).modelspace()[0].get_points("xy")
    x, y = np.array(raw).T
    assert (x.min(), x.max()) == pytest.approx((17688.588, 26949.461), abs=5e-4)
    # A turn and a scale keep every distance but for the scale.
    inches = np.hypot(np.diff(x), np.diff(y))
    metres = np.hypot(np.diff(found.easting), np.diff(found.northing))
    assert metres == pytest.approx(inches * 0.0254, abs=1e-6)
    at = int(np.argmin(np.hypot(x - 23448.14, y - 4967.10)))
    away = np.hypot(found.easting[at] - 530207.568, found.northing[at] - 179366.790)
    assert away == pytest.approx(0.0254 * np.hypot(x[at] - 23448.14, y[at] - 4967.10), abs=1e-3)
    # The drawing library turns and scales by GEODATA on its own account.
    matrix, _ = ezdxf.readfile(BUILDING).modelspace().get_geodata().get_crs_transformation()
    for index, (east, north) in enumerate(raw):
        there = matrix.transform((east, north, 0))
        assert found.easting[index] == pytest.approx(there.x, abs=1e-5)
        assert found.northing[index] == pytest.approx(there.y, abs=1e-5)


@pytest.mark.parametrize(
    ("code", "unit", "metres"),
    [
        (1, "in", 0.0254),
        (2, "ft", 0.3048),
        (4, "mm", 0.001),
        (6, "m", 1),
        (21, "us-ft", 12 / 39.37),
    ],
)
def test_the_unit_is_the_drawing_s_own(code, unit, metres):
    doc, space = drawing(code)
    space.add_point((10, 20, 30))
    found = read(doc)
    assert found.unit == unit
    assert found.easting[0] == pytest.approx(10 * metres, abs=1e-12)
    assert found.northing[0] == pytest.approx(20 * metres, abs=1e-12)
    assert found.elevation[0] == pytest.approx(30 * metres, abs=1e-12)


def test_another_unit_than_the_drawing_s_is_told():
    doc, space = drawing(2)
    space.add_point((1, 1, 1))
    found = read(doc, unit="us-ft")
    assert found.unit == "us-ft"
    assert "unit-overridden" in kinds(found)


def test_a_drawing_in_the_other_foot_than_its_grid_is_told():
    doc, space = drawing(2)
    space.add_point((1_300_000, 400_000, 1))
    assert "foot-differs" in kinds(read(doc, crs="EPSG:2248"))


def test_attributes_of_a_block_reference_name_the_point():
    doc, space = drawing()
    doc.blocks.new("SHOT")
    shot = space.add_blockref("SHOT", (5, 6, 0))
    shot.add_attrib("PT_NO", "017")
    shot.add_attrib("ELEV", "101.25")
    shot.add_attrib("DESC", "iron pin")
    bare = space.add_blockref("SHOT", (7, 8, 2))
    bare.add_attrib("PT_NO", "18")
    found = read(doc)
    assert list(found.names) == ["017", "18"]
    assert list(found.elevation) == [101.25, 2.0]
    assert list(found.descriptions) == ["iron pin", ""]


def test_a_title_block_is_no_point():
    doc, space = drawing()
    doc.blocks.new("TITLE")
    space.add_blockref("TITLE", (0, 0)).add_auto_attribs({})
    title = space.add_blockref("TITLE", (0, 0))
    title.add_attrib("SCALE", "1:100")
    title.add_attrib("SHEET", "3 of 9")
    space.add_point((5, 6, 7))
    found = read(doc)
    assert found.count == 1
    assert "entities-passed-over" in kinds(found)


def test_two_points_may_share_a_place():
    doc, space = drawing()
    space.add_point((5, 6, 7))
    space.add_point((5, 6, 7))
    assert read(doc).count == 2


def test_lines_keep_their_heights_where_they_have_any():
    doc, space = drawing()
    space.add_point((0, 0, 5))
    space.add_lwpolyline([(0, 0), (10, 0), (10, 5)], close=True, dxfattribs={"layer": "LOT"})
    space.add_lwpolyline([(0, 0), (10, 0)], dxfattribs={"elevation": 101, "layer": "CONTOUR"})
    space.add_polyline3d([(0, 0, 1), (4, 3, 2)])
    space.add_polyline2d([(0, 0), (4, 3)])
    found = read(doc)
    lot, contour, three, _two = found.lines
    assert lot.name == "LOT"
    assert lot.vertices.shape == (4, 3)
    assert (lot.vertices[0, :2] == lot.vertices[-1, :2]).all()
    assert np.isnan(lot.vertices[:, 2]).all()
    assert (contour.vertices[:, 2] == 101).all()
    assert three.vertices.tolist() == [[0, 0, 1], [3, 4, 2]]
    assert found.count == 1


def test_arcs_in_lines_are_told():
    doc, space = drawing()
    space.add_lwpolyline([(0, 0, 0, 0, 0.5), (1, 0, 0, 0, 0)])
    assert "arcs-straight" in kinds(read(doc))


def test_faces_make_one_surface_a_layer():
    doc, space = drawing()
    corners = [(0, 0, 1), (10, 0, 2), (10, 10, 3), (0, 10, 4)]
    space.add_3dface(corners, dxfattribs={"layer": "GROUND"})
    space.add_3dface([(10, 0, 2), (20, 0, 5), (10, 10, 3)], dxfattribs={"layer": "GROUND"})
    found = read(doc)
    (ground,) = found.surfaces
    assert ground.name == "GROUND"
    assert len(ground.vertices) == 5
    assert len(ground.faces) == 3
    assert found.count == 0
    area = 0.0
    for a, b, c in ground.vertices[ground.faces][:, :, :2]:
        area += abs((b - a)[0] * (c - a)[1] - (b - a)[1] * (c - a)[0]) / 2
    assert area == pytest.approx(150)


def test_a_flat_drawing_has_no_elevations():
    doc, space = drawing()
    space.add_point((1, 2))
    found = read(doc)
    assert math.isnan(found.elevation[0])
    assert "flat-drawing" in kinds(found)


def test_what_is_no_survey_is_counted():
    doc, space = drawing()
    space.add_point((1, 2, 3))
    space.add_circle((0, 0), 1)
    space.add_text("house").set_placement((9, 9))
    told = {each.kind: dict(each.values) for each in read(doc).notices}
    assert told["entities-passed-over"]["kinds"] == "1 CIRCLE, 1 TEXT"


def test_a_code_page_before_unicode_is_read():
    doc, space = drawing(version="R2000")
    space.add_point((1, 2, 3))
    space.add_text("Süd").set_placement((1, 2, 3))
    stream = io.StringIO()
    doc.write(stream)
    found = parse_dxf(io.BytesIO(stream.getvalue().encode("cp1252")), "a.dxf", SurveySettings())
    assert list(found.names) == ["Süd"]


def test_a_damaged_part_is_told(caplog):
    doc, space = drawing()
    space.add_point((1, 2, 3))
    stream = io.StringIO()
    doc.write(stream)
    text = stream.getvalue().replace("\nCLASS\n", "\nCL\x1b[31m\n", 1)
    found = parse_dxf(io.BytesIO(text.encode()), "a.dxf", SurveySettings())
    assert found.count == 1
    (told,) = [each for each in found.notices if each.kind == "damaged-drawing"]
    assert "\x1b" not in str(told.values)
    assert caplog.text == ""


def dimensioned(units, *texts, **style):
    doc, space = drawing(units)
    space.add_lwpolyline([(0, 0), (572, 0), (572, 866), (0, 866)], close=True)
    for end, text in zip(((572, 0), (0, 866)), texts, strict=True):
        space.add_aligned_dim(p1=(0, 0), p2=end, distance=9, text=text, override=style).render()
    return doc


# 572 in are 47 ft 8 in, 866 in are 72 ft 2 in.
IN_INCHES = ("47'-8\"", "72'-2\"")


def test_a_unit_that_the_dimensions_contradict_is_refused_until_one_is_given():
    said = "says it is in millimetres .*2 of its 2 dimensions with units are right only in inches"
    with pytest.raises(InputError, match=said):
        read(dimensioned(4, *IN_INCHES))
    found = read(dimensioned(4, *IN_INCHES), unit="in")
    assert np.ptp(found.easting) == pytest.approx(572 * 0.0254, abs=1e-9)
    assert "unit-against-dimensions" not in kinds(found)
    assert "unit-against-dimensions" in kinds(read(dimensioned(4, *IN_INCHES), unit="mm"))


def test_dimensions_that_show_feet_and_inches_take_the_unit_for_an_inch():
    # $DIMLUNIT 4 is architectural by the open DXF reference.
    with pytest.raises(InputError, match="right only in inches"):
        read(dimensioned(4, "<>", "<>", dimlunit=4))


def test_bare_numbers_a_thousand_times_what_they_measure_are_millimetres():
    # 572 units, on which stands 572000: metres, dimensioned in millimetres.
    with pytest.raises(InputError, match=r"says it is in inches .* right only in metres"):
        read(dimensioned(1, "572000", "866000"))


@pytest.mark.parametrize(
    ("units", "texts"),
    [(1, IN_INCHES), (4, ("572 mm", "866 mm")), (4, ("<>", "<>")), (6, ("572", "866")),
     (6, ("572 m", "47'-8\""))],
)  # fmt: skip
def test_dimensions_that_agree_or_tell_nothing_leave_the_unit_alone(units, texts):
    assert read(dimensioned(units, *texts)).unit == {1: "in", 4: "mm", 6: "m"}[units]


tags = st.tuples(
    st.sampled_from([0, 2, 5, 8, 10, 20, 30, 11, 21, 31, 70, 90, 100, 1, 66]),
    st.sampled_from([
        "POINT", "LINE", "INSERT", "ATTRIB", "SEQEND", "POLYLINE", "VERTEX", "LWPOLYLINE",
        "3DFACE", "TEXT", "0", "1", "-1", "1.5", "1e400", "x", "", "AcDbEntity", "BLOCK",
    ]),
)  # fmt: skip


@given(st.lists(tags, max_size=30))
def test_any_tags_give_points_or_a_fault(pairs):
    body = "".join(f"{code}\n{value}\n" for code, value in pairs)
    text = f"0\nSECTION\n2\nENTITIES\n{body}0\nENDSEC\n0\nEOF\n"
    try:
        found = parse_dxf(io.BytesIO(text.encode()), "a.dxf", SurveySettings(unit="m"))
    except InputError:
        return
    assert isinstance(found, SurveyPoints)
