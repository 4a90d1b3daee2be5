"""Clearances against a polygon library and against distances a child could tape."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from staking.footing.bands_and_outlines import Outline
from staking.kinds import LotPart
from staking.lines import crossed_pair
from staking.plan import Building, Corner, Existing, Footing, Plan, Wall
from staking.site.clearance import (
    Lot,
    beyond,
    building_parts,
    clearance_notices,
    clearances,
    eave_ring,
    least_distances,
)
from staking.site.site_results import Placement

LOT = np.array([[0.0, 0.0], [50.0, 0.0], [50.0, 40.0], [0.0, 40.0]])
STILL = Placement(turn=0.0, x0=0.0, y0=0.0, easting0=0.0, northing0=0.0)


def near(value: float) -> object:
    return pytest.approx(value, rel=0, abs=1e-9)


def building(points: list[tuple[float, float]], existing: int | None = None) -> Building:
    footing = Footing(width=0.5, thickness=0.25, outside=0.15)
    names = "ABCDEFGH"[: len(points)]
    return Building(
        name=None,
        corners=tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True)),
        walls=tuple(
            Wall(
                start=n,
                end=names[(i + 1) % len(names)],
                thickness=0.2,
                footing=footing,
                existing=Existing() if i == existing else None,
            )
            for i, n in enumerate(names)
        ),
    )


def box(x: float, y: float, width: float = 10.0, depth: float = 8.0) -> np.ndarray:
    return np.array([[x, y], [x + width, y], [x + width, y + depth], [x, y + depth]])


def test_distance_to_each_line_of_a_square_lot():
    least, at = least_distances(box(5, 7), LOT)
    assert least.tolist() == pytest.approx([7, 35, 25, 5], rel=0, abs=1e-9)
    assert at[0, 1] == near(7)
    assert at[1, 0] == near(15)


def test_a_boundary_that_runs_the_other_way_round_gives_the_same_distances():
    forward, _ = least_distances(box(5, -2), LOT)
    backward, _ = least_distances(box(5, -2), LOT[::-1])
    # Lines 0..3 become 2, 1, 0, 3 when the points are reversed.
    assert backward[[2, 1, 0, 3]].tolist() == pytest.approx(forward.tolist(), rel=0, abs=1e-9)


@pytest.mark.parametrize(
    ("y", "expected"), [(-3.0, -3.0), (0.0, 0.0), (-20.0, -20.0), (-0.001, -0.001)]
)
def test_over_the_line_is_negative_and_square_to_it(y: float, expected: float):
    least, at = least_distances(box(5, y), LOT)
    assert least[0] == near(expected)
    assert at[0, 1] == near(y)


def test_a_building_over_the_corner_of_a_lot_is_over_both_lines():
    least, _ = least_distances(box(-2, -1), LOT)
    assert (least[0], least[3]) == (near(-1), near(-2))


def test_an_inward_corner_of_the_lot_that_pokes_into_the_building_is_over():
    # The lot goes round a neighbour whose corner (10, 10) stands inside the building.
    lot = np.array([[0, 0], [30, 0], [30, 10], [10, 10], [10, 30], [0, 30]], dtype=float)
    least, _ = least_distances(box(4, 4, 7, 9), lot)
    # The building reaches 1 past x = 10, above y = 10, and 3 past y = 10, right of x = 10.
    assert (least[3], least[2]) == (near(-1), near(-3))
    assert least[0] == near(4)


def test_a_boundary_point_beside_the_middle_of_a_wall_is_the_nearest_place():
    lot = np.array([[-20, -20], [20, -20], [3, 5], [20, 30], [-20, 30]], dtype=float)
    least, at = least_distances(np.array([[-8.0, 0], [0, 0], [0, 10], [-8, 10]]), lot)
    assert least[1] == near(3)
    assert at[1].tolist() == pytest.approx([0, 5], rel=0, abs=1e-9)


def test_random_shapes_within_a_lot_agree_with_a_polygon_library():
    numbers = np.random.default_rng(20)
    for _ in range(100):
        angles = np.sort(numbers.uniform(0, 2 * math.pi, 7))
        ring = np.stack((np.cos(angles), np.sin(angles)), axis=1) * numbers.uniform(2, 9, (7, 1))
        turns = np.linspace(0, 2 * math.pi, 9)[:-1]
        lot = np.stack((np.cos(turns), np.sin(turns)), axis=1) * numbers.uniform(13, 30, (8, 1))
        whole = shapely.LinearRing(ring)
        expected = [
            whole.distance(shapely.LineString([lot[i], lot[(i + 1) % 8]])) for i in range(8)
        ]
        least, at = least_distances(ring, lot)
        assert least.tolist() == pytest.approx(expected, rel=0, abs=1e-9)
        assert max(whole.distance(shapely.Point(each)) for each in at) < 1e-9


def test_eaves_are_the_outline_grown_with_mitred_corners():
    points = [(0, 0), (12, 0), (12, 5), (7, 5), (7, 9), (0, 9)]
    ring = eave_ring(building(points), 0.6)
    grown = shapely.Polygon(points).buffer(0.6, join_style="mitre")
    assert shapely.Polygon(ring).symmetric_difference(grown).area < 1e-9
    backward = eave_ring(building(points[::-1]), 0.6)
    assert shapely.Polygon(backward).symmetric_difference(grown).area < 1e-9


def test_there_are_no_eaves_along_a_standing_building():
    ring = eave_ring(building([(0, 0), (12, 0), (12, 5), (0, 5)], existing=3), 0.5)
    assert ring[:, 0].min() == near(0)
    assert ring[:, 0].max() == near(12.5)


def test_eave_wall_and_footing_are_judged_each_against_the_setback_of_its_line():
    plan = Plan(job="x", buildings=(building([(5, 3), (15, 3), (15, 9), (5, 9)]),))
    footing = Outline(
        outlines=(((4.85, 2.85), (15.15, 2.85), (15.15, 9.15), (4.85, 9.15)),), holes=(), area=0.0
    )
    lot = Lot(names=("1", "2", "3", "4"), points=LOT)
    found = clearances(lot, building_parts(plan, footing, 0.5), {("2", "1"): 2.9}, 5.0, STILL)
    south = {each.what: each for each in found if each.line == "1-2"}
    assert [south[w].distance for w in ("eave", "wall", "footing")] == [
        near(2.5),
        near(3.0),
        near(2.85),
    ]
    assert [south[w].ok for w in ("eave", "wall", "footing")] == [False, True, False]
    assert {each.setback for each in found if each.line != "1-2"} == {5.0}
    west = [each for each in found if each.line == "4-1" and each.what == "wall"]
    assert west[0].ok
    assert [told.kind for told in clearance_notices(found)] == ["setback"] * 4


def test_over_the_boundary_is_broken_even_where_no_setback_is_asked_for():
    plan = Plan(job="x", buildings=(building([(5, -1), (15, -1), (15, 9), (5, 9)]),))
    lot = Lot(names=("1", "2", "3", "4"), points=LOT)
    parts = {
        LotPart.WALL: building_parts(plan, Outline(outlines=(), holes=(), area=0.0), 0)[
            LotPart.WALL
        ]
    }
    found = clearances(lot, parts, {}, None, STILL)
    assert [each.ok for each in found] == [False, True, True, True]
    assert [told.kind for told in clearance_notices(found)] == ["over-boundary"]


def test_stakes_on_the_neighbours_land_are_named_with_how_far():
    lot = Lot(names=("1", "2", "3", "4"), points=LOT)
    found = beyond(lot, {"board 1": [(1, 1), (1, -0.5)], "hub": [(5, 5)], "board 2": [(52, 3)]})
    assert found == (("board 1", near(0.5), "1-2"), ("board 2", near(2), "2-3"))
    assert beyond(lot, {}) == ()


def test_a_boundary_in_the_wrong_order_crosses_itself():
    assert crossed_pair(LOT) is None
    assert crossed_pair(LOT[[0, 2, 1, 3]]) == (0, 2)
