"""Bands: where each footing edge's corners are. Expected values worked by hand, in inches."""

from __future__ import annotations

import math

import numpy as np
import pytest

from staking.footing.bands import dig_bands, footing_bands
from staking.footing.bands_and_outlines import Band
from staking.notices import Severity
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
    """Corners in inches; sizes by wall position: (wall, width, outside) in inches."""
    names = [chr(65 + i) for i in range(len(points))]
    walls = []
    for i, name in enumerate(names):
        wall, width, outside = (sizes or {}).get(i, (8, 20, 6))
        walls.append(
            Wall(
                start=name,
                end=names[(i + 1) % len(names)],
                thickness=wall * INCH,
                footing=Footing(width=width * INCH, thickness=0.254, outside=outside * INCH),
                existing=Existing() if i in existing else None,
            )
        )
    corners = tuple(
        Corner(name=n, x=x * INCH, y=y * INCH) for n, (x, y) in zip(names, points, strict=True)
    )
    return Building(name=None, corners=corners, walls=tuple(walls))


def plan(points, sizes=None, existing=(), **more):
    return Plan(job="t", buildings=(building(points, sizes, existing),), **more)


def by_name(bands: tuple[Band, ...]):
    return {band.name: np.array(band.hull) / INCH for band in bands}


def assert_same_ring(actual, expected, tol=1e-6):
    """The same corners in the same turning order, from wherever they start."""
    actual, expected = np.asarray(actual), np.asarray(expected, dtype=float)
    assert len(actual) == len(expected), actual
    start = int(np.argmin(np.hypot(*(actual - expected[0]).T)))
    assert np.abs(np.roll(actual, -start, axis=0) - expected).max() < tol, actual


RECTANGLE = [(0, 0), (240, 0), (240, 180), (0, 180)]


def test_a_band_runs_from_mitre_to_mitre():
    bands, notices = footing_bands(plan(RECTANGLE))
    assert notices == ()
    assert_same_ring(by_name(bands)["A-B"], [(-6, -6), (246, -6), (226, 14), (14, 14)])


def test_a_clockwise_outline_has_the_same_bands_anticlockwise():
    bands, _ = footing_bands(plan(RECTANGLE[::-1]))
    # Corner A is now (0, 180) and the side along y = 0 is C-D.
    assert_same_ring(by_name(bands)["C-D"], [(-6, -6), (246, -6), (226, 14), (14, 14)])


def test_neighbours_share_their_corner_points_to_the_last_bit():
    bands, _ = footing_bands(plan([(3, 1), (241, 60), (200, 190), (-7, 133)]))
    ab, bc = set(bands[0].hull), set(bands[1].hull)
    assert len(ab & bc) == 2


def test_unlike_projections_meet_where_their_edges_cross():
    bands, _ = footing_bands(plan(RECTANGLE, {1: (12, 24, 8)}))
    assert_same_ring(by_name(bands)["B-C"], [(248, -6), (248, 186), (224, 166), (224, 14)])


def test_walls_in_line_with_unlike_footings_meet_in_a_square_jog():
    points = [(0, 0), (100, 0), (240, 0), (240, 180), (0, 180)]
    bands, _ = footing_bands(plan(points, {1: (12, 30, 10)}))
    named = by_name(bands)
    assert_same_ring(named["A-B"], [(-6, -6), (100, -6), (100, 14), (14, 14)])
    # The wider band has its neighbour's corner points along the seam.
    assert_same_ring(
        named["B-C"], [(100, -10), (250 - 4, -10), (226, 20), (100, 20), (100, 14), (100, -6)]
    )


def test_a_slight_turn_ends_both_edges_on_the_bisector():
    rise = 100 * math.tan(math.radians(8))
    points = [(0, 0), (100, 0), (200, rise), (200, 180), (0, 180)]
    named = by_name(footing_bands(plan(points, {1: (8, 24, 8)}))[0])
    lean = math.tan(math.radians(4))
    # On A-B's edges y = -6 and y = 14 the bisector through (100, 0) leans by half the turn.
    near = named["A-B"][named["A-B"][:, 0] > 50]
    assert_same_ring(near, [(100 + 6 * lean, -6), (100 - 14 * lean, 14)])
    far = named["B-C"][named["B-C"][:, 0] < 130]
    along = far - [100, 0]
    assert np.abs(along[:, 0] + along[:, 1] * lean).max() < 1e-9


