"""The drawing of a layout made by hand: an invented L-shaped building, two pads, boards, hubs."""

from __future__ import annotations

import io
import itertools
import math
from dataclasses import replace
from pathlib import Path

import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely
from ezdxf.math import Vec3

from staking.footing.bands_and_outlines import Outline
from staking.job.build import Job
from staking.kinds import StringKind, StringLine
from staking.laid_out.layout_value import Layout
from staking.layout.layout_parts import Board, Hub, Mark, String
from staking.output.drawing.drawing_scale import frame_plan
from staking.output.drawing.drawing_sheet import view_size
from staking.output.drawing.drawn_words import FEET_SCALES, METRIC_SCALES
from staking.output.drawing.layers import LAYERS
from staking.output.drawing.plan_drawing import plan_document
from staking.output.drawing.plan_shapes import solids
from staking.output.drawing.write_drawing import write_drawing
from staking.plan import (
    Building,
    Corner,
    Existing,
    Footing,
    InteriorLine,
    Opening,
    Options,
    Pad,
    Plan,
    Point,
    Show,
    Sleeve,
    StayClear,
    Wall,
)
from staking.project.layout import lay_out_job, load_job
from tests.output.drawn_dimensions import LINEAR, as_on_paper, drawn_text, measured_text

FT = 0.3048
IN = 0.0254
FOOTING = Footing(width=20 * IN, thickness=10 * IN, outside=6 * IN)
CORNERS = {"A": (0, 0), "B": (36, 0), "C": (36, 24), "D": (24, 24), "E": (24, 32), "F": (0, 32)}
MARKS = {
    "outer footing edge": 6 * IN,
    "outside face": 0.0,
    "inside face": -8 * IN,
    "inner footing edge": -14 * IN,
}


def feet(*points: Point) -> tuple[Point, ...]:
    return tuple((x * FT, y * FT) for x, y in points)


OUTER = feet((-0.5, -0.5), (36.5, -0.5), (36.5, 24.5), (24.5, 24.5), (24.5, 32.5), (-0.5, 32.5))
PAD_RING = feet((41, 5), (43, 5), (43, 7), (41, 7))
HOLE = feet((1, 1), (1, 31), (23, 31), (23, 23), (35, 23), (35, 1))
DIG = feet((-1, -1), (37, -1), (37, 25), (25, 25), (25, 33), (-1, 33))


def board(
    name: str, string_name: str, wall_name: str, end: str, at: Point, positive: Point
) -> Board:
    """A board at `at`, feet; offsets run along `positive`, away from the building."""
    x, y = at[0] * FT, at[1] * FT
    low, high = min(MARKS.values()) - 6 * IN, max(MARKS.values()) + 6 * IN
    return Board(
        name=name,
        string=string_name,
        end=end,
        past=end,
        x=x,
        y=y,
        stand_off=4 * FT,
        clear=3.5 * FT,
        ends=(
            (x + positive[0] * low, y + positive[1] * low),
            (x + positive[0] * high, y + positive[1] * high),
        ),
        marks=tuple(
            Mark(
                mark=mark,
                wall=wall_name,
                offset=offset,
                x=x + positive[0] * offset,
                y=y + positive[1] * offset,
            )
            for mark, offset in MARKS.items()
        ),
    )


def string(name: str, start: Point, end: Point, boards: tuple[str | None, str | None]) -> String:
    (x1, y1), (x2, y2) = feet(start, end)
    return String(
        name=name,
        line=StringLine.OUTSIDE_FACE,
        kind=StringKind.WALL,
        walls=(name,),
        start=(x1, y1),
        end=(x2, y2),
        length=abs(x2 - x1) + abs(y2 - y1),
        boards=boards,
        passes=(),
    )


