"""The footing outline: rings, holes, area. Expected values worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.bands_and_outlines import Band
from staking.footing.footing_outline import merge
from staking.kinds import FootingKind
from staking.plan import (
    Building,
    Corner,
    Dig,
    Existing,
    Footing,
    InteriorLine,
    Pad,
    Plan,
    Wall,
)

INCH = 0.0254
FOOT = 12 * INCH


def building(points, sizes=None, existing=()):
    """Corners in m; footing (width, outside), m, by wall position where not 20 in and 6 in."""
    names = "ABCDEFGH"[: len(points)]
    walls = []
    for i, name in enumerate(names):
        width, outside = (sizes or {}).get(i, (20 * INCH, 6 * INCH))
        walls.append(
            Wall(
                start=name,
                end=names[(i + 1) % len(names)],
                thickness=8 * INCH,
                footing=Footing(width=width, thickness=10 * INCH, outside=outside),
                existing=Existing() if i in existing else None,
            )
        )
    corners = tuple(Corner(name=n, x=x, y=y) for n, (x, y) in zip(names, points, strict=True))
    return Building(name=None, corners=corners, walls=tuple(walls))


def outline_of(points, sizes=None, existing=()):
    plan = Plan(job="t", buildings=(building(points, sizes, existing),))
    return merge(footing_bands(plan)[0])


def workshop() -> Plan:
    """An invented L-shaped workshop, 36' x 32' over all, with a line inside and a pad."""
    feet = [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)]
    line = InteriorLine(
        name="G",
        start=(14 * FOOT, 0.0),
        end=(14 * FOOT, 32 * FOOT),
        start_on="A-B",
        end_on="E-F",
        thickness=8 * INCH,
        footing=Footing(width=16 * INCH, thickness=8 * INCH, outside=4 * INCH),
    )
    pad = Pad(
        name="P1",
        x=42 * FOOT,
        y=6 * FOOT,
        size=(24 * INCH, 24 * INCH),
        diameter=None,
        thickness=12 * INCH,
    )
    points = [(x * FOOT, y * FOOT) for x, y in feet]
    return Plan(
        job="Orchard workshop",
        buildings=(building(points, {2: (24 * INCH, 8 * INCH)}),),
        interior=(line,),
        pads=(pad,),
    )


def assert_ring(actual, expected, unit=1.0):
    """The same points in the same order, the first one too; `expected` in `unit`, m."""
    assert len(actual) == len(expected), actual
    assert np.abs(np.array(actual) / unit - np.array(expected, dtype=float)).max() < 1e-9, actual


def test_the_workshop_has_these_footing_edges():
    """Worked by hand in inches from the plan."""
    outline = merge(footing_bands(workshop())[0])
    outer, pad = outline.outlines
    assert_ring(outer, [(-6, -6), (438, -6), (438, 296), (294, 296), (294, 390), (-6, 390)], INCH)
    assert_ring(pad, [(41, 5), (43, 5), (43, 7), (41, 7)], FOOT)
    first, second = outline.holes
    assert_ring(first, [(14, 14), (14, 370), (160, 370), (160, 14)], INCH)
    ell = [(176, 14), (176, 370), (274, 370), (274, 272), (418, 272), (418, 14)]
    assert_ring(second, ell, INCH)
    assert outline.area / FOOT**2 == pytest.approx(269.7778, rel=0, abs=5e-5)


def test_the_dig_is_the_footing_where_nothing_is_added():
    plan = workshop()
    assert merge(dig_bands(plan, Dig())[0]) == merge(footing_bands(plan)[0])


def test_a_bank_widens_the_workshop_all_round():
    # Bank 1:2 over 4 ft: 2 ft more on each side.
    outline = merge(dig_bands(workshop(), Dig(bank=0.5, depth=4 * FOOT))[0])
    ring = np.array(outline.outlines[0]) / FOOT
    assert ring.min(axis=0) == pytest.approx([-2.5, -2.5], rel=0, abs=1e-9)
    assert ring[:, 1].max() == pytest.approx(34.5, rel=0, abs=1e-9)


def test_nothing_to_merge_is_an_empty_outline():
    outline = merge(())
    assert (outline.outlines, outline.holes, outline.area) == ((), (), 0.0)


def test_a_ring_starts_lowest_then_leftmost_and_runs_anticlockwise():
    band = Band(name="b", kind=FootingKind.PAD, hull=((3, 0), (4, 2), (2, 3), (0, 0)))
    assert merge([band]).outlines == (((0, 0), (3, 0), (4, 2), (2, 3)),)


def test_touching_bands_leave_no_point_on_the_seam():
    left = Band(name="l", kind=FootingKind.WALL, hull=((0, 0), (2, 0), (2, 1), (0, 1)))
    right = Band(name="r", kind=FootingKind.WALL, hull=((2, 0), (5, 0), (5, 1), (2, 1)))
    outline = merge([left, right])
    assert outline.outlines == (((0, 0), (5, 0), (5, 1), (0, 1)),)
    assert outline.area == pytest.approx(5, rel=0, abs=1e-12)


def test_footings_that_fill_the_inside_leave_no_hole():
    wide = dict.fromkeys(range(4), (3.0, 0.5))
    outline = outline_of([(0, 0), (2, 0), (2, 2), (0, 2)], wide)
    assert outline.holes == ()
    assert outline.area == pytest.approx(9.0, rel=0, abs=1e-9)


def test_survey_coordinates_cost_no_area():
    bands = footing_bands(workshop())[0]
    far = merge(
        Band(name=b.name, kind=b.kind, hull=tuple((x + 5e5, y + 5e6) for x, y in b.hull))
        for b in bands
    )
    assert far.area == pytest.approx(merge(bands).area, rel=0, abs=1e-6)
    assert [len(r) for r in far.outlines + far.holes] == [6, 4, 4, 6]


def test_an_existing_side_has_no_paint():
    sizes = dict.fromkeys(range(4), (0.5, 0.15))
    outline = outline_of([(0, 0), (10, 0), (10, 6), (0, 6)], sizes, existing={0})
    # Two legs of 0.5 x 5.65 and a back of 10.3 x 0.5, open toward the standing building.
    assert outline.area == pytest.approx(2 * 0.5 * 5.65 + 10.3 * 0.5, rel=0, abs=1e-9)
    assert outline.holes == ()
    assert min(y for _, y in outline.outlines[0]) == pytest.approx(0.0, rel=0, abs=1e-12)


def test_a_jog_of_a_few_inches_keeps_its_corners():
    # A 3 in jog in the far side, all square: edges lie 6 in outside and 14 in inside.
    points = [(0, 0), (300, 0), (300, 200), (120, 200), (120, 203), (0, 203)]
    outline = outline_of([(x * INCH, y * INCH) for x, y in points])
    outer = [(-6, -6), (306, -6), (306, 206), (126, 206), (126, 209), (-6, 209)]
    assert_ring(outline.outlines[0], outer, INCH)
    hole = [(14, 14), (14, 189), (106, 189), (106, 186), (286, 186), (286, 14)]
    assert_ring(outline.holes[0], hole, INCH)


def test_walls_in_line_with_unlike_footings_leave_one_ring_with_a_square_jog():
    c, s = math.cos(0.3), math.sin(0.3)  # off the grid, where sums do not come out even
    points = [(0, 0), (4, 0), (10, 0), (10, 6), (0, 6)]
    sizes = dict.fromkeys(range(5), (0.5, 0.15)) | {1: (0.9, 0.3)}
    outline = outline_of([(c * x - s * y, s * x + c * y) for x, y in points], sizes)
    assert [len(ring) for ring in outline.outlines] == [6]
    assert [len(ring) for ring in outline.holes] == [6]
    # Outside 10.3 x 6.3 and 6.15 x 0.15 more; inside 9.3 x 5.3 less 5.65 x 0.25.
    expected = 10.3 * 6.3 + 6.15 * 0.15 - (9.3 * 5.3 - 5.65 * 0.25)
    assert outline.area == pytest.approx(expected, rel=0, abs=1e-9)


@pytest.mark.parametrize("turn_deg", range(0, 360, 3))
def test_a_jog_that_its_footing_just_takes_up_leaves_a_plain_rectangle(turn_deg):
    # 24' x 12', the back wall jogged in by 1". Its one half has no footing outside the wall, the
    # other half 1": both outer edges are one line, and the jog's own footing is a line across.
    turn = math.radians(turn_deg)
    feet = [(0, 0), (24, 0), (24, 12), (9, 12), (9, 12 - 1 / 12), (0, 12 - 1 / 12)]
    points = [
        (
            (x * math.cos(turn) - y * math.sin(turn)) * FOOT,
            (x * math.sin(turn) + y * math.cos(turn)) * FOOT,
        )
        for x, y in feet
    ]
    twelve = dict.fromkeys(range(6), (12 * INCH, 2 * INCH))
    outline = outline_of(
        points,
        {**twelve, 2: (12 * INCH, 0.0), 3: (12 * INCH, 8 * INCH), 4: (12 * INCH, 1 * INCH)},
    )
    # outside 24' 4" x 12' 2", inside 22' 4" x 10' 2", in inches
    area = (292 * 146 - 268 * 122) * INCH**2
    assert outline.area == pytest.approx(area, rel=0, abs=1e-9)
    assert [len(ring) for ring in (*outline.outlines, *outline.holes)] == [4, 4]


def test_bands_that_cover_nothing_have_no_outline():
    line = Band(name="A-B", kind=FootingKind.WALL, hull=((0.0, 0.0), (3.0, 4.0)))
    outline = merge([line])
    assert (outline.outlines, outline.holes, outline.area) == ((), (), 0.0)


def test_a_corner_left_out_of_the_ring_keeps_its_part_of_the_area():
    # The third corner stands half a micron off a line of 100 m: a triangle of
    # 100 x 5e-7 / 2 = 0.000025 m2 beside 100 x 10 = 1000 m2.
    hull = ((0.0, 0.0), (50.0, -5e-7), (100.0, 0.0), (100.0, 10.0), (0.0, 10.0))
    outline = merge([Band(name="A-B", kind=FootingKind.WALL, hull=hull)])
    assert len(outline.outlines[0]) == 4
    assert outline.area == pytest.approx(1000.000025, rel=0, abs=1e-9)
