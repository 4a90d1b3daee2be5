"""Outlines traced from drawings made here, each with one thing that real drawings have.

Every area is worked out beside its drawing: an L of 36' x 32' less its notch of 12' x 8', that is
1152 - 96 = 1056 sq ft, drawn in inches (152,064 square inches).
"""

import io
import math

import ezdxf
import numpy as np
import pytest

from staking.errors import ComputationError, InputError
from staking.outline.drawn_unit import UnitSource
from staking.outline.found_outline import find_outline, list_layers
from staking.survey.dxf.plan_curves import parse_plan_drawing
from staking.units import FOOT, INCH, Unit

L_SHAPE = [(0, 0), (432, 0), (432, 288), (288, 288), (288, 384), (0, 384)]
L_AREA = 1056 * FOOT**2


def drawing(units=1, version="R2010"):
    doc = ezdxf.new(version, setup=True)
    doc.header["$INSUNITS"] = units
    return doc, doc.modelspace()


def read(doc):
    stream = io.StringIO()
    doc.write(stream)
    return parse_plan_drawing(io.BytesIO(stream.getvalue().encode()), "plan.dxf")[0]


def sides(space, points=L_SHAPE, layer="WALL", skip=()):
    for i, (start, end) in enumerate(zip(points, points[1:] + points[:1], strict=True)):
        if i not in skip:
            space.add_line(start, end, dxfattribs={"layer": layer})


def closed_ring(space, points=L_SHAPE, layer="WALL"):
    space.add_lwpolyline(points, close=True, dxfattribs={"layer": layer})


def found(doc, *layers, **said):
    return find_outline(read(doc), layers or ("WALL",), **said)


def shape_of(result):
    return [(round(c.x / INCH, 6), round(c.y / INCH, 6)) for c in result.corners]


def test_loose_lines_make_the_outline_from_its_lowest_left_corner():
    doc, space = drawing()
    sides(space)
    result = found(doc)
    assert shape_of(result) == [(float(x), float(y)) for x, y in L_SHAPE]
    assert [c.name for c in result.corners] == list("ABCDEF")
    assert result.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)


def test_a_clockwise_outline_is_named_anticlockwise():
    doc, space = drawing()
    closed_ring(space, L_SHAPE[::-1])
    assert shape_of(found(doc)) == [(float(x), float(y)) for x, y in L_SHAPE]


def test_doubled_and_split_lines_count_once():
    doc, space = drawing()
    sides(space)
    closed_ring(space)
    space.add_line((0, 0), (100, 0), dxfattribs={"layer": "WALL"})
    space.add_line((60, 0), (250, 0), dxfattribs={"layer": "WALL"})
    space.add_line((432, 0), (432, 0), dxfattribs={"layer": "WALL"})
    result = found(doc)
    assert shape_of(result) == [(float(x), float(y)) for x, y in L_SHAPE]
    assert result.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)


@pytest.mark.parametrize("gap", [1 / 16, 1 / 2, 3])
def test_a_gap_is_refused_and_closed_along_the_lines_own_directions(gap):
    doc, space = drawing()
    sides(space, skip=(0, 1))
    space.add_line((0, 0), (432 - gap, 0), dxfattribs={"layer": "WALL"})
    space.add_line((432, gap), (432, 288), dxfattribs={"layer": "WALL"})
    with pytest.raises(ComputationError, match=rf"enclose nothing.*x {432 - gap:.4f}, y 0.0000"):
        found(doc)
    with pytest.raises(ComputationError, match="enclose nothing"):
        found(doc, close=gap * INCH * 0.99)
    result = found(doc, close=gap * INCH * 1.001)
    # The corner is where the two sides' own lines meet: nothing is shifted.
    assert shape_of(result) == [(float(x), float(y)) for x, y in L_SHAPE]
    assert result.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)
    (joint,) = result.closed
    assert (joint.x, joint.y) == pytest.approx((432 * INCH, 0), abs=1e-6)
    assert joint.gap == pytest.approx(math.hypot(gap, gap) * INCH, abs=1e-6)