def sample_plan(job: str = "Orchard workshop", existing: str = "") -> Plan:
    names = list(CORNERS)
    building = Building(
        name=None,
        corners=tuple(Corner(name=name, x=x * FT, y=y * FT) for name, (x, y) in CORNERS.items()),
        walls=tuple(
            Wall(
                start=a,
                end=b,
                thickness=8 * IN,
                footing=FOOTING,
                existing=Existing() if f"{a}-{b}" == existing else None,
            )
            for a, b in zip(names, [*names[1:], names[0]], strict=True)
        ),
    )
    return Plan(
        job=job,
        buildings=(building,),
        interior=(
            InteriorLine(
                name="G",
                start=(14 * FT, 0.0),
                end=(14 * FT, 32 * FT),
                start_on="A-B",
                end_on="E-F",
                thickness=8 * IN,
                footing=Footing(width=16 * IN, thickness=8 * IN, outside=4 * IN),
            ),
        ),
        pads=(
            Pad(name="P1", x=42 * FT, y=6 * FT, size=(2 * FT, 2 * FT), diameter=None, thickness=FT),
            Pad(name="Q1", x=42 * FT, y=18 * FT, size=None, diameter=FT, thickness=FT),
        ),
        stay_clear=(
            StayClear(name="old well", corners=feet((30, 30), (34, 30), (34, 34), (30, 34))),
        ),
    )


def sample_layout(
    job: str = "Orchard workshop", options: Options | None = None, existing: str = ""
) -> Layout:
    west, south = (-1.0, 0.0), (0.0, -1.0)
    return Layout(
        plan=sample_plan(job, existing),
        options=options or Options(),
        footing=Outline(outlines=(OUTER, PAD_RING), holes=(HOLE,), area=25.0),
        dig=Outline(outlines=(DIG, PAD_RING), holes=(HOLE,), area=30.0),
        footing_bands=(),
        dig_bands=(),
        strings=(
            string("A-B", (-4, 0), (40, 0), ("1", "2")),
            string("A-F", (0, -4), (0, 36), ("3", "4")),
        ),
        boards=(
            board("1", "A-B", "A-B", "A", (-4, 0), south),
            board("2", "A-B", "A-B", "B", (40, 0), south),
            board("3", "A-F", "F-A", "A", (0, -4), west),
            board("4", "A-F", "F-A", "F", (0, 36), west),
        ),
        hubs=(
            Hub(corner="A", wall="A-B", x=-6 * FT, y=0.0),
            Hub(corner="A", wall="F-A", x=0.0, y=-6 * FT),
        ),
        checks=(),
        accuracy=(),
        notices=(),
    )


def metric_options(paper: str = "A4") -> Options:
    return Options(unit="m", show=Show.METRES, nearest=0.001, paper=paper)


def drawn(layout):
    stream = io.StringIO()
    write_drawing(plan_document(layout), stream)
    stream.seek(0)
    return ezdxf.read(stream)


@pytest.fixture(scope="module")
def sample():
    return drawn(sample_layout())


def rings(doc, layer):
    found = doc.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    assert all(ring.closed for ring in found)
    return [np.array(list(ring.get_points("xy"))) for ring in found]


def test_the_drawing_passes_an_audit_without_a_fault_or_a_repair(sample):
    audit = sample.audit()
    assert not audit.errors
    assert not audit.fixes


def test_each_layer_has_its_own_colour_weight_and_linetype(sample):
    for name, (colour, weight, linetype, _) in LAYERS.items():
        layer = sample.layers.get(name)
        assert (layer.dxf.color, layer.dxf.lineweight, layer.dxf.linetype) == (
            colour,
            weight,
            linetype,
        )
    used = {entity.dxf.layer for entity in sample.entitydb.values() if entity.dxf.hasattr("layer")}
    assert used <= {*LAYERS, "0", "Defpoints", "VIEWPORTS"}


@pytest.mark.parametrize(
    ("unit", "code", "metric", "metres"),
    [
        ("in", 1, 0, 0.0254),
        ("ft", 2, 0, 0.3048),
        ("us-ft", 21, 0, 1200 / 3937),
        ("m", 6, 1, 1.0),
        ("mm", 4, 1, 0.001),
    ],
)
def test_the_header_names_the_unit_that_model_space_is_in(unit, code, metric, metres):
    # Codes of the open DXF reference, header variable $INSUNITS.
    doc = drawn(sample_layout(options=Options(unit=unit)))
    assert doc.header["$INSUNITS"] == code
    assert doc.header["$MEASUREMENT"] == metric
    outer = rings(doc, "S-FNDN-FTNG")[0]
    assert outer * metres == pytest.approx(np.array(OUTER), rel=0, abs=1e-9)


