"""Numbers of boards on any outline: as one walks, whichever way it is drawn and however it lies.

The way round is measured by Shapely, which the numbering does not use.
"""

from __future__ import annotations

import math
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LinearRing, LineString

from staking.footing.bands import footing_bands
from staking.footing.footing_outline import merge
from staking.layout.boards import StringsAndBoards, lay_out
from staking.plan import Options, Plan
from tests.properties.test_boards import outlines, plan_of

NEAR = 0.001
"""Boards that come within this of one another along the ring stand at one place, m."""


def numbered(plan: Plan) -> tuple[StringsAndBoards, tuple[tuple[float, float], ...]]:
    bands, _ = footing_bands(plan)
    footing = merge(bands)
    return lay_out(plan, Options(), bands, footing), footing.outlines[0]


def names(found: StringsAndBoards) -> list[tuple[str, str, str]]:
    return [(board.name, board.string, board.end) for board in found.boards]


@settings(deadline=None, max_examples=60)
@given(outlines)
def test_numbers_run_once_round_the_footing(points: list[tuple[float, float]]) -> None:
    found, outline = numbered(plan_of(points))
    assert [board.name for board in found.boards] == [
        str(number) for number in range(1, len(found.boards) + 1)
    ]
    ring = LinearRing(outline)
    assert ring.is_ccw
    along = [ring.project(LineString(board.ends).centroid) for board in found.boards]
    # from one board to the next the way round is never backwards, and all of them are one round
    forward = [(b - a) % ring.length for a, b in pairwise(along)]
    forward = [0.0 if step > ring.length - NEAR else step for step in forward]
    assert sum(forward) <= ring.length + NEAR


@settings(deadline=None, max_examples=40)
@given(outlines, st.floats(0, 2 * math.pi), st.floats(-500, 500), st.floats(-500, 500))
def test_turning_and_shifting_changes_no_number(
    points: list[tuple[float, float]], turn: float, dx: float, dy: float
) -> None:
    c, s = math.cos(turn), math.sin(turn)
    moved = [(c * x - s * y + dx, s * x + c * y + dy) for x, y in points]
    assert names(numbered(plan_of(moved))[0]) == names(numbered(plan_of(points))[0])


@settings(deadline=None, max_examples=40)
@given(outlines)
def test_drawing_the_outline_the_other_way_changes_no_number(
    points: list[tuple[float, float]],
) -> None:
    letters = [chr(ord("A") + i) for i in range(len(points))]
    turned = plan_of([points[0], *points[:0:-1]], [letters[0], *letters[:0:-1]])
    assert names(numbered(turned)[0]) == names(numbered(plan_of(points))[0])
