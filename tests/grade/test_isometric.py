"""The stepped footing as it is seen: order of depth, and nothing hidden drawn."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon
from shapely.ops import unary_union

from staking.footing.bands import footing_bands
from staking.grade.isometric.depth_order import back_to_front
from staking.grade.isometric.footing_prisms import Prism, footing_prisms
from staking.grade.isometric.seen_faces import (
    FaceSide,
    IsometricView,
    low_corner,
    seen_faces,
    seen_footing,
)
from staking.laid_out.layout_value import Layout
from staking.project.resolve import read_and_resolve

FIXTURES = Path(__file__).parents[2] / "fixtures"
NORTH = (0.0, 1.0)


def box(name: str, low: tuple[float, float], high: tuple[float, float], top: float) -> Prism:
    ring = (low, (high[0], low[1]), high, (low[0], high[1]))
    return Prism(names=(name,), ring=ring, bottom=0.0, top=top)


@pytest.fixture(scope="module")
def hillside() -> Layout:
    return read_and_resolve(FIXTURES / "hillside-lot" / "job.yaml").layout


@pytest.mark.parametrize("turn", [0.0, 0.3, math.pi / 4, 2.0, 4.5])
def test_who_stands_nearer_comes_later(turn: float) -> None:
    # Five strips of a T and a pad, as one walks toward them along the direction of sight.
    toward = (-math.sin(turn), math.cos(turn))
    across = (toward[1], -toward[0])

    def ring(left: float, near: float, right: float, far: float) -> tuple[tuple[float, float], ...]:
        corners = ((left, near), (right, near), (right, far), (left, far))
        return tuple(
            (a * across[0] + b * toward[0], a * across[1] + b * toward[1]) for a, b in corners
        )

    far, near, cross = ring(0, 10, 10, 11), ring(0, 0, 10, 1), ring(4, 1, 5, 10)
    pad, aside = ring(7, 4, 8, 5), ring(30, 5, 31, 6)
    order = back_to_front([pad, near, cross, far, aside], toward)
    assert sorted(order) == [0, 1, 2, 3, 4]
    place = {number: at for at, number in enumerate(order)}
    assert place[3] < place[2] < place[1]
    assert place[3] < place[0] < place[1]


def test_convex_shapes_always_have_an_order() -> None:
    rng = random.Random(5)
    # Slanting strips between the rungs of a ladder: no two share ground, many overlap in view.
    rings = []
    for i in range(12):
        for k in range(6):
            lean = rng.uniform(-0.8, 0.8)
            x, y = 3.0 * i, 3.0 * k
            rings.append(((x, y + 0.9), (x + 2.8, y + 0.9 + lean), (x + 2.8, y + 1.2 + lean),
                          (x, y + 1.2)))  # fmt: skip
    for turn in (0.0, 0.7, 1.9, 3.0, 5.1):
        order = back_to_front(rings, (math.cos(turn), math.sin(turn)))
        assert sorted(order) == list(range(len(rings)))


def test_a_low_thing_before_a_high_one_hides_its_foot_alone() -> None:
    view = IsometricView(toward=NORTH)
    faces = seen_faces([box("high", (0, 4), (2, 5), 2.0), box("low", (0, 0), (2, 4), 1.0)], view)
    tops = {each.names[0]: each for each in faces if each.side is FaceSide.TOP}
    fronts = {each.names[0]: each for each in faces if each.side is not FaceSide.TOP}
    assert set(tops) == {"high", "low"}
    # The riser of one metre is seen of the high one's front, at the low one's top.
    ys = [y for _, y in fronts["high"].ring]
    steep = math.asin(1 / math.sqrt(3))
    assert min(ys) == pytest.approx(4 * math.sin(steep) + math.cos(steep), abs=1e-5)
    assert max(ys) - min(ys) == pytest.approx(math.cos(steep), abs=1e-5)


def test_what_stands_behind_a_wall_is_not_drawn() -> None:
    view = IsometricView(toward=NORTH)
    wall, hidden = box("wall", (0, 0), (4, 1), 3.0), box("hidden", (1, 1.2), (2, 1.8), 1.0)
    assert {each.names for each in seen_faces([hidden, wall], view)} == {("wall",)}


def test_east_is_to_the_right_when_one_looks_north() -> None:
    view = IsometricView(toward=NORTH)
    west, east = view.seen((0.0, 0.0), 0.0), view.seen((1.0, 0.0), 0.0)
    assert east[0] - west[0] == pytest.approx(1.0)
    # Northward and upward both go up; a vertical metre shows as the cosine of 35 degrees 16'.
    assert view.seen((0.0, 1.0), 0.0)[1] == pytest.approx(1 / math.sqrt(3))
    assert view.seen((0.0, 0.0), 1.0)[1] == pytest.approx(math.sqrt(2 / 3))


def test_the_three_axes_of_a_cube_are_alike() -> None:
    # ISO 5456-3: in an isometric view the three edges of a cube are seen equally long, 120 degrees
    # apart.
    view = IsometricView(toward=(math.sqrt(0.5), math.sqrt(0.5)))
    origin = view.seen((0, 0), 0)
    edges = [view.seen((1, 0), 0), view.seen((0, 1), 0), view.seen((0, 0), 1)]
    lengths = [math.dist(origin, each) for each in edges]
    assert lengths == pytest.approx([lengths[0]] * 3)
    turns = sorted(math.degrees(math.atan2(y, x)) for x, y in edges)
    assert turns == pytest.approx([30.0, 90.0, 150.0])


def test_prisms_cover_the_footing_once(hillside: Layout) -> None:
    assert hillside.grade is not None
    prisms = footing_prisms(hillside.grade)
    shapes = [Polygon(each.ring) for each in prisms]
    whole = unary_union([Polygon(band.hull) for band in footing_bands(hillside.plan)[0]])
    assert sum(each.area for each in shapes) == pytest.approx(whole.area, abs=1e-4)
    assert unary_union(shapes).symmetric_difference(whole).area == pytest.approx(0.0, abs=1e-4)
    for shape, prism in zip(shapes, prisms, strict=True):
        assert shape.convex_hull.area == pytest.approx(shape.area, abs=1e-6)
        assert prism.bottom < prism.top


def test_under_a_higher_run_the_lower_footing_reaches_as_far_as_it_is_dug(
    hillside: Layout,
) -> None:
    graded = hillside.grade
    assert graded is not None
    wall = next(each for each in graded.walls if each.built)
    step = wall.built[0]
    middle = (step.step.station + step.dig_to) / 2
    spot = Spot(wall.strand.place(middle, 0.0))
    prism = next(each for each in footing_prisms(graded) if Polygon(each.ring).contains(spot))
    upper = max((level for level in wall.profile.levels), key=lambda each: -abs(
        each.bottom - step.step.upper))  # fmt: skip
    assert prism.top == pytest.approx(upper.top)
    assert prism.bottom == pytest.approx(step.step.lower)


def test_rays_meet_the_faces_that_are_drawn(hillside: Layout) -> None:
    """Lines of sight through random spots, followed through the solids one by one."""
    graded = hillside.grade
    assert graded is not None
    prisms = footing_prisms(graded)
    seen = seen_footing(hillside.plan, graded, stretch=3.0)
    shapes = [(Polygon(each.ring, each.holes), each) for each in seen.faces]
    bounds = unary_union([shape for shape, _ in shapes]).bounds
    rng, met, missed = random.Random(14), 0, 0
    for _ in range(1500):
        spot = (rng.uniform(bounds[0], bounds[2]), rng.uniform(bounds[1], bounds[3]))
        here = Spot(spot)
        if any(shape.exterior.distance(here) < 2e-3 or any(
            hole.distance(here) < 2e-3 for hole in shape.interiors
        ) for shape, _ in shapes):  # fmt: skip
            continue
        drawn = [face for shape, face in shapes if shape.contains(here)]
        hit = first_met(prisms, seen.view, spot)
        if hit is None:
            assert drawn == []
            missed += 1
            continue
        assert len(drawn) == 1
        level, is_top = hit
        assert (drawn[0].side is FaceSide.TOP) == is_top
        if is_top:
            assert drawn[0].level == pytest.approx(level, abs=1e-4)
        met += 1
    assert met > 100
    assert missed > 100


def first_met(
    prisms: tuple[Prism, ...], view: IsometricView, spot: tuple[float, float]
) -> tuple[float, bool] | None:
    """Follow a line of sight: at `away` along the view its elevation is linear."""
    steep = math.asin(1 / math.sqrt(3))
    across, up = spot
    right = (view.toward[1], -view.toward[0])
    best: tuple[float, float, bool] | None = None

    def level_at(away: float) -> float:
        return (up - away * math.sin(steep)) / math.cos(steep) / view.stretch + view.zero

    def away_at(level: float) -> float:
        return (up - (level - view.zero) * view.stretch * math.cos(steep)) / math.sin(steep)

    for prism in prisms:
        ring = [
            (x * right[0] + y * right[1], x * view.toward[0] + y * view.toward[1])
            for x, y in prism.ring
        ]
        crossed = []
        for (u1, v1), (u2, v2) in zip(ring, ring[1:] + ring[:1], strict=True):
            if (u1 <= across) != (u2 <= across):
                crossed.append(v1 + (across - u1) / (u2 - u1) * (v2 - v1))
        if len(crossed) < 2:
            continue
        near, far = min(crossed), max(crossed)
        # Coming from the viewer the line falls: it enters by the side at `near` or by the top.
        if level_at(near) <= prism.top:
            if level_at(near) < prism.bottom:
                continue
            entry, top = near, False
        else:
            entry, top = away_at(prism.top), True
            if entry > far:
                continue
        if best is None or entry < best[0]:
            best = (entry, prism.top, top)
    return None if best is None else best[1:]


def test_the_low_corner_is_the_one_dug_deepest(hillside: Layout) -> None:
    graded = hillside.grade
    assert graded is not None
    name, toward = low_corner(hillside.plan, graded)
    digs = {each.name: each.dig for each in graded.stakes if each.kind == "corner"}
    assert digs[name] == min(digs.values())
    # One looks into the building: its middle lies ahead of the corner.
    corners = {c.name: c.point for b in hillside.plan.buildings for c in b.corners}
    middle = [sum(each) / len(corners) for each in zip(*corners.values(), strict=True)]
    ahead = [middle[i] - corners[name][i] for i in (0, 1)]
    assert ahead[0] * toward[0] + ahead[1] * toward[1] > 0
    assert math.hypot(*toward) == pytest.approx(1.0)
