"""``staking check`` as it is typed: status, standard output and standard error apart."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from staking.cli import main
from tests.commands.printed import widest

BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
SIDES = ("A-B=36ft", "B-C=24ft", "C-D=36ft", "D-A=24ft")
RACKED = (*SIDES, "A-C=43-3-3/8", "B-D=43-2-1/2")
SQUARE = (*SIDES, "A-C=43-3-3/16", "B-D=43-3-3/16")
ROOT = Path(__file__).parents[2]

Run = Callable[..., Result]


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "barn.yaml"
    path.write_text(BARN, encoding="utf-8")
    return path


@pytest.fixture
def run() -> Run:
    def invoke(*words: object, typed: str = "") -> Result:
        line = ["check", *(str(word) for word in words)]
        return CliRunner().invoke(main, line, input=typed, catch_exceptions=False)

    return invoke


def test_a_racked_barn_is_not_square_and_says_what_to_move(job: Path, run: Run) -> None:
    done = run(job, *RACKED)
    assert done.exit_code == 5
    assert "Not square" in done.stdout
    assert 'Move C 7/16" toward D' in done.stdout
    assert "Slide the nail of B-C on board" in done.stdout
    assert widest(done.stdout) <= 80


def test_a_square_barn_is_left_alone(job: Path, run: Run) -> None:
    done = run(job, *SQUARE)
    assert done.exit_code == 0
    assert "Leave every stake where it is." in done.stdout


def test_quiet_gives_the_verdict_and_the_moves_without_tables(job: Path, run: Run) -> None:
    said = run(job, "-q", *RACKED).stdout
    assert "Not square" in said
    assert "95 % radius" not in said


def test_both_ends_of_a_wall_that_move_alike_are_said_at_once(job: Path, run: Run) -> None:
    # the far wall slid an inch along: 4 a s = d1^2 - d2^2 with 36' for a
    done = run(job, "-q", *SIDES, "A-C=43.335950ft", "B-D=43.197282ft")
    assert 'Move C and D both 1" toward D.' in done.stdout


def test_with_a_wrong_reading_that_nobody_can_name_nothing_is_moved(job: Path, run: Run) -> None:
    done = run(job, "--json", *SIDES, "A-C=43-3-3/16", "B-D=44-3-3/16")
    document = json.loads(done.stdout)
    assert done.exit_code == 5
    assert not document["decided"]
    assert document["advice"] == []
    assert all(each["suspect"] for each in document["measurements"])
    assert "something is off: with one reading to spare" in document["warnings"][-2]


def test_the_document_fits_its_schema_and_the_sums_hold(job: Path, run: Run) -> None:
    done = run(job, "--json", *RACKED)
    assert done.exit_code == 5
    document = json.loads(done.stdout)
    schema = json.loads((ROOT / "docs" / "check.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(document, schema)
    assert document["schema"] == "staking/check/1"
    assert document["redundancy"] == 1
    assert not document["square"]
    assert document["decided"]
    for each in document["measurements"]:
        assert each["adjusted"] - each["measured"] == pytest.approx(each["residual"], abs=1e-8)
    corners = {each["name"]: each for each in document["corners"]}
    assert corners["C"]["x"] + corners["C"]["move_x"] == pytest.approx(36.0, rel=0, abs=1e-8)
    assert corners["C"]["angle"] == pytest.approx(89.895, rel=0, abs=0.001)


def test_lines_of_standard_input_are_read(job: Path, run: Run) -> None:
    typed = "A-B 36'\nB-C: 24' 0\"\n\nC-D=36ft   # the far wall\nA-D 24'\nA-C 43' 3 3/8\"\n"
    done = run(job, "-", "B-D=43-2-1/2", "--json", typed=typed)
    assert len(json.loads(done.stdout)["measurements"]) == 6


def test_holding_another_wall_moves_the_others(job: Path, run: Run) -> None:
    document = json.loads(run(job, "--json", "--hold", "C,C-D", *RACKED).stdout)
    moves = {each["name"]: (each["move_x"], each["move_y"]) for each in document["corners"]}
    assert moves["C"] == pytest.approx((0, 0), abs=1e-9)
    assert moves["D"][1] == pytest.approx(0, abs=1e-9)
    best = json.loads(run(job, "--json", "--hold", "best", *RACKED).stdout)
    assert best["hold"] is None
    assert sum(each["move_x"] for each in best["corners"]) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("A-X=3ft",), "X is not a corner of the job"),
        (("A-c=3ft",), "did you mean C"),
        (("A-B",), "is not a reading"),
        (("A-A=3ft",), "to itself"),
        (("A-B=0",), "not longer than zero"),
        (("A-B=24' 32'",), "two lengths"),
        ((), "no distance is given"),
        ((*RACKED, "--hold", "Q"), "Q is not a corner"),
        ((*RACKED, "--hold", "A,A-C"), "A-C is not a wall"),
        ((*RACKED, "--height", "A"), "is not a height"),
        ((*SIDES, "A-C=forty"), "A-C: forty is not a length"),
        ((*RACKED, "--height", "A=low"), "the height of A: low is not a length"),
        ((*RACKED, "--hold", "place"), "tapes alone do not say where on the lot"),
        (("A-B=10.973", "B-C=7.315", "C-D=10.973", "A-C=13.188"), "every reading is 0.3048 times"),
        (("A-B=432", "B-C=288", "C-D=432", "A-C=519.2"), "the ratio of inches and feet"),
    ],
)
def test_what_cannot_be_used_is_said(
    job: Path, run: Run, words: tuple[str, ...], said: str
) -> None:
    done = run(job, *words)
    assert done.exit_code == 3
    assert said in done.stderr
    assert not done.stdout


def metres(share: float) -> list[str]:
    """The barn's sides and diagonal in metres, longer by a share of each, typed without a unit."""
    feet = {"A-B": 36.0, "B-C": 24.0, "C-D": 36.0, "A-C": math.hypot(36, 24)}
    return [f"{pair}={each * 0.3048 * (1 + share):.4f}" for pair, each in feet.items()]


