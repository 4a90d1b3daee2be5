"""A job laid out whole: what must not change however the plan lies on its grid."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from staking.job.build import Job
from staking.laid_out.layout_value import Layout
from staking.plan import BoardRules, Dig, Options, Plan, StayClear, Tape
from staking.project.layout import lay_out_job
from tests.properties.strategies import (
    FOOT,
    SHIFTS,
    TURNS,
    plans,
    rectangle_points,
    reverse_plan,
    transform_plan,
)

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])

OPTIONS = st.builds(
    Options,
    dig=st.builds(
        Dig,
        overdig=st.sampled_from((0.0, 0.3)),
        bucket=st.sampled_from((0.0, 0.6)),
        bank=st.sampled_from((0.0, 0.5)),
        depth=st.sampled_from((0.0, 1.5)),
    ),
    boards=st.builds(
        BoardRules,
        stand_off=st.sampled_from((4 * FOOT, 9 * FOOT)),
        inside_boards=st.booleans(),
    ),
    tape=st.sampled_from((Tape(), Tape(length=40 * FOOT), Tape(length=300 * FOOT))),
)


@st.composite
def with_a_pond(draw: st.DrawFn) -> Plan:
    """A plan with a shape to stay clear of to the left of everything."""
    plan = draw(plans(existing=True))
    xs = [corner.x for building in plan.buildings for corner in building.corners]
    ys = [corner.y for building in plan.buildings for corner in building.corners]
    right = min(xs) - draw(st.floats(0.7, 4.0))
    shape = ((right - 5, min(ys)), (right, min(ys)), (right, max(ys)), (right - 5, max(ys)))
    return Plan(
        job=plan.job,
        buildings=plan.buildings,
        interior=plan.interior,
        pads=plan.pads,
        stay_clear=(StayClear(name="pond", corners=shape),),
    )


ANY_PLAN = st.one_of(plans(), plans(existing=True), with_a_pond())


def canonical(wall: str | None) -> str | None:
    return None if wall is None else "-".join(sorted(wall.split("-")))


def words(layout: Layout) -> dict[str, object]:
    """All that is told in words; it must be the same to the letter."""
    return {
        "strings": [(s.name, s.boards, [p.name for p in s.passes]) for s in layout.strings],
        "boards": [
            (b.name, b.string, b.end, [(m.mark, canonical(m.wall)) for m in b.marks])
            for b in layout.boards
        ],
        "hubs": sorted((h.corner, str(canonical(h.wall))) for h in layout.hubs),
        "checks": sorted((c.kind, c.at or "", c.from_name, c.to_name) for c in layout.checks),
        "warnings": Counter((n.kind, n.severity) for n in layout.notices),
    }


def numbers(layout: Layout) -> list[float]:
    """All lengths and areas, in an order that does not hang on the outline's direction."""
    found = [layout.footing.area, layout.dig.area]
    for string in layout.strings:
        found += [string.length, *(each.from_start for each in string.passes)]
    for board in layout.boards:
        found += [board.stand_off, board.clear, *(mark.offset for mark in board.marks)]
    order = sorted(layout.checks, key=lambda c: (c.kind, c.at or "", c.from_name, c.to_name))
    for check in order:
        found += [check.distance, check.allowed, *(check.legs or ())]
    return found


def unnumbered(layout: Layout) -> Layout:
    """The layout with boards called by string and end: a mirrored building is walked backwards."""
    called = {
        name: f"{string.name} {end}"
        for string in layout.strings
        for end, name in zip(("start", "end"), string.boards, strict=True)
        if name is not None
    }
    strings = tuple(
        replace(s, boards=tuple(None if n is None else called[n] for n in s.boards))
        for s in layout.strings
    )
    boards = sorted((replace(b, name=called[b.name]) for b in layout.boards), key=lambda b: b.name)
    return replace(layout, strings=strings, boards=tuple(boards))


def assert_same(one: Layout, other: Layout) -> None:
    assert words(other) == words(one)
    assert numbers(other) == pytest.approx(numbers(one), rel=0, abs=2e-5)


@SLOW
@given(plan=ANY_PLAN, options=OPTIONS, turn=TURNS, shift=SHIFTS, mirror=st.booleans())
def test_turning_shifting_or_mirroring_changes_nothing_that_is_told(
    plan: Plan, options: Options, turn: float, shift: tuple[float, float], mirror: bool
) -> None:
    moved = transform_plan(plan, turn, shift, mirror)
    here = lay_out_job(Job(plan=plan, options=options))
    there = lay_out_job(Job(plan=moved, options=options))
    if mirror:
        here, there = unnumbered(here), unnumbered(there)
    assert_same(here, there)


@SLOW
@given(plan=ANY_PLAN, options=OPTIONS)
def test_walking_the_outline_the_other_way_changes_nothing_that_is_told(
    plan: Plan, options: Options
) -> None:
    assert_same(
        lay_out_job(Job(plan=plan, options=options)),
        lay_out_job(Job(plan=reverse_plan(plan), options=options)),
    )


@SLOW
@given(plan=ANY_PLAN, options=OPTIONS)
def test_no_board_stands_in_the_dig_and_no_two_boards_cross(plan: Plan, options: Options) -> None:
    layout = lay_out_job(Job(plan=plan, options=options))
    dug = shapely.union_all([shapely.Polygon(band.hull) for band in layout.dig_bands])
    lines = [shapely.LineString(board.ends) for board in layout.boards]
    for board, line in zip(layout.boards, lines, strict=True):
        assert line.distance(dug) == pytest.approx(board.clear, abs=1e-6)
        assert board.clear >= options.boards.clearance - 1e-6
    for i, line in enumerate(lines):
        assert not any(line.intersects(other) for other in lines[:i])


@SLOW
@given(plan=ANY_PLAN, options=OPTIONS)
def test_every_string_passes_its_corners_where_it_says(plan: Plan, options: Options) -> None:
    layout = lay_out_job(Job(plan=plan, options=options))
    at = {corner.name: corner.point for b in plan.buildings for corner in b.corners}
    for string in layout.strings:
        assert math.dist(string.start, string.end) == pytest.approx(string.length, abs=1e-9)
        for each in string.passes:
            if each.name in at:
                assert math.dist(string.start, at[each.name]) == pytest.approx(
                    abs(each.from_start), abs=1e-3
                )


@given(points=rectangle_points(), wide=st.integers(12, 30), deep=st.integers(12, 30))
def test_a_rectangles_footing_is_the_outer_rectangle_less_the_inner(
    points: list[tuple[float, float]], wide: int, deep: int
) -> None:
    """Inclusion and exclusion by hand: four bands less their four shared corner squares."""
    from tests.properties.strategies import plan_of

    inch = FOOT / 12
    plan = plan_of(
        points, walls={i: (8 * inch, (wide, deep)[i % 2] * inch, None) for i in range(4)}
    )
    layout = lay_out_job(Job(plan=plan, options=Options()))
    (w, d) = points[2]
    out = [(each - 8) / 2 * inch for each in (wide, deep)]
    along = [(w + 2 * out[1]) * wide * inch, (d + 2 * out[0]) * deep * inch]
    expected = 2 * sum(along) - 4 * wide * deep * inch**2
    assert layout.footing.area == pytest.approx(expected, rel=0, abs=1e-6)
