"""Labels beside the points of a drawing, and attributes whose meaning the user names.

The drawings are made here with ezdxf; what they must be read as stands beside them.
"""

from __future__ import annotations

import io
import math
from typing import Any

import ezdxf
import numpy as np
import pytest
from ezdxf.enums import TextEntityAlignment

from staking.errors import InputError
from staking.points import SurveyPoints, SurveySettings
from staking.survey.dxf.points_from_drawing import parse_dxf

VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")
SHOTS = {"101": (0.0, 0.0, 99.10), "102": (40.0, 3.0, 99.45), "BM1": (25.0, 30.0, 100.00)}
TURNED = math.radians(17.0)


def drawing(units: int = 6, version: str = "R2010") -> tuple[Any, Any]:
    doc = ezdxf.new(version, setup=False)  # type: ignore[attr-defined]
    doc.header["$INSUNITS"] = units
    return doc, doc.modelspace()


def read(doc: Any, **settings: Any) -> SurveyPoints:
    stream = io.StringIO()
    doc.write(stream)
    # Before the version of 2007 a drawing is in a code page of the computer it was written on.
    data = stream.getvalue().encode(doc.output_encoding)
    return parse_dxf(io.BytesIO(data), "a.dxf", SurveySettings(**settings))


def told(found: SurveyPoints) -> dict[str, str]:
    return {each.kind: each.text.format(**dict(each.values)) for each in found.notices}


def by_name(found: SurveyPoints) -> dict[str, tuple[float, str]]:
    return {
        str(name): (round(float(level), 6), str(word))
        for name, level, word in zip(
            found.names, found.elevation, found.descriptions, strict=True
        )
    }  # fmt: skip


def labelled(
    *, version: str = "R2010", is_flat: bool = True, turn: float = 0.0, scale: float = 1.0
) -> Any:
    """Draw three points with name, elevation and code beside each, each kind on its layer."""
    doc, space = drawing(version=version)
    codes = ("IP", "IP", "nail in oak")
    for (name, at), code in zip(SHOTS.items(), codes, strict=True):
        x, y = (at[0] * math.cos(turn) - at[1] * math.sin(turn),
                at[0] * math.sin(turn) + at[1] * math.cos(turn))  # fmt: skip
        z = 0.0 if is_flat else at[2]
        space.add_point((x * scale, y * scale, z))
        for layer, text, up in (
            ("PT-NO", name, 1.0), ("PT-ELEV", f"{at[2]:.2f}", -0.5), ("PT-CODE", code, -2.0),
        ):  # fmt: skip
            right = 0.8
            place = (
                (x + right * math.cos(turn) - up * math.sin(turn)) * scale,
                (y + right * math.sin(turn) + up * math.cos(turn)) * scale,
            )
            space.add_text(
                text,
                height=1.0 * scale,
                rotation=math.degrees(turn),
                dxfattribs={"layer": layer},
            ).set_placement(place)
    return doc


WANTED = {"101": (99.1, "IP"), "102": (99.45, "IP"), "BM1": (100.0, "nail in oak")}


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize("turn", [0.0, TURNED])
def test_names_elevations_and_codes_beside_points_are_read(version: str, turn: float) -> None:
    found = read(labelled(version=version, turn=turn), unit="m")
    assert by_name(found) == WANTED
    said = told(found)
    assert said["labels-beside"].startswith("9 texts are taken for labels of the points beside ")
    assert said["drawing-columns"] == (
        "what --columns takes here, in this order, and how it is read: labels on layer PT-NO "
        "(point), labels on layer PT-ELEV (elevation), labels on layer PT-CODE (description)"
    )
    assert "flat-drawing" not in said


def test_a_height_that_is_drawn_stands_over_the_one_beside_it_and_a_difference_is_said() -> None:
    doc = labelled(is_flat=False)
    assert "height-differs" not in told(read(doc))
    doc.modelspace().query("POINT")[1].dxf.location = (40.0, 3.0, 98.45)
    found = read(doc)
    assert by_name(found)["102"][0] == 98.45
    (said,) = [each for each in found.notices if each.kind == "height-differs"]
    assert dict(said.values)["names"] == "102"
    assert dict(said.values)["most"].metres == pytest.approx(1.0, abs=1e-9)  # type: ignore[union-attr]


def test_a_label_between_two_points_is_listed_and_no_name_is_guessed() -> None:
    doc, space = drawing()
    for x in (0.0, 10.0, 12.0):
        space.add_point((x, 0, 5))
    for text, x in (("1", 0.5), ("2", 10.7)):
        space.add_text(text, height=0.6).set_placement((x, 0.2))
    found = read(doc)
    assert list(found.names) == ["1", "2", "3"]
    assert told(found)["points-numbered"] == "2 points have no name and are numbered"
    assert told(found)["labels-between-points"] == (
        "a label stands nearly as near to another point as to one, and is not read: 2 at x 10.7, "
        "y 0.2"
    )