@pytest.mark.parametrize("gap", [1 / 16, 1 / 2, 3])
def test_a_gap_within_a_side_is_closed(gap):
    doc, space = drawing()
    sides(space, skip=(0,))
    space.add_line((0, 0), (200, 0), dxfattribs={"layer": "WALL"})
    space.add_line((200 + gap, 0), (432, 0), dxfattribs={"layer": "WALL"})
    result = found(doc, close=gap * INCH * 1.001)
    assert shape_of(result) == [(float(x), float(y)) for x, y in L_SHAPE]
    assert [joint.gap for joint in result.closed] == [pytest.approx(gap * INCH, abs=1e-6)]


def test_a_side_that_stops_short_of_another_line_is_run_on_to_it():
    doc, space = drawing()
    points = [(0, 0), (432, 0), (432, 288), (0, 288)]
    sides(space, points, skip=(0, 1))
    space.add_line((0, 0), (431.5, 0), dxfattribs={"layer": "WALL"})
    space.add_line((432, -20), (432, 288), dxfattribs={"layer": "WALL"})
    result = found(doc, close=INCH)
    assert shape_of(result) == [(float(x), float(y)) for x, y in points]


def test_overshoots_at_corners_drop_off():
    doc, space = drawing()
    for (ax, ay), (bx, by) in zip(L_SHAPE, L_SHAPE[1:] + L_SHAPE[:1], strict=True):
        far = math.hypot(bx - ax, by - ay)
        ux, uy = (bx - ax) / far, (by - ay) / far
        start, end = (ax - 2 * ux, ay - 2 * uy), (bx + 2 * ux, by + 2 * uy)
        space.add_line(start, end, dxfattribs={"layer": "WALL"})
    result = found(doc)
    assert shape_of(result) == [(float(x), float(y)) for x, y in L_SHAPE]
    assert result.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)


@pytest.mark.parametrize("turn", [0.0, 17.0, 211.0])
@pytest.mark.parametrize("mirror", [1.0, -1.0])
def test_blocks_turned_mirrored_and_nested_are_taken_apart(turn, mirror):
    doc, space = drawing()
    inner = doc.blocks.new("HALF")
    sides(inner, skip=(3, 4, 5), layer="0")
    outer = doc.blocks.new("WHOLE")
    outer.add_blockref("HALF", (0, 0))
    sides(outer, skip=(0, 1, 2), layer="0")
    space.add_blockref(
        "WHOLE", (5e5, 3e5), dxfattribs={"layer": "WALL", "rotation": turn, "yscale": mirror}
    )
    result = found(doc)
    assert len(result.corners) == 6
    assert result.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)
    lengths = sorted(side.length / INCH for side in result.sides)
    assert lengths == pytest.approx([96, 144, 288, 288, 384, 432], abs=1e-4)


def test_an_arc_is_flattened_and_said():
    # A rectangle 432 x 288 with half a circle of radius 144 on its east side.
    doc, space = drawing()
    space.add_lwpolyline([(432, 288), (0, 288), (0, 0), (432, 0)], dxfattribs={"layer": "WALL"})
    space.add_arc((432, 144), 144, -90, 90, dxfattribs={"layer": "WALL"})
    result = found(doc)
    true = (432 * 288 + math.pi * 144**2 / 2) * INCH**2
    assert result.area == pytest.approx(true, rel=0, abs=2e-4 * true)
    assert "outline-arcs" in {each.kind for each in result.notices}
    corners = np.array([(c.x, c.y) for c in result.corners]) / INCH
    round_ones = corners[corners[:, 0] > 432.001]
    off = np.abs(np.hypot(round_ones[:, 0] - 432, round_ones[:, 1] - 144) - 144)
    assert off.max() < 5e-6  # points are kept to a ten-thousandth of a millimetre


def test_an_arc_of_a_bulge_and_one_seen_from_behind_bend_the_right_way():
    # Negative extrusion turns x over; the half circle bends outward all the same.
    for kind in ("bulge", "extrusion"):
        doc, space = drawing()
        if kind == "bulge":
            space.add_lwpolyline(
                [(0, 0, 0), (432, 0, 1), (432, 288, 0), (0, 288, 0)],
                format="xyb",
                close=True,
                dxfattribs={"layer": "WALL"},
            )
        else:
            space.add_lwpolyline(
                [(432, 288), (0, 288), (0, 0), (432, 0)], dxfattribs={"layer": "WALL"}
            )
            space.add_arc(
                (-432, 144), 144, 90, 270, dxfattribs={"layer": "WALL", "extrusion": (0, 0, -1)}
            )
        true = (432 * 288 + math.pi * 144**2 / 2) * INCH**2
        assert found(doc).area == pytest.approx(true, rel=0, abs=2e-4 * true), kind