def test_only_inch_drawings_ask_for_architectural_display():
    assert drawn(sample_layout(options=Options(unit="in"))).header["$LUNITS"] == 4
    assert drawn(sample_layout()).header["$LUNITS"] == 2


def test_footing_and_dig_layers_hold_exactly_the_rings_of_their_outlines(sample):
    for layer, expected in (
        ("S-FNDN-FTNG", (OUTER, PAD_RING, HOLE)),
        ("S-FNDN-DIGL", (DIG, PAD_RING, HOLE)),
    ):
        found = rings(sample, layer)
        assert len(found) == len(expected)
        for ring, points in zip(found, expected, strict=True):
            assert ring * FT == pytest.approx(np.array(points), rel=0, abs=1e-9)


def test_walls_run_from_outside_face_to_mitred_inside_face(sample):
    walls = rings(sample, "S-FNDN-WALL")
    assert len(walls) == 7  # six walls and one interior wall
    t = 8 / 12
    expected = [(0, 0), (36, 0), (36 - t, t), (t, t)]
    assert walls[0] == pytest.approx(np.array(expected), rel=0, abs=1e-9)
    expected = [(24, 24), (24, 32), (24 - t, 32 - t), (24 - t, 24 - t)]
    assert walls[3] == pytest.approx(np.array(expected), rel=0, abs=1e-9)
    assert sorted(walls[6][:, 1]) == pytest.approx([t, t, 32 - t, 32 - t], rel=0, abs=1e-9)


def test_round_pads_are_circles_and_square_ones_closed(sample):
    (circle,) = sample.modelspace().query('CIRCLE[layer=="S-FNDN-PADS"]')
    assert (circle.dxf.center.x, circle.dxf.center.y) == pytest.approx((42, 18), rel=0, abs=1e-9)
    assert circle.dxf.radius == pytest.approx(0.5, rel=0, abs=1e-9)
    (square,) = rings(sample, "S-FNDN-PADS")
    assert square == pytest.approx(np.array(PAD_RING) / FT, rel=0, abs=1e-9)


def test_every_wall_is_dimensioned_once_and_everything_else_located_once(sample):
    texts = sorted(drawn_text(dim) for dim in sample.modelspace().query("DIMENSION"))
    walls = ["36' 0\"", "24' 0\"", "12' 0\"", "8' 0\"", "24' 0\"", "32' 0\""]
    station, pads = ["14' 0\""], ["6' 0\""] * 4
    assert texts == sorted(walls + station + pads)


def test_a_dimension_measures_what_its_text_says(sample):
    feet = {"36' 0\"": 36, "14' 0\"": 14, "8' 0\"": 8}
    found = {drawn_text(dim): dim for dim in sample.modelspace().query("DIMENSION")}
    for text, length in feet.items():
        assert found[text].get_measurement() == pytest.approx(length, rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("unit", "show", "nearest"),
    [
        ("ft", Show.FEET_INCHES, IN / 16),
        ("ft", Show.FEET_INCHES, IN / 2),
        ("ft", Show.DECIMAL_FEET, IN / 16),
        ("us-ft", Show.FEET_INCHES, IN / 8),
        ("in", Show.FEET_INCHES, IN / 32),
        ("m", Show.METRES, 0.001),
        ("mm", Show.MILLIMETRES, 0.001),
        ("mm", Show.FEET_INCHES, IN / 16),
    ],
)
def test_a_program_that_measures_anew_writes_what_the_papers_say(unit, show, nearest):
    doc = drawn(sample_layout(options=Options(unit=unit, show=show, nearest=nearest)))
    dimensions = doc.modelspace().query("DIMENSION")
    assert len(dimensions) == 11
    for dim in dimensions:
        assert as_on_paper(measured_text(dim)) == drawn_text(dim)