def test_two_names_at_one_point_are_listed_and_neither_is_taken() -> None:
    doc, space = drawing()
    space.add_point((0, 0, 5))
    space.add_point((30, 0, 5))
    for text, place in (("7", (0.5, 0.2)), ("8", (0.5, -1.2)), ("9", (30.5, 0.2))):
        space.add_text(text, height=1.0).set_placement(place)
    found = read(doc)
    assert sorted(found.names) == ["1", "9"]
    assert told(found)["labels-of-one-point"].endswith("none of these is read: 7 and 8 at x 0, y 0")


def test_a_text_beyond_reach_names_nothing() -> None:
    doc, space = drawing()
    for x in (0.0, 40.0):
        space.add_point((x, 0, 5))
        # 3 times the letters' height is the reach: of 1 m, and the second is 3.1 m above.
        space.add_text(f"P{x:.0f}", height=1.0).set_placement((x, 2.9 if x else 3.1))
    found = read(doc)
    assert sorted(found.names) == ["1", "P40"]


def test_a_layer_whose_texts_seldom_stand_beside_points_is_no_layer_of_labels() -> None:
    doc, space = drawing()
    space.add_point((0, 0, 5))
    space.add_text("Mill Lane", height=1.0).set_placement((0.5, 0.2))
    for x in (50, 100, 150):
        space.add_text("Mill Lane", height=1.0).set_placement((x, 0.2))
    found = read(doc)
    assert list(found.names) == ["1"]
    assert list(found.descriptions) == [""]
    assert "4 TEXT" in told(found)["entities-passed-over"]


