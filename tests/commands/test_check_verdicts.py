"""What ``staking check`` says of perfect stakes, of pads, of the tape, and of other buildings."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from staking.cli import main

BARN = """\
job: Pear barn
units: ft
building:
  rectangle: 36' x 24'
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
INSIDE = """\
  interior:
    - {name: G, from: A-B at 14', to: C-D at 22', wall: 8", footing: {width: 16", thickness: 8"}}
  pads:
    - {name: P1, at: [10', 6'], size: [24", 24"], thickness: 12"}
"""
SQUARE = ("A-B=36ft", "B-C=24ft", "C-D=36ft", "A-D=24ft", "A-C=43-3-3/16", "B-D=43-3-3/16")
FIRST_WALL_OF_A_FOOT = """\
job: Invented
units: ft
building:
  corners: {A: [20, 20], B: [20, 21], C: [0, 21], D: [0, 0], E: [30, 0], F: [30, 20]}
  wall: 8"
  footing: {width: 20", thickness: 10"}
"""
QUARTER_INCH_OFF = (
    "A-B=1-0-1/2", "B-C=20-0-3/16", "C-D=20-11-15/16", "D-E=30-0-1/4", "E-F=19-11-1/8",
    "A-F=9-11-9/16", "A-C=20-1", "B-E=23-2-1/16", "A-D=28-3-3/4", "B-F=10-0-5/8",
    "C-E=36-6-7/8", "D-F=36-1-1/16",
)  # fmt: skip

Check = Callable[..., Result]


@pytest.fixture
def check(tmp_path: Path) -> Check:
    def run(text: str, *words: str) -> Result:
        path = tmp_path / "job.yaml"
        path.write_text(text, encoding="utf-8")
        return CliRunner().invoke(main, ["check", str(path), *words], catch_exceptions=False)

    return run


@pytest.fixture
def document(check: Check) -> Callable[..., dict[str, Any]]:
    def run(text: str, *words: str) -> dict[str, Any]:
        found: dict[str, Any] = json.loads(check(text, "--json", *words).stdout)
        return found

    return run


def sixteenths(feet: float) -> str:
    count = math.floor(feet * 192 + 0.5)
    return f"{count // 192}-{count % 192 // 16}-{count % 16}/16"


def taped(text: str, tmp_path: Path) -> tuple[str, ...]:
    """Every tape of the job as the plan has it, to the sixteenth."""
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    done = CliRunner().invoke(main, ["layout", str(path), "--json"], catch_exceptions=False)
    checks = json.loads(done.stdout)["checks"]
    return tuple(
        f"{each['from']}-{each['to']}={sixteenths(each['distance'])}"
        for each in checks
        if each["at"] is None
    )


@pytest.mark.parametrize("jog", [3, 4, 7, 12, 24, 30])
def test_perfect_readings_to_the_sixteenth_are_square_with_any_jog(
    check: Check, document: Callable[..., dict[str, Any]], tmp_path: Path, jog: int
) -> None:
    text = BARN.replace(
        "rectangle: 36' x 24'",
        f"sides: [east 35' 7\", north 24', west 17' 5\", north {jog}\", west 18' 2\", "
        f"south {24 + jog // 12}' {jog % 12}\"]",
    )
    readings = taped(text, tmp_path)
    found = document(text, *readings)
    assert found["square"]
    assert found["decided"]
    assert found["advice"] == []
    assert [each["distance"] for each in found["nails"]] == [0] * len(found["nails"])
    done = check(text, "-q", *readings)
    assert done.exit_code == 0
    assert "Leave every stake where it is." in done.stdout


def test_a_first_wall_of_a_foot_is_not_what_is_held(
    document: Callable[..., dict[str, Any]],
) -> None:
    def most(hold: tuple[str, ...]) -> float:
        found = document(FIRST_WALL_OF_A_FOOT, *QUARTER_INCH_OFF, *hold)
        return max(math.hypot(e["move_x"], e["move_y"]) * 12 for e in found["corners"])

    assert document(FIRST_WALL_OF_A_FOOT, *QUARTER_INCH_OFF)["hold"] == {
        "corner": "D",
        "wall": "D-E",
    }
    # each part of a move, along a wall, is at most 1 9/16"
    parts = document(FIRST_WALL_OF_A_FOOT, *QUARTER_INCH_OFF)["advice"]
    assert max(each["distance"] * 12 for each in parts) == pytest.approx(1.5625, rel=0, abs=1e-6)
    by_best = document(FIRST_WALL_OF_A_FOOT, *QUARTER_INCH_OFF, "--hold", "best")["advice"]
    assert max(each["distance"] * 12 for each in by_best) == pytest.approx(0.875, rel=0, abs=1e-6)
    by_first = document(FIRST_WALL_OF_A_FOOT, *QUARTER_INCH_OFF, "--hold", "A,A-B")["advice"]
    assert max(each["distance"] * 12 for each in by_first) == pytest.approx(10.25, rel=0, abs=1e-6)
    assert most(("--hold", "A,A-B")) > most(())


