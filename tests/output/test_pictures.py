"""Pictures of the plan: SVG read as XML, PNG read as pixels, both to scale."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from ezdxf.colors import DXF_DEFAULT_COLORS
from PIL import Image

from staking.output.drawing.layers import LAYERS
from staking.output.drawing.plan_drawing import draw_plan
from staking.output.drawing.record_drawing import RECORD_LAYERS
from staking.output.drawn.drawn_parts import ChainPart, LinePart, Look, TextPart
from staking.output.pictures.inked_parts import COLOURS, OnPaper, inked
from staking.output.pictures.lettering import line_width, printable
from staking.output.pictures.picture import model_picture, paper_picture
from staking.output.pictures.picture_parts import Fill
from staking.output.pictures.svg_and_png import png_image, svg_text, write_png
from staking.output.profile.profile_layers import ALL_LAYERS
from staking.project.layout import lay_out_job, load_job

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SVG = "{http://www.w3.org/2000/svg}"
DEMOS = ("orchard-workshop", "boat-shed", "hillside-lot")


@pytest.fixture(scope="module", params=DEMOS)
def drawing(request):
    """A demo's plan."""
    return draw_plan(lay_out_job(load_job(FIXTURES / request.param / "job.yaml")))


def svg_of(document) -> ET.Element:
    return ET.fromstring(svg_text(paper_picture(document)))


def test_an_svg_is_its_paper_in_millimetres(drawing):
    root = svg_of(drawing)
    paper = paper_picture(drawing)
    size = [float(each) for each in root.get("viewBox").split()]
    assert size == pytest.approx([0, 0, paper.width, paper.height], rel=0, abs=0.001)
    assert root.get("width").endswith("mm")


def test_an_svg_keeps_layers_apart_and_text_as_text(drawing):
    root = svg_of(drawing)
    groups = {each.get("data-layer"): each for each in root.iter(f"{SVG}g")}
    assert {"S-FNDN-WALL", "S-FNDN-LINE", "S-FNDN-BATR", "S-ANNO-DIMS", "S-ANNO-TEXT"} <= {*groups}
    assert "0" not in groups
    names = [each.text for each in groups["S-ANNO-TEXT"].iter(f"{SVG}text")]
    assert "outside face" in names
    assert "A" in names


def test_dashes_of_an_svg_are_those_of_the_layer_in_millimetres():
    document = draw_plan(lay_out_job(load_job(FIXTURES / "orchard-workshop" / "job.yaml")))
    strings = next(
        each for each in svg_of(document).iter(f"{SVG}g") if each.get("data-layer") == "S-FNDN-LINE"
    )
    dashes = {path.get("stroke-dasharray") for path in strings.iter(f"{SVG}path")}
    assert dashes == {"7 1 0.4 1"}


def test_a_wall_in_an_svg_times_the_scale_is_the_plans():
    document = draw_plan(lay_out_job(load_job(FIXTURES / "boat-shed" / "job.yaml")))
    runs = []
    for path in svg_of(document).iter(f"{SVG}path"):
        places = [
            tuple(float(each) for each in pair.split())
            for pair in re.split("[ML]", path.get("d").rstrip("Z"))
            if pair
        ]
        runs += [math.dist(*each) * 100 for each in pairwise(places)]
    # A-B is 12000 mm, drawn at 1:100 to a thousandth of a millimetre on paper.
    assert min(abs(run - 12000) for run in runs) < 0.5


def test_text_from_a_job_stays_text_in_an_svg():
    job = load_job(FIXTURES / "orchard-workshop" / "job.yaml")
    hostile = '</text><script>alert("x")</script> & co'
    layout = lay_out_job(replace(job, plan=replace(job.plan, job=hostile)))
    root = svg_of(draw_plan(layout))
    assert not list(root.iter(f"{SVG}script"))
    words = " ".join(each.text for each in root.iter(f"{SVG}text"))
    assert "<script>alert" in words


def test_a_png_is_the_paper_at_150_dots_an_inch(drawing):
    stream = BytesIO()
    write_png(paper_picture(drawing), stream)
    stream.seek(0)
    image = Image.open(stream)
    paper = paper_picture(drawing)
    assert image.size == (round(paper.width / 25.4 * 150), round(paper.height / 25.4 * 150))
    assert image.info["dpi"] == pytest.approx((150, 150), rel=0, abs=0.1)
    grey = image.convert("L")
    # The border's corner is inked, the margin outside it is not.
    at = 6 / 25.4 * 150
    assert grey.getpixel((round(at), round(image.height / 2))) < 128
    assert grey.getpixel((round(at / 2), round(image.height / 2))) == 255


