"""The command for levels: a slope worked by hand comes out of it, whichever way it is drawn."""

from __future__ import annotations

import csv
import json
import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import ezdxf
import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.commands.printed import widest

SCHEMA = Path(__file__).parents[2] / "docs" / "grade.schema.json"
FT = 0.3048

SQUARE = {"A": (0.0, 0.0), "B": (24.0, 0.0), "C": (24.0, 16.0), "D": (0.0, 16.0)}
HEIGHTS = {"A": 100.0, "B": 97.0, "C": 97.0, "D": 100.0}

# Invented: 24' x 16', the ground falling an eighth along the long walls; what it gives is worked
# by hand: courses 8 to 12, risers every 5' 4", 5168/9 sq ft.
SLOPE = """job: Slope
units: {unit}
{head}building:
  corners: {{{corners}}}
  wall: 8"
  footing: {{width: 20", thickness: 10"}}
{parts}boards: {{at: {string}}}
grade:
  ground: {{{ground}}}
  strip: 0
  in_ground: 0
  top_of_wall: {top}
  frost_depth: 42"
  corner_run: 32"
  benchmark: {{name: nail in oak, elevation: {benchmark}}}
{rest}"""


def slope(
    corners: dict[str, tuple[float, float]] = SQUARE,
    heights: dict[str, float] = HEIGHTS,
    *,
    foot: float = 1.0,
    top: float = 102.0,
    **parts: str,
) -> str:
    """Return the slope as a job file; `foot` is a foot in the job's unit."""
    blanks = {"unit": "ft", "head": "", "parts": "", "rest": ""}
    places = {name: f"[{x * foot:.9f}, {y * foot:.9f}]" for name, (x, y) in corners.items()}
    return SLOPE.format(
        corners=", ".join(f"{name}: {place}" for name, place in places.items()),
        ground=", ".join(f"{name}: {z * foot:.6f}" for name, z in heights.items()),
        top=round(top * foot, 6),
        string=round(103 * foot, 6),
        benchmark=round(100 * foot, 6),
        **blanks | parts,
    )


def run(*words: object) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words], catch_exceptions=False)


def grade(folder: Path, text: str, *words: object) -> Result:
    job = folder / "job.yaml"
    job.write_text(text, encoding="utf-8")
    return run("grade", job, *words)


def document(folder: Path, text: str, *words: object) -> dict[str, Any]:
    result = grade(folder, text, "--json", *words)
    assert result.exit_code in {0, 5}, result.stderr
    loaded: dict[str, Any] = json.loads(result.stdout)
    return loaded


