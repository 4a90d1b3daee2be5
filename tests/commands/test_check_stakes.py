"""``staking check --stakes`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import csv
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
from tests.commands.printed import widest

ROOT = Path(__file__).parents[2]
BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
PLAN = {"A": (0.0, 0.0), "B": (36.0, 0.0), "C": (36.0, 24.0), "D": (0.0, 24.0)}
INCH = 1 / 12

Places = dict[str, tuple[float, float]]
Run = Callable[..., Result]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "barn.yaml"
    path.write_text(BARN, encoding="utf-8")
    return path


@pytest.fixture
def hillside(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "fixtures" / "hillside-lot", tmp_path / "hillside-lot")
    return tmp_path / "hillside-lot" / "job.yaml"


@pytest.fixture
def run() -> Run:
    def invoke(*words: object, typed: str = "") -> Result:
        line = ["check", *(str(word) for word in words)]
        return CliRunner().invoke(main, line, input=typed, catch_exceptions=False)

    return invoke


def survey(folder: Path, rows: Iterable[tuple[object, ...]], unit: str = "ft") -> Path:
    path = folder / "stakes.csv"
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(("point", f"northing_{unit}", f"easting_{unit}", "description"))
        writer.writerows(rows)
    return path


def stakes(
    folder: Path, places: Places, turn: float = 0.0, shift: tuple[float, float] = (0.0, 0.0)
) -> Path:
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return survey(
        folder,
        [
            (name, f"{s * x + c * y + shift[0]:.6f}", f"{c * x - s * y + shift[1]:.6f}", "")
            for name, (x, y) in places.items()
        ],
    )


def laid_out(job: Path) -> list[dict[str, str]]:
    done = CliRunner().invoke(main, ["layout", str(job), "--only", "csv", "-q"])
    assert done.exit_code in (0, 5)
    path = job.with_name(f"{job.stem}-layout") / "points.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def rewritten(path: Path, rows: list[dict[str, str]]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    return path


def test_stakes_on_the_plan_are_square_wherever_the_survey_lies(
    job: Path, tmp_path: Path, run: Run
) -> None:
    done = run(
        job, "--stakes", stakes(tmp_path, PLAN, 17.0, (5000.0, 900.0)), "--stake-error", "1/32in"
    )
    assert done.exit_code == 0
    assert done.stdout.startswith("Is it square\n- Square.\n")
    assert "Is it in its place" not in done.stdout
    assert "Every stake was shot once and nothing checks the shots" in " ".join(done.stderr.split())
    assert widest(done.stdout) <= 80


def test_a_stake_an_inch_off_is_to_move_an_inch(job: Path, tmp_path: Path, run: Run) -> None:
    places = {**PLAN, "C": (36.0 + INCH, 24.0)}
    done = run(job, "--stakes", stakes(tmp_path, places, 100.0), "--stake-error", "1/32in", "-q")
    assert done.exit_code == 5
    assert 'Move C 1" toward D.' in done.stdout
    assert "Leave A, B, D." in done.stdout


def test_by_default_a_distance_between_stakes_is_as_good_as_a_tape(
    job: Path, tmp_path: Path, run: Run
) -> None:
    done = run(job, "--json", "--stakes", stakes(tmp_path, PLAN))
    document = json.loads(done.stdout)
    assert document["stakes"]["error"] == pytest.approx(
        0.125 * INCH / math.sqrt(2), rel=0, abs=1e-9
    )
    (side,) = (c for c in document["checks"] if (c["from"], c["to"]) == ("A", "B"))
    assert side["error"] == pytest.approx(0.125 * INCH, rel=0, abs=1e-9)
    assert "as good as one reading of the job's tape" in " ".join(done.stderr.split())


def test_the_document_with_stakes_fits_its_schema(job: Path, tmp_path: Path, run: Run) -> None:
    schema = json.loads((ROOT / "docs" / "check.schema.json").read_text(encoding="utf-8"))
    document = json.loads(run(job, "--json", "--stakes", stakes(tmp_path, PLAN)).stdout)
    jsonschema.validate(document, schema)
    assert document["measurements"] == []
    assert document["stakes"]["in_place"] is None


def test_stakes_and_tapes_are_adjusted_together(job: Path, tmp_path: Path, run: Run) -> None:
    done = run(job, "--json", "A-C=43-3-3/16", "--stakes", stakes(tmp_path, PLAN))
    document = json.loads(done.stdout)
    assert document["redundancy"] == 1
    assert [each["from"] for each in document["measurements"]] == ["A"]


def test_names_the_job_does_not_have_are_listed(job: Path, tmp_path: Path, run: Run) -> None:
    path = stakes(tmp_path, {**PLAN, "oak": (50.0, 3.0), "Z9": (1.0, 1.0)})
    done = run(job, "--stakes", path)
    assert "Not named in the job, and not used: oak, Z9." in done.stderr


def test_a_stake_that_is_missing_is_said(job: Path, tmp_path: Path, run: Run) -> None:
    path = stakes(tmp_path, {name: PLAN[name] for name in "ABC"})
    done = run(job, "--stakes", path)
    assert "There is no stake and no tape to D" in " ".join(done.stderr.split())
    assert done.exit_code == 0


def test_a_stake_shot_twice_is_one_stake(job: Path, tmp_path: Path, run: Run) -> None:
    rows = [(n, y, x, "") for n, (x, y) in PLAN.items()]
    path = survey(tmp_path, [*rows, ("A", 0.005, 0.0, "")])
    document = json.loads(run(job, "--json", "--stakes", path).stdout)
    assert document["redundancy"] == 2
    assert document["square"]


def test_two_places_for_one_stake_are_an_error_with_both_lines(
    job: Path, tmp_path: Path, run: Run
) -> None:
    rows = [(n, y, x, "") for n, (x, y) in PLAN.items()]
    path = survey(tmp_path, [*rows, ("A", 0.5, 0.0, "")])
    done = run(job, "--stakes", path)
    assert done.exit_code == 3
    assert done.stdout == ""
    assert done.stderr == (
        f"A is there twice, 0.500 ft apart: {path} line 2 and {path} line 6; keep the right one, "
        "or give a larger --stake-error\n"
    )


def test_a_survey_in_metres_taken_for_feet_is_refused(job: Path, tmp_path: Path, run: Run) -> None:
    places = {name: (x * 0.3048, y * 0.3048) for name, (x, y) in PLAN.items()}
    done = run(job, "--stakes", stakes(tmp_path, places))
    assert done.exit_code == 3
    assert done.stderr.endswith("say what the file is in with --unit\n")
    assert "0.3048 times as far apart as on the plan" in done.stderr


def test_northing_and_easting_swapped_are_refused(job: Path, tmp_path: Path, run: Run) -> None:
    path = survey(tmp_path, [(n, x, y, "") for n, (x, y) in PLAN.items()])
    done = run(job, "--stakes", path)
    assert done.exit_code == 4
    assert "the stakes fit the plan's mirror image" in done.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--stake-error", "1/16in"), "--stake-error is about --stakes; give both"),
        (("--unit", "m"), "--unit is about --stakes; give both"),
    ],
)
def test_what_tells_of_stakes_wants_stakes(
    job: Path, run: Run, words: tuple[str, ...], said: str
) -> None:
    done = run(job, "A-C=43ft", *words)
    assert (done.exit_code, done.stdout, done.stderr) == (3, "", f"{said}\n")


def test_a_file_without_any_name_of_the_job_says_what_to_call_them(
    job: Path, tmp_path: Path, run: Run
) -> None:
    path = survey(tmp_path, [("1", 0, 0, ""), ("2", 10, 0, "")])
    done = run(job, "--stakes", path)
    assert done.exit_code == 3
    assert done.stderr == (
        f"{path}: no point is named like a corner, nail, pad or hub of the job; name them as in "
        "points.csv: A, B, C, D …\n"
    )


def test_one_stake_has_no_shape(job: Path, tmp_path: Path, run: Run) -> None:
    done = run(job, "--stakes", stakes(tmp_path, {"A": PLAN["A"]}))
    assert done.exit_code == 3
    assert "only A is among the stakes, and a shape needs two at least" in done.stderr


def test_only_a_placed_job_has_a_place_to_move_to(job: Path, tmp_path: Path, run: Run) -> None:
    done = run(job, "--stakes", stakes(tmp_path, PLAN), "--hold", "place")
    assert done.exit_code == 3
    assert "the job is not placed on a survey" in done.stderr


def test_points_of_the_layout_come_back_square_and_in_their_place(hillside: Path, run: Run) -> None:
    laid_out(hillside)
    path = hillside.with_name("job-layout") / "points.csv"
    done = run(hillside, "--stakes", path, "--stake-error", "1/32in")
    assert done.exit_code == 0
    assert "Every stake is within what is allowed of its planned place." in done.stdout
    assert "As a whole it stands in its planned place" in done.stdout
    document = json.loads(
        run(hillside, "--json", "--stakes", path, "--stake-error", "1/32in").stdout
    )
    assert document["stakes"]["in_place"]
    assert all(each["good"] for each in document["stakes"]["nails"])
    assert max(abs(each["slide"]) for each in document["stakes"]["nails"]) < 1e-3


def test_a_whole_building_a_foot_north_is_square_and_not_in_its_place(
    hillside: Path, tmp_path: Path, run: Run
) -> None:
    rows = [row for row in laid_out(hillside) if row["description"] == "corner"]
    for row in rows:
        row["northing_us-ft"] = f"{float(row['northing_us-ft']) + 1.0:.4f}"
    path = rewritten(tmp_path / "north.csv", rows)
    done = run(hillside, "--json", "--stakes", path, "--stake-error", "1/32in")
    document = json.loads(done.stdout)
    assert done.exit_code == 5
    assert document["square"]
    assert document["to_place"]
    assert not document["stakes"]["in_place"]
    shape = run(hillside, "--stakes", path, "--stake-error", "1/32in", "--hold", "best")
    assert shape.exit_code == 0
    assert "For its shape no stake need move." in shape.stdout
    moved = document["stakes"]["displacement"]
    assert moved["north"] == pytest.approx(1.0, rel=0, abs=1e-3)
    assert moved["east"] == pytest.approx(0.0, rel=0, abs=1e-3)
    assert moved["turn"] == pytest.approx(0.0, rel=0, abs=1e-3)
    back = run(hillside, "-q", "--stakes", path, "--stake-error", "1/32in", "--hold", "place")
    assert "What to move, to the planned place on the lot" in back.stdout
    assert back.stdout.count("- Move ") == 6


def test_nails_alone_give_the_corners_where_the_strings_cross(
    job: Path, tmp_path: Path, run: Run
) -> None:
    rows = [row for row in laid_out(job) if "_mark_" in row["point"]]
    for row in rows:
        if row["description"].endswith("B-C"):
            row["x_ft"] = f"{float(row['x_ft']) + INCH:.4f}"
    path = rewritten(tmp_path / "nails.csv", rows)
    done = run(job, "--json", "--stakes", path, "--stake-error", "1/32in")
    document = json.loads(done.stdout)
    assert done.exit_code == 5
    assert document["stakes"]["by_strings"]
    corners = {each["name"]: each for each in document["corners"]}
    assert corners["B"]["move_x"] == pytest.approx(-INCH, rel=0, abs=1e-3)
    slides = {
        each["text"] for each in document["stakes"]["nails"] if each["mark"] == "outside face"
    }
    assert any("toward the building" in each for each in slides)
    told = run(job, "--stakes", path, "--stake-error", "1/32in").stdout
    assert "Or slide the nails" not in told
    assert "What to move" not in told
    assert "The nails as surveyed" in told
    assert "taken where the strings between the surveyed nails cross" in " ".join(
        done.stderr.split()
    )


@pytest.mark.parametrize(
    "called", ["board_8_mark_1", "board 8 outside face A-B", "Board 8 outside face"]
)
def test_a_nail_may_be_named_as_on_the_schedule(
    job: Path, tmp_path: Path, run: Run, called: str
) -> None:
    rows = laid_out(job)
    kept = [row for row in rows if row["description"] == "corner"]
    nail = next(row for row in rows if row["description"] == "board 8 outside face A-B")
    named = {**nail, "point": called, "description": ""}
    path = rewritten(tmp_path / "nails.csv", [*kept, named])
    done = run(job, "--stakes", path)
    assert "Every nail surveyed is within what is allowed (1)." in done.stdout
    assert "not named in the job" not in done.stderr


def test_a_nail_may_be_named_by_its_description(job: Path, tmp_path: Path, run: Run) -> None:
    rows = laid_out(job)
    kept = [row for row in rows if row["description"] == "corner"]
    nail = next(row for row in rows if row["description"] == "board 8 outside face A-B")
    path = rewritten(tmp_path / "nails.csv", [*kept, {**nail, "point": "77"}])
    document = json.loads(run(job, "--json", "--stakes", path).stdout)
    (found,) = document["stakes"]["nails"]
    assert found["name"] == "board_8_mark_1"
    assert found["good"]


def test_a_track_file_is_told_to_be_no_better_than_it_is(hillside: Path, run: Run) -> None:
    done = CliRunner().invoke(main, ["layout", str(hillside), "--only", "gpx", "-q"])
    assert done.exit_code in (0, 5)
    path = hillside.with_name("job-layout") / "points.gpx"
    found = run(hillside, "--stakes", path)
    assert "count as known to 9' 10 1/8\", no better" in " ".join(found.stderr.split())
    assert "as near as these readings can tell" in found.stdout


def test_points_of_the_lot_shot_again_check_the_set_up(
    hillside: Path, tmp_path: Path, run: Run
) -> None:
    rows = [row for row in laid_out(hillside) if row["description"] == "corner"]
    again = dict.fromkeys(rows[0], "")
    pin = {"point": "11", "northing_us-ft": "590137.794", "easting_us-ft": "1640269.062"}
    path = rewritten(tmp_path / "again.csv", [*rows, {**again, **pin}])
    done = run(hillside, "--stakes", path)
    said = " ".join(done.stderr.split())
    assert 'as well: 1; farthest from its place there is 11, by 0".' in said
    assert "not named in the job" not in said
    pin["northing_us-ft"] = "590138.294"
    path = rewritten(tmp_path / "again.csv", [*rows, {**again, **pin}])
    said = " ".join(run(hillside, "--stakes", path, "-q").stderr.split())
    assert 'is 11, by 6": check the set-up, and which grid the file is in.' in said


def test_a_nail_that_is_off_is_warned_of(job: Path, tmp_path: Path, run: Run) -> None:
    rows = laid_out(job)
    kept = [row for row in rows if row["description"] == "corner"]
    nail = next(row for row in rows if row["description"] == "board 8 outside face A-B")
    off = {**nail, "y_ft": f"{float(nail['y_ft']) - INCH:.4f}"}
    done = run(job, "--stakes", rewritten(tmp_path / "nails.csv", [*kept, off]))
    assert "slide it\n" in done.stdout
    assert "Other nails" not in done.stdout
    assert '1" toward the building' in done.stdout
    said = " ".join(done.stderr.split())
    assert 'farthest off is the outside face of A-B on board 8, by 1".' in said


def test_two_stakes_that_bear_each_others_names_are_asked_after(
    job: Path, tmp_path: Path, run: Run
) -> None:
    wing = job.with_name("wing.yaml")
    text = job.read_text(encoding="utf-8")
    corners = "corners: {A: [0, 0], B: [36, 0], C: [36, 24], D: [24, 24], E: [24, 32], F: [0, 32]}"
    wing.write_text(re.sub("rectangle: .*", corners, text), encoding="utf-8")
    places = {"A": (0, 0), "B": (36, 0), "C": (36, 24), "D": (24, 32), "E": (24, 24), "F": (0, 32)}
    done = run(wing, "--stakes", stakes(tmp_path, places, 17.0), "--stake-error", "1/32in")
    said = " ".join(done.stderr.split())
    assert "D stands where E belongs and E where D does: are their names swapped" in said


def test_quiet_still_says_which_nail_slides(job: Path, tmp_path: Path, run: Run) -> None:
    rows = [row for row in laid_out(job) if "_mark_" in row["point"]]
    moved = next(row for row in rows if row["description"].endswith("outside face B-C"))
    moved["x_ft"] = f"{float(moved['x_ft']) + INCH:.4f}"
    path = rewritten(tmp_path / "nails.csv", rows)
    done = run(job, "-q", "--stakes", path, "--stake-error", "1/32in")
    assert "slide it" in done.stdout
    assert "toward the building" in done.stdout
    assert "95 % radius" not in done.stdout


def test_a_building_off_its_place_has_its_setbacks_worked_out_where_it_stands(
    hillside: Path, tmp_path: Path, run: Run
) -> None:
    rows = [row for row in laid_out(hillside) if row["description"] == "corner"]
    for row in rows:
        row["easting_us-ft"] = f"{float(row['easting_us-ft']) + 26.0:.4f}"
    path = rewritten(tmp_path / "east.csv", rows)
    done = run(hillside, "--json", "--stakes", path, "--stake-error", "1/32in")
    assert done.exit_code == 5
    document = json.loads(done.stdout)
    assert document["square"]
    lead = "as the stakes stand, "
    said = [each.removeprefix(lead) for each in document["warnings"] if each.startswith(lead)]
    # the same as when the job itself places the building there
    text = hillside.read_text(encoding="utf-8")
    hillside.write_text(text.replace("east: 1640308.8", "east: 1640334.8"), encoding="utf-8")
    laid = CliRunner().invoke(main, ["layout", str(hillside), "--json"])
    there = json.loads(laid.stdout)["warnings"]
    setbacks = [each for each in there if "comes within" in each]
    assert len(setbacks) == 3
    assert said == setbacks


def test_a_building_off_its_place_that_keeps_its_setbacks_is_told_so(
    hillside: Path, tmp_path: Path, run: Run
) -> None:
    rows = [row for row in laid_out(hillside) if row["description"] == "corner"]
    for row in rows:
        row["easting_us-ft"] = f"{float(row['easting_us-ft']) + 2.0:.4f}"
    path = rewritten(tmp_path / "east.csv", rows)
    done = run(hillside, "--stakes", path, "--stake-error", "1/32in")
    assert done.exit_code == 5
    assert "As the stakes stand, the setbacks are kept" in done.stderr
    assert "Leave every stake" not in done.stdout
    shape = run(hillside, "-q", "--stakes", path, "--stake-error", "1/32in", "--hold", "A,A-B")
    assert shape.exit_code == 0
    asked = run(hillside, "-q", "--stakes", path, "--stake-error", "1/32in", "--hold", "place")
    assert asked.exit_code == 5


LEVEL_LOT = """\
point,northing_ft,easting_ft,elevation_ft,description
1,1000,1000,,iron pin
2,1000,1100,,iron pin
3,1060,1100,,iron pin
4,1060,1000,,iron pin
"""


LINES = ("1-2", "3-4")


# The footing is 37' by 25' with its middle 30' from the lines. Square to them it keeps
# 30 - 12.5 = 17.5 ft, at ten degrees 30 - 12.5 cos 10 - 18.5 sin 10 = 14.48, at twenty
# 30 - 12.5 cos 20 - 18.5 sin 20 = 11.927 ft, 11' 11 1/8".
@pytest.mark.parametrize(("turn", "within"), [(-10.0, None), (10.0, "11' 11 1/8\"")])
def test_a_building_that_stands_turned_has_its_setbacks_from_where_it_is_turned_to(
    tmp_path: Path, run: Run, turn: float, within: str | None
) -> None:
    """The barn is planned 10 degrees off the lot's lines, and stands square to them or 20 off."""
    lot = tmp_path / "lot.csv"
    lot.write_text(LEVEL_LOT, encoding="utf-8")
    # its centre at 1030 north, 1050 east; A is 18 back and 12 right of it along the wall A-B,
    # which runs 80 degrees from north: ten degrees anticlockwise of east
    c, s = math.cos(math.radians(10)), math.sin(math.radians(10))
    north, east = 1030 - 18 * s - 12 * c, 1050 - 18 * c + 12 * s
    job = tmp_path / "job.yaml"
    job.write_text(
        BARN
        + "site:\n  survey: lot.csv\n  units: ft\n"
        + f"  place: {{corner: A, wall: A-B, north: {north:.6f}, east: {east:.6f}, "
        + "bearing: N 80 E}\n"
        + "  boundary: [1, 2, 3, 4]\n  setbacks: {other: 14'}\n",
        encoding="utf-8",
    )
    whole = math.radians(10 + turn)
    c, s = math.cos(whole), math.sin(whole)
    shot = survey(
        tmp_path,
        [
            (
                name,
                f"{1030 + s * (x - 18) + c * (y - 12):.6f}",
                f"{1050 + c * (x - 18) - s * (y - 12):.6f}",
                "",
            )
            for name, (x, y) in PLAN.items()
        ],
    )
    done = run(job, "--json", "--stakes", shot, "--stake-error", "1/32in")
    said = " ".join(json.loads(done.stdout)["warnings"])
    assert said.count("as the stakes stand, the footing comes within") == (2 if within else 0)
    assert all(f"within {within} of the boundary line {line}" in said for line in LINES if within)
    kept = "As the stakes stand, the setbacks are kept"
    assert (kept in " ".join(done.stderr.split())) == (not within)


