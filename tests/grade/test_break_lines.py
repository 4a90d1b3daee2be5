"""Break lines in the ground, on invented points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from staking.errors import ComputationError
from staking.grade.terrain.break_lines import BreakLine, lay_lines
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.surveyed_ground import Survey, surveyed_ground
from staking.grade.terrain.triangulate import window_surface

SQUARE = [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)]
EVERYWHERE = (np.full(2, -np.inf), np.full(2, np.inf))


def bank(places: np.ndarray) -> np.ndarray:
    """Flat to x = 3, then a bank 1 in 2 up to x = 5, then flat."""
    return 30 + np.clip(places[:, 0] - 3.0, 0.0, 2.0) / 2


def scattered(seed: int, count: int, reach: float = 20.0) -> np.ndarray:
    return np.random.default_rng(seed).uniform(-reach, reach, (count, 2))


def along(x: float, height: float, name: str = "toe", reach: float = 19.0) -> BreakLine:
    vertices = np.array([(x, -reach, height), (x, 1.7, height), (x, reach, height)])
    return BreakLine(name=name, vertices=vertices)


def sides(surface: GroundSurface) -> dict[tuple[int, int], list[int]]:
    found: dict[tuple[int, int], list[int]] = {}
    for t in surface.triangles.tolist():
        for i in range(3):
            side = (min(t[i], t[i - 1]), max(t[i], t[i - 1]))
            found.setdefault(side, []).append(t[i - 2])
    return found


def test_toe_and_top_of_a_bank_give_the_bank_exactly() -> None:
    points = scattered(1, 300)
    lines = [along(3.0, 30.0), along(5.0, 31.0, "top")]
    places = np.random.default_rng(2).uniform((0, 0), (8, 6), (2000, 2))
    with_lines = surveyed_ground(points, bank(points), [SQUARE], lines=lines)
    without = surveyed_ground(points, bank(points), [SQUARE])
    assert np.abs(with_lines.at(places) - bank(places)).max() < 1e-9
    assert np.abs(without.at(places) - bank(places)).max() > 0.1


@pytest.mark.parametrize("seed", range(12))
def test_lines_become_sides_and_all_else_stays_delaunay(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points, heights = scattered(seed, 150, 10.0), np.zeros(150)
    ways = [np.column_stack((rng.uniform(-12, 12, (5, 2)), np.zeros(5))) for _ in range(4)]
    lines = [BreakLine(name=str(i), vertices=way) for i, way in enumerate(ways)]
    surface, sources = window_surface(points, heights, np.array(SQUARE), lines)
    laid = lay_lines(points, heights, lines, EVERYWHERE)
    assert len(laid.points) == len(surface.points)
    assert set(sources[sources < 0].tolist()) <= {-1, -2, -3, -4}
    have = sides(surface)
    firm = set(laid.edges)
    assert firm <= set(have)
    corners = surface.points[surface.triangles]
    u, v = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    area = (u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]) / 2
    assert (area > 0).all()
    assert area.sum() == pytest.approx(ConvexHull(surface.points).volume, abs=1e-6)
    for (a, b), (c, *other) in have.items():
        if not other or (a, b) in firm:
            continue
        # In exact words: the fourth corner is not inside the circle through the other three.
        rows = surface.points[[a, b, c]] - surface.points[other[0]]
        lifted = np.column_stack((rows, (rows**2).sum(axis=1)))
        turn = np.linalg.det(np.column_stack((surface.points[[a, b, c]], np.ones(3))))
        assert np.linalg.det(lifted) * np.sign(turn) < 1e-6


def test_a_window_with_lines_has_the_surface_of_the_whole_survey() -> None:
    points = scattered(5, 5000, 60.0)
    rng = np.random.default_rng(6)
    heights = 30 + points[:, 0] / 9 + rng.uniform(0, 0.2, 5000)
    lines = []
    for i, x in enumerate((-9.0, 2.0, 6.5, 30.0)):
        y = np.linspace(-55, 55, 23)
        way = np.column_stack((x + rng.uniform(-0.9, 0.9, 23), y, 31 + x / 9 + y / 40))
        lines.append(BreakLine(name=f"edge {i}", vertices=way))
    surface, numbers = window_surface(points, heights, np.array(SQUARE), lines)
    assert len(numbers) < 2500
    places = rng.uniform((0, 0), (8, 6), (3000, 2))
    # A region as large as the survey makes the window the whole of it.
    whole, _ = window_surface(points, heights, points, lines)
    assert np.abs(surface.at(places) - whole.at(places)).max() < 1e-9
    middle = lines[1].vertices[10]
    assert Survey(points=points, elevations=heights, lines=tuple(lines)).at(middle[None, :2])[
        0
    ] == pytest.approx(middle[2], abs=1e-9)


@pytest.mark.parametrize("quarter", range(4))
def test_a_point_past_the_window_counts_on_the_near_side_of_a_break_line(quarter: int) -> None:
    # The 200 points nearest to the region end at x = 5.7. A triangle with its corners on a circle
    # of 6 m about the origin, at 90, 20 and 253 degrees, reaches into the region; its side from 90
    # to 20 degrees is a break line, and in what is left of its circle, past x = 5.7 and on this
    # side of the line, a point stands 3 m higher. With it the triangle is not of this ground.
    high, right, low = (
        (6 * math.cos(math.radians(at)), 6 * math.sin(math.radians(at))) for at in (90, 20, 253)
    )
    beyond = (5.85, 0.3)
    many = np.random.default_rng(3).uniform((-21, -9.5), (-7, 9.5), (190, 2))
    last = [(-22.2, y) for y in np.linspace(-9, 9, 12)]
    c, s = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarter]
    turn = np.array([(c, s), (-s, c)], dtype=float)
    points = np.array([*many, high, right, low, *last, beyond]) @ turn
    heights = np.full(len(points), 30.0)
    heights[-1] = 33.0
    ends = np.column_stack((np.array([high, right]) @ turn, (30.0, 30.0)))
    region = np.array([(-16, -4), (-0.5, -4), (-0.5, 4), (-16, 4)]) @ turn
    lines = [BreakLine(name="top", vertices=ends)]
    surface, _ = window_surface(points, heights, region, lines)
    places = np.array([(-0.6, 0.0), (-0.55, -1.0), (-0.5, 1.0)])
    # By hand the plane through the two corners at 90 and 253 degrees and the point.
    corners = np.column_stack((np.array([high, low, beyond]), np.ones(3)))
    plane = np.linalg.solve(corners, (30.0, 30.0, 33.0))
    by_hand = np.column_stack((places, np.ones(3))) @ plane
    assert by_hand.min() > 30.1
    assert surface.at(places @ turn) == pytest.approx(by_hand, rel=0, abs=1e-9)


def test_lines_that_cross_at_one_elevation_are_joined_there() -> None:
    one = BreakLine(name="wall", vertices=np.array([(0, 3, 30), (8, 3, 34.0)]))
    two = BreakLine(name="ditch", vertices=np.array([(4, -2, 32), (4, 8, 32.0)]))
    laid = lay_lines(np.empty((0, 2)), np.empty(0), [one, two], EVERYWHERE)
    assert len(laid.points) == 5
    assert laid.points[4] == pytest.approx([4, 3], abs=1e-12)
    assert len(laid.edges) == 4


def test_two_elevations_at_a_crossing_name_both_lines_and_both_elevations() -> None:
    one = BreakLine(name="wall", vertices=np.array([(0, 3, 30), (8, 3, 30.0)]))
    two = BreakLine(name="ditch", vertices=np.array([(4, -2, 28), (4, 8, 30.0)]))
    match = r"wall is at 98\.43 ft \(30\.000 m\) .* ditch at 95\.14 ft \(29\.000 m\)"
    with pytest.raises(ComputationError, match=match):
        surveyed_ground(scattered(1, 99), np.full(99, 30.0), [SQUARE], lines=[one, two])


@pytest.mark.parametrize(
    ("vertices", "match"),
    [
        ([(1, 1, 30), (5, 5, 31)], "a surveyed point is at .* break line kerb at"),
        ([(1, 1, 30), (3, 3, 29.0)], "a surveyed point is at .* break line kerb at"),
    ],
)
def test_a_line_and_a_point_with_two_elevations_are_refused(
    vertices: list[tuple[float, float, float]], match: str
) -> None:
    points = np.array([(3.0, 3.0), (-9, -9), (20, -9), (20, 20), (-9, 20)])
    line = BreakLine(name="kerb", vertices=np.array(vertices, dtype=float))
    with pytest.raises(ComputationError, match=match):
        surveyed_ground(points, np.full(5, 30.0), [SQUARE], lines=[line])


def test_parts_of_a_line_without_elevations_and_far_away_are_passed_over() -> None:
    way = np.array([(1, 1, np.nan), (5, 5, 31), (6, 5, 31), (90, 90, 31)], dtype=float)
    line = BreakLine(name="kerb", vertices=way)
    box = (np.array([0.0, 0.0]), np.array([5.5, 6.0]))
    laid = lay_lines(np.empty((0, 2)), np.empty(0), [line], box)
    assert laid.points.tolist() == [[5, 5], [6, 5]]


def test_a_line_through_a_surveyed_point_at_its_elevation_is_cut_there() -> None:
    points = np.array([(3.0, 3.0)])
    line = BreakLine(name="kerb", vertices=np.array([(1, 1, 30), (5, 5, 31.0)]))
    laid = lay_lines(points, np.array([30.5]), [line], EVERYWHERE)
    assert laid.edges == ((0, 1), (0, 2))
    assert laid.sources.tolist() == [-1, 0, 0]


def test_a_vertex_that_stands_off_the_ground_is_told_by_its_own_line() -> None:
    grid = np.array([(x, y) for x in range(-6, 15, 2) for y in range(-6, 13, 2)], dtype=float)
    toe = BreakLine(name="toe", vertices=np.array([(1, -5, 30), (1, 3, 30), (1, 11, 30.0)]))
    ditch = BreakLine(name="ditch", vertices=np.array([(5, -5, 30), (5, 3, 30.8), (5, 11, 30.0)]))
    ground = surveyed_ground(grid, np.full(len(grid), 30.0), [SQUARE], lines=[toe, ditch])
    told = [dict(each.values)["point"] for each in ground.notices]
    assert told == ["a point of break line ditch"]
