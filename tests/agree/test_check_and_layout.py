"""``staking check`` and ``staking tape-book`` speak of the boards and tapes that the layout has."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

from tests.agree.lots import NOTCH, write_lot
from tests.agree.papers import Papers

INCH = 1 / 12
SLIDE = re.compile(r"nail of (\S+) on board (\d+), beyond (\S+?),? ")


@pytest.fixture(scope="module")
def notch(tmp_path_factory: pytest.TempPathFactory) -> Papers:
    """The lot with a shed in the notch of the building."""
    folder = tmp_path_factory.mktemp("notch")
    return Papers(job=write_lot(folder / "job", NOTCH), folder=folder / "out")


def readings(papers: Papers, moved: dict[str, tuple[float, float]]) -> str:
    """What the tapes of the layout read with some stakes moved, in decimal feet."""
    places = {c["name"]: (c["x"], c["y"]) for c in papers.layout["corners"]}
    for name, (x, y) in moved.items():
        places[name] = (places[name][0] + x, places[name][1] + y)
    return "".join(
        f"{c['from']}-{c['to']} {math.dist(places[c['from']], places[c['to']]):.5f}ft\n"
        for c in papers.layout["checks"]
        if c["kind"] in {"side", "diagonal", "tie"}
    )


def test_the_tape_book_has_no_tape_through_the_shed(notch: Papers) -> None:
    # the shed reaches from 23, 20 to 31, 34; the line from C (36, 16) to E (20, 32) crosses it
    pairs = {frozenset((row["from"], row["to"])) for row in notch.tape_book}
    assert frozenset("CE") not in pairs
    laid = {
        frozenset((c["from"], c["to"]))
        for c in notch.layout["checks"]
        if c["kind"] in {"side", "diagonal", "tie"}
    }
    assert pairs == laid


def test_check_does_not_ask_for_a_tape_through_the_shed(notch: Papers) -> None:
    text = readings(notch, {})
    document = json.loads(notch.run("check", notch.job, "-", "--json", typed=text).stdout)
    after = {frozenset((each["from"], each["to"])) for each in document["after"]}
    assert frozenset("CE") not in after
    assert len(after) == text.count("\n")


def test_no_board_stands_beyond_e_on_the_string_that_the_shed_stops(notch: Papers) -> None:
    (stopped,) = (s for s in notch.layout["strings"] if s["name"] == "E-F")
    assert stopped["boards"][0] is None


@pytest.mark.parametrize("corner", ["B", "C", "D", "E", "F"])
def test_a_nail_to_slide_is_on_the_board_that_stands_there(notch: Papers, corner: str) -> None:
    """Which board a slide names is the layout's, and where it stands is the layout's too."""
    text = readings(notch, {corner: (2 * INCH, 1.5 * INCH)})
    said = notch.run("check", notch.job, "-", "--hold", "A,A-B", typed=text).stdout
    slides = SLIDE.findall(" ".join(said.split()))
    assert slides
    boards = {board["name"]: board for board in notch.layout["boards"]}
    for string, number, end in slides:
        assert (boards[number]["string"], boards[number]["end"]) == (string, end)


def test_a_slide_is_reckoned_to_where_the_board_of_the_levels_stands(tmp_path: Path) -> None:
    """The boards stand farther out than the stand-off, because the dig is deeper than 4 ft.

    B's stake is moved 3 inches across A-B. The line from A through it is 3" off at B, 36 ft from
    A, and 3" x (36 + s) / 36 off at the board, which stands s past B.
    """
    papers = Papers(job=write_lot(tmp_path / "job", NOTCH), folder=tmp_path / "out")
    (board,) = (b for b in papers.layout["boards"] if (b["string"], b["end"]) == ("A-B", "B"))
    assert board["stand_off"] > 4 + 10 / 12
    text = readings(papers, {"B": (0.0, 3 * INCH)})
    done = papers.run("check", papers.job, "-", "--json", "--hold", "A,F-A", typed=text)
    nails = {each["board"]: each for each in json.loads(done.stdout)["nails"]}
    expected = 3 * INCH * (36 + board["stand_off"]) / 36
    # told to the nearest sixteenth of an inch
    assert abs(nails[board["name"]]["slide"]) == pytest.approx(
        expected, rel=0, abs=INCH / 32 + 1e-6
    )
