"""``staking record`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import csv
import io
import json
import math
import re
import shutil
from collections.abc import Callable, Iterable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from staking.measure.lengths import parse_length
from tests.commands.printed import widest

ROOT = Path(__file__).parents[2]
BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
dig: {cast: forms}
"""
GOOD = """\
wall,at,outer,inner,top,thickness
A-B,2ft,6in,14in,99ft,10in
A-B,34ft,6-1/8in,14in,99ft,10in
"""
Run = Callable[..., Result]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "barn.yaml"
    path.write_text(BARN, encoding="utf-8")
    return path


@pytest.fixture
def run() -> Run:
    def invoke(*words: object) -> Result:
        line = ["record", *(str(word) for word in words)]
        return CliRunner().invoke(main, line, catch_exceptions=False)

    return invoke


def book(folder: Path, text: str) -> Path:
    path = folder / "poured.csv"
    path.write_text(text.replace("6-1/8in", "0-6-1/8"), encoding="utf-8")
    return path


def survey(folder: Path, rows: Iterable[tuple[object, ...]]) -> Path:
    path = folder / "shot.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(("point", "northing_ft", "easting_ft", "elevation_ft", "description"))
        writer.writerows(rows)
    return path


def round_the_footing(turn: float = 0.0, out: float = 0.0) -> list[tuple[object, ...]]:
    """Survey the outer edges of the barn's footing, `out` feet beyond the plan all round."""
    half = 0.5 + out
    places = [
        ("A-B", 3, -half), ("A-B", 30, -half), ("B-C", 36 + half, 4), ("B-C", 36 + half, 20),
        ("C-D", 30, 24 + half), ("C-D", 3, 24 + half), ("D-A", -half, 20), ("D-A", -half, 4),
    ]  # fmt: skip
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return [
        (i, f"{s * x + c * y + 700:.5f}", f"{c * x - s * y + 90:.5f}", 98.0, f"{wall} outer edge")
        for i, (wall, x, y) in enumerate(places, start=1)
    ]


def test_a_footing_on_its_plan_is_within_its_tolerances(
    job: Path, tmp_path: Path, run: Run
) -> None:
    done = run(job, book(tmp_path, GOOD), "--top", "99ft")
    assert done.exit_code == 0
    assert done.stdout.startswith("The poured footing\n- Within its tolerances: all 11 figures.\n")
    assert widest(done.stdout) <= 80


def test_five_files_are_written_beside_the_job(job: Path, tmp_path: Path, run: Run) -> None:
    run(job, book(tmp_path, GOOD))
    folder = tmp_path / "barn-record"
    assert sorted(path.name for path in folder.iterdir()) == [
        ".staking.json", "record.csv", "record.dxf", "record.json", "record.pdf", "record.txt",
    ]  # fmt: skip


def test_an_edge_half_an_inch_short_is_out_and_told_with_what_is_allowed(
    job: Path, tmp_path: Path, run: Run
) -> None:
    done = run(job, book(tmp_path, "wall,at,outer\nA-B,12ft,5.5in\n"), "-q")
    assert done.exit_code == 5
    assert done.stdout == (
        "The poured footing\n- Out of tolerance: A-B.\n\n"
        'Out of tolerance\n- A-B at 12\' 0": the outer edge lies 1/2" short (allowed 3/8").\n\n'
    )


def test_under_a_cast_wall_the_limits_are_wider(job: Path, tmp_path: Path, run: Run) -> None:
    path = book(tmp_path, "wall,at,outer\nA-B,12ft,5.5in\n")
    assert run(job, path, "--carries", "concrete").exit_code == 0
    assert "the tighter limits" in run(job, path).stderr


def test_a_wall_may_be_measured_from_its_other_end(job: Path, tmp_path: Path, run: Run) -> None:
    path = book(tmp_path, "wall,at,outer\nB-A,2ft,6in\n")
    document = json.loads(run(job, path, "--json").stdout)
    (figure,) = document["figures"]
    assert (figure["where"], figure["station"]) == ("A-B", pytest.approx(34.0, rel=0, abs=1e-9))


