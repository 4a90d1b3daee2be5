"""What must not change a footing's area, and areas known another way."""

from __future__ import annotations

import importlib.util
import math
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.footing_outline import merge
from staking.plan import Dig


def _load_strategies():
    """The neighbouring module, which no import path leads to."""
    if "plan_strategies" not in sys.modules:
        path = Path(__file__).with_name("strategies.py")
        spec = importlib.util.spec_from_file_location("plan_strategies", path)
        module = importlib.util.module_from_spec(spec)
        sys.modules["plan_strategies"] = module
        spec.loader.exec_module(module)
    return sys.modules["plan_strategies"]


strategies = _load_strategies()
EVERYTHING = strategies.plans(existing=True)


def area(plan):
    return merge(footing_bands(plan)[0]).area


@settings(max_examples=150, deadline=None)
@given(EVERYTHING, strategies.TURNS, strategies.SHIFTS, st.booleans())
def test_turn_shift_and_mirror_change_no_area(plan, turn, shift, mirror):
    moved = strategies.transform_plan(plan, turn, shift, mirror)
    assert area(moved) == pytest.approx(area(plan), rel=0, abs=1e-6)


def assert_same_corners(rings, others):
    points = [np.array([point for ring in each for point in ring]) for each in (rings, others)]
    assert len(points[0]) == len(points[1])
    if len(points[0]):
        apart = np.hypot(*(points[0][:, None, :] - points[1][None, :, :]).T)
        assert apart.min(axis=0).max() < 1e-6
        assert apart.min(axis=1).max() < 1e-6


@settings(max_examples=150, deadline=None)
@given(EVERYTHING)
def test_walking_the_outline_the_other_way_changes_nothing(plan):
    here = merge(footing_bands(plan)[0])
    there = merge(footing_bands(strategies.reverse_plan(plan))[0])
    assert there.area == pytest.approx(here.area, rel=0, abs=1e-9)
    # Where two parts touch in one point, rounding decides whether one ring passes it twice or
    # two rings meet there; the corners are the same either way.
    for ours, others in ((here.outlines, there.outlines), (here.holes, there.holes)):
        assert_same_corners(ours, others)


@settings(max_examples=100, deadline=None)
@given(
    strategies.plans(strategies.rectangle_points(), varied=False, inside=False),
    strategies.inches(12, 60),
    st.floats(0.0, 1.0),
)
def test_a_rectangle_is_its_outer_less_its_inner_rectangle(plan, width, share):
    (building,) = plan.buildings
    outside = share * width
    walls = tuple(
        replace(wall, footing=strategies.make_footing(width, wall.thickness, outside))
        for wall in building.walls
    )
    a, b, c, _ = (corner.point for corner in building.corners)
    w, d = math.dist(a, b), math.dist(b, c)
    inside = width - outside
    outer = (w + 2 * outside) * (d + 2 * outside)
    inner = max(w - 2 * inside, 0.0) * max(d - 2 * inside, 0.0)
    made = replace(plan, buildings=(replace(building, walls=walls),))
    assert area(made) == pytest.approx(outer - inner, rel=0, abs=1e-8)


@settings(max_examples=100, deadline=None)
@given(
    strategies.plans(strategies.rectangle_points(), varied=False),
    st.floats(0.0, 0.6),
    st.floats(0.0, 1.5),
    st.floats(0.0, 1.2),
)
def test_the_dig_holds_the_footing(plan, overdig, bucket, bank):
    dig = Dig(overdig=overdig, bucket=bucket, bank=bank, depth=1.0)
    footing, dug = footing_bands(plan)[0], dig_bands(plan, dig)[0]
    small = shapely.union_all([shapely.Polygon(band.hull) for band in footing])
    large = shapely.union_all([shapely.Polygon(band.hull) for band in dug])
    assert large.buffer(1e-6).covers(small)


@settings(max_examples=150, deadline=None)
@given(EVERYTHING)
def test_hulls_are_anticlockwise_and_convex_and_rings_are_turned_right(plan):
    bands, _ = footing_bands(plan)
    for band in bands:
        polygon = shapely.Polygon(band.hull)
        assert polygon.exterior.is_ccw
        assert polygon.convex_hull.area == pytest.approx(polygon.area, rel=0, abs=1e-8)
    outline = merge(bands)
    assert all(shapely.LinearRing(ring).is_ccw for ring in outline.outlines)
    assert not any(shapely.LinearRing(ring).is_ccw for ring in outline.holes)
    union = shapely.union_all([shapely.Polygon(band.hull) for band in bands])
    assert outline.area == pytest.approx(union.area, rel=0, abs=1e-5)


@settings(max_examples=150, deadline=None)
@given(strategies.plans(inside=False))
def test_no_seam_between_two_bands_is_open(plan):
    """A disc about a corner that reaches no farther than the narrowest footing is covered."""
    outline = merge(footing_bands(plan)[0])
    assert len(outline.outlines) == 1
    ground = shapely.Polygon(outline.outlines[0], outline.holes).buffer(1e-6)
    (building,) = plan.buildings
    footings = [wall.footing for wall in building.walls]
    radius = min(min(f.outside, f.width - f.outside) for f in footings)
    for corner in building.corners:
        assert ground.covers(shapely.Point(corner.point).buffer(max(radius, 1e-7)))