def test_a_side_against_a_standing_building_is_held_before_any_other(
    document: Callable[..., dict[str, Any]],
) -> None:
    text = BARN + "  walls: {D-A: {existing: yes}}\n"
    assert document(text, *SQUARE)["hold"] == {"corner": "A", "wall": "A-D"}


def test_a_pad_and_an_end_a_foot_off_are_out_and_moved(
    check: Check, document: Callable[..., dict[str, Any]]
) -> None:
    # P1 a foot too far along A-B: from A hypot(11, 6), from D hypot(11, 18)
    far = (f"A-P1={math.hypot(11, 6):.4f}ft", f"D-P1={math.hypot(11, 18):.4f}ft")
    ends = ("A-G_from=15ft", "B-G_from=21ft", "C-G_to=22ft", "D-G_to=14ft")
    found = document(BARN + INSIDE, *SQUARE, *far, *ends)
    assert not found["square"]
    points = {each["name"]: each for each in found["points"]}
    assert (points["P1"]["move_x"], points["P1"]["move_y"]) == pytest.approx(
        (-1, 0), rel=0, abs=1e-3
    )
    assert points["G from"]["move_x"] == pytest.approx(-1, rel=0, abs=1e-3)
    assert [each["text"] for each in found["advice"]] == [
        "move P1 1' 0\" toward A along A-B",
        "move G from 1' 0\" toward A along A-B",
    ]
    done = check(BARN + INSIDE, "-q", *SQUARE, *far, *ends)
    assert done.exit_code == 5
    assert "Move P1 1' 0\" toward A along A-B." in done.stdout
    assert "Leave every stake" not in done.stdout
    # Two tapes fix a pad and no third checks them; the wall checks those of an end.
    warned = " ".join(done.stderr.split())
    assert "Nothing checks A-P1, D-P1: read them again before P1 is moved." in warned


def test_pads_and_ends_as_planned_are_left(check: Check, tmp_path: Path) -> None:
    readings = taped(BARN + INSIDE, tmp_path)
    assert any("P1" in each for each in readings)
    done = check(BARN + INSIDE, *readings)
    assert done.exit_code == 0
    assert "Leave every stake where it is." in done.stdout


def test_a_pad_that_was_not_taped_is_not_said_to_be_right(check: Check) -> None:
    done = check(BARN + INSIDE, "-q", *SQUARE)
    assert done.exit_code == 0
    assert "Leave every stake that was taped where it is." in done.stdout


def test_a_pad_with_one_tape_asks_for_the_other(check: Check) -> None:
    done = check(BARN + INSIDE, *SQUARE, "A-P1=11-8")
    assert done.exit_code == 4
    assert "1 reading does not fix P1: tape " in done.stderr


def test_two_tapes_of_an_end_that_do_not_add_up_to_the_wall_say_so(check: Check) -> None:
    # 14' and 23' on a wall of 36'
    done = check(BARN + INSIDE, *SQUARE, "A-G_from=14ft", "B-G_from=23ft")
    assert done.exit_code == 5
    assert "Read A-G from, B-G from again: one of them is wrong." in done.stdout
    assert "Move nothing yet." in done.stdout


def test_what_passes_because_the_tape_can_show_no_less_is_said_with_both_figures(
    check: Check, document: Callable[..., dict[str, Any]]
) -> None:
    text = BARN.replace("36' x 24'", "12' x 8'")
    readings = ("A-B=12ft", "B-C=8ft", "C-D=12ft", "A-D=8ft", "A-C=14-5-3/16", "B-D=14-4-7/8")
    # hypot(144, 96) = 173.066": 3/4" per 100' of it is 0.108"
    found = document(text, *readings)
    assert found["square"]
    assert found["decided"]
    limits = {each["what"]: each for each in found["limits"]}
    assert limits["A-C"]["by"] == "tape"
    assert limits["A-C"]["allowed"] * 12 == pytest.approx(0.108, rel=0, abs=5e-4)
    # ten quantities; the diagonal keeps 5/6 of its reading's variance where all six weigh alike
    # and are checked alike, as by one redundant reading in six
    assert limits["A-C"]["limit"] > 2.7996 * 0.125 * 0.8 / 12
    done = check(text, "-q", *readings)
    assert done.exit_code == 0
    whole = check(text, *readings)
    said = " ".join(whole.stderr.split())
    assert 'off where 3/32" is allowed; it passes, since nothing under' in said
    assert "read 12 times at every place" in said or "times at every place" in said