def test_a_dimension_follows_a_point_that_is_moved():
    doc = drawn(sample_layout())
    (dim,) = (d for d in doc.modelspace().query("DIMENSION") if drawn_text(d) == "36' 0\"")
    assert dim.dimtype == LINEAR
    end = "defpoint3" if dim.dxf.defpoint3.x > dim.dxf.defpoint2.x else "defpoint2"
    # B moves 1' 0 1/2" east: 12.5 of the inches that an architectural style shows.
    dim.dxf.set(end, dim.dxf.get(end) + Vec3(12.5 / 12, 0))
    dim.render()
    assert dim.get_measurement() == pytest.approx(36 + 12.5 / 12, rel=0, abs=1e-9)
    assert measured_text(dim) == "37'-0 1/2\""
    (words,) = [each for each in dim.get_geometry_block() if each.dxftype() == "MTEXT"]
    # The library's own drawing has no feet and inches: it writes the inches.
    assert float(words.plain_text()) == 444.5
    # Nobody placed the text by hand, so that it moves to the new middle of its line.
    assert words.dxf.insert.x == pytest.approx(18 + 12.5 / 24, rel=0, abs=1e-6)


def test_each_board_lists_its_marks_in_nail_order_with_a_leader_each(sample):
    words = [text.dxf.text for text in sample.modelspace().query("TEXT")]
    for name, string in (("1", "A-B"), ("4", "A-F")):
        assert f"board {name}, {string}" in words
    for mark in ("outside face", "inside face", "outer footing edge", "inner footing edge"):
        assert words.count(mark) == 4
    assert len(sample.modelspace().query('LINE[layer=="S-ANNO-TEXT"]')) == 16
    assert len(sample.modelspace().query('LINE[layer=="S-FNDN-BATR"]')) == 4 + 16


def test_each_hub_is_named_beside_its_stake(sample):
    words = [text for text in sample.modelspace().query("TEXT") if text.dxf.text.startswith("hub")]
    hubs = sample_layout().hubs
    assert len(words) == len({(hub.x, hub.y) for hub in hubs})
    for hub in hubs:
        place = (hub.x / FT, hub.y / FT)
        label = min(words, key=lambda text: text.dxf.align_point.vec2.distance(place))
        assert hub.corner in label.dxf.text.removeprefix("hub ").split(", ")
        # Within ten of its own heights: nearer than the next hub.
        assert label.dxf.align_point.vec2.distance(place) < 10 * label.dxf.height


def test_the_drawing_carries_the_layouts_mark_as_a_property_of_its_own():
    stream = io.StringIO()
    write_drawing(plan_document(sample_layout(), "KXQZBCDF of 2026-11-30"), stream)
    stream.seek(0)
    doc = ezdxf.read(stream)
    assert list(doc.header.custom_vars) == [("layout", "KXQZBCDF of 2026-11-30")]


def test_a_side_against_a_standing_building_is_dashed_and_named():
    doc = drawn(sample_layout(existing="E-F"))
    (line,) = doc.modelspace().query('LINE[layer=="S-FNDN-WALL"]')
    assert line.dxf.linetype == "STK_DASHED"
    assert "existing building" in [text.dxf.text for text in doc.modelspace().query("TEXT")]
    assert len(rings(doc, "S-FNDN-WALL")) == 6


@pytest.mark.parametrize("paper", ["letter", "tabloid", "A4", "A3"])
@pytest.mark.parametrize("metric", [True, False])
def test_the_sheet_shows_the_whole_plan_at_its_stated_scale_in_a_locked_window(paper, metric):
    options = metric_options(paper) if metric else Options(paper=paper)
    layout = sample_layout(options=options)
    doc = drawn(layout)
    sheet = doc.paperspace("Foundation layout")
    view = [each for each in sheet.query("VIEWPORT") if each.dxf.id != 1]
    assert len(view) == 1
    assert view[0].dxf.flags & 16384
    paper_unit = 25.4 if paper in {"letter", "tabloid"} else 1.0
    unit = 1000.0 if metric else 304.8
    ratio = view[0].dxf.view_height * unit / (view[0].dxf.height * paper_unit)
    names = dict(METRIC_SCALES if metric else FEET_SCALES)
    assert ratio == pytest.approx(round(ratio), rel=0, abs=1e-6)
    words = [text.dxf.text for text in sheet.query("TEXT")]
    assert f"Scale {names[round(ratio)]}" in words
    frame = frame_plan(layout)
    width, height = view_size(paper)
    assert frame.high[0] - frame.low[0] <= width * ratio / 1000
    assert frame.high[1] - frame.low[1] <= height * ratio / 1000


