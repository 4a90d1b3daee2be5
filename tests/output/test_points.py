"""The points file, read back as a spreadsheet and a collector would."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from staking.laid_out.layout_value import Layout
from staking.output.points.stake_points import cell_text, fixed, layout_points, write_points_csv
from staking.plan import Corner

MARK = "KXQZBCDF of 2026-11-30"


def read(layout: Layout) -> list[dict[str, str]]:
    stream = io.StringIO(newline="")
    write_points_csv(layout, stream, MARK)
    return list(csv.DictReader(io.StringIO(stream.getvalue(), newline="")))


def test_every_stake_board_nail_and_pad_is_there_in_the_unit_of_the_job(
    small_layout: Layout,
) -> None:
    rows = {row["point"]: row for row in read(small_layout)}
    assert list(rows["A"]) == ["point", "x_ft", "y_ft", "description", "layout"]
    assert set(rows) == {
        "A",
        "B",
        "C",
        "D",
        "P1",
        "G_from",
        "G_to",
        "hub_A_A-B",
        "board_1_end_1",
        "board_1_end_2",
        *(f"board_1_mark_{n}" for n in (1, 2, 3, 4)),
    }
    assert (rows["C"]["x_ft"], rows["C"]["y_ft"]) == ("24.0000", "16.0000")
    assert rows["board_1_mark_3"]["y_ft"] == "-0.5000"
    assert rows["board_1_mark_3"]["description"] == "board 1 outer footing edge A-B"


@pytest.mark.parametrize(
    ("unit", "x"),
    [("m", "7.3152"), ("mm", "7315.2"), ("in", "288.000"), ("us-ft", "24.0000")],
)
def test_coordinates_hold_a_tenth_of_a_millimetre_in_every_unit(
    small_layout: Layout, unit: str, x: str
) -> None:
    layout = replace(small_layout, options=replace(small_layout.options, unit=unit))
    row = next(row for row in read(layout) if row["point"] == "B")
    assert row[f"x_{unit}"] == x
    assert row[f"y_{unit}"].strip("0") == "."


def test_a_name_is_used_once_and_the_job_keeps_its_own(small_layout: Layout) -> None:
    building = small_layout.plan.buildings[0]
    corners = (Corner(name="G_from", x=0.0, y=0.0), *building.corners[1:])
    plan = replace(small_layout.plan, buildings=(replace(building, corners=corners),))
    names = [point.name for point in layout_points(replace(small_layout, plan=plan))]
    assert len(names) == len(set(names))
    assert names[0] == "G_from"
    assert "G_from_2" in names


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_text_cannot_start_a_formula(start: str) -> None:
    assert cell_text(f"{start}HYPERLINK(1)") == f"'{start}HYPERLINK(1)"
    assert cell_text(f"  \t{start}1") == f"'{start}1"


def test_quotes_and_line_ends_stay_in_their_cell(small_layout: Layout) -> None:
    building = replace(small_layout.plan.buildings[0], name='ba"rn\r\n=1,2')
    layout = replace(small_layout, plan=replace(small_layout.plan, buildings=(building,)))
    rows = read(layout)
    assert rows[0]["description"] == 'corner of ba"rn  =1,2'
    assert len(rows) == len(layout_points(layout))


def test_every_row_carries_the_layouts_mark(small_layout: Layout) -> None:
    assert {row["layout"] for row in read(small_layout)} == {MARK}


def test_a_coordinate_is_never_negative_nothing() -> None:
    assert fixed(-0.00001, 4) == "0.0000"
    assert fixed(-0.5, 4) == "-0.5000"