def test_the_part_of_a_layers_name_after_an_external_reference_counts():
    for mark in ("|", "$0$"):
        doc, space = drawing()
        name = f"house{mark}WALL"
        if mark == "$0$":
            closed_ring(space, layer=name)
        else:
            doc.layers.add(name)
            closed_ring(space, layer=name)
        assert len(found(doc, "wall").corners) == 6


def test_loose_dashes_are_passed_over_and_said():
    doc, space = drawing()
    closed_ring(space)
    for x in (500, 520, 540):
        space.add_line((x, 0), (x + 10, 0), dxfattribs={"layer": "WALL"})
    result = found(doc)
    assert result.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)
    assert "loose-ends" in {each.kind for each in result.notices}


def test_interior_walls_change_nothing():
    doc, space = drawing()
    closed_ring(space)
    space.add_line((0, 150), (432, 150), dxfattribs={"layer": "WALL"})
    space.add_line((200, 150), (200, 240), dxfattribs={"layer": "WALL"})
    assert shape_of(found(doc)) == [(float(x), float(y)) for x, y in L_SHAPE]


def test_two_outlines_are_refused_with_the_place_of_the_second():
    doc, space = drawing()
    closed_ring(space)
    closed_ring(space, [(600, 0), (800, 0), (800, 200), (600, 200)])
    with pytest.raises(ComputationError, match=r"two outlines: .*26% of its area lies at x 700"):
        found(doc)


def test_a_small_closed_shape_is_listed_as_a_pad():
    doc, space = drawing()
    closed_ring(space)
    closed_ring(space, [(600, 0), (624, 0), (624, 24), (600, 24)])
    space.add_circle((650, 100), 9, dxfattribs={"layer": "WALL"})
    result = found(doc)
    square, round_one = sorted(result.shapes, key=lambda each: each.x)
    assert square.size == pytest.approx((24 * INCH, 24 * INCH), abs=1e-6)
    assert (square.x, square.y) == pytest.approx((612 * INCH, 12 * INCH), abs=1e-6)
    assert round_one.diameter == pytest.approx(18 * INCH, abs=INCH / 16)
    assert "shapes-beside" in {each.kind for each in result.notices}


def test_an_outline_that_crosses_itself_is_refused_with_the_place():
    doc, space = drawing()
    closed_ring(space, [(0, 0), (400, 200), (400, 0), (0, 200)])
    with pytest.raises(ComputationError, match=r"crosses itself .*x 200.0000, y 100.0000"):
        found(doc)


def test_an_open_outer_face_never_passes_for_the_inner_one():
    # Both faces of the wall are drawn, and the outer one has a gap: the inner closes, 8" in.
    doc, space = drawing()
    inner = [(8, 8), (424, 8), (424, 280), (8, 280)]
    outer = [(0, 0), (432, 0), (432, 288), (0, 288)]
    closed_ring(space, inner)
    sides(space, outer, skip=(0,))
    space.add_line((0, 0), (431.5, 0), dxfattribs={"layer": "WALL"})
    with pytest.raises(ComputationError, match=r"outline is open: .*x 431.5000, y 0.0000"):
        found(doc)
    result = found(doc, close=INCH)
    assert shape_of(result) == [(float(x), float(y)) for x, y in outer]
    assert result.wall == pytest.approx(8 * INCH, abs=1e-6)


def test_wall_and_footing_are_read_off_where_they_run_parallel_all_round():
    doc, space = drawing()
    outer = [(0, 0), (432, 0), (432, 288), (0, 288)]

    def grown(by):
        return [(-by, -by), (432 + by, -by), (432 + by, 288 + by), (-by, 288 + by)]

    closed_ring(space, outer)
    closed_ring(space, grown(-8))
    closed_ring(space, grown(6), layer="FTG")
    closed_ring(space, grown(-14), layer="FTG")
    result = found(doc, footing_names=("FTG",))
    assert result.wall == pytest.approx(8 * INCH, abs=1e-6)
    assert result.footing.width == pytest.approx(20 * INCH, abs=1e-6)
    assert result.footing.outside == pytest.approx(6 * INCH, abs=1e-6)
    # One side's edge a hand wider: no one width is right, so none is read.
    doc, space = drawing()
    closed_ring(space, outer)
    closed_ring(space, [(-6, -10), (438, -10), (438, 294), (-6, 294)], layer="FTG")
    closed_ring(space, grown(-14), layer="FTG")
    result = found(doc, footing_names=("FTG",))
    assert result.footing is None
    assert "footing-not-read" in {each.kind for each in result.notices}