def test_the_document_fits_its_schema_and_json_writes_nothing(
    job: Path, tmp_path: Path, run: Run
) -> None:
    schema = json.loads((ROOT / "docs" / "record.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    done = run(job, book(tmp_path, GOOD), "--json")
    document = json.loads(done.stdout)
    jsonschema.validate(document, schema)
    assert document["schema"] == "staking/record/1"
    assert document["not_measured"] == ["B-C", "C-D", "D-A"]
    assert not (tmp_path / "barn-record").exists()
    for each in document["figures"]:
        assert each["measured"] - each["planned"] == pytest.approx(each["off"], rel=0, abs=1e-8)


def test_json_writes_files_where_it_is_told_to(job: Path, tmp_path: Path, run: Run) -> None:
    done = run(job, book(tmp_path, GOOD), "--json", "--out", tmp_path / "kept")
    document = json.loads(done.stdout)
    written = json.loads((tmp_path / "kept" / "record.json").read_text(encoding="utf-8"))
    assert written["figures"] == document["figures"]


def test_the_blank_book_fills_in_and_comes_back(job: Path, tmp_path: Path, run: Run) -> None:
    blank = run(job, "--blank", "--top", "99ft")
    assert blank.exit_code == 0
    rows = list(csv.DictReader(io.StringIO(blank.stdout)))
    assert [row["wall"] for row in rows].count("A-B") == 5
    for row in rows:
        row["outer or left"] = row["outer plan"]
        row["inner or right"] = row["inner plan"]
        row["top"] = row["top plan"]
        row["thickness"] = row["thickness plan"]
    path = tmp_path / "filled.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    done = run(job, path, "--top", "99ft", "--json")
    document = json.loads(done.stdout)
    assert document["good"]
    assert max(abs(each["off"]) for each in document["figures"]) < 1e-9
    assert document["not_measured"] == []


def test_an_unfilled_book_is_bad_input(job: Path, tmp_path: Path, run: Run) -> None:
    path = book(tmp_path, run(job, "--blank").stdout)
    done = run(job, path)
    assert done.exit_code == 3
    assert done.stdout == ""
    assert "nothing is filled in" in done.stderr


def test_every_fault_of_a_book_is_told_at_once(job: Path, tmp_path: Path, run: Run) -> None:
    text = (
        "wall,at,outer,top,down\n"
        "A-X,2ft,6in,,\n"
        "A-B,90ft,6in,,\n"
        "A-B,2ft,six,,\n"
        "A-B,,6in,,\n"
        "B-C,2ft,,99ft,4ft\n"
    )
    done = run(job, book(tmp_path, text))
    path = tmp_path / "poured.csv"
    assert (done.exit_code, done.stdout) == (3, "")
    lines = done.stderr.splitlines()
    assert len(lines) == 5
    assert lines[0].startswith(
        f"{path}, line 2: A-X is not a wall or interior line of the job; did"
    )
    assert lines[1] == (
        f"{path}, line 3, at: 90ft is not on A-B, which is 36' 0\" long; count from A"
    )
    assert lines[2].startswith(f"{path}, line 4, outer: ")
    assert lines[3] == f"{path}, line 5, at: nothing says where along the wall; fill in at"
    assert lines[4] == (f"{path}, line 6, down: top and down are both given; keep one of the two")


def test_no_file_says_how_to_start(job: Path, run: Run) -> None:
    done = run(job)
    assert (done.exit_code, done.stdout) == (3, "")
    assert done.stderr == (
        "no file with what was measured is given; start from "
        "`staking record JOB --blank > poured.csv`\n"
    )


def test_a_file_that_is_not_there_is_bad_input(job: Path, tmp_path: Path, run: Run) -> None:
    done = run(job, tmp_path / "none.csv")
    assert done.exit_code == 3
    assert "there is no such file" in done.stderr


@pytest.mark.parametrize("turn", [0.0, 17.0, 100.0, 180.0, 271.0])
def test_a_surveyed_footing_is_laid_on_the_plan_by_its_edges(
    job: Path, tmp_path: Path, run: Run, turn: float
) -> None:
    done = run(job, survey(tmp_path, round_the_footing(turn, out=0.01)), "--json")
    document = json.loads(done.stdout)
    assert document["placed_by"] == "edges"
    offs = [each["off"] for each in document["figures"]]
    assert offs == pytest.approx([0.01] * 8, rel=0, abs=1e-4)
    assert "its shape is judged and not its place" in " ".join(done.stderr.split())


def test_stakes_in_the_survey_place_the_footing(job: Path, tmp_path: Path, run: Run) -> None:
    rows = round_the_footing()
    stakes = [("A", 700, 90, "", ""), ("C", 724, 126, "", "")]
    moved = [(n, float(str(y)) + 0.02, x, z, d) for n, y, x, z, d in rows]
    document = json.loads(run(job, survey(tmp_path, [*stakes, *moved]), "--json").stdout)
    assert document["placed_by"] == "stakes"
    offs = {each["where"]: each["off"] for each in document["figures"]}
    assert offs["A-B"] == pytest.approx(-0.02, rel=0, abs=1e-6)
    assert offs["C-D"] == pytest.approx(0.02, rel=0, abs=1e-6)
    assert offs["B-C"] == pytest.approx(0.0, rel=0, abs=1e-6)


def test_tops_count_where_the_point_says_top(job: Path, tmp_path: Path, run: Run) -> None:
    rows = [(n, y, x, z, f"{d} top") for n, y, x, z, d in round_the_footing()]
    path = survey(tmp_path, rows)
    document = json.loads(run(job, path, "--json", "--top", "97.9ft").stdout)
    tops = [each["off"] for each in document["figures"] if each["what"] == "top"]
    assert tops == pytest.approx([0.1] * 8, rel=0, abs=1e-9)
    assert not document["good"]
    plain = run(job, survey(tmp_path, round_the_footing()), "--json")
    assert {each["what"] for each in json.loads(plain.stdout)["figures"]} == {"outer edge"}
    assert "add the word top to it" in " ".join(plain.stderr.split())


def test_without_planned_tops_only_levelness_is_judged(job: Path, tmp_path: Path, run: Run) -> None:
    done = run(job, book(tmp_path, "wall,at,down\nA-B,2ft,48in\nA-B,20ft,48.5in\n"))
    assert done.exit_code == 5
    assert "tops are only judged level among themselves" in " ".join(done.stderr.split())
    assert 'the top falls 1/2" on one level run (allowed 1/4")' in done.stdout


def test_points_that_say_nothing_are_listed(job: Path, tmp_path: Path, run: Run) -> None:
    rows = [*round_the_footing(), (50, 700, 90, 98, "tree"), (51, 701, 91, 98, "A-B")]
    done = run(job, survey(tmp_path, rows))
    assert "and are not used: 50, 51" in " ".join(done.stderr.split())


def test_an_edge_far_from_its_wall_is_a_wrong_name(job: Path, tmp_path: Path, run: Run) -> None:
    stakes = [("A", 700, 90, "", ""), ("C", 724, 126, "", "")]
    rows = [*stakes, ("9", 703, 100, "", "A-B outer edge")]
    done = run(job, survey(tmp_path, rows))
    assert (done.exit_code, done.stdout) == (3, "")
    assert done.stderr == (
        f"{tmp_path / 'shot.csv'}, line 4: 9 lies 3.50 ft from the planned outer edge of A-B; is "
        "it another edge, or another grid?\n"
    )


def test_a_survey_in_another_unit_is_one_fault_and_not_one_a_point(
    job: Path, tmp_path: Path, run: Run
) -> None:
    path = survey(tmp_path, round_the_footing())
    text = path.read_text(encoding="utf-8").replace("_ft", "_m")
    path.write_text(text, encoding="utf-8")
    done = run(job, path)
    assert (done.exit_code, done.stdout) == (3, "")
    assert re.fullmatch(
        re.escape(f"{path}: no edge lies where it is planned, the nearest ")
        + r"\d+\.\d\d m off; say with --unit what the file is in, or see that it is on the "
        r"job's grid\n",
        done.stderr,
    )


def test_edges_that_run_one_way_do_not_place_the_footing(
    job: Path, tmp_path: Path, run: Run
) -> None:
    done = run(job, survey(tmp_path, round_the_footing()[:2]))
    assert done.exit_code == 4
    assert "add two corner stakes or hubs to the survey" in done.stderr


def test_a_tape_book_gives_its_column_on_the_poured_footing(
    job: Path, tmp_path: Path, run: Run
) -> None:
    path = tmp_path / "tapes.csv"
    path.write_text(
        "from,to,before digging,on the poured footing\n"
        "A,B,36ft,36ft\nB,C,24ft,24ft\nC,D,36ft,36ft\nA,D,24ft,24ft\n"
        "A,C,43-3-3/16,43-3-3/8\nB,D,43-3-3/16,43-2-1/2\n",
        encoding="utf-8",
    )
    done = run(job, path, "--json")
    document = json.loads(done.stdout)
    assert done.exit_code == 5
    assert not document["tapes"]["square"]
    assert document["verdict"] == "Out of tolerance: it is not square."


def test_the_page_of_text_has_room_for_a_date_and_a_name(
    job: Path, tmp_path: Path, run: Run
) -> None:
    run(job, book(tmp_path, GOOD))
    text = (tmp_path / "barn-record" / "record.txt").read_text(encoding="utf-8")
    lines = text.splitlines()
    assert lines[0] == "RECORD OF THE POURED FOOTING"
    assert any(line.startswith("Date: ____") for line in lines)
    assert len(lines) <= 66
    assert widest("\n".join(lines)) <= 80


def test_the_table_has_every_figure_with_its_source(job: Path, tmp_path: Path, run: Run) -> None:
    run(job, book(tmp_path, GOOD))
    with (tmp_path / "barn-record" / "record.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert len(rows) == 9
    assert {row["footing"] for row in rows} == {"A-B"}
    assert all(row["source"] for row in rows)
    assert rows[0]["measured_ft"] == "0.5000"


def test_tops_are_held_against_the_levels_of_the_grade_section(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "slope.yaml"
    path.write_text(
        BARN
        + "grade:\n"
        + "  ground: {A: 99ft, B: 99ft, C: 99ft, D: 99ft}\n"
        + "  benchmark: {name: nail in oak, elevation: 100ft}\n"
        + "  top_of_wall: 101ft\n  course: 8in\n  frost_depth: 36in\n",
        encoding="utf-8",
    )
    # frost: the bottom at 96 ft at most; 101 ft - 10 in - 7 courses of 8 in is 95 ft 6 in, and
    # the top of the footing 96 ft 4 in
    done = run(path, book(tmp_path, "wall,at,top\nA-B,10ft,96-4-1/4\n"), "--json")
    document = json.loads(done.stdout)
    (figure,) = document["figures"]
    assert document["planned_tops"]
    assert figure["planned"] == pytest.approx(96 + 4 / 12, rel=0, abs=1e-9)
    assert figure["off"] == pytest.approx(1 / 48, rel=0, abs=1e-9)
    assert run(path, "--blank").stdout.splitlines()[1].split(",")[6].startswith('"96')


def test_a_top_read_down_from_the_string_is_that_much_under_it(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "strings.yaml"
    path.write_text(BARN + "boards: {at: 103ft}\n", encoding="utf-8")
    # strings at 103 ft: 4 ft 1/2 in under them is 98 ft 11 1/2 in, half an inch short of 99 ft
    filled = book(tmp_path, "wall,at,down\nA-B,10ft,4-0-1/2\nA-B,20ft,4-0\n")
    document = json.loads(run(path, filled, "--json", "--top", "99ft").stdout)
    tops = [each for each in document["figures"] if each["what"] == "top"]
    assert [each["measured"] for each in tops] == pytest.approx([99 - 1 / 24, 99], rel=0, abs=1e-9)
    assert [each["off"] for each in tops] == pytest.approx([-1 / 24, 0], rel=0, abs=1e-9)


def test_a_tape_on_the_poured_footing_that_does_not_fit_is_named(
    job: Path, tmp_path: Path, run: Run
) -> None:
    tapes = "from,to,on the poured footing\nA,B,36ft\nB,C,24ft\nC,D,36ft\nA,D,24ft\n"
    off = book(tmp_path, tapes + "A,C,43-3-3/16\nB,D,44-3-3/16\n")
    done = run(job, off)
    assert done.exit_code == 5
    assert "Something is off: with one reading to spare" in " ".join(done.stderr.split())


def test_what_was_taped_before_digging_is_no_record_of_the_pour(
    job: Path, tmp_path: Path, run: Run
) -> None:
    text = "from,to,before digging,on the forms,on the poured footing\nA,B,36ft,36ft,\n"
    done = run(job, book(tmp_path, text))
    assert done.exit_code == 3
    assert "the column on the poured footing has no readings" in done.stderr


def test_the_edges_of_a_pad_are_taped_from_its_centre_both_ways(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "barn.yaml"
    pads = (
        "  pads:\n"
        "    - {name: P1, at: [42, 6], size: [2, 3], thickness: 1}\n"
        "    - {name: P2, at: [42, 14], diameter: 2, thickness: 1}\n"
        "  footing:"
    )
    path.write_text(BARN.replace("  footing:", pads, 1), encoding="utf-8")
    blank = run(path, "--blank").stdout.splitlines()
    assert [line.split(",")[:2] for line in blank[-5:-1]] == [
        ["P1", "x"], ["P1", "y"], ["P2", "x"], ["P2", "y"],
    ]  # fmt: skip
    measured = book(
        tmp_path,
        "wall,at,outer,inner\nP1,x,1-0-3/8,1ft\nP1,Y,18in,17-1/2in\nP2,x,13in,12in\n",
    )
    done = run("--json", "--carries", "concrete", path, measured)
    figures = json.loads(done.stdout)["figures"]
    told = [(each["where"], each["what"], round(each["off"] * 12, 6)) for each in figures]
    assert told == [
        ("P1", "edge", 0.375), ("P1", "edge", 0.0), ("P1", "edge", 0.0), ("P1", "edge", -0.5),
        ("P1", "width", 0.375), ("P1", "width", -0.5),
        ("P2", "edge", 1.0), ("P2", "edge", 0.0),
    ]  # fmt: skip
    assert {each["station"] for each in figures} == {None}


def test_the_edges_of_a_pad_need_the_way_across(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "post.yaml"
    path.write_text(
        BARN.replace(
            "  footing:",
            "  pads: [{name: P1, at: [42, 6], size: [2, 2], thickness: 1}]\n  footing:",
        ),
        encoding="utf-8",
    )
    text = "wall,at,outer,top,thickness\nP1,,,99.06ft,0.94ft\n"
    document = json.loads(run(path, book(tmp_path, text), "--json", "--top", "99ft").stdout)
    assert {each["what"]: each["good"] for each in document["figures"]} == {
        "top": False,
        "thickness": False,
    }
    done = run(path, book(tmp_path, "wall,at,outer\nP1,,1ft\nP1,12ft,1ft\n"))
    assert done.exit_code == 3
    assert "line 2, at: nothing says which way across the pad P1; write x or y" in done.stderr
    assert "line 3, at: 12ft is not a way across the pad P1; write x or y" in done.stderr


def test_on_a_placed_job_the_footing_is_held_against_its_place(tmp_path: Path, run: Run) -> None:
    shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / "lot")
    foot = 0.3048 * 3937 / 1200
    along, out = math.radians(104.5), math.radians(194.5)
    rows = []
    for name, station, off in ((1, 3.0, 0.5), (2, 30.0, 0.6)):
        north = 590152.3 + foot * (station * math.cos(along) + off * math.cos(out))
        east = 1640308.8 + foot * (station * math.sin(along) + off * math.sin(out))
        rows.append((name, f"{north:.5f}", f"{east:.5f}", "", "B-A outer edge"))
    path = survey(tmp_path, [*rows, ("11", 590137.794, 1640269.062, "", "control")])
    text = path.read_text(encoding="utf-8").replace("_ft", "_usft")
    path.write_text(text, encoding="utf-8")
    document = json.loads(run(tmp_path / "lot" / "job.yaml", path, "--json").stdout)
    assert document["placed_by"] == "lot"
    offs = [each["off"] for each in document["figures"]]
    assert offs == pytest.approx([0.0, 0.1], rel=0, abs=1e-4)
    assert any("points of the lot's survey" in each for each in document["warnings"])
    assert not any("not used" in each for each in document["warnings"])


STEPPED = """job: Barn on a slope
building: {rectangle: 36' x 24', wall: 8", footing: {width: 20", thickness: 10"}}
grade:
  ground: {A: 99', B: 94', C: 94', D: 99'}
  strip: 0
  top_of_wall: 101'
  frost_depth: 24"
"""


def test_the_blank_book_of_a_stepped_footing_has_rows_inside_every_run(
    tmp_path: Path, run: Run
) -> None:
    path = tmp_path / "slope.yaml"
    path.write_text(STEPPED, encoding="utf-8")
    graded = json.loads(CliRunner().invoke(main, ["grade", str(path), "--json"]).stdout)
    text = run(path, "--blank").stdout
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    for wall in graded["walls"]:
        assert len(wall["runs"]) > 1 or wall["wall"] in {"B-C", "D-A"}
        own = [row for row in rows if row["wall"] == wall["wall"]]
        at = [parse_length(row["at"]) / 0.3048 for row in own]
        for level in wall["runs"]:
            inside = [
                row
                for row, station in zip(own, at, strict=True)
                if level["start"] < station < level["end"]
            ]
            assert inside, (wall["wall"], level)
            for row in inside:
                top = parse_length(row["top plan"]) / 0.3048
                assert top == pytest.approx(level["top_of_footing"], abs=0.006)
        # None within 5" of a riser face.
        for step in wall["steps"]:
            assert min(abs(station - step["at"]) for station in at) > 0.4


def test_the_record_marks_what_is_no_standards(job: Path, tmp_path: Path, run: Run) -> None:
    job.write_text(BARN.replace("cast: forms", "cast: earth"), encoding="utf-8")
    run(job, book(tmp_path, GOOD), "--out", tmp_path / "kept")
    text = " ".join((tmp_path / "kept" / "record.txt").read_text(encoding="utf-8").split())
    assert "this tool's own reading, no standard's" in text
    document = json.loads((tmp_path / "kept" / "record.json").read_text(encoding="utf-8"))
    edges = [each for each in document["figures"] if each["what"].endswith("edge")]
    assert all("this tool's own reading" in each["source"] for each in edges)
    assert not any("(from memory)" in each["source"] for each in edges)