def test_one_text_of_several_lines_is_name_elevation_and_description() -> None:
    doc, space = drawing()
    for name, (x, y, z) in SHOTS.items():
        space.add_point((x, y, 0))
        space.add_mtext(f"{name}\\PEL. {z:.2f}\\Pby hand", dxfattribs={
            "char_height": 0.5, "insert": (x + 0.3, y + 0.3), "attachment_point": 7,
        })  # fmt: skip
    assert by_name(read(doc)) == {
        "101": (99.1, "by hand"), "102": (99.45, "by hand"), "BM1": (100.0, "by hand"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("align", "at"),
    [
        (TextEntityAlignment.RIGHT, (-0.5, 0.3)),
        (TextEntityAlignment.TOP_RIGHT, (-0.5, -0.3)),
        (TextEntityAlignment.CENTER, (0.0, 0.7)),
        (TextEntityAlignment.TOP_CENTER, (0.0, -0.7)),
        (TextEntityAlignment.MIDDLE_LEFT, (0.5, 0.0)),
        (TextEntityAlignment.MIDDLE, (0.0, 0.0)),
    ],
)
def test_a_label_may_stand_on_any_side_of_its_point(
    align: TextEntityAlignment, at: tuple[float, float]
) -> None:
    doc, space = drawing()
    for name, x in (("STN-1001", 0.0), ("STN-1002", 9.0)):
        space.add_point((x, 0, 5))
        space.add_text(name, height=1.0).set_placement((x + at[0], at[1]), align=align)
    assert list(read(doc).names) == ["STN-1001", "STN-1002"]


def test_decimals_beside_points_in_millimetres_are_not_read_as_millimetres() -> None:
    doc, space = drawing(units=4)
    space.add_point((0, 0))
    space.add_point((40_000, 0))
    space.add_text("99.10", height=1000).set_placement((500, 200))
    space.add_text("99.45 m", height=1000).set_placement((40_500, 200))
    found = read(doc)
    assert math.isnan(found.elevation[0])
    assert found.elevation[1] == pytest.approx(99.45, abs=1e-9)
    assert (
        "numbers with decimals and no unit, in a drawing in millimetres"
        in told(found)["levels-without-unit"]
    )


def test_a_foot_mark_in_a_survey_in_the_other_foot_means_its_own() -> None:
    doc, space = drawing(units=21)
    space.add_point((0, 0))
    space.add_text("312.40'", height=1).set_placement((0.5, 0.2))
    assert read(doc).elevation[0] == pytest.approx(312.40 * 1200 / 3937, abs=1e-9)


def test_layers_that_may_both_hold_the_names_are_asked_about() -> None:
    doc, space = drawing()
    for x, one, two in ((0, "1", "K7"), (40, "2", "K8"), (80, "3", "K9")):
        space.add_point((x, 0, 5))
        for layer, text, up in (("FIRST", one, 0.3), ("SECOND", two, -1.3)):
            space.add_text(text, height=1, dxfattribs={"layer": layer}).set_placement((x + 1, up))
    said = told(read(doc))["label-names-untold"]
    assert said == (
        "nothing tells which of the labels on layers FIRST and SECOND are the points' names, so "
        "they are read as descriptions; name them in the order listed, as in --columns "
        "point,description (columns: under site:)"
    )
    found = read(doc, columns=("-", "point"))
    assert list(found.names) == ["K7", "K8", "K9"]
    assert list(found.descriptions) == ["", "", ""]


def test_a_layer_with_all_three_kinds_of_label_is_told_by_one_word() -> None:
    doc, space = drawing()
    for name, (x, y, z) in SHOTS.items():
        space.add_point((x, y, 0))
        for text, up in ((name, 0.5), (f"{z:.2f}", -1.0), ("hub", -2.5)):
            space.add_text(text, height=1).set_placement((x + 0.6, y + up))
    wanted = {name: (at[2], "hub") for name, at in SHOTS.items()}
    assert by_name(read(doc)) == by_name(read(doc, columns=("point",))) == wanted


# --- attributes -----------------------------------------------------------------------------------


def with_blocks(*rows: dict[str, str], version: str = "R2010") -> Any:
    doc, space = drawing(version=version)
    doc.blocks.new("MARK")
    for index, row in enumerate(rows):
        mark = space.add_blockref("MARK", (10.0 * index, 5.0))
        for tag, value in row.items():
            mark.add_attrib(tag, value)
    return doc


ROWS = ({"AA": "oak", "BB": "7", "CC": "99.10"}, {"AA": "peg", "BB": "8", "CC": "99.45"},
        {"AA": "peg", "BB": "9", "CC": ""})  # fmt: skip


@pytest.mark.parametrize("version", VERSIONS)
def test_attributes_that_say_nothing_are_listed_and_chosen(version: str) -> None:
    doc = with_blocks(*ROWS, version=version)
    doc.modelspace().add_point((99, 99, 99))
    said = told(read(doc, unit="m"))
    assert said["attributes-unread"] == (
        "3 blocks MARK have the attributes AA, BB, CC, none of which is read as a point's name; "
        "where they are points, name the attributes in the order listed, as in --columns "
        "point,elevation (columns: under site:), and - for one to pass over"
    )
    assert said["drawing-columns"].endswith("attribute AA (-), attribute BB (-), attribute CC (-)")
    found = read(doc, unit="m", columns=("description", "point", "elevation"))
    assert list(found.names)[:3] == ["7", "8", "9"]
    assert list(found.descriptions)[:3] == ["oak", "peg", "peg"]
    assert found.elevation[:2].tolist() == [99.10, 99.45]
    assert np.isnan(found.elevation[2])


def test_a_choice_stands_over_what_the_attributes_call_themselves() -> None:
    doc = with_blocks({"NAME": "oak", "NO": "7"}, {"NAME": "peg", "NO": "8"})
    assert list(read(doc).names) == ["oak", "peg"]
    assert list(read(doc, columns=("description", "point")).names) == ["7", "8"]
    # Behind the last column there is nothing to pass over.
    assert list(read(doc, columns=("-", "point", "-")).names) == ["7", "8"]


def test_columns_of_a_text_file_are_passed_over_for_a_drawing_and_that_is_said() -> None:
    doc = with_blocks({"NAME": "oak"})
    found = read(doc, columns=("point", "northing", "easting"))
    assert list(found.names) == ["oak"]
    assert "columns-of-places" in told(found)


def test_more_columns_than_attributes_and_labels_are_refused_with_the_list() -> None:
    with pytest.raises(InputError) as fault:
        read(with_blocks(*ROWS), columns=("point", "-", "-", "description"))
    assert str(fault.value) == (
        "a.dxf, columns: 4 columns are named, and the drawing has 3: attribute AA, attribute BB, "
        "attribute CC; name those in this order, and - for one to pass over"
    )
    doc, space = drawing()
    space.add_point((1, 2, 3))
    with pytest.raises(InputError, match="has neither attributes nor labels; leave the columns"):
        read(doc, columns=("point",))


def test_a_spot_height_without_a_name_is_a_point_with_a_height() -> None:
    found = read(with_blocks({"ELEV": "99.10"}, {"ELEV": "99.45"}))
    assert list(found.names) == ["1", "2"]
    assert found.elevation.tolist() == [99.10, 99.45]


def test_lines_drawn_flat_have_no_height_where_the_points_have_theirs_in_words() -> None:
    doc = labelled()
    doc.modelspace().add_line((0, 0), (40, 3))
    (line,) = read(doc).lines
    assert np.isnan(line.vertices[:, 2]).all()
