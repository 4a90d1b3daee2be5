"""Cutting a plan: every point in one part, lines whole again, match lines clear of corners."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from staking.output.drawn.drawn_parts import ChainPart, LinePart, Look
from staking.output.sheet_drawings.match_lines import Cut, cut_at, cut_parts

PLACES = st.tuples(*[st.floats(-50, 50).map(lambda each: round(each, 3)) for _ in range(2)])
CUTS = st.builds(
    Cut,
    upright=st.lists(st.integers(-40, 40), max_size=3, unique=True).map(lambda e: tuple(sorted(e))),
    level=st.lists(st.integers(-40, 40), max_size=2, unique=True).map(lambda e: tuple(sorted(e))),
)


@given(CUTS, PLACES)
def test_every_point_is_in_exactly_one_part(cut, point):
    assert sum(part.holds(point) for part in cut.parts) == 1


@given(CUTS, PLACES, PLACES)
def test_the_pieces_of_a_line_add_up_to_it(cut, start, end):
    pieces = [seen for part in cut.parts if (seen := part.seen((start, end))) is not None]
    assert sum(math.dist(*piece) for piece in pieces) == pytest.approx(
        math.dist(start, end), rel=0, abs=1e-9
    )


@given(CUTS)
def test_each_match_line_is_named_in_the_parts_on_both_sides(cut):
    beside = {
        (line.name, part.number, other) for part in cut.parts for line, _, other in cut.beside(part)
    }
    assert all((name, other, here) in beside for name, here, other in beside)
    assert {name for name, _, _ in beside} == {line.name for line in cut.lines}


def test_parts_are_numbered_as_one_reads():
    cut = Cut(upright=(10.0,), level=(5.0,))
    at = {(0.0, 9.0): 1, (20.0, 9.0): 2, (0.0, 0.0): 3, (20.0, 0.0): 4}
    for point, number in at.items():
        assert [part.number for part in cut.parts if part.holds(point)] == [number]


def test_a_cell_in_which_nothing_stands_is_no_part():
    cut = Cut(upright=(10.0, 20.0), level=(5.0,), blank=frozenset({1}))
    assert [(part.number, part.cell) for part in cut.parts] == [
        (1, 0),
        (2, 2),
        (3, 3),
        (4, 4),
        (5, 5),
    ]
    first, second = cut.parts[:2]
    assert [(line.name, other) for line, _, other in cut.beside(first)] == [("C", 3)]
    assert [(line.name, other) for line, _, other in cut.beside(second)] == [("C", 5)]


def test_a_match_line_goes_through_the_widest_space_near_its_even_place():
    corners = [(0.0, 0.0), (46.0, 0.0), (50.0, 0.0), (62.0, 0.0), (100.0, 0.0)]
    cut = cut_at((2, 1), ((0.0, 0.0), (100.0, 10.0)), corners)
    # Half way is 50, where a corner stands; from 50 to 62 nothing does.
    assert cut == Cut(upright=(56.0,), level=())


def test_a_ring_is_cut_into_open_lines_that_end_on_the_match_line():
    look = Look(layer="0")
    ring = ChainPart(look=look, points=((0, 0), (10, 0), (10, 4), (0, 4)), closed=True)
    left, right = Cut(upright=(6.0,), level=()).parts
    pieces = list(cut_parts([ring], right, 1.0))
    assert pieces == [ChainPart(look=look, points=((6.0, 0.0), (10, 0), (10, 4), (6.0, 4.0)))]
    assert len(list(cut_parts([ring], left, 1.0))) == 2
    whole = LinePart(look=look, start=(7, 1), end=(9, 1))
    assert list(cut_parts([whole], right, 1.0)) == [whole]
    assert list(cut_parts([whole], left, 1.0)) == []