def test_no_text_covers_another():
    boxes = frame_plan(sample_layout()).boxes
    assert len(boxes) > 30
    assert not [1 for a, b in itertools.combinations(boxes, 2) if a.covers(b)]


def test_a_job_name_cannot_break_the_file():
    name = "shed\n  0\nEOF\n^J %%u \\U+0041 {\\fArial;x} 0\x00\x1b[31m é 倉"
    doc = drawn(sample_layout(job=name))
    assert not doc.audit().errors
    assert len(doc.modelspace()) == len(drawn(sample_layout()).modelspace())
    words = " ".join(text.dxf.text for text in doc.paperspace("Foundation layout").query("TEXT"))
    assert "shed 0 EOF ^ J % %u" in words


def test_text_on_the_sheet_stays_inside_the_border():
    doc = drawn(sample_layout(job="a very long name for a barn " * 5))
    lowest = min(text.dxf.insert.y for text in doc.paperspace("Foundation layout").query("TEXT"))
    assert lowest > 6 / 25.4


def test_gdal_reads_the_same_geometry(tmp_path):
    path = tmp_path / "plan.dxf"
    layout = sample_layout()
    with path.open("w", encoding="utf-8") as stream:
        write_drawing(plan_document(layout), stream)
    meta, _, shapes, fields = pyogrio.raw.read(path)
    layers = fields[list(meta["fields"]).index("Layer")]
    geometry = shapely.from_wkb(shapes)
    footing = [g for g, layer in zip(geometry, layers, strict=True) if layer == "S-FNDN-FTNG"]
    assert len(footing) == 3
    for found, points in zip(footing, (OUTER, PAD_RING, HOLE), strict=True):
        ring = np.array([*points, points[0]]) / FT
        assert shapely.get_coordinates(found) == pytest.approx(ring, rel=0, abs=1e-9)
    strings = [g for g, layer in zip(geometry, layers, strict=True) if layer == "S-FNDN-LINE"]
    assert [line.length for line in strings] == pytest.approx([44, 40], rel=0, abs=1e-9)
    assert set(layers) >= {"S-FNDN-WALL", "S-FNDN-DIGL", "S-FNDN-PADS", "S-ANNO-DIMS", "V-CTRL"}


def test_a_plan_too_large_for_every_scale_is_still_drawn():
    layout = sample_layout()
    far = replace(layout.hubs[0], x=9000.0)
    frame = frame_plan(replace(layout, hubs=(far,)))
    assert frame.ratio == FEET_SCALES[-1][0]
    assert math.isclose(frame.high[0], 9000.0, rel_tol=0, abs_tol=1e-6)


def test_lengths_are_written_as_the_job_shows_them():
    doc = drawn(sample_layout(options=Options(show=Show.METRES, nearest=0.001)))
    texts = [drawn_text(dim) for dim in doc.modelspace().query("DIMENSION")]
    assert any(text.startswith("10.973") for text in texts)


def boxes_that_clash(layout):
    frame = frame_plan(layout)
    standing = solids(layout, 0.001 * frame.ratio)
    boxes = [*frame.boxes, *standing]
    texts = len(frame.boxes)
    pairs = itertools.combinations(range(len(boxes)), 2)
    return [(i, j) for i, j in pairs if i < texts and boxes[i].covers(boxes[j])]


@pytest.mark.parametrize("name", ["orchard-workshop", "boat-shed", "hillside-lot"])
def test_no_text_of_a_demo_covers_another_or_a_board_stake_or_pad(name):
    job = Path(__file__).parents[2] / "fixtures" / name / "job.yaml"
    layout = lay_out_job(load_job(job))
    assert not boxes_that_clash(layout)
    assert not drawn(layout).audit().errors