def test_the_same_drawing_gives_the_same_picture():
    document = draw_plan(lay_out_job(load_job(FIXTURES / "boat-shed" / "job.yaml")))
    assert svg_text(paper_picture(document)) == svg_text(paper_picture(document))


def line(start: tuple[float, float], end: tuple[float, float], layer: str = "S-FNDN-WALL"):
    return LinePart(look=Look(layer=layer), start=start, end=end)


def test_a_line_of_the_model_is_cut_out_to_scale():
    words = TextPart(
        layer="S-ANNO-TEXT",
        text="here",
        at=(11, 6),
        height=0.5,
        turn=math.pi / 2,
        on_baseline=True,
    )
    parts = (line((10, 5), (16, 5)), line((100, 5), (106, 5)), words)
    picture = model_picture(parts, LAYERS, 0.5, ((9, 4), (19, 10)))
    assert (picture.width, picture.height) == pytest.approx((20, 12), rel=0, abs=1e-9)
    (kept,) = picture.strokes
    assert kept.points == (
        pytest.approx((2, 2), rel=0, abs=1e-9),
        pytest.approx((14, 2), rel=0, abs=1e-9),
    )
    (word,) = picture.words
    assert (word.text, word.height) == ("here", pytest.approx(1.0, rel=0, abs=1e-9))
    assert (word.x, word.y) == pytest.approx((4, 4), rel=0, abs=1e-9)
    assert math.degrees(word.turn) == pytest.approx(90, rel=0, abs=1e-6)


def test_black_pictures_have_black_lines_and_pale_ground():
    fill = Fill(layer="S-FNDN-PATT", colour="#ff0000", points=((1, 1), (3, 1), (3, 3)))
    red = model_picture((line((0, 0), (4, 4), "S-FNDN-FTNG"),), LAYERS, 1.0, ((0, 0), (4, 4)))
    assert red.strokes[0].colour == "#ff0000"
    picture = replace(red, fills=(fill,)).black
    assert picture.strokes[0].colour == "#000000"
    assert picture.fills[0].colour not in {"#000000", "#ffffff"}


def test_a_line_is_cut_at_the_edge_of_the_window():
    room = OnPaper(scale=2.0, room=((0.0, 0.0), (10.0, 10.0)))
    square = ChainPart(
        look=Look(layer="S-FNDN-WALL"), points=((1, 1), (9, 1), (9, 4), (1, 4)), closed=True
    )
    strokes, _ = inked((square, line((6, 6), (9, 9))), LAYERS, room, 1.0)
    assert [each.closed for each in strokes] == [False, False]
    assert strokes[0].points == ((2, 2), (10, 2))
    assert strokes[1].points == ((10, 8), (2, 8), (2, 2))


def test_layers_are_inked_in_the_colours_of_their_indexes():
    every = {**LAYERS, **RECORD_LAYERS, **ALL_LAYERS}
    assert {look[0] for look in every.values()} == {*COLOURS}
    # What is white on a dark screen is black on paper.
    for index, colour in COLOURS.items():
        assert index == 7 or colour == f"#{DXF_DEFAULT_COLORS[index] & 0xFFFFFF:06x}"


def test_dashes_of_a_png_leave_gaps():
    picture = model_picture((line((0, 5), (30, 5)),), LAYERS, 1.0, ((0, 0), (30, 10)))
    (full,) = picture.strokes
    dashed = replace(picture, strokes=(replace(full, dashes=(6.0, 4.0), width=0.5),))
    grey = png_image(dashed, 10).convert("L")
    inked_at = [grey.getpixel((x, 50)) < 128 for x in (20, 50, 80, 120, 150, 180, 220)]
    assert inked_at == [True, True, False, True, True, False, True]


@pytest.mark.parametrize(
    ("given", "set_as"),
    [("36′ 0″", "36' 0\""), ("Łódź", "Lódz"), ("Grünau", "Grünau"), ("倉庫", "??")],
)
def test_letters_the_face_lacks_are_set_as_their_likeness(given, set_as):
    assert printable(given) == set_as


def test_widths_are_the_faces_own():
    # Helvetica's published widths: A 667, B 667, one 556 thousandths; a capital is 718 high.
    assert line_width("AB1", 0.718) == pytest.approx(1.89, rel=0, abs=1e-9)
