"""``staking survey`` as it is typed."""

import json
import os
import subprocess
import sys
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner

from staking.cli import main

DATA = Path(__file__).parents[1] / "data" / "surveys"
PLAN = DATA / "geojson_cadastral_plan_148_points_with_grid_coordinates.geojson"
LOT = '''\
point,northing,easting,elevation,description
101,5000.00,5000.00,100.00,iron pin
0102,5100.00,5000.00,101.50,"oak, 24"""
103,5100.00,5150.00,,fence
103,5100.02,5150.01,102.00,fence
'''


@pytest.fixture
def lot(tmp_path):
    path = tmp_path / "lot.csv"
    path.write_text(LOT, encoding="utf-8")
    return path


def run(*arguments):
    return CliRunner().invoke(main, ["survey", *map(str, arguments)])


def test_it_says_what_the_file_holds(lot):
    result = run(lot, "--unit", "ft")
    assert result.exit_code == 0, result.output
    for words in ("delimited text", "ft, feet of 0.3048 m", "point, northing, easting"):
        assert words in result.stdout
    rows = [line.split() for line in result.stdout.splitlines()]
    assert ["points", "4"] in rows
    assert ["without", "elevation", "1"] in rows
    assert ["names", "that", "repeat", "1"] in rows
    assert ["northing", "5000.0000", "5100.0200", "100.0200"] in rows
    assert "N is up" in result.stdout
    assert "103" in result.stderr
    assert "no elevation" in result.stderr


def test_the_map_puts_points_where_they_lie(lot):
    lines = run(lot, "--unit", "ft").stdout.splitlines()
    first, last = [at for at, line in enumerate(lines) if line.startswith("+--")]
    drawn = [line[1:-1] for line in lines[first + 1 : last]]
    # A pin and an oak a hundred feet apart on the left, two shots of one post at the upper right.
    assert drawn[-1].strip() == "x"
    assert drawn[-1].startswith("x")
    assert lines[last + 1].endswith("x corner of the lot")
    assert drawn[0].startswith(".")
    assert drawn[0].endswith("o")
    assert "".join(drawn).split() == [".", "o", "x"]


def test_json_is_the_document_and_nothing_else(lot):
    result = run(lot, "--unit", "us-ft", "--json")
    assert result.exit_code == 0
    assert result.stderr == ""
    document = json.loads(result.stdout)
    assert document["schema"] == "staking/survey/1"
    assert document["unit"] == "us-ft"
    assert document["crs"] is None
    assert document["count"] == 4
    assert document["extent"] == {
        "northing": [5000.0, 5100.02],
        "easting": [5000.0, 5150.01],
        "elevation": [100.0, 102.0],
    }
    assert document["duplicates"] == ["103"]
    assert document["points"][1] == {
        "name": "0102",
        "northing": 5100.0,
        "easting": 5000.0,
        "elevation": 101.5,
        "description": 'oak, 24"',
        "line": 3,
    }
    assert document["points"][2]["elevation"] is None
    assert any("103" in warning for warning in document["warnings"])


def test_another_unit_may_be_asked_for(lot):
    document = json.loads(run(lot, "--unit", "ft", "--to-unit", "mm", "--json").stdout)
    assert document["unit"] == "mm"
    assert document["points"][0]["northing"] == pytest.approx(5000 * 304.8)


@pytest.mark.parametrize("suffix", [".csv", ".xml", ".dxf", ".geojson"])
def test_what_is_written_reads_back(lot, tmp_path, suffix):
    target = tmp_path / f"out{suffix}"
    crs = ("--crs", "EPSG:2248")
    assert run(lot, "--unit", "us-ft", *crs, "--to", target).exit_code == 0
    asked = ("--unit", "us-ft", *crs) if suffix == ".csv" else ()
    result = run(target, *asked, "--json")
    assert result.exit_code == 0, result.output
    document = json.loads(result.stdout)
    assert document["unit"] == "us-ft"
    assert [point["name"] for point in document["points"]] == ["101", "0102", "103", "103"]
    assert document["points"][1]["description"] == 'oak, 24"'
    assert document["points"][3]["easting"] == pytest.approx(5150.01, abs=1e-4)
    assert [each.name for each in tmp_path.iterdir()].count(target.name) == 1
    assert not list(tmp_path.glob(".staking-*"))


def test_a_file_that_is_there_is_kept_unless_forced(lot, tmp_path):
    target = tmp_path / "out.csv"
    target.write_text("mine\n", encoding="utf-8")
    result = run(lot, "--unit", "ft", "--to", target)
    assert result.exit_code == 4
    assert result.stderr == (
        f"{target}: this file was not written by staking; move it away, give another --to, or "
        "give --force to replace it\n"
    )
    assert target.read_text(encoding="utf-8") == "mine\n"
    assert run(lot, "--unit", "ft", "--to", target, "--force").exit_code == 0
    assert target.read_text(encoding="utf-8").startswith("point,northing_ft")
    assert run(lot, "--unit", "ft", "--to", target).exit_code == 0