SHAPES = {
    "L": [(0, 0), (12, 0), (12, 8), (5, 8), (5, 11), (0, 11)],
    "T": [(0, 0), (15, 0), (15, 5), (10, 5), (10, 11), (5, 11), (5, 5), (0, 5)],
    "U": [(0, 0), (15, 0), (15, 10), (10, 10), (10, 5), (5, 5), (5, 10), (0, 10)],
    "jog of 4 inches": [(0, 0), (12, 0), (12, 5), (12.1016, 5), (12.1016, 9), (0, 9)],
}


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("turn", [0.0, 17.0])
@pytest.mark.parametrize("existing", [False, True])
@pytest.mark.parametrize("metric", [False, True])
def test_no_text_of_an_odd_plan_covers_another(shape, turn, existing, metric):
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    corners = tuple(
        Corner(name=chr(65 + i), x=x * cos - y * sin, y=x * sin + y * cos)
        for i, (x, y) in enumerate(SHAPES[shape])
    )
    walls = tuple(
        Wall(
            start=a.name,
            end=b.name,
            thickness=0.2,
            footing=FOOTING,
            existing=Existing() if existing and a.name == "A" else None,
        )
        for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)
    )
    plan = Plan(job=shape, buildings=(Building(name=None, corners=corners, walls=walls),))
    options = metric_options("A3") if metric else Options(paper="tabloid")
    layout = lay_out_job(Job(plan=plan, options=options, notices=()))
    assert not boxes_that_clash(layout)


def test_an_opening_is_drawn_on_its_wall_with_its_width_and_a_sleeve_with_its_size():
    plan = replace(
        sample_plan(),
        openings=(Opening(wall="A-B", start=20 * FT, width=9 * FT, drop=0.2),),
        sleeves=(Sleeve(wall="B-C", station=10 * FT, invert=None, size=4 * IN),),
    )
    doc = drawn(replace(sample_layout(), plan=plan))
    lines = doc.modelspace().query('LINE[layer=="S-FNDN-OPNG"]')
    jambs = {round(line.dxf.start.x, 9) for line in lines}
    assert jambs == {20.0, 29.0}
    (sleeve,) = rings(doc, "S-FNDN-OPNG")
    assert sorted(set(sleeve[:, 1].round(6))) == [round(10 - 1 / 6, 6), round(10 + 1 / 6, 6)]
    words = [text.dxf.text for text in doc.modelspace().query("TEXT")]
    assert "opening 9' 0\"" in words
    assert 'sleeve 4"' in words


def test_the_extents_of_the_file_are_those_of_the_plan():
    layout = sample_layout()
    doc, frame = drawn(layout), frame_plan(layout)
    low, high = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    assert low[:2] == pytest.approx(np.array(frame.low) / FT, rel=0, abs=1e-9)
    assert high[:2] == pytest.approx(np.array(frame.high) / FT, rel=0, abs=1e-9)


def test_dashes_are_as_long_on_paper_in_every_unit(sample):
    # A pattern in mm times the linetype scale is drawing units on the ground; over the scale's
    # ratio that is mm on paper again.
    for doc, metres in ((sample, FT), (drawn(sample_layout(options=metric_options())), 1.0)):
        sheet = doc.paperspace("Foundation layout")
        (view,) = [each for each in sheet.query("VIEWPORT") if each.dxf.id != 1]
        inches = doc.header["$MEASUREMENT"] == 0
        paper_mm = view.dxf.height * (25.4 if inches else 1.0)
        ground_mm = view.dxf.view_height * metres * 1000
        on_paper = 1000 * doc.header["$LTSCALE"] * metres * paper_mm / ground_mm
        assert on_paper == pytest.approx(1.0, rel=0, abs=1e-9)
        assert doc.header["$PSLTSCALE"] == 0


def test_the_footing_edge_is_drawn_over_the_dig_line(sample):
    order = [entity.dxf.layer for entity in sample.modelspace().query("LWPOLYLINE")]
    last_dig = max(i for i, layer in enumerate(order) if layer == "S-FNDN-DIGL")
    assert order.index("S-FNDN-FTNG") > last_dig


def test_strings_dig_line_and_footing_edge_differ_without_colour():
    looks = [LAYERS[name][2] for name in ("S-FNDN-FTNG", "S-FNDN-DIGL", "S-FNDN-LINE")]
    assert len(set(looks)) == 3
