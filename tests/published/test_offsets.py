"""Footing edges against another program's parallel curves: Shapely's mitred buffer.

Where every wall has one footing, the covered ground is the outline grown by the projection,
less the outline shrunk by the reach inside.
Reference: GEOS, https://libgeos.org, ``BufferParameters`` with mitred joins, through Shapely.
"""

from __future__ import annotations

import math

import pytest
import shapely

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.footing_outline import merge
from staking.plan import Building, Corner, Dig, Footing, Plan, Wall

FOOT = 0.3048
INCH = 0.0254

SHAPES = {
    "rectangle": [(0, 0), (36, 0), (36, 24), (0, 24)],
    "ell": [(0, 0), (36, 0), (36, 24), (24, 24), (24, 32), (0, 32)],
    "tee": [(0, 0), (40, 0), (40, 12), (27, 12), (27, 30), (13, 30), (13, 12), (0, 12)],
    "you": [(0, 0), (40, 0), (40, 30), (28, 30), (28, 12), (12, 12), (12, 28), (0, 28)],
    "bay": [(0, 0), (30, 0), (30, 20), (20, 20), (17, 24), (13, 24), (10, 20), (0, 20)],
    "eight sides": [
        (15 * math.cos(math.pi * k / 4), 15 * math.sin(math.pi * k / 4)) for k in range(8)
    ],
    "acute": [(0, 0), (40, 0), (30, 26)],
    "notch": [(0, 0), (40, 0), (40, 30), (26, 30), (20, 14), (14, 30), (0, 30)],
    "clockwise ell": [(0, 32), (24, 32), (24, 24), (36, 24), (36, 0), (0, 0)],
}


def plan_of(points, width, outside):
    names = "ABCDEFGH"[: len(points)]
    return Plan(
        job="t",
        buildings=(
            Building(
                name=None,
                corners=tuple(
                    Corner(name=n, x=x * FOOT, y=y * FOOT)
                    for n, (x, y) in zip(names, points, strict=True)
                ),
                walls=tuple(
                    Wall(
                        start=name,
                        end=names[(i + 1) % len(names)],
                        thickness=8 * INCH,
                        footing=Footing(width=width, thickness=10 * INCH, outside=outside),
                    )
                    for i, name in enumerate(names)
                ),
            ),
        ),
    )


def covered(points, outside, inside):
    shape = shapely.Polygon([(x * FOOT, y * FOOT) for x, y in points])
    grown = shape.buffer(outside, join_style="mitre", mitre_limit=20)
    return grown - shape.buffer(-inside, join_style="mitre", mitre_limit=20)


def as_polygons(outline):
    rings = shapely.union_all([shapely.Polygon(ring) for ring in outline.outlines])
    return rings - shapely.union_all([shapely.Polygon(ring) for ring in outline.holes])


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize(("width", "outside"), [(20, 6), (24, 8), (16, 0), (30, 15)])
def test_the_footing_is_the_mitred_parallel_of_its_outline(shape, width, outside):
    made = merge(footing_bands(plan_of(SHAPES[shape], width * INCH, outside * INCH))[0])
    expected = covered(SHAPES[shape], outside * INCH, (width - outside) * INCH)
    assert made.area == pytest.approx(expected.area, rel=0, abs=1e-8)
    assert as_polygons(made).symmetric_difference(expected).area < 1e-8


@pytest.mark.parametrize("shape", SHAPES)
def test_the_dig_is_the_parallel_farther_out(shape):
    dig = Dig(overdig=4 * INCH, bucket=24 * INCH, bank=0.25, depth=2 * FOOT)
    made = merge(dig_bands(plan_of(SHAPES[shape], 20 * INCH, 6 * INCH), dig)[0])
    # 4 in of over-dig is more than the bucket's 2 in; the bank adds 6 in.
    expected = covered(SHAPES[shape], 16 * INCH, 24 * INCH)
    assert as_polygons(made).symmetric_difference(expected).area < 1e-8