@pytest.mark.parametrize(("share", "said"), [(0.015, True), (-0.015, True), (0.03, False)])
def test_readings_within_two_percent_of_another_unit_are_taken_for_it(
    job: Path, run: Run, share: float, said: bool
) -> None:
    done = run(job, *metres(share))
    assert done.exit_code != 0
    assert ("the ratio of feet and metres" in done.stderr) == said


def test_too_few_distances_say_what_to_tape_next(job: Path, run: Run) -> None:
    done = run(job, *SIDES)
    assert done.exit_code == 4
    assert "tape A-C next" in done.stderr
    assert run(job, "A-B=36ft").exit_code == 4


def test_a_reading_a_foot_out_is_left_out_and_told_in_words(tmp_path: Path, run: Run) -> None:
    path = tmp_path / "ell.yaml"
    path.write_text(
        "job: Ell\nunits: ft\nbuilding:\n  sides: [east 36', north 24', west 12', north 8', "
        'west 24\', south 32\']\n  wall: 8"\n  footing: {width: 20", thickness: 10"}\n',
        encoding="utf-8",
    )
    at = {"A": (0, 0), "B": (36, 0), "C": (36, 24), "D": (24, 24), "E": (24, 32), "F": (0, 32)}
    words = []
    for i, one in enumerate("ABCDEF"):
        for other in "ABCDEF"[i + 1 :]:
            step = [a - b for a, b in zip(at[one], at[other], strict=True)]
            length = (step[0] ** 2 + step[1] ** 2) ** 0.5 + (1 if one + other == "BF" else 0)
            words.append(f"{one}-{other}={length:.4f}ft")
    done = run(path, *words)
    assert done.exit_code == 0
    assert "B-F reads about 1' 0\" long: a tape held at the 1 ft mark?" in " ".join(
        done.stderr.split()
    )


def test_slope_readings_are_reduced_when_heights_are_given(job: Path, run: Run) -> None:
    document = json.loads(
        run(job, "--json", *SQUARE[1:], "A-B=36.0555128ft", "--height", "A=1ft", "--height",
            "B=3ft").stdout
    )  # fmt: skip
    (side,) = (each for each in document["measurements"] if each["to"] == "B")
    assert side["measured"] == pytest.approx(36.0, rel=0, abs=1e-6)


def test_a_missing_job_is_bad_input(tmp_path: Path, run: Run) -> None:
    assert run(tmp_path / "none.yaml", *RACKED).exit_code == 3


def test_a_height_that_is_missing_beside_others_is_told(job: Path, run: Run) -> None:
    heights = [word for name in "ABC" for word in ("--height", f"{name}=6in")]
    done = run(job, *SQUARE, *heights)
    assert "No height is given for D: tapes to them are taken as level" in done.stderr
    assert "no height" not in run(job, *SQUARE, *heights, "--height", "D=0").stderr
    assert "no height" not in run(job, *SQUARE).stderr


def test_a_corner_against_a_standing_building_is_not_moved_off_it_unsaid(
    job: Path, run: Run
) -> None:
    text = job.read_text(encoding="utf-8") + "  walls: {D-A: {existing: yes}}\n"
    job.write_text(text, encoding="utf-8")
    done = run(job, *RACKED, "--hold", "A,A-B")
    said = " ".join(done.stderr.split())
    assert "D cannot leave the standing building along D-A: hold that side, --hold D,D-A" in said
    held = run(job, *RACKED, "--hold", "D,D-A")
    assert "standing building" not in held.stderr
    assert "holding D and the wall D-A" in held.stdout
    # the side against the building is what is held where nobody says
    own = run(job, *RACKED)
    assert "standing building" not in own.stderr
    assert "holding A and the wall A-D" in own.stdout


def test_what_is_taken_out_of_the_readings_is_said(job: Path, run: Run) -> None:
    # 36 ft along a slope of 3 ft are 35.8748 ft level: 1 1/2" less
    heights = ("--height", "A=0", "--height", "B=3ft", "--height", "C=3ft", "--height", "D=0")
    done = run(job, *SQUARE, *heights)
    assert 'A-B counts 1 1/2" shorter than it was read' in " ".join(done.stderr.split())
    assert "than read" not in run(job, *SQUARE).stderr
    hot = "tape: {temperature: 95 F, standard: {temperature: 68 F}}\n"
    job.write_text(job.read_text(encoding="utf-8") + hot, encoding="utf-8")
    # 519 in x 15 C x 1.16e-5 = 0.09 in
    assert 'counts 1/16" longer than it was read' in " ".join(run(job, *SQUARE).stderr.split())
