"""A lot from its deed through the commands: from paper, on pins, as a text by itself."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main

ROOT = Path(__file__).parents[2]

HEAD = """job: Corner lot
building:
  rectangle: 24' x 16'
  wall: 8"
  footing: {width: 16", thickness: 8"}
site:
"""
COURSES = """  boundary:
    deed: [N 88 30 15 E 120.00', S 1 20 E 95.50', S 88 45 W 121.10', N 0 41 W 95.00']
"""
PASTED = """  boundary:
    deed: |
      Commencing at a stone; thence South 574.07 feet to the point of beginning;
      thence N 88°30'15" E 120.00 feet to an iron pin;
      thence S 1°20' E 95.50 feet; thence S 88°45' W 121.10 feet;
      thence N 0°41' W 95.00 feet to the point of beginning, containing 0.2636 acres.
"""
PLACE = "  place: {wall: A-B, along: [4, 3], from_first: 30', offset: left 30'}\n"
SURVEY = """point,northing,easting,elevation,description
101,5000.000,2000.000,100,pin
102,5003.133,2119.959,101,pin
103,4907.659,2122.181,102,pin
61,4960.000,2250.000,100,well
"""


def run(*arguments: object) -> Result:
    return CliRunner().invoke(main, [str(each) for each in arguments])


def job(folder: Path, site: str) -> Path:
    path = folder / "job.yaml"
    path.write_text(HEAD + site, encoding="utf-8")
    (folder / "lot.csv").write_text(SURVEY, encoding="utf-8")
    return path


def layout(path: Path) -> tuple[int, dict[str, object]]:
    done = run("layout", path, "--json")
    document = json.loads(done.stdout)
    schema = json.loads((ROOT / "docs" / "layout.schema.json").read_text(encoding="utf-8"))
    jsonschema.validate(document, schema)
    return done.exit_code, document


def test_a_lot_from_paper_is_placed_judged_and_said_to_be_a_sketch(tmp_path: Path) -> None:
    path = job(tmp_path, COURSES + PLACE + "  setbacks: {3-4: 25', other: 10'}\n")
    status, found = layout(path)
    assert status == 0
    # Worked out by hand in exact arithmetic: 0.0249 ft on 113.25 degrees, one in 17,337.
    closing = found["misclosure"]
    assert closing["distance"] == pytest.approx(0.0249, abs=5e-5)
    assert closing["bearing"] == pytest.approx(113.25, abs=0.005)
    assert closing["one_in"] == pytest.approx(17_337, abs=0.5)
    assert found["deed"]["area"] == pytest.approx(11_481.3, abs=0.05)
    assert found["deed"]["from_paper"] is True
    assert [line["line"] for line in found["boundary"]] == ["1-2", "2-3", "3-4", "4-1"]
    assert found["boundary"][0]["record"] == {
        "length": pytest.approx(120.0), "bearing": pytest.approx(88.5041666667)
    }  # fmt: skip
    assert {line["doubt"] for line in found["boundary"]} == {1.0}
    by = {(each["line"], each["what"]): each for each in found["clearances"]}
    assert by["3-4", "wall"]["distance"] == pytest.approx(30.0)
    assert all(each["ok"] for each in found["clearances"])
    assert any("a sketch from paper" in text for text in found["warnings"])


def test_from_paper_a_setback_kept_by_less_than_a_foot_is_not_ok(tmp_path: Path) -> None:
    kept_by_inches = PLACE.replace("left 30'", "left 25' 10\"")
    path = job(tmp_path, COURSES + kept_by_inches + "  setbacks: {3-4: 25'}\n")
    status, found = layout(path)
    assert status == 5
    by = {(each["line"], each["what"]): each for each in found["clearances"]}
    assert by["3-4", "wall"]["ok"] is False
    assert by["3-4", "wall"]["distance"] == pytest.approx(25 + 10 / 12)
    done = run("layout", path, "--out", tmp_path / "out", "--only", "json")
    assert "may be 1' 0\" off, so nobody can say" in " ".join(done.stderr.split())
    assert "not sure" in done.stdout
    # By a foot and an inch from the footing's edge it is kept.
    path = job(tmp_path, COURSES + PLACE.replace("left 30'", "left 26' 5\"")
               + "  setbacks: {3-4: 25'}\n")  # fmt: skip
    assert layout(path)[0] == 0


def test_with_pins_record_stands_beside_measured(tmp_path: Path) -> None:
    path = job(tmp_path, "  survey: lot.csv\n  units: ft\n" + COURSES
               + "    pins: {1: 101, 2: 102, 3: 103}\n" + PLACE
               + "  setbacks: {1-2: 10', 3-4: 25'}\n")  # fmt: skip
    status, found = layout(path)
    assert status == 0
    deed = found["deed"]
    assert deed["from_paper"] is False
    assert [pin["corner"] for pin in deed["pins"]] == ["1", "2", "3"]
    assert all(pin["apart"] < 0.01 for pin in deed["pins"])
    doubts = {line["line"]: line["doubt"] for line in found["boundary"]}
    assert doubts["1-2"] == doubts["2-3"] == 0.0
    assert 0.0249 < doubts["3-4"] < 0.04
    # From pin to pin: 101 to 102, by the survey's own coordinates.
    assert found["boundary"][0]["length"] == pytest.approx(120.0, abs=0.001)
    shown = run("layout", path, "--out", tmp_path / "out", "--only", "json")
    assert "Boundary: record (R) of the deed beside measured (M) from pin to pin" in shown.stdout
    assert "drawn" in shown.stdout


def test_the_same_deed_listed_and_pasted_gives_the_same_lot(tmp_path: Path) -> None:
    listed = layout(job(tmp_path, COURSES + PLACE))[1]
    pasted = layout(job(tmp_path, PASTED + PLACE))[1]
    for key in ("boundary", "misclosure", "clearances", "corners"):
        assert listed[key] == pasted[key]
    assert pasted["deed"]["ties"] == ["thence South 574.07 feet to the point of beginning"]
    assert pasted["deed"]["courses"][0]["words"].endswith("120.00 feet to an iron pin")


def test_the_lot_may_lie_on_any_survey_turned_or_shifted(tmp_path: Path) -> None:
    before = layout(job(tmp_path, "  survey: lot.csv\n  units: ft\n" + COURSES
                        + "    pins: {1: 101, 2: 102, 3: 103}\n" + PLACE
                        + "  setbacks: {other: 5'}\n"))[1]  # fmt: skip
    turned = SURVEY.splitlines()
    rows = [turned[0]]
    for line in turned[1:]:
        name, north, east, *rest = line.split(",")
        # A quarter turn clockwise: what was north is east.
        rows.append(",".join([name, str(90_000 - float(east)), str(70_000 + float(north)), *rest]))
    path = tmp_path / "job.yaml"
    (tmp_path / "lot.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    after = layout(path)[1]
    assert after["deed"]["turn"] == pytest.approx(90.0, abs=0.01)
    for one, other in zip(before["clearances"], after["clearances"], strict=True):
        assert other["distance"] == pytest.approx(one["distance"], abs=1e-9)


def test_a_distance_kept_off_a_well_is_judged(tmp_path: Path) -> None:
    keep = "  keep: [{name: well, through: [61], least: %s, from: footing}]\n"
    site = ("  survey: lot.csv\n  units: ft\n" + COURSES + "    pins: {1: 101, 2: 102, 3: 103}\n"
            + PLACE)  # fmt: skip
    status, found = layout(job(tmp_path, site + keep % "100'"))
    (kept,) = found["keep"]
    assert (status, kept["ok"], kept["what"]) == (0, True, "footing")
    status, found = layout(job(tmp_path, site + keep % "400'"))
    assert (status, found["keep"][0]["ok"]) == (5, False)
    assert any("lacks" in text and "well" in text for text in found["warnings"])


def test_a_corner_name_that_is_a_survey_point_elsewhere_is_refused(tmp_path: Path) -> None:
    site = "  survey: lot.csv\n  units: ft\n" + COURSES + "    pins: {1: 101, 2: 102, 3: 103}\n"
    path = job(tmp_path, site + PLACE)
    (tmp_path / "lot.csv").write_text(SURVEY + "4,4950,2050,100,oak\n", encoding="utf-8")
    done = run("layout", path)
    assert done.exit_code == 3
    assert "4 is a corner of the deed and, elsewhere, a point of" in done.stderr
    named = site + "    names: [1, 2, SE, SW]\n" + PLACE.replace("[4, 3]", "[SW, SE]")
    named = named.replace("3: 103", "SE: 103")
    path.write_text(HEAD + named, encoding="utf-8")
    assert layout(path)[0] == 0


def test_what_needs_a_survey_says_so(tmp_path: Path) -> None:
    done = run("layout", job(tmp_path, COURSES + PLACE.replace("[4, 3]", "[4, 103]")))
    assert done.exit_code == 3
    assert "there is no point 103: the job has no survey" in done.stderr
    grade = "grade: {ground: survey, top_of_wall: 103', frost_depth: 48\"}\n"
    done = run("grade", job(tmp_path, COURSES + PLACE + grade))
    assert done.exit_code == 3
    assert "survey" in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize("command", ["plan", "stakeout", "grade", "order"])
def test_the_other_commands_work_from_paper(command: str, tmp_path: Path) -> None:
    ground = """grade:
  ground: {A: 99', B: 99', C: 98' 6", D: 98' 6"}
  top_of_wall: 101' 4"
  frost_depth: 30"
"""
    done = run(command, job(tmp_path, COURSES + PLACE + ground))
    assert done.exit_code == 0, done.stderr
    assert done.stdout


def test_surveyed_stakes_of_a_lot_from_paper_are_fitted_by_their_shape(tmp_path: Path) -> None:
    path = job(tmp_path, COURSES + PLACE)
    stakes = tmp_path / "stakes.csv"
    stakes.write_text(
        "point,northing,easting\nA,70010,90020\nB,70010,90044\nC,70026,90044\nD,70026,90020\n",
        encoding="utf-8",
    )
    done = run("check", path, "--stakes", stakes, "--unit", "ft", "--json")
    assert done.exit_code == 0, done.stderr
    assert json.loads(done.stdout)["square"] is True


def test_every_file_is_drawn_from_paper(tmp_path: Path) -> None:
    path = job(tmp_path, PASTED + PLACE + "  keep: [{name: line, through: [1, 2], least: 10', "
               "from: wall}]\n")  # fmt: skip
    done = run("layout", path, "--out", tmp_path / "out")
    assert done.exit_code == 0, done.stderr
    written = {each.name for each in (tmp_path / "out").iterdir() if not each.name.startswith(".")}
    assert {
        "plan.dxf",
        "plan.svg",
        "sheet.pdf",
        "page.html",
        "points.csv",
        "layout.json",
    } <= written
    assert "points.geojson" not in written
    shutil.rmtree(tmp_path / "out")


TEXT = PASTED.split("deed: |\n")[1]


def test_survey_shows_a_deed_beside_its_words(tmp_path: Path) -> None:
    file = tmp_path / "deed.txt"
    file.write_text(TEXT, encoding="utf-8")
    done = run("survey", file)
    assert (done.exit_code, done.stderr) == (0, "")
    assert "The deed, course by course" in done.stdout
    assert "one in 17,337" in " ".join(done.stdout.split())
    done = run("survey", file, "--json")
    document = json.loads(done.stdout)
    assert (document["format"], document["count"]) == ("deed", 4)
    assert document["misclosure"]["one_in"] == pytest.approx(17_337, abs=0.5)
    assert run("survey", file, "--to", tmp_path / "lot.csv").exit_code == 3


def test_survey_names_what_would_close_a_deed_and_refuses_it(tmp_path: Path) -> None:
    file = tmp_path / "deed.txt"
    file.write_text(TEXT.replace("95.50", "59.50"), encoding="utf-8")
    done = run("survey", file)
    assert done.exit_code == 3
    assert "It would close if one of these were written otherwise" in done.stdout
    assert "95.50 ft" in done.stdout
    assert "the courses do not close" in done.stderr


def test_survey_shows_every_piece_where_one_is_not_understood(tmp_path: Path) -> None:
    file = tmp_path / "deed.txt"
    file.write_text(TEXT.replace("121.10 feet", "121.10 feet, more or less"), encoding="cp1252")
    done = run("survey", file)
    assert done.exit_code == 3
    assert "the deed, piece by piece" in done.stdout
    assert '"more or less" is a distance that is only about right' in done.stderr
    done = run("survey", file, "--json")
    assert (done.exit_code, done.stdout) == (3, "")


def test_a_job_does_not_take_a_deed_for_a_survey(tmp_path: Path) -> None:
    path = job(tmp_path, "  survey: deed.txt\n  boundary: [1, 2, 3]\n")
    (tmp_path / "deed.txt").write_text(TEXT, encoding="utf-8")
    done = run("layout", path)
    assert done.exit_code == 3
    assert "give them in the job by boundary: {deed: …}" in done.stderr
