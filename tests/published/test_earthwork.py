"""Volumes over triangles, and of profiles, against printed earthwork examples.

- Spot levels on a grid: by hand, the depth of a cell being the mean of its four corners'; no source
  beyond the arithmetic, which stands in each test.
- Wikibooks, Fundamentals of Transportation, Earthwork, solution: volumes by average end areas.
- G. L. Vose, Handbook of Railroad Construction, 1857, art. 108: end areas in whole square feet.
"""

from __future__ import annotations

import numpy as np
import pytest

from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.volume import surface_facets, volume_above

YARD = 0.9144
FOOT = 0.3048


def grid(levels: list[list[float]], across: float, down: float) -> GroundSurface:
    """A grid of spot levels, every cell as four triangles about its mean."""
    rows, columns = len(levels), len(levels[0])
    points = [(j * across, i * down) for i in range(rows) for j in range(columns)]
    heights = [level for row in levels for level in row]
    triangles = []
    for i in range(rows - 1):
        for j in range(columns - 1):
            ring = [i * columns + j, i * columns + j + 1]
            ring += [(i + 1) * columns + j + 1, (i + 1) * columns + j]
            middle = len(points)
            points.append(((j + 0.5) * across, (i + 0.5) * down))
            heights.append(sum(heights[k] for k in ring) / 4)
            triangles += [(a, b, middle) for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]
    return GroundSurface(np.array(points), np.array(heights), np.array(triangles))


def dug(surface: GroundSurface, level: float, ring: list[tuple[float, float]]) -> float:
    return volume_above([ring], surface_facets(surface), (0.0, 0.0, level))


def cell(i: int, j: int, across: float, down: float) -> list[tuple[float, float]]:
    x, y = j * across, i * down
    return [(x, y), (x + across, y), (x + across, y + down), (x, y + down)]


def test_spot_levels_dug_to_a_level() -> None:
    ground = grid(
        [[110.24, 112.15, 114.21], [112.96, 115.75, 116.32], [116.98, 120.03, 115.34]], 10, 10
    )
    # (110.24 + 112.15 + 112.96 + 115.75) / 4 - 100 = 12.775, and so on; times 100 m2 each
    means = [dug(ground, 100, cell(i, j, 10, 10)) / 100 for i in (0, 1) for j in (0, 1)]
    assert means == pytest.approx([12.775, 14.6075, 16.43, 16.86], abs=1e-9)
    whole = [(0.0, 0.0), (20.0, 0.0), (20.0, 20.0), (0.0, 20.0)]
    assert dug(ground, 100, whole) == pytest.approx(
        100 * (12.775 + 14.6075 + 16.43 + 16.86), abs=1e-6
    )


def test_fill_of_a_cell_in_cubic_yards() -> None:
    side, low = 50 * FOOT, [87.6 * FOOT, 87.6 * FOOT]
    ground = grid([low, [87.6 * FOOT, 88.6 * FOOT]], side, side)
    # The fill is what stands over the ground turned upside down.
    over = GroundSurface(ground.points, -ground.elevations, ground.triangles)
    fill = dug(over, -90 * FOOT, cell(0, 0, side, side)) / YARD**3
    # the mean of 2.4, 2.4, 2.4 and 1.4 ft is 2.15: 50 x 50 x 2.15 / 27 = 199.07
    assert fill == pytest.approx(2500 * 2.15 / 27, abs=1e-6)


def test_cut_less_fill_is_that_of_the_surface() -> None:
    levels = [[45.2, 48.5, 55.6], [47.3, 51.2, 56.6], [50, 53.2, 58.5]]
    ground = grid(levels, 15, 12)
    over = GroundSurface(ground.points, -ground.elevations, ground.triangles)
    # The mean of the corners less 50, times 15 x 12: 180 (48.05 - 50), 180 (52.975 - 50), ...
    net = [
        180 * (sum(four) / 4 - 50)
        for four in (
            (45.2, 48.5, 47.3, 51.2),
            (48.5, 55.6, 51.2, 56.6),
            (47.3, 51.2, 50, 53.2),
            (51.2, 56.6, 53.2, 58.5),
        )
    ]
    for (i, j), printed in zip([(0, 0), (0, 1), (1, 0), (1, 1)], net, strict=True):
        ring = cell(i, j, 15, 12)
        assert dug(ground, 50, ring) - dug(over, -50, ring) == pytest.approx(printed, abs=1e-6)


def test_a_triangular_prism() -> None:
    points = np.array([(0.0, 0.0), (12.0, 0.0), (0.0, 9.0)])
    ground = GroundSurface(points, np.array([1.0, 2.5, 0.4]), np.array([(0, 1, 2)]))
    triangle = [(0.0, 0.0), (12.0, 0.0), (0.0, 9.0)]
    # 12 x 9 / 2 = 54 m2, times the mean of 1.0, 2.5 and 0.4: 1.3
    assert dug(ground, 0.0, triangle) == pytest.approx(54 * 1.3, abs=1e-9)
    assert dug(ground, -1.0, triangle) == pytest.approx(54 * 2.3, abs=1e-9)


def profile(stations: list[float], heights: list[float]) -> GroundSurface:
    """A wall a metre wide whose height is the end area, straight from station to station."""
    count = len(stations)
    points = np.array([(s, y) for y in (0.0, 1.0) for s in stations])
    triangles = []
    for i in range(count - 1):
        triangles += [(i, i + 1, count + i + 1), (i, count + i + 1, count + i)]
    return GroundSurface(points, np.array(heights * 2), np.array(triangles))


def test_areas_under_a_profile_are_average_end_areas() -> None:
    stations = [0.0, 50, 75, 100, 115, 150]
    fill = profile(stations, [60.0, 50, 25, 5, 0, 0])
    # To station 100, where the printed solution takes averages: 2750, 937.5 and 375.
    parts = [(0, 50, 2750), (50, 75, 937.5), (75, 100, 375)]
    for start, end, printed in parts:
        ring = [(start, 0.0), (end, 0.0), (end, 1.0), (start, 1.0)]
        assert dug(fill, 0.0, ring) == pytest.approx(printed, abs=1e-9)
    cut = profile(stations, [0.0, 0, 0, 10, 15, 30])
    ring = [(100.0, 0.0), (150.0, 0.0), (150.0, 1.0), (100.0, 1.0)]
    assert dug(cut, 0.0, ring) == pytest.approx(187.5 + 787.5, abs=1e-9)


def test_the_volume_of_a_cutting_by_average_end_areas() -> None:
    # Base 20 ft, slopes 1.5 to 1, cuts of 0, 5, 10, 15 and 0 ft at 50 ft.
    areas = [20 * cut + 1.5 * cut * cut for cut in (0.0, 5.0, 10.0, 15.0, 0.0)]
    assert areas[1:4] == pytest.approx([137, 350, 637], abs=0.51)
    ground = profile([0.0, 50, 100, 150, 200], areas)
    whole = [(0.0, 0.0), (200.0, 0.0), (200.0, 1.0), (0.0, 1.0)]
    # Printed from areas in whole square feet: 56 200.
    assert dug(ground, 0.0, whole) == pytest.approx(56_200, abs=51)
