"""Fill under a slab, and in the trench inside the walls, against sums on fine grids."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay
from shapely import Polygon, contains_xy, difference
from shapely.geometry import LineString
from shapely.ops import unary_union

from staking.grade.stepping.wall_network import build_network
from staking.grade.terrain.surface import GroundSurface
from staking.grade.terrain.volume import level_facets, surface_facets
from staking.kinds import FillKind
from staking.order.dig import dug_out
from staking.order.hauled.put_back import InsideLevel
from staking.order.order_request import FillAsked
from staking.order.under_slab.bought_fill import BoughtFill
from staking.order.under_slab.fill_notices import fill_notices, unused_notices
from staking.order.under_slab.slab_fill import slab_fill
from staking.order.wall_levels import flat_levels
from staking.plan import Dig, InteriorLine, Plan, Slab
from tests.order import jobs

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3
SAND = FillAsked()

ELL = [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]
TEE = [(0, 0), (30, 0), (30, 14), (20, 14), (20, 30), (10, 30), (10, 14), (0, 14)]
YOU = [(0, 0), (36, 0), (36, 30), (26, 30), (26, 12), (10, 12), (10, 30), (0, 30)]
JOG = [(0, 0), (28, 0), (28, 18), (12, 18), (12, 18.5), (0, 18.5)]
BOX = [(0, 0), (36, 0), (36, 24), (0, 24)]


def turned(points: list[tuple[float, float]], degrees: float) -> list[tuple[float, float]]:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [(c * x - s * y, s * x + c * y) for x, y in points]


def ground(seed: int, rise: tuple[float, float], rough: float, count: int = 150) -> GroundSurface:
    """Invented ground in a square of 40 m, in its own triangles: a fall, waves and chance."""
    random = np.random.default_rng(seed)
    at = random.uniform(-20.0, 20.0, (count, 2))
    at = np.vstack((at, [(-21, -21), (21, -21), (21, 21), (-21, 21)]))
    high = 30.0 + at @ np.array(rise) + rough * np.sin(at[:, 0] / 2.3) * np.cos(at[:, 1] / 1.7)
    high += random.uniform(-rough, rough, len(at)) / 2
    return GroundSurface(at, high, Delaunay(at).simplices)


def with_slab(points: list[tuple[float, float]], **options: object) -> Plan:
    # Underside of the stone at 30 m.
    plan = jobs.building(points, **options)  # type: ignore[arg-type]
    return replace(plan, slab=Slab(top=30.2, thickness=0.1, base=0.1))


GROUNDS = {
    "falls one way": (with_slab(BOX), ground(1, (-0.05, 0.0), 0.0)),
    "falls across": (with_slab(BOX), ground(2, (0.0, -0.12), 0.1)),
    "an L on a hillside": (with_slab(ELL), ground(3, (0.08, -0.03), 0.2)),
    "a T over a dip": (with_slab(TEE), ground(4, (0.0, 0.0), 0.6)),
    "a U, half of it in the hill": (with_slab(YOU), ground(5, (0.06, 0.0), 0.4)),
    "a jog of six inches": (with_slab(JOG), ground(6, (-0.1, 0.02), 0.3)),
    "walked clockwise": (with_slab(ELL[::-1]), ground(7, (-0.04, 0.09), 0.5)),
    "turned by 17 degrees": (with_slab(turned(ELL, 17)), ground(8, (0.1, 0.1), 0.2)),
    "rough, of a thousand points": (with_slab(YOU), ground(9, (-0.15, 0.0), 0.8, 1000)),
    "an interior wall": (
        with_slab(
            BOX,
            interior=[
                InteriorLine(
                    name="G",
                    start_on="A-B",
                    end_on="C-D",
                    start=(14 * FOOT, 0.0),
                    end=(14 * FOOT, 24 * FOOT),
                    thickness=8 * INCH,
                    footing=jobs.footing(16, 8),
                )
            ],
        ),
        ground(10, (-0.03, -0.08), 0.3),
    ),
}


def floor_of(plan: Plan) -> Polygon:
    """The floor by another way than the order's: the outline shrunk by its wall, less lines."""
    home = Polygon([(c.x, c.y) for c in plan.buildings[0].corners])
    floor = home.buffer(-8 * INCH, join_style="mitre")
    lines = [
        LineString([line.start, line.end]).buffer(line.thickness / 2, cap_style="flat")
        for line in plan.interior
    ]
    return difference(floor, unary_union(lines)) if lines else floor


