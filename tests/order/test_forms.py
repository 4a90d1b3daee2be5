"""Forms: boards by length at their real heights, bulkheads, stakes and room, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from staking.grade.stepping.wall_network import build_network
from staking.kinds import Casting, FormPart
from staking.order.forms.count_forms import forms_of
from staking.order.forms.form_items import form_items, form_notices
from staking.order.forms.formwork import Forms
from staking.order.forms.lumber import BOARD_HEIGHTS, lowest_board, rows_high
from staking.order.order_request import FormsAsked
from staking.order.wall_levels import Levels, PadAt, StepFill, flat_levels
from staking.plan import Dig, Existing, Pad, Plan
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
FORMED = Dig(depth=4 * FOOT, overdig=12 * INCH, cast=Casting.FORMS)
ELL = [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]


def formed(
    plan: Plan, levels: Levels | None = None, asked: FormsAsked | None = None, dig: Dig = FORMED
) -> Forms:
    levels = levels or flat_levels(plan, build_network(plan), dig, None)
    found = forms_of(jobs.in_ground(plan, levels, dig), asked or FormsAsked())
    assert found is not None
    return found


def sides(forms: Forms) -> list[tuple[str, float, int, int]]:
    """Wall, length in inches, boards high, how many."""
    return [
        (run.where, round(run.length / INCH, 6), run.rows, run.count)
        for run in forms.runs
        if run.part is FormPart.SIDE
    ]


def test_boards_round_a_rectangle() -> None:
    # 36' by 24', footing 20" by 10" under a wall of 8": 6" outside, 14" inside.
    #   outside 37' and 25', past both corners by 1 1/2" each: 37' 3" = 447", 25' 3" = 303"
    #   inside  36' - 28" = 33' 8" = 404", 24' - 28" = 21' 8" = 260", no outside corner of footing
    # 10" takes a 2x12, 11 1/4" high; a 2x10 is 9 1/4". Boards of 12' = 144":
    #   447 = 3 and 15", 303 = 2 and 15", 404 = 2 and 116", 260 = 1 and 116"
    #   2 x (3 + 2 + 2 + 1) = 16 whole; 116" + 15" = 131" from each of 4 more: 20 boards.
    forms = formed(jobs.rectangle(36, 24))
    assert sides(forms) == [
        ("A-B", 404, 1, 1),
        ("A-B", 447, 1, 1),
        ("B-C", 260, 1, 1),
        ("B-C", 303, 1, 1),
        ("C-D", 404, 1, 1),
        ("C-D", 447, 1, 1),
        ("D-A", 260, 1, 1),
        ("D-A", 303, 1, 1),
    ]
    (boards,) = forms.boards
    assert (boards.board, boards.boards) == ("2x12", 20)
    assert boards.length / INCH == pytest.approx(2 * (447 + 303 + 404 + 260), rel=0, abs=1e-6)
    # Stakes at both ends and at most 48" apart: 447" 11, 303" 8, 404" 10, 260" 7: 2 x 36 = 72;
    # a kicker for every second, 6 + 4 + 5 + 4, twice: 38. Spreaders along 36' 10, along 24' 7:
    # 34 of 20" + 2 x 1 1/2" + 2 x 3" = 29".
    assert (forms.stakes, forms.kickers, forms.spreaders) == (72 + 38, 38, 34)
    assert forms.spread / INCH == pytest.approx(34 * 29, rel=0, abs=1e-6)
    assert forms.brace_length / INCH == pytest.approx(34 * 29 + 38 * 24, rel=0, abs=1e-6)


def test_boards_round_an_l() -> None:
    # Outside 37', 25', 12', 8', 25', 33'; all corners but D point out: 447", 303", 145 1/2",
    # 97 1/2", 303", 399". Inside 33' 8", 21' 8", 12', 8', 21' 8", 29' 8", where the footing points
    # out at D alone: 404", 260", 145 1/2", 97 1/2", 260", 356".
    # Of 12' = 144": whole 3 + 2 + 1 + 0 + 2 + 2 and 2 + 1 + 1 + 0 + 1 + 2 = 17; what 145 1/2" has
    # over a board only runs past a corner and is not spliced on. Pieces 15, 15, 15, 97 1/2, 111;
    # 116, 116, 97 1/2, 116, 68. The longest first: 116 + 15 three times, 111, 97 1/2, 97 1/2, 68:
    # seven boards, 24 in all.
    forms = formed(jobs.building(ELL))
    assert sides(forms) == [
        ("A-B", 404, 1, 1),
        ("A-B", 447, 1, 1),
        ("B-C", 260, 1, 1),
        ("B-C", 303, 1, 1),
        ("C-D", 145.5, 1, 2),
        ("D-E", 97.5, 1, 2),
        ("E-F", 260, 1, 1),
        ("E-F", 303, 1, 1),
        ("F-A", 356, 1, 1),
        ("F-A", 399, 1, 1),
    ]
    assert forms.boards[0].boards == 24


@pytest.mark.parametrize(
    ("board", "rows", "count"),
    # 2,828" of board on 12': as above. Two 2x8 of 7 1/4" reach 10", as do two 2x6 and three 2x4.
    [("2x12", 1, 20), ("2x8", 2, 40), ("2x6", 2, 40), ("2x4", 3, 60)],
)
def test_a_board_is_as_high_as_it_really_is(board: str, rows: int, count: int) -> None:
    asked = FormsAsked(board=board, height=BOARD_HEIGHTS[board])
    forms = formed(jobs.rectangle(36, 24), asked=asked)
    assert {run.rows for run in forms.runs} == {rows}
    assert forms.boards[0].boards == count
    told = [each.kind for each in form_notices(forms, asked=True)]
    assert told == ([] if rows == 1 else ["form-boards"])


def test_the_lowest_board_that_the_footing_takes() -> None:
    # An 8" footing does not fit a 2x8; 12" takes two 2x8 (14 1/2") before two 2x10.
    heights = {6: "2x8", 7.25: "2x8", 8: "2x10", 9.25: "2x10", 10: "2x12", 12: "2x8", 16: "2x10"}
    for inches, name in heights.items():
        assert lowest_board(inches * INCH)[0] == name, inches
    assert rows_high(12 * INCH, BOARD_HEIGHTS["2x8"]) == 2
    # In a metric job the height is the board's own: 240 mm twice for 254 mm.
    forms = formed(jobs.rectangle(36, 24), asked=FormsAsked(stock=4.0, height=0.24))
    assert {(run.board, run.rows) for run in forms.runs} == {("", 2)}
    assert form_items(forms)[0].what == "form board"


def stepped(plan: Plan) -> Levels:
    """A-B a course lower from 12' on, and B-C, C-D with it as far as 12' from D."""
    levels = flat_levels(plan, build_network(plan), FORMED, None)
    runs = []
    rise = 8 * INCH
    for run in levels.stretches:
        down = replace(run, top=run.top - rise, bottom=run.bottom - rise, dig=run.dig - rise)
        end = run.strand.length
        match run.strand.name:
            case "A-B":
                at = 12 * FOOT
                runs += [replace(run, end=at, dig_end=at), replace(down, start=at, dig_start=at)]
            case "C-D":
                at = end - 12 * FOOT
                runs += [replace(down, end=at, dig_end=at), replace(run, start=at, dig_start=at)]
            case "B-C":
                runs.append(down)
            case _:
                runs.append(run)
    steps = tuple(
        StepFill(wall=wall, station=at, overlap=10 * INCH, rise=rise, width=20 * INCH)
        for wall, at in (("A-B", 12 * FOOT), ("C-D", 24 * FOOT))
    )
    return replace(levels, stretches=tuple(runs), steps=steps)


def test_each_step_has_its_bulkhead() -> None:
    # Level from A to 12', a course lower to B: outside 12' 6" + 1 1/2" and 24' 6" + 1 1/2", inside
    # 12' - 14" and 24' - 14"; C-D the same. At each step two boards 10" long and one 20" across,
    # 8" high, of the same 2x12.
    plan = jobs.rectangle(36, 24)
    forms = formed(plan, stepped(plan))
    assert sides(forms)[:4] == [
        ("A-B", 130, 1, 1),
        ("A-B", 151.5, 1, 1),
        ("A-B", 274, 1, 1),
        ("A-B", 295.5, 1, 1),
    ]
    others = [
        (run.part, run.where, round(run.length / INCH, 6), round(run.height / INCH, 6), run.count)
        for run in forms.runs
        if run.part is not FormPart.SIDE
    ]
    assert others == [
        (FormPart.UNDER_STEP, "A-B", 10, 8, 2),
        (FormPart.UNDER_STEP, "C-D", 10, 8, 2),
        (FormPart.BULKHEAD, "A-B", 20, 8, 1),
        (FormPart.BULKHEAD, "C-D", 20, 8, 1),
    ]
    assert {run.board for run in forms.runs} == {"2x12"}


def test_no_board_stands_at_a_standing_building_nor_between_walls_in_line() -> None:
    # B-C stands already. A-B in two walls, A-E and E-B, that lie in one line: one run of form.
    plan = jobs.building([(0, 0), (20, 0), (36, 0), (36, 24), (0, 24)])
    home = plan.buildings[0]
    walls = tuple(
        replace(wall, existing=Existing()) if wall.name == "C-D" else wall for wall in home.walls
    )
    forms = formed(replace(plan, buildings=(replace(home, walls=walls),)))
    # Outside from 6" past A to the building at C: 36' 6" and 1 1/2" at A; inside 36' less 14".
    # Against the standing building the boards butt.
    lengths = {length for where, length, _, _ in sides(forms) if where in ("A-B", "B-C")}
    assert lengths == {438 + 1.5, 418}
    assert not any(where == "C-D" for where, *_ in sides(forms))


def test_pads_are_formed_all_round() -> None:
    # A square pad of 24" off the building: four sides of 24" + 2 x 1 1/2"; a round one: a ring.
    plan = jobs.rectangle(36, 24)
    pads = (
        Pad(name="P", x=15.0, y=3.0, size=(24 * INCH, 24 * INCH), diameter=None, thickness=0.2),
        Pad(name="Q", x=15.0, y=6.0, size=None, diameter=16 * INCH, thickness=8 * INCH),
    )
    plan = replace(plan, pads=pads)
    levels = flat_levels(plan, build_network(plan), FORMED, None)
    assert levels.pads == tuple(
        PadAt(pad=pad, bottom=-FORMED.depth, dig=-FORMED.depth, pier=None) for pad in pads
    )
    forms = formed(plan, levels)
    assert [each for each in sides(forms) if each[0] in "PQ"] == [("P", 27, 1, 4)]
    # Round 16" by 8": 3.14159 x 16" = 50.2655" round; a tube of 8".
    (ring,) = forms.rounds
    assert (ring.count, ring.across, ring.height) == (1, 16 * INCH, 8 * INCH)
    assert ring.around / INCH == pytest.approx(50.2655, rel=0, abs=5e-5)
    (said,) = form_notices(forms, asked=True)
    assert (said.kind, dict(said.values)["around"].metres) == ("round-forms", ring.around)
    assert (form_items(forms)[-1].price, form_items(forms)[-1].quantity) == ("form tube", 8 * INCH)


def test_round_pads_alike_are_one_row_and_need_no_boards() -> None:
    # Three of 24" by 12" and one of 18" by 10" on no other footing.
    sizes = [(24, 12), (24, 12), (18, 10), (24, 12)]
    pads = tuple(
        Pad(name=f"P{i}", x=3.0 * i, y=0.0, size=None, diameter=d * INCH, thickness=h * INCH)
        for i, (d, h) in enumerate(sizes)
    )
    forms = formed(Plan(job="Invented", buildings=(), pads=pads))
    assert [(each.count, each.tube) for each in forms.rounds] == [
        (3, pytest.approx(36 * INCH, rel=0, abs=1e-9)),
        (1, pytest.approx(10 * INCH, rel=0, abs=1e-9)),
    ]
    assert [each.quantity for each in form_items(forms)] == [each.tube for each in forms.rounds]


@pytest.mark.parametrize(
    ("overdig", "bucket", "told", "severity"),
    [
        (12, 0, [], None),
        (0, 44, [], None),
        (11.85, 0, [], None),
        (6, 0, ["form-room"], "note"),
        (0, 32, ["form-room"], "note"),
        (2, 0, ["form-room"], "warning"),
        (0, 0, ["form-room"], "warning"),
    ],
)
def test_forms_need_room_in_the_dig(
    overdig: float, bucket: float, told: list[str], severity: str | None
) -> None:
    # 12" beyond the edge, of which a board and its stake take 3"; a bucket of 44" leaves 12" each
    # side of 20".
    dig = replace(FORMED, overdig=overdig * INCH, bucket=bucket * INCH)
    said = form_notices(formed(jobs.rectangle(36, 24), dig=dig), asked=True)
    assert [each.kind for each in said] == told
    assert {each.severity.value for each in said} == ({severity} if severity else set())


def test_a_footing_cast_against_earth_has_no_forms() -> None:
    plan = jobs.rectangle(36, 24)
    dig = Dig(depth=1.0)
    levels = flat_levels(plan, build_network(plan), dig, None)
    assert forms_of(jobs.in_ground(plan, levels, dig), FormsAsked()) is None
    assert form_items(None) == ()
    assert form_notices(None, asked=False) == ()
    assert [each.kind for each in form_notices(None, asked=True)] == ["forms-unused"]
