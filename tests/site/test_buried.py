"""Hand digging along buried lines, against a polygon library with a finely cut buffer."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from staking.footing.bands_and_outlines import Band
from staking.kinds import FootingKind
from staking.plan import Building, Corner, Footing, InteriorLine, Pad, Plan, Wall
from staking.site.buried import hand_dig, stakes_near

FOOTING = Footing(width=0.6, thickness=0.25, outside=0.2)
WIDTH = 0.6


def plan() -> Plan:
    corners = tuple(
        Corner(name=n, x=x, y=y)
        for n, x, y in (("A", 0, 0), ("B", 12, 0), ("C", 12, 8), ("D", 0, 8))
    )
    walls = tuple(
        Wall(start=a, end=b, thickness=0.2, footing=FOOTING) for a, b in ("AB", "BC", "CD", "DA")
    )
    return Plan(
        job="x",
        buildings=(Building(name=None, corners=corners, walls=walls),),
        interior=(
            InteriorLine(
                name="G",
                start=(6.0, 0.0),
                end=(6.0, 8.0),
                start_on="A-B",
                end_on="C-D",
                thickness=0.2,
                footing=FOOTING,
            ),
        ),
        pads=(Pad(name="P", x=20, y=0, size=(2, 1), diameter=None, thickness=0.3),),
    )


BANDS = (
    Band(
        name="A-B",
        kind=FootingKind.WALL,
        hull=((-0.2, -0.2), (12.2, -0.2), (11.6, 0.4), (0.4, 0.4)),
    ),
    Band(
        name="C-D", kind=FootingKind.WALL, hull=((0.4, 7.6), (11.6, 7.6), (12.2, 8.2), (-0.2, 8.2))
    ),
    Band(name="P", kind=FootingKind.PAD, hull=((19, -0.5), (21, -0.5), (21, 0.5), (19, 0.5))),
)


def found(*points: tuple[float, float], width: float = WIDTH) -> list[tuple[str, float, float]]:
    stretches = hand_dig(plan(), BANDS, "gas", np.array(points, dtype=float), width)
    return [(each.wall, each.start, each.end) for each in stretches]


def test_a_line_square_across_a_wall_asks_for_its_width_each_side():
    assert found((3, -5), (3, 5)) == [
        ("A-B", pytest.approx(2.4, rel=0, abs=1e-9), pytest.approx(3.6, rel=0, abs=1e-9))
    ]


def test_stations_count_from_the_first_corner_of_the_wall_and_a_pad_from_its_edge():
    (stretch,) = found((3, 5), (3, 12))
    assert stretch == (
        "C-D",
        pytest.approx(8.4, rel=0, abs=1e-9),
        pytest.approx(9.6, rel=0, abs=1e-9),
    )
    (pad,) = found((20.5, -5), (20.5, 5), width=0.25)
    assert pad == ("P", pytest.approx(1.25, rel=0, abs=1e-9), pytest.approx(1.75, rel=0, abs=1e-9))


def test_a_line_that_ends_short_of_the_trench_reaches_into_it_by_an_arc():
    # Ends 0.5 m below the band's edge at y = -0.2; the circle of 0.6 cuts it at +-sqrt(0.11).
    half = math.sqrt(0.6**2 - 0.5**2)
    assert found((5, -9), (5, -0.7)) == [
        ("A-B", pytest.approx(5 - half, rel=0, abs=1e-9), pytest.approx(5 + half, rel=0, abs=1e-9))
    ]


def test_a_line_beside_the_trench_out_of_reach_asks_for_nothing():
    assert found((-5, -0.9), (15, -0.9), width=0.6) == []
    assert found((-5, -0.8), (15, -0.8), width=0.6) == []


def test_two_crossings_of_one_wall_are_two_stretches_and_overlapping_ones_are_one():
    twice = found((3, -5), (3, 5), (8, 5), (8, -5))
    assert [wall for wall, _, _ in twice] == ["A-B", "A-B"]
    once = found((3, -5), (3, 5), (3.5, 5), (3.5, -5))
    assert once == [
        ("A-B", pytest.approx(2.4, rel=0, abs=1e-9), pytest.approx(4.1, rel=0, abs=1e-9))
    ]


def test_random_lines_agree_with_a_polygon_library():
    numbers = np.random.default_rng(8)
    axes = {"A-B": (0.0, 1.0), "C-D": (12.0, -1.0), "P": (19.0, 1.0)}
    seen = 0
    for _ in range(60):
        line = numbers.uniform((-3, -3), (22, 10), (3, 2))
        buffer = shapely.union_all([
            shapely.LineString(line[i : i + 2]).buffer(WIDTH, quad_segs=2000) for i in range(2)
        ])
        got = hand_dig(plan(), BANDS, "gas", line, WIDTH)
        for band in BANDS:
            common = shapely.Polygon(band.hull).intersection(buffer)
            start, sign = axes[band.name]
            parts = sorted(
                sorted(((part.bounds[0] - start) * sign, (part.bounds[2] - start) * sign))
                for part in getattr(common, "geoms", [common])
                if not part.is_empty
            )
            merged: list[list[float]] = []
            for low, high in parts:
                if merged and low <= merged[-1][1]:
                    merged[-1][1] = max(merged[-1][1], high)
                else:
                    merged.append([low, high])
            mine = [[each.start, each.end] for each in got if each.wall == band.name]
            assert np.array(mine).shape == np.array(merged).shape
            if mine:
                seen += 1
                assert np.abs(np.array(mine) - np.array(merged)).max() < 1e-5
    assert seen > 30


def test_stakes_over_a_buried_line_are_named_once_with_the_least_distance():
    line = np.array([[0.0, 0.0], [10.0, 0.0]])
    stakes = [("board 1", (3.0, 0.5)), ("board 1", (3.0, -0.2)), ("hub", (3.0, 4.0))]
    assert stakes_near(line, 0.6, stakes) == (("board 1", pytest.approx(0.2, rel=0, abs=1e-12)),)
    assert stakes_near(line, 0.6, []) == ()
