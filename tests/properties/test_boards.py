"""What holds for the boards of any outline: clear of the dig, of each other, and on their lines.

Distances are judged by Shapely, which the layout does not use; the outlines are invented.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon, STRtree, unary_union

from staking.footing.bands import dig_bands
from staking.layout.boards import lay_out
from staking.layout.hubs import place_hubs
from staking.plan import Building, Corner, Dig, Footing, Options, Plan, Wall

tenths = st.integers(20, 150).map(lambda n: n / 10)


@st.composite
def stepped(draw):
    """L, T, U and staircase outlines: steps up and down along a straight base."""
    widths = draw(st.lists(tenths, min_size=1, max_size=4))
    heights = draw(st.lists(tenths, min_size=len(widths), max_size=len(widths)))
    points = [(0.0, 0.0), (sum(widths), 0.0)]
    x = sum(widths)
    for width, height in zip(reversed(widths), reversed(heights), strict=True):
        if points[-1][1] != height:
            points += [(x, height)] if points[-1] != (x, height) else []
            points += [(x - width, height)]
        else:
            points[-1] = (x - width, height)
        x -= width
    return [(round(px, 6), round(py, 6)) for px, py in points]


@st.composite
def starred(draw):
    """Outlines with corners of any angle, seen whole from one point inside."""
    count = draw(st.integers(3, 7))
    radii = draw(st.lists(st.integers(40, 150), min_size=count, max_size=count))
    return [
        (r / 10 * math.cos(2 * math.pi * i / count), r / 10 * math.sin(2 * math.pi * i / count))
        for i, r in enumerate(radii)
    ]


outlines = st.one_of(stepped(), starred())
digs = st.builds(
    Dig,
    overdig=st.sampled_from([0.0, 0.3]),
    bank=st.sampled_from([0.0, 0.5]),
    depth=st.sampled_from([0.0, 0.9, 1.8]),
)


def plan_of(points, names=None):
    names = names or [chr(ord("A") + i) for i in range(len(points))]
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    return Plan(
        job="any",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True)
                ),
                walls=tuple(
                    Wall(start=a, end=b, thickness=0.2, footing=footing)
                    for a, b in zip(names, names[1:] + names[:1], strict=True)
                ),
            ),
        ),
    )


def laid_out(plan, dig):
    bands, _ = dig_bands(plan, dig)
    return lay_out(plan, Options(dig=dig), bands), bands


@settings(deadline=None, max_examples=60)
@given(outlines, digs)
def test_boards_are_clear_of_the_dig_of_the_building_and_of_each_other(points, dig):
    laid, bands = laid_out(plan_of(points), dig)
    dug = unary_union([Polygon(band.hull) for band in bands])
    house = Polygon(points)
    lines = [LineString(board.ends) for board in laid.boards]
    for board, line in zip(laid.boards, lines, strict=True):
        assert line.distance(dug) == pytest.approx(board.clear, abs=1e-6)
        assert board.clear >= max(1.2192, dig.depth) - 2e-6
        assert board.stand_off >= 1.2192 - 2e-6
        assert not house.intersects(line)
    tree = STRtree(lines)
    for i, line in enumerate(lines):
        for j in tree.query(line.buffer(0.16)):
            assert i == j or line.distance(lines[j]) >= 0.1524 - 2e-6


@settings(deadline=None, max_examples=40)
@given(outlines, digs)
def test_every_mark_lies_on_its_own_line_run_on(points, dig):
    plan = plan_of(points)
    laid, _ = laid_out(plan, dig)
    house = Polygon(points)
    at = {corner.name: corner.point for corner in plan.buildings[0].corners}
    for board in laid.boards:
        reach = LineString(board.ends)
        for mark in board.marks:
            start, end = (at[name] for name in mark.wall.split("-"))
            length = math.dist(start, end)
            ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
            left = (mark.y - start[1]) * ux - (mark.x - start[0]) * uy
            middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
            leftward = Point(middle[0] - 1e-4 * uy, middle[1] + 1e-4 * ux)
            away = -1 if house.contains(leftward) else 1
            assert away * left == pytest.approx(mark.offset, abs=1e-6)
            assert reach.distance(Point(mark.x, mark.y)) < 1e-9


def told(laid):
    """What must not change, in words, and its lengths apart, which may by rounding."""
    words = [
        [(s.name, s.boards, sorted(map(canonical, s.walls))) for s in laid.strings],
        [(b.name, b.string, b.end) for b in laid.boards],
        [[(m.mark, canonical(m.wall)) for m in b.marks] for b in laid.boards],
        [(n.kind, [v for _, v in n.values if isinstance(v, str)]) for n in laid.notices],
    ]
    lengths = [s.length for s in laid.strings]
    for board in laid.boards:
        lengths += [board.stand_off, board.clear, *(mark.offset for mark in board.marks)]
    return words, lengths


def canonical(wall):
    return "-".join(sorted(wall.split("-")))


@settings(deadline=None, max_examples=60)
@given(
    outlines, digs, st.floats(0, 6.28), st.floats(-500, 500), st.floats(-500, 500), st.booleans()
)
def test_turning_shifting_and_mirroring_change_no_board(points, dig, turn, dx, dy, mirrored):
    c, s, flip = math.cos(turn), math.sin(turn), -1 if mirrored else 1
    moved = [(c * x - s * flip * y + dx, s * x + c * flip * y + dy) for x, y in points]
    before, _ = laid_out(plan_of(points), dig)
    after, _ = laid_out(plan_of(moved), dig)
    (words, lengths), (other_words, other_lengths) = told(before), told(after)
    assert other_words == words
    assert other_lengths == pytest.approx(lengths, abs=1e-6)


@settings(deadline=None, max_examples=40)
@given(outlines, digs)
def test_walking_the_outline_the_other_way_changes_no_board(points, dig):
    plan = plan_of(points)
    names = [corner.name for corner in plan.buildings[0].corners]
    before, bands = laid_out(plan, dig)
    turned = plan_of(points[::-1], names[::-1])
    after, other_bands = laid_out(turned, dig)
    (words, lengths), (other_words, other_lengths) = told(before), told(after)
    assert other_words == words
    assert other_lengths == pytest.approx(lengths, abs=1e-6)
    hubs = [
        [(h.corner, canonical(h.wall), round(h.x, 4) + 0.0, round(h.y, 4) + 0.0) for h in found]
        for found, _ in (
            place_hubs(plan, Options(dig=dig), before.strings, before.boards, bands),
            place_hubs(turned, Options(dig=dig), after.strings, after.boards, other_bands),
        )
    ]
    assert hubs[0] == hubs[1]


@settings(deadline=None, max_examples=40)
@given(outlines, digs)
def test_boards_of_one_string_stand_square_to_it_at_its_ends(points, dig):
    laid, _ = laid_out(plan_of(points), dig)
    boards = {board.name: board for board in laid.boards}
    for string in laid.strings:
        for name, tied in zip(string.boards, (string.start, string.end), strict=True):
            board = boards[name]
            assert (board.x, board.y) == tied
            (xa, ya), (xb, yb) = board.ends
            dot = (xb - xa) * (string.end[0] - string.start[0])
            dot += (yb - ya) * (string.end[1] - string.start[1])
            assert abs(dot) < 1e-8 * string.length