def test_a_building_turned_on_its_lot_is_judged_at_its_corners(
    hillside: Path, tmp_path: Path, run: Run
) -> None:
    # turned by 3 degrees about the middle of its corners: 0.0524 times a corner's arm
    rows = [row for row in laid_out(hillside) if row["description"] == "corner"]
    places = [(float(r["northing_us-ft"]), float(r["easting_us-ft"])) for r in rows]
    north, east = (sum(each) / len(places) for each in zip(*places, strict=True))
    c, s = math.cos(math.radians(3)), math.sin(math.radians(3))
    arms = []
    for row, (n, e) in zip(rows, places, strict=True):
        y, x = n - north, e - east
        arms.append(math.hypot(x, y))
        row["easting_us-ft"] = f"{east + c * x - s * y:.4f}"
        row["northing_us-ft"] = f"{north + s * x + c * y:.4f}"
    path = rewritten(tmp_path / "turned.csv", rows)
    done = run(hillside, "--stakes", path, "--stake-error", "1/32in")
    assert done.exit_code == 5
    assert "Leave every stake" not in done.stdout
    assert "not of this building" not in done.stdout
    said = " ".join(done.stderr.split())
    assert "The building does not stand in its planned place: " in said
    found = json.loads(run(hillside, "--json", "--stakes", path, "--stake-error", "1/32in").stdout)
    farthest = max(math.hypot(e["move_x"], e["move_y"]) for e in found["corners"])
    assert farthest == pytest.approx(2 * math.sin(math.radians(1.5)) * max(arms), rel=0, abs=0.01)
    assert found["square"]


