"""Heights in rows and columns as text; the values are counted out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from staking.errors import InputError
from staking.ground_scan import Window
from staking.kinds import ScanKind
from staking.points import SurveySettings
from staking.survey.read import read_survey
from staking.survey.scanned import points_from_grid
from staking.survey.scanned.read_scan import read_scan

METRES = SurveySettings(unit="m")
LOOK = SurveySettings(unit="m", is_listing=True)
HERE = Window(south=4_002, north=4_004, west=5_002, east=5_004)
GRID = """ncols 4
nrows 3
xllcorner 5000
yllcorner 4000
cellsize 2
NODATA_value -9999
1 2 3 -9999
5 6 7 8
9 10 11 12
"""


def written(folder: Path, text: str, name: str = "heights.asc") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8", newline="")
    return path


def test_rows_run_from_the_north_and_heights_stand_for_the_middle_of_their_cells(
    tmp_path: Path,
) -> None:
    found = read_scan(written(tmp_path, GRID), METRES, HERE)
    rows = np.column_stack((found.easting, found.northing, found.elevation)).tolist()
    # The lowest left cell has its corner at 5000, 4000 and its middle at 5001, 4001.
    assert rows == [
        [5001, 4005, 1], [5003, 4005, 2], [5005, 4005, 3],
        [5001, 4003, 5], [5003, 4003, 6], [5005, 4003, 7], [5007, 4003, 8],
        [5001, 4001, 9], [5003, 4001, 10], [5005, 4001, 11], [5007, 4001, 12],
    ]  # fmt: skip
    assert found.scan is not None
    assert (found.scan.kind, found.scan.cell, found.scan.count) == (ScanKind.GRID, 2.0, 11)


@pytest.mark.parametrize(
    "text",
    [
        GRID.replace("corner 5000", "center 5001").replace("corner 4000", "center 4001"),
        GRID.replace("\n", "\r\n").upper(),
        "\ufeff" + GRID.replace("nrows 3", "\nnrows\t3 "),
        GRID.replace("5 6 7 8\n", "5 6\n7\n8 ").replace("cellsize 2", "cellsize 2.0e0"),
        GRID.replace("NODATA_value -9999\n", ""),
        GRID.replace("-9999", "1e30"),
        GRID.replace("3 -9999", "3 nan"),
    ],
)
def test_the_same_grid_in_other_spellings(tmp_path: Path, text: str) -> None:
    found = read_scan(written(tmp_path, text), METRES, HERE)
    assert found.count == 11
    assert (found.easting.min(), found.northing.max(), found.elevation.sum()) == (5001, 4005, 74)


def test_a_look_gives_extent_and_count_and_lists_nothing(tmp_path: Path) -> None:
    found = read_survey(written(tmp_path, GRID), LOOK)
    assert found.count == 0
    assert found.scan is not None
    assert (found.scan.count, found.scan.ground) == (11, 11)
    assert found.scan.extent == ((4001, 4005), (5001, 5007), (1, 12))
    assert found.format == "height grid as text"


def test_only_the_window_with_its_margin_is_kept(tmp_path: Path) -> None:
    side = 200
    numbers = np.arange(side * side).reshape(side, side)
    body = "\n".join(" ".join(map(str, row)) for row in numbers.tolist())
    head = f"ncols {side}\nnrows {side}\nxllcenter 0\nyllcenter 0\ncellsize 1\n"
    path = written(tmp_path, head + body)
    found = read_scan(path, METRES, Window(south=100, north=100, west=100, east=100))
    # 60 m round the place: 121 cells each way.
    assert found.count == 121 * 121
    assert (found.northing.min(), found.northing.max()) == (40, 160)
    wanted = numbers[::-1][found.northing.astype(int), found.easting.astype(int)]
    assert np.array_equal(found.elevation, wanted)
    assert read_scan(path, METRES, Window(south=900, north=900, west=0, east=0)).count == 0


def test_blocks_may_end_anywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = written(tmp_path, GRID)
    whole = read_scan(path, METRES, HERE)
    for size in (1, 2, 3, 7, 11):
        monkeypatch.setattr(points_from_grid, "BLOCK", size)
        assert np.array_equal(read_scan(path, METRES, HERE).elevation, whole.elevation)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("ncols 4", "ncols 4.5", "line 1: ncols is “4.5”, which is not a whole number; "
         "write one"),
        ("nrows 3", "nrows -3", "line 2: nrows is “-3”, which is not a whole number; "
         "write one"),
        ("nrows 3", "nrows three", "line 2: nrows is “three”, which is not a whole number; "
         "write one"),
        ("cellsize 2", "cellsize 0", "line 5: cellsize is not above 0; write the side of "
         "a cell"),
        ("cellsize 2", "cellsize inf", "line 5: cellsize is “inf”, which is not a number; "
         "write one"),
        ("cellsize 2", "dx 2", "line 5: “dx 2” is not a line of a height grid's head; the lines "
         "ncols, nrows, xllcorner, yllcorner and cellsize, each with its number, "
         "are due"),
        ("cellsize 2", "nrows 2", "line 5: nrows stands twice, first in line 2; keep "
         "one"),
        ("xllcorner 5000\n", "", "the head of this height grid has no xllcorner or xllcenter; "
         "the lines ncols, nrows, xllcorner, yllcorner and cellsize, each with its number, "
         "are due"),
        ("cellsize 2\n", "", "the head of this height grid has no cellsize; the lines ncols, "
         "nrows, xllcorner, yllcorner and cellsize, each with its number, "
         "are due"),
        ("yllcorner 4000\n", "yllcorner 4000\nyllcenter 4001\n",
         "line 5: yllcorner and yllcenter are both given; keep one"),
        ("5 6 7 8", "5 6 7,5 8", "row 2, column 3: “7,5” is not a height; write a number with a "
         "decimal point"),
        ("9 10 11 12\n", "9 10 11\n", "the file has 11 heights, and its head says 4 times 3; get "
         "the file anew; a download may have been cut short"),
        ("9 10 11 12\n", "9 10 11 12 13\n", "the file has 13 heights, and its head says 4 times 3; "
         "get the file anew; a download may have been cut short"),
        ("ncols 4", "ncols 1000000000", "the head says that there are 1,000,000,000 times 3 "
         "heights, and the file has room for 16; get the file anew; a download may have been cut "
         "short"),
        ("9 10 11 12\n", "9" * 3000, "line 8: this holds a number of over a thousand signs"),
    ],
)  # fmt: skip
def test_a_damaged_grid_is_refused(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert old in GRID
    path = written(tmp_path, GRID.replace(old, new))
    for work in (lambda: read_survey(path, LOOK), lambda: read_scan(path, METRES, HERE)):
        with pytest.raises(InputError) as caught:
            work()
        assert re.sub(r"^(?:, |: )", "", str(caught.value).removeprefix(str(path))) == message


def test_a_grid_without_a_height_is_refused(tmp_path: Path) -> None:
    path = written(tmp_path, re.sub(r"\n[0-9].*", "\n-9999 -9999 -9999 -9999", GRID))
    with pytest.raises(InputError, match="no cell of this height grid has a height"):
        read_survey(path, LOOK)


def test_a_grid_never_says_its_unit(tmp_path: Path) -> None:
    path = written(tmp_path, GRID)
    with pytest.raises(InputError, match="nothing says in which unit northing and easting are"):
        read_survey(path, SurveySettings(is_listing=True))
    feet = read_scan(
        path,
        SurveySettings(unit="us-ft", heights="m"),
        Window(south=1220, north=1220, west=1524, east=1524),
    )
    assert feet.northing.max() == pytest.approx(4005 * 1200 / 3937, abs=1e-9, rel=0)
    assert feet.elevation.max() == 12