def test_the_survey_that_is_read_is_never_written_over(lot, tmp_path):
    before = lot.read_bytes()
    other = tmp_path / "same.csv"
    other.hardlink_to(lot)
    for target in (lot, other):
        result = run(lot, "--unit", "ft", "--to", target, "--force")
        assert result.exit_code == 4
        assert result.stderr == (
            f"{target}: this is the survey that is read, and is never written over; give "
            "another --to\n"
        )
    assert lot.read_bytes() == before


def test_a_fault_while_writing_leaves_the_old_file(lot, tmp_path):
    target = tmp_path / "out.geojson"
    target.write_text("mine\n", encoding="utf-8")
    result = run(lot, "--unit", "ft", "--to", target, "--force")
    assert result.exit_code == 4
    assert "give it with --crs" in result.stderr
    assert target.read_text(encoding="utf-8") == "mine\n"
    assert not list(tmp_path.glob(".staking-*"))


def test_a_folder_that_is_not_there_is_said(lot, tmp_path):
    result = run(lot, "--unit", "ft", "--to", tmp_path / "nowhere" / "out.csv")
    assert result.exit_code == 4
    assert "cannot be written" in result.stderr


def test_a_grid_may_be_changed(tmp_path):
    target = tmp_path / "plan.dxf"
    result = run(PLAN, "--to", target, "--to-crs", "EPSG:28350")
    assert result.exit_code == 0, result.output
    assert json.loads(run(target, "--json").stdout)["crs"] == "EPSG:28350"
    assert ezdxf.readfile(target).header["$INSUNITS"] == 6


def test_changing_the_grid_needs_one(lot):
    result = run(lot, "--unit", "ft", "--to-crs", "EPSG:2248")
    assert result.exit_code == 3
    assert "nothing says which coordinate system the survey is in; give it with --crs" in (
        result.stderr
    )


def test_several_files_are_told_each_in_turn(lot, tmp_path):
    gone = tmp_path / "gone.csv"
    result = run(PLAN, gone, lot, "--unit", "ft")
    assert result.exit_code == 3
    assert "there is no such file" in result.stderr
    assert "GeoJSON" in result.stdout
    assert "delimited text" in result.stdout
    both = run(PLAN, DATA / "geojson_shore_boundary_string_repeated_id.geojson", "--json")
    assert [each["count"] for each in json.loads(both.stdout)] == [148, 23]


def test_several_files_are_not_written_as_one(lot, tmp_path):
    result = run(lot, lot, "--to", tmp_path / "out.csv")
    assert result.exit_code == 2
    assert "several files" in result.stderr


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--unit", "yards"), "yards"),
        (("--columns", "point,north"), "'north' is not a column"),
        (("--columns", "point,point"), "point is named twice"),
        (("--to", "out.pdf"), "ends in none of"),
        (("--crs", "EPSG:1"), "names no coordinate system"),
    ],
)
def test_a_wrong_option_is_said(lot, options, words):
    result = run(lot, *options)
    assert result.exit_code in {2, 3}
    assert words in result.stderr


def test_bad_lines_may_be_skipped(tmp_path):
    path = tmp_path / "lot.csv"
    path.write_text("point,northing,easting\n1,10,20\n2,1O,20\n3,11,21\n", encoding="utf-8")
    assert run(path, "--unit", "m").exit_code == 3
    result = run(path, "--unit", "m", "--skip-bad-lines")
    assert result.exit_code == 0
    assert "1O" in result.stderr


def test_text_in_a_file_cannot_steer_the_terminal(tmp_path):
    path = tmp_path / "lot.geojson"
    document = {
        "type": "Feature",
        "id": "\x1b[31mA",
        "properties": {"description": "\x1b]0;x\x07"},
        "geometry": {"type": "Point", "coordinates": [9.0, 1.0]},
    }
    path.write_text(json.dumps(document), encoding="utf-8")
    result = run(path)
    assert result.exit_code == 0
    assert "\x1b" not in result.output


def test_a_surface_without_points_is_counted(tmp_path):
    doc = ezdxf.new("R2010", setup=False)
    doc.header["$INSUNITS"] = 6
    doc.modelspace().add_3dface([(0, 0, 1), (10, 0, 2), (10, 10, 3)])
    doc.saveas(tmp_path / "ground.dxf")
    document = json.loads(run(tmp_path / "ground.dxf", "--json").stdout)
    assert document["count"] == 3
    assert document["extent"]["elevation"] == [1.0, 3.0]
    assert document["points"] == []