def cells_of(shape: Polygon, step: float) -> tuple[np.ndarray, float]:
    """The middles of the cells that part the box round a shape evenly, and a cell's area."""
    x0, y0, x1, y1 = shape.bounds
    nx, ny = math.ceil((x1 - x0) / step), math.ceil((y1 - y0) / step)
    xs = x0 + (np.arange(nx) + 0.5) * (x1 - x0) / nx
    ys = y0 + (np.arange(ny) + 0.5) * (y1 - y0) / ny
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    return grid, (x1 - x0) * (y1 - y0) / (nx * ny)


def heights_on(shape: Polygon, surface: GroundSurface, step: float) -> tuple[np.ndarray, float]:
    """The ground's height in the middle of every cell within a shape, and a cell's area."""
    grid, cell = cells_of(shape, step)
    grid = grid[contains_xy(shape, grid[:, 0], grid[:, 1])]
    triangles = Delaunay(surface.points)
    return LinearNDInterpolator(triangles, surface.elevations)(grid), cell


@pytest.mark.parametrize("name", GROUNDS)
def test_fill_is_what_a_fine_grid_finds(name: str) -> None:
    plan, surface = GROUNDS[name]
    strip, spoil = 0.15, 0.2
    floor = floor_of(plan)
    found = slab_fill(jobs.in_ground(plan), surface_facets(surface), strip, FillAsked(spoil=spoil))
    assert found is not None
    heights, cell = heights_on(floor, surface, 0.01)
    depth = 30.0 - (heights - strip)
    # The grid's cells at the edges weigh as much as they cover on average.
    share = floor.area / (len(depth) * cell)
    deep = np.maximum(depth, 0.0)
    assert found.floor == pytest.approx(floor.area, rel=0, abs=1e-6)
    assert found.known == pytest.approx(floor.area, rel=0, abs=1e-6)
    assert found.volume == pytest.approx(deep.sum() * cell * share, rel=0.001, abs=0)
    # Of that the lowest 200 mm is earth.
    earth = np.minimum(deep, spoil).sum() * cell * share
    assert found.earth == pytest.approx(earth, rel=0.001, abs=0)
    assert found.granular == pytest.approx(found.volume - earth, rel=0.001, abs=1e-3)
    assert found.deepest == pytest.approx(max(0.0, depth.max()), rel=0, abs=0.02)
    assert found.highest == pytest.approx(max(0.0, -depth.min()), rel=0, abs=0.02)
    for area, over in ((found.over_granular, 24 * INCH), (floor.area - found.standing, 0.0)):
        on_grid = float((depth > over).sum()) * cell * share
        assert area == pytest.approx(on_grid, rel=0, abs=0.002 * floor.area)


def test_the_notch_of_a_u_is_not_its_floor() -> None:
    # Level ground 1 m down, and a pit in the notch between the wings, which no floor covers.
    corners = [(-30, -30), (30, -30), (30, 30), (-30, 30)]
    around = [(12, 14), (24, 14), (24, 28), (12, 28), (18, 20)]
    points = np.array([*corners, *((x * FOOT, y * FOOT) for x, y in around)])
    high = np.array([29.0] * 8 + [20.0])
    surface = GroundSurface(points, high, Delaunay(points).simplices)
    found = slab_fill(jobs.in_ground(with_slab(YOU)), surface_facets(surface), 0.0, SAND)
    assert found is not None
    assert found.deepest == pytest.approx(1.0, rel=0, abs=1e-9)
    assert found.volume == pytest.approx(found.floor, rel=0, abs=1e-6)


def test_fill_on_a_plane() -> None:
    # Ground 99' - x/20 under a floor of 34' 8" by 22' 8", to 100': 785.7778 sq ft, 1.9' deep on
    # average, 1,492.98 cu ft; deeper than 24" from x = 20' to the wall at 35' 4".
    plan = replace(
        jobs.rectangle(36, 24), slab=Slab(top=100 * FOOT + 8 * INCH, thickness=0.1016, base=0.1016)
    )
    points = np.array([(-20.0, -20.0), (30.0, -20.0), (30.0, 30.0), (-20.0, 30.0)])
    surface = GroundSurface(points, 99 * FOOT - points[:, 0] / 20, Delaunay(points).simplices)
    for strip, yards in ((0.0, 55.2955), (0.5, 69.8469)):
        found = slab_fill(jobs.in_ground(plan), surface_facets(surface), strip * FOOT, SAND)
        assert found is not None
        assert found.volume / YARD3 == pytest.approx(yards, rel=0, abs=5e-5)
        assert found.mean / FOOT == pytest.approx(1.9 + strip, rel=0, abs=1e-9)
        assert found.floor / FOOT**2 == pytest.approx(785.7778, rel=0, abs=5e-5)
        if not strip:
            assert found.over_granular / FOOT**2 == pytest.approx(347.556, rel=0, abs=5e-4)


