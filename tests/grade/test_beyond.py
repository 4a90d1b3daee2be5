"""Ground beyond what was surveyed or read, taken from the nearest where the job asks for it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator

from staking.errors import ComputationError
from staking.grade.setting_out.cut_and_fill import beyond_notices
from staking.grade.stepping.cells import Patch
from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.beyond import nearest_on
from staking.grade.terrain.given_surface import ground_of_faces
from staking.grade.terrain.ground_readings import ground_from_readings
from staking.grade.terrain.surveyed_ground import surveyed_ground
from staking.layout.layout_parts import Hub
from tests.grade import slopes

FOOT = 0.3048
# Invented: a square of ground falling a tenth eastward, its points a metre apart.
GRID = np.array([(x, y) for x in range(9) for y in range(9)], dtype=float)
FALL = 30 - GRID[:, 0] / 10


def box(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def test_ground_past_the_survey_is_as_high_as_the_nearest_and_said() -> None:
    ring = box(6.0, 3.0, 10.0, 5.0)
    ground = surveyed_ground(GRID, FALL, [ring], nearest=True)
    places = np.array([(7.0, 4.0), (8.0, 4.0), (9.5, 4.0), (10.0, 3.0)])
    assert ground.at(places) == pytest.approx([29.3, 29.2, 29.2, 29.2], rel=0, abs=1e-9)
    (told,) = ground.notices
    assert told.kind == "ground-beyond"
    assert dict(told.values)["reach"].metres == pytest.approx(2.0, abs=1e-9)  # type: ignore[union-attr]
    assert ground.is_beyond(places).tolist() == [False, False, True, True]


def test_round_a_corner_of_the_survey_the_corner_is_the_nearest() -> None:
    heights = FALL + GRID[:, 1] / 5
    ring = box(7.0, 7.0, 12.0, 11.0)
    ground = surveyed_ground(GRID, heights, [ring], nearest=True)
    corner = 30 - 0.8 + 1.6
    patch = Patch(wall="A-B", start=0, end=1, ring=box(8.5, 8.5, 12.0, 11.0))
    assert ground.lowest([patch]) == pytest.approx([corner], rel=0, abs=1e-9)
    assert ground.highest([patch]) == pytest.approx([corner], rel=0, abs=1e-9)
    assert ground.at(np.array([(40.0, 50.0), (7.5, 30.0)])) == pytest.approx(
        [corner, 30 - 0.75 + 1.6], rel=0, abs=1e-9
    )


@pytest.mark.parametrize("seed", range(6))
def test_every_place_is_as_high_as_the_nearest_on_the_hull(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = rng.uniform(0, 20, (60, 2))
    heights = 50 + points @ rng.uniform(-0.2, 0.2, 2) + rng.uniform(0, 0.4, 60)
    ring = box(12.0, -4.0, 26.0, 9.0)
    ground = surveyed_ground(points, heights, [ring], nearest=True)
    inside = LinearNDInterpolator(points, heights)
    assert ground.hull is not None
    places = rng.uniform((12, -4), (26, 9), (400, 2))
    expected = inside(places)
    # Along the hull's sides the height runs straight from corner to corner.
    at = {tuple(point): height for point, height in zip(points, heights, strict=True)}
    corners = ground.hull
    for k in np.flatnonzero(np.isnan(expected)).tolist():
        best = np.inf
        for i in range(len(corners)):
            a, b = corners[i - 1], corners[i]
            share = min(max(float((places[k] - a) @ (b - a) / ((b - a) @ (b - a))), 0.0), 1.0)
            off = float(np.hypot(*(a + share * (b - a) - places[k])))
            if off < best:
                best = off
                expected[k] = (1 - share) * at[tuple(a)] + share * at[tuple(b)]
    assert ground.at(places) == pytest.approx(expected, rel=0, abs=1e-7)


def test_without_being_asked_nothing_is_carried_on() -> None:
    ring = box(6.0, 3.0, 10.0, 5.0)
    with pytest.raises(ComputationError, match=r"2\.00 m\) outside .* beyond: nearest"):
        surveyed_ground(GRID, FALL, [ring])
    inside = surveyed_ground(GRID, FALL, [box(2.0, 2.0, 6.0, 5.0)])
    assert np.isnan(inside.at(np.array([(9.0, 4.0)]))).all()
    assert not inside.is_beyond(np.array([(9.0, 4.0)])).any()


def test_a_given_surface_is_carried_on_past_its_edge_but_not_over_a_bay() -> None:
    vertices = np.array([(0.0, 0, 10), (8, 0, 9), (8, 6, 9), (0, 6, 10)])
    faces = np.array([(0, 1, 2), (0, 2, 3)])
    ring = box(6.0, 1.0, 9.0, 4.0)
    ground = ground_of_faces(vertices, faces, [ring], nearest=True)
    assert ground.at(np.array([(9.0, 3.0), (60.0, 3.0)])) == pytest.approx([9, 9], abs=1e-9)
    assert [one.kind for one in ground.notices] == ["ground-beyond"]
    # The north-east quarter of a square is missing: a bay, in which two sides are as near.
    corners = np.array([(x, y, 9.0) for x in (0, 4, 8) for y in (0, 4, 8)])
    quarters = [(0, 3, 4), (0, 4, 1), (3, 6, 7), (3, 7, 4), (1, 4, 5), (1, 5, 2)]
    with pytest.raises(ComputationError, match=r"outside the surface; .* at the corners$"):
        ground_of_faces(corners, np.array(quarters), [box(3.0, 3.0, 5.0, 5.0)], nearest=True)


def test_readings_are_carried_on_to_boards_and_hubs_and_these_are_named() -> None:
    network = build_network(slopes.outline(slopes.rectangle(24, 16)))
    corners = {"A": 10.0, "B": 9.0, "C": 9.0, "D": 10.0}
    hub = Hub(corner="B", wall="A-B", x=26 * FOOT, y=0.0)
    near = Hub(corner="A", wall="A-B", x=2 * FOOT, y=0.0)
    plain, _ = ground_from_readings(network, corners)
    assert np.isnan(plain.at(np.array([(hub.x, hub.y)]))).all()
    assert beyond_notices(plain, [], [hub]) == []
    ground, _ = ground_from_readings(network, corners, nearest=True)
    assert ground.at(np.array([(hub.x, hub.y)])) == pytest.approx([9.0], abs=1e-9)
    (told,) = beyond_notices(ground, [], [hub, near])
    assert dict(told.values)["names"] == "the hub of B on A-B"


def test_the_nearest_on_a_square_is_square_to_its_side_or_at_its_corner() -> None:
    square = np.array(box(0.0, 0.0, 2.0, 2.0))
    found = nearest_on(square, np.array([(1.0, -3.0), (5.0, 6.0), (1.9, 1.0)]))
    assert found.tolist() == [[1.0, 0.0], [2.0, 2.0], [2.0, 1.0]]