def test_an_inch_in_every_reading_is_named_with_both_causes(
    check: Check, document: Callable[..., dict[str, Any]]
) -> None:
    burnt = ("A-B=36-1", "B-C=24-1", "C-D=36-1", "A-D=24-1", "A-C=43-4-3/16", "B-D=43-4-3/16")
    found = document(BARN, *burnt)
    assert not found["square"]
    assert not found["decided"]
    assert found["advice"] == []
    assert found["common"]["kind"] == "offset"
    assert found["common"]["amount"] == pytest.approx(1 / 12, rel=0, abs=0.002)
    assert found["repeat"] == [{"from": "A", "to": "B"}]
    done = check(BARN, "-q", *burnt)
    assert done.exit_code == 5
    said = " ".join(done.stderr.split())
    assert (
        'Every reading is about 1" long: the tape (held at the 1 in mark), or the building' in said
    )
    assert (
        "Read A-B, the longest side, again with another tape or from its 1' 0\" mark and take that "
        "off. If it reads the same, give both readings; else read all of them again."
    ) in " ".join(done.stdout.split())
    assert "Move nothing yet." in done.stdout


def test_a_factor_in_every_reading_is_named(document: Callable[..., dict[str, Any]]) -> None:
    # 0.4 percent: 36' 1.728", 24' 1.152", 43.2666 x 1.004 = 43.4397'
    large = ("A-B=36.144ft", "B-C=24.096ft", "C-D=36.144ft", "A-D=24.096ft")
    found = document(BARN, *large, "A-C=43.4397ft", "B-D=43.4397ft")
    assert found["common"]["kind"] == "factor"
    assert found["common"]["amount"] == pytest.approx(1.004, rel=0, abs=1e-4)


def test_readings_of_another_building_move_nothing(
    check: Check, document: Callable[..., dict[str, Any]]
) -> None:
    other = ("A-B=40ft", "B-C=30ft", "C-D=40ft", "A-D=30ft", "A-C=50ft", "B-D=50ft")
    found = document(BARN, *other)
    assert (found["square"], found["decided"], found["advice"]) == (False, False, [])
    done = check(BARN, *other)
    assert done.exit_code == 5
    assert done.stdout.splitlines()[0] == "These readings are not of this building"
    quiet = check(BARN, "-q", *other)
    assert quiet.stdout.splitlines()[0] == "These readings are not of this building"


@pytest.mark.parametrize(
    "readings",
    [
        # one wall 4' longer: hypot(40, 24) = 46.6476'
        ("A-B=40ft", "B-C=24ft", "C-D=40ft", "A-D=24ft", "A-C=46.6476ft", "B-D=46.6476ft"),
        # one reading 10' out
        ("A-B=46ft", "B-C=24ft", "C-D=36ft", "A-D=24ft", "A-C=43-3-3/16", "B-D=43-3-3/16"),
        # one stake 6' off: C at 42, 24
        ("A-B=36ft", "B-C=24.7386ft", "C-D=42ft", "A-D=24ft", "A-C=48.3735ft", "B-D=43-3-3/16"),
    ],
)
def test_one_wall_one_reading_or_one_stake_is_not_another_building(
    check: Check, readings: tuple[str, ...]
) -> None:
    done = check(BARN, *readings)
    assert done.exit_code == 5
    assert "not of this building" not in done.stdout


def test_one_long_reading_is_to_be_read_again_before_any_stake_moves(
    check: Check, document: Callable[..., dict[str, Any]], tmp_path: Path
) -> None:
    readings = taped(BARN, tmp_path)
    long = [each if not each.startswith("B-D") else "B-D=43-3-11/16" for each in readings]
    found = document(BARN, *long)
    assert not found["square"]
    assert found["repeat"] == [{"from": "B", "to": "D"}]
    lines = check(BARN, "-q", *long).stdout.splitlines()
    assert lines.index("- Read B-D again, and give both readings: it fits worst.") < lines.index(
        "What to move, if it reads the same, holding A and the wall A-B"
    )


