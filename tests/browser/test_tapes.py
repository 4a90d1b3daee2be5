"""The tape boxes against the full check."""

from __future__ import annotations

import math
import os
import random
from fractions import Fraction
from pathlib import Path

import pytest

from staking.adjust.targets import targets_of
from staking.checked.stakes_checked import tapes_of
from staking.job.build import Job
from staking.job.typed_tapes import read_lines
from staking.measure.lengths import parse_length
from staking.output.tables.check_tables import move_lines, verdict_text
from staking.project.check import check_job
from staking.project.resolve import Resolved, resolve

ROOT = Path(__file__).parents[2]
WORKSHOP = (ROOT / "fixtures" / "orchard-workshop" / "job.yaml").read_text(encoding="utf-8")
BOAT_SHED = (ROOT / "fixtures" / "boat-shed" / "job.yaml").read_text(encoding="utf-8")
INCH = 0.0254
SETS = int(os.environ.get("SETS", "12"))
"""How many sets of readings are typed at each job and size: `SETS=50` for many.

A page's answers to some hundreds of sets are held against the full check without a browser, by
test_page_and_check; here it is shown that what is typed comes there, and what comes is shown.
"""
SIDES = {"A-B": "36-0", "B-C": "24-0", "C-D": "36-0", "A-D": "24-0"}


def sixteenths(metres: float) -> str:
    count = round(metres / INCH * 16)
    feet, rest = divmod(count, 16 * 12)
    inches, over = divmod(rest, 16)
    return f"{feet}-{inches}-{Fraction(over, 16)}" if over else f"{feet}-{inches}"


def millimetres(metres: float) -> str:
    return f"{metres * 1000:.0f}"


_LAID_OUT: dict[int, Resolved] = {}
"""Each job as it was laid out, by its identity: all its readings are of one layout."""


def laid_out(job: Job) -> Resolved:
    """Lay a job out once for all its readings."""
    if id(job) not in _LAID_OUT:
        _LAID_OUT[id(job)] = resolve(job)
    return _LAID_OUT[id(job)]


def staked(job, chance: random.Random, shift: float, tape: float) -> dict[str, float]:
    """Give what a tape reads between stakes that stand a little off the plan."""
    points = {
        corner.name: (corner.x + chance.gauss(0, shift), corner.y + chance.gauss(0, shift))
        for building in job.plan.buildings
        for corner in building.corners
    }
    for target in targets_of(job.plan):
        points[target.name] = (
            target.x + chance.gauss(0, shift),
            target.y + chance.gauss(0, shift),
        )
    return {
        f"{check.from_name}-{check.to_name}": math.dist(
            points[check.from_name], points[check.to_name]
        )
        + chance.gauss(0, tape)
        for check in tapes_of(laid_out(job).layout)
    }


def full_check(job, readings: dict[str, str], hold: str | None = None):
    text = "\n".join(f"{pair} {length}" for pair, length in readings.items())
    return check_job(laid_out(job), read_lines(text, job.plan, job.options), hold)


def told(checked) -> set[str]:
    return {verdict_text(checked), *move_lines(checked)}


@pytest.mark.parametrize(
    ("text", "write", "seed"), [(WORKSHOP, sixteenths, 20), (BOAT_SHED, millimetres, 21)]
)
def test_the_answer_is_the_full_checks_own(open_page, size, text, write, seed) -> None:
    opened = open_page(text, size)
    chance = random.Random(seed)
    answered = 0
    for _ in range(SETS):
        shift = chance.choice((0.05, 0.25, 0.5, 1.0)) * INCH
        tape = chance.choice((0.02, 0.06, 0.12)) * INCH
        lengths = staked(opened.job, chance, shift, tape)
        readings = {pair: write(length) for pair, length in lengths.items()}
        opened.set_readings(readings)
        checked = full_check(opened.job, readings)
        assert told(checked) <= set(opened.answer()), readings
        answered += 1
    assert answered == SETS


def test_with_some_tapes_left_out_and_others_held_it_still_is(open_page) -> None:
    opened = open_page(WORKSHOP)
    opened.go("tapes")
    chance = random.Random(5)
    holds = opened.page.locator("#hold option").all_inner_texts()
    answered = 0
    for _ in range(SETS):
        readings = {
            pair: sixteenths(length)
            for pair, length in staked(opened.job, chance, 0.4 * INCH, 0.04 * INCH).items()
        }
        for pair in chance.sample(sorted(readings), chance.randint(1, 3)):
            del readings[pair]
        hold = chance.choice(holds)
        opened.page.locator("#hold").select_option(hold)
        opened.set_readings(readings)
        if opened.kind() not in {"good", "move"}:
            continue
        corner, _, wall = hold.partition(" and the wall ")
        held = "best" if corner.startswith("nothing") else f"{corner},{wall}"
        checked = full_check(opened.job, readings, held)
        assert told(checked) <= set(opened.answer()), (readings, hold)
        answered += 1
    assert answered >= SETS // 2