def dimensioned(units, text, scale=1.0, wrong=None):
    doc, space = drawing(units)
    closed_ring(space, [(0, 0), (432 * scale, 0), (432 * scale, 288 * scale), (0, 288 * scale)])
    for p1, p2, base, angle, words in (
        ((0, 0), (432 * scale, 0), (0, -40), 0, text[0]),
        ((0, 0), (0, 288 * scale), (-40, 0), 90, wrong or text[1]),
    ):
        space.add_linear_dim(
            base=base, p1=p1, p2=p2, angle=angle, text=words, dimstyle="EZDXF"
        ).render()
    return doc


def test_dimensions_decide_the_unit_over_a_wrong_header():
    # The header says millimetres, the sides are 432 and 288, the texts 36' and 24': inches.
    doc = dimensioned(4, ("36'-0\"", "24'-0\""))
    result = found(doc)
    assert result.unit.unit is Unit.IN
    assert result.unit.source is UnitSource.DIMENSIONS
    assert "drawing-units-differ" in {each.kind for each in result.notices}
    by_name = {(s.start, s.end): s for s in result.sides}
    assert by_name["A", "B"].dimension == pytest.approx(36 * FOOT)
    assert not by_name["A", "B"].differs
    assert by_name["B", "C"].dimension is None


def test_a_side_that_its_own_dimension_contradicts_is_said():
    doc = dimensioned(1, ("36'-0\"", "24'-0\""), wrong="24'-2\"")
    result = found(doc)
    (wrong,) = [side for side in result.sides if side.differs]
    assert (wrong.start, wrong.end) == ("D", "A")
    assert "side-dimension" in {each.kind for each in result.notices}


def test_bare_millimetres_on_a_drawing_in_metres_decide():
    doc = dimensioned(0, ("10973", "7315"), scale=0.0254)
    result = found(doc)
    assert result.unit.unit is Unit.M
    assert [s.dimension for s in result.sides if s.dimension] == pytest.approx([10.973, 7.315])


def test_without_dimensions_and_header_the_unit_is_asked_for():
    doc, space = drawing(0)
    closed_ring(space)
    with pytest.raises(InputError, match=r"nothing in the drawing tells its unit.*give --unit"):
        found(doc)
    assert found(doc, given=Unit.IN).area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)


def test_corners_off_the_sixteenth_are_kept_and_said():
    doc, space = drawing()
    closed_ring(space, [(0, 0), (432.03, 0), (432.03, 288), (0, 288)])
    result = found(doc)
    assert result.corners[1].x == pytest.approx(432.03 * INCH, abs=1e-7)
    assert "corners-as-drawn" in {each.kind for each in result.notices}
    doc, space = drawing()
    closed_ring(space, [(0, 0), (432.01, 0), (432.01, 288), (0, 288)])
    assert found(doc).corners[1].x == pytest.approx(432 * INCH, abs=1e-9)


def test_a_layer_that_is_not_there_is_named_beside_those_that_are():
    doc, space = drawing()
    closed_ring(space)
    with pytest.raises(InputError, match="nothing is drawn on a layer S-WALL; there are: WALL"):
        found(doc, "S-WALL")


def test_layers_are_listed_with_what_they_enclose():
    doc, space = drawing()
    closed_ring(space)
    sides(space, [(0, 0), (10, 0), (10, 10)], layer="NOTES", skip=(2,))
    first, second = list_layers(read(doc)).layers
    assert (first.name, first.curves, first.loose_ends, first.one_outline) == ("WALL", 6, 0, True)
    assert first.area == pytest.approx(L_AREA, rel=0, abs=1e-6 * L_AREA)
    assert first.size == pytest.approx((36 * FOOT, 32 * FOOT))
    assert (second.name, second.loose_ends, second.one_outline) == ("NOTES", 2, False)