def test_earth_fills_no_more_than_there_is() -> None:
    # 4" of earth all over where the fill is deeper than that; none where none is asked.
    plan = replace(jobs.rectangle(36, 24), slab=Slab(top=1.0, thickness=0.1, base=0.1))
    asked = FillAsked(kind=FillKind.GRAVEL, loose=0.21, spoil=4 * INCH)
    found = slab_fill(jobs.in_ground(plan), level_facets(0.0), 0.0, asked)
    assert found is not None
    assert found.earth == pytest.approx(found.floor * 4 * INCH, rel=0, abs=1e-9)
    assert found.earth_in_place == pytest.approx(found.earth / 0.9, rel=0, abs=1e-9)
    shallow = replace(plan, slab=Slab(top=0.25, thickness=0.1, base=0.1))
    found = slab_fill(jobs.in_ground(shallow), level_facets(0.0), 0.0, asked)
    assert found is not None
    assert found.granular == pytest.approx(0.0, rel=0, abs=1e-9)


def test_fill_that_fills_nothing_is_said() -> None:
    asked = FillAsked(spoil=4 * INCH)
    unknown = BoughtFill(asked=asked, slab=None, trench=None, held=(), truck=1.0)
    assert [each.kind for each in fill_notices(unknown)] == ["spoil-unused"]
    assert [each.kind for each in unused_notices(asked, slab=False)] == ["fill-unused"]
    assert unused_notices(asked, slab=True) == unused_notices(FillAsked(), slab=False) == ()


def test_without_a_level_there_is_no_fill() -> None:
    plan = jobs.rectangle(36, 24)
    assert slab_fill(jobs.in_ground(plan), level_facets(0.0), 0.0, SAND) is None
    no_top = replace(plan, slab=Slab(top=None, thickness=0.1, base=0.1))
    assert slab_fill(jobs.in_ground(no_top), level_facets(0.0), 0.0, SAND) is None


@pytest.mark.parametrize("under", [29.5, 30.0, 31.0])
def test_the_trench_inside_is_what_a_fine_grid_finds(under: float) -> None:
    # A trench with sloping sides round a rectangle in rough ground, filled inside the walls up to
    # the ground less its topsoil, or to the slab's stone where that is lower.
    plan, surface = with_slab(BOX), ground(11, (0.02, -0.03), 0.2)
    dig = Dig(depth=1.2, bank=0.5, base=0.1)
    levels = flat_levels(plan, build_network(plan), dig, None)
    levels = replace(
        levels,
        stretches=tuple(
            replace(run, top=run.top + 30, bottom=run.bottom + 30, dig=run.dig + 30)
            for run in levels.stretches
        ),
    )
    facets = surface_facets(surface)
    strip = 0.15
    dug = dug_out(
        jobs.in_ground(plan, levels, dig),
        lambda _: facets,
        0.0,
        InsideLevel(under_stone=under, strip=strip),
    )
    part = dug.inside
    assert part is not None
    floor = floor_of(plan)
    grid, cell = cells_of(floor, 0.01)
    high = LinearNDInterpolator(Delaunay(surface.points), surface.elevations)(grid)
    # Inside the footing's inner edge, 14" in from the outline, the bank rises 1 for 1/2.
    edge = np.minimum.reduce([
        grid[:, 0],
        36 * FOOT - grid[:, 0],
        grid[:, 1],
        24 * FOOT - grid[:, 1],
    ])
    bottom = 28.8 + np.maximum(edge - 14 * INCH, 0.0) / 0.5
    filled = np.maximum(np.minimum(high - strip, under) - bottom, 0.0)
    assert part.dug == pytest.approx(filled.sum() * cell, rel=0.001, abs=0)
    # The footing reaches 6" inside the wall, all round: a ring of 34' 8" by 22' 8" outside.
    ring = (34 + 8 / 12) * (22 + 8 / 12) - (33 + 8 / 12) * (21 + 8 / 12)
    assert part.concrete == pytest.approx(ring * FOOT**2 * 10 * INCH, rel=0, abs=1e-6)
    assert part.stone == pytest.approx(ring * FOOT**2 * 0.1, rel=0, abs=1e-6)