def test_two_diagonals_say_what_the_full_check_says_with_the_sides_as_planned(open_page) -> None:
    opened = open_page()
    chance = random.Random(9)
    moved = 0
    for _ in range(SETS):
        lean = chance.uniform(-2.5, 2.5) * INCH
        side, depth = 36 * 12 * INCH, 24 * 12 * INCH
        height = math.sqrt(depth**2 - lean**2)
        diagonals = {
            "A-C": sixteenths(math.hypot(side + lean, height)),
            "B-D": sixteenths(math.hypot(side - lean, height)),
        }
        opened.set_readings(diagonals)
        ruled = opened.moves()
        checked = full_check(opened.job, {**SIDES, **diagonals})
        full = {
            (move.corner, step.toward.removeprefix("toward ")): step.distance
            for move in checked.moves
            for step in move.steps
        }
        for key in {*ruled, *full}:
            assert abs(ruled.get(key, 0.0) - full.get(key, 0.0)) < 1.01 * INCH / 16, diagonals
        if ruled:
            read = [parse_length(text) for text in diagonals.values()]
            rack = (read[0] ** 2 - read[1] ** 2) / (4 * side)
            toward = "D" if rack > 0 else "away from D"
            assert abs(ruled["C", toward] - abs(rack)) <= 1.01 * INCH / 16
        moved += bool(ruled)
    assert moved > SETS / 2


def test_the_rule_of_the_two_diagonals_by_hand(open_page) -> None:
    # 432" by 288", leaning 1": the roots of 433^2 + 287 * 289 and of 431^2 + 287 * 289,
    # 520.03" and 518.37"
    opened = open_page()
    opened.set_readings({"A-C": "43-4", "B-D": "43-2-3/8"})
    assert 'Move C and D both 1" toward D.' in opened.answer()
    assert "By the two diagonals alone, taking the sides as planned." in opened.answer()
    opened.set_readings({"A-C": "43-3-3/16", "B-D": "43-3-3/16"})
    assert opened.answer()[:2] == ["Square.", "Leave every stake where it is."]


def test_a_stake_far_off_is_answered_as_the_full_check_answers(open_page) -> None:
    opened = open_page(WORKSHOP)
    points = {c.name: (c.x, c.y) for b in opened.job.plan.buildings for c in b.corners}
    points["D"] = (points["D"][0] + 0.6, points["D"][1] + 0.4)
    readings = {
        f"{c.from_name}-{c.to_name}": sixteenths(math.dist(points[c.from_name], points[c.to_name]))
        for c in tapes_of(laid_out(opened.job).layout)
        if c.kind != "point"
    }
    opened.set_readings(readings)
    assert told(full_check(opened.job, readings)) <= set(opened.answer())


def test_a_reading_that_does_not_fit_stops_every_move(open_page) -> None:
    opened = open_page()
    opened.set_readings({**SIDES, "A-C": "44-3-3/16", "B-D": "43-3-3/16"})
    assert opened.kind() == "stop"
    assert "Move nothing yet." in opened.answer()
    checked = full_check(opened.job, {**SIDES, "A-C": "44-3-3/16", "B-D": "43-3-3/16"})
    assert told(checked) <= set(opened.answer())


def test_diagonals_that_the_sides_cannot_have_ask_for_the_sides(open_page) -> None:
    opened = open_page()
    opened.set_readings({"A-C": "43-5", "B-D": "43-5-1/8"})
    assert opened.kind() == "stop"
    assert opened.answer()[0].endswith("Tape the sides too.")


def test_too_few_tapes_are_told_which_to_tape_next(open_page) -> None:
    opened = open_page()
    opened.set_readings({"A-B": "36-0", "A-C": "43-3"})
    assert opened.kind() == "wait"
    assert "do not fix the shape yet: tape" in opened.answer()[0]
    opened.set_readings({**SIDES})
    assert opened.answer()[0].startswith("These do not fix the shape yet: tape ")
    opened.set_readings({**SIDES, "A-C": "43-3-3/16"})
    assert "Nothing checks these readings: tape one more distance." in opened.answer()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("43' 13\"", "43' 13\" has 13 inches"),
        ("fourty", "fourty is not a length"),
        ("43,3", "43,3 has a comma, which can be read two ways"),
        ("-43", "-43 is not longer than zero"),
        ("<b>43</b>", "<b>43</b> is not a length"),
    ],
)
def test_what_is_no_length_is_said_at_its_box(open_page, text, said) -> None:
    opened = open_page()
    opened.read(A_C=text)
    box = opened.page.locator("#tapes").get_by_label("A - C,")
    assert box.get_attribute("aria-invalid") == "true"
    note = opened.page.locator(f"#{box.get_attribute('aria-describedby')}")
    assert note.inner_text().startswith(said)
    assert opened.kind() == "stop"
