"""Invented grounds under buildings with a slab, and what a fine grid finds over their floors."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay
from shapely import Polygon, contains_xy, difference
from shapely.geometry import LineString
from shapely.ops import unary_union

from staking.grade.terrain.surface import GroundSurface
from staking.plan import InteriorLine, Plan, Slab
from tests.order import jobs

FOOT, INCH = jobs.FOOT, jobs.INCH
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