INSIDE = """\
  interior:
    - {name: G, from: A-B at 14', to: C-D at 22', wall: 8", footing: {width: 16", thickness: 8"}}
  pads:
    - {name: P1, at: [10', 6'], size: [24", 24"], thickness: 12"}
"""


def test_the_drawing_that_was_written_holds_pads_and_interior_ends(
    tmp_path: Path, run: Run
) -> None:
    job = tmp_path / "barn.yaml"
    job.write_text(BARN + INSIDE, encoding="utf-8")
    done = CliRunner().invoke(
        main, ["layout", str(job), "--only", "dxf,csv", "--out", str(tmp_path / "out")]
    )
    assert done.exit_code == 0
    for name in ("plan.dxf", "points.csv"):
        done = run(job, "--stakes", tmp_path / "out" / name, "--json")
        assert done.exit_code == 0, name
        found = json.loads(done.stdout)
        assert [each["name"] for each in found["points"]] == ["P1", "G from", "G to"], name
        assert not any("nothing was taped" in each for each in found["warnings"]), name


def test_a_pad_alone_off_its_place_on_the_lot_is_named_and_not_the_building(
    tmp_path: Path, run: Run
) -> None:
    (tmp_path / "lot.csv").write_text(
        "point,northing,easting\n1,1000,1000\n2,1000,1100\n3,1060,1100\n4,1060,1000\n",
        encoding="utf-8",
    )
    job = tmp_path / "job.yaml"
    job.write_text(
        BARN
        + INSIDE
        + "site:\n  survey: lot.csv\n  units: ft\n"
        + "  place: {corner: A, wall: A-B, north: 1018, east: 1032, bearing: N 90 E}\n",
        encoding="utf-8",
    )
    # the pad a foot too far east
    rows = [(name, 1018 + y, 1032 + x, "") for name, (x, y) in PLAN.items()]
    shot = survey(tmp_path, [*rows, ("P1", 1018 + 6, 1032 + 11, "")])
    done = run(job, "--stakes", shot, "-q")
    assert done.exit_code == 5
    assert "- P1, the pad centre, is 1' 0\" off its planned place on the lot." in done.stderr
    assert "the building does not stand" not in done.stderr
    lines = done.stdout.splitlines()
    assert "- Not in its place: P1 by more than a stake may be." in lines
    assert "- Move P1 1' 0\" toward A along A-B." in lines
    # the whole an inch east: shifted, and not turned
    rows = [(name, 1018 + y, 1032 + 1 / 12 + x, "") for name, (x, y) in PLAN.items()]
    done = run(job, "--stakes", survey(tmp_path, rows), "-q")
    assert done.exit_code == 5
    assert 'the middle of all 1", and the whole is not turned;' in " ".join(done.stderr.split())
    shifted = '- As a whole it stands 1" off its planned place (1" east), not turned.'
    assert shifted in done.stdout.splitlines()
