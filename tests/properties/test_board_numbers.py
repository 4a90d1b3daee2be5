"""Numbers of boards on any outline: as one walks, whichever way it is drawn and however it lies.

The way round is measured by Shapely, which the numbering does not use.
"""

from __future__ import annotations

import math

from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely import LinearRing, LineString, Point, get_parts

from staking.footing.bands import footing_bands
from staking.footing.footing_outline import merge
from staking.layout.boards import StringsAndBoards, lay_out
from staking.plan import Options, Plan
from tests.properties.test_boards import outlines, plan_of

NEAR = 0.001
"""Places of the ring that are farther from a board by no more than this are as near to it, m.

The tip of a sharp footing can be cut a hair wide, and then both ends of the cut are as near to the
boards that stand beyond it.
"""
ROUNDING = 1e-6


def numbered(plan: Plan) -> tuple[StringsAndBoards, tuple[tuple[float, float], ...]]:
    bands, _ = footing_bands(plan)
    footing = merge(bands)
    return lay_out(plan, Options(), bands, footing), footing.outlines[0]


def names(found: StringsAndBoards) -> list[tuple[str, str, str]]:
    return [(board.name, board.string, board.end) for board in found.boards]


SHARP_TIP = [
    (4.0, 0.0),
    (2.4939592074349344, 3.127325929872119),
    (-0.8900837358252573, 3.8997116487272945),
    (-3.603875471609676, 1.735534956470233),
    (-13.244242358165561, -6.378090965028102),
    (-0.8900837358252583, -3.8997116487272945),
    (2.4939592074349335, -3.1273259298721197),
]
"""A corner so sharp that the footing's tip is two corners two millimetres apart."""


@settings(deadline=None, max_examples=60)
@given(outlines)
@example(SHARP_TIP)
def test_numbers_run_once_round_the_footing(points: list[tuple[float, float]]) -> None:
    found, outline = numbered(plan_of(points))
    assert [board.name for board in found.boards] == [
        str(number) for number in range(1, len(found.boards) + 1)
    ]
    ring = LinearRing(outline)
    assert ring.is_ccw
    # walking once round, every board is met where the ring is nearest to it, none behind one's back
    reached, start = 0.0, None
    for board in found.boards:
        stretches = _nearest_stretches(ring, LineString(board.ends).centroid)
        if start is None:
            start = min(stretches)[0]
        ahead = [((a - start) % ring.length, b - a) for a, b in stretches]
        # a stretch over the place where the walk begins is at its end as well
        ahead += [(at - ring.length, long) for at, long in ahead]
        places = [max(reached, at) for at, long in ahead if at + long >= reached - ROUNDING]
        assert places, f"board {board.name} was passed"
        reached = min(places)


def _nearest_stretches(ring: LinearRing, middle: Point) -> list[tuple[float, float]]:
    """Give from where to where along the ring it is as near to a place as anywhere, m."""
    disc = middle.buffer(ring.distance(middle) + NEAR, quad_segs=64)
    stretches = []
    for part in get_parts(ring.intersection(disc)):
        along = sorted(ring.project(Point(place)) for place in part.coords)
        # the ring's first point is its last as well
        if along[-1] - along[0] > ring.length / 2:
            along = sorted(place or ring.length for place in along)
        stretches.append((along[0], along[-1]))
    return stretches


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