def test_a_long_mitre_is_cut_at_four_times_its_offset_and_said():
    # A corner of 20 degrees: uncut the mitre would run 6 / sin 10 degrees = 34.553 in.
    tip = (240 * math.cos(math.radians(20)), 240 * math.sin(math.radians(20)))
    bands, notices = footing_bands(plan([(0, 0), (240, 0), tip]))
    cut = [n for n in notices if n.kind == "mitre-cut"]
    assert [dict(n.values)["corner"] for n in cut] == ["A"]
    values = dict(cut[0].values)
    assert values["mitre"].metres / INCH == pytest.approx(34.5526, abs=1e-4)
    assert values["limit"].metres / INCH == pytest.approx(24, abs=1e-9)
    assert cut[0].severity is Severity.NOTE
    bisector = np.array([math.cos(math.radians(10)), math.sin(math.radians(10))])
    for name in ("A-B", "C-A"):
        along = by_name(bands)[name] @ bisector
        assert along.min() == pytest.approx(-24, abs=1e-9)
        assert (np.abs(along + 24) < 1e-9).sum() == 2  # its own cut point and the middle
    middle = tuple(-24 * bisector)
    for name in ("A-B", "C-A"):
        assert np.hypot(*(by_name(bands)[name] - middle).T).min() < 1e-9


def test_a_square_corner_is_never_cut():
    assert footing_bands(plan(RECTANGLE, {0: (8, 20, 0), 1: (8, 60, 50)}))[1] == ()


def test_a_short_jog_takes_the_hull_of_its_crossed_edges():
    # A nib 4 in wide between two outward corners: its inner edge would be -24 in long.
    points = [(0, 0), (4, 0), (4, 200), (0, 200)]
    band = by_name(footing_bands(plan(points))[0])["A-B"]
    assert_same_ring(band, [(-6, -6), (10, -6), (14, 14), (-10, 14)])


def test_neighbours_of_an_existing_side_are_cut_on_its_line():
    bands, _ = footing_bands(plan(RECTANGLE, existing={0}))
    named = by_name(bands)
    assert set(named) == {"B-C", "C-D", "D-A"}
    assert_same_ring(named["B-C"], [(246, 0), (246, 186), (226, 166), (226, 0)])
    assert_same_ring(named["D-A"], [(-6, 186), (-6, 0), (14, 0), (14, 166)])


def test_a_slanting_existing_side_cuts_both_edges_on_the_slant():
    bands, _ = footing_bands(plan([(0, 0), (240, 0), (240, 180), (90, 180)], existing={3}))
    # D-A runs along x = y / 2.
    assert_same_ring(by_name(bands)["A-B"], [(-3, -6), (246, -6), (226, 14), (7, 14)])


def test_an_existing_side_nearly_in_line_is_met_square():
    points = [(0, 0), (100, 0), (240, 10), (240, 180), (0, 180)]
    bands, _ = footing_bands(plan(points, existing={1}))
    assert_same_ring(by_name(bands)["A-B"], [(-6, -6), (100, -6), (100, 14), (14, 14)])


def test_two_existing_sides_together_leave_the_other_walls():
    bands, notices = footing_bands(plan(RECTANGLE, existing={0, 1}))
    named = by_name(bands)
    assert notices == ()
    assert_same_ring(named["C-D"], [(240, 166), (240, 186), (-6, 186), (14, 166)])


def test_an_interior_line_is_square_ended_on_its_faces():
    line = InteriorLine(
        name="G",
        start=(100 * INCH, 0.0),
        end=(100 * INCH, 180 * INCH),
        start_on="A-B",
        end_on="C-D",
        thickness=8 * INCH,
        footing=Footing(width=16 * INCH, thickness=0.2, outside=4 * INCH),
    )
    bands, _ = footing_bands(plan(RECTANGLE, interior=(line,)))
    assert bands[-1].kind == "interior"
    assert_same_ring(by_name(bands)["G"], [(92, 0), (108, 0), (108, 180), (92, 180)])
    dug, _ = dig_bands(plan(RECTANGLE, interior=(line,)), Dig(overdig=3 * INCH))
    assert_same_ring(by_name(dug)["G"], [(89, 0), (111, 0), (111, 180), (89, 180)])


