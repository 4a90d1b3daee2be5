"""Fill under a slab, and in the trench inside the walls, against sums on fine grids."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.interpolate import LinearNDInterpolator
from scipy.spatial import Delaunay

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
from staking.plan import Dig, Slab
from tests.order import jobs
from tests.order.slab_grounds import (
    BOX,
    GROUNDS,
    YOU,
    cells_of,
    floor_of,
    ground,
    heights_on,
    with_slab,
)

FOOT, INCH, YARD3 = jobs.FOOT, jobs.INCH, jobs.YARD3
SAND = FillAsked()


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