def test_the_help_loads_nothing_heavy():
    code = (
        "import sys\nfrom click.testing import CliRunner\nfrom staking.cli import main\n"
        "CliRunner().invoke(main, ['survey', '--help'])\n"
        "print(*(name for name in ('numpy', 'pyproj', 'ezdxf') if name in sys.modules))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=os.environ
    )
    assert done.stdout.strip() == ""


def test_what_a_format_cannot_hold_is_said(tmp_path):
    result = run(PLAN, "--to", tmp_path / "plan.csv")
    assert result.exit_code == 0
    assert "a .csv cannot hold it: lines, the coordinate system" in result.stderr


def test_what_the_user_said_is_shown_as_such(lot):
    result = run(lot, "--unit", "us-ft", "--crs", "EPSG:2248")
    assert "1200/3937 m (as you gave it)" in result.stdout
    assert "EPSG:2248 (as you gave it)" in result.stdout


def test_half_a_character_in_a_name_breaks_nothing(tmp_path):
    path = tmp_path / "lot.geojson"
    path.write_text(
        '{"type": "Feature", "id": "A\\ud800", "properties": null,'
        ' "geometry": {"type": "Point", "coordinates": [9, 1]}}',
        encoding="utf-8",
    )
    document = json.loads(run(path, "--json").stdout)
    assert document["points"][0]["name"] == "A\ufffd"


def zeros(tmp_path):
    path = tmp_path / "zeros.csv"
    rows = "".join(f"{i},{5000 + i}.5,4000.5,{z}\n" for i, z in enumerate((0, 231.2, 0, 244.75), 1))
    path.write_text("point,northing,easting,elevation\n" + rows, encoding="utf-8")
    return path


ZEROS = "2 of 4 elevations are exactly 0 (points 1, 3), and the others lie between 231.2 and 244.75"


def test_a_look_says_what_is_doubtful_and_writing_refuses_it(tmp_path):
    path = zeros(tmp_path)
    looked = run(path, "--unit", "ft")
    assert looked.exit_code == 0
    assert ZEROS in " ".join(looked.stderr.split())
    target = tmp_path / "out.csv"
    written = run(path, "--unit", "ft", "--to", target)
    assert written.exit_code == 3
    assert ZEROS in written.stderr
    assert not target.exists()


@pytest.mark.parametrize(("given", "levels"), [("0", [None, 231.2, None, 244.75]),
                                               ("none", [0.0, 231.2, 0.0, 244.75])])  # fmt: skip
def test_the_user_says_what_zeros_are(tmp_path, given, levels):
    result = run(zeros(tmp_path), "--unit", "ft", "--no-elevation", given, "--json")
    assert result.exit_code == 0
    assert [each["elevation"] for each in json.loads(result.stdout)["points"]] == levels


def test_what_is_no_number_is_refused_for_an_elevation(tmp_path):
    result = run(zeros(tmp_path), "--unit", "ft", "--no-elevation", "zero")
    assert result.exit_code == 2
    assert (
        "'zero' is not a number; write one such as 0, or none where every elevation"
        in result.stderr
    )


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--to-crs", "EPSG:26915"), "EPSG:26715 and EPSG:26915 rest on different datums"),
        (("--to", "out.geojson"), "EPSG:26715 and the latitudes and longitudes written (WGS 84)"),
        (("--to", "out.gpx"), "EPSG:26715 and the latitudes and longitudes written (WGS 84)"),
    ],
)
def test_a_change_of_datum_is_said(tmp_path, monkeypatch, options, said):
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "old.csv"
    path.write_text("point,northing,easting\n1,4650000.25,500000.50\n", encoding="utf-8")
    result = run(path, "--crs", "EPSG:26715", *options)
    assert result.exit_code == 0, result.output
    words = " ".join(result.stderr.split())
    assert said in words
    assert "NAD27 to WGS 84" in words
    assert "which is known to" in words


def test_one_datum_in_two_zones_is_no_shift(tmp_path):
    path = tmp_path / "new.csv"
    path.write_text("point,northing,easting\n1,4650000.25,500000.50\n", encoding="utf-8")
    result = run(path, "--crs", "EPSG:26915", "--to-crs", "EPSG:26914")
    assert result.exit_code == 0
    assert "different datums" not in " ".join(result.stderr.split())


def test_the_listing_names_surfaces_and_says_that_a_job_chooses():
    path = DATA / "faults" / "landxml_two_surfaces.xml"
    result = run(path)
    assert result.exit_code == 0
    rows = [line.split() for line in result.stdout.splitlines()]
    assert ["surface", "EG", "5", "points,", "4", "faces,", "101.20", "to", "102.40", "m"] in rows
    assert ["surface", "FG", "5", "points,", "4", "faces,", "103.00", "to", "103.00", "m"] in rows
    assert "The 2 surfaces differ; a job says which is its ground" in result.stderr
