"""``staking plan`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.commands.printed import widest

ROOT = Path(__file__).parents[2]
OUTLINE = "{A: [0, 0], B: [36', 0], C: [36', 24'], D: [24', 24'], E: [24', 32'], F: [0, 32']}"
BACKWARD = "{A: [0, 0], F: [0, 32'], E: [24', 32'], D: [24', 24'], C: [36', 24'], B: [36', 0]}"
JOG = "{A: [0, 0], B: [36', 0], C: [36', 24'], D: [20', 24'], E: [20', 24' 3\"], F: [0, 24' 3\"]}"
METRIC = "{A: [0, 0], B: [11, 0], C: [11, 7.3], D: [7.3, 7.3], E: [7.3, 9.8], F: [0, 9.8]}"

Run = Callable[..., Result]


def written(
    folder: Path, corners: str, units: str = "ft", extra: str = "", thick: str = '8"'
) -> Path:
    path = folder / "job.yaml"
    width, deep = ('20"', '10"') if units == "ft" else ("0.5", "0.25")
    path.write_text(
        f"job: Pear barn\nunits: {units}\nshow: {'feet-inches' if units == 'ft' else 'metres'}\n"
        f"building:\n  corners: {corners}\n  wall: {thick}\n"
        f"  footing: {{width: {width}, thickness: {deep}}}\n{extra}",
        encoding="utf-8",
    )
    return path


def turned(corners: str, degrees: float) -> str:
    """The same outline, turned: written in decimal feet to the tenth of a micron."""
    points = {
        "A": (0, 0), "B": (36, 0), "C": (36, 24), "D": (24, 24), "E": (24, 32), "F": (0, 32),
    }  # fmt: skip
    assert corners == OUTLINE
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    told = ", ".join(
        f"{name}: [{c * x - s * y:.9f}, {s * x + c * y:.9f}]" for name, (x, y) in points.items()
    )
    return f"{{{told}}}"


@pytest.fixture
def run() -> Run:
    def invoke(*words: object) -> Result:
        line = ["plan", *(str(word) for word in words)]
        return CliRunner().invoke(main, line, catch_exceptions=False)

    return invoke


def test_it_says_where_to_start_and_goes_on_to_the_paint(tmp_path: Path, run: Run) -> None:
    done = run(written(tmp_path, OUTLINE))
    assert done.exit_code == 0
    assert done.stderr == ""
    assert "Start at A" in done.stdout
    assert "Paint the footing edges" in done.stdout
    assert widest(done.stdout) <= 80


def test_quiet_leaves_the_figures_away(tmp_path: Path, run: Run) -> None:
    done = run("-q", written(tmp_path, OUTLINE))
    assert done.exit_code == 0
    assert "Start at A" in done.stdout
    assert "19 times in 20" not in done.stdout


def test_a_wanted_radius_names_the_fewest_tapes(tmp_path: Path, run: Run) -> None:
    done = run(written(tmp_path, OUTLINE), "--radius", "1/4in")
    assert done.exit_code == 0
    flat = " ".join(done.stdout.split())
    assert "tape at least these 11 of the 15 distances (no fewer do)" in flat
    assert "3-4-5 alone" in flat


def test_a_radius_out_of_reach_says_what_the_whole_table_gives(tmp_path: Path, run: Run) -> None:
    done = run(written(tmp_path, OUTLINE), "--radius", '1/8"')
    assert done.exit_code == 0
    flat = " ".join(done.stdout.split())
    assert 'No set of distances puts every stake within 1/8": all 15 that can be taped' in flat


def test_the_document_fits_its_schema(tmp_path: Path, run: Run) -> None:
    done = run("--json", written(tmp_path, OUTLINE))
    document = json.loads(done.stdout)
    schema = json.loads((ROOT / "docs" / "plan.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(document, schema)
    assert document["schema"] == "staking/plan/1"
    assert document["base_line"] == {
        "from": "A", "to": "B", "length": 36.0, "kind": "longest",
        "why_line": document["base_line"]["why_line"],
        "why_corner": document["base_line"]["why_corner"],
    }  # fmt: skip
    assert [step["number"] for step in document["steps"]] == list(
        range(1, len(document["steps"]) + 1)
    )
    assert document["stakes"][1]["tapes"] == [{"from": "A", "to": "B", "distance": 36.0}]


@pytest.mark.parametrize("name", ["orchard-workshop", "boat-shed", "hillside-lot"])
def test_every_demo_has_an_order_of_work_and_a_sound_document(name: str, run: Run) -> None:
    job = ROOT / "fixtures" / name / "job.yaml"
    assert run(job).exit_code == 0
    schema = json.loads((ROOT / "docs" / "plan.schema.json").read_text(encoding="utf-8"))
    document = json.loads(run("--json", job).stdout)
    jsonschema.validate(document, schema)
    set_out = {stake["corner"] for stake in document["stakes"]}
    if document["temporary"] is not None:
        set_out -= {document["temporary"]["name"]}
    assert set_out == {each["corner"] for each in document["accuracy"]}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("quarter", "--radius"),
        ("0", "0 is not a radius: it must be above zero"),
        ("-1/4in", "--radius"),
    ],
)
def test_a_radius_that_is_none_is_refused(tmp_path: Path, run: Run, text: str, told: str) -> None:
    done = run(written(tmp_path, OUTLINE), f"--radius={text}")
    assert done.exit_code == 3
    assert told in done.stderr
    assert "write --radius 3/16in" in done.stderr
    assert done.stdout == ""


def test_a_missing_job_is_bad_input(tmp_path: Path, run: Run) -> None:
    done = run(tmp_path / "none.yaml")
    assert (done.exit_code, done.stdout) == (3, "")
    assert "none.yaml" in done.stderr


# The five ways -----------------------------------------------------------------------------


def stakes(done: Result) -> list[tuple[str, str, list[float]]]:
    return [
        (each["corner"], each["method"], [round(tape["distance"], 5) for tape in each["tapes"]])
        for each in json.loads(done.stdout)["stakes"]
    ]


def test_clockwise_or_turned_the_same_stakes_come_in_the_same_order(
    tmp_path: Path, run: Run
) -> None:
    here = stakes(run("--json", written(tmp_path, OUTLINE)))
    assert stakes(run("--json", written(tmp_path, BACKWARD))) == here
    assert stakes(run("--json", written(tmp_path, turned(OUTLINE, 17)))) == here


def test_a_metric_job_is_told_in_metres(tmp_path: Path, run: Run) -> None:
    done = run(written(tmp_path, METRIC, "m", thick="0.2"), "--radius", "6mm")
    assert done.exit_code == 0
    assert "reel pulls 11.000 m along the base line A-B" in " ".join(done.stdout.split())
    # an apostrophe of a word is not a foot mark
    assert "'" not in re.sub(r"(?<=[a-z])'s", "", done.stdout)
    assert "0.0060 m" in done.stdout


def test_a_jog_of_a_few_inches_is_set_before_a_flat_swing_is(tmp_path: Path, run: Run) -> None:
    done = run("--json", written(tmp_path, JOG))
    assert done.exit_code == 0
    document = json.loads(done.stdout)
    assert all(stake["method"] != "out of reach" for stake in document["stakes"])


def test_against_a_standing_building_the_work_starts_there(tmp_path: Path, run: Run) -> None:
    done = run(written(tmp_path, OUTLINE, extra="  walls: {F-A: {existing: true}}\n"))
    assert done.exit_code in (0, 5)
    flat = " ".join(done.stdout.split())
    assert "Start at A: mark it on the standing building" in flat
    assert "F: hook on A, reel pulls 32' 0\" along the standing building" in flat


def test_a_broken_setback_ends_with_status_five_and_the_plan_all_the_same(
    tmp_path: Path, run: Run
) -> None:
    folder = ROOT / "fixtures" / "hillside-lot"
    for name in ("job.yaml", "lot.csv"):
        text = (folder / name).read_text(encoding="utf-8")
        (tmp_path / name).write_text(text.replace("other: 10'", "other: 60'"), encoding="utf-8")
    done = run(tmp_path / "job.yaml")
    assert done.exit_code == 5
    assert "Broken" in done.stderr
    flat = " ".join(done.stdout.split())
    assert re.search(r"Start at A: hook on \d+, reel scratches an arc at \d+' .*?; hook on", flat)


# The days before ---------------------------------------------------------------------------


def early(done: Result) -> list[str]:
    return [
        step["text"] for step in json.loads(done.stdout)["steps"] if step["part"] == "Days before"
    ]


def test_the_work_begins_days_before_with_what_the_job_knows(run: Run) -> None:
    steps = early(run("--json", ROOT / "fixtures" / "hillside-lot" / "job.yaml"))
    assert len(steps) == 5
    # The margin is common practice, no source.
    assert steps[0].startswith("Paint the outline of the dig in white, 2' 0\" outside")
    assert "first day to dig and the day it runs out" in steps[1]
    assert steps[2].endswith("Among the marks must be gas line.")
    assert steps[3].startswith("Uncover the lot's pins 1, 2, 3, 4 and flag them")
    assert steps[4].startswith("Mark a second benchmark beside BM1, both off the dig")


def test_our_own_marks_are_in_no_colour_of_a_utility(tmp_path: Path, run: Run) -> None:
    # Uniform colour code of the American Public Works Association, as the notification centre at
    # callbeforeyoudig.org prints it: red electric, yellow gas, orange communication, blue water,
    # purple reclaimed water, green sewer; white a proposed excavation, pink a temporary survey.
    (paint, *others) = early(run("--json", written(tmp_path, OUTLINE)))
    assert "in white" in paint
    assert "marked in pink" in paint
    assert "Red, yellow, orange, blue, purple and green belong to the utilities" in paint
    assert any(each.startswith("Mark two benchmarks off the dig") for each in others)
    assert any(each.startswith("Find the lot's pins") for each in others)


DEED = """site:
  boundary:
    deed: [N 88 30 15 E 120.00', S 1 20 E 95.50', S 88 45 W 121.10', N 0 41 W 95.00']
  place: {wall: A-B, along: [4, 3], from_first: 30', offset: left 30'}
"""


def test_a_lot_from_its_deed_alone_is_set_from_pins_that_are_found_first(
    tmp_path: Path, run: Run
) -> None:
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: Corner lot\nbuilding:\n  rectangle: 24' x 16'\n  wall: 8\"\n"
        '  footing: {width: 16", thickness: 8"}\n' + DEED,
        encoding="utf-8",
    )
    document = json.loads(run("--json", path).stdout)
    texts = [step["text"] for step in document["steps"]]
    assert "the survey" not in " ".join(texts)
    assert any(
        each.startswith("Find the lot's pins 1, 2, 3, 4: this lot comes from its deed alone")
        for each in texts
    )
    (start,) = (each for each in texts if each.startswith("Start at A"))
    # A stands 30' along from pin 4 and 30' off the line to 3: 42' 5 1/8" by Pythagoras.
    assert re.search(r"once pins (4 and \d|\d and 4) are found, hook on pin", start)
    assert "42' 5 1/8\"" in start
