"""The order of work: where it starts, by which tapes it goes on, and what is said."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from staking.errors import ComputationError
from staking.job.build import Job
from staking.kinds import WorkPart
from staking.laid_out.layout_value import Layout
from staking.laid_out.order_of_work import plan_work
from staking.layout.steps.base_line import choose_base_line
from staking.layout.steps.corner_setting import CornerSetting, SettingOut
from staking.layout.steps.work import WorkPlan
from staking.output.blocks import Table
from staking.output.tables.work_tables import step_texts, work_blocks
from staking.output.terminal import plain
from staking.output.wording import Words
from staking.plan import Options, Pad, Plan, Show, Tape
from staking.project.layout import lay_out_job
from tests.properties import strategies

FOOT = 0.3048
INCH = 0.0254
BARN = [(0.0, 0.0), (36 * FOOT, 0.0), (36 * FOOT, 24 * FOOT), (0.0, 24 * FOOT)]
WING = [(x * FOOT, y * FOOT) for x, y in [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]]
# a bay 3 in out and 8 ft wide in the north wall
JOG = [
    (x * FOOT, y * FOOT)
    for x, y in [(0, 0), (36, 0), (36, 24), (22, 24), (22, 24.25), (14, 24.25), (14, 24), (0, 24)]
]


def laid(plan: Plan, options: Options | None = None) -> Layout:
    return lay_out_job(Job(plan=plan, options=options or Options(), notices=()))


def worked(
    points: list[tuple[float, float]], options: Options | None = None
) -> tuple[Layout, WorkPlan]:
    layout = laid(strategies.plan_of(points), options)
    return layout, plan_work(layout)


def said(layout: Layout, work: WorkPlan) -> list[str]:
    return list(step_texts(work, Words(layout.options)))


def stakes_of(layout: Layout, work: WorkPlan) -> dict[str, np.ndarray]:
    """Where every stake is meant to stand, the temporary one among them."""
    places = {c.name: np.array(c.point) for b in layout.plan.buildings for c in b.corners}
    if work.fourth is not None:
        places[work.fourth.name] = np.array(work.fourth.point)
    return places


def swing_at(places: dict[str, np.ndarray], setting: CornerSetting) -> float:
    """The angle between the two tapes, by the law of cosines."""
    (one, a), (other, b) = setting.tapes
    c = math.dist(places[one], places[other])
    return math.acos((a * a + b * b - c * c) / (2 * a * b))


# Where it starts ---------------------------------------------------------------------------


def test_the_base_line_is_the_longest_wall_from_its_first_end_by_name() -> None:
    base = choose_base_line(strategies.plan_of(WING))
    assert (base.first, base.second, base.kind) == ("A", "B", "longest")
    assert base.length == pytest.approx(36 * FOOT, rel=0, abs=1e-12)


def test_the_first_end_is_the_first_by_name_of_the_two_and_not_of_all() -> None:
    narrow = [(0.0, 0.0), (20 * FOOT, 0.0), (20 * FOOT, 30 * FOOT), (0.0, 28 * FOOT)]
    base = choose_base_line(strategies.plan_of(narrow))
    assert (base.first, base.second) == ("B", "C")
    assert base.why_corner.text.startswith("either end would do")


def test_the_work_starts_on_the_highest_ground_where_it_is_known() -> None:
    ground = {"A": 30.0, "B": 30.2, "C": 31.0, "D": 31.0, "E": 31.5, "F": 31.2}
    base = choose_base_line(strategies.plan_of(WING), ground)
    assert (base.first, base.second, base.kind) == ("E", "F", "highest")
    assert "highest of all corners" in base.why_corner.text


def test_a_side_against_a_standing_building_is_the_base_line() -> None:
    plan = strategies.plan_of(WING, existing=(1,))
    base = choose_base_line(plan, {"A": 40.0, "B": 30.0, "C": 31.0})
    assert (base.first, base.second, base.kind) == ("C", "B", "neighbour")


def test_from_a_short_side_on_a_standing_building_the_longer_wall_there_is_the_base_line() -> None:
    points = [(0, 0), (20, 0), (20, 10), (20.25, 10), (20.25, 24), (0, 24)]
    plan = strategies.plan_of([(x * FOOT, y * FOOT) for x, y in points], existing=(2,))
    for ground, placed in (({"D": 30.0, "E": 31.0}, None), (None, ("A", "F"))):
        base = choose_base_line(plan, ground, placed)
        assert (base.first, base.second, base.kind) == ("D", "E", "from-neighbour")
        assert base.why_corner.text == "it stands on the standing building"


def test_a_standing_building_at_short_walls_only_is_no_place_to_line_up_from() -> None:
    points = [(0, 0), (30, 0), (30, 10), (30.25, 10), (30.25, 24), (0, 24)]
    plan = strategies.plan_of([(x * FOOT, y * FOOT) for x, y in points], existing=(2,))
    base = choose_base_line(plan)
    assert (base.first, base.second, base.kind) == ("E", "F", "longest")


def test_what_the_survey_places_comes_before_the_longest_wall_unless_it_is_short() -> None:
    plan = strategies.plan_of(WING)
    base = choose_base_line(plan, placed=("A", "F"))
    assert (base.first, base.second, base.kind) == ("A", "F", "placed")
    # from a short line a small error swings the far corners by many times itself
    assert choose_base_line(plan, placed=("E", "D")).kind == "longest"


def test_a_side_against_a_standing_building_comes_before_what_the_survey_places() -> None:
    plan = strategies.plan_of(WING, existing=(1,))
    base = choose_base_line(plan, placed=("A", "F"))
    assert (base.first, base.second, base.kind) == ("B", "C", "neighbour")


# One corner after the other ----------------------------------------------------------------


def test_every_corner_is_set_once_and_only_from_stakes_that_stand() -> None:
    _, work = worked(JOG)
    standing: set[str] = set()
    for setting in work.settings:
        assert {name for name, _ in setting.tapes} <= standing
        assert setting.corner not in standing
        standing.add(setting.corner)
    assert standing == set("ABCDEFGH")


def test_the_next_corner_is_the_one_whose_tapes_meet_nearest_to_a_right_angle() -> None:
    layout, work = worked(WING)
    corners = stakes_of(layout, work)
    standing = ["A", "B"]
    early = {"A", "B", "C", "T"}
    for setting in work.settings[2:]:
        sines = {}
        left = corners.keys() - set(standing)
        for name in left & early or left:
            for i, one in enumerate(standing):
                for other in standing[:i]:
                    a, b = corners[one] - corners[name], corners[other] - corners[name]
                    sine = abs(a[0] * b[1] - a[1] * b[0]) / (np.hypot(*a) * np.hypot(*b))
                    sines[name, one, other] = float(sine)
        assert setting.swing is not None
        assert math.sin(setting.swing) == pytest.approx(max(sines.values()), rel=0, abs=1e-6)
        assert setting.swing == pytest.approx(swing_at(corners, setting), rel=0, abs=1e-9)
        standing.append(setting.corner)


def test_the_two_tapes_and_the_side_give_the_corner_back() -> None:
    layout, work = worked(WING)
    corners = stakes_of(layout, work)
    for setting in work.settings[2:]:
        (one, r1), (other, r2) = setting.tapes
        base = corners[other] - corners[one]
        length = float(np.hypot(*base))
        along = (r1**2 - r2**2 + length**2) / (2 * length)
        off = math.sqrt(r1**2 - along**2) * (1 if setting.side == "left" else -1)
        here = corners[one] + (along * base + off * np.array([-base[1], base[0]])) / length
        assert here == pytest.approx(corners[setting.corner], rel=0, abs=1e-9)


def test_the_large_rectangle_is_squared_before_the_rest_is_added() -> None:
    _, work = worked(JOG)
    assert work.squaring is not None
    assert {*work.squaring.held, *work.squaring.moved} == set("ABCH")
    assert [each.corner for each in work.settings[:4]] == ["A", "B", "C", "H"]
    squared = next(i for i, step in enumerate(work.steps) if step.kind == "square")
    later = [i for i, step in enumerate(work.steps) if set(step.names) & set("DEFG")]
    assert squared < min(later)


def test_where_four_corners_make_no_rectangle_a_temporary_stake_does() -> None:
    layout, work = worked(WING)
    assert work.fourth is not None
    assert work.fourth.point == pytest.approx((0.0, 24 * FOOT), rel=0, abs=1e-9)
    assert work.squaring is not None
    assert {*work.squaring.held, *work.squaring.moved} == {"A", "B", "C", "T"}
    assert [each.corner for each in work.settings[:4]] == ["A", "B", "C", "T"]
    text = " ".join(said(layout, work))
    assert (
        "T, a temporary stake that is not a corner but makes a rectangle with A, B, C: hook" in text
    )
    assert "; pull it out when all corners stand" in text


def test_no_stake_is_set_beyond_the_outline_or_for_a_small_rectangle() -> None:
    # at A the fourth point would lie outside; at B the rectangle is under half the outline
    deep = [(x * FOOT, y * FOOT) for x, y in [(0, 0), (36, 0), (36, 8), (24, 8), (24, 30), (0, 30)]]
    _, work = worked(deep)
    assert work.fourth is None
    assert work.squaring is None


def test_the_temporary_stake_takes_no_name_that_is_there() -> None:
    building = strategies.make_building(WING)
    names = {"A": "T", "B": "T1"}
    building = replace(
        building,
        corners=tuple(replace(c, name=names.get(c.name, c.name)) for c in building.corners),
        walls=tuple(
            replace(w, start=names.get(w.start, w.start), end=names.get(w.end, w.end))
            for w in building.walls
        ),
    )
    work = plan_work(laid(Plan(job="Invented", buildings=(building,))))
    assert work.fourth is not None
    assert work.fourth.name == "T2"


def test_the_slide_that_squares_the_rectangle_is_what_the_diagonals_show() -> None:
    """Slide the far side of 36 ft by 24 ft along and measure both diagonals."""
    _, work = worked(BARN)
    squaring = work.squaring
    assert squaring is not None
    by = squaring.slide
    longer = math.hypot(36 * FOOT + by, 24 * FOOT)
    shorter = math.hypot(36 * FOOT - by, 24 * FOOT)
    assert longer - shorter == pytest.approx(squaring.difference, rel=0, abs=1e-6)
    assert (squaring.held, set(squaring.moved)) == (("A", "B"), {"C", "D"})


def test_a_second_building_is_squared_by_its_own_rectangle_as_soon_as_it_stands() -> None:
    barn = strategies.make_building(BARN)
    shed = strategies.make_building([(x + 50 * FOOT, y + 2 * FOOT) for x, y in BARN])
    names = dict(zip("ABCD", "EFGH", strict=True))
    shed = replace(
        shed,
        corners=tuple(replace(c, name=names[c.name]) for c in shed.corners),
        walls=tuple(replace(w, start=names[w.start], end=names[w.end]) for w in shed.walls),
    )
    layout = laid(Plan(job="Invented", buildings=(barn, shed)))
    work = plan_work(layout)
    (other,) = work.other_squarings
    places = stakes_of(layout, work)
    assert {*other.held, *other.moved} == set("EFGH")
    for one, far in other.diagonals:
        assert math.dist(places[one], places[far]) == pytest.approx(other.length, rel=0, abs=1e-9)
    squares = [i for i, step in enumerate(work.steps) if step.kind == "square"]
    assert [set(work.steps[i].names) for i in squares] == [set("ABCD"), set("EFGH")]
    # right after its last stake, which is on the far side from the two that are held
    assert work.steps[squares[1] - 1].names[0] in other.moved
    order = [each.corner for each in work.settings]
    assert set(other.held) == set(sorted("EFGH", key=order.index)[:2])


def test_no_tape_is_pulled_longer_than_it_is() -> None:
    short = replace(Options(), tape=Tape(length=40 * FOOT))
    _, work = worked(WING, short)
    assert all(d <= 40 * FOOT + 1e-9 for each in work.settings for _, d in each.tapes)


def test_beyond_the_tape_a_wall_is_set_off_square() -> None:
    short = replace(Options(), tape=Tape(length=30 * FOOT))
    layout, work = worked(BARN, short)
    by_corner = {each.corner: each for each in work.settings}
    assert by_corner["D"].method == "square"
    assert by_corner["D"].sight == "B"
    assert "set it off from the wall A-B" in " ".join(said(layout, work))


def test_a_corner_in_line_with_two_stakes_is_set_along_their_line() -> None:
    names = ("A", "B", "C")
    points = np.array([(0.0, 0.0), (10.0, 0.0), (4.0, 0.0)])
    usable = ~np.eye(3, dtype=bool)
    made = SettingOut(names, points, usable, {}).run(("A", "B"), ())
    assert (made[2].method, made[2].tapes[0][0], made[2].sight) == ("in line", "A", "B")


def test_a_corner_that_nothing_reaches_is_said() -> None:
    names = ("A", "B", "C")
    points = np.array([(0.0, 0.0), (10.0, 0.0), (4.0, 50.0)])
    usable = np.zeros((3, 3), dtype=bool)
    usable[0, 1] = usable[1, 0] = True
    assert SettingOut(names, points, usable, {}).run(("A", "B"), ())[2].method == "out of reach"


# What is said ------------------------------------------------------------------------------


def test_the_parts_come_in_the_order_of_the_work() -> None:
    _, work = worked(WING)
    order = [list(WorkPart).index(step.part) for step in work.steps]
    assert order == sorted(order)


def test_each_stake_is_a_sentence_with_its_numbers_and_who_does_what() -> None:
    layout, work = worked(BARN)
    text = "\n".join(said(layout, work))
    assert "B: hook on A, reel pulls 36' 0\" along the base line A-B" in text
    assert (
        "C: hook on A, reel scratches an arc at 43' 3 3/16\"; hook on B, reel drives the stake "
        "where 24' 0\" crosses the arc, on the left looking from A to B (the tapes meet at 56°)."
    ) in text
    assert "hold A and B and slide C and D together" in text


def test_a_wider_dig_is_painted_first() -> None:
    options = replace(Options(), dig=replace(Options().dig, overdig=6 * INCH))
    layout, work = worked(BARN, options)
    paint = [
        text for text in said(layout, work) if text.startswith(("Paint the dig l", "Paint the f"))
    ]
    assert paint[0] == "Paint the dig line: 1' 0\" outside and 1' 8\" inside the string of " + (
        "A-B, B-C, C-D, D-A."
    )
    assert paint[1].startswith('Paint the footing edges: 6" outside and 1\' 2" inside')


def test_a_pad_is_set_by_two_tapes_on_the_right_side() -> None:
    post = strategies.make_building(BARN)
    pad = Pad(
        name="P1", x=42 * FOOT, y=6 * FOOT, size=(2 * FOOT, 2 * FOOT), diameter=None, thickness=0.3
    )
    layout = laid(Plan(job="Invented", buildings=(post,), pads=(pad,)))
    (step,) = [each for each in plan_work(layout).steps if each.kind == "pad"]
    corners = {c.name: np.array(c.point) for c in post.corners}
    (one, _, r1), (other, _, r2) = step.tapes
    base = corners[other] - corners[one]
    length = float(np.hypot(*base))
    along = (r1**2 - r2**2 + length**2) / (2 * length)
    side = 1 if dict(step.says.values)["side"] == "left" else -1
    off = side * math.sqrt(r1**2 - along**2)
    here = corners[one] + (along * base + off * np.array([-base[1], base[0]])) / length
    assert here == pytest.approx(pad.point, rel=0, abs=1e-9)


def test_a_metric_job_is_told_in_millimetres() -> None:
    options = replace(Options(), unit="mm", show=Show.MILLIMETRES)
    layout, work = worked([(0, 0), (12, 0), (12, 8), (0, 8)], options)
    assert "for every 10 mm between the two" in "\n".join(said(layout, work))


def test_the_checks_put_stakes_nearer_than_3_4_5_alone() -> None:
    _, work = worked(WING)
    for each in work.expected:
        assert each.chosen is not None
        assert each.squared_off is not None
        assert each.chosen < each.squared_off


def test_numbers_run_through_and_lines_fit_the_terminal() -> None:
    layout, work = worked(JOG)
    lines = [line for block in work_blocks(layout, work) for line in plain(block)]
    assert max(map(len, lines)) <= 80
    tables = [block for block in work_blocks(layout, work) if block.title in list(WorkPart)]
    numbers = [row[0] for block in tables if isinstance(block, Table) for row in block.rows]
    assert numbers == [str(number) for number in range(1, len(work.steps) + 1)]


# What must change nothing ------------------------------------------------------------------


def figures(work: WorkPlan) -> list[tuple[object, ...]]:
    return [
        (each.corner, each.method, [(n, round(d, 6)) for n, d in each.tapes])
        for each in work.settings
    ]


@pytest.mark.parametrize("points", [WING, JOG], ids=["wing", "jog"])
def test_turning_shifting_and_walking_the_other_way_change_nothing(
    points: list[tuple[float, float]],
) -> None:
    _, here = worked(points)
    plan = strategies.plan_of(points)
    turned = plan_work(laid(strategies.transform_plan(plan, math.radians(17), (40.0, -9.0))))
    assert figures(turned) == figures(here)
    building = plan.buildings[0]
    back = replace(
        building,
        corners=building.corners[::-1],
        walls=tuple(
            replace(wall, start=wall.end, end=wall.start)
            for wall in (*building.walls[-2::-1], building.walls[-1])
        ),
    )
    reverse = plan_work(laid(replace(plan, buildings=(back,))))
    assert figures(reverse) == figures(here)
    assert reverse.least == here.least or reverse.least is not None
    assert said(laid(plan), here)[1:4] == said(laid(plan), reverse)[1:4]


def test_mirroring_swaps_left_and_right_and_nothing_else() -> None:
    plan = strategies.plan_of(WING)
    here = plan_work(laid(plan))
    there = plan_work(laid(strategies.transform_plan(plan, mirror=True)))
    assert figures(there) == figures(here)
    swap = {"left": "right", "right": "left", None: None}
    assert [swap[each.side] for each in there.settings] == [each.side for each in here.settings]


def test_two_buildings_are_one_order_of_work() -> None:
    one = strategies.make_building(BARN, name="barn")
    shed = [(x + 60 * FOOT, y) for x, y in [(0, 0), (12 * FOOT, 0), (12 * FOOT, 10 * FOOT)]]
    other = strategies.make_building(shed, name="shed", first=4)
    layout = laid(Plan(job="Invented", buildings=(one, other)))
    work = plan_work(layout)
    assert [each.corner for each in work.settings[:4]] == ["A", "B", "C", "D"]
    assert {each.corner for each in work.settings} == set("ABCDEFG")


def test_a_job_without_an_outline_has_no_order_of_work() -> None:
    layout, _ = worked(BARN)
    with pytest.raises(ComputationError, match="no outline"):
        plan_work(replace(layout, plan=Plan(job="empty", buildings=())))
    with pytest.raises(ComputationError, match="above zero"):
        plan_work(layout, 0.0)