def test_nails_slide_by_what_their_stakes_move_and_no_more(
    document: Callable[..., dict[str, Any]],
) -> None:
    # only C stands off, an inch too far along A-B's way: B-C's line swings about B
    away = ("A-B=36ft", f"B-C={math.hypot(24, 1 / 12):.6f}ft", "C-D=36.083333ft", "A-D=24ft",
            f"A-C={math.hypot(36 + 1 / 12, 24):.6f}ft", "B-D=43.266615ft")  # fmt: skip
    found = document(BARN, *away)
    slides = {(each["string"], each["end"]): each["slide"] * 12 for each in found["nails"]}
    assert slides["A-B", "A"] == pytest.approx(0, rel=0, abs=1e-3)
    assert slides["A-D", "D"] == pytest.approx(0, rel=0, abs=1e-3)
    # boards stand some 4' 6" beyond: (24 + 4.5) / 24 inches in at C's end, 4.5 / 24 out at B's
    assert -1.3 < slides["B-C", "C"] < -1.1
    assert 0.1 < slides["B-C", "B"] < 0.3


@pytest.mark.parametrize("sides", [("A-B=36-1", "A-B=36ft"), ("A-B=36ft", "A-B=36-1")])
def test_an_inch_that_the_side_read_again_does_not_have_moves_no_stake(
    check: Check, document: Callable[..., dict[str, Any]], sides: tuple[str, str]
) -> None:
    # the stakes are right: only the tape's first inch was gone, but for one reading of A-B
    burnt = (*sides, "B-C=24-1", "C-D=36-1", "A-D=24-1", "A-C=43-4-3/16", "B-D=43-4-3/16")
    found = document(BARN, *burnt)
    assert (found["square"], found["decided"], found["advice"]) == (False, False, [])
    assert [each["from"] + each["to"] for each in found["repeat"]] == ["BC", "CD", "AD", "AC", "BD"]
    done = check(BARN, "-q", *burnt)
    assert done.exit_code == 5
    assert "it is the tape, and not the building" in " ".join(done.stderr.split())
    assert "Read B-C, C-D, A-D, A-C, B-D again, the way A-B was read when it came out right" in (
        " ".join(done.stdout.split())
    )


def test_a_building_an_inch_long_is_moved_once_its_longest_side_reads_the_same(
    document: Callable[..., dict[str, Any]],
) -> None:
    # 36' 1" by 24' 1": hypot(433, 289) = 520.58" = 43' 4 9/16"
    long = ("A-B=36-1", "A-B=36-1", "B-C=24-1", "C-D=36-1", "A-D=24-1")
    found = document(BARN, *long, "A-C=43-4-9/16", "B-D=43-4-9/16")
    assert (found["square"], found["decided"], found["common"]) == (False, True, None)
    assert found["advice_text"][0] == 'Move B 1" toward A.'


def test_a_smaller_shed_is_another_building_in_both_its_sizes(check: Check) -> None:
    # 8' by 6' read where 10' 6" by 7' 6" is planned: hypot(8, 6) = 10'
    shed = BARN.replace("36' x 24'", "10' 6\" x 7' 6\"")
    read = ("A-B=8ft", "B-C=6ft", "C-D=8ft", "A-D=6ft", "A-C=10ft", "B-D=10ft")
    done = check(shed, "-q", *read)
    assert done.exit_code == 5
    assert done.stdout.splitlines()[0] == "These readings are not of this building"


def test_a_pad_too_close_to_call_asks_for_its_own_tape(
    check: Check, document: Callable[..., dict[str, Any]]
) -> None:
    # P1 belongs hypot(10, 6) = 11' 7 15/16" from A and hypot(10, 18) = 20' 7 1/16" from D; the
    # diagonal fits worst of all readings, but is not a tape of the pad
    read = (*SQUARE[:4], "A-C=43-3-5/16", "B-D=43-3-3/16", "A-P1=11-8-3/8", "D-P1=20-7-1/16")
    found = document(BARN + INSIDE, *read)
    assert not found["decided"]
    assert found["repeat"] == [{"from": "A", "to": "P1"}]
    done = check(BARN + INSIDE, "-q", *read)
    said = " ".join(done.stderr.split())
    assert "Too close to call: A-P1 is" in said
    assert "read A-P1 again and give both readings" in said
    assert "Nothing checks A-P1, D-P1: read them again before P1 is moved" in said