def test_a_square_pad_turns_about_its_centre():
    pad = Pad(
        name="P",
        x=10 * INCH,
        y=20 * INCH,
        size=(30 * INCH, 20 * INCH),
        diameter=None,
        thickness=0.3,
        turn=math.pi / 2,
    )
    band = by_name(footing_bands(Plan(job="t", buildings=(), pads=(pad,)))[0])["P"]
    assert_same_ring(band, [(0, 5), (20, 5), (20, 35), (0, 35)])


@pytest.mark.parametrize("diameter", [4, 12, 24, 96])
def test_a_round_pad_falls_short_of_its_circle_by_a_thirty_second_at_most(diameter):
    pad = Pad(name="P", x=1.0, y=2.0, size=None, diameter=diameter * INCH, thickness=0.3)
    ring = np.array(footing_bands(Plan(job="t", buildings=(), pads=(pad,)))[0][0].hull)
    local = (ring - [1.0, 2.0]) / INCH
    assert np.abs(np.hypot(*local.T) - diameter / 2).max() < 1e-9
    middles = (local + np.roll(local, -1, axis=0)) / 2
    assert np.hypot(*middles.T).min() >= diameter / 2 - 1 / 32


def test_the_dig_is_the_bucket_or_the_overdig_and_then_the_bank():
    # 20 in footing, 26 in bucket: 3 in each side, more than 2 in of over-dig; bank 1/2 x 48 in.
    dig = Dig(overdig=2 * INCH, bucket=26 * INCH, bank=0.5, depth=48 * INCH)
    bands, _ = dig_bands(plan(RECTANGLE), dig)
    assert_same_ring(by_name(bands)["A-B"], [(-33, -33), (273, -33), (199, 41), (41, 41)])


def test_a_narrow_bucket_digs_no_less_than_the_footing():
    wide, _ = dig_bands(plan(RECTANGLE), Dig(bucket=12 * INCH))
    assert wide == footing_bands(plan(RECTANGLE))[0]


def test_pads_grow_all_round():
    pad = Pad(name="P", x=0.0, y=0.0, size=(24 * INCH, 40 * INCH), diameter=None, thickness=0.3)
    hole = Plan(job="t", buildings=(), pads=(pad,))
    bands, _ = dig_bands(hole, Dig(overdig=1 * INCH, bucket=30 * INCH))
    assert_same_ring(by_name(bands)["P"], [(-15, -21), (15, -21), (15, 21), (-15, 21)])


def test_a_cut_mitre_is_said_once_when_the_dig_is_the_footing():
    tip = (240 * math.cos(math.radians(20)), 240 * math.sin(math.radians(20)))
    sharp = plan([(0, 0), (240, 0), tip])
    assert dig_bands(sharp, Dig())[1] == ()
    assert len(dig_bands(sharp, Dig(overdig=INCH))[1]) == 1


@pytest.mark.parametrize("degrees", [11, 30, 45, 59])
def test_unlike_footings_meet_at_a_turn_of_more_than_ten_degrees(degrees):
    # A-B's footing reaches 6 in out and B-C's 8 in: on A-B their outer edges meet where
    # y = -6, and (x - 240) sin t - y cos t = 8, so that x = 240 + (8 - 6 cos t) / sin t.
    t = math.radians(degrees)
    points = [(0, 0), (240, 0), (240 + 240 * math.cos(t), 240 * math.sin(t)), (0, 400)]
    bands = by_name(footing_bands(plan(points, {1: (8, 24, 8)}))[0])
    tip = (240 + (8 - 6 * math.cos(t)) / math.sin(t), -6.0)
    for wall in ("A-B", "B-C"):
        assert np.hypot(*(bands[wall] - tip).T).min() < 1e-6