def walls(found: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {wall["wall"]: wall for wall in found["walls"]}


def courses(wall: dict[str, Any]) -> list[int]:
    return [each["courses"] for each in wall["runs"]]


def faces(wall: dict[str, Any]) -> list[float]:
    return [each["at"] for each in wall["steps"]]


def test_a_slope_worked_by_hand_comes_out_of_the_command(tmp_path: Path) -> None:
    found = document(tmp_path, slope())
    assert found["objective"] == pytest.approx(5168 / 9, rel=0, abs=1e-7)
    assert found["steps"] == 8
    by_name = walls(found)
    assert courses(by_name["A-B"]) == [8, 9, 10, 11, 12]
    assert faces(by_name["A-B"]) == pytest.approx([16 / 3, 32 / 3, 16, 64 / 3], rel=0, abs=1e-7)
    assert courses(by_name["B-C"]) == [12]
    assert faces(by_name["C-D"]) == pytest.approx(
        [24 - at for at in (64 / 3, 16, 32 / 3, 16 / 3)], rel=0, abs=1e-7
    )
    first = by_name["A-B"]["runs"][0]
    assert first["bottom_of_footing"] == pytest.approx(95 + 10 / 12, rel=0, abs=1e-7)
    assert first["frost_cover"] == pytest.approx(3.5, rel=0, abs=1e-7)
    assert first["governs"] == "frost"


def test_two_course_steps_and_another_top_of_wall_are_told(tmp_path: Path) -> None:
    ways = document(tmp_path, slope())["other_ways"]
    assert ways["larger_steps"]["objective"] == pytest.approx(564.4444444, rel=0, abs=1e-6)
    tops = {round(each["top_of_wall"], 4): each["objective"] for each in ways["tops"]}
    assert tops[round(101 + 7 / 12, 4)] == pytest.approx(531.5555556, rel=0, abs=1e-6)
    dearer = document(tmp_path, slope(rest="  step_cost: 10 sq ft\n"))
    assert dearer["objective"] == pytest.approx(604.0, rel=0, abs=1e-6)
    assert courses(walls(dearer)["A-B"])[0] == 9


def test_a_step_is_dug_past_its_face_as_the_rule_asks(tmp_path: Path) -> None:
    # Overlap the largest of twice the rise, the thickness and 300 mm: 16".
    (step, *_) = walls(document(tmp_path, slope(rest="  rules: NHBC strip\n")))["A-B"]["steps"]
    assert step["overlap"] == pytest.approx(16 / 12, rel=0, abs=1e-7)
    assert step["dig_to"] == pytest.approx(4.0, rel=0, abs=1e-7)
    assert step["concrete"] == pytest.approx(16 * 20 * 8 / 1728, rel=0, abs=1e-6)


def test_drawn_clockwise_the_same_is_found(tmp_path: Path) -> None:
    order = {name: SQUARE[name] for name in "ADCB"}
    found = document(tmp_path, slope(order))
    assert found["objective"] == pytest.approx(5168 / 9, rel=0, abs=1e-7)
    assert courses(walls(found)["D-C"]) == [8, 9, 10, 11, 12]


def test_turned_by_seventeen_degrees_the_same_is_found(tmp_path: Path) -> None:
    c, s = math.cos(math.radians(17)), math.sin(math.radians(17))
    turned = {name: (x * c - y * s, x * s + y * c) for name, (x, y) in SQUARE.items()}
    found = document(tmp_path, slope(turned))
    assert found["objective"] == pytest.approx(5168 / 9, rel=0, abs=1e-6)
    assert courses(walls(found)["A-B"]) == [8, 9, 10, 11, 12]


def test_in_metres_the_same_is_found(tmp_path: Path) -> None:
    found = document(tmp_path, slope(foot=FT, unit="m", head="show: metres\n"))
    assert found["objective"] == pytest.approx(5168 / 9 * FT**2, rel=0, abs=1e-6)
    assert faces(walls(found)["A-B"]) == pytest.approx(
        [FT * at for at in (16 / 3, 32 / 3, 16, 64 / 3)], rel=0, abs=1e-7
    )


def test_at_a_jog_of_inches_footings_agree(tmp_path: Path) -> None:
    jog = {
        "A": (0.0, 0.0), "B": (12.0, 0.0), "B2": (12.0, 0.25), "B3": (24.0, 0.25),
        "C": (24.0, 16.0), "D": (0.0, 16.0),
    }  # fmt: skip
    heights = {"A": 100.0, "B": 98.5, "B2": 98.5, "B3": 97.0, "C": 97.0, "D": 100.0}
    by_name = walls(document(tmp_path, slope(jog, heights)))
    around = [by_name[name]["runs"] for name in ("A-B", "B-B2", "B2-B3", "B3-C", "C-D", "D-A")]
    for before, after in zip(around, [*around[1:], around[0]], strict=True):
        assert before[-1]["top_of_footing"] == pytest.approx(
            after[0]["top_of_footing"], rel=0, abs=1e-7
        )
    assert by_name["B-B2"]["steps"] == []


def test_below_an_old_footing_ends_with_status_five(tmp_path: Path) -> None:
    side = "  walls:\n    D-A: {existing: {footing_bottom: 96', footing_out: 6\"}}\n"
    result = grade(tmp_path, slope(parts=side), "-q")
    assert result.exit_code == 5
    assert "underpinning: ask an engineer" in " ".join(result.stderr.split())
    found = document(tmp_path, slope(parts=side))
    assert {each["dig"] for each in found["undercuts"]} == {"A-B", "C-D"}


def test_nothing_known_of_an_old_footing_is_said(tmp_path: Path) -> None:
    side = "  walls:\n    D-A: {existing: yes}\n"
    result = grade(tmp_path, slope(parts=side), "-q")
    assert result.exit_code == 0
    assert "Nothing is known of the footing of the standing building along D-A" in " ".join(
        result.stderr.split()
    )


def test_the_rod_is_told_for_any_set_up_and_for_one(tmp_path: Path) -> None:
    # Benchmark 100', rod on it 4' 7 1/2"; footing bottom 94' 2" on 4" of stone: add 6' 2".
    text = slope(parts='dig: {base: 4"}\n', top=101 + 8 / 12)
    result = grade(tmp_path, text, "--json", "--reading-on-benchmark", "4-7-1/2")
    found = json.loads(result.stdout)
    mark = next(
        each
        for each in found["rods"]
        if each["what"] == "dig level" and abs(each["level"] - (93 + 10 / 12)) < 1e-4
    )
    assert mark["add_to_benchmark"] == pytest.approx(6 + 2 / 12, rel=0, abs=1e-6)
    assert mark["reading"] == pytest.approx(10 + 9.5 / 12, rel=0, abs=1e-6)
    assert mark["down_from_string"] == pytest.approx(9 + 2 / 12, rel=0, abs=1e-6)
    same = json.loads(grade(tmp_path, text, "--json", "--instrument", "104-7-1/2").stdout)
    assert same["rods"] == found["rods"]


def test_a_rod_that_does_not_reach_asks_for_a_turning_point(tmp_path: Path) -> None:
    found = document(tmp_path, slope(), "--instrument", "107ft")
    low = [each for each in found["rods"] if each["level"] < 93.9]
    assert low
    assert all(each["reading"] is None for each in low)
    assert all("take a turning point" in each["turning_point"] for each in low)


def test_a_reading_off_the_rod_is_bad_input(tmp_path: Path) -> None:
    result = grade(tmp_path, slope(), "--reading-on-benchmark", "14ft")
    assert result.exit_code == 3
    assert result.stdout == ""
    assert result.stderr == (
        "--reading-on-benchmark: 14ft is not on the rod, which is 13' 0\" long; check the "
        "reading, or give rod_length under grade:\n"
    )
    assert not (tmp_path / "job-layout").exists()


def test_both_ways_to_say_the_line_of_sight_are_wrong_usage(tmp_path: Path) -> None:
    result = grade(tmp_path, slope(), "--instrument", "104ft", "--reading-on-benchmark", "4ft")
    assert result.exit_code == 2
    assert "not both" in result.stderr


def test_without_a_benchmark_nothing_is_added_and_it_is_said_once(tmp_path: Path) -> None:
    text = slope().replace("  benchmark: {name: nail in oak, elevation: 100.0}\n", "")
    result = grade(tmp_path, text, "--json")
    assert {each["add_to_benchmark"] for each in json.loads(result.stdout)["rods"]} == {None}
    assert result.stderr.count("No benchmark is given") == 1


def test_a_job_without_levels_is_bad_input(tmp_path: Path) -> None:
    text = slope()
    result = grade(tmp_path, text[: text.index("grade:")])
    assert result.exit_code == 3
    assert "the job has no grade section; add grade:" in result.stderr
    assert not (tmp_path / "job-layout").exists()


def test_footings_that_no_rule_allows_end_with_status_four(tmp_path: Path) -> None:
    result = grade(tmp_path, slope(rest="  rules: NHBC strip\n  max_step: 2\n"))
    assert result.exit_code == 4
    assert "job.yaml, grade: A-B: NHBC strip" in result.stderr
    assert "forbids a rise greater than the footing's thickness" in result.stderr
    assert not (tmp_path / "job-layout").exists()


def test_a_top_of_wall_on_another_zero_is_bad_input(tmp_path: Path) -> None:
    for top, said in ((95.0, "stands below all of the ground"), (8.0, "stands below all"),
                      (200.0, "stands far above the ground")):  # fmt: skip
        result = grade(tmp_path, slope(top=top))
        assert result.exit_code == 3
        assert said in result.stderr


def test_files_tables_and_messages_keep_apart(tmp_path: Path) -> None:
    result = grade(tmp_path, slope())
    assert result.exit_code == 0
    folder = tmp_path / "job-layout"
    assert sorted(each.name for each in folder.iterdir()) == [
        ".staking.json",
        "grade.csv",
        "grade.dxf",
        "grade.json",
    ]
    assert widest(result.stdout) <= 80
    assert "What the rod must read" in result.stdout
    assert "a hollow there would be missed" not in result.stdout
    assert "a hollow there would be missed" in " ".join(result.stderr.split())
    assert widest(result.stderr) <= 80
    written = json.loads((folder / "grade.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(
        written
    )
    assert written == document(tmp_path, slope())
    assert not ezdxf.readfile(folder / "grade.dxf").audit().errors
    with (folder / "grade.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == len(written["rods"]) + 8
    assert next(row["to_ft"] for row in rows if row["what"] == "step") == "4.5000"


def test_json_writes_files_only_where_out_is_given(tmp_path: Path) -> None:
    document(tmp_path, slope())
    assert not (tmp_path / "job-layout").exists()
    document(tmp_path, slope(), "--out", tmp_path / "there")
    assert (tmp_path / "there" / "grade.json").exists()


def test_the_layouts_own_files_stay_a_set(tmp_path: Path) -> None:
    assert grade(tmp_path, slope()).exit_code == 0
    result = run("layout", tmp_path / "job.yaml")
    assert result.exit_code == 0
    again = grade(tmp_path, slope())
    assert "from an earlier run" not in again.stderr
    result = run("layout", tmp_path / "job.yaml")
    assert "did not belong together" not in result.stderr
    assert (tmp_path / "job-layout" / "grade.json").exists()


def test_the_help_says_what_is_needed() -> None:
    result = run("grade", "--help")
    assert result.exit_code == 0
    assert "Needs a grade section" in result.stdout


def test_without_a_survey_the_surface_library_stays_unread(tmp_path: Path) -> None:
    job = tmp_path / "job.yaml"
    job.write_text(slope(rest='  finished: +6"\n'), encoding="utf-8")
    code = (
        "import sys\nfrom pathlib import Path\n"
        "from staking.project.layout import lay_out_job, load_job\n"
        f"lay_out_job(load_job(Path({str(job)!r})))\n"
        "print(sorted({'pyproj', 'ezdxf', 'rich', 'scipy'} & set(sys.modules)))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_dig_follows_the_depth_of_each_run_where_there_is_a_bank(tmp_path: Path) -> None:
    job = tmp_path / "job.yaml"
    job.write_text(slope(parts="dig: {bank: 1}\n"), encoding="utf-8")
    found = json.loads(run("layout", job, "--json").stdout)
    (ring,) = found["dig"]["outlines"]
    # 6" of footing, then as far as it is deep: at A 4' 2", at B 3' 10"; ends reach the mitre.
    assert min(x for x, _ in ring) == pytest.approx(-(0.5 + 4 + 2 / 12), rel=0, abs=1e-6)
    assert max(x for x, _ in ring) == pytest.approx(24 + 0.5 + 3 + 10 / 12 + 4 / 12, rel=0, abs=0.4)
    widths = {round(y, 4) for x, y in ring if y < 0 and 0 < x < 24}
    assert len(widths) > 1


def test_the_tape_along_the_slope_is_told_where_stake_tops_are_known(tmp_path: Path) -> None:
    # 24' level, the tops 7' apart: the 7-24-25 triangle.
    text = slope(rest="  stake_tops: {A: 104', B: 97'}\n")
    result = grade(tmp_path, text)
    assert "The tape along the slope" in result.stdout
    (row,) = [line for line in result.stdout.splitlines() if line.startswith("A - B ")]
    assert row.split("  ")[0] == "A - B"
    assert "25' 0\"" in row
    checks = json.loads(run("layout", tmp_path / "job.yaml", "--json").stdout)["checks"]
    slopes = {(each["from"], each["to"]): each["slope_distance"] for each in checks}
    assert slopes["A", "B"] == pytest.approx(25.0, rel=0, abs=1e-7)
    assert {slope for pair, slope in slopes.items() if pair != ("A", "B")} == {None}


def test_the_tops_of_walls_that_meet_differ_by_whole_courses(tmp_path: Path) -> None:
    found = document(tmp_path, slope(rest="  walls: {A-B: {top_of_wall: 102' 8\"}}\n"))
    by_name = walls(found)
    assert by_name["A-B"]["top_of_wall"] == pytest.approx(102 + 8 / 12, rel=0, abs=1e-7)
    assert courses(by_name["A-B"])[-1] == courses(by_name["B-C"])[0] + 1
    assert by_name["A-B"]["runs"][-1]["top_of_footing"] == pytest.approx(
        by_name["B-C"]["runs"][0]["top_of_footing"], rel=0, abs=1e-7
    )
    result = grade(tmp_path, slope(rest="  walls: {A-B: {top_of_wall: 102' 3\"}}\n"))
    assert result.exit_code == 4
    assert "differ by whole courses" in result.stderr


def test_a_top_over_the_highest_ground_is_worked_out(tmp_path: Path) -> None:
    text = slope().replace("top_of_wall: 102.0", 'top_of_wall: highest ground + 8"')
    assert document(tmp_path, text)["top_of_wall"] == pytest.approx(100 + 8 / 12, rel=0, abs=1e-7)


def test_rod_readings_of_the_ground_are_the_same_as_its_elevations(tmp_path: Path) -> None:
    rod = slope().replace(
        "ground: {A: 100.000000, B: 97.000000, C: 97.000000, D: 100.000000}",
        "ground: {rod: {A: 5', B: 8', C: 8', D: 5'}, instrument: 105'}",
    )
    assert "rod:" in rod
    assert document(tmp_path, rod)["walls"] == document(tmp_path, slope())["walls"]


def test_a_wall_of_more_than_100_courses_is_not_worked_out(tmp_path: Path) -> None:
    """At B from 130' less 10" to 97' less 42": 35' 8", which are 214 courses of 2"."""
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: Tower\nbuilding:\n  rectangle: 24' x 16'\n  wall: 8\"\n"
        '  footing: {width: 20", thickness: 10"}\n'
        "grade:\n  ground: {A: 100', B: 97', C: 97', D: 100'}\n  top_of_wall: 130'\n"
        '  frost_depth: 42"\n  in_ground: 0\n  strip: 0\n  course: 2"\n',
        encoding="utf-8",
    )
    done = run("grade", job)
    assert done.exit_code == 4
    assert (
        "A-B would stand 214 courses high, and no wall has over 100; check top_of_wall, the ground "
        "and course"
    ) in " ".join(done.stderr.split())
